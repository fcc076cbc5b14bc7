//! A field for a name or another line of plain words.

use engine::defaults::Given;

use super::entry::{Committed, Entry};
use super::why::{self, Why};
use crate::reactive::prelude::*;

/// A field for a line of words.
#[component]
pub(crate) fn TextField(
    /// What the field is called.
    #[prop(into)]
    label: Signal<String>,
    /// The words now.
    #[prop(into)]
    value: Signal<String>,
    /// Takes the words.
    #[prop(into)]
    commit: Callback<String, Committed>,
    /// Said small under the field.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Which default it begins with, if that can be explained.
    #[prop(default = None, into)]
    given: Option<Given>,
) -> impl IntoView {
    let why = Why::of(given, value, commit, why::text, Clone::clone);
    view! { <Entry label shown=value commit hint why/> }
}

//! A field for a name or another line of plain words.

use leptos::prelude::*;

use super::entry::{Committed, Entry};

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
) -> impl IntoView {
    view! { <Entry label shown=value commit hint/> }
}

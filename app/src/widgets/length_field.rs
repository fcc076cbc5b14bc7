//! A field for a length, shown in the plan's unit and typed in any.

use engine::defaults::Given;
use engine::units::{Length, LengthStyle, parse_length};

use super::entry::{Committed, Entry};
use super::why::{self, Why};
use crate::reactive::prelude::*;

/// How the page shows lengths; a newtype for the context.
#[derive(Clone, Copy)]
struct Lengths(Signal<LengthStyle>);

/// Says once for the whole page how lengths are shown.
pub(crate) fn provide_lengths(style: Signal<LengthStyle>) {
    provide_context(Lengths(style));
}

/// How the page shows lengths.
pub(crate) fn use_lengths() -> Signal<LengthStyle> {
    expect_context::<Lengths>().0
}

/// A field for a length: any unit goes in, the plan's unit comes out.
#[component]
pub(crate) fn LengthField(
    /// What the length is called.
    #[prop(into)]
    label: Signal<String>,
    /// The length now.
    #[prop(into)]
    value: Signal<Length>,
    /// Takes a length.
    #[prop(into)]
    commit: Callback<Length, Committed>,
    /// Said small under the field.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Which default it begins with, if that can be explained.
    #[prop(default = None, into)]
    given: Option<Given>,
) -> impl IntoView {
    let style = use_lengths();
    let shown = Signal::derive(move || style.get().show_exact(value.get()));
    let read = Callback::new(move |text: String| {
        let length = parse_length(&text, style.get_untracked().unit());
        commit.run(length.map_err(|error| format!("{error}."))?)
    });
    let why = Why::of(given, value, commit, why::length, move |l| style.get().show_exact(*l));
    view! { <Entry label shown commit=read keyboard="text" hint why/> }
}

/// A field for a thickness that may be left empty.
#[component]
pub(crate) fn MaybeLengthField(
    /// What the length is called.
    #[prop(into)]
    label: Signal<String>,
    /// The length now, if there is one.
    #[prop(into)]
    value: Signal<Option<Length>>,
    /// Takes a length, or that there is none.
    #[prop(into)]
    commit: Callback<Option<Length>, Committed>,
    /// Said small under the field.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Which default it begins with, if that can be explained.
    #[prop(default = None, into)]
    given: Option<Given>,
) -> impl IntoView {
    let style = use_lengths();
    let shown = Signal::derive(move || {
        value.get().map_or_else(String::new, |length| style.get().show_exact(length))
    });
    let read = Callback::new(move |text: String| {
        if text.trim().is_empty() {
            return commit.run(None);
        }
        let length = parse_length(&text, style.get_untracked().unit());
        commit.run(Some(length.map_err(|error| format!("{error}."))?))
    });
    let show = move |length: &Option<Length>| {
        length.map(|l| style.get().show_exact(l)).unwrap_or_default()
    };
    let why = Why::of(given, value, commit, why::maybe_length, show);
    view! { <Entry label shown commit=read keyboard="text" hint why/> }
}

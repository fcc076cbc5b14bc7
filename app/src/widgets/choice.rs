//! A choice of one among a few, as the browser's own list.

use engine::defaults::{Amount, Given};

use super::entry::{Committed, Under, described_by};
use super::ids;
use super::why::Why;
use crate::reactive::prelude::*;

/// Longer words than this do not fit into a list that shares its row with another field.
const LONG_CHARS: usize = 15;

/// A labelled list to choose one of.
///
/// A refused choice springs back, and the reason stands under the list.
#[component]
pub(crate) fn Choice<T>(
    /// What is chosen.
    #[prop(into)]
    label: Signal<String>,
    /// What there is, each with its words.
    #[prop(into)]
    options: Signal<Vec<(T, String)>>,
    /// What is chosen now.
    #[prop(into)]
    value: Signal<T>,
    /// Takes the choice.
    #[prop(into)]
    commit: Callback<T, Committed>,
    /// Said small under the list.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Which default it begins with, if that can be explained.
    #[prop(default = None, into)]
    given: Option<Given>,
) -> impl IntoView
where
    T: Copy + PartialEq + Send + Sync + 'static,
{
    // What follows is compiled for every type, so it is little: the list itself knows its entries by their place.
    let words = Signal::derive(move || {
        options.with(|all| all.iter().map(|(_, words)| words.clone()).collect::<Vec<_>>())
    });
    let at = Signal::derive(move || {
        let value = value.get();
        options.with(|all| all.iter().position(|(this, _)| *this == value))
    });
    let take = Callback::new(move |at: usize| {
        let chosen = options.with_untracked(|all| all.get(at).map(|(this, _)| *this));
        chosen.map_or(Ok(()), |chosen| commit.run(chosen))
    });
    view! { <List label words at take hint given/> }
}

#[component]
fn List(
    label: Signal<String>,
    words: Signal<Vec<String>>,
    /// The place of what is chosen now.
    at: Signal<Option<usize>>,
    take: Callback<usize, Committed>,
    hint: Signal<String>,
    given: Option<Given>,
) -> impl IntoView {
    let error = RwSignal::new(None::<String>);
    // Counts the choices made, so that the list is set to the plan's value after each, refused ones included.
    let made = RwSignal::new(0_u32);
    let id = ids::fresh("choice");
    let (error_id, hint_id) = (format!("{id}-error"), format!("{id}-hint"));
    let described_by = {
        let (error_id, hint_id) = (error_id.clone(), hint_id.clone());
        move || described_by(error.with(Option::is_some), &error_id, &hint.get(), &hint_id)
    };
    let choose = move |chosen: Option<usize>| {
        if let Some(chosen) = chosen {
            error.set(take.run(chosen).err());
        }
        made.update(|made| *made = made.wrapping_add(1));
    };
    // The default is named in the list's own words.
    let shown = Signal::derive(move || {
        let at = at.get();
        words.with(|all| at.and_then(|at| all.get(at).cloned()).unwrap_or_default())
    });
    let restore = Callback::new(move |word: String| {
        choose(words.with_untracked(|all| all.iter().position(|own| *own == word)));
        Ok(())
    });
    let word = |amount| if let Amount::Word(word) = amount { Some(word.to_owned()) } else { None };
    let why = Why::of(given, shown, restore, word, Clone::clone);
    let (why_button, why_says) = Why::views(why, label);
    let entries = live(move || {
        let entry = |(place, words): (usize, String)| {
            view! {
                <option
                    value=place.to_string()
                    prop:selected=move || {
                        made.track();
                        at.get() == Some(place)
                    }
                >
                    {words}
                </option>
            }
        };
        words.get().into_iter().enumerate().map(entry).collect_view()
    });
    view! {
        <div class="field" class:field-wide=move || words.with(|all| has_long(all))>
            <div class="field-label"><label for=id.clone()>{label}</label>{why_button}</div>
            <div class="field-rest">
                <select
                    id=id
                    aria-invalid=move || error.with(Option::is_some).then_some("true")
                    aria-describedby=described_by
                    on:change=move |event| choose(event_target_value(&event).parse().ok())
                >
                    {entries}
                </select>
                <Under error error_id hint hint_id/>
                {why_says}
            </div>
        </div>
    }
}

/// Whether one of these has more words than fit beside another field.
fn has_long(all: &[String]) -> bool {
    all.iter().any(|words| words.chars().count() > LONG_CHARS)
}

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
    let error = RwSignal::new(None::<String>);
    // Counts the choices made, so that the list is set to the plan's value after each, refused ones included.
    let made = RwSignal::new(0_u32);
    let id = ids::fresh("choice");
    let (error_id, hint_id) = (format!("{id}-error"), format!("{id}-hint"));
    let described_by = {
        let (error_id, hint_id) = (error_id.clone(), hint_id.clone());
        move || described_by(error.with(Option::is_some), &error_id, &hint.get(), &hint_id)
    };
    let choose = move |text: String| {
        let at = text.parse::<usize>().ok();
        let chosen = at.and_then(|at| options.with_untracked(|all| all.get(at).map(|o| o.0)));
        if let Some(chosen) = chosen {
            error.set(commit.run(chosen).err());
        }
        made.update(|made| *made = made.wrapping_add(1));
    };
    // The default is named in the list's own words.
    let words = Signal::derive(move || options.with(|all| words_of(all, value.get())));
    let take = Callback::new(move |words: String| {
        let at = options.with_untracked(|all| all.iter().position(|(_, own)| *own == words));
        choose(at.map(|at| at.to_string()).unwrap_or_default());
        Ok(())
    });
    let word = |amount| if let Amount::Word(word) = amount { Some(word.to_owned()) } else { None };
    let (why_button, why_says) = Why::views(Why::of(given, words, take, word, Clone::clone), label);
    let entries = move || {
        let entry = |(at, (this, words)): (usize, (T, String))| {
            let is_chosen = move || {
                made.track();
                value.get() == this
            };
            view! { <option value=at.to_string() prop:selected=is_chosen>{words}</option> }
        };
        options.get().into_iter().enumerate().map(entry).collect_view()
    };
    view! {
        <div class="field" class:field-wide=move || options.with(|all| has_long(all))>
            <div class="field-label"><label for=id.clone()>{label}</label>{why_button}</div>
            <div class="field-rest">
                <select
                    id=id
                    aria-invalid=move || error.with(Option::is_some).then_some("true")
                    aria-describedby=described_by
                    on:change=move |event| choose(event_target_value(&event))
                >
                    {entries}
                </select>
                <Under error error_id hint hint_id/>
                {why_says}
            </div>
        </div>
    }
}

/// The words of one of these.
fn words_of<T: Copy + PartialEq>(options: &[(T, String)], one: T) -> String {
    options
        .iter()
        .find(|(this, _)| *this == one)
        .map(|(_, words)| words.clone())
        .unwrap_or_default()
}

/// Whether one of these has more words than fit beside another field.
fn has_long<T>(options: &[(T, String)]) -> bool {
    options.iter().any(|(_, words)| words.chars().count() > LONG_CHARS)
}

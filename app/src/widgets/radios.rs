//! A choice of one among a few that all stand in sight; what comes of the chosen one is said under it.

use super::ids;
use crate::reactive::prelude::*;

/// Radio buttons, each with what comes of it.
#[component]
pub(crate) fn Radios<T>(
    /// What is chosen.
    label: &'static str,
    /// What there is: its name and a sentence.
    options: Vec<(T, String, String)>,
    /// What is chosen now.
    #[prop(into)]
    value: Signal<T>,
    /// Takes the choice.
    #[prop(into)]
    choose: Callback<T>,
) -> impl IntoView
where
    T: Copy + PartialEq + Send + Sync + 'static,
{
    // What follows is compiled for every type, so it is little: the buttons are known by their place.
    let (all, said): (Vec<T>, Vec<_>) =
        options.into_iter().map(|(this, name, words)| (this, (name, words))).unzip();
    let all = StoredValue::new(all);
    let at = Signal::derive(move || {
        let value = value.get();
        all.with_value(|all| all.iter().position(|this| *this == value))
    });
    let take = Callback::new(move |at: usize| {
        if let Some(this) = all.with_value(|all| all.get(at).copied()) {
            choose.run(this);
        }
    });
    view! { <Buttons label said at take/> }
}

#[component]
fn Buttons(
    label: &'static str,
    /// What each is called and what comes of it.
    said: Vec<(String, String)>,
    /// The place of what is chosen now.
    at: Signal<Option<usize>>,
    take: Callback<usize>,
) -> impl IntoView {
    let group = ids::fresh("radios");
    let row = |(place, (name, words)): (usize, (String, String))| {
        let says = ids::fresh("radio-says");
        view! {
            <label class="radio">
                <input
                    type="radio"
                    name=group.clone()
                    aria-describedby=says.clone()
                    prop:checked=move || at.get() == Some(place)
                    on:change=move |_| take.run(place)
                />
                <span class="radio-name">{name}</span>
            </label>
            <p class="radio-says" id=says hidden=move || at.get() != Some(place)>{words}</p>
        }
    };
    view! {
        <fieldset class="radios">
            <legend>{label}</legend>
            {said.into_iter().enumerate().map(row).collect_view()}
        </fieldset>
    }
}

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
    let group = ids::fresh("radios");
    let row = |(this, name, words): (T, String, String)| {
        let says = ids::fresh("radio-says");
        view! {
            <label class="radio">
                <input
                    type="radio"
                    name=group.clone()
                    aria-describedby=says.clone()
                    prop:checked=move || value.get() == this
                    on:change=move |_| choose.run(this)
                />
                <span class="radio-name">{name}</span>
            </label>
            <p class="radio-says" id=says hidden=move || value.get() != this>{words}</p>
        }
    };
    view! {
        <fieldset class="radios">
            <legend>{label}</legend>
            {options.into_iter().map(row).collect_view()}
        </fieldset>
    }
}

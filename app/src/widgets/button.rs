//! Buttons: one that does something, and one that is on or off.

use crate::reactive::prelude::*;

/// A button that does one thing.
#[component]
pub(crate) fn Button(
    /// What it does, in a verb.
    #[prop(into)]
    label: Signal<String>,
    /// Does it.
    #[prop(into)]
    press: Callback<()>,
    /// Greyed while there is nothing to do.
    #[prop(optional, into)]
    disabled: Signal<bool>,
    /// `main` for the one thing a panel is for, `plain` for the rest, `quiet` among others in a row.
    #[prop(default = "plain")]
    kind: &'static str,
    /// What a screen reader says where the label alone is not enough.
    #[prop(optional, into)]
    spoken: Option<Signal<String>>,
    /// What it is found by when the keyboard is to be given to it.
    #[prop(optional, into)]
    id: Option<String>,
) -> impl IntoView {
    view! {
        <button
            type="button"
            id=id
            class=format!("button button-{kind}")
            aria-label=move || spoken.map(|spoken| spoken.get())
            // A button that loses the keyboard while it is greyed would strand it; it says so instead.
            aria-disabled=move || disabled.get().then_some("true")
            on:click=move |_| {
                if !disabled.get_untracked() {
                    press.run(());
                }
            }
        >
            {label}
        </button>
    }
}

/// Something that is on or off.
#[component]
pub(crate) fn Toggle(
    /// What is on or off.
    #[prop(into)]
    label: Signal<String>,
    /// Whether it is on.
    #[prop(into)]
    on: Signal<bool>,
    /// Takes the new state.
    #[prop(into)]
    turn: Callback<bool>,
    /// What it is found by when the keyboard is to be given to it.
    #[prop(optional, into)]
    id: Option<String>,
) -> impl IntoView {
    view! {
        <label class="toggle">
            <input
                type="checkbox"
                id=id
                prop:checked=on
                on:change=move |event| turn.run(event_target_checked(&event))
            />
            <span>{label}</span>
        </label>
    }
}

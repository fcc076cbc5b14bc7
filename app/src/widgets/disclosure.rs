//! A small button that shows more of something in its place, and hides it again.

use super::ids;
use crate::platform::show_part;
use crate::reactive::prelude::*;

/// Whether it is open, and what its button and what it shows are found by.
#[derive(Clone, Debug)]
pub(crate) struct Disclosure {
    /// Whether it is open.
    pub(crate) open: RwSignal<bool>,
    /// The id of what it shows.
    pub(crate) id: String,
}

impl Disclosure {
    /// One that is closed.
    pub(crate) fn new() -> Self {
        Self { open: RwSignal::new(false), id: ids::fresh("more") }
    }

    /// The id of its button.
    pub(crate) fn button_id(&self) -> String {
        format!("{}-button", self.id)
    }

    /// Its button: a word, and for a screen reader what the word is about.
    pub(crate) fn button(&self, word: &'static str, about: Signal<String>) -> AnyView {
        let open = self.open;
        let id = self.id.clone();
        let press = move |_| {
            open.update(|open| *open = !*open);
            if open.get_untracked() {
                show_part(id.clone(), false);
            }
        };
        view! {
            <button
                type="button"
                class="more"
                id=self.button_id()
                aria-label=move || format!("{word} {}", about.get())
                aria-expanded=move || if open.get() { "true" } else { "false" }
                aria-controls=self.id.clone()
                on:click=press
            >
                {word}
            </button>
        }
        .into_any()
    }
}

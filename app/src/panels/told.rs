//! What the worker tells a panel: asked again whenever what it rests on changes, late answers dropped.

use leptos::prelude::*;
use works::{Answer, Ask};

use crate::jobs::{Jobs, use_jobs};

/// An answer and what went wrong; cheap to copy.
#[derive(Debug)]
pub(super) struct Told<T: Send + Sync + 'static> {
    jobs: Jobs,
    /// The number of the last question.
    asked: StoredValue<u32>,
    /// What was told last.
    pub(super) shown: RwSignal<Option<T>>,
    /// Why the last question came to nothing.
    pub(super) trouble: RwSignal<Option<String>>,
    /// Whether an answer is waited for.
    pub(super) is_open: RwSignal<bool>,
}

impl<T: Send + Sync + 'static> Clone for Told<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T: Send + Sync + 'static> Copy for Told<T> {}

impl<T: Send + Sync + 'static> Told<T> {
    pub(super) fn new() -> Self {
        Self {
            jobs: use_jobs(),
            asked: StoredValue::new(0),
            shown: RwSignal::new(None),
            trouble: RwSignal::new(None),
            is_open: RwSignal::new(false),
        }
    }

    /// Asks; `read` takes what is meant out of the answer.
    pub(super) fn ask(self, ask: Ask, read: fn(Answer) -> Option<T>) {
        let asked = self.asked.get_value().wrapping_add(1);
        self.asked.set_value(asked);
        self.is_open.set(true);
        self.jobs.start(ask, move |answer| {
            // Another question was asked since, or the panel is closed.
            if !answer.is_final() || self.asked.try_get_value() != Some(asked) {
                return;
            }
            let refused = match &answer {
                Answer::Refused(words) => Some(words.clone()),
                _ => None,
            };
            self.is_open.set(false);
            self.shown.set(read(answer));
            self.trouble.set(refused);
        });
    }
}

/// Why there is nothing to show.
pub(super) fn trouble(trouble: RwSignal<Option<String>>) -> AnyView {
    view! {
        <p class="warning" hidden=move || trouble.with(Option::is_none)>
            {move || trouble.get().map(|words| format!("It cannot be done like this: {words}."))}
        </p>
    }
    .into_any()
}

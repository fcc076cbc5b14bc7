//! What the worker tells a panel: asked again whenever what it rests on changes, late answers dropped.

use works::{Answer, Ask};

use crate::jobs::{Jobs, use_jobs};
use crate::reactive::prelude::*;

/// An answer and what went wrong; cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(super) struct Told {
    jobs: Jobs,
    /// The number of the last question.
    asked: StoredValue<u32>,
    /// What was told last.
    pub(super) shown: RwSignal<Option<works::Told>>,
    /// Why the last question came to nothing.
    trouble: RwSignal<Option<String>>,
}

impl Told {
    pub(super) fn new() -> Self {
        let (shown, trouble) = (RwSignal::new(None), RwSignal::new(None));
        Self { jobs: use_jobs(), asked: StoredValue::new(0), shown, trouble }
    }

    /// Asks, and shows what is answered unless another question was asked meanwhile or the panel was closed.
    pub(super) fn ask(self, ask: Ask) {
        let asked = self.asked.get_value().wrapping_add(1);
        self.asked.set_value(asked);
        self.jobs.start(ask, move |answer| {
            if !answer.is_final() || self.asked.try_get_value() != Some(asked) {
                return;
            }
            let (shown, trouble) = match answer {
                Answer::Told(told) => (Some(*told), None),
                Answer::Refused(words) => {
                    (None, Some(format!("It cannot be done like this: {words}.")))
                }
                _ => (None, None),
            };
            self.shown.set(shown);
            self.trouble.set(trouble);
        });
    }

    /// The gist of what is shown, to be read out.
    pub(super) fn summary(self) -> String {
        self.shown
            .with(|shown| shown.as_ref().map(|told| told.summary.clone()))
            .or_else(|| self.trouble.get())
            .unwrap_or_default()
    }

    /// What was told, or why there is nothing to show.
    pub(super) fn view(self) -> AnyView {
        let markup = Signal::derive(move || {
            self.shown
                .with(|shown| shown.as_ref().map(|told| told.markup.clone()))
                .unwrap_or_default()
        });
        view! {
            <p class="warning" hidden=move || self.trouble.with(Option::is_none)>{self.trouble}</p>
            // Made by the worker out of figures and its own words.
            <div class="told" inner_html=markup></div>
        }
        .into_any()
    }
}

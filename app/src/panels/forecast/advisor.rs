//! Has changes of the layout tried that would help, and takes one of them.

use engine::drape::Finding;
use engine::plan::Plan;
use works::{Advised, Answer, Ask, Forecasting};

use super::told::{About, Told};
use crate::jobs::{JobId, Jobs};
use crate::panels::change::{say_done, say_refused};
use crate::platform::{Bytes, focus_if_lost, focus_next};
use crate::reactive::RwSignal;
use crate::state::{Action, Store};
use crate::widgets::{Voice, use_voice};

/// What the button is found by that has changes tried.
pub(super) const TRY: &str = "forecast-try";
/// What the heading of the changes is found by.
pub(super) const CHANGES: &str = "forecast-changes";

/// Tries what would help; cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Advisor {
    store: Store,
    /// A worker of its own, so that the next forecast does not wait for it.
    jobs: Jobs,
    voice: Voice,
    /// What is being tried.
    pub(super) run: RwSignal<Option<Try>>,
    /// What came of it.
    pub(super) tried: RwSignal<Option<Tried>>,
}

/// Changes that are being tried.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Try {
    job: JobId,
    about: About,
    /// The finding that they are to help; none for the whole layout.
    pub(super) of: Option<Finding>,
    /// The hundredths done.
    pub(super) done: u32,
}

/// Changes that were tried.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tried {
    pub(super) about: About,
    /// The finding that they were to help; none for the whole layout.
    pub(super) of: Option<Finding>,
    /// Those that help, the best first.
    pub(super) all: Vec<Advised>,
}

impl Advisor {
    pub(super) fn new(store: Store) -> Self {
        Self {
            store,
            jobs: Jobs::new(),
            voice: use_voice(),
            run: RwSignal::new(None),
            tried: RwSignal::new(None),
        }
    }

    /// Has changes tried of the layout that was told of, as a whole or for one finding and its place in the list.
    ///
    /// `plan` is that layout with the settings as they are now.
    pub(super) fn begin(self, told: &Told, plan: &Plan, of: Option<(usize, Finding)>) {
        self.cancel();
        self.tried.set(None);
        let about = told.about.clone();
        let ask = about.choice.ask(plan, about.pull, about.choice.net);
        let (nth, of) = of.unzip();
        let ask = Forecasting { finding: nth, ..ask };
        let bytes = Bytes::of(&told.forecast.to_bytes());
        let job = self.jobs.start_with(Ask::Advise(ask), Some(bytes), move |answer| {
            self.hear(answer);
        });
        self.run.set(job.map(|job| Try { job, about, of, done: 0 }));
    }

    /// Gives up what is being tried.
    pub(super) fn cancel(self) {
        if let Some(run) = self.run.try_update(Option::take).flatten() {
            self.jobs.cancel(run.job);
        }
    }

    /// Gives up what is tried for a layout that is on the board no more.
    pub(super) fn keep_to(self, is_stale: bool) {
        if is_stale {
            self.cancel();
        }
    }

    fn hear(self, answer: Answer) {
        match answer {
            Answer::Progress { done, .. } => self.run.update(|run| {
                if let Some(run) = run {
                    run.done = done;
                }
            }),
            Answer::Advised(all) => {
                let Some(run) = self.run.try_update(Option::take).flatten() else { return };
                self.voice.say(&count(all.len()));
                self.tried.set(Some(Tried { about: run.about, of: run.of, all }));
                focus_if_lost(CHANGES.to_owned());
            }
            Answer::Refused(words) => {
                self.run.set(None);
                say_refused(self.store, format!("Nothing tried: {words}."));
                focus_if_lost(TRY.to_owned());
            }
            // The rest answers what others ask.
            _ => {}
        }
    }

    /// Makes the layout of a change the plan's: one step to undo.
    pub(super) fn take(self, one: &Advised) {
        let edit = self.store.peek(|session| one.edit(session.plan(), session.pull));
        let Some(edit) = edit else { return };
        self.tried.set(None);
        self.store.dispatch(Action::Edit(edit));
        say_done(self.store, "The change is taken. Undo brings the layout before back.");
        focus_next(vec![TRY.to_owned()]);
    }
}

/// How many changes help.
pub(super) fn count(n: usize) -> String {
    match n {
        0 => "No small change that was tried helps.".to_owned(),
        1 => "One change helps.".to_owned(),
        n => format!("{n} changes help."),
    }
}

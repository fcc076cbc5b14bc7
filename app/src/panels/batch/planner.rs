//! The planner of batches: what is being planned, and what came of it.

use std::sync::Arc;

use engine::edit::Edit;
use engine::file::{load, save};
use engine::plan::Plan;
use works::{Answer, Ask, BatchNews, Batched, Batching};

use crate::jobs::{JobId, Jobs};
use crate::panels::change::{say_done, say_refused};
use crate::platform::{download, focus_if_lost, focus_next, reveal};
use crate::reactive::prelude::*;
use crate::state::{Action, Store};
use crate::widgets::{Voice, use_voice};

/// What the button is found by that begins.
pub(super) const BEGIN: &str = "batch-begin";
/// What the end of the panel is found by.
pub(super) const END: &str = "batch-end";
/// Steps of one plan: some seconds in the browser.
const STEPS: u64 = 6_000_000;

/// Plans batches; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Planner {
    store: Store,
    /// A worker of its own: whoever prints meanwhile does not wait.
    jobs: Jobs,
    voice: Voice,
    /// The planning that is going on.
    pub(super) run: RwSignal<Option<Run>>,
    /// What came of the last one.
    pub(super) outcome: RwSignal<Option<Outcome>>,
}

/// A batch being planned.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Run {
    job: JobId,
    about: Arc<Plan>,
    /// Where it stands.
    pub(super) news: Option<BatchNews>,
}

/// A batch planned.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Outcome {
    /// The plan that it was made for, or that it was put in.
    about: Arc<Plan>,
    /// What was answered.
    pub(super) batched: Batched,
    /// What puts the layouts in the plan; nothing when they are there.
    pub(super) offer: Option<Edit>,
}

/// Puts the planner in reach of its panel.
pub(crate) fn provide_planner(store: Store) {
    let (jobs, voice) = (Jobs::new(), use_voice());
    let (run, outcome) = (RwSignal::new(None), RwSignal::new(None));
    provide_context(Planner { store, jobs, voice, run, outcome });
}

/// The planner of the page; a page without one is a bug with this name.
pub(crate) fn use_planner() -> Planner {
    expect_context::<Planner>()
}

impl Planner {
    /// The pulls of the batch planned last and how often each is made, while its layouts are those of the plan.
    pub(crate) fn order(self) -> Vec<(String, u32)> {
        let is_open = |one: &Outcome| self.store.with(|now| Arc::ptr_eq(&one.about, now.plan()));
        let order = |one: &Outcome| {
            one.batched.layouts.iter().map(|layout| (layout.name.clone(), layout.times)).collect()
        };
        self.outcome
            .with(|one| one.as_ref().filter(|one| is_open(one)).map(order).unwrap_or_default())
    }

    /// Gets ready to plan.
    pub(super) fn warm_up(self) {
        self.jobs.warm_up();
    }

    /// Begins to plan, in place of what is planned now.
    pub(super) fn begin(self) {
        self.drop_run();
        self.outcome.set(None);
        let about = self.store.peek(|session| Arc::clone(session.plan()));
        let ask = Ask::Batch(Batching { plan: save(&about), seed: 1, steps: STEPS });
        let job = self.jobs.start(ask, move |answer| self.hear(answer));
        self.run.set(job.map(|job| Run { job, about, news: None }));
        reveal(END);
    }

    fn hear(self, answer: Answer) {
        match answer {
            Answer::Batching(news) => self.run.update(|run| {
                if let Some(run) = run {
                    run.news = Some(news);
                }
            }),
            Answer::Batched(batched) => self.arrived(*batched),
            Answer::Refused(words) => {
                self.run.set(None);
                say_refused(self.store, format!("Not planned: {words}."));
                focus_if_lost(BEGIN.to_owned());
            }
            // The rest answers what others ask.
            _ => {}
        }
    }

    fn arrived(self, batched: Batched) {
        let Some(run) = self.run.try_update(Option::take).flatten() else { return };
        let said = [std::slice::from_ref(&batched.title), &batched.sentences].concat();
        self.voice.say(&said.join(" "));
        let offer = batched.after.as_deref().and_then(|after| new_pulls(&run.about, after));
        self.outcome.set(Some(Outcome { about: run.about, batched, offer }));
        focus_if_lost(BEGIN.to_owned());
        reveal(END);
    }

    /// Ends the planning; the plan is as it was.
    pub(super) fn stop(self) {
        if self.drop_run() {
            self.voice.say("Stopped. The plan is as it was.");
            focus_next(vec![BEGIN.to_owned()]);
        }
    }

    fn drop_run(self) -> bool {
        let run = self.run.try_update(Option::take).flatten();
        if let Some(run) = &run {
            self.jobs.cancel(run.job);
        }
        run.is_some()
    }

    /// Whether the plan has changed since the batch was planned.
    pub(super) fn is_stale(self) -> bool {
        self.store.with(|session| {
            self.outcome.with(|outcome| {
                outcome.as_ref().is_some_and(|one| !Arc::ptr_eq(&one.about, session.plan()))
            })
        })
    }

    /// Puts the new layouts in the plan: one step to undo.
    pub(super) fn accept(self) {
        let offer = self.outcome.try_update(|outcome| outcome.as_mut()?.offer.take()).flatten();
        let Some(edit) = offer else { return };
        self.store.dispatch(Action::Edit(edit));
        let now = self.store.peek(|session| Arc::clone(session.plan()));
        self.outcome.update(|outcome| {
            if let Some(outcome) = outcome {
                outcome.about = now;
            }
        });
        say_done(self.store, "The layouts are among the pulls. Undo takes them away.");
        focus_next(vec![BEGIN.to_owned()]);
    }

    /// Saves the table.
    pub(super) fn save_table(self) {
        let made = self.outcome.with_untracked(|outcome| {
            let one = outcome.as_ref()?;
            Some((format!("{} batch.csv", one.about.name), one.batched.csv.clone()))
        });
        let Some((name, text)) = made else { return };
        match download(&name, "text/csv", text.as_bytes()) {
            Ok(()) => say_done(self.store, "The table is saved."),
            Err(words) => say_refused(self.store, words),
        }
    }
}

/// Adds the pulls that `after` has more than `before`.
fn new_pulls(before: &Plan, after: &str) -> Option<Edit> {
    let after = load(after).ok()?;
    let new = after.pulls.iter().filter(|(id, _)| !before.pulls.contains_key(id));
    let edits: Vec<Edit> = new.map(|(&id, pull)| Edit::AddPull(id, (**pull).clone())).collect();
    (!edits.is_empty()).then_some(Edit::All(edits))
}

#[cfg(test)]
mod tests {
    use engine::plan::{Pull, PullId, sample};

    use super::*;

    #[test]
    fn only_the_new_pulls_are_added() {
        let before = sample();
        assert_eq!(new_pulls(&before, &save(&before)), None);
        let more = before.apply(&Edit::AddPull(PullId(4), Pull::new("Batch 1"))).expect("adds");
        let edit = new_pulls(&before, &save(&more)).expect("one more");
        assert_eq!(before.apply(&edit).expect("applies"), more);
    }
}

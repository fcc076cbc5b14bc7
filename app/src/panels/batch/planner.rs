//! The planner of batches: what is being planned, and what came of it.

use std::sync::Arc;

use engine::edit::Edit;
use engine::file::{load, save};
use engine::plan::Plan;
use works::{Answer, Ask, BatchNews, Batched, Batching};

use crate::jobs::{JobId, Jobs};
use crate::panels::change::{change_cutting, say_done, say_refused};
use crate::panels::desk::{Desk, PanelKey, use_desk};
use crate::panels::heat::{Heat, use_heat};
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
    heat: Heat,
    desk: Desk,
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
    let (jobs, voice, heat, desk) = (Jobs::new(), use_voice(), use_heat(), use_desk());
    let (run, outcome) = (RwSignal::new(None), RwSignal::new(None));
    provide_context(Planner { store, jobs, voice, heat, desk, run, outcome });
}

/// The planner of the page; a page without one is a bug with this name.
pub(super) fn use_planner() -> Planner {
    expect_context::<Planner>()
}

impl Planner {
    /// Gets ready to plan.
    pub(super) fn warm_up(self) {
        self.jobs.warm_up();
    }

    /// Begins to plan, in place of what is planned now.
    pub(super) fn begin(self) {
        self.drop_run();
        self.outcome.set(None);
        let about = self.store.peek(|session| Arc::clone(session.plan()));
        let heater = untrack(|| self.heat.said());
        let ask = Ask::Batch(Batching { plan: save(&about), seed: 1, steps: STEPS, heater });
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
        self.is_about_now();
        say_done(self.store, "The layouts and their order are in the plan. Undo takes them out.");
        focus_next(vec![BEGIN.to_owned()]);
    }

    /// What was planned holds of the plan as it is now.
    fn is_about_now(self) {
        let now = self.store.peek(|session| Arc::clone(session.plan()));
        self.outcome.update(|outcome| {
            if let Some(outcome) = outcome {
                outcome.about = now;
            }
        });
    }

    /// Wants as many blanks as the pulls in the plan's own sheet take, and shows how they are cut.
    pub(super) fn cut_blanks(self) {
        let blanks =
            self.outcome.with_untracked(|one| one.as_ref().map(|one| one.batched.own_blanks));
        if let Err(words) = change_cutting(self.store, |habits| habits.blanks_wanted = blanks) {
            return say_refused(self.store, words);
        }
        // How many blanks are cut changes nothing of what was planned.
        self.is_about_now();
        self.desk.panel.set(PanelKey::Cut);
        focus_next(vec!["tab-cut".to_owned()]);
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

/// Adds the pulls that `after` has more than `before`, and sets its order where that is another.
fn new_pulls(before: &Plan, after: &str) -> Option<Edit> {
    let after = load(after).ok()?;
    let new = after.pulls.iter().filter(|(id, _)| !before.pulls.contains_key(id));
    let mut edits: Vec<Edit> = new.map(|(&id, pull)| Edit::AddPull(id, (**pull).clone())).collect();
    if after.order != before.order {
        edits.push(Edit::SetOrder((*after.order).clone()));
    }
    (!edits.is_empty()).then_some(Edit::All(edits))
}

#[cfg(test)]
mod tests {
    use engine::plan::{Pull, PullId, Turn, sample};

    use super::*;

    #[test]
    fn only_new_pulls_and_a_new_order_are_taken() {
        let before = sample();
        assert_eq!(new_pulls(&before, &save(&before)), None);
        let more = before.apply(&Edit::AddPull(PullId(4), Pull::new("Batch 1"))).expect("adds");
        let edit = new_pulls(&before, &save(&more)).expect("one more");
        assert_eq!(before.apply(&edit).expect("applies"), more);
        let order = vec![Turn { pull: PullId(4), times: 3 }];
        let ordered = more.apply(&Edit::SetOrder(order)).expect("sets");
        let edit = new_pulls(&more, &save(&ordered)).expect("an order");
        assert_eq!(more.apply(&edit).expect("applies"), ordered);
    }
}

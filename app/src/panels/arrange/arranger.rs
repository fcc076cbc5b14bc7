//! The arranger of the page: what is being looked for, and the layout that is offered.

use std::sync::Arc;

use engine::drawing::Mark;
use engine::drawing::outlines;
use engine::edit::Edit;
use engine::plan::{Plan, PullId};
use works::{Answer, Arranged, Ask, Layout, News};

use super::choice::Choice;
use crate::jobs::{JobId, Jobs};
use crate::panels::change::{say_done, say_refused};
use crate::platform::{focus_if_lost, focus_next, reveal};
use crate::reactive::prelude::*;
use crate::state::{Action, Store};
use crate::widgets::{Voice, use_voice};

/// What the button is found by that begins.
pub(super) const BEGIN: &str = "arrange-begin";
/// What the button is found by that takes the offered layout.
pub(super) const ACCEPT: &str = "arrange-accept";
/// What the heading of an outcome without a layout is found by.
pub(super) const OUTCOME: &str = "arrange-outcome";
/// What the end of an outcome is found by, and that of the word on how far a search is.
pub(super) const END: &str = "arrange-end";

/// Looks for layouts and offers them; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Arranger {
    store: Store,
    /// A worker of its own: whoever prints meanwhile does not wait.
    jobs: Jobs,
    voice: Voice,
    /// What is asked for.
    pub(super) choice: RwSignal<Choice>,
    /// The search that is going on.
    pub(super) run: RwSignal<Option<Run>>,
    /// What came of the last one.
    pub(super) outcome: RwSignal<Option<Outcome>>,
    /// An outcome that waits for the hand to come to rest.
    waiting: RwSignal<Option<Outcome>>,
}

/// The plan and the pull that a search or an outcome is about.
#[derive(Clone, Debug)]
pub(super) struct About {
    plan: Arc<Plan>,
    pull: PullId,
}

impl PartialEq for About {
    /// Plans that only look the same are told apart: an edit and its undo are two changes.
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.plan, &other.plan) && self.pull == other.pull
    }
}

/// A search that is going on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Run {
    job: JobId,
    about: About,
    /// Where it stands.
    pub(super) news: Option<News>,
    /// The last layout that could be taken as it is.
    pub(super) good: Option<Layout>,
}

/// What came of a search.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Outcome {
    about: About,
    /// A few words.
    pub(super) title: String,
    /// What there is to say.
    pub(super) sentences: Vec<String>,
    /// What would help when they do not all fit.
    pub(super) ways_out: Vec<(String, Edit)>,
    /// The layout that is offered.
    pub(super) offer: Option<Edit>,
    /// Whether the layout before is shown in its place.
    pub(super) is_before_shown: bool,
}

/// Puts the arranger in reach of the board and its panel.
pub(crate) fn provide_arranger(store: Store) {
    let arranger = Arranger {
        store,
        jobs: Jobs::new(),
        voice: use_voice(),
        choice: RwSignal::new(Choice::default()),
        run: RwSignal::new(None),
        outcome: RwSignal::new(None),
        waiting: RwSignal::new(None),
    };
    arranger.follow_the_plan();
    arranger.show_what_waits();
    arranger.show_the_offer();
    provide_context(arranger);
}

/// The arranger of the page; a page without one is a bug with this name.
pub(crate) fn use_arranger() -> Arranger {
    expect_context::<Arranger>()
}

impl Arranger {
    fn about(self) -> About {
        self.store.peek(|session| About { plan: Arc::clone(session.plan()), pull: session.pull })
    }

    /// Gets ready to look for a layout.
    pub(super) fn warm_up(self) {
        self.jobs.warm_up();
    }

    /// Begins to look for a layout, in place of one that is looked for or offered.
    pub(super) fn begin(self) {
        self.drop_all();
        let about = self.about();
        let ask = self.choice.with_untracked(|choice| choice.ask(&about.plan, about.pull));
        let Some(ask) = ask else {
            say_refused(self.store, "Nothing to lay out: choose at least one mold.");
            return;
        };
        let job = self.jobs.start(Ask::Arrange(ask), move |answer| self.hear(answer));
        self.run.set(job.map(|job| Run { job, about, news: None, good: None }));
        reveal(END);
    }

    /// Begins anew from another chance, in place of what was found.
    pub(super) fn another(self) {
        self.choice.update(|choice| choice.seed += 1);
        self.begin();
    }

    fn hear(self, answer: Answer) {
        match answer {
            Answer::Arranging(news) => self.run.update(|run| {
                if let Some(run) = run {
                    if news.is_good {
                        run.good = Some(news.layout.clone());
                    }
                    run.news = Some(*news);
                }
            }),
            Answer::Arranged(arranged) => self.arrived(*arranged),
            Answer::Refused(words) => {
                self.run.set(None);
                say_refused(self.store, format!("Not arranged: {words}."));
                focus_if_lost(BEGIN.to_owned());
            }
            // The rest answers what others ask.
            _ => {}
        }
    }

    fn arrived(self, arranged: Arranged) {
        let Some(run) = self.run.try_update(Option::take).flatten() else { return };
        let about = run.about;
        let edit = |layout: &Layout| layout.edit(&about.plan, about.pull);
        let offer = arranged.layout.as_ref().and_then(edit);
        let ways_out = arranged.ways_out.into_iter();
        let ways_out = ways_out.filter_map(|way| Some((way.words, edit(&way.layout)?))).collect();
        let Arranged { title, sentences, .. } = arranged;
        self.waiting.set(Some(Outcome {
            about,
            title,
            sentences,
            ways_out,
            offer,
            is_before_shown: false,
        }));
    }

    /// Ends the search and offers the best so far that could be taken as it is; without one it goes on.
    pub(super) fn stop(self) {
        let good = self.run.with_untracked(|run| run.as_ref()?.good.clone());
        let (Some(good), Some(run)) = (good, self.run.get_untracked()) else {
            self.voice.say("No layout was found yet that the rules have nothing against.");
            return;
        };
        self.jobs.cancel(run.job);
        self.run.set(None);
        let offer = good.edit(&run.about.plan, run.about.pull);
        let words = if offer.is_some() {
            "The best so far. The rules have nothing against where its molds stand; with more time it may get better."
        } else {
            "The best so far is how they stand already."
        };
        self.waiting.set(Some(Outcome {
            about: run.about,
            title: "Stopped".to_owned(),
            sentences: vec![words.to_owned()],
            ways_out: Vec::new(),
            offer,
            is_before_shown: false,
        }));
    }

    /// Gives the search up; the plan is as it was.
    pub(super) fn cancel(self) {
        if self.drop_run() {
            self.voice.say("Given up. The plan is as it was.");
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

    fn drop_all(self) {
        self.drop_run();
        self.waiting.set(None);
        self.outcome.set(None);
    }

    /// Makes the offered layout the plan's: one step to undo.
    pub(super) fn accept(self) {
        let offer = self.outcome.with_untracked(|outcome| outcome.as_ref()?.offer.clone());
        let Some(edit) = offer else { return };
        self.outcome.set(None);
        self.store.dispatch(Action::Edit(edit));
        say_done(self.store, "The layout is taken. Undo brings the one before back.");
        focus_next(vec![BEGIN.to_owned()]);
    }

    /// Puts the outcome away.
    pub(super) fn discard(self) {
        self.outcome.set(None);
        self.voice.say("Put away. The plan is as it was.");
        focus_next(vec![BEGIN.to_owned()]);
    }

    /// Offers one of the ways out.
    pub(super) fn offer(self, edit: Edit) {
        self.outcome.update(|outcome| {
            if let Some(outcome) = outcome {
                outcome.offer = Some(edit);
                outcome.is_before_shown = false;
            }
        });
        self.voice.say("On the board now: take it or put it away.");
        focus_next(vec![ACCEPT.to_owned()]);
    }

    /// Shows the layout before, or the offered one again.
    pub(super) fn compare(self, is_before_shown: bool) {
        self.outcome.update(|outcome| {
            if let Some(outcome) = outcome {
                outcome.is_before_shown = is_before_shown;
            }
        });
    }

    /// A hand takes hold of the board: what it sees is what it gets. An offered layout that is seen is taken; one that
    /// is not seen is put away.
    pub(crate) fn give_way(self) {
        let outcome = self.outcome.with_untracked(|outcome| {
            outcome.as_ref().map(|one| (one.offer.is_some(), one.is_before_shown))
        });
        match outcome {
            Some((true, false)) => self.accept_for_hand(),
            Some(_) => self.outcome.set(None),
            None => {}
        }
    }

    fn accept_for_hand(self) {
        let offer = self.outcome.with_untracked(|outcome| outcome.as_ref()?.offer.clone());
        self.outcome.set(None);
        if let Some(edit) = offer {
            self.store.dispatch(Action::Edit(edit));
            say_done(
                self.store,
                "The offered layout is taken, because you moved on from it. Undo brings the one before back.",
            );
        }
    }

    /// The outlines of the layout that is not on the board: the best so far of a search, or the other of the two that
    /// are compared.
    pub(crate) fn ghosts(self) -> Option<Ghosts> {
        let of_run = self.run.with(|run| {
            let run = run.as_ref()?;
            let news = run.news.as_ref()?;
            let edit = news.layout.edit(&run.about.plan, run.about.pull)?;
            let marks = laid_out(&run.about, &edit)?;
            Some(Ghosts {
                kind: if news.is_good { GhostKind::Good } else { GhostKind::Try },
                marks,
            })
        });
        of_run.or_else(|| {
            self.outcome.with(|outcome| {
                let outcome = outcome.as_ref()?;
                let edit = outcome.offer.as_ref()?;
                let marks = if outcome.is_before_shown {
                    laid_out(&outcome.about, edit)?
                } else {
                    outlines(&outcome.about.plan, outcome.about.pull)
                };
                Some(Ghosts { kind: GhostKind::Other, marks })
            })
        })
    }

    /// Drops what is about a plan that is there no more.
    fn follow_the_plan(self) {
        let now =
            memo(move |_| self.store.with(|s| About { plan: Arc::clone(s.plan()), pull: s.pull }));
        Effect::new(move || {
            let now = now.get();
            let is_stale = |about: &About| *about != now;
            if self.run.with_untracked(|run| run.as_ref().is_some_and(|run| is_stale(&run.about))) {
                self.drop_run();
                say_done(
                    self.store,
                    "The plan was changed, so the layout that was being looked for is dropped.",
                );
            }
            let is_stale = |of: RwSignal<Option<Outcome>>| {
                of.with_untracked(|of| of.as_ref().is_some_and(|of| is_stale(&of.about)))
            };
            if is_stale(self.waiting) || is_stale(self.outcome) {
                self.waiting.set(None);
                self.outcome.set(None);
                say_done(self.store, "The plan was changed, so the offered layout is put away.");
            }
        });
    }

    /// Shows an outcome as soon as no hand is in the middle of something.
    fn show_what_waits(self) {
        Effect::new(move || {
            if self.waiting.with(Option::is_none) || self.store.is_previewing() {
                return;
            }
            let Some(outcome) = self.waiting.try_update(Option::take).flatten() else { return };
            let said = [std::slice::from_ref(&outcome.title), &outcome.sentences].concat();
            self.voice.say(&said.join(" "));
            let next = if outcome.offer.is_some() { ACCEPT } else { OUTCOME };
            self.outcome.set(Some(outcome));
            focus_if_lost(next.to_owned());
            reveal(END);
        });
    }

    /// Keeps the board at the offered layout.
    fn show_the_offer(self) {
        let shown = memo(move |_| {
            self.outcome.with(|outcome| {
                outcome
                    .as_ref()
                    .filter(|one| !one.is_before_shown)
                    .and_then(|one| one.offer.clone())
            })
        });
        Effect::new(move || self.store.offer(shown.get()));
    }
}

fn laid_out(about: &About, edit: &Edit) -> Option<Vec<Mark>> {
    about.plan.apply(edit).ok().map(|after| outlines(&after, about.pull))
}

/// Outlines of a layout that is not on the board.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ghosts {
    /// What they are.
    pub(crate) kind: GhostKind,
    /// The outlines.
    pub(crate) marks: Vec<Mark>,
}

/// What the outlines are of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum GhostKind {
    /// A try that breaks rules as yet.
    Try,
    /// The best so far, which could be taken.
    Good,
    /// The one of two layouts that is not on the board.
    Other,
}

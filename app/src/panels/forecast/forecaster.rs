//! The forecaster of the page: runs by itself once the maker's hands are still, and keeps what was told.

use std::sync::Arc;
use std::time::Duration;

use engine::drape::{Finding, Forecast, findings};
use engine::geometry::Point;
use engine::plan::Plan;
use engine::units::{Length, LengthStyle};
use works::{Answer, Ask};

use super::advisor::Advisor;
use super::choice::{Choice, Net};
use super::habits::Habits;
use super::told::{About, Told};
use super::words;
use crate::jobs::{JobId, Jobs};
use crate::platform::{are_works_near, keep_forecast_habits, kept_forecast_habits};
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::{Voice, use_voice};

/// How long hands are still before a forecast begins.
const STILL: Duration = Duration::from_millis(500);

/// Why there is none where the page would be held up by it.
const NO_WORKER: &str = "This browser does no work beside the page, so a forecast holds the page up for some seconds: it \
                         does not run by itself here.";

/// Forecasts and keeps what was told; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Forecaster {
    pub(super) store: Store,
    /// A worker of its own: nothing waits for a forecast.
    jobs: Jobs,
    voice: Voice,
    /// What the maker chose.
    pub(super) choice: RwSignal<Choice>,
    /// Whether it runs by itself.
    pub(super) is_auto: RwSignal<bool>,
    /// Whether the thickness is shown on the board.
    pub(crate) is_mapped: RwSignal<bool>,
    /// Whether it waits for the maker's first change: who only looks need not load what computes.
    is_resting: RwSignal<bool>,
    /// The forecast that is being computed.
    run: RwSignal<Option<Run>>,
    /// The last forecast.
    told: RwSignal<Option<Told>>,
    /// Why there is none.
    pub(super) trouble: RwSignal<Option<String>>,
    /// What it would be about now; nothing while a hand moves something.
    wanted: Memo<Option<About>>,
    /// Whether what was told is about another layout than the one on the board.
    is_stale: Memo<bool>,
    found: Memo<Arc<Vec<Finding>>>,
    /// The place that is read.
    pub(crate) probe: RwSignal<Option<Probe>>,
    /// The two ends of the section, while there is one.
    pub(crate) section: RwSignal<Option<[Point; 2]>>,
    /// Tries what would help.
    pub(super) advisor: Advisor,
    /// Counts waits, so that only the last one ends in a forecast.
    waits: StoredValue<u32>,
}

/// The place that is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Probe {
    /// Where.
    pub(crate) at: Point,
    /// Whether it stays when the pointer leaves the board.
    pub(crate) is_kept: bool,
}

/// A forecast that is being computed.
#[derive(Clone, Debug, PartialEq)]
struct Run {
    job: JobId,
    about: About,
    net: Net,
    /// The hundredths done.
    done: u32,
}

/// Puts the forecaster in reach of the board and its panel.
pub(crate) fn provide_forecaster(store: Store) {
    let habits = Habits::from_words(&kept_forecast_habits());
    let (choice, is_auto) = (RwSignal::new(habits.choice), RwSignal::new(habits.is_auto));
    Effect::new(move || {
        let habits = Habits { choice: choice.get(), is_auto: is_auto.get() };
        keep_forecast_habits(&habits.to_words());
    });
    let told = RwSignal::new(None::<Told>);
    let wanted = memo(move |_| {
        let choice = choice.get();
        let plan = store.shown().get();
        (!store.is_previewing()).then(|| About { plan, pull: store.pull().get(), choice })
    });
    let is_stale = memo(move |_| {
        told.with(|told| {
            told.as_ref().is_some_and(|told| wanted.with(|now| now.as_ref() != Some(&told.about)))
        })
    });
    let least_wall = memo(move |_| store.with(|session| session.plan().settings.least_wall));
    let found = memo(move |_| {
        let least = least_wall.get().unwrap_or(Length::ZERO);
        told.with(|told| {
            Arc::new(told.as_ref().map_or_else(Vec::new, |told| findings(&told.forecast, least)))
        })
    });
    let forecaster = Forecaster {
        store,
        jobs: Jobs::new(),
        voice: use_voice(),
        choice,
        is_auto,
        is_mapped: RwSignal::new(false),
        is_resting: RwSignal::new(false),
        run: RwSignal::new(None),
        told,
        trouble: RwSignal::new(None),
        wanted,
        is_stale,
        found,
        probe: RwSignal::new(None),
        section: RwSignal::new(None),
        advisor: Advisor::new(store),
        waits: StoredValue::new(0),
    };
    forecaster.follow_the_plan();
    forecaster.follow_the_map();
    Effect::new(move || forecaster.advisor.keep_to(is_stale.get()));
    provide_context(forecaster);
}

/// The forecaster of the page; a page without one is a bug with this name.
pub(crate) fn use_forecaster() -> Forecaster {
    expect_context::<Forecaster>()
}

impl Forecaster {
    /// The last forecast, tracked.
    pub(crate) fn told(self) -> Option<Told> {
        self.told.get()
    }

    /// Whether there is a forecast.
    pub(crate) fn has_told(self) -> bool {
        self.told.with(Option::is_some)
    }

    /// Whether what was told is about another layout than the one on the board.
    pub(crate) const fn is_stale(self) -> Memo<bool> {
        self.is_stale
    }

    /// What the last forecast warns of, the worst first.
    pub(crate) const fn found(self) -> Memo<Arc<Vec<Finding>>> {
        self.found
    }

    /// The share of the forecast being computed that is done, in hundredths.
    pub(crate) fn progress(self) -> Option<u32> {
        self.run.with(|run| {
            run.as_ref().map(|run| match (run.net, run.about.choice.net) {
                // The glance before a finer net is about a tenth of the work.
                (Net::Coarse, Net::Middle | Net::Fine) => run.done / 10,
                (Net::Coarse, Net::Coarse) => run.done,
                (Net::Middle | Net::Fine, _) => 10 + run.done * 9 / 10,
            })
        })
    }

    /// Whether it waits for the maker's first change.
    pub(crate) fn is_resting(self) -> bool {
        self.is_auto.get() && self.is_resting.get()
    }

    /// How the plan shows lengths.
    pub(crate) fn lengths(self) -> LengthStyle {
        self.store.with(|session| session.plan().settings.lengths)
    }

    /// Whether this is the layout on the board now.
    pub(super) fn is_about(self, about: &About) -> bool {
        self.wanted.with(|now| now.as_ref() == Some(about))
    }

    /// The plan that the last forecast is about, with lengths as they are shown now.
    pub(crate) fn told_plan(self) -> Option<Plan> {
        let settings = self.store.with(|session| session.plan().settings);
        let plan = self.told.with(|told| Some(Arc::clone(&told.as_ref()?.about.plan)))?;
        Some(Plan { settings, ..(*plan).clone() })
    }

    /// Begins a forecast of what is on the board now, in place of one that is being computed.
    pub(super) fn begin(self) {
        self.drop_run();
        let Some(about) = self.wanted.get_untracked() else { return };
        // A first glance soon, whatever net is chosen.
        self.start(about, Net::Coarse);
    }

    fn start(self, about: About, net: Net) {
        self.is_resting.set(false);
        let ask = about.choice.ask(&about.plan, about.pull, net);
        let job = self.jobs.start(Ask::Forecast(ask), move |answer| self.hear(answer));
        self.run.set(job.map(|job| Run { job, about, net, done: 0 }));
    }

    fn hear(self, answer: Answer) {
        match answer {
            Answer::Progress { done, .. } => self.run.update(|run| {
                if let Some(run) = run {
                    run.done = done;
                }
            }),
            Answer::Forecast { bytes } => self.arrived(&bytes),
            Answer::Refused(words) => {
                self.run.set(None);
                self.told.set(None);
                self.trouble.set(Some(format!("No forecast: {words}.")));
            }
            // The rest answers what others ask.
            _ => {}
        }
    }

    fn arrived(self, bytes: &[u8]) {
        let Some(run) = self.run.try_update(Option::take).flatten() else { return };
        let Some(forecast) = Forecast::from_bytes(bytes) else {
            self.trouble.set(Some("No forecast: reload the page to try again.".to_owned()));
            return;
        };
        let is_fine = run.net == run.about.choice.net;
        let told = Told { about: run.about.clone(), forecast: Arc::new(forecast), is_fine };
        self.trouble.set(None);
        self.told.set(Some(told));
        if is_fine {
            self.speak();
        } else {
            let net = run.about.choice.net;
            self.start(run.about, net);
        }
    }

    /// One sentence, and only to who is looking at the forecast.
    fn speak(self) {
        if !self.is_mapped.get_untracked() {
            return;
        }
        let words = untrack(|| words::summary(self));
        self.voice.say(&words);
    }

    /// Ends what is being computed; what was told stays.
    fn drop_run(self) {
        if let Some(run) = self.run.try_update(Option::take).flatten() {
            self.jobs.cancel(run.job);
        }
    }

    /// Ends what is being computed on the maker's word.
    pub(super) fn stop(self) {
        self.waits.update_value(|waits| *waits += 1);
        self.drop_run();
    }

    /// Gives up what is about another layout, and begins anew once hands are still.
    fn follow_the_plan(self) {
        Effect::new(move |before: Option<()>| {
            let wanted = self.wanted.get();
            let is_auto = self.is_auto.get();
            self.waits.update_value(|waits| *waits += 1);
            let is_on_it = self.run.with_untracked(|run| {
                run.as_ref().is_some_and(|run| Some(&run.about) == wanted.as_ref())
            });
            if !is_on_it {
                self.drop_run();
            }
            let is_known = self.told.with_untracked(|told| {
                told.as_ref()
                    .is_some_and(|told| told.is_fine && Some(&told.about) == wanted.as_ref())
            });
            if wanted.is_none() || !is_auto || is_on_it || is_known {
                return;
            }
            // What is on the board when the page opens is no change of the maker's.
            if before.is_some() || are_works_near() {
                self.begin_when_still();
            } else {
                self.is_resting.set(true);
            }
        });
    }

    /// Who has the map shown wants to see a forecast on it, before a first change too.
    fn follow_the_map(self) {
        Effect::new(move || {
            if self.is_mapped.get() && untrack(|| self.is_resting()) {
                self.begin_when_still();
            }
        });
    }

    fn begin_when_still(self) {
        let wait = self.waits.get_value();
        set_timeout(
            move || {
                if self.waits.try_get_value() != Some(wait) {
                    return;
                }
                if self.jobs.is_beside() {
                    self.begin();
                } else {
                    self.trouble.set(Some(NO_WORKER.to_owned()));
                }
            },
            STILL,
        );
    }

    /// Has changes tried that would help the layout, or one finding and its place in the list.
    pub(super) fn advise(self, of: Option<(usize, Finding)>) {
        let told = self.told.get_untracked();
        let Some(told) = told.filter(|_| !self.is_stale.get_untracked()) else { return };
        if let Some(plan) = untrack(|| self.told_plan()) {
            self.advisor.begin(&told, &plan, of);
        }
    }
}

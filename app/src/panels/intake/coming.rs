//! What a file and a photograph on their way in have in common: the dialog, the work beside the page, what is chosen.

use works::{Answer, Ask};

use super::picks::Picks;
use crate::jobs::{JobId, Jobs};
use crate::panels::desk::{Desk, PanelKey, use_desk};
use crate::panels::mold_shelf::{MoldKeeper, use_mold_keeper};
use crate::platform::Bytes;
use crate::reactive::{Effect, RwSignal};
use crate::state::Store;
use crate::widgets::{Voice, use_voice};

/// How far it is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Stage {
    /// It is being read or measured.
    Working(&'static str),
    /// Nothing came of it, and why.
    Failed(String),
    /// It lies open.
    Open,
}

/// Something on its way in; cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(super) struct Coming {
    pub(super) store: Store,
    shelf: MoldKeeper,
    desk: Desk,
    pub(super) voice: Voice,
    /// A worker of its own, so that giving up ends nobody else's work.
    pub(super) jobs: Jobs,
    job: RwSignal<Option<JobId>>,
    /// Whether the dialog lies open.
    pub(super) is_open: RwSignal<bool>,
    /// What the file is called.
    pub(super) name: RwSignal<String>,
    /// How far it is.
    pub(super) stage: RwSignal<Stage>,
    /// What could become molds.
    pub(super) picks: Picks,
    /// Why the last thing asked for was not done.
    pub(super) refused: RwSignal<Option<String>>,
}

impl Coming {
    pub(super) fn new(store: Store) -> Self {
        Self {
            store,
            shelf: use_mold_keeper(),
            desk: use_desk(),
            voice: use_voice(),
            jobs: Jobs::new(),
            job: RwSignal::new(None),
            is_open: RwSignal::new(false),
            name: RwSignal::new(String::new()),
            stage: RwSignal::new(Stage::Open),
            picks: Picks::new(),
            refused: RwSignal::new(None),
        }
    }

    /// However the dialog is closed, what it held is let go.
    pub(super) fn when_closed(self, let_go: impl Fn() + 'static) {
        let closed = move |is_open: &bool, _: Option<&bool>, _: Option<()>| {
            if !is_open {
                let_go();
            }
        };
        Effect::watch(move || self.is_open.get(), closed, false);
    }

    /// Opens the dialog for a file of this name.
    pub(super) fn open(self, name: String, words: &'static str) {
        self.name.set(name);
        self.stage.set(Stage::Working(words));
        self.is_open.set(true);
    }

    /// Has the worker do something, in place of what it is at.
    pub(super) fn ask(
        self,
        ask: Ask,
        bytes: Option<Bytes>,
        words: &'static str,
        hear: impl Fn(Answer) + 'static,
    ) {
        self.drop_job();
        self.stage.set(Stage::Working(words));
        self.job.set(self.jobs.start_with(ask, bytes, hear));
    }

    /// The worker is done.
    pub(super) fn rest(self) {
        self.job.set(None);
        self.stage.set(Stage::Open);
    }

    /// Nothing came of it.
    pub(super) fn fail(self, words: String) {
        self.job.set(None);
        self.voice.say(&words);
        self.stage.set(Stage::Failed(words));
    }

    /// What was asked for is not done; the dialog stays as it is.
    pub(super) fn refuse(self, words: String) {
        self.voice.say(&words);
        self.refused.set(Some(words));
    }

    /// Adds what is chosen as molds that came from `source`, and closes the dialog.
    pub(super) fn add(self, source: &str) {
        match self.picks.add(self.store, self.shelf, source) {
            Ok(()) => {
                self.desk.panel.set(PanelKey::Molds);
                self.is_open.set(false);
            }
            Err(words) => self.refuse(words),
        }
    }

    /// Ends what the worker is at.
    pub(super) fn drop_job(self) {
        if let Some(job) = self.job.try_update(Option::take).flatten() {
            self.jobs.cancel(job);
        }
    }

    /// Forgets what is common to both.
    pub(super) fn let_go(self) {
        self.drop_job();
        self.refused.set(None);
        self.picks.clear();
    }
}

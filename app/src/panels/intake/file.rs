//! A foreign file on its way in: read beside the page, looked at, and added or given up.

use std::sync::Arc;

use engine::intake::Up;
use leptos::prelude::*;
use works::{Answer, Ask, FileRead, ReadFile, Side};

use super::picks::{HeightFrom, Picks};
use crate::jobs::{JobId, Jobs};
use crate::panels::desk::{Desk, PanelKey, use_desk};
use crate::panels::mold_shelf::{MoldKeeper, use_mold_keeper};
use crate::platform::{Bytes, PickedFile};
use crate::state::Store;
use crate::widgets::{Voice, use_voice};

/// The largest file read: the most that the readers take.
const MOST_BYTES: f64 = 125_829_120.0;

/// The draft that walls are held against: the least that the trade asks of male molds (common practice).
pub(super) const LEAST_DRAFT: f64 = 3.0;

/// How far the file is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Stage {
    /// It is being read or measured.
    Working(&'static str),
    /// Nothing came of it, and why.
    Failed(String),
    /// It lies open.
    Open,
}

/// A foreign file on its way in; cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FileIntake {
    store: Store,
    shelf: MoldKeeper,
    desk: Desk,
    voice: Voice,
    /// A worker of its own, so that giving up ends nobody else's work.
    jobs: Jobs,
    /// Whether the dialog lies open.
    pub(super) is_open: RwSignal<bool>,
    /// What the file is called.
    pub(super) name: RwSignal<String>,
    bytes: StoredValue<Option<Bytes>, LocalStorage>,
    job: RwSignal<Option<JobId>>,
    /// How far it is.
    pub(super) stage: RwSignal<Stage>,
    /// What was read last.
    pub(super) read: RwSignal<Option<Arc<FileRead>>>,
    /// A mesh from all six sides.
    pub(super) sides: RwSignal<Vec<Side>>,
    /// Which side of a mesh is up.
    pub(super) up: RwSignal<Up>,
    unit_mm: RwSignal<Option<f64>>,
    /// What could become molds.
    pub(super) picks: Picks,
    /// Why nothing was added.
    pub(super) refused: RwSignal<Option<String>>,
}

impl FileIntake {
    pub(super) fn new(store: Store) -> Self {
        let intake = Self {
            store,
            shelf: use_mold_keeper(),
            desk: use_desk(),
            voice: use_voice(),
            jobs: Jobs::new(),
            is_open: RwSignal::new(false),
            name: RwSignal::new(String::new()),
            bytes: StoredValue::new_local(None),
            job: RwSignal::new(None),
            stage: RwSignal::new(Stage::Open),
            read: RwSignal::new(None),
            sides: RwSignal::new(Vec::new()),
            up: RwSignal::new(Up::default()),
            unit_mm: RwSignal::new(None),
            picks: Picks::new(),
            refused: RwSignal::new(None),
        };
        // However the dialog is closed, what it held is let go.
        Effect::watch(
            move || intake.is_open.get(),
            move |is_open, _, _| {
                if !is_open {
                    intake.let_go();
                }
            },
            false,
        );
        intake
    }

    /// Takes a file in, in place of one that is on its way.
    pub(super) fn begin(self, file: PickedFile) {
        self.let_go();
        self.name.set(file.name());
        self.stage.set(Stage::Working("Opening the file"));
        self.is_open.set(true);
        file.bytes(MOST_BYTES, move |bytes| match bytes {
            _ if !self.is_open.get_untracked() => {}
            Ok(bytes) => {
                self.bytes.set_value(Some(bytes));
                self.ask(true);
            }
            Err(words) => self.fail(words),
        });
    }

    /// Reads the file again with another unit.
    pub(super) fn set_unit(self, unit_mm: f64) {
        self.unit_mm.set(Some(unit_mm));
        self.ask(true);
    }

    /// Measures the mesh again with another side up.
    pub(super) fn set_up(self, up: Up) {
        if self.up.get_untracked() != up {
            self.up.set(up);
            self.ask(false);
        }
    }

    fn ask(self, has_sides: bool) {
        self.drop_job();
        self.stage.set(Stage::Working("Reading the file"));
        let ask = ReadFile {
            name: self.name.get_untracked(),
            unit_mm: self.unit_mm.get_untracked(),
            up: self.up.get_untracked().sign().to_owned(),
            least_draft: LEAST_DRAFT,
            has_sides,
        };
        let bytes = self.bytes.get_value();
        let job = self.jobs.start_with(Ask::ReadFile(ask), bytes, move |answer| self.hear(answer));
        self.job.set(job);
    }

    fn hear(self, answer: Answer) {
        match answer {
            Answer::Progress { .. } => self.stage.set(Stage::Working("Measuring")),
            Answer::FileRead(read) => self.arrived(*read),
            Answer::Refused(words) => {
                self.job.set(None);
                self.fail(format!("{} was not read: {words}.", self.name.get_untracked()));
            }
            // The rest answers what others ask.
            _ => {}
        }
    }

    fn arrived(self, mut read: FileRead) {
        self.job.set(None);
        let height_from = if read.mesh.is_some() { HeightFrom::Mold } else { HeightFrom::Person };
        if let Some(mesh) = &mut read.mesh
            && !mesh.sides.is_empty()
        {
            self.sides.set(std::mem::take(&mut mesh.sides));
        }
        self.voice.say(&found_words(read.shapes.len(), read.mesh.is_some()));
        self.refused.set(None);
        self.picks.renew(read.shapes.clone(), height_from);
        self.read.set(Some(Arc::new(read)));
        self.stage.set(Stage::Open);
    }

    fn fail(self, words: String) {
        self.voice.say(&words);
        self.stage.set(Stage::Failed(words));
    }

    /// Adds what is chosen, and closes the dialog.
    pub(super) fn add(self) {
        let source = self.name.get_untracked();
        match self.picks.add(self.store, self.shelf, &source) {
            Ok(()) => {
                self.desk.panel.set(PanelKey::Molds);
                self.is_open.set(false);
            }
            Err(words) => {
                self.voice.say(&words);
                self.refused.set(Some(words));
            }
        }
    }

    fn drop_job(self) {
        if let Some(job) = self.job.try_update(Option::take).flatten() {
            self.jobs.cancel(job);
        }
    }

    fn let_go(self) {
        self.drop_job();
        self.bytes.set_value(None);
        self.read.set(None);
        self.sides.set(Vec::new());
        self.up.set(Up::default());
        self.unit_mm.set(None);
        self.refused.set(None);
        self.picks.clear();
    }
}

/// `3 outlines found`.
pub(super) fn found_words(n: usize, is_mesh: bool) -> String {
    match (n, is_mesh) {
        (0, _) => "Nothing that could become a mold was found.".into(),
        (1, true) => "One mold found.".into(),
        (n, true) => format!("A mold in {n} parts found."),
        (1, false) => "One outline found.".into(),
        (n, false) => format!("{n} outlines found."),
    }
}

//! A foreign file on its way in: read beside the page, looked at, and added or given up.

use std::sync::Arc;

use engine::intake::Up;
use engine::plan::MoldKind;
use engine::rules::least_draft;
use works::{Answer, Ask, FileRead, ReadFile, Side};

use super::coming::{Coming, Stage};
use super::picks::HeightFrom;
use crate::platform::{Bytes, PickedFile};
use crate::reactive::{Local, RwSignal, StoredValue};
use crate::state::Store;

/// The largest file read: the most that the readers take.
const MOST_BYTES: f64 = 125_829_120.0;

/// A foreign file on its way in; cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FileIntake {
    /// The dialog, the work, and what is chosen.
    pub(super) coming: Coming,
    bytes: StoredValue<Local<Option<Bytes>>>,
    /// What was read last.
    pub(super) read: RwSignal<Option<Arc<FileRead>>>,
    /// A mesh from all six sides.
    pub(super) sides: RwSignal<Vec<Side>>,
    /// Which side of a mesh is up.
    pub(super) up: RwSignal<Up>,
    unit_mm: RwSignal<Option<f64>>,
}

impl FileIntake {
    pub(super) fn new(store: Store) -> Self {
        let intake = Self {
            coming: Coming::new(store),
            bytes: StoredValue::new(Local::new(None)),
            read: RwSignal::new(None),
            sides: RwSignal::new(Vec::new()),
            up: RwSignal::new(Up::default()),
            unit_mm: RwSignal::new(None),
        };
        intake.coming.when_closed(move || intake.let_go());
        intake
    }

    /// Takes a file in, in place of one that is on its way.
    pub(super) fn begin(self, file: PickedFile) {
        self.let_go();
        self.coming.open(file.name(), "Opening the file");
        file.bytes(MOST_BYTES, move |bytes| match bytes {
            _ if !self.coming.is_open.get_untracked() => {}
            Ok(bytes) => {
                self.bytes.set_value(Local::new(Some(bytes)));
                self.ask(true);
            }
            Err(words) => self.coming.fail(words),
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
        let plastic = self.coming.store.peek(|session| session.plan().stock.plastic);
        let ask = ReadFile {
            name: self.coming.name.get_untracked(),
            unit_mm: self.unit_mm.get_untracked(),
            up: self.up.get_untracked().sign().to_owned(),
            least_draft: least_draft(MoldKind::Male, plastic).to_degrees(),
            has_sides,
        };
        let bytes = self.bytes.with_value(|bytes| (**bytes).clone());
        let hear = move |answer| self.hear(answer);
        self.coming.ask(Ask::ReadFile(ask), bytes, "Reading the file", hear);
    }

    fn hear(self, answer: Answer) {
        match answer {
            Answer::Progress { .. } => self.coming.stage.set(Stage::Working("Measuring")),
            Answer::FileRead(read) => self.arrived(*read),
            Answer::Refused(words) => {
                let name = self.coming.name.get_untracked();
                self.coming.fail(format!("{name} was not read: {words}."));
            }
            // The rest answers what others ask.
            _ => {}
        }
    }

    fn arrived(self, mut read: FileRead) {
        self.coming.rest();
        let height_from = if read.mesh.is_some() { HeightFrom::Mold } else { HeightFrom::Person };
        if let Some(mesh) = &mut read.mesh
            && !mesh.sides.is_empty()
        {
            self.sides.set(std::mem::take(&mut mesh.sides));
        }
        self.coming.voice.say(&found_words(read.shapes.len(), read.mesh.is_some()));
        self.coming.refused.set(None);
        self.coming.picks.renew(read.shapes.clone(), height_from);
        self.read.set(Some(Arc::new(read)));
    }

    /// Adds what is chosen, and closes the dialog.
    pub(super) fn add(self) {
        self.coming.add(&self.coming.name.get_untracked());
    }

    fn let_go(self) {
        self.coming.let_go();
        self.bytes.set_value(Local::new(None));
        self.read.set(None);
        self.sides.set(Vec::new());
        self.up.set(Up::default());
        self.unit_mm.set(None);
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

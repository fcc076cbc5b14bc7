//! What is done with molds on the shelf: kept, put into the plan, renamed, removed, written to a file and read from one.

use std::sync::Arc;

use engine::edit::Edit;
use engine::file::{ShelvedMold, load_shelf, save_shelf};
use engine::plan::{Footprint, Mold, limits};
use engine::units::Length;

use crate::panels::change::{change, say_done, say_refused};
use crate::panels::mold_text::{mold_of, text_of};
use crate::platform::{
    KeptId, KeptMold, MoldShelf, Moment, StorageTrouble, download, now, on_other_tab,
};
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::Committed;

/// Molds on one shelf, so that a page that lists them stays quick.
const MOST_MOLDS: usize = 300;
/// Molds whose source is remembered between being taken in and being kept.
const MOST_SOURCES: usize = 200;

/// One mold on the shelf, read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Kept {
    pub(super) id: KeptId,
    pub(super) record: KeptMold,
    pub(super) mold: Arc<Mold>,
}

/// Keeps molds; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MoldKeeper {
    store: Store,
    changes: RwSignal<u32>,
}

/// Puts the shelf in reach of the panels.
pub(crate) fn provide_mold_keeper(store: Store) {
    let keeper = MoldKeeper { store, changes: RwSignal::new(0) };
    on_other_tab(move |key, _| {
        if MoldShelf::id_of(key).is_some() {
            keeper.changed();
        }
    });
    provide_context(keeper);
}

/// The shelf of the page; a page without one is a bug with this name.
pub(in crate::panels) fn use_mold_keeper() -> MoldKeeper {
    expect_context::<MoldKeeper>()
}

impl MoldKeeper {
    fn changed(self) {
        self.changes.update(|changes| *changes = changes.wrapping_add(1));
    }

    /// All molds that can be read, the last kept first; tracks every change of the shelf.
    pub(super) fn list(self) -> Vec<Kept> {
        self.changes.track();
        Self::all()
    }

    fn all() -> Vec<Kept> {
        let kept = |(id, record): (KeptId, KeptMold)| {
            let mold = Arc::new(mold_of(&record.saved)?);
            Some(Kept { id, record, mold })
        };
        MoldShelf.list().into_iter().filter_map(kept).collect()
    }

    /// Remembers where a mold that was just added came from, over reloads too.
    pub(in crate::panels) fn remember(self, footprint: &Footprint, source: &str) {
        let known = MoldShelf.sources();
        MoldShelf.keep_sources(&with_source(&known, footprint, source));
    }

    fn source_of(self, mold: &Mold) -> String {
        source_among(&MoldShelf.sources(), &mold.footprint).unwrap_or_else(|| {
            let plan = self.store.peek(|session| session.plan().name.clone());
            match mold.footprint {
                Footprint::Outline { .. } => format!("an outline of {plan}"),
                _ => format!("measures in {plan}"),
            }
        })
    }

    /// Keeps a mold of the plan on the shelf.
    pub(in crate::panels) fn keep(self, mold: &Mold) {
        let all = Self::all();
        if all.iter().any(|kept| *kept.mold == *mold) {
            say_done(self.store, format!("{} is on the shelf already.", mold.name));
            return;
        }
        if all.len() >= MOST_MOLDS {
            say_refused(self.store, full_words(&mold.name));
            return;
        }
        let source = self.source_of(mold);
        match self.put(mold, source, now()) {
            Ok(()) => say_done(self.store, format!("{} is on the mold shelf.", mold.name)),
            Err(trouble) => say_refused(self.store, trouble_words(&mold.name, trouble)),
        }
    }

    fn put(self, mold: &Mold, source: String, kept: Moment) -> Result<(), StorageTrouble> {
        let record = KeptMold { kept, source, saved: text_of(mold) };
        let put = MoldShelf.write(&MoldShelf.free_id(), &record);
        self.changed();
        put
    }

    /// Adds a mold of the shelf to the open plan.
    pub(super) fn put_into_plan(self, mold: &Mold) {
        let id = self.store.peek(|session| session.plan().free_mold_id());
        match change(self.store, Edit::AddMold(id, Box::new(mold.clone()))) {
            Ok(()) => {
                say_done(self.store, format!("{} is in this plan. Undo takes it out.", mold.name));
            }
            Err(words) => say_refused(self.store, words),
        }
    }

    /// Calls a mold of the shelf something else; plans that have it do not change.
    pub(super) fn rename(self, kept: &Kept, name: &str) -> Committed {
        let name = name.trim();
        let length = name.chars().count();
        if length == 0 || length > limits::NAME_CHARS {
            return Err(format!("Type a name of 1 to {} characters.", limits::NAME_CHARS));
        }
        let mold = Mold { name: name.to_owned(), ..(*kept.mold).clone() };
        let record = KeptMold { saved: text_of(&mold), ..kept.record.clone() };
        let put = MoldShelf.write(&kept.id, &record);
        self.changed();
        put.map_err(|trouble| trouble_words(name, trouble))
    }

    /// Takes a mold off the shelf.
    pub(super) fn remove(self, id: &KeptId) {
        MoldShelf.remove(id);
        self.changed();
    }

    /// Puts back what was taken off.
    pub(super) fn put_back(self, kept: &Kept) {
        let put = MoldShelf.write(&kept.id, &kept.record);
        self.changed();
        if let Err(trouble) = put {
            say_refused(self.store, trouble_words(&kept.mold.name, trouble));
        }
    }

    /// Hands the whole shelf to the user as a file.
    pub(super) fn export(self) {
        let entry = |kept: Kept| (kept.record.kept.0, kept.record.source, kept.record.saved);
        let molds: Vec<_> = Self::all().into_iter().map(entry).collect();
        let name = format!("Mold shelf {}.json", now().day());
        match download(&name, "application/json", save_shelf(&molds).as_bytes()) {
            Ok(()) => say_done(self.store, format!("{name} is saved with your downloads.")),
            Err(words) => say_refused(self.store, words),
        }
    }

    /// Puts the molds of a file on the shelf, beside those that are there; says what became of each.
    pub(in crate::panels) fn import(self, name: &str, text: &str) {
        match load_shelf(text) {
            Ok((molds, n_unread)) => {
                let tally = self.merge(molds, n_unread);
                let say = if tally.is_well() { say_done } else { say_refused };
                say(self.store, tally.words(name));
            }
            Err(error) => say_refused(self.store, format!("{name} was not read: {error}.")),
        }
    }

    fn merge(self, molds: Vec<ShelvedMold>, n_unread: usize) -> Tally {
        let mut there: Vec<Arc<Mold>> = Self::all().into_iter().map(|kept| kept.mold).collect();
        let mut tally = Tally { n_unread, ..Tally::default() };
        for ShelvedMold { kept, source, mold } in molds {
            if there.iter().any(|other| **other == mold) {
                tally.n_there += 1;
                continue;
            }
            if there.len() >= MOST_MOLDS {
                tally.n_over += 1;
                continue;
            }
            let put = self.put(&mold, source, kept.map_or_else(now, Moment));
            tally.n_put += 1;
            tally.n_unkept += usize::from(put.is_err());
            there.push(Arc::new(mold));
        }
        tally
    }
}

/// A footprint in sixteen figures, the same after a reload (FNV-1a of its saved form; Fowler, Noll and Vo, 1991, from memory).
fn figures_of(footprint: &Footprint) -> String {
    let text = text_of(&Mold::new("", footprint.clone(), Length::ZERO));
    let mixed = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |mixed, byte| {
        (mixed ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{mixed:016x}")
}

/// The lines that say where footprints came from with one more, the oldest left out.
fn with_source(lines: &str, footprint: &Footprint, source: &str) -> String {
    let figures = figures_of(footprint);
    let others = lines.lines().filter(|line| !line.starts_with(&figures));
    let others: Vec<&str> = others.collect();
    let from = others.len().saturating_sub(MOST_SOURCES - 1);
    let source: String = source.chars().filter(|c| !c.is_control()).collect();
    others[from..].iter().map(|line| format!("{line}\n")).collect::<String>()
        + &format!("{figures} {source}\n")
}

fn source_among(lines: &str, footprint: &Footprint) -> Option<String> {
    let figures = figures_of(footprint);
    lines.lines().find_map(|line| line.strip_prefix(&figures).map(|rest| rest.trim().to_owned()))
}

/// What became of the molds of a file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Tally {
    n_put: usize,
    n_there: usize,
    n_unread: usize,
    n_over: usize,
    /// How many of those that were put there are kept only while the page is open.
    n_unkept: usize,
}

impl Tally {
    const fn is_well(self) -> bool {
        self.n_unread == 0 && self.n_over == 0 && self.n_unkept == 0
    }

    fn words(self, name: &str) -> String {
        let mut words = match self.n_put {
            0 => format!("No new mold from {name}."),
            1 => format!("One mold from {name} is put on the shelf."),
            n => format!("{n} molds from {name} are put on the shelf."),
        };
        for (n, what) in [
            (self.n_there, "on it already"),
            (self.n_unread, "not readable and left out"),
            (self.n_over, "left out, because the shelf holds 300"),
            (
                self.n_unkept,
                "kept only until this page is closed: the browser's storage took no more",
            ),
        ] {
            match n {
                0 => {}
                1 => words += &format!(" One is {what}."),
                n => words += &format!(" {n} are {what}."),
            }
        }
        words
    }
}

fn full_words(name: &str) -> String {
    format!("{name} was not kept: the shelf holds {MOST_MOLDS} molds; export some and remove them.")
}

fn trouble_words(name: &str, trouble: StorageTrouble) -> String {
    format!(
        "{name} is on the shelf only until this page is closed: {trouble}. Export the shelf to a file to keep it."
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_a_footprint_came_from_is_found_again_and_the_oldest_go() {
        let round = |mm: f64| Footprint::Circle { diameter: Length::mm(mm) };
        let lines = with_source("", &round(30.0), "rock\n.stl");
        let lines = with_source(&lines, &round(31.0), "clams.svg");
        assert_eq!(source_among(&lines, &round(30.0)).as_deref(), Some("rock.stl"));
        assert_eq!(source_among(&lines, &round(32.0)), None);
        let again = with_source(&lines, &round(30.0), "other.stl");
        assert_eq!(source_among(&again, &round(30.0)).as_deref(), Some("other.stl"));
        assert_eq!(again.lines().count(), 2);
        let many = (0..MOST_SOURCES).fold(again, |lines, k| {
            with_source(&lines, &round(100.0 + f64::from(u32::try_from(k).expect("few"))), "x")
        });
        assert_eq!((many.lines().count(), source_among(&many, &round(31.0))), (MOST_SOURCES, None));
    }

    #[test]
    fn a_merge_says_what_became_of_every_mold() {
        let tally = Tally { n_put: 3, n_there: 1, n_unread: 2, ..Tally::default() };
        assert_eq!(
            tally.words("shelf.json"),
            "3 molds from shelf.json are put on the shelf. One is on it already. 2 are not readable and left out."
        );
        assert!(!tally.is_well());
        assert!(Tally { n_put: 1, ..Tally::default() }.is_well());
    }
}

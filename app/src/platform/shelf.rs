//! The shelf: the plans kept in this browser, one stored text each, so that no list can disagree with them.

use engine::order;

use super::clock::Moment;
use super::storage::{self, StorageTrouble};
use crate::state::ShelfId;

const PLAN: &str = "onepull:plan:";
const LAST: &str = "onepull:last";

/// One plan on the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Record {
    /// What the plan is called.
    pub(crate) name: String,
    /// When it was last changed.
    pub(crate) changed: Moment,
    /// The plan in its saved form.
    pub(crate) saved: String,
}

impl Record {
    /// The record as one text: the moment and the name on the first line, then the saved form.
    fn to_text(&self) -> String {
        format!("{} {}\n{}", self.changed.0, self.name, self.saved)
    }

    /// What was stored as one text; `None` when it is no record of ours.
    pub(crate) fn from_text(text: &str) -> Option<Self> {
        let (head, saved) = text.split_once('\n')?;
        let (changed, name) = head.split_once(' ')?;
        let changed = Moment(changed.parse().ok()?);
        Some(Self { name: name.to_owned(), changed, saved: saved.to_owned() })
    }
}

/// The shelf of this browser.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Shelf;

impl Shelf {
    /// All plans, the last changed first.
    pub(crate) fn list(self) -> Vec<(ShelfId, Record)> {
        let ids = storage::keys(PLAN).into_iter().filter_map(|key| Self::id_of(&key));
        let mut all: Vec<_> = ids.filter_map(|id| self.read(&id).map(|r| (id, r))).collect();
        order::by(&mut all, |(a_id, a), (b_id, b)| {
            b.changed.cmp(&a.changed).then_with(|| a_id.cmp(b_id))
        });
        all
    }

    /// One plan; `None` when it is not there or is no record of ours.
    pub(crate) fn read(self, id: &ShelfId) -> Option<Record> {
        storage::read(&key(id)).and_then(|text| Record::from_text(&text))
    }

    /// One plan as other tabs see it, whatever this browser refused to keep of it.
    pub(crate) fn read_shared(self, id: &ShelfId) -> Option<Record> {
        storage::read_shared(&key(id)).and_then(|text| Record::from_text(&text))
    }

    /// Keeps a plan, in place of what was kept under its id.
    ///
    /// # Errors
    /// Says why it is kept only as long as the page is open.
    pub(crate) fn write(self, id: &ShelfId, record: &Record) -> Result<(), StorageTrouble> {
        storage::write(&key(id), &record.to_text())
    }

    /// Lets go of what this browser refused to keep of a plan, for what other tabs see.
    pub(crate) fn let_go(self, id: &ShelfId) {
        storage::let_go(&key(id));
    }

    /// Takes a plan off the shelf.
    pub(crate) fn remove(self, id: &ShelfId) {
        storage::remove(&key(id));
    }

    /// An id that nothing is kept under.
    pub(crate) fn free_id(self) -> ShelfId {
        let mut ids = std::iter::repeat_with(|| ShelfId(storage::fresh_name()));
        ids.find(|id| storage::read(&key(id)).is_none()).unwrap_or_else(|| ShelfId("0".into()))
    }

    /// The plan that was open last.
    pub(crate) fn last(self) -> Option<ShelfId> {
        storage::read(LAST).map(ShelfId)
    }

    /// Remembers which plan is open; losing this costs a choice and no work, so a refusal is no trouble.
    pub(crate) fn set_last(self, id: &ShelfId) {
        if self.last().as_ref() != Some(id) {
            let _ = storage::write(LAST, &id.0);
        }
    }

    /// Which plan a storage key belongs to, if any.
    pub(crate) fn id_of(key: &str) -> Option<ShelfId> {
        key.strip_prefix(PLAN).map(|id| ShelfId(id.to_owned()))
    }
}

fn key(id: &ShelfId) -> String {
    format!("{PLAN}{}", id.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_reads_back_as_it_was_written() {
        let record = Record {
            name: "Tide-pool kit 2".into(),
            changed: Moment(1_754_000_000_000),
            saved: "{\n  \"a\": 1\n}".into(),
        };
        assert_eq!(Record::from_text(&record.to_text()), Some(record));
    }

    #[test]
    fn what_is_no_record_is_not_read_as_one() {
        for text in ["", "x", "12", "12 name", "later name\n{}"] {
            assert_eq!(Record::from_text(text), None, "{text:?}");
        }
    }

    #[test]
    fn keys_of_others_are_not_plans() {
        assert_eq!(Shelf::id_of(&key(&ShelfId("19".into()))), Some(ShelfId("19".into())));
        assert_eq!(Shelf::id_of("onepull:last"), None);
    }
}

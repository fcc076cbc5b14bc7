//! The log: pulls by number, added, changed, removed and merged without doubles.

use std::collections::BTreeMap;
use std::fmt;

use super::{PullRecord, RecordError, check, limits};

/// Names a pull of a log: the moment it began in milliseconds since 1970, so that two devices do not give the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecordId(pub u64);

impl fmt::Display for RecordId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "pull {}", self.0)
    }
}

/// Pulls in the order in which they began; all of them within [`limits`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Logbook {
    records: BTreeMap<RecordId, PullRecord>,
}

/// What came of two logs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Merged {
    /// Both in one.
    pub book: Logbook,
    /// How many pulls only the second had.
    pub added: usize,
    /// How many the second had as changed later.
    pub newer: usize,
    /// How many the first had already.
    pub there: usize,
}

impl Logbook {
    /// The pulls, the first one first.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (RecordId, &PullRecord)> {
        self.records.iter().map(|(id, record)| (*id, record))
    }

    /// One pull.
    #[must_use]
    pub fn get(&self, id: RecordId) -> Option<&PullRecord> {
        self.records.get(&id)
    }

    /// How many pulls there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.records.len()
    }

    /// True without a single pull.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.records.is_empty()
    }

    /// The log with one more pull, its texts cleaned.
    ///
    /// # Errors
    /// Says which value is outside its limits, that the number is taken, or that the log is full.
    pub fn add(&self, id: RecordId, record: &PullRecord) -> Result<Self, RecordError> {
        let mut more = self.clone();
        more.take(id, record)?;
        Ok(more)
    }

    /// Takes one more pull in place, as [`Logbook::add`] does: a log of many is read without a copy for each.
    ///
    /// # Errors
    /// As `add`; then nothing has changed.
    pub fn take(&mut self, id: RecordId, record: &PullRecord) -> Result<(), RecordError> {
        if id.0 > limits::ID_MOST {
            return Err(RecordError::IdTooLarge { what: "pull", value: id.0 });
        }
        if self.records.contains_key(&id) {
            return Err(RecordError::RecordExists(id));
        }
        let count = self.records.len() + 1;
        if count > limits::RECORDS {
            return Err(RecordError::TooMany { count });
        }
        self.records.insert(id, check::record(record)?);
        Ok(())
    }

    /// The log with a pull as it is known now; its revision is one more than before, whatever is given.
    ///
    /// # Errors
    /// Says which value is outside its limits, or that there is no such pull.
    pub fn change(&self, id: RecordId, record: &PullRecord) -> Result<Self, RecordError> {
        let before = self.records.get(&id).ok_or(RecordError::NoSuchRecord(id))?;
        let revision = before.revision.saturating_add(1);
        let mut records = self.records.clone();
        records.insert(id, PullRecord { revision, ..check::record(record)? });
        Ok(Self { records })
    }

    /// The log without a pull, and that pull.
    ///
    /// # Errors
    /// Says that there is no such pull.
    pub fn remove(&self, id: RecordId) -> Result<(Self, PullRecord), RecordError> {
        let mut records = self.records.clone();
        let removed = records.remove(&id).ok_or(RecordError::NoSuchRecord(id))?;
        Ok((Self { records }, removed))
    }

    /// This log and another in one: each pull once, and of a pull that both have the one that was changed more often.
    ///
    /// The order of two logs does not matter, nor does merging twice. A pull that was removed here comes back when the
    /// other still has it.
    ///
    /// # Errors
    /// Says that they would be more pulls than a log holds.
    pub fn merge(&self, other: &Self) -> Result<Merged, RecordError> {
        let mut merged = Merged { book: self.clone(), ..Merged::default() };
        for (&id, record) in &other.records {
            match merged.book.records.get_mut(&id) {
                None => {
                    merged.book.records.insert(id, record.clone());
                    merged.added += 1;
                }
                Some(held) if is_later(record, held) => {
                    held.clone_from(record);
                    merged.newer += 1;
                }
                Some(_) => merged.there += 1,
            }
        }
        let count = merged.book.len();
        if count > limits::RECORDS { Err(RecordError::TooMany { count }) } else { Ok(merged) }
    }
}

/// True when `one` goes before `other` of the same number. Two that were changed as often on two devices differ in their
/// text; which of them is taken does not matter as long as both devices take the same.
fn is_later(one: &PullRecord, other: &PullRecord) -> bool {
    let order = one.revision.cmp(&other.revision);
    order.then_with(|| format!("{one:?}").cmp(&format!("{other:?}"))).is_gt()
}

#[cfg(test)]
pub(super) mod fixture {
    //! A pull that webbed, for the tests of this room.

    use super::super::{Outcome, PullRecord, Spacing};
    use crate::heat::Sides;
    use crate::plan::{HeightBasis, PullId, sample};
    use crate::units::Seconds;

    /// A timed pull of the sample that webbed at the limpet, laid out at 1.2 times the taller mold.
    pub(in super::super) fn pull() -> PullRecord {
        let mut record = PullRecord::begun("2026-08-01 14:05", &sample(), PullId(1), Sides::One);
        record.heated = Some(Seconds::new(62.0));
        record.spacing = Some(Spacing { factor: 1.2, basis: HeightBasis::Taller });
        record.outcomes.insert(Outcome::Web, ["Limpet".to_owned()].into());
        record
    }

    /// The same, come out so at this spacing.
    pub(in super::super) fn come_out(outcome: Outcome, factor: f64) -> PullRecord {
        let spacing = Some(Spacing { factor, basis: HeightBasis::Taller });
        PullRecord { outcomes: [(outcome, [].into())].into(), spacing, ..pull() }
    }
}

#[cfg(test)]
mod tests {
    use super::fixture::pull;
    use super::*;

    fn book(ids: std::ops::Range<u64>) -> Logbook {
        ids.fold(Logbook::default(), |book, id| book.add(RecordId(id), &pull()).expect("fits"))
    }

    #[test]
    fn what_is_added_and_removed_again_leaves_the_log_as_it_was() {
        let book = book(1..4);
        let more = book.add(RecordId(9), &pull()).expect("fits");
        assert_eq!((more.len(), more.get(RecordId(9))), (4, Some(&pull())));
        assert_eq!(more.remove(RecordId(9)), Ok((book.clone(), pull())));
        assert_eq!(book.remove(RecordId(9)), Err(RecordError::NoSuchRecord(RecordId(9))));
        assert_eq!(book.add(RecordId(3), &pull()), Err(RecordError::RecordExists(RecordId(3))));
    }

    #[test]
    fn a_change_is_counted_and_goes_before_what_it_changed() {
        let before = book(1..3);
        let noted = PullRecord { notes: "fan on".into(), ..pull() };
        let after = before.change(RecordId(2), &noted).expect("fits");
        assert_eq!(after.get(RecordId(2)).map(|record| record.revision), Some(1));
        for (one, other, newer) in [(&before, &after, 1), (&after, &before, 0)] {
            let merged = one.merge(other).expect("few");
            assert_eq!((merged.book, merged.newer), (after.clone(), newer));
        }
        assert_eq!(before.change(RecordId(7), &noted), Err(RecordError::NoSuchRecord(RecordId(7))));
    }

    #[test]
    fn a_full_log_takes_no_more() {
        let full = book(0..limits::RECORDS as u64);
        let count = limits::RECORDS + 1;
        assert_eq!(full.add(RecordId(5000), &pull()), Err(RecordError::TooMany { count }));
        assert_eq!(full.merge(&book(5000..5001)), Err(RecordError::TooMany { count }));
        assert!(full.change(RecordId(0), &pull()).is_ok() && full.merge(&full).is_ok());
        let refused = full.add(RecordId(u64::MAX), &pull());
        assert!(matches!(refused, Err(RecordError::IdTooLarge { .. })), "{refused:?}");
    }
}

//! The mold shelf: molds kept in this browser for every plan, one stored text each.

use engine::order;

use super::clock::Moment;
use super::storage::{self, StorageTrouble};

const MOLD: &str = "onepull:mold:";
const SOURCES: &str = "onepull:mold-sources";

/// Names a mold on the shelf.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct KeptId(pub(crate) String);

/// One mold on the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct KeptMold {
    /// When it was put there.
    pub(crate) kept: Moment,
    /// Where it came from, in a few words.
    pub(crate) source: String,
    /// A plan in the saved form that holds nothing but the mold.
    pub(crate) saved: String,
}

impl KeptMold {
    /// As one text: the moment and the source on the first line, then the saved form.
    fn to_text(&self) -> String {
        let source: String = self.source.chars().filter(|c| !c.is_control()).collect();
        format!("{} {source}\n{}", self.kept.0, self.saved)
    }

    fn from_text(text: &str) -> Option<Self> {
        let (head, saved) = text.split_once('\n')?;
        let (kept, source) = head.split_once(' ')?;
        let kept = Moment(kept.parse().ok()?);
        Some(Self { kept, source: source.to_owned(), saved: saved.to_owned() })
    }
}

/// The mold shelf of this browser.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MoldShelf;

impl MoldShelf {
    /// All molds, the last kept first.
    pub(crate) fn list(self) -> Vec<(KeptId, KeptMold)> {
        let ids = storage::keys(MOLD).into_iter().filter_map(|key| Self::id_of(&key));
        let mut all: Vec<_> = ids.filter_map(|id| self.read(&id).map(|mold| (id, mold))).collect();
        order::by(&mut all, |(a_id, a), (b_id, b)| {
            b.kept.cmp(&a.kept).then_with(|| a_id.cmp(b_id))
        });
        all
    }

    /// One mold; `None` when it is not there or is no record of ours.
    pub(crate) fn read(self, id: &KeptId) -> Option<KeptMold> {
        storage::read(&key(id)).and_then(|text| KeptMold::from_text(&text))
    }

    /// Keeps a mold, in place of what was kept under its id.
    ///
    /// # Errors
    /// Says why it is kept only as long as the page is open.
    pub(crate) fn write(self, id: &KeptId, mold: &KeptMold) -> Result<(), StorageTrouble> {
        storage::write(&key(id), &mold.to_text())
    }

    /// Takes a mold off the shelf.
    pub(crate) fn remove(self, id: &KeptId) {
        storage::remove(&key(id));
    }

    /// Where molds that were taken in came from, a line each.
    pub(crate) fn sources(self) -> String {
        storage::read(SOURCES).unwrap_or_default()
    }

    /// Keeps where molds came from; what the browser refuses is held as long as the page is open.
    pub(crate) fn keep_sources(self, lines: &str) {
        let _ = storage::write(SOURCES, lines);
    }

    /// An id that nothing is kept under.
    pub(crate) fn free_id(self) -> KeptId {
        let mut ids = std::iter::repeat_with(|| KeptId(storage::fresh_name()));
        ids.find(|id| storage::read(&key(id)).is_none()).unwrap_or_else(|| KeptId("0".into()))
    }

    /// Which mold a storage key belongs to, if any.
    pub(crate) fn id_of(key: &str) -> Option<KeptId> {
        key.strip_prefix(MOLD).map(|id| KeptId(id.to_owned()))
    }
}

fn key(id: &KeptId) -> String {
    format!("{MOLD}{}", id.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kept_mold_reads_back_as_it_was_written_and_what_is_none_does_not() {
        let mold = KeptMold {
            kept: Moment(1_754_000_000_000),
            source: "shells 2.svg".into(),
            saved: "{\n  \"a\": 1\n}".into(),
        };
        assert_eq!(KeptMold::from_text(&mold.to_text()), Some(mold.clone()));
        let odd = KeptMold { source: "two\nlines".into(), ..mold };
        let back = KeptMold::from_text(&odd.to_text()).expect("reads");
        assert_eq!(back.source, "twolines");
        for text in ["", "x", "12", "12 name", "later name\n{}"] {
            assert_eq!(KeptMold::from_text(text), None, "{text:?}");
        }
    }

    #[test]
    fn plans_are_no_molds() {
        assert_eq!(MoldShelf::id_of(&key(&KeptId("19".into()))), Some(KeptId("19".into())));
        assert_eq!(MoldShelf::id_of("onepull:plan:19"), None);
    }
}

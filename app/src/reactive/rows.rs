//! Owners for rows that come and go, of which none is remembered once it is gone.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use leptos::prelude::Owner;

/// Gives each row of a list an owner below the list's own.
///
/// An owner of the library remembers every child it ever had, with all but the child's contents, until it is cleaned up
/// itself. A list on the board lives as long as the page, and a minute of dragging brings and takes a thousand rows. So an
/// owner is put between list and row, which is emptied when the row goes and then has the next one.
#[derive(Clone)]
pub(super) struct Rows {
    list: Owner,
    spare: Arc<Mutex<Vec<Owner>>>,
}

impl Rows {
    /// For a list of the current owner.
    pub(super) fn here() -> Self {
        let list = Owner::current().unwrap_or_default();
        Self { list, spare: Arc::default() }
    }

    /// An owner for a row that comes; the row goes with it.
    pub(super) fn owner(&self) -> Owner {
        let between = lock(&self.spare).pop().unwrap_or_else(|| self.list.child());
        let row = between.child();
        let spare = Arc::downgrade(&self.spare);
        let give_back = move || {
            between.cleanup();
            if let Some(spare) = spare.upgrade() {
                lock(&spare).push(between);
            }
        };
        row.with(|| Owner::on_cleanup(give_back));
        row
    }
}

fn lock(spare: &Mutex<Vec<Owner>>) -> MutexGuard<'_, Vec<Owner>> {
    spare.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use leptos::prelude::{provide_context, use_context};

    use super::super::RwSignal;
    use super::*;

    /// What the list remembers of a row: the owner above it.
    fn remembered(row: &Owner) -> usize {
        row.parent().expect("an owner between list and row").debug_id()
    }

    #[test]
    fn a_list_remembers_no_more_than_its_longest() {
        let list = Owner::new();
        let rows = list.with(Rows::here);
        let mut all = BTreeSet::new();
        for round in 0..1_000 {
            let standing: Vec<Owner> = (0..=round % 3).map(|_| rows.owner()).collect();
            let owners: BTreeSet<usize> = standing.iter().map(remembered).collect();
            assert_eq!(owners.len(), standing.len(), "each row has its own");
            all.extend(owners);
        }
        assert_eq!(all.len(), 3);
        assert_eq!(lock(&rows.spare).len(), 3);
    }

    #[test]
    fn a_row_hears_its_list_and_goes_with_either() {
        let list = Owner::new();
        let rows = list.with(|| {
            provide_context(7_u32);
            Rows::here()
        });
        let kept = |row: &Owner| row.with(|| RwSignal::new(use_context::<u32>()));
        let [first, second] = [rows.owner(), rows.owner()];
        let signals = [kept(&first), kept(&second)];
        assert!(signals.iter().all(|signal| signal.try_get_untracked() == Some(Some(7))));
        drop(first);
        assert_eq!(signals.map(|signal| signal.try_get_untracked()), [None, Some(Some(7))]);
        list.cleanup();
        assert_eq!(signals.map(|signal| signal.try_get_untracked()), [None, None]);
        let third = rows.owner();
        drop(second);
        assert_eq!(kept(&third).try_get_untracked(), Some(Some(7)), "the owner it took is its own");
    }
}

//! Lets a value forget who has read it.

use std::cell::RefCell;
use std::collections::BTreeMap;

use leptos::prelude::Owner;
use leptos::reactive::graph::{AnySource, AnySubscriber, Observer, Source};

/// A reader that was cleaned up, be it to run again or because it goes, and what it had read.
struct Ended {
    reader: AnySubscriber,
    sources: Vec<AnySource>,
}

thread_local! {
    /// By the readers' addresses, which nothing else gets as long as they are held here.
    static ENDED: RefCell<BTreeMap<usize, Ended>> = const { RefCell::new(BTreeMap::new()) };
}

/// Has `source` forget whoever reads it now, once that reader is gone and [`forget_the_gone`] is called.
///
/// The library keeps each reader in the list of what it has read for as long as *that* lives, unless the reader runs again.
/// What lives as long as the page would collect the readers of every row that ever stood on it, and go through all of
/// them with each change.
pub(super) fn forget_with_reader(source: impl FnOnce() -> AnySource) {
    let Some(reader) = Observer::get() else { return };
    // Who runs again is in no list from before.
    ENDED.with_borrow_mut(|ended| ended.remove(&reader.0));
    let source = source();
    Owner::on_cleanup(move || {
        ENDED.with_borrow_mut(|ended| {
            let entry = ended.entry(reader.0);
            entry.or_insert_with(|| Ended { reader, sources: Vec::new() }).sources.push(source);
        });
    });
}

/// Has the readers forgotten that are gone.
///
/// Who is cleaned up is still there at that moment, and may stay: one that runs again is cleaned up before, and what a row
/// reads while its list makes it is read by the list. So whether it is gone is asked later, whenever somebody writes.
pub(super) fn forget_the_gone() {
    let is_gone = |_: &usize, ended: &mut Ended| ended.reader.1.strong_count() == 0;
    let gone = ENDED.with_borrow_mut(|ended| ended.extract_if(.., is_gone).collect::<Vec<_>>());
    for (_, Ended { reader, sources }) in gone {
        for source in sources {
            source.remove_subscriber(&reader);
        }
    }
}

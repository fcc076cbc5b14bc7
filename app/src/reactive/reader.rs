//! Lets a value forget who has read it.

use std::cell::RefCell;

use leptos::prelude::Owner;
use leptos::reactive::graph::{AnySource, AnySubscriber, Observer, Source};

/// Who has read what.
struct Reading {
    source: AnySource,
    reader: AnySubscriber,
}

thread_local! {
    /// Readings whose reader was cleaned up, be it to run again or because it goes.
    static ENDED: RefCell<Vec<Reading>> = const { RefCell::new(Vec::new()) };
}

/// Has `source` forget whoever reads it now, once that reader is gone and [`forget_the_gone`] is called.
///
/// The library keeps each reader in the list of what it has read for as long as *that* lives, unless the reader runs again.
/// What lives as long as the page would collect the readers of every row that ever stood on it, and go through all of
/// them with each change.
pub(super) fn forget_with_reader(source: impl FnOnce() -> AnySource) {
    if let Some(reader) = Observer::get() {
        let reading = Reading { source: source(), reader };
        Owner::on_cleanup(move || ENDED.with_borrow_mut(|ended| ended.push(reading)));
    }
}

/// Has the readers forgotten that are gone; called when all has come to rest, which it has when somebody writes.
///
/// Who is cleaned up is still there at that moment, and may stay: one that runs again is cleaned up before, and what a row
/// reads while its list makes it is read by the list. So whether it is gone is asked later, and one that lives is left as
/// it is.
pub(super) fn forget_the_gone() {
    for Reading { source, reader } in ENDED.take() {
        if reader.1.strong_count() == 0 {
            source.remove_subscriber(&reader);
        }
    }
}

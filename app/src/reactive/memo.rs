//! Memos: what is computed once a change, and tells only of what is new.

use leptos::prelude::{Memo as LibMemo, Read, ReadUntracked};
use leptos::reactive::computed::ArcMemo;
use leptos::reactive::graph::ToAnySource;
use leptos::reactive::signal::guards::ReadGuard;
use leptos::reactive::wrappers::read::SignalReadGuard;

use super::closure::Renew;
use super::handle::{Guard, Handle, Source};
use super::held::Held;
use super::reader::forget_with_reader;

/// What is computed from other values, once a change of theirs.
pub(crate) type Memo<T> = Handle<LibMemo<Held>, T>;

impl Source for LibMemo<Held> {
    #[cfg_attr(debug_assertions, track_caller)]
    fn open(self) -> Guard {
        let guard = self.read();
        forget_with_reader(|| ArcMemo::from(self).to_any_source());
        ReadGuard::new(SignalReadGuard::Memo(guard))
    }

    #[cfg_attr(debug_assertions, track_caller)]
    fn open_untracked(self) -> Guard {
        ReadGuard::new(SignalReadGuard::Memo(self.read_untracked()))
    }

    fn try_open_untracked(self) -> Option<Guard> {
        self.try_read_untracked().map(|guard| ReadGuard::new(SignalReadGuard::Memo(guard)))
    }
}

/// Memoises what `of` gives, which may look at what it gave before.
#[cfg_attr(debug_assertions, track_caller)]
pub(crate) fn memo<T: PartialEq + Send + Sync + 'static>(
    of: impl Fn(Option<&T>) -> T + Send + Sync + 'static,
) -> Memo<T> {
    boxed(Box::new(of))
}

type Of<T> = Box<dyn Renew<T>>;

#[cfg_attr(debug_assertions, track_caller)]
fn boxed<T: PartialEq + Send + Sync + 'static>(of: Of<T>) -> Memo<T> {
    let of = move |before: Option<&Held>| Held::new(of.renew(before.map(Held::get)));
    Memo::around(compared(Box::new(of), is_new::<T>))
}

type Changed = fn(Option<&Held>, Option<&Held>) -> bool;

#[cfg_attr(debug_assertions, track_caller)]
fn compared(of: Of<Held>, is_new: Changed) -> LibMemo<Held> {
    LibMemo::new_with_compare(move |before| of.renew(before), is_new)
}

fn is_new<T: PartialEq + 'static>(before: Option<&Held>, now: Option<&Held>) -> bool {
    match (before, now) {
        (Some(before), Some(now)) => before.get::<T>() != now.get::<T>(),
        _ => true,
    }
}

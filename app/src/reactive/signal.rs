//! Signals: values that are written, and whatever can be read like one.

use leptos::prelude::{
    IsDisposed, Memo as LibMemo, Read, ReadUntracked, RwSignal as LibRwSignal, Set,
    Signal as LibSignal, Write,
};
use leptos::reactive::graph::ToAnySource;
use leptos::reactive::signal::guards::ReadGuard;
use leptos::reactive::wrappers::read::SignalReadGuard;

use super::closure::Give;
use super::handle::{Guard, Handle, Source};
use super::held::Held;
use super::memo::Memo;
use super::reader::{forget_the_gone, forget_with_reader};

/// A value that is read and written, and tells who read it.
pub(crate) type RwSignal<T> = Handle<LibRwSignal<Held>, T>;

impl Source for LibRwSignal<Held> {
    #[cfg_attr(debug_assertions, track_caller)]
    fn open(self) -> Guard {
        let guard = self.read();
        forget_with_reader(|| self.to_any_source());
        ReadGuard::new(SignalReadGuard::Read(guard))
    }

    #[cfg_attr(debug_assertions, track_caller)]
    fn open_untracked(self) -> Guard {
        ReadGuard::new(SignalReadGuard::Read(self.read_untracked()))
    }

    fn try_open_untracked(self) -> Option<Guard> {
        self.try_read_untracked().map(|guard| ReadGuard::new(SignalReadGuard::Read(guard)))
    }
}

impl<T: Send + Sync + 'static> RwSignal<T> {
    /// A signal that holds `value`.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn new(value: T) -> Self {
        Self::around(LibRwSignal::new(Held::new(value)))
    }

    /// Sets the value, and tells who read it; nothing when its owner is gone.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn set(self, value: T) {
        forget_the_gone();
        self.lib.set(Held::new(value));
    }

    /// As [`RwSignal::set`], and gives `value` back when its owner is gone.
    pub(crate) fn try_set(self, value: T) -> Option<T> {
        match self.lib.is_disposed() {
            true => Some(value),
            false => {
                self.set(value);
                None
            }
        }
    }

    /// Changes the value in its place, and tells who read it; nothing when its owner is gone.
    pub(crate) fn update(self, change: impl FnOnce(&mut T)) {
        self.try_update(change);
    }

    /// As [`RwSignal::update`], and gives back what `change` gave, or `None` when its owner is gone.
    pub(crate) fn try_update<U>(self, change: impl FnOnce(&mut T) -> U) -> Option<U> {
        forget_the_gone();
        let mut guard = self.lib.try_write()?;
        Some(change(guard.get_mut()))
    }
}

impl<T: Default + Send + Sync + 'static> Default for RwSignal<T> {
    #[cfg_attr(debug_assertions, track_caller)]
    fn default() -> Self {
        Self::new(T::default())
    }
}

/// Whatever can be read like a signal: one, a memo, a closure or a plain value.
pub(crate) type Signal<T> = Handle<AnySignal, T>;

/// What is behind it; not the library's own of all four, which does not say whom it reads.
#[derive(Clone, Copy, Debug)]
pub(crate) enum AnySignal {
    /// A signal that somebody writes.
    Written(LibRwSignal<Held>),
    /// A memo.
    Computed(LibMemo<Held>),
    /// A closure, which says itself what it reads, or a plain value.
    Given(LibSignal<Held>),
}

impl Source for AnySignal {
    #[cfg_attr(debug_assertions, track_caller)]
    fn open(self) -> Guard {
        match self {
            Self::Written(signal) => signal.open(),
            Self::Computed(memo) => memo.open(),
            Self::Given(given) => given.read(),
        }
    }

    #[cfg_attr(debug_assertions, track_caller)]
    fn open_untracked(self) -> Guard {
        match self {
            Self::Written(signal) => signal.open_untracked(),
            Self::Computed(memo) => memo.open_untracked(),
            Self::Given(given) => given.read_untracked(),
        }
    }

    fn try_open_untracked(self) -> Option<Guard> {
        match self {
            Self::Written(signal) => signal.try_open_untracked(),
            Self::Computed(memo) => memo.try_open_untracked(),
            Self::Given(given) => given.try_read_untracked(),
        }
    }
}

impl<T: Send + Sync + 'static> Signal<T> {
    /// What `of` gives, asked anew each time it is read.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn derive(of: impl Fn() -> T + Send + Sync + 'static) -> Self {
        Self::boxed(Box::new(of))
    }

    #[cfg_attr(debug_assertions, track_caller)]
    fn boxed(of: Box<dyn Give<T>>) -> Self {
        Self::around(AnySignal::Given(derived(Box::new(move || Held::new(of.give())))))
    }

    /// What never changes.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn stored(value: T) -> Self {
        Self::around(AnySignal::Given(LibSignal::stored(Held::new(value))))
    }
}

#[cfg_attr(debug_assertions, track_caller)]
fn derived(of: Box<dyn Give<Held>>) -> LibSignal<Held> {
    LibSignal::derive(move || of.give())
}

impl<T: Default + Send + Sync + 'static> Default for Signal<T> {
    fn default() -> Self {
        Self::stored(T::default())
    }
}

impl<T: Send + Sync + 'static, F: Fn() -> T + Send + Sync + 'static> From<F> for Signal<T> {
    #[cfg_attr(debug_assertions, track_caller)]
    fn from(of: F) -> Self {
        Self::derive(of)
    }
}

impl<T> From<RwSignal<T>> for Signal<T> {
    fn from(signal: RwSignal<T>) -> Self {
        Self::around(AnySignal::Written(signal.lib))
    }
}

impl<T> From<Memo<T>> for Signal<T> {
    fn from(memo: Memo<T>) -> Self {
        Self::around(AnySignal::Computed(memo.lib))
    }
}

impl<T: Send + Sync + 'static> From<Vec<T>> for Signal<Vec<T>> {
    fn from(list: Vec<T>) -> Self {
        Self::stored(list)
    }
}

impl From<&str> for Signal<String> {
    fn from(words: &str) -> Self {
        Self::stored(words.to_owned())
    }
}

impl From<String> for Signal<String> {
    fn from(words: String) -> Self {
        Self::stored(words)
    }
}

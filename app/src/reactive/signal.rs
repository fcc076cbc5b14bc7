//! Signals: values that are written, and whatever can be read like one.

use leptos::prelude::{
    IsDisposed, Read, ReadUntracked, RwSignal as LibRwSignal, Set, Signal as LibSignal, Write,
};
use leptos::reactive::signal::guards::ReadGuard;
use leptos::reactive::wrappers::read::SignalReadGuard;

use super::closure::Give;
use super::handle::{Guard, Handle, Source};
use super::held::Held;
use super::memo::Memo;

/// A value that is read and written, and tells who read it.
pub(crate) type RwSignal<T> = Handle<LibRwSignal<Held>, T>;

impl Source for LibRwSignal<Held> {
    #[cfg_attr(debug_assertions, track_caller)]
    fn open(self) -> Guard {
        ReadGuard::new(SignalReadGuard::Read(self.read()))
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
pub(crate) type Signal<T> = Handle<LibSignal<Held>, T>;

impl Source for LibSignal<Held> {
    #[cfg_attr(debug_assertions, track_caller)]
    fn open(self) -> Guard {
        self.read()
    }

    #[cfg_attr(debug_assertions, track_caller)]
    fn open_untracked(self) -> Guard {
        self.read_untracked()
    }

    fn try_open_untracked(self) -> Option<Guard> {
        self.try_read_untracked()
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
        Self::around(derived(Box::new(move || Held::new(of.give()))))
    }

    /// What never changes.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn stored(value: T) -> Self {
        Self::around(LibSignal::stored(Held::new(value)))
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
        Self::around(signal.lib.into())
    }
}

impl<T> From<Memo<T>> for Signal<T> {
    fn from(memo: Memo<T>) -> Self {
        Self::around(memo.lib.into())
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

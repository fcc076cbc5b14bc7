//! A handle of the library that remembers what it holds, and how it is read.

use std::fmt;
use std::marker::PhantomData;

use leptos::prelude::SyncStorage;
use leptos::reactive::signal::guards::ReadGuard;
use leptos::reactive::wrappers::read::SignalReadGuard;
use leptos::tachys::reactive_graph::{ReactiveFunction, SharedReactiveFunction};

use super::held::Held;

/// A handle `L` of the library to a `T` in a box; cheap to copy.
pub(crate) struct Handle<L, T> {
    pub(super) lib: L,
    holds: PhantomData<fn() -> T>,
}

impl<L, T> Handle<L, T> {
    /// What `lib` holds must be a `T`.
    pub(super) const fn around(lib: L) -> Self {
        Self { lib, holds: PhantomData }
    }
}

impl<L: Copy, T> Clone for Handle<L, T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<L: Copy, T> Copy for Handle<L, T> {}

impl<L: fmt::Debug, T> fmt::Debug for Handle<L, T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.lib.fmt(f)
    }
}

/// How any handle of the library is held open; one type, so that reading is compiled once for all of them.
pub(crate) type Guard = ReadGuard<Held, SignalReadGuard<Held, SyncStorage>>;

/// A handle of the library that can be read, or that it is gone.
///
/// Each of these is one function of the page, whatever is held.
pub(crate) trait Source: Copy + Send + 'static {
    /// Reads it, tracking it.
    fn open(self) -> Guard;

    /// Reads it without tracking it.
    fn open_untracked(self) -> Guard;

    /// As [`Source::open_untracked`], or `None` when its owner is gone.
    fn try_open_untracked(self) -> Option<Guard>;
}

impl<L: Source, T: 'static> Handle<L, T> {
    /// What `read` makes of the value, which is tracked.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn with<U>(self, read: impl FnOnce(&T) -> U) -> U {
        read(self.lib.open().get())
    }

    /// What `read` makes of the value.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn with_untracked<U>(self, read: impl FnOnce(&T) -> U) -> U {
        read(self.lib.open_untracked().get())
    }
}

impl<L: Source, T: Clone + 'static> Handle<L, T> {
    /// A copy of the value, which is tracked.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn get(self) -> T {
        copy(&self.lib.open())
    }

    /// A copy of the value.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn get_untracked(self) -> T {
        copy(&self.lib.open_untracked())
    }

    /// A copy of the value, or `None` when its owner is gone.
    pub(crate) fn try_get_untracked(self) -> Option<T> {
        self.lib.try_open_untracked().map(|guard| copy(&guard))
    }
}

/// A copy of what is held open.
pub(super) fn copy<T: Clone + 'static>(held: &Held) -> T {
    held.get::<T>().clone()
}

impl<L: Source, T> Handle<L, T> {
    /// Tracks the value, whatever it is.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn track(self) {
        drop(self.lib.open());
    }
}

// So a handle stands in a view as it is: as text, as a class, as an attribute.
impl<L: Source, T: Clone + 'static> ReactiveFunction for Handle<L, T> {
    type Output = T;

    fn invoke(&mut self) -> T {
        self.get()
    }

    fn into_shared(mut self) -> SharedReactiveFunction<T> {
        (move || self.invoke()).into_shared()
    }
}

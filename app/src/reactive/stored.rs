//! Values that are kept as long as their owner, and tell nobody when they change.

use leptos::prelude::{ReadValue, SetValue, StoredValue as LibStoredValue, WriteValue};
use leptos::reactive::signal::guards::{Plain, ReadGuard};

use super::handle::{Handle, copy};
use super::held::Held;

/// A value that is kept for its owner.
pub(crate) type StoredValue<T> = Handle<LibStoredValue<Held>, T>;

impl<T: Send + Sync + 'static> StoredValue<T> {
    /// Keeps `value`.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn new(value: T) -> Self {
        Self::around(LibStoredValue::new(Held::new(value)))
    }

    /// Puts `value` in its place; nothing when its owner is gone.
    pub(crate) fn set_value(self, value: T) {
        self.lib.set_value(Held::new(value));
    }

    /// Changes it in its place; nothing when its owner is gone.
    pub(crate) fn update_value(self, change: impl FnOnce(&mut T)) {
        self.try_update_value(change);
    }

    /// As [`StoredValue::update_value`], and gives back what `change` gave, or `None` when its owner is gone.
    pub(crate) fn try_update_value<U>(self, change: impl FnOnce(&mut T) -> U) -> Option<U> {
        let mut guard = self.lib.try_write_value()?;
        Some(change(guard.get_mut()))
    }

    /// What `read` makes of it.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn with_value<U>(self, read: impl FnOnce(&T) -> U) -> U {
        read(open(self.lib).get())
    }
}

impl<T: Default + Send + Sync + 'static> Default for StoredValue<T> {
    #[cfg_attr(debug_assertions, track_caller)]
    fn default() -> Self {
        Self::new(T::default())
    }
}

impl<T: Clone + 'static> StoredValue<T> {
    /// A copy of it.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn get_value(self) -> T {
        copy(&open(self.lib))
    }

    /// A copy of it, or `None` when its owner is gone.
    pub(crate) fn try_get_value(self) -> Option<T> {
        self.lib.try_read_value().map(|guard| copy(&guard))
    }
}

// Apart, as whatever is the same for all types.
#[cfg_attr(debug_assertions, track_caller)]
fn open(stored: LibStoredValue<Held>) -> ReadGuard<Held, Plain<Held>> {
    stored.read_value()
}

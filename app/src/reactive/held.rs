//! A value of any type, in a box of one type.

use std::any::Any;

/// What every reactive value is kept in.
pub(crate) struct Held(Box<dyn Any + Send + Sync>);

impl Held {
    /// Puts `value` into the box.
    pub(super) fn new<T: Send + Sync + 'static>(value: T) -> Self {
        Self(Box::new(value))
    }

    /// What is in it.
    pub(super) fn get<T: 'static>(&self) -> &T {
        self.0.downcast_ref().unwrap_or_else(|| wrong_type())
    }

    /// What was in it.
    pub(super) fn take<T: 'static>(self) -> T {
        self.0.downcast().map_or_else(|_| wrong_type(), |value| *value)
    }

    /// What is in it, to change.
    pub(super) fn get_mut<T: 'static>(&mut self) -> &mut T {
        self.0.downcast_mut().unwrap_or_else(|| wrong_type())
    }
}

// Apart and cold, so that what reads a value carries no words.
#[cold]
fn wrong_type() -> ! {
    unreachable!("a handle reads what its constructor put in, and both name one type")
}

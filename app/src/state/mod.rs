//! What the page knows: one session, changed by actions in one place.

mod action;
mod derived;
mod reduce;
mod session;
mod store;

pub(crate) use action::{Action, Opened};
pub(crate) use reduce::reduce;
pub(crate) use session::{Notice, Origin, Session, ShelfId, Tone};
pub(crate) use store::{Store, use_store};

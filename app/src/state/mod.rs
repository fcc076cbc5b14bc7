//! What the page knows: one session, changed by actions in one place.

mod action;
mod derived;
mod names;
mod reduce;
mod session;
mod store;

pub(crate) use action::{Action, Opened};
pub(crate) use names::{locked_words, placement_name, placement_names};
use reduce::reduce;
pub(crate) use session::{Grip, Notice, Origin, Session, ShelfId, Tone};
pub(crate) use store::{Store, use_store};

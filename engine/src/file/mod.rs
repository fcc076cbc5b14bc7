//! Our own forms of a plan: the saved file, the link, and the link as a QR code; and the saved forms of a log of pulls and of a mold shelf.
//!
//! A saved file keeps a plan to the last bit and is meant to be read, compared and written by other programs
//! too (`public/plan.schema.json` describes it). A link keeps one pull in as few characters as it can, with
//! lengths rounded to a micrometre. Both are read without trust: sizes first, then form, and then every value
//! goes through [`crate::edit::apply`] like anything that is typed.

mod assemble;
mod link;
mod log;
pub mod object;
mod pretty;
mod qr;
mod saved;
#[cfg(feature = "schema")]
mod schema;
mod shelf;
mod unread;
mod v1;
mod v2;
mod v3;
mod v4;
mod words;

pub use link::{LinkError, coarsened, keeps_back, link, unlink};
pub use log::{LogError, LogProblem, is_log, load_log, save_log};
pub use qr::{Qr, qr};
pub use saved::{LoadError, load, save};
#[cfg(feature = "schema")]
pub use schema::schema;
pub use shelf::{ShelfError, ShelvedMold, is_shelf, load_shelf, save_mold, save_shelf};
pub use unread::{Holds, Unread};

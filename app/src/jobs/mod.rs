//! Work that is asked for by message: the worker answers here, and so do the tests that hold both targets together.

mod arranging;
mod protocol;

mod answer;
mod arranger;

mod client;
mod ledger;

pub use answer::answer;
pub(crate) use answer::work;
pub use arranging::{Arranged, Arranging, Goal, Layout, News, Spot, WayOut};
pub(crate) use client::{Jobs, provide_jobs, use_jobs};
pub(crate) use ledger::JobId;
pub use protocol::{Answer, Ask, PaperName, Parcel, Print, Reply, Request, Sheets};

//! What the page asks of its workers, and who is told of the answer.

mod client;
mod ledger;

pub(crate) use client::{Jobs, provide_jobs, use_jobs};
pub(crate) use ledger::JobId;

//! Work that is asked for by message: the worker answers here, and so do the tests that hold both targets together.

mod answer;
mod protocol;

pub use answer::answer;
pub use protocol::{Answer, Ask, PaperName, Reply, Request};

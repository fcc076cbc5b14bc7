//! What the trade says about a layout: one rule a file, each returning findings.

mod finding;

pub use finding::{Finding, Measure, Place, Rule, Severity, Subject};

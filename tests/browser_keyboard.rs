//! The whole job by keyboard alone, in Chromium.

mod by_keys;
#[allow(dead_code, reason = "the PDF's lines are what is read here")]
mod printed;

use onepull_tests::page::Program;

/// The browser of this journey.
const PROGRAM: Program = Program::Chromium;

//! What a maker does, by mouse, finger and keyboard alone, in Firefox, whose engine shares nothing with Chromium's.

mod by_keys;
mod crowded;
mod hand;
mod journeys;
#[allow(dead_code, reason = "the PDF's lines are what is read here")]
mod printed;

use onepull_tests::page::Program;

/// The browser of these journeys.
const PROGRAM: Program = Program::Firefox;

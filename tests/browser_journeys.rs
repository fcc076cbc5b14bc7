//! What a maker does, in Chromium.

mod crowded;
mod hand;
mod journeys;

use onepull_tests::page::Program;

/// The browser of these journeys.
const PROGRAM: Program = Program::Chromium;

//! Fuzz target: rows of edits.

#![no_main]

#[path = "../edits.rs"]
mod edits;
#[path = "../entries.rs"]
#[allow(dead_code, reason = "a target uses one door of all")]
mod entries;
#[path = "../../../tests/random_plan/mod.rs"]
#[allow(dead_code, reason = "a target draws edits and no plans")]
mod random_plan;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    edits::edited(bytes);
});

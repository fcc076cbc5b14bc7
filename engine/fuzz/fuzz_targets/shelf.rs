//! Fuzz target: files of a mold shelf.

#![no_main]

#[path = "../entries.rs"]
#[allow(dead_code, reason = "a target uses one door of all")]
mod entries;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    entries::shelf(bytes);
});

//! Shared helpers of the workspace tests.

pub mod chance;
mod near;
pub mod pace;
#[cfg(feature = "browser")]
pub mod page;
pub mod photo_scene;
pub mod rust_text;
pub mod sources;

/// Says that a check was left out and why, where it is seen: not by `println!`, which the test runner keeps to itself
/// when nothing fails.
pub fn left_out(why: &str) {
    use std::io::Write;
    // Where nobody can be told there is nobody to tell.
    _ = writeln!(std::io::stderr(), "LEFT OUT: {why}");
}

//! Shared helpers of the workspace tests.

mod near;
pub mod pace;
#[cfg(feature = "browser")]
pub mod page;
pub mod photo_scene;
pub mod rust_text;
pub mod sources;

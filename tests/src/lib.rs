//! Shared helpers of the workspace tests.

mod near;
#[cfg(feature = "browser")]
pub mod page;

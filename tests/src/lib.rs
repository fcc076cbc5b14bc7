//! Shared helpers of the workspace tests.

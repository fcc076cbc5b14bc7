//! Element ids that no two widgets share, for labels and descriptions.

use std::sync::atomic::{AtomicU32, Ordering};

/// `prefix` with a number that is used once.
pub(super) fn fresh(prefix: &str) -> String {
    static NEXT: AtomicU32 = AtomicU32::new(1);
    format!("{prefix}-{}", NEXT.fetch_add(1, Ordering::Relaxed))
}

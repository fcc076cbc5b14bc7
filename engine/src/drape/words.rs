//! Words for what a forecast says, for who shows it.

use super::Why;
use super::finding::where_words;
use crate::plan::{Plan, PullId};

impl Why {
    /// Where that is, as the end of a sentence: "just below the top edge, which …".
    ///
    /// `plan` and `pull` must be those of the forecast; of others, names may be missing.
    #[must_use]
    pub fn words(self, plan: &Plan, pull: PullId) -> String {
        where_words(self, plan, pull)
    }
}

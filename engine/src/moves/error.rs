//! Why a hand move was refused.

use crate::plan::PullId;

/// Why a hand move was refused. Nothing has changed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MoveError {
    /// The pull is not in the plan.
    #[error("there is no {0} in this plan")]
    NoSuchPull(PullId),
    /// Nothing that stands on the blank is selected.
    #[error("nothing is selected; select a mold on the board first")]
    NothingSelected,
    /// Too few are selected for what was asked.
    #[error("{got} selected, but equal gaps need at least {needed}")]
    TooFew {
        /// How many are selected.
        got: usize,
        /// How many it takes.
        needed: usize,
    },
    /// Every copy that exists stands on the blank already.
    #[error(
        "all {copies} of {name} stand on this blank already; \
         raise its number of copies if you have another"
    )]
    NoMoreCopies {
        /// Which mold.
        name: String,
        /// How many copies exist.
        copies: u32,
    },
}

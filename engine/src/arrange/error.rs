//! Why nothing was arranged: data first, words in `Display`.

use crate::plan::{CopyNumber, MoldId, PullId, limits};

/// Why a request makes no sense for a plan. Nothing was tried.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ArrangeError {
    /// The pull is not in the plan.
    #[error("there is no {0} in this plan")]
    NoSuchPull(PullId),
    /// The mold is not in the plan.
    #[error("there is no {0} in this plan")]
    NoSuchMold(MoldId),
    /// The mold has fewer copies.
    #[error(
        "there is no {copy} of {mold}: {copies} exist; choose one that does, or say that more exist"
    )]
    NoSuchCopy {
        /// Which mold.
        mold: String,
        /// Which copy was asked for.
        copy: CopyNumber,
        /// How many exist.
        copies: u32,
    },
    /// One mold can stand in one place only.
    #[error("{copy} of {mold} is chosen twice; choose each copy once")]
    Twice {
        /// Which mold.
        mold: String,
        /// Which copy.
        copy: CopyNumber,
    },
    /// Nothing that could be moved or placed.
    #[error(
        "there is nothing to lay out; put molds on the blank, free locked ones or choose some to place"
    )]
    Nothing,
    /// More than a pull holds.
    #[error("{count} molds are more than the {most} that a pull holds; choose fewer",
        most = limits::PLACEMENTS)]
    TooMany {
        /// How many it would be.
        count: usize,
    },
    /// A value that is negative or no number.
    #[error("a value of {value} for {mold} cannot be weighed; give it 0 or more")]
    BadValue {
        /// Which mold.
        mold: String,
        /// As asked for.
        value: f64,
    },
    /// A weight that is negative or no number.
    #[error("a weight of {weight} for {aim} cannot be weighed; give it 0 or more")]
    BadWeight {
        /// Which aim.
        aim: &'static str,
        /// As asked for.
        weight: f64,
    },
}

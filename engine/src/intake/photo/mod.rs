//! Traces a mold that was photographed on a sheet of paper.
//!
//! Pixels come in decoded: the browser opens every picture format by itself, and a decoder of our own would weigh more
//! than all of this. [`find_paper`] finds the paper's four corners, which a person may move; [`trace()`] takes the
//! perspective off, tells mold from paper and follows the mold's edge, in millimetres on the paper.

mod contour;
mod flat;
mod homography;
mod light;
mod paper;
mod picture;
mod solve;
mod straight;
mod trace;

pub use paper::{FoundPaper, Paper, PaperCorners, PaperError, find_paper};
pub use picture::{Picture, PictureError};
pub use straight::{Straight, paper_size, straighten};
pub use trace::{TraceError, TraceSettings, Traced, parallax, trace};

#[cfg(test)]
mod tests;

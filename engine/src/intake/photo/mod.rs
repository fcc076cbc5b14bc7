//! Traces a mold that was photographed on a sheet of paper.
//!
//! Pixels come in decoded: the browser opens every picture format by itself, and a decoder of our own would weigh more
//! than all of this. [`find_paper`] finds the paper's four corners, which a person may move, and [`find_card`] the marks of
//! our own card, which are found better; [`trace()`] takes the perspective off, tells mold from paper and follows the
//! mold's edge, or the line that was drawn round it, in millimetres on the paper.

mod camera;
mod card;
mod contour;
mod drawn;
mod flat;
mod homography;
mod light;
mod marks;
mod paper;
mod parallax;
mod patch;
mod picture;
mod solve;
mod straight;
mod trace;

pub use camera::Camera;
pub use card::{Card, CardMark};
pub use marks::{CardError, FoundCard, find_card};
pub use paper::{FoundPaper, Paper, PaperCorners, PaperError, find_paper};
pub use parallax::{ParallaxWarning, parallax, parallax_warning};
pub use picture::{Picture, PictureError};
pub use straight::{Straight, paper_size, straighten};
pub use trace::{TraceError, TraceSettings, Traced, trace};

#[cfg(test)]
mod tests;

//! How thin the sheet between and beside male molds becomes, in section: why clearance costs or saves plastic.
//!
//! ```text
//! tent   g / sqrt(g² + h²)    sheet pulled tight from the top of a mold to the frame, before the vacuum
//! skirt  g / (g + h)          the same sheet drawn fully down the wall and out over the platen
//! floor  s / (s + h1 + h2)    sheet drawn down two walls and over the floor between them
//! ```
//!
//! `g` is the gap from mold to frame, `s` the clear space between two molds and `h`, `h1`, `h2` are heights. All are mean
//! thicknesses as shares of the gauge, for walls without draft that are long against their height, with sheet
//! that leaves the tops as thick as it was.
//!
//! **Source:** derived here from conservation of volume in plane strain; a comparison of layouts, no
//! published criterion for webs.

use crate::units::Length;

/// Mean thickness of the sheet tented from a mold to the frame, as a share of the gauge; 1 for no height.
#[must_use]
pub fn tent(gap: Length, height: Length) -> f64 {
    let (gap, height) = (gap.to_mm(), height.to_mm());
    share(gap, (gap * gap + height * height).sqrt())
}

/// Mean thickness of wall and skirt beside a mold, drawn fully down, as a share of the gauge.
#[must_use]
pub fn skirt(gap: Length, height: Length) -> f64 {
    share(gap.to_mm(), (gap + height).to_mm())
}

/// Mean thickness of the sheet between two molds, walls and floor, as a share of the gauge.
///
/// ```
/// use engine::{physics::webbing::floor_strip, units::Length};
/// assert_eq!(floor_strip(Length::mm(80.0), [Length::mm(40.0); 2]), 0.5);
/// ```
#[must_use]
pub fn floor_strip(space: Length, heights: [Length; 2]) -> f64 {
    share(space.to_mm(), (space + heights[0] + heights[1]).to_mm())
}

/// The linear draw ratio of the same strip: its length after over before; infinite without space.
#[must_use]
pub fn floor_strip_linear(space: Length, heights: [Length; 2]) -> f64 {
    1.0 / floor_strip(space, heights)
}

/// Before over after; a strip of no length that stays as it is keeps its gauge.
fn share(before: f64, after: f64) -> f64 {
    if after > 0.0 { before / after } else { 1.0 }
}

//! What a mold's height does to its outline in a photograph.

use std::fmt;

use super::trace::Traced;
use crate::units::{Length, LengthStyle};

/// How far the top edge of a mold of this height may seem to stand out: the farther from below the camera, the more.
///
/// A place at height `h` and `reach` from the point below a camera at `D` shows on the paper at `reach D / (D - h)`
/// (central projection).
#[must_use]
pub fn parallax(height: Length, reach: Length, camera_height: Length) -> Length {
    let left = camera_height - height;
    if left > Length::ZERO { reach * (height / left) } else { reach }
}

/// A mold so tall that its top edge may have been traced in the place of its base; says what to do in `Display`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ParallaxWarning {
    /// The mold's height.
    pub height: Length,
    /// The least and the greatest height of the camera over the paper.
    pub camera: (Length, Length),
    /// How far out the top edge may show: seen from the greatest height, and from the least.
    pub shift: (Length, Length),
}

/// The warning for what was traced, if it is of a mold of this height; `None` where the shift is lost in the error that
/// is expected anyway.
#[must_use]
pub fn parallax_warning(traced: &Traced, height: Length) -> Option<ParallaxWarning> {
    let below = traced.camera.below;
    let corners = traced.outlines.iter().flat_map(|one| one.region.outer.points());
    let reach = Length::mm(corners.map(|p| p.distance(below)).fold(0.0, f64::max));
    let camera = traced.camera.height;
    let shift = (parallax(height, reach, camera.1), parallax(height, reach, camera.0));
    (shift.1 > traced.expected_error).then_some(ParallaxWarning { height, camera, shift })
}

impl fmt::Display for ParallaxWarning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let style = LengthStyle::Millimetres;
        let range = |(least, most): (Length, Length)| {
            let whole = |length: Length| format!("{:.0}", length.to_mm());
            if whole(least) == whole(most) {
                format!("about {} mm", whole(least))
            } else {
                format!("{} to {} mm", whole(least), whole(most))
            }
        };
        write!(
            f,
            "the top edge of a mold {} tall, seen from {} above the paper, shows {} too far out at its farthest: trace \
             the base instead (draw round the mold, take it off and photograph the line), or stand farther back",
            style.show(self.height),
            range(self.camera),
            range(self.shift)
        )
    }
}

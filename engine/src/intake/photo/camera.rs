//! Where the camera stood, from how the paper is seen.
//!
//! ```text
//! H = K [r1 r2 t] up to a factor,      r1 . r2 = 0,  |r1| = |r2|,      K = diag(f, f, 1) about the picture's middle
//! ```
//!
//! Both conditions on the two columns give the focal length `f` once the paper is seen at a slant; seen from straight
//! above, a near wide lens and a far long one show the same, and a range of usual lenses is taken.
//!
//! **Source:** Z. Zhang, A flexible new technique for camera calibration, IEEE PAMI 22(11), 2000, section 2 (from memory).

use super::homography::Homography;
use crate::geometry::{Point, Vec2};
use crate::units::{Angle, Length};

/// The focal lengths of usual phone lenses as shares of a picture's longer side: 23 to 52 mm for the 36 mm of the
/// small-picture format (common practice).
const LENSES: (f64, f64) = (23.0 / 36.0, 52.0 / 36.0);

/// A lens that is measured and lies outside these shares is a wrong measurement.
const BELIEVED: (f64, f64) = (0.4, 4.0);

/// The least slant at which a lens is measured: below it, bent paper and the lens' own faults weigh more.
const SLANT: Angle = Angle::degrees(12.0);

/// Where the camera stood over the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// The least and the greatest height above the paper; equal when the slant of the paper tells it.
    pub height: (Length, Length),
    /// The place on the paper below the camera, in the outlines' coordinates.
    pub below: Point,
}

/// The camera that sees the paper by this map in a picture of so many pixels.
pub(super) fn camera(map: Homography, (width, height): (f64, f64)) -> Option<Camera> {
    let longer = width.max(height);
    let rows = map.then(Vec2::new(-width / 2.0, -height / 2.0), 1.0 / longer);
    let stands = focal_length(&rows)
        .filter(|focal| (BELIEVED.0..BELIEVED.1).contains(focal))
        .and_then(|focal| position(&rows, focal))
        .filter(|(_, _, slant)| *slant >= SLANT);
    if let Some((high, below, _)) = stands {
        return Some(Camera { height: (Length::mm(high), Length::mm(high)), below });
    }
    let (near, _, _) = position(&rows, LENSES.0)?;
    let (far, _, _) = position(&rows, LENSES.1)?;
    let (_, below, _) = position(&rows, (LENSES.0 * LENSES.1).sqrt())?;
    Some(Camera { height: (Length::mm(near.min(far)), Length::mm(near.max(far))), below })
}

/// The focal length that suits both conditions best, as a share of the longer side.
fn focal_length([x, y, z]: &[[f64; 3]; 3]) -> Option<f64> {
    let across = (x[0] * x[1] + y[0] * y[1], z[0] * z[1]);
    let alike = (x[0] * x[0] + y[0] * y[0] - x[1] * x[1] - y[1] * y[1], z[0] * z[0] - z[1] * z[1]);
    let squared =
        -(across.0 * across.1 + alike.0 * alike.1) / (across.1 * across.1 + alike.1 * alike.1);
    (squared.is_finite() && squared > 0.0).then(|| squared.sqrt())
}

/// The height over the paper in millimetres, the place below, and the slant of the view at a focal length.
fn position([x, y, z]: &[[f64; 3]; 3], focal: f64) -> Option<(f64, Point, Angle)> {
    let column = |k: usize| [x[k] / focal, y[k] / focal, z[k]];
    let (one, two, middle) = (column(0), column(1), column(2));
    let dot = |p: [f64; 3], q: [f64; 3]| p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
    let size = (dot(one, one) * dot(two, two)).sqrt();
    let up = [
        one[1] * two[2] - one[2] * two[1],
        one[2] * two[0] - one[0] * two[2],
        one[0] * two[1] - one[1] * two[0],
    ];
    let length = dot(up, up).sqrt();
    let height = dot(up, middle).abs() / length / size.sqrt();
    let below = Point::new(-dot(one, middle) / dot(one, one), -dot(two, middle) / dot(two, two));
    let slant = Angle::radians(libm::acos((up[2] / length).abs().min(1.0)));
    (height.is_finite() && below.is_finite()).then_some((height, below, slant))
}

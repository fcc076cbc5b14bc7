//! From a picture and the paper's corners to outlines in millimetres.

use super::super::found::FoundOutline;
use super::super::nest::nest;
use super::super::pen::Line;
use super::super::problem::{Place, Problem, Problems, Trouble};
use super::camera::{Camera, camera};
use super::contour::contours;
use super::drawn::without_lines;
use super::flat::{RIM, View};
use super::light::otsu;
use super::paper::{Paper, PaperCorners, map};
use super::picture::Picture;
use crate::geometry::{Point, Region, Ring, simplify};
use crate::units::Length;

/// The finest cells that the paper is cut into: finer ones follow the camera's noise.
const FINEST: f64 = 0.12;

/// Outlines smaller than this are dust, letters and lines of a ruled sheet, in square millimetres.
const LEAST_AREA: f64 = 25.0;

/// Holes down to this are looked at, since a small one may be what a drawn line encloses, in square millimetres.
const LEAST_HOLE: f64 = 4.0;

/// How far a traced outline may be simplified.
const SIMPLER: Length = Length::mm(0.1);

/// How far a corner that was set by hand may be off, as a share of the picture's longer side: two pixels of a screen
/// that shows a thousand of them (common practice).
const BY_HAND: f64 = 0.002;

/// The distance at which a phone's usual lens sees its picture's longer side in the same length: 27 mm for the
/// 36 mm of the small-picture format (common practice).
const FOCAL_SHARE: f64 = 0.75;

/// How a picture is traced.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TraceSettings {
    /// How much darker than paper the mold's edge is, from 0 to 1; found by itself when `None`.
    pub threshold: Option<f64>,
    /// What is to be taken for bare paper, such as shadows, in millimetres on the paper.
    pub masks: Vec<Ring>,
    /// How far the paper's edges, or the card's marks, strayed when its corners were found, in pixels; `None` when the
    /// corners were set by hand.
    pub stray: Option<f64>,
}

/// What was traced.
#[derive(Clone, Debug, PartialEq)]
pub struct Traced {
    /// The outlines, the largest first, in millimetres from the paper's lower left corner as the picture shows it.
    pub outlines: Vec<FoundOutline>,
    /// The threshold that was used.
    pub threshold: f64,
    /// What the outline may be off by, if the mold is flat: half a pixel of the picture where it is coarsest, what the
    /// corners may be off by, and what simplifying takes.
    pub expected_error: Length,
    /// How far the outline was simplified at most.
    pub simplified: Length,
    /// From the camera to the middle of the paper, as a phone's usual lens would have it.
    pub camera_height: Length,
    /// Where the camera stood, as far as the picture tells.
    pub camera: Camera,
    /// What was found to be wrong.
    pub problems: Vec<Problem>,
}

/// Why nothing was traced.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum TraceError {
    /// The corners are no quadrilateral.
    #[error("the paper's corners lie on a line: move them to the corners of the sheet")]
    Corners,
    /// No bare paper.
    #[error("next to nothing of the paper is bare: use a larger sheet, or move its corners")]
    NoPaper,
    /// The threshold goes through noise.
    #[error(
        "at {threshold:.2} mold and paper cannot be told apart: choose another threshold, or more light"
    )]
    Noise {
        /// The threshold that was used.
        threshold: f64,
    },
}

/// Traces what lies on the paper. Cost: linear in the cells of the paper, four million at most.
///
/// The light on the paper is fitted and taken off, so that lamps and windows do not matter; what is clearly darker or
/// of another colour is mold. Soft shadows are lighter than half of most molds; others can be masked.
///
/// # Errors
/// Says what to change.
pub fn trace(
    picture: &Picture<'_>,
    paper: Paper,
    corners: PaperCorners,
    settings: &TraceSettings,
) -> Result<Traced, TraceError> {
    let (map, width, depth) = map(paper, corners).ok_or(TraceError::Corners)?;
    let view = View { picture: *picture, map, width, depth };
    let (coarsest, level) = pixel_mm(&view).ok_or(TraceError::Corners)?;
    let light = view.light().ok_or(TraceError::NoPaper)?;
    let flat = view.flat(&light, Length::mm(coarsest.clamp(FINEST, 0.3)), &settings.masks);
    let threshold = settings
        .threshold
        .filter(|threshold| threshold.is_finite())
        .map_or_else(|| halfway(flat.field.heights()), |threshold| threshold.clamp(0.02, 0.98));
    let lines = contours(&flat.field, threshold).ok_or(TraceError::Noise { threshold })?;
    let mut problems = Problems::default();
    let outlines = outlines(lines, &mut problems);
    tell(&outlines, (width, depth), &mut problems);
    let sides = (f64::from(picture.width()), f64::from(picture.height()));
    let camera = camera(map, sides).ok_or(TraceError::Corners)?;
    let longer = sides.0.max(sides.1);
    let stray = settings.stray.filter(|stray| (0.0..1e3).contains(stray));
    let stray = stray.unwrap_or(BY_HAND * longer);
    Ok(Traced {
        camera,
        outlines,
        threshold,
        expected_error: Length::mm(coarsest * (0.5 + stray)) + SIMPLER,
        simplified: SIMPLER,
        camera_height: Length::mm(FOCAL_SHARE * longer * level),
        problems: problems.into_list(),
    })
}

/// The length of a pixel's side on the paper: where it is longest, and in the middle along the way that is not
/// foreshortened; `None` when the corners make no picture.
fn pixel_mm(view: &View<'_>) -> Option<(f64, f64)> {
    let (w, d) = (view.width, view.depth);
    let places = [(0.0, 0.0), (w, 0.0), (0.0, d), (w, d), (w / 2.0, d / 2.0)];
    let (mut longest, mut level) = (0.0_f64, 0.0);
    for (x, y) in places {
        let at = view.map.apply(Point::new(x, y));
        let next = [Point::new(x + 0.5, y), Point::new(x, y + 0.5)];
        let [one, other] = next.map(|next| 0.5 / view.map.apply(next).distance(at));
        longest = longest.max(one).max(other);
        // The middle comes last.
        level = one.min(other);
    }
    (longest.is_finite() && longest > 1e-4 && longest < 20.0).then_some((longest, level))
}

/// Halfway between what is paper and what is mold: Otsu's threshold parts them, and their medians say where each is.
fn halfway(darkness: &[f32]) -> f64 {
    let mut histogram = [0_u32; 256];
    for &value in darkness {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a darkness is from 0 to 1"
        )]
        let bin = (value.clamp(0.0, 1.0) * 255.0) as usize;
        histogram[bin] += 1;
    }
    let parted = otsu(&histogram);
    let median = |bins: std::ops::Range<usize>| {
        let total: u64 = histogram[bins.clone()].iter().map(|&n| u64::from(n)).sum();
        let mut sum = 0;
        let mut bins = bins;
        let middle = bins.find(|&bin| {
            sum += u64::from(histogram[bin]);
            2 * sum >= total
        });
        (f64::from(u32::try_from(middle.unwrap_or(0)).unwrap_or(0)) + 0.5) / 255.0
    };
    f64::midpoint(median(0..parted + 1), median(parted + 1..256))
}

/// Lines large enough to be molds, simplified, with their holes; drawn lines stand for what they were drawn round.
fn outlines(lines: Vec<Vec<Point>>, problems: &mut Problems) -> Vec<FoundOutline> {
    let mut n_small = 0;
    let mut kept = Vec::new();
    for points in lines {
        let ring = Ring::new(points);
        // What is dark lies to the left, so that a hole turns the other way.
        let area = ring.signed_area();
        if area.abs() < LEAST_AREA {
            n_small += 1;
        }
        if area < LEAST_AREA && area > -LEAST_HOLE {
            continue;
        }
        let region = simplify(&Region { outer: ring, holes: Vec::new() }, SIMPLER);
        kept.push(Line {
            points: region.outer.points().to_vec(),
            is_closed: true,
            is_filled: false,
            name: String::new(),
            at: Place::File,
        });
    }
    if n_small > 0 {
        problems.push(Place::File, Trouble::Specks { n: n_small });
    }
    let dark = nest(kept, problems);
    without_lines(dark, LEAST_AREA, problems)
}

fn tell(outlines: &[FoundOutline], (width, depth): (f64, f64), problems: &mut Problems) {
    if outlines.is_empty() {
        problems.push(Place::File, Trouble::NoOutline);
    }
    let reach = RIM + 2.0;
    let is_at_edge =
        |p: &Point| p.x < reach || p.y < reach || p.x > width - reach || p.y > depth - reach;
    if outlines.iter().any(|one| one.region.outer.points().iter().any(is_at_edge)) {
        problems.push(Place::File, Trouble::BeyondPaper);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Shape;
    use crate::units::Angle;

    #[test]
    fn a_simplified_outline_stays_within_a_tenth_of_a_millimetre_of_the_line_that_was_followed() {
        // A shell of forty ribs, in steps as fine as the cells of a picture.
        let raw: Vec<Point> = (0..4000_u32)
            .map(|k| {
                let turn = Angle::degrees(f64::from(k) * 0.09);
                let (sin, cos) = turn.sin_cos();
                let radius = 45.0 + 0.6 * Angle::degrees(f64::from(k) * 3.6).sin();
                Point::new(100.0 + radius * cos, 100.0 + radius * sin)
            })
            .collect();
        let traced = outlines(vec![raw.clone()], &mut Problems::default());
        let simple = &traced[0].region.outer;
        assert!(simple.points().len() < raw.len() / 4, "{} corners", simple.points().len());
        let shape = Shape::new(Region::new(simple.clone(), Vec::new()));
        let off = |p: &Point| shape.distance_to_outline(*p).expect("an outline").to_mm();
        let worst = raw.iter().map(off).fold(0.0, f64::max);
        assert!(worst <= 0.1 + 1e-9, "{worst} mm");
        assert!(worst > 0.02, "nothing was left out: {worst} mm");
    }
}

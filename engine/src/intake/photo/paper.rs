//! Finds the paper in a picture: its four corners, to a fraction of a pixel.

use super::homography::Homography;
use super::light::otsu;
use super::patch::largest_patch;
use super::picture::Picture;
use crate::geometry::{Point, Region, Ring, Vec2, convex_hull, simplify};
use crate::units::Length;

/// Squares along the longer side of the picture in which the paper is looked for first.
const SQUARES: u32 = 800;

/// Places along each side at which its edge is looked for.
const PROBES: u32 = 120;

/// The part of a side at each end that is left out: corners curl and are cut.
const END: f64 = 0.05;

/// The least share of the picture that the paper may fill.
const LEAST_SHARE: f64 = 0.05;

/// The greatest: of a picture filled by paper no edge is seen.
const MOST_SHARE: f64 = 0.98;

/// What the mold lies on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Paper {
    /// ISO A4, 210 x 297 mm (ISO 216).
    A4,
    /// US Letter, 8.5 x 11 in (ANSI/ASME Y14.1, size A).
    Letter,
    /// Any other rectangle, such as a card with corner marks whose corners are set by hand.
    Other {
        /// The shorter side.
        short: Length,
        /// The longer side.
        long: Length,
    },
}

impl Paper {
    /// The shorter and the longer side in millimetres.
    pub(super) const fn sides(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
            Self::Other { short, long } => (short.to_mm(), long.to_mm()),
        }
    }
}

/// The paper's corners in pixels from the top left of the picture, y down: top left, top right, bottom right,
/// bottom left as the picture shows them.
pub type PaperCorners = [Point; 4];

/// The paper as it was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundPaper {
    /// The corners; a person may move them.
    pub corners: PaperCorners,
    /// How far the edges that were seen stray from straight lines, in pixels.
    pub stray: f64,
}

/// Why no paper was found.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PaperError {
    /// Nothing bright and large.
    #[error(
        "no sheet of paper stands out in the picture: lay it on a darker ground, or set its corners by hand"
    )]
    NotFound,
    /// Something bright that is no sheet.
    #[error(
        "what is bright in the picture has no four straight edges: show the whole sheet, or set its corners by hand"
    )]
    NotFourSided,
}

/// Finds a sheet of paper that is lighter than what it lies on.
///
/// The largest bright patch gives a rough quadrilateral; each of its sides is then fitted to the edge as it is seen at
/// full resolution, and the fitted lines meet at the corners. Cost: linear in the pixels.
///
/// # Errors
/// Says what to change in the picture.
pub fn find_paper(picture: &Picture<'_>) -> Result<FoundPaper, PaperError> {
    let step = picture.width().max(picture.height()).div_ceil(SQUARES).max(1);
    let rough = rough_corners(picture, step)?;
    let mut lines = [(Point::ORIGIN, Vec2::ZERO); 4];
    let mut stray = 0.0_f64;
    for (index, line) in lines.iter_mut().enumerate() {
        let ends = (rough[index], rough[(index + 1) % 4]);
        let seen = edge_places(picture, ends, 3.0 * f64::from(step) + 2.0);
        let (fitted, off) = fit_line(seen).ok_or(PaperError::NotFourSided)?;
        *line = fitted;
        stray = stray.max(off);
    }
    let mut corners = rough;
    for (index, corner) in corners.iter_mut().enumerate() {
        let met = meet(lines[(index + 3) % 4], lines[index]).ok_or(PaperError::NotFourSided)?;
        if met.distance(*corner) > 20.0 * f64::from(step) {
            return Err(PaperError::NotFourSided);
        }
        *corner = met;
    }
    Ok(FoundPaper { corners, stray })
}

/// The corners of the largest bright patch, to some pixels.
fn rough_corners(picture: &Picture<'_>, step: u32) -> Result<PaperCorners, PaperError> {
    let (columns, rows, light) = picture.small(step);
    let mut histogram = [0_u32; 256];
    for &value in &light {
        histogram[usize::from(value)] += 1;
    }
    let threshold = otsu(&histogram);
    let mut bright: Vec<bool> = light.iter().map(|&value| usize::from(value) > threshold).collect();
    let patch = largest_patch(&mut bright, columns);
    let share = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    let filled = share(patch.len()) / share(columns * rows);
    if !(LEAST_SHARE..MOST_SHARE).contains(&filled) {
        return Err(PaperError::NotFound);
    }
    let places = patch.iter().map(|&at| {
        let middle = |index: usize| (share(index) + 0.5) * f64::from(step);
        Point::new(middle(at % columns), middle(at / columns))
    });
    let hull = Region { outer: convex_hull(places), holes: Vec::new() };
    let hull = simplify(&hull, Length::mm(f64::from(step)));
    let corners = largest_quadrilateral(hull.outer.points()).ok_or(PaperError::NotFourSided)?;
    let area = Ring::new(corners.to_vec()).signed_area().abs();
    if area < 0.85 * hull.outer.signed_area().abs() {
        return Err(PaperError::NotFourSided);
    }
    Ok(in_order(corners))
}

/// The four corners of a convex outline that enclose the most: the best diagonal with the farthest corner on
/// either side.
pub(super) fn largest_quadrilateral(points: &[Point]) -> Option<[Point; 4]> {
    let mut best = None;
    let mut most = 0.0;
    for (i, &a) in points.iter().enumerate() {
        for &c in &points[i + 1..] {
            let height = |p: &Point| (c - a).cross(*p - a);
            let highest = points.iter().max_by(|p, q| height(p).total_cmp(&height(q)))?;
            let lowest = points.iter().min_by(|p, q| height(p).total_cmp(&height(q)))?;
            let area = height(highest) - height(lowest);
            if area > most && height(highest) > 0.0 && height(lowest) < 0.0 {
                most = area;
                best = Some([a, *lowest, c, *highest]);
            }
        }
    }
    best
}

/// From the top left on, clockwise as the picture shows them.
pub(super) fn in_order(corners: [Point; 4]) -> PaperCorners {
    let ring = Ring::new(corners.to_vec());
    // With y down, clockwise as seen has a positive area.
    let mut corners = if ring.signed_area() >= 0.0 {
        corners
    } else {
        [corners[3], corners[2], corners[1], corners[0]]
    };
    let first = (0..4).min_by(|&i, &j| {
        let sum = |index: usize| corners[index].x + corners[index].y;
        sum(i).total_cmp(&sum(j))
    });
    corners.rotate_left(first.unwrap_or(0));
    corners
}

/// Places on the edge near a rough side: on each probe across it, where brightness passes halfway from the ground
/// to the paper.
pub(super) fn edge_places(
    picture: &Picture<'_>,
    (from, to): (Point, Point),
    reach: f64,
) -> Vec<Point> {
    let along = to - from;
    let inward = along.left() / along.length().max(1e-9);
    let probe = |index: u32| -> Option<Point> {
        let share = END + (1.0 - 2.0 * END) * f64::from(index) / f64::from(PROBES - 1);
        let middle = from + along * share;
        let steps = 4 * u32::try_from(whole(reach)).unwrap_or(1);
        let at = |k: u32| middle + inward * (reach * (2.0 * f64::from(k) / f64::from(steps) - 1.0));
        let values: Vec<f64> = (0..=steps).map(|k| picture.brightness(at(k))).collect();
        let ends = values.len() / 6;
        let mean = |part: &[f64]| {
            part.iter().sum::<f64>() / f64::from(u32::try_from(part.len().max(1)).unwrap_or(1))
        };
        let (ground, paper) = (mean(&values[..ends]), mean(&values[values.len() - ends..]));
        if paper - ground < 15.0 {
            return None;
        }
        let half = f64::midpoint(ground, paper);
        // The steepest place, so that a line drawn on the paper is not taken for its edge.
        let rise = |k: usize| values[(k + 2).min(values.len() - 1)] - values[k.saturating_sub(2)];
        let steepest = (0..values.len()).max_by(|&i, &j| rise(i).total_cmp(&rise(j)))?;
        let near = steepest.saturating_sub(12)..(steepest + 12).min(values.len() - 1);
        let crossing = near.into_iter().find(|&k| values[k] <= half && values[k + 1] > half)?;
        let share = (half - values[crossing]) / (values[crossing + 1] - values[crossing]);
        let (one, next) = (u32::try_from(crossing).ok()?, u32::try_from(crossing + 1).ok()?);
        Some(at(one) + (at(next) - at(one)) * share)
    };
    (0..PROBES).filter_map(probe).collect()
}

/// The straight line through places, the strays left out, and the root mean square of what is left.
pub(super) fn fit_line(mut places: Vec<Point>) -> Option<((Point, Vec2), f64)> {
    for _ in 0..6 {
        if places.len() < 16 {
            return None;
        }
        let n = f64::from(u32::try_from(places.len()).ok()?);
        let sum = places.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
        let middle = Point::ORIGIN + sum / n;
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for p in &places {
            let d = *p - middle;
            (xx, xy, yy) = (xx + d.x * d.x, xy + d.x * d.y, yy + d.y * d.y);
        }
        let (sin, cos) = libm::sincos(0.5 * libm::atan2(2.0 * xy, xx - yy));
        let along = Vec2::new(cos, sin);
        let off = |p: &Point| along.cross(*p - middle).abs();
        let mut sorted: Vec<f64> = places.iter().map(off).collect();
        sorted.sort_by(f64::total_cmp);
        let limit = (3.0 * sorted[sorted.len() / 2]).max(0.3);
        let before = places.len();
        let rms = (places.iter().map(|p| off(p) * off(p)).sum::<f64>() / n).sqrt();
        places.retain(|p| off(p) <= limit);
        if places.len() == before {
            return Some(((middle, along), rms));
        }
    }
    None
}

pub(super) fn meet((p, u): (Point, Vec2), (q, v): (Point, Vec2)) -> Option<Point> {
    let turn = u.cross(v);
    (turn.abs() > 1e-6).then(|| p + u * ((q - p).cross(v) / turn))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a reach is some dozens of pixels"
)]
fn whole(value: f64) -> usize {
    value.clamp(1.0, 1e4) as usize
}

/// The map from the paper, in millimetres with y up from its lower left, to the picture; and the paper's width and
/// depth as the picture shows it. `None` when the corners are on a line.
pub(super) fn map(paper: Paper, corners: PaperCorners) -> Option<(Homography, f64, f64)> {
    let (short, long) = paper.sides();
    let [a, b, c, d] = corners;
    let across = a.distance(b) + c.distance(d);
    let down = b.distance(c) + d.distance(a);
    let (width, depth) = if across > down { (long, short) } else { (short, long) };
    let on_paper = [
        Point::new(0.0, depth),
        Point::new(width, depth),
        Point::new(width, 0.0),
        Point::new(0.0, 0.0),
    ];
    Homography::between(on_paper, corners).map(|map| (map, width, depth))
}

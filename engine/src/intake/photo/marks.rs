//! Finds the marks of the card in a picture, to a fraction of a pixel.
//!
//! Dark patches of about the right size with four straight sides are taken for squares; each side is fitted to its
//! edge at full resolution, as the paper's are, and the fields in the middle are counted. Of all ways to take one
//! square of each kind, the one whose sixteen corners lie best on a card counts, and the map is fitted to all sixteen.

use super::card::{Card, CardMark};
use super::homography::Homography;
use super::paper::{
    Paper, PaperCorners, edge_places, fit_line, in_order, largest_quadrilateral, meet,
};
use super::patch::taken_out;
use super::picture::Picture;
use crate::geometry::{Point, Region, Ring, convex_hull, simplify};
use crate::units::Length;

/// Squares along the longer side of the picture in which marks are looked for first.
const SQUARES: u32 = 1000;

/// Half the window, in squares, that the ground's brightness is taken from: wider than a mark.
const WINDOW: usize = 45;

/// What is darker than this share of its window's mean is a mark, or a mold.
const DARK: f64 = 0.62;

/// The sides of a patch, in squares.
const SIDES: (usize, usize) = (7, 140);

/// The side of a mark, in squares, from which on its rough corners are good enough to count its fields by.
const ROUGHLY: f64 = 16.0;

/// Squares of each kind that are tried.
const MOST_OF_A_KIND: usize = 6;

/// How far a corner may lie from where a card has it, as a share of the mark's side.
const STRAY: f64 = 0.12;

/// How much further than half a mark what is printed at the corners is masked.
const MASKED: Length = Length::mm(1.5);

/// The card as it was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundCard {
    /// Which card it is.
    pub card: Card,
    /// The middles of the marks in the picture: back left, back right, front right, front left of the card. With
    /// [`FoundCard::paper`] they are the corners to trace with; outlines then stand as the card does.
    pub corners: PaperCorners,
    /// How far the marks' corners stray from those of the card, in pixels (root mean square).
    pub stray: f64,
}

impl FoundCard {
    /// The rectangle between the middles of the marks, in the place of a sheet of paper.
    #[must_use]
    pub const fn paper(&self) -> Paper {
        let (short, long) = self.card.apart();
        Paper::Other { short, long }
    }

    /// What is to be masked in tracing: the marks themselves.
    #[must_use]
    pub fn masks(&self) -> Vec<Ring> {
        let (across, up) = self.card.apart();
        let half = CardMark::SIDE / 2.0 + MASKED;
        let corners = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)];
        let square = |(x, y): (f64, f64)| {
            let middle = Point::new(across.to_mm() * x, up.to_mm() * y);
            let around = crate::geometry::Rect::new(middle, middle).grown(half);
            Ring::new(around.corners().to_vec())
        };
        corners.map(square).to_vec()
    }
}

/// Why no card was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CardError {
    /// Fewer than four kinds of mark.
    #[error(
        "{n} of the card's four marks are seen: show the whole card, flat and without shadows on its corners"
    )]
    TooFew {
        /// How many kinds were found.
        n: usize,
    },
    /// Four marks that are not those of one card.
    #[error("the marks do not lie as on a card: lay it flat and show one card only")]
    NotACard,
    /// Four marks in the order of a mirror.
    #[error(
        "the picture is mirrored: turn mirroring off in the camera, and photograph the card again"
    )]
    Mirrored,
}

/// A square with its count of white fields.
#[derive(Clone, Copy, Debug)]
struct Seen {
    corners: [Point; 4],
    middle: Point,
    n_white: usize,
}

/// Finds the card's marks. Cost: linear in the pixels.
///
/// # Errors
/// Says what to change in the picture.
pub fn find_card(picture: &Picture<'_>) -> Result<FoundCard, CardError> {
    let step = picture.width().max(picture.height()).div_ceil(SQUARES).max(1);
    let mut kinds: [Vec<Seen>; 4] = [const { Vec::new() }; 4];
    for quad in patches(picture, step) {
        if let Some(seen) = seen(picture, quad, step)
            && let Some(kind) = kinds.get_mut(seen.n_white)
            && kind.len() < MOST_OF_A_KIND
        {
            kind.push(seen);
        }
    }
    let n = kinds.iter().filter(|kind| !kind.is_empty()).count();
    if n < 4 {
        return Err(CardError::TooFew { n });
    }
    best(&kinds)
}

/// Quadrilaterals round dark patches, to some pixels.
fn patches(picture: &Picture<'_>, step: u32) -> Vec<[Point; 4]> {
    let (columns, rows, light) = picture.small(step);
    let mut is_dark = dark(&light, columns, rows);
    let mut found = Vec::new();
    for start in 0..is_dark.len() {
        if !is_dark[start] {
            continue;
        }
        let patch = taken_out(&mut is_dark, columns, start);
        let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
        let side = |of: fn(usize, usize) -> usize| {
            let all = || patch.iter().map(|&at| of(at, columns));
            all().max().unwrap_or(0) - all().min().unwrap_or(0) + 1
        };
        let (wide, deep) = (side(|at, columns| at % columns), side(|at, columns| at / columns));
        if wide.min(deep) < SIDES.0
            || wide.max(deep) > SIDES.1
            || wide > 4 * deep
            || deep > 4 * wide
        {
            continue;
        }
        let places = patch.iter().map(|&at| {
            let middle = |index: usize| (count(index) + 0.5) * f64::from(step);
            Point::new(middle(at % columns), middle(at / columns))
        });
        let hull = Region { outer: convex_hull(places), holes: Vec::new() };
        let hull = simplify(&hull, Length::mm(f64::from(step)));
        let Some(quad) = largest_quadrilateral(hull.outer.points()) else { continue };
        let area = Ring::new(quad.to_vec()).signed_area().abs();
        let filled = count(patch.len()) * f64::from(step * step);
        if area > 0.8 * hull.outer.signed_area().abs() && filled > 0.5 * area {
            found.push(in_order(quad));
        }
    }
    found
}

/// Which squares are much darker than what is round them.
fn dark(light: &[u8], columns: usize, rows: usize) -> Vec<bool> {
    // Sums over all squares before and above, with a row and a column of zeros first.
    let stride = columns + 1;
    let mut sums = vec![0_u32; stride * (rows + 1)];
    for row in 0..rows {
        let mut sum = 0;
        for column in 0..columns {
            sum += u32::from(light[row * columns + column]);
            sums[(row + 1) * stride + column + 1] = sums[row * stride + column + 1] + sum;
        }
    }
    let is_dark = |at: usize| {
        let (column, row) = (at % columns, at / columns);
        let (left, right) = (column.saturating_sub(WINDOW), (column + WINDOW + 1).min(columns));
        let (top, bottom) = (row.saturating_sub(WINDOW), (row + WINDOW + 1).min(rows));
        let sum = sums[bottom * stride + right] + sums[top * stride + left]
            - sums[bottom * stride + left]
            - sums[top * stride + right];
        let n = u32::try_from((right - left) * (bottom - top)).unwrap_or(1);
        f64::from(light[at]) * f64::from(n) < DARK * f64::from(sum)
    };
    (0..light.len()).map(is_dark).collect()
}

/// The square with its sides fitted and its white fields counted; `None` for what is no mark.
fn seen(picture: &Picture<'_>, quad: [Point; 4], step: u32) -> Option<Seen> {
    let shortest =
        (0..4).map(|k| quad[k].distance(quad[(k + 1) % 4])).fold(f64::INFINITY, f64::min);
    // Most dark patches are no marks, and fitting takes a hundred times as long as counting: where the rough corners are
    // good enough to count by, it is done first.
    let is_large = shortest > ROUGHLY * f64::from(step);
    if is_large && square(quad).and_then(|map| n_white(picture, map)).is_none() {
        return None;
    }
    let reach = (2.5 * f64::from(step) + 1.0).min(shortest / 6.0);
    let mut lines = [(Point::ORIGIN, crate::geometry::Vec2::ZERO); 4];
    for (index, line) in lines.iter_mut().enumerate() {
        // From the end to the beginning: the ground lies inside, the paper outside.
        let ends = (quad[(index + 1) % 4], quad[index]);
        *line = fit_line(edge_places(picture, ends, reach))?.0;
    }
    let mut corners = quad;
    for (index, corner) in corners.iter_mut().enumerate() {
        let met = meet(lines[(index + 3) % 4], lines[index])?;
        if met.distance(*corner) > shortest / 3.0 {
            return None;
        }
        *corner = met;
    }
    let map = square(corners)?;
    let n_white = n_white(picture, map)?;
    Some(Seen { corners, middle: map.apply(Point::new(2.0, 2.0)), n_white })
}

/// The map from a mark's fields, four a side, to the picture.
fn square(corners: [Point; 4]) -> Option<Homography> {
    let fields = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)];
    Homography::between(fields.map(|(x, y)| Point::new(x, y)), corners)
}

/// How many of the fields in the middle are white; `None` when those at the rim are not all black, or what is round
/// them not white.
fn n_white(picture: &Picture<'_>, map: Homography) -> Option<usize> {
    let field = |column: f64, row: f64| {
        let offsets = [-0.2, 0.0, 0.2];
        let places = offsets.into_iter().flat_map(|dx| offsets.map(|dy| (dx, dy)));
        let light = places.map(|(dx, dy)| {
            picture.brightness(map.apply(Point::new(column + 0.5 + dx, row + 0.5 + dy)))
        });
        light.sum::<f64>() / 9.0
    };
    let along = [0.0, 1.0, 2.0, 3.0];
    let rim = along.into_iter().flat_map(|k| [(k, 0.0), (3.0, k), (k, 3.0), (0.0, k)]);
    let outside = along.into_iter().flat_map(|k| [(k, -1.0), (4.0, k), (k, 4.0), (-1.0, k)]);
    let darkest_out = outside.map(|(x, y)| field(x, y)).fold(f64::INFINITY, f64::min);
    let lightest_in = rim.map(|(x, y)| field(x, y)).fold(0.0, f64::max);
    if darkest_out - lightest_in < 30.0 {
        return None;
    }
    let half = f64::midpoint(darkest_out, lightest_in);
    let middle = [(1.0, 1.0), (2.0, 1.0), (1.0, 2.0), (2.0, 2.0)];
    Some(middle.into_iter().filter(|&(x, y)| field(x, y) > half).count())
}

/// The card whose corners lie best on four of the squares, one of each kind.
fn best(kinds: &[Vec<Seen>; 4]) -> Result<FoundCard, CardError> {
    let mut best: Option<FoundCard> = None;
    let mut is_mirrored = false;
    let pairs = |a: &'static [usize; 2]| {
        let [first, second] = *a;
        kinds[first].iter().flat_map(move |p| kinds[second].iter().map(move |q| (p, q)))
    };
    for (zero, one) in pairs(&[0, 1]) {
        for (two, three) in pairs(&[2, 3]) {
            let by_kind = [zero, one, two, three];
            for card in Card::ALL {
                let four = card.marks().map(|mark| by_kind[mark.n_white]);
                // The picture's y runs down, so the card's order, clockwise from above, has a positive area.
                let area = Ring::new(four.map(|seen| seen.middle).to_vec()).signed_area();
                let found = fitted(card, four);
                match found {
                    Some(_) if area < 0.0 => is_mirrored = true,
                    Some(found) if best.is_none_or(|best| found.stray < best.stray) => {
                        best = Some(found);
                    }
                    _ => {}
                }
            }
        }
    }
    best.ok_or(if is_mirrored { CardError::Mirrored } else { CardError::NotACard })
}

/// The card fitted to four squares; `None` when they do not lie as its marks do.
fn fitted(card: Card, four: [&Seen; 4]) -> Option<FoundCard> {
    let marks = card.marks();
    let rough = Homography::between(marks.map(|m| m.middle), four.map(|seen| seen.middle))?;
    let mut pairs = Vec::with_capacity(16);
    for (mark, seen) in marks.iter().zip(four) {
        let side = seen.corners[0].distance(seen.corners[1]);
        for corner in mark.square().corners() {
            let at = rough.apply(corner);
            let nearest = seen
                .corners
                .into_iter()
                .min_by(|p, q| p.distance(at).total_cmp(&q.distance(at)))?;
            pairs.push((corner, Some(nearest).filter(|p| p.distance(at) <= STRAY * side)?));
        }
    }
    let size = four[0].middle.distance(four[2].middle);
    let map = Homography::fitted(&pairs, (150.0, size))?;
    let off = |(from, to): &(Point, Point)| {
        let off = map.apply(*from).distance(*to);
        off * off
    };
    let stray = (pairs.iter().map(off).sum::<f64>() / 16.0).sqrt();
    Some(FoundCard { card, corners: marks.map(|mark| map.apply(mark.middle)), stray })
}

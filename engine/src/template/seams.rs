//! The marks by which sheets are joined: they lie on the blank, so that neighbours show the same ones.

use std::collections::BTreeSet;

use super::tiling::{Tile, Tiling, letters};
use crate::drawing::{Anchor, Form, Mark, Role};
use crate::geometry::{Point, Rect, Region, Ring, Vec2};
use crate::units::Length;

/// Half of each line of a crosshair; less than half the least overlap, so that all of it lies on both sheets.
const CROSSHAIR: f64 = 2.5;
/// From the middle of a diamond to its corners.
const DIAMOND: f64 = 4.0;
/// Capitals of a seam's letter.
const LETTER: Length = Length::mm(2.5);
/// Where along a seam its diamond may stand, best first.
const SHARES: [f64; 15] =
    [0.5, 0.45, 0.55, 0.4, 0.6, 0.35, 0.65, 0.3, 0.7, 0.25, 0.75, 0.2, 0.8, 0.15, 0.85];

/// Crosshairs at the corners that sheets share and a lettered diamond on each seam, in blank millimetres.
///
/// A diamond's middle lies on the line that the upper sheet is cut along: half of it stays on each sheet.
pub(super) fn match_marks(tiling: &Tiling, kept: &BTreeSet<Tile>, drawn: &[Rect]) -> Vec<Mark> {
    let mut marks: Vec<Mark> = corners(tiling, kept).flat_map(crosshair).collect();
    for (n, seam) in seams(tiling, kept).enumerate() {
        let letter = letters(n).to_ascii_lowercase();
        marks.extend(diamond(seam.best_place(drawn), seam.across, &letter));
    }
    marks
}

/// A line that one sheet is cut along where it lies over its neighbour.
#[derive(Clone, Copy, Debug)]
struct Seam {
    from: Point,
    to: Point,
    /// One millimetre from the sheet below to the sheet above.
    across: Vec2,
}

/// The seams between printed neighbours, sheet by sheet.
fn seams(tiling: &Tiling, kept: &BTreeSet<Tile>) -> impl Iterator<Item = Seam> {
    kept.iter().flat_map(|&tile| {
        let shown = tiling.shows(tile);
        let front_left = shown.min;
        let left = tile.left().filter(|left| kept.contains(left)).map(|_| Seam {
            from: front_left,
            to: Point::new(shown.min.x, shown.max.y),
            across: Vec2::new(1.0, 0.0),
        });
        let front = kept.contains(&tile.front()).then_some(Seam {
            from: front_left,
            to: Point::new(shown.max.x, shown.min.y),
            across: Vec2::new(0.0, 1.0),
        });
        [left, front].into_iter().flatten()
    })
}

impl Seam {
    /// The first place along the seam where the diamond and its letters cover nothing drawn.
    fn best_place(&self, drawn: &[Rect]) -> Point {
        let at = |share: f64| self.from + (self.to - self.from) * share;
        let room = Length::mm(DIAMOND + 5.0);
        let is_free = |place: &Point| {
            let needed = Rect::new(*place, *place).grown(room);
            drawn.iter().all(|rect| rect.distance(needed) > 0.0)
        };
        SHARES.into_iter().map(at).find(is_free).unwrap_or_else(|| at(SHARES[0]))
    }
}

/// The middles of the overlaps where two sheets or four meet.
fn corners(tiling: &Tiling, kept: &BTreeSet<Tile>) -> impl Iterator<Item = Point> {
    let shown: Vec<Rect> = kept.iter().map(|&tile| tiling.shows(tile)).collect();
    let n_showing = move |place: Point| shown.iter().filter(|sheet| sheet.contains(place)).count();
    tiling.corners().filter(move |&place| n_showing(place) > 1)
}

fn crosshair(at: Point) -> [Mark; 2] {
    let (x, y) = (Vec2::new(CROSSHAIR, 0.0), Vec2::new(0.0, CROSSHAIR));
    [Form::Line(at - x, at + x), Form::Line(at - y, at + y)]
        .map(|form| Mark::new(Role::MatchMark, form))
}

/// A diamond with its letter on both sides of the seam.
fn diamond(at: Point, across: Vec2, letter: &str) -> Vec<Mark> {
    let (x, y) = (Vec2::new(DIAMOND, 0.0), Vec2::new(0.0, DIAMOND));
    let outline = Region::new(Ring::new(vec![at + x, at + y, at - x, at - y]), Vec::new());
    let down = Vec2::new(0.0, -LETTER.to_mm() / 2.0);
    let away = across * (DIAMOND + 3.5);
    let word = |place: Point| {
        Mark::new(Role::MatchMark, Form::text(place + down, LETTER, Anchor::Middle, letter))
    };
    vec![Mark::new(Role::MatchMark, Form::Region(outline)), word(at + away), word(at - away)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_match_mark_shows_on_both_sheets_of_its_seam() {
        let content = Rect::new(Point::ORIGIN, Point::new(310.0, 160.0));
        let tiling = Tiling::new(content, Vec2::new(110.0, 60.0), Length::mm(6.0));
        let kept: BTreeSet<Tile> = tiling.tiles().collect();
        let shown: Vec<Rect> = kept.iter().map(|&tile| tiling.shows(tile)).collect();
        let marks = match_marks(&tiling, &kept, &[]);
        for mark in marks.iter().filter(|mark| !matches!(mark.form, Form::Text { .. })) {
            let bounds = mark.form.bounds().expect("not empty");
            let n = shown.iter().filter(|sheet| sheet.contains(bounds.center())).count();
            assert!(n >= 2, "{mark:?}");
        }
    }

    #[test]
    fn a_diamond_moves_along_its_seam_to_keep_clear_of_what_is_drawn() {
        let seam =
            Seam { from: Point::ORIGIN, to: Point::new(0.0, 200.0), across: Vec2::new(1.0, 0.0) };
        assert_eq!(seam.best_place(&[]), Point::new(0.0, 100.0));
        let mold = Rect::new(Point::new(-20.0, 75.0), Point::new(20.0, 125.0));
        assert_eq!(seam.best_place(&[mold]), Point::new(0.0, 60.0));
    }
}

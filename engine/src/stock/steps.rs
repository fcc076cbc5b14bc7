//! The cuts as a person makes them: all marks on one piece at once, and pieces that are alike cut alike.

use super::cutting::length;
use super::tree::{Axis, Cell, Part, Pattern, halves, rect};
use crate::geometry::Rect;
use crate::units::Length;

/// Marks made on a piece from one of its edges, and the cuts through them.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// From 1.
    pub number: u32,
    /// The pieces that are cut this way, where they lay on the sheet; they are of one size.
    pub pieces: Vec<Rect>,
    /// Which way the cuts run.
    pub axis: Axis,
    /// How far they are from a piece's left or front edge, the nearest first.
    pub marks: Vec<Length>,
    /// How long each cut is.
    pub length: Length,
}

/// A piece with its cuts one way.
#[derive(Clone)]
struct Work<'a> {
    cell: Cell,
    axis: Axis,
    marks: Vec<i64>,
    parts: Vec<(&'a Part, Cell)>,
}

/// All steps of a sheet: what is freed by one is cut by a later one; of those that can be made at once the longest cuts
/// come first, while the sheet is whole (common practice).
#[must_use]
pub fn steps(pattern: &Pattern) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let whole = (0, 0, pattern.whole.0, pattern.whole.1);
    let mut open: Vec<Work<'_>> = work(&pattern.root, whole, pattern.kerf).into_iter().collect();
    while !open.is_empty() {
        open.sort_by_key(|work| (std::cmp::Reverse(across(work)), work.cell.0, work.cell.1));
        let (alike, rest): (Vec<Work<'_>>, Vec<Work<'_>>) = {
            let first = open[0].clone();
            open.into_iter().partition(|work| is_alike(&first, work))
        };
        let one = &alike[0];
        steps.push(Step {
            number: u32::try_from(steps.len()).unwrap_or(u32::MAX).saturating_add(1),
            pieces: alike.iter().map(|work| rect(work.cell)).collect(),
            axis: one.axis,
            marks: one.marks.iter().map(|&mark| length(mark)).collect(),
            length: length(across(one)),
        });
        let parts = alike.iter().flat_map(|work| &work.parts);
        open = parts.filter_map(|&(part, cell)| work(part, cell, pattern.kerf)).collect();
        open.extend(rest);
    }
    steps
}

/// How long a cut is.
const fn across(work: &Work<'_>) -> i64 {
    match work.axis {
        Axis::FrontToBack => work.cell.3,
        Axis::LeftToRight => work.cell.2,
    }
}

fn is_alike(one: &Work<'_>, other: &Work<'_>) -> bool {
    let size = |cell: Cell| (cell.2, cell.3);
    (size(one.cell), one.axis) == (size(other.cell), other.axis) && one.marks == other.marks
}

/// What is done to a piece; nothing to a blank or an offcut.
fn work(part: &Part, cell: Cell, kerf: i64) -> Option<Work<'_>> {
    let Part::Cut(parting) = part else { return None };
    let mut work = Work { cell, axis: parting.axis, marks: Vec::new(), parts: Vec::new() };
    gather(&mut work, part, cell, kerf);
    Some(work)
}

/// Cuts that run the same way through what the last one left, from the near edge on.
fn gather<'a>(work: &mut Work<'a>, part: &'a Part, cell: Cell, kerf: i64) {
    match part {
        Part::Cut(parting) if parting.axis == work.axis => {
            let (first, second) = halves(parting, cell, kerf);
            gather(work, &parting.first, first, kerf);
            work.marks.push(match work.axis {
                Axis::FrontToBack => first.0 + first.2 - work.cell.0,
                Axis::LeftToRight => first.1 + first.3 - work.cell.1,
            });
            gather(work, &parting.second, second, kerf);
        }
        Part::Cut(_) | Part::Blank(..) | Part::Offcut => work.parts.push((part, cell)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Size;
    use crate::stock::{Cutting, Wanted, cuts_in_order, most_of_one};

    fn pattern(blank: (f64, f64), cutting: &Cutting) -> Pattern {
        let sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        let size = Size::new(Length::inches(blank.0), Length::inches(blank.1));
        most_of_one(sheet, Wanted { size, may_turn: true, count: 1 }, cutting).expect("cuts")
    }

    // 24 blanks of 12 x 16 in fill the sheet (common practice): cut into equal strips, then all strips alike.
    #[test]
    fn a_sheet_that_divides_is_two_steps() {
        let steps = steps(&pattern((12.0, 16.0), &Cutting::snapped(Length::inches(0.060))));
        assert_eq!(steps.len(), 2, "{steps:#?}");
        let (strips, blanks) = (steps[0].marks.len() + 1, steps[1].marks.len() + 1);
        assert_eq!((steps[1].pieces.len(), strips * blanks), (strips, 24));
        let first = steps[0].marks[0].to_inches();
        for (n, mark) in (1..).zip(&steps[0].marks) {
            assert!((mark.to_inches() - first * f64::from(n)).abs() < 1e-3, "{mark:?}");
        }
    }

    #[test]
    fn steps_hold_all_cuts_and_cut_only_what_is_freed() {
        for (blank, cutting) in [
            ((15.25, 20.5), Cutting::snapped(Length::inches(0.060))),
            ((15.25, 20.5), Cutting::sawn(Length::mm(3.2))),
            ((9.0, 13.0), Cutting::sawn(Length::mm(3.2))),
        ] {
            let pattern = pattern(blank, &cutting);
            let steps = steps(&pattern);
            let n: usize = steps.iter().map(|step| step.pieces.len() * step.marks.len()).sum();
            assert_eq!(n, cuts_in_order(&pattern).len(), "{blank:?}");
            // Each piece is the sheet or lies between the cuts of one earlier step.
            let mut free: Vec<Rect> = vec![pattern.sheet.rect()];
            for (n, step) in steps.iter().enumerate() {
                // What could be cut now is not cut before something longer.
                let is_free = |piece: &Rect| {
                    free.iter().any(|free| {
                        free.min.distance(piece.min) < 1e-6 && free.max.distance(piece.max) < 1e-6
                    })
                };
                let could = steps[n..].iter().filter(|later| later.pieces.iter().all(is_free));
                let longest = could.map(|later| later.length).fold(Length::ZERO, Length::max);
                assert!(step.length >= longest, "{step:?} while {longest:?} could be cut");
                for piece in &step.pieces {
                    let at = free.iter().position(|free| {
                        free.min.distance(piece.min) < 1e-6 && free.max.distance(piece.max) < 1e-6
                    });
                    free.swap_remove(at.unwrap_or_else(|| panic!("{piece:?} of {step:?}")));
                    free.extend(between(step, *piece, cutting.kerf.to_mm()));
                }
            }
            let n_blanks = usize::try_from(pattern.count(0)).expect("few");
            assert_eq!(free.len(), pattern.parts().len(), "{n_blanks} blanks");
        }
    }

    /// What the cuts of a step leave of a piece.
    fn between(step: &Step, piece: Rect, kerf: f64) -> Vec<Rect> {
        let mut left = Vec::new();
        let mut from = piece.min;
        for mark in step.marks.iter().map(|mark| mark.to_mm()) {
            let (to, next) = match step.axis {
                Axis::FrontToBack => {
                    let x = piece.min.x + mark;
                    ((x, piece.max.y), (x + kerf, piece.min.y))
                }
                Axis::LeftToRight => {
                    let y = piece.min.y + mark;
                    ((piece.max.x, y), (piece.min.x, y + kerf))
                }
            };
            left.push(Rect::new(from, crate::geometry::Point::new(to.0, to.1)));
            from = crate::geometry::Point::new(next.0, next.1);
        }
        left.push(Rect::new(from, piece.max));
        left
    }
}

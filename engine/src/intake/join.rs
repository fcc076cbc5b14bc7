//! Joins loose lines end to end into closed ones.

use std::collections::BTreeMap;

use super::pen::Line;
use super::problem::{Problems, Trouble};
use crate::geometry::{Point, tolerance};
use crate::units::Length;

/// Ends up to this are at one place, in millimetres.
const JOIN: f64 = tolerance::JOIN.to_mm();

/// Loose ends registered in one cell; at a place where more meet, the rest stay loose.
const MOST_AT_ONE_PLACE: usize = 64;

/// The closed lines among `lines` and those that loose ones make when ends within `JOIN` are joined.
///
/// A line is followed from its end to the nearest loose end; at a place where more than two ends meet, the
/// nearest wins, and of equals the earlier one. What stays open is told and left out, or closed with a
/// straight side when it is filled. Cost: about `n log n`.
pub(super) fn join(lines: Vec<Line>, problems: &mut Problems) -> Vec<Line> {
    let (mut closed, mut open) = (Vec::new(), Vec::new());
    for line in lines {
        let gap = end_gap(&line.points);
        let is_loop = line.points.len() > 2 && gap <= JOIN;
        if line.is_closed || is_loop || (line.is_filled && line.points.len() > 2) {
            tell_closing(&line, gap, problems);
            closed.push(line);
        } else if line.points.len() > 1 {
            open.push(line);
        }
    }
    closed.extend(chains(open, problems));
    closed
}

fn tell_closing(line: &Line, gap: f64, problems: &mut Problems) {
    let length = Length::mm(gap);
    if line.is_closed || length <= tolerance::SAME {
        return;
    }
    let trouble = if gap <= JOIN {
        Trouble::Joined { gap: length }
    } else {
        Trouble::ClosedByFill { gap: length }
    };
    problems.push(line.at.clone(), trouble);
}

fn end_gap(points: &[Point]) -> f64 {
    match points {
        [first, .., last] => first.distance(*last),
        _ => f64::INFINITY,
    }
}

/// Chains of open lines that came full circle.
fn chains(open: Vec<Line>, problems: &mut Problems) -> Vec<Line> {
    let mut ends = Ends::of(&open);
    let mut lines: Vec<Option<Line>> = open.into_iter().map(Some).collect();
    let mut closed = Vec::new();
    for start in 0..lines.len() {
        let Some(mut chain) = take(&mut lines, &mut ends, start) else { continue };
        let mut widest = 0.0_f64;
        let mut is_turned = false;
        loop {
            let gap = end_gap(&chain.points);
            let next = chain.points.last().and_then(|&end| ends.nearest(end));
            let is_loop = chain.points.len() > 2 && gap <= JOIN;
            if is_loop && next.is_none_or(|(_, _, away)| gap <= away) {
                let gap = Length::mm(widest.max(gap));
                if gap > tolerance::SAME {
                    problems.push(chain.at.clone(), Trouble::Joined { gap });
                }
                closed.push(chain);
                break;
            }
            if let Some((index, is_end, away)) = next
                && let Some(more) = take(&mut lines, &mut ends, index)
            {
                widest = widest.max(away);
                extend(&mut chain.points, more.points, is_end);
            } else if is_turned {
                problems.push(chain.at, Trouble::Open { gap: Length::mm(gap) });
                break;
            } else {
                // Its other end may lead on.
                chain.points.reverse();
                is_turned = true;
            }
        }
    }
    closed
}

fn take(lines: &mut [Option<Line>], ends: &mut Ends, index: usize) -> Option<Line> {
    let line = lines.get_mut(index)?.take()?;
    ends.remove(index, &line);
    Some(line)
}

/// Adds a line's points after the chain's last, which is at its first point, or at its last when `is_end`.
fn extend(chain: &mut Vec<Point>, mut more: Vec<Point>, is_end: bool) {
    if is_end {
        more.reverse();
    }
    let is_repeated = chain.last().zip(more.first()).is_some_and(|(a, b)| a.distance(*b) <= JOIN);
    chain.extend(more.into_iter().skip(usize::from(is_repeated)));
}

/// A loose end: its line, whether it is that line's last point, and where it is.
type End = (usize, bool, Point);

/// The loose ends, by the cell of a grid they lie in.
struct Ends {
    cells: BTreeMap<(i64, i64), Vec<End>>,
}

impl Ends {
    fn of(lines: &[Line]) -> Self {
        let mut cells: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for (index, line) in lines.iter().enumerate() {
            for (is_end, point) in both_ends(line) {
                let there = cells.entry(cell(point)).or_default();
                if there.len() < MOST_AT_ONE_PLACE {
                    there.push((index, is_end, point));
                }
            }
        }
        Self { cells }
    }

    fn remove(&mut self, index: usize, line: &Line) {
        for (_, point) in both_ends(line) {
            if let Some(cell) = self.cells.get_mut(&cell(point)) {
                cell.retain(|(other, _, _)| *other != index);
            }
        }
    }

    /// The nearest loose end within `JOIN`: its line, whether it is that line's last point, its distance.
    fn nearest(&self, place: Point) -> Option<(usize, bool, f64)> {
        let (x, y) = cell(place);
        let around = (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| (x, y)));
        let near = around.filter_map(|cell| self.cells.get(&cell)).flatten();
        near.map(|&(index, is_end, point)| (index, is_end, point.distance(place)))
            .filter(|(_, _, away)| *away <= JOIN)
            .min_by(|a, b| a.2.total_cmp(&b.2).then((a.0, a.1).cmp(&(b.0, b.1))))
    }
}

fn both_ends(line: &Line) -> impl Iterator<Item = (bool, Point)> {
    let [first, last] = [line.points.first(), line.points.last()].map(Option::<&Point>::copied);
    first.map(|p| (false, p)).into_iter().chain(last.map(|p| (true, p)))
}

/// The cell of a grid of `JOIN`; coordinates are within some metres.
#[expect(clippy::cast_possible_truncation, reason = "a coordinate of 10 m has 100,000 cells")]
fn cell(p: Point) -> (i64, i64) {
    (libm::floor(p.x / JOIN) as i64, libm::floor(p.y / JOIN) as i64)
}

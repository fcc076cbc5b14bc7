//! Lines of equal thickness on the map.

use std::collections::BTreeMap;

use super::Forecast;
use super::map::Map;
use crate::geometry::Point;

/// Lines along which the sheet keeps the same share of its gauge.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// What is left of the gauge.
    pub ratio: f64,
    /// Each line in order; the last place of a closed one is its first.
    pub lines: Vec<Vec<Point>>,
}

impl Forecast {
    /// The lines for these shares of the gauge, in the order asked. Cost: the cells times the shares.
    ///
    /// **Source:** marching squares, two lines where the corners of a square cross (W. E. Lorensen and H. E. Cline,
    /// Marching cubes, Computer Graphics 21, 1987, in the plane; from memory).
    #[must_use]
    pub fn contours(&self, ratios: &[f64]) -> Vec<Contour> {
        ratios.iter().map(|&ratio| Contour { ratio, lines: lines(&self.map, ratio) }).collect()
    }
}

/// A side of the grid between the middles of two cells: the first cell, and whether the second is behind it.
type Side = (usize, bool);

fn lines(map: &Map, ratio: f64) -> Vec<Vec<Point>> {
    // From each crossed side to the one or two others that a line leads to.
    let mut next: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
    for row in 0..map.rows.saturating_sub(1) {
        for column in 0..map.columns.saturating_sub(1) {
            for (a, b) in pieces(map, ratio, (column, row)).into_iter().flatten() {
                next.entry(a).or_default().push(b);
                next.entry(b).or_default().push(a);
            }
        }
    }
    let mut lines = Vec::new();
    // Ends first, so that open lines are walked from one end to the other.
    let ends: Vec<Side> = next.iter().filter(|(_, to)| to.len() == 1).map(|(at, _)| *at).collect();
    let all: Vec<Side> = next.keys().copied().collect();
    for start in ends.into_iter().chain(all) {
        let line = walk(&mut next, start);
        if line.len() > 1 {
            lines.push(line.into_iter().map(|side| crossing(map, ratio, side)).collect());
        }
    }
    lines
}

/// Follows a line as far as it goes and takes it away.
fn walk(next: &mut BTreeMap<Side, Vec<Side>>, start: Side) -> Vec<Side> {
    let mut line = vec![start];
    let mut at = start;
    while let Some(to) = next.get_mut(&at).and_then(Vec::pop) {
        if let Some(back) = next.get_mut(&to)
            && let Some(index) = back.iter().position(|side| *side == at)
        {
            back.swap_remove(index);
        }
        line.push(to);
        at = to;
    }
    line
}

/// The pieces of line between the middles of four cells.
fn pieces(map: &Map, ratio: f64, (column, row): (usize, usize)) -> [Option<(Side, Side)>; 2] {
    let at = row * map.columns + column;
    let corners = [at, at + 1, at + map.columns + 1, at + map.columns];
    let is_above = corners.map(|cell| f64::from(map.ratios[cell]) >= ratio);
    let (front, right) = ((at, false), (at + 1, true));
    let (back, left) = ((at + map.columns, false), (at, true));
    let sides = [front, right, back, left];
    let crossed: Vec<Side> = (0..4)
        .filter(|index| is_above[*index] != is_above[(index + 1) % 4])
        .map(|index| sides[index])
        .collect();
    match crossed[..] {
        [a, b] => [Some((a, b)), None],
        // Two opposite corners are above: which hang together is told by the mean.
        [a, b, c, d] => {
            let mean = corners.map(|cell| f64::from(map.ratios[cell])).iter().sum::<f64>() / 4.0;
            if (mean >= ratio) == is_above[0] {
                [Some((a, b)), Some((c, d))]
            } else {
                [Some((a, d)), Some((b, c))]
            }
        }
        _ => [None, None],
    }
}

fn crossing(map: &Map, ratio: f64, (cell, is_back): Side) -> Point {
    let other = if is_back { cell + map.columns } else { cell + 1 };
    let middle = |cell: usize| map.middle(cell % map.columns, cell / map.columns);
    let (a, b) = (f64::from(map.ratios[cell]), f64::from(map.ratios[other]));
    let share = ((ratio - a) / (b - a)).clamp(0.0, 1.0);
    middle(cell) + (middle(other) - middle(cell)) * share
}

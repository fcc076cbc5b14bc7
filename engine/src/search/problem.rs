//! What is to be placed: items, their rooms and turns, and how far apart they stay.

use std::sync::Arc;

use crate::geometry::{Pose, Rect, Shape};
use crate::units::{Angle, Length};

/// The greatest distance that can be asked for, in millimetres; it keeps all sums finite.
const FARTHEST: f64 = 1e5;

/// The turns an item may take.
#[derive(Clone, Debug, PartialEq)]
pub enum Turns {
    /// Any.
    Free,
    /// One of these; none at all means unturned.
    Of(Vec<Angle>),
}

impl Turns {
    /// The four quarter turns.
    #[must_use]
    pub fn quarters() -> Self {
        Self::Of([0.0, 90.0, 180.0, 270.0].map(Angle::degrees).to_vec())
    }

    /// The allowed turn that is nearest to `turn`.
    #[must_use]
    pub fn nearest(&self, turn: Angle) -> Angle {
        let turn = if turn.is_finite() { turn } else { Angle::ZERO };
        match self {
            Self::Free => turn,
            Self::Of(turns) => {
                let away = |a: &Angle| {
                    let off = (*a - turn).normalized().to_radians();
                    off.min(std::f64::consts::TAU - off)
                };
                let nearest = turns.iter().min_by(|a, b| away(a).total_cmp(&away(b)));
                nearest.copied().unwrap_or(Angle::ZERO)
            }
        }
    }
}

/// One outline to be placed.
#[derive(Clone, Debug)]
pub struct Item {
    /// The outline; items that are alike should share it, which saves work.
    pub shape: Arc<Shape>,
    /// The turns it may take.
    pub turns: Turns,
    /// The extent of the turned outline must lie inside; not asked of a pinned item.
    pub room: Rect,
    /// Where it stands, when it may not be moved.
    pub pinned: Option<Pose>,
}

/// The least free distance of every two items: zero means that they may touch and not overlap.
#[derive(Clone, Debug, PartialEq)]
pub struct Apart {
    n: usize,
    /// Row by row, in millimetres, never negative.
    distances: Vec<f64>,
}

impl Apart {
    /// The distances of `n` items, each asked once for a pair `(i, j)` with `i < j`.
    ///
    /// What is negative or not a number counts as zero, what is more than a hundred metres as that.
    #[must_use]
    pub fn new(n: usize, mut of: impl FnMut(usize, usize) -> Length) -> Self {
        let mut distances = vec![0.0; n * n];
        for i in 0..n {
            for j in i + 1..n {
                let asked = of(i, j).to_mm();
                let distance = if asked > 0.0 { asked.min(FARTHEST) } else { 0.0 };
                distances[i * n + j] = distance;
                distances[j * n + i] = distance;
            }
        }
        Self { n, distances }
    }

    /// No distance at all: `n` items that may touch.
    #[must_use]
    pub fn touching(n: usize) -> Self {
        Self { n, distances: vec![0.0; n * n] }
    }

    /// How far two items stay apart; zero for items that it knows nothing of.
    #[must_use]
    pub fn of(&self, i: usize, j: usize) -> Length {
        let is_known = i < self.n && j < self.n;
        Length::mm(if is_known { self.distances[i * self.n + j] } else { 0.0 })
    }
}

/// Items that want places.
#[derive(Clone, Debug)]
pub struct Problem {
    /// What is to be placed.
    pub items: Vec<Item>,
    /// How far they stay apart. Two pinned items are never asked about each other, since neither can move.
    pub apart: Apart,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_turn_is_measured_the_short_way_round() {
        let quarters = Turns::quarters();
        for (turn, expected) in [(350.0, 0.0), (-100.0, 270.0), (50.0, 90.0), (f64::NAN, 0.0)] {
            assert_eq!(quarters.nearest(Angle::degrees(turn)), Angle::degrees(expected), "{turn}");
        }
        assert_eq!(Turns::Free.nearest(Angle::degrees(12.5)), Angle::degrees(12.5));
        assert_eq!(Turns::Of(vec![]).nearest(Angle::degrees(12.5)), Angle::ZERO);
    }

    #[test]
    fn a_distance_holds_both_ways_and_is_never_negative() {
        let apart = Apart::new(3, |i, j| Length::mm(if i == 0 { 5.0 } else { -1.0 - j as f64 }));
        assert_eq!((apart.of(0, 2), apart.of(2, 0)), (Length::mm(5.0), Length::mm(5.0)));
        assert_eq!(apart.of(1, 2), Length::ZERO);
        assert_eq!(apart.of(7, 2), Length::ZERO);
    }
}

//! Outlines as whole steps of 10 micrometres, each corner as the change of the change from the one before.
//!
//! Drawn and traced outlines run on: where the last side led tells where the next corner will be, and what is
//! stored is the small rest.

use super::steps::{steps, unsteps};
use crate::geometry::{Point, Ring};

/// Steps in a millimetre.
const PER_MM: f64 = 100.0;

/// A ring as second differences, x and y.
pub(super) type Differences = Vec<(i32, i32)>;

/// The ring, rounded; corners that end up on the first are left out at the end, as [`Ring::new`] does.
pub(super) fn packed(ring: &Ring) -> Differences {
    let rounded = |p: &Point| (steps(p.x, PER_MM), steps(p.y, PER_MM));
    let mut corners: Vec<(i32, i32)> = ring.points().iter().map(rounded).collect();
    while corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    let (mut at, mut by) = ((0, 0), (0, 0));
    let difference = |&(x, y): &(i32, i32)| {
        let next = (x.saturating_sub(at.0), y.saturating_sub(at.1));
        let change = (next.0.saturating_sub(by.0), next.1.saturating_sub(by.1));
        (at, by) = ((x, y), next);
        change
    };
    corners.iter().map(difference).collect()
}

/// The ring of `differences`; `None` when they lead beyond what is counted.
pub(super) fn unpacked(differences: &Differences) -> Option<Ring> {
    let (mut at, mut by) = ((0_i32, 0_i32), (0_i32, 0_i32));
    let mut corners = Vec::with_capacity(differences.len());
    for &(x, y) in differences {
        by = (by.0.checked_add(x)?, by.1.checked_add(y)?);
        at = (at.0.checked_add(by.0)?, at.1.checked_add(by.1)?);
        corners.push(Point::new(unsteps(at.0, PER_MM), unsteps(at.1, PER_MM)));
    }
    Some(Ring::new(corners))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    #[test]
    fn an_outline_comes_back_rounded_and_stays_so() {
        let drawn = ring(&[(0.0, 0.0), (10.004, -0.006), (9999.999, 10_000.0), (-10_000.0, 5.0)]);
        let once = unpacked(&packed(&drawn)).expect("within limits");
        let expected = ring(&[(0.0, 0.0), (10.0, -0.01), (10_000.0, 10_000.0), (-10_000.0, 5.0)]);
        assert_eq!(once, expected);
        assert_eq!(packed(&once), packed(&drawn));
        assert_eq!(unpacked(&packed(&ring(&[]))), Some(ring(&[])));
    }

    #[test]
    fn corners_that_round_to_the_first_are_left_out() {
        let drawn = ring(&[(0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (0.001, 0.002), (0.004, -0.004)]);
        assert_eq!(packed(&drawn).len(), 3);
    }

    #[test]
    fn differences_that_lead_nowhere_are_no_ring() {
        assert_eq!(unpacked(&vec![(i32::MAX, 0); 3]), None);
    }
}

//! What a layout lacks, asked of the exact geometry: the judge of every answer.

use super::Problem;
use crate::geometry::{Pose, extent, gap_within, inner_gap, is_overlapping, tolerance};
use crate::units::Length;

/// What a layout lacks in millimetres, summed over all pairs that are too close and all items outside their room.
///
/// Zero exactly when nothing is lacking, give or take `tolerance::SAME` in every distance. Two items that overlap
/// count by the lesser overlap of their extents, which is no less than what would part them. Cost: a distance for
/// every pair.
#[must_use]
pub fn shortfall(problem: &Problem, poses: &[Pose]) -> f64 {
    let items = problem.items.iter().zip(poses).enumerate();
    items
        .clone()
        .map(|(i, (_, &pose))| {
            let before = (0..i).map(|j| pair_shortfall(problem, (i, pose), (j, poses[j])));
            room_shortfall(problem, i, pose) + before.sum::<f64>()
        })
        .sum()
}

/// How far an item reaches out of its room.
pub(super) fn room_shortfall(problem: &Problem, i: usize, pose: Pose) -> f64 {
    let item = &problem.items[i];
    if item.pinned.is_some() {
        return 0.0;
    }
    let gap = inner_gap(&item.shape, pose, item.room);
    let outside = [gap.left, gap.right, gap.front, gap.back].map(|side| -side);
    let beyond = outside.into_iter().filter(|&out| out > tolerance::SAME || out.to_mm().is_nan());
    beyond.map(Length::to_mm).sum()
}

/// What two items lack.
pub(super) fn pair_shortfall(
    problem: &Problem,
    (i, at): (usize, Pose),
    (j, to): (usize, Pose),
) -> f64 {
    let (one, other) = (&problem.items[i], &problem.items[j]);
    if one.pinned.is_some() && other.pinned.is_some() {
        return 0.0;
    }
    let apart = problem.apart.of(i, j);
    if let Some(gap) = gap_within(&one.shape, at, &other.shape, to, apart.max(tolerance::SAME)) {
        let lacking = (apart - gap.distance).max(Length::ZERO);
        if gap.distance <= Length::ZERO && is_overlapping(&one.shape, at, &other.shape, to) {
            let common = extent(&one.shape, at).intersection(extent(&other.shape, to));
            let depth = common.map_or(Length::ZERO, |both| both.width().min(both.depth()));
            return (apart + depth.max(tolerance::SAME)).to_mm();
        }
        return if lacking > tolerance::SAME { lacking.to_mm() } else { 0.0 };
    }
    0.0
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::geometry::{Point, Rect, Region, Shape, flatten};
    use crate::search::{Apart, Item, Turns};
    use crate::units::Angle;

    fn problem(apart: f64, pinned: [Option<Pose>; 2]) -> Problem {
        let square = flatten::rectangle(Length::mm(10.0), Length::mm(10.0));
        let shape = Arc::new(Shape::new(Region::new(square, vec![])));
        let room = Rect::sized(Point::ORIGIN, Length::mm(50.0), Length::mm(20.0));
        let item = |pinned| Item { shape: Arc::clone(&shape), turns: Turns::Free, room, pinned };
        Problem { items: pinned.map(item).to_vec(), apart: Apart::new(2, |_, _| Length::mm(apart)) }
    }

    fn at(x: f64, y: f64) -> Pose {
        Pose::new(Point::new(x, y), Angle::ZERO)
    }

    #[test]
    fn each_way_to_lack_something_is_counted_in_millimetres() {
        let nobody = [None, None];
        for (apart, second, expected) in [
            (4.0, at(20.0, 10.0), 0.0),
            (4.0, at(18.0, 10.0), 1.0),
            (4.0, at(15.0, 10.0), 4.0),
            (0.0, at(15.0, 10.0), 0.0),
            (0.0, at(15.0 - 5e-7, 10.0), 0.0),
            (0.0, at(13.0, 10.0), 2.0),
            (4.0, at(13.0, 10.0), 6.0),
            (4.0, at(47.0, 10.0), 2.0),
            (4.0, at(47.0, 18.0), 5.0),
        ] {
            let lacking = shortfall(&problem(apart, nobody), &[at(5.0, 10.0), second]);
            assert!((lacking - expected).abs() < 1e-9, "{apart} {second:?}: {lacking}");
        }
    }

    #[test]
    fn pinned_items_answer_for_others_but_not_for_their_room_or_each_other() {
        let (here, there) = (at(-3.0, 0.0), at(3.0, 0.0));
        assert!(shortfall(&problem(4.0, [Some(here), Some(there)]), &[here, there]) <= 0.0);
        let one = shortfall(&problem(4.0, [Some(here), None]), &[here, at(5.0, 5.0)]);
        assert!(one > 4.0, "{one}");
    }
}

//! Moves bodies as little as it takes for every pair and every edge to keep its distance; turns stay.
//!
//! Each round takes every pair by the straight line across its gap and solves the least sum of squared moves under
//! those half-planes exactly; for convex outlines a half-plane never allows what the outline forbids.
//!
//! **Source:** C. Hildreth, A quadratic programming procedure, Naval Research Logistics Quarterly 4, 1957, for the
//! round (cited from memory).

use super::parting::{Parting, parting};
use super::run::Run;
use super::scene::Scene;
use crate::geometry::{Pose, Rect, Vec2, extent, greater, tolerance};

/// Rounds at most; outlines without bays settle in a handful.
const ROUNDS: usize = 40;
/// Rounds without getting nearer before it is given up.
const PATIENCE: usize = 10;
/// Moves below this have come to rest, in millimetres.
const AT_REST: f64 = 1e-6;
/// Pairs farther apart than their distance by more than this are left out of a round, in millimetres.
const NEAR: f64 = 40.0;

/// What is asked of a settling.
#[derive(Clone, Copy)]
pub(super) struct Wish<'a> {
    /// Where the bodies would like to stand: moves are measured from here.
    pub(super) at: &'a [Pose],
    /// Where they begin; turns are taken from here.
    pub(super) from: &'a [Pose],
    /// How many millimetres above the rule every distance is kept.
    pub(super) extra: f64,
}

/// The poses nearest to the wish, in the sum of the squares of the moves, at which every distance is kept.
///
/// Nearest of those that can be come to from where the bodies begin. `None` when it finds none. What it returns is
/// measured, and keeps every distance within half of `tolerance::SAME`.
pub(super) fn settle(scene: &Scene<'_>, wish: Wish<'_>, run: &mut Run<'_>) -> Option<Vec<Pose>> {
    settle_first(scene, wish, &[], run)
}

/// One pair told to part in a certain way, whatever its least way is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ordered {
    pub(super) pair: (usize, usize),
    pub(super) way: Parting,
}

/// As [`settle`], with some pairs told how to part in the first round.
pub(super) fn settle_first(
    scene: &Scene<'_>,
    wish: Wish<'_>,
    ordered: &[Ordered],
    run: &mut Run<'_>,
) -> Option<Vec<Pose>> {
    let mut poses: Vec<Pose> = wish.from.to_vec();
    let mut best = f64::INFINITY;
    let mut waited = 0;
    for round in 0..ROUNDS {
        let mut bounds = bounds(scene, &poses, wish, run)?;
        let lacking = bounds.iter().map(|bound| bound.lacking).fold(0.0, f64::max);
        if round == 0 {
            obey(&mut bounds, ordered, scene, wish);
        }
        let moves = least_moves(scene, &bounds);
        let next: Vec<Pose> = poses
            .iter()
            .zip(wish.at)
            .zip(&moves)
            .map(|((pose, at), &by)| Pose { at: at.at + by, ..*pose })
            .collect();
        let rest = poses.iter().zip(&next).map(|(a, b)| a.at.distance(b.at)).fold(0.0, f64::max);
        if lacking <= tolerance::SAME.to_mm() / 2.0 && rest <= AT_REST {
            return Some(poses);
        }
        waited = if lacking < best * 0.95 || lacking <= AT_REST { 0 } else { waited + 1 };
        best = best.min(lacking);
        if waited > PATIENCE || run.is_stopped {
            break;
        }
        poses = next;
    }
    // Near enough to be good is good, although not at rest.
    let bounds = bounds(scene, &poses, wish, run)?;
    let lacking = bounds.iter().map(|bound| bound.lacking).fold(0.0, f64::max);
    (lacking <= tolerance::SAME.to_mm() / 2.0).then_some(poses)
}

/// A half-plane that the moves of one body, or of two against each other, must lie in.
#[derive(Clone, Copy, Debug)]
struct Bound {
    one: usize,
    other: Option<usize>,
    normal: Vec2,
    /// The least move of `one` less that of `other` along `normal`, measured from the wish.
    least: f64,
    /// What is lacking where the bodies stand.
    lacking: f64,
}

/// The half-planes of all pairs that stand near, and of all edges; `None` when a body has no room at all.
fn bounds(
    scene: &Scene<'_>,
    poses: &[Pose],
    wish: Wish<'_>,
    run: &mut Run<'_>,
) -> Option<Vec<Bound>> {
    let moved = |i: usize| poses[i].at - wish.at[i].at;
    let mut bounds = Vec::new();
    for i in scene.movable() {
        let room = scene.bodies[i].room?;
        edges(i, extent(&scene.bodies[i].shape, poses[i]), room, wish.extra, &mut bounds);
    }
    for bound in &mut bounds {
        bound.least = bound.lacking + moved(bound.one).dot(bound.normal);
    }
    let n = scene.bodies.len();
    let mut n_measured = 0;
    for (i, j) in (0..n).flat_map(|i| (i + 1..n).map(move |j| (i, j))) {
        let (a, b) = (&scene.bodies[i], &scene.bodies[j]);
        if a.is_pinned && b.is_pinned {
            continue;
        }
        let asked = scene.distance(i, j) + wish.extra;
        n_measured += 1;
        let Some(way) = parting((&a.shape, poses[i]), (&b.shape, poses[j]), asked + NEAR) else {
            continue;
        };
        let lacking = asked - way.distance;
        let least = lacking + (moved(i) - moved(j)).dot(way.normal);
        bounds.push(Bound { one: i, other: Some(j), normal: way.normal, least, lacking });
    }
    run.measured(n_measured);
    Some(bounds)
}

fn edges(i: usize, extent: Rect, room: Rect, extra: f64, bounds: &mut Vec<Bound>) {
    let sides = [
        (Vec2::new(1.0, 0.0), room.min.x - extent.min.x),
        (Vec2::new(-1.0, 0.0), extent.max.x - room.max.x),
        (Vec2::new(0.0, 1.0), room.min.y - extent.min.y),
        (Vec2::new(0.0, -1.0), extent.max.y - room.max.y),
    ];
    bounds.extend(sides.map(|(normal, beyond)| {
        let lacking = beyond + extra;
        Bound { one: i, other: None, normal, least: 0.0, lacking }
    }));
}

/// Replaces the half-planes of pairs that were told how to part.
fn obey(bounds: &mut [Bound], ordered: &[Ordered], scene: &Scene<'_>, wish: Wish<'_>) {
    for order in ordered {
        let (one, other) = order.pair;
        let asked = scene.distance(one, other) + wish.extra;
        for bound in bounds.iter_mut().filter(|b| b.one == one && b.other == Some(other)) {
            let lacking = asked - order.way.distance;
            let begun =
                (wish.from[one].at - wish.at[one].at) - (wish.from[other].at - wish.at[other].at);
            bound.normal = order.way.normal;
            bound.least = lacking + begun.dot(order.way.normal);
        }
    }
}

/// The moves of least square sum within all half-planes, by turns of raising one multiplier at a time.
///
/// When there are none the turns end all the same, at moves that lie between. Written out: most of the time of an
/// arrangement is spent here.
fn least_moves(scene: &Scene<'_>, bounds: &[Bound]) -> Vec<Vec2> {
    const TURNS: usize = 400;
    let loose: Vec<f64> =
        scene.bodies.iter().map(|body| if body.is_pinned { 0.0 } else { 1.0 }).collect();
    let mut all_moves = vec![Vec2::ZERO; scene.bodies.len()];
    let mut raised = vec![0.0_f64; bounds.len()];
    let (loose, moves) = (loose.as_slice(), all_moves.as_mut_slice());
    for _ in 0..TURNS {
        let mut most: f64 = 0.0;
        for (bound, multiplier) in bounds.iter().zip(raised.as_mut_slice()) {
            let (one, normal, mine) = (bound.one, bound.normal, loose[bound.one]);
            let (there, theirs) = match bound.other {
                Some(other) => (moves[other], loose[other]),
                None => (Vec2::ZERO, 0.0),
            };
            let short = bound.least - (moves[one] - there).dot(normal);
            let next = greater(0.0, *multiplier + short / (mine + theirs));
            let by = next - *multiplier;
            *multiplier = next;
            most = greater(most, by.abs());
            moves[one] = moves[one] + normal * (by * mine);
            if let Some(other) = bound.other {
                moves[other] = there - normal * (by * theirs);
            }
        }
        if most < AT_REST / 100.0 {
            break;
        }
    }
    all_moves
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, scene, standing};
    use super::super::measure::spare;
    use super::*;
    use crate::search::{Budget, Seed};

    fn settled(places: &[(f64, f64)], extra: f64) -> Option<(Vec<Pose>, f64)> {
        let molds: Vec<_> = places.iter().map(|&(x, y)| (block(40.0, 20.0), (x, y, 0.0))).collect();
        let plan = standing(&molds);
        let scene = scene(&plan);
        let here = scene.poses().expect("all stand");
        let mut nobody = ();
        let mut run = Run::new(Seed(1), Budget { steps: u64::MAX }, &mut nobody);
        let wish = Wish { at: &here, from: &here, extra };
        let poses = settle(&scene, wish, &mut run)?;
        let spare = spare(&scene, &poses);
        Some((poses.into_iter().map(|pose| scene.frame.world(pose)).collect(), spare))
    }

    #[test]
    fn a_corner_between_two_edges_is_come_to_straight() {
        // Both margins end 40 mm from the corner of the blank: the centre may come to (60, 60).
        let (poses, _) = settled(&[(30.0, 20.0)], 0.0).expect("settles");
        assert!(poses[0].at.distance(crate::geometry::Point::new(60.0, 60.0)) < 1e-6, "{poses:?}");
    }

    #[test]
    fn what_stands_well_is_not_moved_at_all() {
        let places = [(100.0, 100.0), (175.0, 100.0), (300.0, 200.0)];
        let (poses, _) = settled(&places, 0.0).expect("settles");
        for (pose, (x, y)) in poses.iter().zip(places) {
            assert!(pose.at == crate::geometry::Point::new(x, y), "{pose:?}");
        }
    }

    #[test]
    fn a_heap_is_parted_and_keeps_what_it_is_asked_for() {
        let heap = [(190.0, 150.0), (200.0, 160.0), (213.0, 141.0), (185.0, 131.0), (205.0, 149.0)];
        for extra in [0.0, 3.0] {
            let (_, spare) = settled(&heap, extra).expect("settles");
            assert!(spare >= extra - 1e-6, "{spare}");
        }
    }

    #[test]
    fn more_than_there_is_room_for_is_not_settled() {
        assert!(settled(&[(200.0, 150.0), (210.0, 150.0)], 90.0).is_none());
    }
}

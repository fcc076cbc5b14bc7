//! Moves all items together until nothing is lacking: the last touches, with the true outlines and any turn.
//!
//! What is lacking is a smooth function of all poses: for each corner that is too near to another item, the square of
//! what its distance lacks. A quasi-Newton descent brings it to nothing where the search has come near enough.
//!
//! **Source:** T. Imamichi, M. Yagiura and H. Nagamochi, An iterated local search algorithm based on nonlinear
//! programming for the irregular strip packing problem, Discrete Optimization 6(4), 2009 (the idea of parting all
//! pieces at once; cited from memory).

use super::descent::{Descent, Slope};
use super::{Problem, Turns};
use crate::geometry::{Point, Pose, PoseMap, Rect, Shape, Vec2, extent};
use crate::units::{Angle, Length};

/// Distances are brought this far beyond what is asked, in millimetres, so that an end is reached in a few steps.
const MARGIN: f64 = 1e-3;
/// The most steps downhill.
const MOST_STEPS: usize = 150;
/// After every so many steps it is seen whether more are worth while,
const CHECKED: usize = 15;
/// which they are when no more than this share is left of what was lacking before.
const WORTH: f64 = 0.7;

/// What has come of moving all items together.
#[derive(Clone, Debug)]
pub(super) struct Settled {
    pub(super) poses: Vec<Pose>,
    /// What is lacking still, in square millimetres; zero when it is worth asking the exact geometry.
    pub(super) cost: f64,
    /// How often all items were looked at.
    pub(super) n_looks: u64,
}

/// Moves all items together for as long as that helps.
pub(super) fn settle(problem: &Problem, poses: &[Pose]) -> Settled {
    let parting = Parting::new(problem, poses);
    let mut descent = Descent::new(start(poses));
    let enough = MARGIN * MARGIN * 0.25;
    let mut before = descent.begin(&parting);
    for step in 1..=MOST_STEPS {
        if descent.cost() <= enough || !descent.step(&parting) {
            break;
        }
        if step % CHECKED == 0 {
            if descent.cost() > before * WORTH {
                break;
            }
            before = descent.cost();
        }
    }
    let cost = if descent.cost() <= enough { 0.0 } else { descent.cost() };
    Settled { poses: parting.poses(descent.at()), cost, n_looks: descent.n_looks() }
}

/// Three variables an item: two of its place, one of its turn.
fn start(poses: &[Pose]) -> Vec<f64> {
    poses.iter().flat_map(|pose| [pose.at.x, pose.at.y, 0.0]).collect()
}

/// What all items lack, as a function of where they are and how they are turned.
struct Parting<'a> {
    problem: &'a Problem,
    start: Vec<Pose>,
    /// For each item how many millimetres of its variable make a radian; zero for one that may not turn.
    levers: Vec<f64>,
    is_pinned: Vec<bool>,
}

impl<'a> Parting<'a> {
    fn new(problem: &'a Problem, poses: &[Pose]) -> Self {
        let lever = |item: &super::Item| {
            let bounds = item.shape.bounds();
            let reach = bounds.min.distance(bounds.max) / 2.0;
            let turns = item.turns == Turns::Free && item.pinned.is_none();
            if turns { reach.max(1e-6) } else { 0.0 }
        };
        Self {
            problem,
            start: poses.to_vec(),
            levers: problem.items.iter().map(lever).collect(),
            is_pinned: problem.items.iter().map(|item| item.pinned.is_some()).collect(),
        }
    }

    fn pose(&self, i: usize, at: &[f64]) -> Pose {
        let [x, y, along] = [at[3 * i], at[3 * i + 1], at[3 * i + 2]];
        let lever = self.levers[i];
        let turn = if lever > 0.0 { Angle::radians(along / lever) } else { Angle::ZERO };
        Pose::new(Point::new(x, y), self.start[i].turn + turn)
    }

    fn poses(&self, at: &[f64]) -> Vec<Pose> {
        (0..self.start.len())
            .map(|i| if self.is_pinned[i] { self.start[i] } else { self.pose(i, at) })
            .collect()
    }

    /// Adds a force at a place of an item.
    fn push(&self, i: usize, from: Vec2, force: Vec2, slope: &mut [f64]) {
        if self.is_pinned[i] {
            return;
        }
        slope[3 * i] += force.x;
        slope[3 * i + 1] += force.y;
        if self.levers[i] > 0.0 {
            slope[3 * i + 2] += from.cross(force) / self.levers[i];
        }
    }

    /// What the corners of `i` lack to item `j`.
    fn corners(&self, (i, j): (usize, usize), placed: &[Placed<'_>], slope: &mut [f64]) -> f64 {
        let wanted = self.problem.apart.of(i, j).to_mm() + MARGIN;
        let (mine, its) = (&placed[i], &placed[j]);
        let near = its.shape.bounds().grown(Length::mm(wanted));
        let mut sum = 0.0;
        for corner in mine.shape.region().rings().flat_map(|ring| ring.points()) {
            let place = mine.map.apply(*corner);
            let inside = its.map.invert(place);
            if !near.contains(inside) {
                continue;
            }
            let Some((foot, distance)) = its.shape.nearest_outline(inside) else { continue };
            let lack = wanted - distance;
            if lack <= 0.0 || distance.abs() < 1e-12 {
                continue;
            }
            let foot = its.map.apply(foot);
            let force = (place - foot) * (-2.0 * lack / distance);
            sum += lack * lack;
            self.push(i, place - mine.at, force, slope);
            self.push(j, foot - its.at, -force, slope);
        }
        sum
    }

    /// What an item lacks to its room.
    fn room(&self, i: usize, placed: &Placed<'_>, slope: &mut [f64]) -> f64 {
        if self.is_pinned[i] {
            return 0.0;
        }
        let Rect { min, max } = self.problem.items[i].room;
        let mut sum = 0.0;
        for corner in placed.shape.hull() {
            let place = placed.map.apply(*corner);
            let beyond = |low: f64, p: f64, high: f64| (p - high).max(0.0) - (low - p).max(0.0);
            let out = Vec2::new(beyond(min.x, place.x, max.x), beyond(min.y, place.y, max.y));
            let square = out.dot(out);
            if square > 0.0 {
                sum += square;
                self.push(i, place - placed.at, out * 2.0, slope);
            }
        }
        sum
    }
}

/// An item where it is tried.
struct Placed<'a> {
    shape: &'a Shape,
    at: Point,
    map: PoseMap,
    extent: Rect,
}

impl Slope for Parting<'_> {
    fn cost(&self, at: &[f64], slope: &mut [f64]) -> f64 {
        slope.fill(0.0);
        let poses = self.poses(at);
        let items = self.problem.items.iter().zip(&poses);
        let placed: Vec<Placed<'_>> = items
            .map(|(item, &pose)| Placed {
                shape: &item.shape,
                at: pose.at,
                map: pose.map(),
                extent: extent(&item.shape, pose),
            })
            .collect();
        let mut sum = 0.0;
        for i in 0..placed.len() {
            sum += self.room(i, &placed[i], slope);
            for j in 0..i {
                let wanted = self.problem.apart.of(i, j).to_mm() + MARGIN;
                let is_near = placed[i].extent.distance(placed[j].extent) <= wanted;
                if is_near && !(self.is_pinned[i] && self.is_pinned[j]) {
                    sum += self.corners((i, j), &placed, slope);
                    sum += self.corners((j, i), &placed, slope);
                }
            }
        }
        sum
    }
}

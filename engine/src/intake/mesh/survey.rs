//! Measures a standing mesh: what a mold planner needs to know of it.

use super::super::problem::{Place, Problem, Trouble};
use super::by_place::{ByPlace, by_place};
use super::envelope::{Frame, Triangle};
use super::silhouette::{edges, normal, silhouette};
use super::stand::Standing;
use super::undercut::{Undercut, undercut};
use crate::geometry::{HeightField, Point, Region, Vec2};
use crate::units::{Angle, Area, Length};

/// The sine of the least angle from edge on at which a triangle faces up or down: rounding of meshes.
pub(super) const FACING: f64 = 1e-3;

/// Walls that lean out by up to this count as upright, in sines: half a degree, as for undercuts.
const LEANING_OUT: f64 = -0.008_727;

/// What leans in by more is a top and no wall (common practice).
const WALL: Angle = Angle::degrees(45.0);

/// Pieces that one edge is cut into where it is compared with the ground beside it.
const MOST_PIECES: f64 = 4000.0;

/// What a planner needs to know of a mesh.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// The outline from above, one region for each part, the largest first.
    pub silhouette: Vec<Region>,
    /// How far the silhouette may stray; zero when it is exact.
    pub silhouette_within: Length,
    /// From the platen to the highest corner.
    pub height: Length,
    /// What the sheet has to cover if it follows every place it can reach from above, and falls straight down
    /// from the edges of overhangs.
    pub formed: Area,
    /// The draft that a hundredth of all walls is steeper than: the least, but for a few odd triangles. 45 degrees
    /// without walls.
    pub draft: Angle,
    /// Walls steeper than the draft asked for.
    pub steep: SteepWalls,
    /// What the sheet could not release from.
    pub undercut: Undercut,
    /// Where undercuts and steep walls are.
    pub by_place: ByPlace,
    /// The upper envelope, a thousand cells along the longer side.
    pub heights: HeightField,
    /// What makes these figures uncertain.
    pub problems: Vec<Problem>,
}

/// Walls with less draft than a rule asks for.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SteepWalls {
    /// Their surface.
    pub surface: Area,
    /// The least draft among them; `None` without such walls.
    pub least: Option<Angle>,
    /// The middle of the largest triangle among them.
    pub at: Option<Point>,
}

/// Which way triangles face: as they are wound, or the other way when the mesh is inside out.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facing(f64);

impl Facing {
    /// By the sign of the enclosed volume.
    fn of(standing: &Standing) -> Self {
        let volume: f64 = standing
            .triangles()
            .map(|triangle| {
                let n = normal(&triangle);
                n[2] * (triangle[0][2] + triangle[1][2] + triangle[2][2])
            })
            .sum();
        Self(if volume < 0.0 { -1.0 } else { 1.0 })
    }

    /// A normal that points out.
    pub(super) fn outward(self, n: [f64; 3]) -> [f64; 3] {
        n.map(|value| value * self.0)
    }
}

/// Measures a mesh against the least draft that the rules ask for.
///
/// Surfaces and the silhouette are summed over triangles; whether one is seen from above, and how far the sheet
/// falls from an edge, is read from the height field, so that figures err by about a cell along edges. Cost:
/// linear in triangles and cells, and `n log n` in the edges of the silhouette.
#[must_use]
pub fn survey(standing: &Standing, least_draft: Angle) -> Survey {
    let heights = standing.fine_heights();
    let facing = Facing::of(standing);
    let all = edges(standing, |_| true);
    let (silhouette, silhouette_within) = silhouette(standing, &all.left, &heights);
    let mut problems = Vec::new();
    let mut tell = |trouble| problems.push(Problem { at: Place::File, trouble });
    if !all.is_closed {
        tell(Trouble::NotWatertight);
    }
    if silhouette_within > Length::ZERO {
        tell(Trouble::Coarse { within: silhouette_within });
    }
    // A mesh without triangles is told of where it is read.
    if !standing.mesh.triangles.is_empty() && standing.is_odd_size() {
        let bounds = standing.bounds;
        let longest = bounds.width().max(bounds.depth()).max(standing.height);
        tell(Trouble::OddSize { longest });
    }
    let (undercut, depths) = undercut(standing, facing, &heights);
    let by_place = by_place(
        standing.bounds,
        &depths,
        &heights,
        walls(standing, facing, least_draft, &heights),
    );
    Survey {
        silhouette,
        silhouette_within,
        by_place,
        height: standing.height,
        formed: Area::mm2(tops(standing, facing, &heights) + falls(standing, facing, &heights)),
        draft: draft(standing, facing, &heights),
        steep: steep(standing, facing, least_draft, &heights),
        undercut,
        heights,
        problems,
    }
}

/// The surface that faces up and is seen from above, in square millimetres.
fn tops(standing: &Standing, facing: Facing, heights: &HeightField) -> f64 {
    let frame = Frame::of(heights);
    let seen = heights.heights();
    let mut sum = 0.0;
    for triangle in standing.triangles() {
        let n = facing.outward(normal(&triangle));
        let length = length(n);
        if n[2] <= FACING * length {
            continue;
        }
        let (mut n_covered, mut n_seen) = (0_u32, 0_u32);
        frame.cells(&triangle, |cell, z| {
            n_covered += 1;
            n_seen += u32::from(z >= seen[cell]);
        });
        let share = if n_covered > 0 {
            f64::from(n_seen) / f64::from(n_covered)
        } else {
            f64::from(u8::from(is_near_top(&triangle, heights)))
        };
        sum += share * length / 2.0;
    }
    sum
}

/// True when a triangle too small to cover a cell's middle is at the top of a cell round it.
fn is_near_top(triangle: &[[f64; 3]; 3], heights: &HeightField) -> bool {
    let (middle, z) = middle(triangle);
    let step = heights.spacing().to_mm();
    let steps = [-step, 0.0, step];
    let around = steps.into_iter().flat_map(|dx| steps.map(|dy| middle + Vec2::new(dx, dy)));
    let lowest = around.map(|place| heights.at(place)).fold(f64::INFINITY, f64::min);
    z >= lowest - step / 2.0
}

fn middle(triangle: &[[f64; 3]; 3]) -> (Point, f64) {
    let mean = |k: usize| (triangle[0][k] + triangle[1][k] + triangle[2][k]) / 3.0;
    (Point::new(mean(0), mean(1)), mean(2))
}

fn length(n: [f64; 3]) -> f64 {
    (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt()
}

/// The sheet that falls straight down from the edges of what faces up, in square millimetres.
fn falls(standing: &Standing, facing: Facing, heights: &HeightField) -> f64 {
    let is_up = |n: [f64; 3]| {
        let n = facing.outward(n);
        n[2] > FACING * length(n)
    };
    let step = heights.spacing().to_mm();
    let corners = &standing.mesh.corners;
    let corner = |index: u32| corners.get(index as usize).copied().unwrap_or_default();
    let mut sum = 0.0;
    for (from, to) in edges(standing, is_up).left {
        let (a, b) = (corner(from), corner(to));
        let along = Vec2::new(b[0] - a[0], b[1] - a[1]);
        let span = along.length();
        if span <= 0.0 {
            continue;
        }
        let outside = -along.left() / span * (0.75 * step);
        let n = libm::ceil(span / step).clamp(1.0, MOST_PIECES);
        let mut share = 0.5 / n;
        while share < 1.0 {
            let place = Point::new(a[0], a[1]) + along * share + outside;
            let fall = a[2] + (b[2] - a[2]) * share - heights.at(place);
            sum += fall.max(0.0) * span / n;
            share += 1.0 / n;
        }
    }
    sum
}

/// A triangle of a wall that stands in the open.
pub(super) struct Wall {
    /// Its surface in square millimetres.
    pub(super) surface: f64,
    /// The sine of its draft.
    pub(super) sine: f64,
    /// Its middle, seen from above.
    pub(super) at: Point,
    /// Its corners.
    pub(super) corners: Triangle,
}

/// The walls with a draft of less than `limit` in the open, those that lean out by rounding among them.
pub(super) fn walls(
    standing: &Standing,
    facing: Facing,
    limit: Angle,
    heights: &HeightField,
) -> impl Iterator<Item = Wall> {
    let limit = limit.sin();
    let step = heights.spacing().to_mm();
    standing.triangles().filter_map(move |triangle| {
        let n = facing.outward(normal(&triangle));
        let length = length(n);
        if length <= 0.0 || n[2] >= limit * length || n[2] < LEANING_OUT * length {
            return None;
        }
        let (at, z) = middle(&triangle);
        let out = Vec2::new(n[0], n[1]);
        let outside = at + out * (step / out.length());
        (heights.at(outside) <= z + step).then_some(Wall {
            surface: length / 2.0,
            sine: n[2] / length,
            at,
            corners: triangle,
        })
    })
}

/// Walls with less draft than asked for that stand in the open.
fn steep(
    standing: &Standing,
    facing: Facing,
    least_draft: Angle,
    heights: &HeightField,
) -> SteepWalls {
    let (mut sum, mut least, mut largest) = (0.0, f64::INFINITY, 0.0);
    let mut at = None;
    for wall in walls(standing, facing, least_draft, heights) {
        sum += wall.surface;
        least = least.min(wall.sine);
        if wall.surface > largest {
            (largest, at) = (wall.surface, Some(wall.at));
        }
    }
    // Which of two zeros is the lesser depends on the machine; the sum is the positive one.
    let least = least.is_finite().then(|| Angle::radians(libm::asin(least + 0.0)));
    SteepWalls { surface: Area::mm2(sum), least, at }
}

/// See [`Survey::draft`]. Drafts are counted in hundredths of a degree, so nothing is sorted.
fn draft(standing: &Standing, facing: Facing, heights: &HeightField) -> Angle {
    let mut surfaces = [0.0; 4501];
    for wall in walls(standing, facing, WALL, heights) {
        let hundredths = Angle::radians(libm::asin(wall.sine.max(0.0))).to_degrees() * 100.0;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from 0 to 4500"
        )]
        let bin = libm::round(hundredths).clamp(0.0, 4500.0) as usize;
        surfaces[bin] += wall.surface;
    }
    let all: f64 = surfaces.iter().sum();
    let mut sum = 0.0;
    let steep = (0..=4500).zip(surfaces).find(|(_, surface)| {
        sum += surface;
        all > 0.0 && sum >= all / 100.0
    });
    Angle::degrees(f64::from(steep.map_or(4500, |(bin, _)| bin)) / 100.0)
}

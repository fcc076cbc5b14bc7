//! Locating corners: pieces to cut out beside a mold, between which it drops in at its place and turn.
//!
//! A piece is part of the band round the outline, near a corner or at any place of a round one, so it has the shape
//! of an L or of an arc by itself. Which places are chosen is a question of what they hold: each small move of the
//! mold, sideways, turning or both, has to run into a piece early.

use std::collections::BTreeMap;

use super::layout::{Standing, standing_within};
use super::{Form, Mark, Role};
use crate::geometry::{
    Point, Pose, Region, Ring, Shape, Vec2, common, flatten, gap_within, is_overlapping, offset,
    tolerance, without,
};
use crate::order;
use crate::plan::{MoldId, MoldKind, PlacementId, Plan, PullId};
use crate::units::{Angle, Length};

/// Between mold and piece: enough to drop in, and half of what a mold may be off by.
pub const CORNER_PLAY: Length = Length::mm(0.05);
/// How wide a piece is.
const WIDE: Length = Length::mm(6.0);
/// How far a piece reaches from its place: a tenth of the way round the mold, within these.
const REACH: (f64, f64) = (3.0, 15.0);
/// What is kept free between a piece and anything that is not its mold.
const APART: Length = Length::mm(0.5);
/// The most pieces of one mold.
const PIECES_MOST: usize = 4;
/// Places tried along every outline, and the most of its corners.
const PLACES: (u32, usize) = (16, 24);
/// A turn of the outline by more than this is a corner (common practice: what a finger feels as one).
const SHARP: Angle = Angle::degrees(20.0);
/// The farthest apart that an outline is felt.
const SPACING: f64 = 2.0;
/// Of each move's way into the whole band, the share that the pieces hold: well held, and the least.
const HELD: (f64, f64) = (0.85, 0.6);
/// A move of which the outline shows less than this share is no move of it, as a round mold's turn.
const SEEN: f64 = 0.1;

/// The locating corners of a pull.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Corners {
    /// The pieces, each of the mold it holds.
    pub marks: Vec<Mark>,
    /// What has none: there is no room for enough of them, or it is a cavity, of whose block a plan knows no outline.
    pub without: Vec<PlacementId>,
}

/// The locating corners of every mold of a pull; an unknown pull has none.
///
/// A mold between its pieces stands within 0.1 mm of its place, a round one at any turn. Pieces lie on the blank and
/// clear of every other mold and piece. **Units**: millimetres on the blank. **Cost**: some forty cuts of the outline a
/// mold, and the placements squared.
#[must_use]
pub fn corners(plan: &Plan, pull: PullId) -> Corners {
    let standing = standing_within(plan, pull, tolerance::MEASURE);
    let shapes: Vec<Shape> = standing.iter().map(|one| Shape::new(one.region.clone())).collect();
    let blank = plan.machine.blank.rect();
    let mut own: BTreeMap<MoldId, Jig> = BTreeMap::new();
    let mut taken: Vec<Shape> = Vec::new();
    let mut corners = Corners::default();
    for (at, one) in standing.iter().enumerate() {
        let jig = own.entry(one.placement.mold).or_insert_with(|| Jig::of(one));
        let others = || shapes.iter().enumerate().filter(|(n, _)| *n != at).map(|(_, shape)| shape);
        let placed = jig.pieces.iter().map(|piece| piece.region.placed(one.placement.pose));
        let free = placed.map(|region| {
            let is_on_blank =
                region.bounds().is_some_and(|b| blank.contains(b.min) && blank.contains(b.max));
            let piece = Shape::new(region.clone());
            let is_free = is_on_blank && others().chain(&taken).all(|shape| !meets(&piece, shape));
            is_free.then_some(region)
        });
        let free: Vec<Option<Region>> = free.collect();
        let is_solid = one.mold.kind == MoldKind::Male;
        let chosen = jig.chosen(|n| is_solid && free.get(n).is_some_and(Option::is_some));
        if chosen.is_empty() {
            corners.without.push(one.id);
        }
        for region in chosen.into_iter().filter_map(|n| free.get(n).cloned().flatten()) {
            taken.push(Shape::new(region.clone()));
            corners.marks.push(Mark::new(Role::Corner, Form::Region(region)).of(one.subject()));
        }
    }
    corners
}

/// True when two shapes overlap or come too near.
fn meets(a: &Shape, b: &Shape) -> bool {
    let still = Pose::default();
    is_overlapping(a, still, b, still) || gap_within(a, still, b, still, APART).is_some()
}

/// A mold's outline as it is felt, and the pieces that could hold it, about the mold's own centre.
#[derive(Debug)]
struct Jig {
    pieces: Vec<Piece>,
    /// How far each move goes outwards where it does so most.
    outward: Vec<f64>,
}

/// One piece, and how far each move runs into it.
#[derive(Debug)]
struct Piece {
    region: Region,
    shape: Shape,
    into: Vec<f64>,
}

/// A place on the outline with the direction out of the mold.
#[derive(Clone, Copy, Debug)]
struct Felt {
    at: Point,
    out: Vec2,
}

/// A small move: sideways, and a turn by what moves the farthest corner one millimetre.
#[derive(Clone, Copy, Debug)]
struct Motion {
    by: Vec2,
    turn: f64,
}

impl Jig {
    fn of(one: &Standing<'_>) -> Self {
        let solid = Region::new(one.mold.footprint.region(tolerance::MEASURE).outer, Vec::new());
        let felt = felt(&solid.outer);
        let far = felt.iter().map(|f| f.at.distance(Point::ORIGIN)).fold(1e-9, f64::max);
        let motions = motions();
        let into = |felt: &[Felt]| -> Vec<f64> {
            let most = |motion: &Motion| {
                felt.iter().map(|f| f.out.dot(motion.at(f.at, far))).fold(0.0, f64::max)
            };
            motions.iter().map(most).collect()
        };
        let bands = band(&solid);
        let reach = (solid.perimeter().to_mm() / 10.0).clamp(REACH.0, REACH.1);
        let places = places(&solid.outer).into_iter();
        let regions = places.filter_map(|place| piece(&bands, place, reach));
        let pieces = regions.map(|region| {
            let shape = Shape::new(region.clone());
            let near = CORNER_PLAY * 1.5;
            let is_near = |f: &&Felt| shape.distance_to_outline(f.at).is_some_and(|d| d <= near);
            let touched: Vec<Felt> = felt.iter().filter(is_near).copied().collect();
            Piece { region, shape, into: into(&touched) }
        });
        Self { pieces: pieces.collect(), outward: into(&felt) }
    }

    /// The fewest free pieces that hold the mold well, up to four; none when they do not hold it.
    fn chosen(&self, is_free: impl Fn(usize) -> bool) -> Vec<usize> {
        let mut chosen: Vec<usize> = Vec::new();
        let mut held = vec![0.0; self.outward.len()];
        while chosen.len() < PIECES_MOST && self.worst(&held) < HELD.0 {
            let is_apart = |n: usize| {
                let shape = |n: usize| self.pieces.get(n).map(|piece| &piece.shape);
                let is_met =
                    |other: &usize| shape(n).zip(shape(*other)).is_some_and(|(a, b)| meets(a, b));
                !chosen.iter().any(is_met)
            };
            let free = (0..self.pieces.len()).filter(|n| is_free(*n) && is_apart(*n));
            let lacking = |n: usize| self.lacking(&self.with(&held, n));
            let best = free.map(|n| (lacking(n), n)).min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, best)) = best else { break };
            held = self.with(&held, best);
            chosen.push(best);
        }
        if self.worst(&held) < HELD.1 { Vec::new() } else { chosen }
    }

    fn with(&self, held: &[f64], n: usize) -> Vec<f64> {
        let into = self.pieces.get(n).map_or(&[][..], |piece| &piece.into);
        held.iter().zip(into).map(|(held, into)| held.max(*into)).collect()
    }

    /// Of each move that can be seen, the share of its way outwards that is held.
    fn shares<'a>(&'a self, held: &'a [f64]) -> impl Iterator<Item = f64> + 'a {
        let pairs = self.outward.iter().zip(held);
        pairs.filter(|(outward, _)| **outward > SEEN).map(|(outward, held)| held / outward)
    }

    fn worst(&self, held: &[f64]) -> f64 {
        self.shares(held).fold(1.0, f64::min)
    }

    fn lacking(&self, held: &[f64]) -> f64 {
        self.shares(held).map(|share| (1.0 - share) * (1.0 - share)).sum()
    }
}

impl Motion {
    /// Where it moves a place, the turn being about the mold's centre.
    fn at(self, place: Point, far: f64) -> Vec2 {
        self.by + (place - Point::ORIGIN).left() * (self.turn / far)
    }
}

/// Moves in all directions, sideways and turning, of one millimetre.
fn motions() -> Vec<Motion> {
    let tilts = [-90.0, -60.0, -30.0, 0.0, 30.0, 60.0, 90.0];
    let directions = (0..24_u32).map(|n| Vec2::unit(Angle::degrees(15.0 * f64::from(n))));
    let all = directions.flat_map(|direction| {
        tilts.map(|tilt| {
            let (sin, cos) = Angle::degrees(tilt).sin_cos();
            Motion { by: direction * cos, turn: sin }
        })
    });
    all.collect()
}

/// Places along the outline, near enough to each other, each side's ends among them.
fn felt(ring: &Ring) -> Vec<Felt> {
    let sides = ring.sides().filter(|(a, b)| a.distance(*b) > tolerance::SAME.to_mm());
    let places = sides.flat_map(|(a, b)| {
        let length = a.distance(b);
        let out = -((b - a) / length).left();
        let n = libm::ceil(length / SPACING).max(1.0);
        let shares = std::iter::successors(Some(0.0), move |i| (*i < n).then_some(i + 1.0));
        shares.map(move |i| Felt { at: a + (b - a) * (i / n), out })
    });
    places.collect()
}

/// Corners of the outline, the sharpest first, then places at equal distances along it.
fn places(ring: &Ring) -> Vec<Point> {
    let sides: Vec<(Point, Point)> = ring.sides().collect();
    let next = sides.iter().cycle().skip(1);
    let mut sharp: Vec<(f64, Point)> = sides
        .iter()
        .zip(next)
        .map(|((a, corner), (_, b))| {
            let (along, onward) = (*corner - *a, *b - *corner);
            (libm::atan2(along.cross(onward), along.dot(onward)), *corner)
        })
        .filter(|(turn, _)| *turn > SHARP.to_radians())
        .collect();
    order::by(&mut sharp, |a, b| {
        b.0.total_cmp(&a.0).then(a.1.x.total_cmp(&b.1.x)).then(a.1.y.total_cmp(&b.1.y))
    });
    sharp.truncate(PLACES.1);
    let step = ring.perimeter().to_mm() / f64::from(PLACES.0);
    let mut places: Vec<Point> = sharp.into_iter().map(|(_, corner)| corner).collect();
    let (mut walked, mut due) = (0.0, step / 2.0);
    for (a, b) in sides {
        let length = a.distance(b);
        while step > 0.0 && due <= walked + length {
            places.push(a + (b - a) * ((due - walked) / length));
            due += step;
        }
        walked += length;
    }
    places
}

/// The band round a mold in which its pieces lie.
fn band(solid: &Region) -> Vec<Region> {
    let grown = |by| offset(solid, by, tolerance::MEASURE);
    let inner = grown(CORNER_PLAY);
    let bands = grown(CORNER_PLAY + WIDE).into_iter().flat_map(|outer| {
        let first = vec![outer];
        inner.iter().fold(first, |left, hole| {
            left.iter().flat_map(|region| without(region, hole)).collect()
        })
    });
    bands.collect()
}

/// The part of the band at a place of the outline.
fn piece(bands: &[Region], place: Point, reach: f64) -> Option<Region> {
    let round = flatten::circle(Length::mm(reach * 2.0), tolerance::DRAW);
    let round = Ring::new(round.points().iter().map(|&p| p + place.to_vec2()).collect());
    let round = Region::new(round, Vec::new());
    let parts = bands.iter().flat_map(|band| common(band, &round));
    let near = parts.filter_map(|part| {
        let distance = Shape::new(part.clone()).distance_to_outline(place)?;
        (distance <= CORNER_PLAY * 1.5).then_some((distance, part))
    });
    // Nothing is to stand within a piece: what lies in a ring of one cannot be lifted out.
    let open = near.filter(|(_, part)| part.holes.is_empty());
    open.min_by(|a, b| a.0.to_mm().total_cmp(&b.0.to_mm())).map(|(_, part)| part)
}

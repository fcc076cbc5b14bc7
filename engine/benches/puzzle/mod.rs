//! Puzzles with a known answer: a blank cut into concave pieces, each a little smaller than its hole.

use std::collections::BTreeMap;
use std::sync::Arc;

use engine::geometry::{
    Point, Pose, Rect, Region, Ring, Shape, Vec2, gap, offset, problems, tolerance,
};
use engine::plan::{
    self, ClearanceRule, EdgeRule, Footprint, HeightBasis, Machine, Mold, MoldId, Plan, Settings,
    Size,
};
use engine::search::{Apart, Item, Problem, Turns};
use engine::units::{Angle, Length};

/// The width of the bench blank in millimetres.
pub(crate) const WIDTH: f64 = 440.0;
/// The depth of the bench blank in millimetres.
pub(crate) const DEPTH: f64 = 330.0;
/// How high the molds of a puzzle are that may touch, in millimetres. At the least clearance factor they stay a twentieth
/// of a millimetre apart, a small part of the play that each has in its hole.
const LOW: f64 = 0.1;

/// How the pieces of a puzzle may turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turning {
    /// Not at all; they lie the right way round.
    Fixed,
    /// By quarters, each given a random quarter turn.
    Quarters,
    /// Freely, each given a random turn.
    Free,
}

/// A puzzle of `n` pieces on the bench blank that fill `share` of it and may touch.
pub(crate) fn puzzle(n: usize, share: f64, turning: Turning, seed: u64) -> Problem {
    let problem = Cut::touching(n, share, turning, seed).problem();
    Problem { apart: Apart::touching(n), ..problem }
}

/// A puzzle of `n` molds of mixed heights up to `tallest` millimetres that stay apart as a plan asks it of them, by the
/// mean or by the taller of two heights, and from the edge by half of their own.
pub(crate) fn puzzle_with_clearance(
    n: usize,
    (tallest, basis): (f64, HeightBasis),
    turning: Turning,
    seed: u64,
) -> Problem {
    Cut::with_clearance(n, (tallest, basis), turning, seed).problem()
}

/// Molds cut from the bench blank, and the rules by which their holes were shrunk.
pub(crate) struct Cut {
    turning: Turning,
    /// Outlines about the middles of their bounds, each with its height in millimetres.
    molds: Vec<(Ring, f64)>,
    /// Where each lies in its hole, all holes drawn towards the first corner of the blank by the play there is.
    known: Vec<Pose>,
    settings: Settings,
}

impl Cut {
    /// As low as it goes, so that next to no clearance is asked.
    pub(crate) fn touching(n: usize, share: f64, turning: Turning, seed: u64) -> Self {
        let mut dice = Dice(seed);
        let pieces = cut(n, bench_blank(), &mut dice);
        let molds = pieces.iter().map(|ring| {
            let turn = given_turn(turning, &mut dice);
            let turned = ring.placed(Pose::new(Point::ORIGIN, turn));
            let (ring, known) = centred(&scaled(&turned, share.sqrt()), turn);
            ((ring, LOW), known)
        });
        let (molds, known) = molds.unzip();
        Self { turning, molds, known, settings: settings((0.5, HeightBasis::Mean), 0.0) }
    }

    /// Each hole shrunk by what its mold has to keep from its half of every gap.
    pub(crate) fn with_clearance(
        n: usize,
        (tallest, basis): (f64, HeightBasis),
        turning: Turning,
        seed: u64,
    ) -> Self {
        let mut dice = Dice(seed);
        let heights: Vec<f64> = (0..n).map(|_| tallest * (0.5 + 0.5 * dice.share())).collect();
        let settings = settings((1.0, basis), 0.5);
        let pieces = cut(n, bench_blank(), &mut dice);
        let insets = insets(&pieces, &heights, &settings);
        let molds = pieces.iter().zip(insets).zip(heights).map(|((ring, inset), height)| {
            let turn = given_turn(turning, &mut dice);
            let turned = ring.placed(Pose::new(Point::ORIGIN, turn));
            let region = Region::new(scaled(&turned, 0.97_f64.sqrt()), vec![]);
            let shrunk = offset(&region, Length::mm(-inset), tolerance::MEASURE);
            let area = |region: &Region| region.area().to_mm2();
            let largest = shrunk.into_iter().max_by(|a, b| area(a).total_cmp(&area(b)));
            let (ring, known) = centred(&largest.unwrap_or_default().outer, turn);
            ((ring, height), known)
        });
        let (molds, known) = molds.unzip();
        Self { turning, molds, known, settings }
    }

    /// The layout that is known: every piece back in its hole.
    pub(crate) fn known(&self) -> &[Pose] {
        &self.known
    }

    /// The bare question of places.
    pub(crate) fn problem(&self) -> Problem {
        let height = |i: usize| Length::mm(self.molds[i].1);
        let items = self.molds.iter().map(|(ring, height)| {
            let margin = self.settings.edge.margin(Length::mm(*height), Length::ZERO);
            item(ring, self.turning, bench_blank().grown(-margin))
        });
        let apart = Apart::new(self.molds.len(), |i, j| {
            self.settings.clearance.between([height(i), height(j)], [Length::ZERO; 2])
        });
        Problem { items: items.collect(), apart }
    }

    /// A plan with nothing on its blank yet, whose opening is the blank that was cut.
    pub(crate) fn plan(&self) -> Plan {
        let lip = Length::mm(10.0);
        let blank = Size::new(Length::mm(WIDTH) + lip * 2.0, Length::mm(DEPTH) + lip * 2.0);
        let mut plan = Plan::new("Puzzle", Machine::with_lip(blank, lip, Length::mm(100.0)));
        plan.settings = self.settings;
        let turns = match self.turning {
            Turning::Fixed => plan::Turns::Fixed,
            Turning::Quarters => plan::Turns::Quarter,
            Turning::Free => plan::Turns::Free,
        };
        let mold = |(ring, height): &(Ring, f64)| {
            let footprint = Footprint::Outline { outer: ring.clone(), holes: vec![] };
            let mold = Mold::new("Piece", footprint, Length::mm(*height));
            Arc::new(Mold { turns, trim: Length::ZERO, ..mold })
        };
        plan.molds = (1..).map(MoldId).zip(self.molds.iter().map(mold)).collect::<BTreeMap<_, _>>();
        plan
    }
}

/// Rules that ask for nothing but a factor times the height.
fn settings((factor, basis): (f64, HeightBasis), edge: f64) -> Settings {
    Settings {
        clearance: ClearanceRule { factor, basis, least: Length::ZERO },
        edge: EdgeRule { factor: edge, least: Length::ZERO },
        ..Settings::default()
    }
}

/// By how much each hole is drawn in so that every two molds keep their clearance in them, and their margin: half of the
/// largest clearance to any hole so near that it counts, and no less than the margin.
fn insets(holes: &[Ring], heights: &[f64], settings: &Settings) -> Vec<f64> {
    let shapes: Vec<Shape> =
        holes.iter().map(|ring| Shape::new(Region::new(ring.clone(), vec![]))).collect();
    let asked = |i: usize, j: usize| {
        let heights = [heights[i], heights[j]].map(Length::mm);
        settings.clearance.between(heights, [Length::ZERO; 2])
    };
    let here = Pose::new(Point::ORIGIN, Angle::ZERO);
    let is_near =
        |i: usize, j: usize| gap(&shapes[i], here, &shapes[j], here).distance < asked(i, j);
    let inset = |i: usize| {
        let margin = settings.edge.margin(Length::mm(heights[i]), Length::ZERO);
        let near = (0..holes.len()).filter(|&j| j != i && is_near(i, j));
        // By the mean of two heights each keeps half of its own; by the taller, half of the taller's.
        let own = |j: usize| match settings.clearance.basis {
            HeightBasis::Mean => asked(i, i) / 2.0,
            HeightBasis::Taller => asked(i, j) / 2.0,
        };
        near.map(own).fold(margin, Length::max).to_mm()
    };
    (0..holes.len()).map(inset).collect()
}

fn given_turn(turning: Turning, dice: &mut Dice) -> Angle {
    match turning {
        Turning::Fixed => Angle::ZERO,
        Turning::Quarters => Angle::degrees([0.0, 90.0, 180.0, 270.0][dice.below(4)]),
        Turning::Free => Angle::degrees(dice.share() * 360.0),
    }
}

fn item(ring: &Ring, turning: Turning, room: Rect) -> Item {
    Item {
        shape: Arc::new(Shape::new(Region::new(ring.clone(), vec![]))),
        turns: match turning {
            Turning::Fixed => Turns::Of(vec![Angle::ZERO]),
            Turning::Quarters => Turns::quarters(),
            Turning::Free => Turns::Free,
        },
        room,
        pinned: None,
    }
}

/// An outline moved so that the middle of its bounds is the origin, and the pose that brings it back to where it was before
/// it was turned.
fn centred(ring: &Ring, turn: Angle) -> (Ring, Pose) {
    let middle = ring.bounds().unwrap_or_default().center();
    let back = (Angle::ZERO - turn).normalized();
    let at = Pose::new(Point::ORIGIN, back).apply(middle);
    (ring.placed(Pose::new(Point::ORIGIN - middle.to_vec2(), Angle::ZERO)), Pose::new(at, back))
}

fn scaled(ring: &Ring, by: f64) -> Ring {
    Ring::new(ring.points().iter().map(|p| Point::new(p.x * by, p.y * by)).collect())
}

/// A strip of `height` millimetres that is `length` long, cut into `n` pieces, each brought to `share` of its hole and
/// given a random quarter turn.
///
/// Put back unturned they lie in a strip of the same height that is `length` times the root of `share` long, and share
/// borders there; across the strip the same root leaves them play.
pub(crate) fn strip_pieces(
    n: usize,
    [length, height]: [f64; 2],
    share: f64,
    seed: u64,
) -> Vec<Ring> {
    let mut dice = Dice(seed);
    let strip = Rect::sized(Point::ORIGIN, Length::mm(length), Length::mm(height));
    let pieces = cut(n, strip, &mut dice);
    let turned = pieces.iter().map(|ring| {
        let turn = given_turn(Turning::Quarters, &mut dice);
        scaled(&ring.placed(Pose::new(Point::ORIGIN, turn)), share.sqrt())
    });
    turned.collect()
}

const fn bench_blank() -> Rect {
    Rect::sized(Point::ORIGIN, Length::mm(WIDTH), Length::mm(DEPTH))
}

/// A rectangle cut into `n` pieces by zigzag cuts, the largest piece first.
fn cut(n: usize, blank: Rect, dice: &mut Dice) -> Vec<Ring> {
    let mut pieces = vec![Ring::new(blank.corners().to_vec())];
    while pieces.len() < n {
        let area = |ring: &Ring| ring.signed_area();
        pieces.sort_by(|a, b| area(a).total_cmp(&area(b)));
        let Some(largest) = pieces.pop() else { break };
        let halves = (0..10_000).find_map(|_| halves(&largest, dice));
        let Some(halves) = halves else { break };
        pieces.extend(halves);
    }
    pieces
}

/// A try at cutting a piece in two along a zigzag line; `None` when the cut is no good.
fn halves(piece: &Ring, dice: &mut Dice) -> Option<[Ring; 2]> {
    let n = piece.points().len();
    let (first, second) = (dice.below(n), dice.below(n));
    let (low, high) = (first.min(second), first.max(second));
    if low == high {
        return None;
    }
    let corner = |k: usize| piece.points()[k % n];
    let on_side = |k: usize, share: f64| corner(k) + (corner(k + 1) - corner(k)) * share;
    let (from, to) =
        (on_side(low, 0.25 + 0.5 * dice.share()), on_side(high, 0.25 + 0.5 * dice.share()));
    let across = (to - from).left();
    let n_bends = 2 + dice.below(3);
    let bends: Vec<Point> = (1..=n_bends)
        .map(|k| {
            let along = (count(k) + 0.5 * (dice.share() - 0.5)) / count(n_bends + 1);
            let side = if k % 2 == 0 { 1.0 } else { -1.0 };
            from + (to - from) * along + across * (side * (0.08 + 0.2 * dice.share()))
        })
        .collect();
    let cut: Vec<Point> = [from].into_iter().chain(bends).chain([to]).collect();
    let one: Vec<Point> = cut.iter().copied().chain((high + 1..=low + n).map(corner)).collect();
    let other: Vec<Point> = cut.iter().rev().copied().chain((low + 1..=high).map(corner)).collect();
    let rings = [Ring::new(one), Ring::new(other)];
    let whole = piece.signed_area();
    let is_good = |ring: &Ring| {
        ring.signed_area() > 0.35 * whole
            && problems(&Region { outer: ring.clone(), holes: vec![] }).is_empty()
            && is_stout(ring)
    };
    rings.iter().all(is_good).then_some(rings)
}

/// True when no corner is sharper than 25 degrees and the piece has no thin neck to speak of.
fn is_stout(ring: &Ring) -> bool {
    let points = ring.points();
    let n = points.len();
    let is_blunt = (0..n).all(|k| {
        let [before, at, after] = [points[(k + n - 1) % n], points[k], points[(k + 1) % n]];
        let (back, on) = (before - at, after - at);
        let angle = between(back, on);
        angle > 25.0
    });
    let shrunk = offset(&Region::new(ring.clone(), vec![]), Length::mm(-8.0), tolerance::DRAW);
    is_blunt && shrunk.len() == 1
}

/// The angle between two directions in degrees.
fn between(a: Vec2, b: Vec2) -> f64 {
    let turn = (a.direction() - b.direction()).normalized().to_degrees();
    turn.min(360.0 - turn)
}

/// A sequence of random numbers from a seed (`SplitMix64`).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn share(&mut self) -> f64 {
        // The upper bits as the digits of a number from 1 to 2.
        f64::from_bits((self.next() >> 12) | 1.0_f64.to_bits()) - 1.0
    }

    fn below(&mut self, n: usize) -> usize {
        let wide = u128::from(self.next()) * n as u128;
        usize::try_from(wide >> 64).unwrap_or(0)
    }
}

fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

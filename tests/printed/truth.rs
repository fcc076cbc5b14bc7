//! Where outlines should be: computed here from the plan's numbers, not by the engine's flattening.

use engine::geometry::{Point, Rect, Vec2};
use engine::plan::Footprint;
use engine::units::Angle;

use super::{ReadPage, Run};

/// Corners on a whole turn of a curve: within 0.001 mm of the true one up to a radius of 400 mm.
const STEPS: u32 = 1440;

/// The outer outline of a footprint about the mold's centre, as many small steps.
pub(crate) fn outline(footprint: &Footprint) -> Vec<Point> {
    match footprint {
        Footprint::Rectangle { width, depth } => corners(width.to_mm(), depth.to_mm()),
        Footprint::RoundedRectangle { width, depth, radius } => {
            let r = radius.to_mm();
            let inner = corners(width.to_mm() - 2.0 * r, depth.to_mm() - 2.0 * r);
            let quarter = |(n, centre): (u32, Point)| {
                let first = n * STEPS / 4 + STEPS / 2;
                (first..=first + STEPS / 4).map(move |i| centre + step(i) * r)
            };
            (0..).zip(inner).flat_map(quarter).collect()
        }
        Footprint::Circle { diameter } => {
            (0..STEPS).map(|i| Point::ORIGIN + step(i) * (diameter.to_mm() / 2.0)).collect()
        }
        Footprint::Ellipse { width, depth } => (0..STEPS)
            .map(step)
            .map(|v| Point::new(v.x * width.to_mm() / 2.0, v.y * depth.to_mm() / 2.0))
            .collect(),
        Footprint::Polygon { sides, diameter } => {
            let first = -90.0 + 180.0 / f64::from(*sides);
            let corner = |i| Angle::degrees(first + 360.0 / f64::from(*sides) * f64::from(i));
            let round = (0..*sides).map(corner).map(|turn| {
                Point::ORIGIN + Vec2::new(turn.cos(), turn.sin()) * (diameter.to_mm() / 2.0)
            });
            centred(round.collect())
        }
        Footprint::Outline { outer, .. } => centred(outer.points().to_vec()),
    }
}

/// Front left, front right, back right, back left.
fn corners(width: f64, depth: f64) -> Vec<Point> {
    let (x, y) = (width / 2.0, depth / 2.0);
    vec![Point::new(-x, -y), Point::new(x, -y), Point::new(x, y), Point::new(-x, y)]
}

fn step(i: u32) -> Vec2 {
    let turn = Angle::degrees(360.0 * f64::from(i) / f64::from(STEPS));
    Vec2::new(turn.cos(), turn.sin())
}

fn centred(points: Vec<Point>) -> Vec<Point> {
    let middle = Rect::around(points.iter().copied()).expect("corners").center().to_vec2();
    points.into_iter().map(|p| p - middle).collect()
}

/// The outline turned and moved.
pub(crate) fn placed(outline: &[Point], at: Point, turn: Angle) -> Vec<Point> {
    let (sin, cos) = (turn.sin(), turn.cos());
    outline.iter().map(|p| at + Vec2::new(cos * p.x - sin * p.y, sin * p.x + cos * p.y)).collect()
}

/// How far two closed outlines stray from each other at most.
pub(crate) fn stray(a: &[Point], b: &[Point]) -> f64 {
    let one_way = |from: &[Point], to: &[Point]| {
        let next = to.iter().cycle().skip(1);
        let sides: Vec<(Point, Point)> = to.iter().copied().zip(next.copied()).collect();
        let nearest = |p: &Point| {
            sides.iter().map(|&(a, b)| distance(*p, a, b)).fold(f64::INFINITY, f64::min)
        };
        from.iter().map(nearest).fold(0.0, f64::max)
    };
    one_way(a, b).max(one_way(b, a))
}

/// From a point to a straight line between two others.
fn distance(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let length = along.dot(along);
    let share = if length > 0.0 { ((p - a).dot(along) / length).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + along * share)
}

impl ReadPage {
    /// How far the closed line that comes nearest to `outline` strays from it; infinite without any.
    pub(crate) fn error_of(&self, outline: &[Point]) -> f64 {
        let wanted = Rect::around(outline.iter().copied()).expect("corners");
        let is_near = |run: &&Run| {
            let found = run.bounds();
            run.is_closed
                && found.min.distance(wanted.min) < 1.0
                && found.max.distance(wanted.max) < 1.0
        };
        let near = self.runs.iter().filter(is_near);
        near.map(|run| stray(&run.points, outline)).fold(f64::INFINITY, f64::min)
    }

    /// Where the blank's front left corner lies on the page, found by the blank's size.
    pub(crate) fn blank_corner(&self, blank: Rect) -> Vec2 {
        let size = blank.max - blank.min;
        let is_blank = |run: &&Run| {
            let found = run.bounds().max - run.bounds().min;
            run.is_closed && run.points.len() == 4 && (found - size).length() < 0.2
        };
        let run = self.runs.iter().find(is_blank).expect("the blank is drawn");
        run.bounds().min - Point::ORIGIN
    }
}

//! The pieces that the explaining drawings are put together from, in millimetres on a picture 110 mm wide.

use super::Diagram;
use crate::drawing::{Anchor, Drawing, Form, Mark, Role};
use crate::geometry::{Point, Rect, Region, Ring, Vec2};
use crate::rules::Severity;
use crate::units::Length;

/// How wide every picture is, so that lettering has one size on the screen.
pub(super) const WIDE: f64 = 110.0;
/// Capitals of all lettering.
const CAPITALS: Length = Length::mm(3.3);
/// How far a tick reaches to either side of the line of a measure.
const TICK: f64 = 1.2;

/// A drawing in the making.
#[derive(Default)]
pub(super) struct Sketch {
    marks: Vec<Mark>,
}

/// A place in the picture.
pub(super) const fn at(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn points(places: &[(f64, f64)]) -> Vec<Point> {
    places.iter().map(|&(x, y)| Point::new(x, y)).collect()
}

impl Sketch {
    pub(super) fn new() -> Self {
        Self::default()
    }

    fn put(mut self, role: Role, form: Form) -> Self {
        self.marks.push(Mark::new(role, form));
        self
    }

    fn area(places: &[(f64, f64)]) -> Form {
        Form::Region(Region { outer: Ring::new(points(places)), holes: Vec::new() })
    }

    /// A mold, or whatever else is solid.
    pub(super) fn mold(self, corners: &[(f64, f64)]) -> Self {
        self.put(Role::Mold, Self::area(corners))
    }

    /// A block with walls that lean in by `lean`.
    pub(super) fn block(self, left: f64, right: f64, height: f64, lean: f64) -> Self {
        self.mold(&[(left, 0.0), (right, 0.0), (right - lean, height), (left + lean, height)])
    }

    /// The frame that holds the sheet.
    pub(super) fn clamp(self, from: (f64, f64), to: (f64, f64)) -> Self {
        let rect = Rect::new(at(from.0, from.1), at(to.0, to.1));
        self.put(Role::ClampLip, Form::rect(rect))
    }

    /// The bed, seen from the side.
    pub(super) fn bed(self, left: f64, right: f64) -> Self {
        self.put(Role::Platen, Form::Line(at(left, 0.0), at(right, 0.0)))
    }

    /// The sheet, seen from the side.
    pub(super) fn sheet(self, places: &[(f64, f64)]) -> Self {
        self.put(Role::FormedSheet, Form::Polyline(points(places)))
    }

    /// A thin line that is there to compare with.
    pub(super) fn guide(self, from: (f64, f64), to: (f64, f64)) -> Self {
        self.put(Role::CentreLine, Form::Line(at(from.0, from.1), at(to.0, to.1)))
    }

    /// An edge, seen from above.
    pub(super) fn edge(self, from: (f64, f64), to: (f64, f64)) -> Self {
        self.put(Role::Opening, Form::Line(at(from.0, from.1), at(to.0, to.1)))
    }

    /// What is wrong, as a line.
    pub(super) fn wrong(self, severity: Severity, places: &[(f64, f64)]) -> Self {
        self.put(Role::FindingMark(severity), Form::Polyline(points(places)))
    }

    /// What is wrong, as a ring round a place.
    pub(super) fn ring(self, severity: Severity, middle: (f64, f64), radius: f64) -> Self {
        let corner = |n: u32| {
            let turn = std::f64::consts::TAU * f64::from(n) / 24.0;
            (middle.0 + radius * libm::cos(turn), middle.1 + radius * libm::sin(turn))
        };
        let round: Vec<(f64, f64)> = (0..=24).map(corner).collect();
        self.wrong(severity, &round)
    }

    /// A measure from left to right at height `y`, its figure under the line.
    pub(super) fn across(self, (left, right): (f64, f64), y: f64, words: &str) -> Self {
        let middle = f64::midpoint(left, right);
        self.dimension(at(left, y), at(right, y)).say((middle, y - 5.2), Anchor::Middle, words)
    }

    /// A measure from bottom to top at `x`, its figure to the right of the line.
    pub(super) fn upright(self, x: f64, (low, high): (f64, f64), words: &str) -> Self {
        let middle = f64::midpoint(low, high) - 1.5;
        self.dimension(at(x, low), at(x, high)).say((x + 2.2, middle), Anchor::Start, words)
    }

    fn dimension(self, from: Point, to: Point) -> Self {
        let side = (to - from).left() * (TICK / from.distance(to).max(1e-9));
        let tick = |p: Point| Form::Line(p - side, p + side);
        self.put(Role::Dimension, Form::Line(from, to))
            .put(Role::Dimension, tick(from))
            .put(Role::Dimension, tick(to))
    }

    /// An arrow.
    pub(super) fn arrow(self, from: (f64, f64), to: (f64, f64)) -> Self {
        let (tail, tip) = (at(from.0, from.1), at(to.0, to.1));
        let back = (tail - tip) * (2.4 / tail.distance(tip).max(1e-9));
        let side = back.left() * 0.5;
        self.put(Role::Dimension, Form::Line(tail, tip))
            .put(Role::Dimension, Form::Polyline(vec![tip + back + side, tip, tip + back - side]))
    }

    /// Words; none for nothing to say.
    pub(super) fn say(self, place: (f64, f64), anchor: Anchor, words: &str) -> Self {
        if words.is_empty() {
            return self;
        }
        self.put(Role::Note, Form::text(at(place.0, place.1), CAPITALS, anchor, words))
    }

    /// The drawing within the common width, and what it says.
    pub(super) fn done(self, says: String) -> Diagram {
        let marks = self.marks;
        let all = marks.iter().filter_map(|mark| mark.form.bounds());
        let bounds = all.reduce(Rect::union).unwrap_or_default();
        let margin = Vec2::new(0.0, 1.5);
        let wide = Rect::new(
            at(bounds.min.x.min(0.0), bounds.min.y) - margin,
            at(bounds.max.x.max(WIDE), bounds.max.y) + margin,
        );
        Diagram { drawing: Drawing { bounds: wide, marks }, says }
    }
}

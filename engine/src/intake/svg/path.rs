//! Path data: every command of the standard, cut into lines by the pen.

use std::f64::consts::{PI, TAU};

use svgtypes::{PathParser, PathSegment};

use super::super::pen::Pen;
use crate::geometry::{Point, Vec2};
use crate::units::Angle;

/// Where a path stands while it is drawn.
struct Cursor {
    /// Where the subpath began.
    start: Point,
    /// The current point.
    at: Point,
    /// The last control point, for the smooth commands, and whether it was a cubic one's.
    control: Option<(Point, bool)>,
    /// Whether anything was drawn since the last move.
    is_drawing: bool,
}

/// One subpath that ended: closed by a command, or open.
pub(super) enum Ended {
    Closed,
    Open,
}

/// Draws path data and calls `ended` after each subpath; false when it could not be read to its end, where
/// drawing stops, as the standard asks.
pub(super) fn draw(data: &str, pen: &mut Pen, ended: &mut dyn FnMut(&mut Pen, Ended)) -> bool {
    let mut cursor =
        Cursor { start: Point::ORIGIN, at: Point::ORIGIN, control: None, is_drawing: false };
    for segment in PathParser::from(data) {
        let Ok(segment) = segment else {
            cursor.end(pen, Ended::Open, ended);
            return false;
        };
        match segment {
            PathSegment::MoveTo { abs, x, y } => {
                cursor.end(pen, Ended::Open, ended);
                cursor.at = cursor.place(abs, x, y);
                cursor.start = cursor.at;
            }
            PathSegment::ClosePath { .. } => {
                cursor.end(pen, Ended::Closed, ended);
                cursor.at = cursor.start;
            }
            other => cursor.draw(other, pen),
        }
        if pen.is_spent() {
            break;
        }
    }
    cursor.end(pen, Ended::Open, ended);
    true
}

impl Cursor {
    fn end(&mut self, pen: &mut Pen, how: Ended, ended: &mut dyn FnMut(&mut Pen, Ended)) {
        if self.is_drawing {
            ended(pen, how);
        }
        self.is_drawing = false;
        self.control = None;
    }

    fn place(&self, is_absolute: bool, x: f64, y: f64) -> Point {
        if is_absolute { Point::new(x, y) } else { self.at + Vec2::new(x, y) }
    }

    fn draw(&mut self, segment: PathSegment, pen: &mut Pen) {
        if !self.is_drawing {
            pen.line(self.at);
            self.is_drawing = true;
        }
        let mirrored = |is_cubic| match self.control {
            Some((control, was_cubic)) if was_cubic == is_cubic => self.at + (self.at - control),
            _ => self.at,
        };
        match segment {
            PathSegment::LineTo { abs, x, y } => self.line(self.place(abs, x, y), pen),
            PathSegment::HorizontalLineTo { abs, x } => {
                let x = if abs { x } else { self.at.x + x };
                self.line(Point::new(x, self.at.y), pen);
            }
            PathSegment::VerticalLineTo { abs, y } => {
                let y = if abs { y } else { self.at.y + y };
                self.line(Point::new(self.at.x, y), pen);
            }
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                let controls = [self.place(abs, x1, y1), self.place(abs, x2, y2)];
                self.cubic(controls, self.place(abs, x, y), pen);
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let controls = [mirrored(true), self.place(abs, x2, y2)];
                self.cubic(controls, self.place(abs, x, y), pen);
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                self.quadratic(self.place(abs, x1, y1), self.place(abs, x, y), pen);
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                self.quadratic(mirrored(false), self.place(abs, x, y), pen);
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let turn = Angle::degrees(x_axis_rotation);
                let arc = EndArc { radii: (rx.abs(), ry.abs()), turn, large_arc, sweep };
                self.arc(&arc, self.place(abs, x, y), pen);
            }
            PathSegment::MoveTo { .. } | PathSegment::ClosePath { .. } => {}
        }
    }

    fn line(&mut self, to: Point, pen: &mut Pen) {
        pen.line(to);
        (self.at, self.control) = (to, None);
    }

    fn cubic(&mut self, controls: [Point; 2], to: Point, pen: &mut Pen) {
        pen.cubic(self.at, controls, to);
        (self.at, self.control) = (to, Some((controls[1], true)));
    }

    fn quadratic(&mut self, control: Point, to: Point, pen: &mut Pen) {
        pen.quadratic(self.at, control, to);
        (self.at, self.control) = (to, Some((control, false)));
    }

    fn arc(&mut self, arc: &EndArc, to: Point, pen: &mut Pen) {
        if let Some((center, axes, from, sweep)) = arc.centered(self.at, to) {
            pen.arc(center, axes, from, sweep);
        } else {
            pen.line(to);
        }
        (self.at, self.control) = (to, None);
    }
}

/// An arc as path data gives it: between two ends.
struct EndArc {
    radii: (f64, f64),
    turn: Angle,
    large_arc: bool,
    sweep: bool,
}

impl EndArc {
    /// The arc by its centre, axes, first parameter and sweep; `None` for one that is a straight line.
    ///
    /// **Source:** SVG 1.1 second edition, appendix F.6.5 and F.6.6.
    fn centered(&self, from: Point, to: Point) -> Option<(Point, [Vec2; 2], f64, f64)> {
        let (mut rx, mut ry) = self.radii;
        let is_arc = rx > 0.0 && ry > 0.0 && rx.is_finite() && ry.is_finite() && from != to;
        if !is_arc {
            return None;
        }
        let along = Vec2::unit(self.turn);
        let half = (from - to) * 0.5;
        let (x, y) = (half.dot(along), half.dot(along.left()));
        let reach = (x / rx) * (x / rx) + (y / ry) * (y / ry);
        if reach > 1.0 {
            (rx, ry) = (rx * reach.sqrt(), ry * reach.sqrt());
        }
        let square = (1.0 / reach.min(1.0) - 1.0).max(0.0).sqrt();
        let side = if self.large_arc == self.sweep { -square } else { square };
        let (cx, cy) = (side * rx * y / ry, -side * ry * x / rx);
        let center = from.midpoint(to) + along * cx + along.left() * cy;
        let start = libm::atan2((y - cy) / ry, (x - cx) / rx);
        let end = libm::atan2((-y - cy) / ry, (-x - cx) / rx);
        let sweep = match (self.sweep, end - start) {
            (true, by) if by < 0.0 => by + TAU,
            (false, by) if by > 0.0 => by - TAU,
            (_, by) => by,
        };
        let sweep = if sweep.abs() < 1e-12 { PI } else { sweep };
        Some((center, [along * rx, along.left() * ry], start, sweep))
    }
}

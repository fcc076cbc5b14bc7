//! The basic shapes: rect, circle, ellipse, line, polyline, polygon.

use std::f64::consts::{FRAC_PI_2, TAU};

use roxmltree::Node;
use svgtypes::PointsParser;

use super::super::pen::Pen;
use super::style::to_user;
use crate::geometry::{Point, Vec2};

/// What became of a shape.
pub(super) enum Drawn {
    Closed,
    Open,
    /// It has no size, which turns it off.
    Nothing,
    /// This attribute cannot be read.
    Bad(&'static str),
}

/// The numbers of a shape in user units.
struct Numbers<'a, 'input> {
    node: Node<'a, 'input>,
    viewport: Vec2,
}

impl Numbers<'_, '_> {
    /// The attribute, zero without it.
    fn get(&self, name: &'static str) -> Result<f64, Drawn> {
        Ok(self.optional(name)?.unwrap_or(0.0))
    }

    fn optional(&self, name: &'static str) -> Result<Option<f64>, Drawn> {
        let Some(text) = self.node.attribute(name).filter(|text| text.trim() != "auto") else {
            return Ok(None);
        };
        let whole = match name {
            "x" | "cx" | "rx" | "width" | "x1" | "x2" => self.viewport.x,
            "y" | "cy" | "ry" | "height" | "y1" | "y2" => self.viewport.y,
            // The diagonal over the root of 2 (SVG 2, section 8.9).
            _ => self.viewport.length() / 2.0_f64.sqrt(),
        };
        to_user(text, whole).map(Some).ok_or(Drawn::Bad(name))
    }
}

/// Draws a basic shape; `None` when the element is none.
pub(super) fn draw(node: Node<'_, '_>, viewport: Vec2, pen: &mut Pen) -> Option<Drawn> {
    let numbers = Numbers { node, viewport };
    let drawn = match node.tag_name().name() {
        "rect" => rect(&numbers, pen),
        "circle" => circle(&numbers, pen),
        "ellipse" => oval(&numbers, pen),
        "line" => line(&numbers, pen),
        "polyline" => Ok(points(node, pen, Drawn::Open)),
        "polygon" => Ok(points(node, pen, Drawn::Closed)),
        _ => return None,
    };
    Some(drawn.unwrap_or_else(|bad| bad))
}

fn rect(numbers: &Numbers<'_, '_>, pen: &mut Pen) -> Result<Drawn, Drawn> {
    let (x, y) = (numbers.get("x")?, numbers.get("y")?);
    let (width, height) = (numbers.get("width")?, numbers.get("height")?);
    if !(width > 0.0 && height > 0.0) {
        return Ok(Drawn::Nothing);
    }
    let radii = [numbers.optional("rx")?, numbers.optional("ry")?];
    let radii = radii.map(|radius| radius.filter(|radius| *radius >= 0.0));
    let (rx, ry) = (radii[0].or(radii[1]).unwrap_or(0.0), radii[1].or(radii[0]).unwrap_or(0.0));
    let (rx, ry) = (rx.min(width / 2.0), ry.min(height / 2.0));
    let corners = [(x + width, y), (x + width, y + height), (x, y + height), (x, y)];
    let toward = [(-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0), (1.0, 1.0)];
    let starts = [-FRAC_PI_2, 0.0, FRAC_PI_2, 2.0 * FRAC_PI_2];
    for (((cx, cy), (dx, dy)), start) in corners.into_iter().zip(toward).zip(starts) {
        if rx > 0.0 && ry > 0.0 {
            let center = Point::new(cx + dx * rx, cy + dy * ry);
            let axes = [Vec2::new(rx, 0.0), Vec2::new(0.0, ry)];
            let (sin, cos) = crate::units::Angle::radians(start).sin_cos();
            pen.line(center + axes[0] * cos + axes[1] * sin);
            pen.arc(center, axes, start, FRAC_PI_2);
        } else {
            pen.line(Point::new(cx, cy));
        }
    }
    Ok(Drawn::Closed)
}

fn circle(numbers: &Numbers<'_, '_>, pen: &mut Pen) -> Result<Drawn, Drawn> {
    let radius = numbers.get("r")?;
    Ok(whole_turn(Point::new(numbers.get("cx")?, numbers.get("cy")?), radius, radius, pen))
}

fn oval(numbers: &Numbers<'_, '_>, pen: &mut Pen) -> Result<Drawn, Drawn> {
    let radii = [numbers.optional("rx")?, numbers.optional("ry")?];
    let (rx, ry) = (radii[0].or(radii[1]).unwrap_or(0.0), radii[1].or(radii[0]).unwrap_or(0.0));
    Ok(whole_turn(Point::new(numbers.get("cx")?, numbers.get("cy")?), rx, ry, pen))
}

fn whole_turn(center: Point, rx: f64, ry: f64, pen: &mut Pen) -> Drawn {
    if rx > 0.0 && ry > 0.0 {
        pen.arc(center, [Vec2::new(rx, 0.0), Vec2::new(0.0, ry)], 0.0, TAU);
        Drawn::Closed
    } else {
        Drawn::Nothing
    }
}

fn line(numbers: &Numbers<'_, '_>, pen: &mut Pen) -> Result<Drawn, Drawn> {
    let (x1, y1) = (numbers.get("x1")?, numbers.get("y1")?);
    let (x2, y2) = (numbers.get("x2")?, numbers.get("y2")?);
    pen.line(Point::new(x1, y1));
    pen.line(Point::new(x2, y2));
    Ok(Drawn::Open)
}

fn points(node: Node<'_, '_>, pen: &mut Pen, drawn: Drawn) -> Drawn {
    let text = node.attribute("points").unwrap_or_default();
    for (x, y) in PointsParser::from(text) {
        pen.line(Point::new(x, y));
    }
    drawn
}

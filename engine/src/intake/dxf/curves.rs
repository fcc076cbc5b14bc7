//! Draws one entity: lines, arcs, circles, ellipses, polylines with bulges, splines.

use std::f64::consts::TAU;

use super::super::affine::Affine;
use super::super::pen::Pen;
use super::codes::{Bad, Record, number};
use super::spline;
use crate::geometry::{Point, Vec2};
use crate::units::Angle;

/// What became of an entity.
pub(super) enum Drawn {
    Closed,
    Open,
    /// Only the points that the curve passes were given.
    Straightened(usize),
    /// A kind that makes no outline.
    Unknown,
}

/// A corner of a polyline, and how the side after it bends: the tangent of a quarter of its sweep.
struct Corner {
    at: Point,
    bulge: f64,
}

/// Draws an entity; `vertices` are those of a polyline of the old kind.
pub(super) fn draw<'a, 'codes>(
    record: &Record<'a, 'codes>,
    vertices: impl Iterator<Item = Record<'a, 'codes>>,
    pen: &mut Pen,
) -> Result<Drawn, Bad<'a>> {
    match record.kind {
        "LINE" => {
            pen.line(record.point(10)?);
            pen.line(record.point(11)?);
            Ok(Drawn::Open)
        }
        "CIRCLE" => {
            pen.map = pen.map.after(&plane(record)?);
            let (center, radius) = (record.point(10)?, record.number(40, 0.0)?);
            pen.arc(center, round(radius), 0.0, TAU);
            Ok(Drawn::Closed)
        }
        "ARC" => arc(record, pen),
        "ELLIPSE" => ellipse(record, pen),
        "LWPOLYLINE" => {
            pen.map = pen.map.after(&plane(record)?);
            Ok(polyline(&light_corners(record)?, record.whole(70) & 1 == 1, pen))
        }
        "POLYLINE" => old_polyline(record, vertices, pen),
        "SPLINE" => spline::draw(record, pen),
        _ => Ok(Drawn::Unknown),
    }
}

const fn round(radius: f64) -> [Vec2; 2] {
    [Vec2::new(radius, 0.0), Vec2::new(0.0, radius)]
}

fn arc<'a>(record: &Record<'a, '_>, pen: &mut Pen) -> Result<Drawn, Bad<'a>> {
    pen.map = pen.map.after(&plane(record)?);
    let (center, radius) = (record.point(10)?, record.number(40, 0.0)?);
    let from = Angle::degrees(record.number(50, 0.0)?).normalized();
    let to = Angle::degrees(record.number(51, 360.0)?).normalized();
    let sweep = turn_between(from.to_radians(), to.to_radians());
    let (sin, cos) = from.sin_cos();
    pen.line(center + Vec2::new(cos, sin) * radius);
    pen.arc(center, round(radius), from.to_radians(), sweep);
    Ok(Drawn::Open)
}

/// From one parameter on to another; a whole turn when they are the same.
fn turn_between(from: f64, to: f64) -> f64 {
    let by = libm::fmod(to - from, TAU);
    let by = if by < 0.0 { by + TAU } else { by };
    if by < 1e-9 { TAU } else { by }
}

fn ellipse<'a>(record: &Record<'a, '_>, pen: &mut Pen) -> Result<Drawn, Bad<'a>> {
    let (center, end) = (record.point(10)?, record.point(11)?);
    let (major, rise) = (end.to_vec2(), record.number(31, 0.0)?);
    let (normal, up) = unit(record.normal()?);
    // The minor axis is the normal crossed with the major one, seen from above.
    let minor = (major.left() * up - normal.left() * rise) * record.number(40, 1.0)?;
    let (from, to) = (record.number(41, 0.0)?, record.number(42, TAU)?);
    let sweep = turn_between(from, to);
    let (sin, cos) = libm::sincos(from);
    pen.line(center + major * cos + minor * sin);
    pen.arc(center, [major, minor], from, sweep);
    Ok(if sweep >= TAU - 1e-9 { Drawn::Closed } else { Drawn::Open })
}

/// The corners of a light polyline, whose codes follow one another.
fn light_corners<'a>(record: &Record<'a, '_>) -> Result<Vec<Corner>, Bad<'a>> {
    let mut corners: Vec<Corner> = Vec::new();
    for one in record.codes {
        match (one.code, corners.last_mut()) {
            (10, _) => {
                let at = Point::new(number(10, one.value)?, 0.0);
                corners.push(Corner { at, bulge: 0.0 });
            }
            (20, Some(last)) => last.at.y = number(20, one.value)?,
            (42, Some(last)) => last.bulge = number(42, one.value)?,
            _ => {}
        }
    }
    Ok(corners)
}

fn old_polyline<'a, 'codes>(
    record: &Record<'a, 'codes>,
    vertices: impl Iterator<Item = Record<'a, 'codes>>,
    pen: &mut Pen,
) -> Result<Drawn, Bad<'a>> {
    let flags = record.whole(70);
    // 16 is a mesh of a surface and 64 one of faces; 8 is a line in space, which has no plane of its own.
    if flags & (16 | 64) != 0 {
        return Ok(Drawn::Unknown);
    }
    if flags & 8 == 0 {
        pen.map = pen.map.after(&plane(record)?);
    }
    let mut corners = Vec::new();
    for vertex in vertices {
        // 16 is a control point of a curve that other vertices follow.
        if vertex.whole(70) & 16 == 0 {
            corners.push(Corner { at: vertex.point(10)?, bulge: vertex.number(42, 0.0)? });
        }
    }
    Ok(polyline(&corners, flags & 1 == 1, pen))
}

fn polyline(corners: &[Corner], is_closed: bool, pen: &mut Pen) -> Drawn {
    let Some(first) = corners.first() else { return Drawn::Open };
    pen.line(first.at);
    let n_sides = if is_closed { corners.len() } else { corners.len() - 1 };
    let next = corners.iter().cycle().skip(1);
    for (corner, next) in corners.iter().zip(next).take(n_sides) {
        let chord = next.at - corner.at;
        let bulge = corner.bulge;
        if bulge.abs() < 1e-9 || chord.length() <= 0.0 {
            pen.line(next.at);
            continue;
        }
        let center =
            corner.at.midpoint(next.at) + chord.left() * ((1.0 - bulge * bulge) / (4.0 * bulge));
        let arm = corner.at - center;
        let from = libm::atan2(arm.y, arm.x);
        pen.arc(center, round(arm.length()), from, 4.0 * libm::atan(bulge));
    }
    if is_closed { Drawn::Closed } else { Drawn::Open }
}

/// The direction made one long; straight up when it has no length.
fn unit((flat, up): (Vec2, f64)) -> (Vec2, f64) {
    let length = (flat.dot(flat) + up * up).sqrt();
    let is_direction = length.is_finite() && length > 1e-12;
    if is_direction { (flat / length, up / length) } else { (Vec2::ZERO, 1.0) }
}

/// True for a plane that does not lie flat.
pub(super) fn is_tilted(record: &Record<'_, '_>) -> bool {
    record.normal().is_ok_and(|normal| unit(normal).0.length() > 1e-6)
}

/// The map from an entity's own plane to the drawing's, seen from above.
///
/// **Source:** the arbitrary axis algorithm of the DXF reference (from memory).
pub(super) fn plane<'a>(record: &Record<'a, '_>) -> Result<Affine, Bad<'a>> {
    let (flat, up) = unit(record.normal()?);
    let elevation = record.number(38, record.number(30, 0.0)?)?;
    let is_nearly_up = flat.x.abs() < 1.0 / 64.0 && flat.y.abs() < 1.0 / 64.0;
    // The y axis, or the z axis, crossed with the normal.
    let (x, rise) = if is_nearly_up { (Vec2::new(up, 0.0), -flat.x) } else { (flat.left(), 0.0) };
    let length = (x.dot(x) + rise * rise).sqrt();
    let (x, rise) = (x / length, rise / length);
    // The normal crossed with that.
    let y = Vec2::new(flat.y * rise - up * x.y, up * x.x - flat.x * rise);
    Ok(Affine::new(x, y, flat * elevation))
}

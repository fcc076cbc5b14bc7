//! The surface of a mold's simple relief: what the sheet has to cover.
//!
//! ```text
//! flat top  A' + (A - A') / sin d               A' = the footprint less a rim h tan d wide
//! taper     top² A + sum over sides of  L (1 + top) / 2 · sqrt(h² + ((1 - top) p)²)
//! steps     the wall of each step as above, from the footprint less its inset, and the ledges between
//! edge      r ((u - v c) (pi/2 - d) + v r (1 - sin d))    where the outline inset by x is u - v x long, c the
//!                                                          inset of the arc's middle: a quarter of a torus over a circle
//! dome      sum over sides of  L / 2 · (|p| + h² asin(k/h) / k),       k² = h² - p², for |p| < h
//!                              L / 2 · (|p| + h² asinh(k/h) / k),      k² = p² - h², for |p| > h
//! ```
//!
//! `A` is the footprint, `h` the height, `d` the draft, `L` the length of a side and `p` its distance from
//! the mold's centre. Heights on a grid are summed cell by cell (see `grid_surface`). All others are exact for the outline as flattened, but for `A'` of some outlines (see `rim`).
//! Holes have walls too. Where a tapered or
//! domed outline would pass over itself, which takes an outline that its centre cannot see all of, each
//! part of the surface counts.
//!
//! **Source:** plane geometry. A wall of one slope covers its plan area over the sine of its angle. A
//! domed side's surface is the integral of `L cos(f) sqrt((h cos f)² + (p sin f)²)` over the quarter turn of
//! `f`, which summed round a circle gives the half spheroid of CRC Standard Mathematical Tables (from memory).

use super::grid_surface::grid_surface;
use super::rim::{inner_length, mean_rim_length};
use crate::geometry::{Point, Ring, Shape, Vec2, min_width};
use crate::plan::{Mold, Piece, Profile, Relief};
use crate::units::{Angle, Area, Length};

/// Walls that run inwards by less than this, in millimetres, have the length of the outline inset so far.
const NARROW_MM: f64 = 0.1;

/// Strips that the arc of an edge is taken in where walls may meet.
const STRIPS: u32 = 16;

/// The surface of walls and top.
pub(super) fn formed_surface(mold: &Mold, footprint: &Shape) -> Area {
    let sides = || footprint.region().rings().flat_map(Ring::sides).filter_map(SideView::of);
    match mold.relief {
        Relief::FlatTop { edge } if edge <= Length::ZERO => {
            flat_top(footprint, mold.height, mold.draft)
        }
        Relief::FlatTop { .. } | Relief::Stepped { .. } => {
            Profile::of(mold).map_or(Area::ZERO, |profile| profiled(footprint, &profile))
        }
        Relief::Heights(_) => grid_surface(mold, footprint),
        Relief::Dome => sides().map(|side| side.domed(mold.height)).sum(),
        Relief::Taper { top } => {
            let walls: Area = sides().map(|side| side.tapered(mold.height, top)).sum();
            walls + footprint.area() * (top * top)
        }
    }
}

/// A side as the mold's centre sees it.
#[derive(Clone, Copy)]
struct SideView {
    length: f64,
    distance: f64,
}

impl SideView {
    fn of((from, to): (Point, Point)) -> Option<Self> {
        let length = from.distance(to);
        (length > 0.0)
            .then(|| Self { length, distance: (from.to_vec2().cross(to - from) / length).abs() })
    }

    /// The flat wall from this side to the same side scaled by `top`.
    fn tapered(self, height: Length, top: f64) -> Area {
        let slant = Vec2::new(height.to_mm(), (1.0 - top) * self.distance).length();
        Area::mm2(self.length * (1.0 + top) / 2.0 * slant)
    }

    /// The curved wall over this side, up to the point of the dome.
    fn domed(self, height: Length) -> Area {
        let (height, distance) = (height.to_mm(), self.distance);
        let bend = ((height - distance) * (height + distance)).abs().sqrt() / height;
        let arc = if bend < f64::EPSILON {
            1.0
        } else if distance < height {
            libm::asin(bend) / bend
        } else {
            libm::asinh(bend) / bend
        };
        Area::mm2(self.length / 2.0 * (distance + height * arc))
    }
}

/// Walls of one slope and the level top that they leave; a roof where they meet before the full height.
fn flat_top(footprint: &Shape, height: Length, draft: Angle) -> Area {
    let rim = height * draft.tan();
    let length = mean_rim_length(footprint, rim);
    let top = footprint.area() - length * rim;
    top + length * (height / draft.cos())
}

/// Walls that follow a section from every outline, the ledges between and the level top that they leave.
fn profiled(footprint: &Shape, profile: &Profile) -> Area {
    let inside =
        |x: f64| footprint.area() - mean_rim_length(footprint, Length::mm(x)) * Length::mm(x);
    let mut walls = Area::ZERO;
    let mut level = footprint.area();
    for &piece in profile.pieces() {
        let (begins, ends) = (piece.begins(), piece.ends());
        // What the wall stands on is level no more.
        level = level - (inside(begins) - inside(ends));
        walls = walls
            + match piece {
                Piece::Straight { from, to } => {
                    let slant = Vec2::new(to.0 - from.0, to.1 - from.1).length();
                    mean_length(footprint, (begins, ends), inside) * Length::mm(slant)
                }
                Piece::Round { inward, radius, draft, .. } => {
                    rounded(footprint, (inward, radius), draft, inside)
                }
            };
    }
    level + walls
}

/// The mean length of the outline inset by one distance up to another.
fn mean_length(footprint: &Shape, (from, to): (f64, f64), inside: impl Fn(f64) -> Area) -> Length {
    if to - from > NARROW_MM {
        (inside(from) - inside(to)) / Length::mm(to - from)
    } else {
        inner_length(footprint, Length::mm(f64::midpoint(from, to)))
    }
}

/// The arc of a rounded edge swept along the outlines.
///
/// Exact where the length of the inset outline falls evenly, as it does while no side vanishes. Where walls may
/// meet below the top, the arc is taken in strips.
fn rounded(
    footprint: &Shape,
    (inward, radius): (f64, f64),
    draft: Angle,
    inside: impl Fn(f64) -> Area,
) -> Area {
    let begins = inward - radius * draft.cos();
    if 2.0 * inward < min_width(footprint).to_mm() {
        let [first, last] =
            [begins, inward].map(|x| inner_length(footprint, Length::mm(x)).to_mm());
        let falls = (first - last) / (inward - begins);
        let middle = first - falls * (inward - begins);
        let turn = Angle::degrees(90.0).to_radians() - draft.to_radians();
        return Area::mm2(radius * (middle * turn + falls * radius * (1.0 - draft.sin())));
    }
    let turn = (Angle::degrees(90.0).to_radians() - draft.to_radians()) / f64::from(STRIPS);
    let place = |strip: u32| {
        inward - radius * Angle::radians(draft.to_radians() + turn * f64::from(strip)).cos()
    };
    // An inset is the dear part of it, so each is made once, for the strip that ends there and the one that begins.
    let at = |strip: u32| (place(strip), inside(place(strip)));
    let strips = (0..STRIPS).scan(at(0), |before, strip| {
        let (from, area) = std::mem::replace(before, at(strip + 1));
        Some((area - before.1) * (radius * turn / (before.0 - from)))
    });
    strips.sum()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::geometry::tolerance;
    use crate::plan::{Footprint, Step};

    #[track_caller]
    fn check(mold: &Mold, expected: f64, within: f64) {
        let footprint = Shape::new(mold.footprint.region(tolerance::MEASURE));
        let got = formed_surface(mold, &footprint).to_mm2();
        let off = (got - expected).abs() / expected;
        assert!(off <= within, "{}: {got} mm², not {expected} ({off:e})", mold.name);
    }

    fn mold(footprint: Footprint, height: f64, relief: Relief) -> Mold {
        Mold { relief, ..Mold::new("Clam half", footprint, Length::mm(height)) }
    }

    fn disc(diameter: f64) -> Footprint {
        Footprint::Circle { diameter: Length::mm(diameter) }
    }

    fn plate(width: f64, depth: f64) -> Footprint {
        Footprint::Rectangle { width: Length::mm(width), depth: Length::mm(depth) }
    }

    fn outline(corners: &[(f64, f64)]) -> Footprint {
        let outer = Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect());
        Footprint::Outline { outer, holes: vec![] }
    }

    fn drafted(footprint: Footprint, height: f64, degrees: f64) -> Mold {
        Mold { draft: Angle::degrees(degrees), ..mold(footprint, height, Relief::FLAT) }
    }

    #[test]
    fn domes_over_circles_are_half_spheroids() {
        let (r, flat, tall): (f64, f64, f64) = (40.0, 15.0, 90.0);
        let e = (1.0 - flat * flat / (r * r)).sqrt();
        let oblate = PI * r * r * (1.0 + (1.0 - e * e) / e * libm::atanh(e));
        let f = (1.0 - r * r / (tall * tall)).sqrt();
        let prolate = PI * r * r * (1.0 + tall / (r * f) * libm::asin(f));
        for (height, surface) in [(flat, oblate), (r, 2.0 * PI * r * r), (tall, prolate)] {
            check(&mold(disc(80.0), height, Relief::Dome), surface, 2e-4);
        }
    }

    #[test]
    fn a_dome_over_a_plate_is_four_quarters_of_elliptic_vaults() {
        // Each side of a square dome of height r over half width r is a quarter of a cylinder cut at 45 degrees
        // by its neighbours: 2 r² a side, so the vault of Archimedes has 8 r².
        check(&mold(plate(60.0, 60.0), 30.0, Relief::Dome), 8.0 * 30.0 * 30.0, 1e-12);
    }

    #[test]
    fn tapers_are_frustums_pyramids_and_prisms() {
        let cone = PI * 30.0 * 50.0;
        check(&mold(disc(60.0), 40.0, Relief::Taper { top: 0.0 }), cone, 2e-4);
        let frustum = PI * (30.0 + 15.0) * 25.0 + PI * 15.0 * 15.0;
        check(&mold(disc(60.0), 20.0, Relief::Taper { top: 0.5 }), frustum, 2e-4);
        let pyramid = 2.0 * (60.0 * 50.0);
        check(&mold(plate(60.0, 60.0), 40.0, Relief::Taper { top: 0.0 }), pyramid, 1e-12);
        let prism = 60.0 * 20.0 + 2.0 * 80.0 * 15.0;
        check(&mold(plate(60.0, 20.0), 15.0, Relief::Taper { top: 1.0 }), prism, 1e-12);
    }

    #[test]
    fn flat_tops_with_draft_are_frustums_while_a_top_is_left() {
        let tan = Angle::degrees(10.0).tan();
        let slant = 20.0 / Angle::degrees(10.0).cos();
        let (rim, r) = (20.0 * tan, 30.0);
        let round = PI * (2.0 * r - rim) * slant + PI * (r - rim) * (r - rim);
        check(&drafted(disc(60.0), 20.0, 10.0), round, 2e-4);
        let square = (60.0 - 2.0 * rim) * (60.0 - 2.0 * rim) + 4.0 * (60.0 - rim) * slant;
        check(&drafted(plate(60.0, 60.0), 20.0, 10.0), square, 1e-12);
        check(&drafted(plate(60.0, 60.0), 20.0, 0.0), 3600.0 + 240.0 * 20.0, 1e-12);
    }

    #[test]
    fn walls_that_meet_make_a_roof_over_the_whole_footprint() {
        let roof = 40.0 * 90.0 / Angle::degrees(30.0).sin();
        check(&drafted(plate(40.0, 90.0), 500.0, 30.0), roof, 1e-12);
        check(&drafted(disc(40.0), 500.0, 30.0), 400.0 * PI * 2.0, 2e-4);
    }

    #[test]
    fn an_inner_corner_is_rounded_by_the_rim() {
        let ell = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)];
        let draft = Angle::degrees(10.0);
        let rim = 20.0 * draft.tan();
        let removed = rim * (240.0 - 5.0 * rim + rim * PI / 4.0);
        let surface = 2000.0 - removed + removed / draft.sin();
        check(&drafted(outline(&ell), 20.0, 10.0), surface, 1e-5);
    }

    #[test]
    fn holes_have_walls() {
        let square = |half: f64| {
            let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
            Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
        };
        let frame = Footprint::Outline { outer: square(30.0), holes: vec![square(20.0)] };
        check(&drafted(frame, 10.0, 0.0), 3600.0 - 1600.0 + (240.0 + 160.0) * 10.0, 1e-12);
    }

    #[test]
    fn a_rounded_edge_over_a_circle_is_a_quarter_of_a_torus() {
        // The outer quarter of a torus' surface: 2 pi r (R pi/2 + r), R to the middle of the arc (mensuration; Pappus).
        let torus = |middle: f64, r: f64| 2.0 * PI * r * (middle * PI / 2.0 + r);
        let edge = |radius| Relief::FlatTop { edge: Length::mm(radius) };
        let surface = PI * 60.0 * 12.0 + torus(22.0, 8.0) + PI * 22.0 * 22.0;
        check(&Mold { draft: Angle::ZERO, ..mold(disc(60.0), 20.0, edge(8.0)) }, surface, 2e-4);
        // With draft: a cone's frustum, and a zone of the torus from the draft up.
        let d = Angle::degrees(20.0);
        let wall = 20.0 - 8.0 * (1.0 - d.sin());
        let foot = 30.0 - wall * d.tan();
        let middle = foot - 8.0 * d.cos();
        let zone = 2.0 * PI * 8.0 * (middle * (PI / 2.0 - d.to_radians()) + 8.0 * (1.0 - d.sin()));
        let surface = PI * (30.0 + foot) * wall / d.cos() + zone + PI * middle * middle;
        check(&Mold { draft: d, ..mold(disc(60.0), 20.0, edge(8.0)) }, surface, 2e-4);
        // A half ball: an edge as large as the disc is wide.
        check(
            &Mold { draft: Angle::ZERO, ..mold(disc(60.0), 30.0, edge(30.0)) },
            2.0 * PI * 900.0,
            5e-3,
        );
    }

    #[test]
    fn a_rounded_edge_over_a_plate_is_quarters_of_cylinders() {
        // Quarter rounds of radius r along the sides, mitred at the corners: what the miters lose of each of eight
        // ends is r² (the vault of Archimedes: a quarter of a cylinder cut at 45 degrees has r² less).
        let edge = Relief::FlatTop { edge: Length::mm(6.0) };
        let plate_mold = Mold { draft: Angle::ZERO, ..mold(plate(70.0, 40.0), 15.0, edge) };
        let rounds = 220.0 * 6.0 * PI / 2.0 - 8.0 * 36.0 * (PI / 2.0 - 1.0);
        check(&plate_mold, 220.0 * 9.0 + rounds + 58.0 * 28.0, 1e-9);
    }

    #[test]
    fn steps_have_walls_and_ledges() {
        let step = |height, inset| Step { height: Length::mm(height), inset: Length::mm(inset) };
        let steps = vec![step(6.0, 10.0), step(14.0, 18.0)];
        let upright = Mold {
            draft: Angle::ZERO,
            ..mold(plate(90.0, 60.0), 20.0, Relief::Stepped { steps: steps.clone() })
        };
        check(&upright, 5400.0 + 300.0 * 6.0 + 220.0 * 8.0 + 156.0 * 6.0, 1e-9);
        let d = Angle::degrees(15.0);
        let leaning = Mold { draft: d, ..mold(disc(80.0), 20.0, Relief::Stepped { steps }) };
        let wall = |r: f64, h: f64| PI * (2.0 * r - h * d.tan()) * (h / d.cos() - h * d.tan());
        let surface = PI * 1600.0 + wall(40.0, 6.0) + wall(30.0, 8.0) + wall(22.0, 6.0);
        check(&leaning, surface, 2e-4);
    }

    #[test]
    fn steps_inset_beyond_the_middle_leave_the_steps_below() {
        let steps = vec![Step { height: Length::mm(6.0), inset: Length::mm(50.0) }];
        let lost =
            Mold { draft: Angle::ZERO, ..mold(plate(90.0, 60.0), 20.0, Relief::Stepped { steps }) };
        check(&lost, 5400.0 + 300.0 * 6.0, 1e-9);
    }
}

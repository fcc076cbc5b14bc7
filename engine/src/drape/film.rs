//! The sheet as a film of one tension: what keeps a free piece of equal thickness in the shape of constant curvature.
//!
//! A film pulls each corner of a triangle by half of the opposite side, square to it within the triangle: the gradient
//! of surface. Only its part square to the film is kept. Along the film the nodes are free to slide, since the plastic
//! between them is equal everywhere; weak springs space them, so that no triangle collapses.
//!
//! **Source:** K. A. Brakke, The Surface Evolver, Experimental Mathematics 1, 1992 (from memory).

use super::net::Triangle;
use super::vector::{Vec3, blend, cross, dot, length, scaled};

/// The forces on the second and the third corner; the first takes their opposite. The normal is `sides[0] x sides[1]`.
#[inline(always)]
pub(super) fn pull(sides: [Vec3; 2], normal: Vec3) -> [Vec3; 2] {
    let size = length(normal).max(1e-12);
    let unit = [normal[0] / size, normal[1] / size, normal[2] / size];
    let scale = -0.5;
    // The surface grows by (second x normal) / 2 as the second corner moves, by (normal x first) / 2 as the third does.
    let (second, third) = (cross(sides[1], unit), cross(unit, sides[0]));
    [scaled(scale, second), scaled(scale, third)]
}

/// What spaces the nodes: springs as in a net of rubber threads that would shrink to nothing.
#[inline(always)]
pub(super) fn spacing(triangle: &Triangle, sides: [Vec3; 2]) -> [Vec3; 2] {
    let [a, b, c, d] = triangle.rest;
    let (f, g) = (blend(a, sides[0], c, sides[1]), blend(b, sides[0], d, sides[1]));
    let scale = -0.5 * (a * d - b * c).abs().recip();
    [blend(a * scale, f, b * scale, g), blend(c * scale, f, d * scale, g)]
}

/// The film's own pull square to it, the springs' along it.
#[inline(always)]
pub(super) fn combined(film: Vec3, springs: Vec3, normal: Vec3) -> Vec3 {
    let square = dot(normal, normal);
    if square <= 0.0 {
        return film;
    }
    let share =
        dot([film[0] - springs[0], film[1] - springs[1], film[2] - springs[2]], normal) / square;
    blend(1.0, springs, share, normal)
}

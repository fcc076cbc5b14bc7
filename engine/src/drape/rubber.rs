//! The sheet as rubber: what a stretched triangle pulls its corners with.
//!
//! ```text
//! W  = 1/2 (C11 + C22 + 1 / det C - 3)                   both ways in tension
//! W  = 1/2 (l + 2 / sqrt(l) - 3)                         pushed together across the pull: it folds
//! W  = 0                                                 slack
//! S  = 2 dW/dC
//! ```
//!
//! `C` is the right Cauchy-Green tensor of the sheet's plane and `l` its larger eigenvalue, the square of the larger
//! stretch; stresses are in shear moduli. Across the pull the sheet is in tension while `l2 det C > 1`, where `l2` is
//! the smaller eigenvalue: below that its natural width is less than it is given room for.
//!
//! **Source:** L. R. G. Treloar, The Physics of Rubber Elasticity, 3rd ed. 1975, ch. 4, for the incompressible
//! neo-Hookean sheet in plane stress; A. C. Pipkin, The relaxed energy density for isotropic elastic membranes, IMA
//! Journal of Applied Mathematics 36, 1986, for the sheet that folds (both from memory).

use super::net::Triangle;
use super::vector::{Vec3, blend, dot, sub};
use crate::geometry::greater;

/// What is left of the stiffness of a sheet that is pushed together: so little that it holds nothing up, and enough that
/// folded nodes do not pass one another.
const FOLDED: f64 = 0.004;

/// The metric of a stretched triangle: the three numbers of `C`, and the columns of the gradient.
#[inline(always)]
fn gradient(triangle: &Triangle, sides: [Vec3; 2]) -> [Vec3; 2] {
    let [a, b, c, d] = triangle.rest;
    [blend(a, sides[0], c, sides[1]), blend(b, sides[0], d, sides[1])]
}

/// The forces on the second and the third corner; the first takes their opposite.
#[inline(always)]
pub(super) fn pull(triangle: &Triangle, sides: [Vec3; 2]) -> [Vec3; 2] {
    let [f, g] = gradient(triangle, sides);
    let stress = stress([dot(f, f), dot(f, g), dot(g, g)]);
    let (p, q) = (blend(stress[0], f, stress[1], g), blend(stress[1], f, stress[2], g));
    let ([a, b, c, d], plastic) = (triangle.rest, triangle.plastic);
    [blend(-a * plastic, p, -b * plastic, q), blend(-c * plastic, p, -d * plastic, q)]
}

/// The second Piola-Kirchhoff stress for the metric `[C11, C12, C22]`, in shear moduli.
#[inline(always)]
fn stress([c11, c12, c22]: [f64; 3]) -> [f64; 3] {
    let (mean, half) = (0.5 * (c11 + c22), 0.5 * (c11 - c22));
    let area = c11 * c22 - c12 * c12;
    let spread = half * half + c12 * c12;
    // The smaller eigenvalue is `mean - sqrt(spread)`: above `least` without taking the root.
    let least = 1.0 / area;
    let gap = mean - least;
    if area > 0.0 && gap > 0.0 && gap * gap >= spread {
        let scale = least * least;
        return [1.0 - c22 * scale, c12 * scale, 1.0 - c11 * scale];
    }
    let radius = greater(1e-12, spread.sqrt());
    let (larger, smaller) = (mean + radius, mean - radius);
    if larger <= 1.0 {
        return [FOLDED * (c11 - 1.0), FOLDED * c12, FOLDED * (c22 - 1.0)];
    }
    // Along the pull as a strip; across it, a little against being pushed together.
    let along = 1.0 - 1.0 / (larger * larger.sqrt());
    let across = FOLDED * (smaller - 1.0 / larger.sqrt());
    let (u, w) = (along / (2.0 * radius), across / (2.0 * radius));
    [
        u * (c11 - smaller) + w * (larger - c11),
        (u - w) * c12,
        u * (c22 - smaller) + w * (larger - c22),
    ]
}

/// Sheet that is stretched by less than this goes on down by its own weight.
///
/// Polystyrene of 1050 kg/m3 and 0.2 megapascals weighs 5.2e-5 shear moduli times gauge on a millimetre; over 100 mm, hanging 5
/// mm, that is held by a tension of 0.013, at three times the shear modulus by a stretch of 0.0043 (modulus: see
/// [`super::Settings::firmness`]).
const BY_WEIGHT: f64 = 0.0043;

/// True when a triangle that has come to these sides is stretched more than its weight stretches it.
pub(super) fn is_taut(triangle: &Triangle, sides: [Vec3; 2]) -> bool {
    let [f, g] = gradient(triangle, sides);
    squared_stretches([dot(f, f), dot(f, g), dot(g, g)]).0 > 1.0 + 2.0 * BY_WEIGHT
}

/// The squares of the larger and of the smaller stretch: the eigenvalues of the metric `[C11, C12, C22]`.
fn squared_stretches([c11, c12, c22]: [f64; 3]) -> (f64, f64) {
    let (mean, half) = (0.5 * (c11 + c22), 0.5 * (c11 - c22));
    let radius = (half * half + c12 * c12).sqrt();
    (mean + radius, (mean - radius).max(0.0))
}

/// How a stretched triangle lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct State {
    /// What is left of the gauge, folds laid flat.
    pub(super) thickness: f64,
    /// The share of its width that it loses in folds.
    pub(super) surplus: f64,
}

/// How a triangle lies that has come to these sides.
///
/// A sheet that folds has the thickness of a strip that is free to narrow, `1 / sqrt(stretch)`, and its width is less
/// than that strip's by the surplus; slack sheet has its own gauge.
pub(super) fn state(triangle: &Triangle, sides: [Vec3; 2]) -> State {
    let [f, g] = gradient(triangle, sides);
    let (c11, c12, c22) = (dot(f, f), dot(f, g), dot(g, g));
    let (larger, smaller) = squared_stretches([c11, c12, c22]);
    let area = (c11 * c22 - c12 * c12).max(0.0);
    let gauge = triangle.plastic / triangle.surface();
    if smaller * area > 1.0 {
        State { thickness: gauge / area.sqrt(), surplus: 0.0 }
    } else if larger > 1.0 {
        let natural = 1.0 / larger.sqrt().sqrt();
        State { thickness: gauge * natural, surplus: 1.0 - smaller.sqrt() / natural }
    } else {
        State { thickness: gauge, surplus: 1.0 - area.sqrt() }
    }
}

/// A triangle that keeps less of its width than this has no surface to tell its natural one by.
const NO_WIDTH: f64 = 1e-3;

/// The surface of a triangle that has come to these sides and loses this share of its width, folds laid flat.
///
/// It is what shows over what is left of the width. Pressed to no width it is told by the larger stretch, as that of a strip
/// which is free to narrow.
pub(super) fn unfolded(triangle: &Triangle, sides: [Vec3; 2], surplus: f64) -> f64 {
    let left = 1.0 - surplus;
    if left > NO_WIDTH {
        let [along, across] = sides;
        let mixed = dot(along, across);
        let squared = dot(along, along) * dot(across, across) - mixed * mixed;
        return 0.5 * squared.max(0.0).sqrt() / left;
    }
    let [f, g] = gradient(triangle, sides);
    let mean = 0.5 * (dot(f, f) + dot(g, g));
    let (half, mixed) = (mean - dot(g, g), dot(f, g));
    let larger = mean + (half * half + mixed * mixed).sqrt();
    triangle.surface() * greater(1.0, larger.sqrt().sqrt())
}

/// Where a triangle's corners are.
#[inline(always)]
pub(super) fn corners([a, b, c]: [u32; 3], places: &[Vec3]) -> [Vec3; 3] {
    [places[a as usize], places[b as usize], places[c as usize]]
}

/// The two sides of a triangle from its first corner.
#[inline(always)]
pub(super) fn sides(nodes: [u32; 3], places: &[Vec3]) -> [Vec3; 2] {
    let [a, b, c] = corners(nodes, places);
    [sub(b, a), sub(c, a)]
}

//! The few operations on three numbers that the solver needs.
//!
//! Written out, and so are the arrays of what runs in every step: `map` of an array stays a call in a module that is
//! compiled for size, and took half of the browser's time.

pub(super) type Vec3 = [f64; 3];

/// Rounds a part of a sum of about 1 to 2^-40, so that the sum is exact and does not depend on the order of its parts.
///
/// Mirrored nodes gather from their triangles in another order. Were their sums a rounding apart, one could land on top
/// where its twin falls to the wall.
#[inline(always)]
pub(super) fn grained(part: f64) -> f64 {
    const GRAIN: f64 = 1.5 * (1_u64 << 12) as f64;
    (part + GRAIN) - GRAIN
}

/// The same of sums over the whole sheet, to 2^-20.
#[inline(always)]
pub(super) fn coarsely(part: f64) -> f64 {
    const GRAIN: f64 = 1.5 * (1_u64 << 32) as f64;
    (part + GRAIN) - GRAIN
}

/// [`grained`] of each of three.
#[inline(always)]
pub(super) fn grained3(part: Vec3) -> Vec3 {
    [grained(part[0]), grained(part[1]), grained(part[2])]
}

#[inline(always)]
pub(super) fn sub(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// `a u + b v`.
#[inline(always)]
pub(super) fn blend(a: f64, u: Vec3, b: f64, v: Vec3) -> Vec3 {
    [a * u[0] + b * v[0], a * u[1] + b * v[1], a * u[2] + b * v[2]]
}

/// `a u`.
#[inline(always)]
pub(super) fn scaled(a: f64, u: Vec3) -> Vec3 {
    [u[0] * a, u[1] * a, u[2] * a]
}

#[inline(always)]
pub(super) fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[inline(always)]
pub(super) fn cross(a: Vec3, b: Vec3) -> Vec3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

#[inline(always)]
pub(super) fn length(a: Vec3) -> f64 {
    dot(a, a).sqrt()
}

/// Adds to an entry of a list.
#[inline(always)]
pub(super) fn add(to: &mut Vec3, by: Vec3) {
    to[0] += by[0];
    to[1] += by[1];
    to[2] += by[2];
}

//! Values as whole steps and back.

/// `value` as the nearest whole number of steps.
#[expect(
    clippy::cast_possible_truncation,
    reason = "rounded just before; what a plan accepts is within 10 million steps, and beyond it `as` stops at the ends"
)]
pub(super) fn steps(value: f64, per_one: f64) -> i32 {
    libm::round(value * per_one) as i32
}

/// The value of so many steps; dividing gives the decimal nearest to what a person would type.
pub(super) fn unsteps(steps: i32, per_one: f64) -> f64 {
    f64::from(steps) / per_one
}

//! A sheet blown freely into a spherical cap: how thick it is on average and at the pole.
//!
//! ```text
//! mean = 1 / (1 + (H/a)²)        pole = 1 / (1 + (H/a)²)²
//! ```
//!
//! `H` is the height of the cap and `a` the radius of its rim; both are shares of the starting gauge. The
//! sheet is taken as isothermal, its volume as conserved and its rim as fixed.
//!
//! **Source:** the mean is the area identity of the spherical cap; the pole is the special solution of the
//! bulge test in R. Hill, Philosophical Magazine 41, 1950 (from memory).

use crate::units::Length;

/// The mean thickness of a free cap as a share of the gauge; 0.5 for a hemisphere.
///
/// ```
/// use engine::{physics::cap_mean, units::Length};
/// assert_eq!(cap_mean(Length::mm(40.0), Length::mm(40.0)), 0.5);
/// ```
#[must_use]
pub fn cap_mean(height: Length, rim_radius: Length) -> f64 {
    let slope = height / rim_radius;
    1.0 / (1.0 + slope * slope)
}

/// The thickness of a free cap at its pole as a share of the gauge; 0.25 for a hemisphere.
#[must_use]
pub fn cap_pole(height: Length, rim_radius: Length) -> f64 {
    let mean = cap_mean(height, rim_radius);
    mean * mean
}

//! The linear draw ratio: a line scribed across a mold, after forming over before.
//!
//! ```text
//! flat top  (w - 2 h tan d + 2 h / cos d) / w      until the walls meet at w = 2 h tan d, then 1 / sin d
//! taper     (w top + sqrt((w (1 - top))² + (2 h)²)) / w
//! dome      half the perimeter of an ellipse of axes w and 2 h, over w
//! others    twice the section's length from the outline to the middle, over w
//! ```
//!
//! `w` is the narrower width, `h` the height, `d` the draft.
//!
//! **Source:** SPE Thermoforming Division, Thermoforming 101, The Ubiquitous Draw Ratio, Thermoforming
//! Quarterly 24(4), 2005, for the definition; the sections are plane geometry. Ellipse: M. Abramowitz and I. A.
//! Stegun, Handbook of Mathematical Functions, 1964, 17.6 (arithmetic-geometric mean).

use std::f64::consts::PI;

use crate::plan::{Footprint, Mold, Profile, Relief};
use crate::units::{Angle, Length};

/// The ratio across the narrower width, where the walls it crosses stand square to it; `None` elsewhere.
pub(super) fn linear_ratio(mold: &Mold) -> Option<f64> {
    let width = width_across_centre(&mold.footprint)?;
    let formed = match mold.relief {
        Relief::FlatTop { edge } if edge <= Length::ZERO => {
            over_flat_top(width, mold.height.to_mm(), mold.draft)
        }
        Relief::FlatTop { .. } | Relief::Stepped { .. } => {
            2.0 * Profile::of(mold)?.length_to(width / 2.0)
        }
        Relief::Heights(_) => return None,
        Relief::Dome => half_ellipse(width / 2.0, mold.height.to_mm()),
        Relief::Taper { top } => {
            let (lean, rise) = (width * (1.0 - top), mold.height.to_mm() * 2.0);
            width * top + (lean * lean + rise * rise).sqrt()
        }
    };
    Some(formed / width)
}

/// The narrower width in millimetres when it passes through the centre and square to the outline.
fn width_across_centre(footprint: &Footprint) -> Option<f64> {
    let width = match footprint {
        Footprint::Rectangle { width, depth }
        | Footprint::RoundedRectangle { width, depth, .. }
        | Footprint::Ellipse { width, depth } => width.min(*depth),
        Footprint::Circle { diameter } => *diameter,
        Footprint::Polygon { .. } | Footprint::Outline { .. } => return None,
    };
    (width > Length::ZERO).then_some(width.to_mm())
}

fn over_flat_top(width: f64, height: f64, draft: Angle) -> f64 {
    let lean = 2.0 * height * draft.tan();
    if lean < width { width - lean + 2.0 * height / draft.cos() } else { width / draft.sin() }
}

/// Half the perimeter of an ellipse with these half axes.
fn half_ellipse(one: f64, other: f64) -> f64 {
    let (mut a, mut b) = (one.max(other), one.min(other));
    let mut sum = a * a - (a * a - b * b) / 2.0;
    let mut weight = 1.0;
    // The difference is squared in each round: six leave nothing of any aspect that a plan can hold.
    for _ in 0..12 {
        let half = (a - b) / 2.0;
        sum -= weight * half * half;
        weight *= 2.0;
        (a, b) = (f64::midpoint(a, b), (a * b).sqrt());
    }
    PI * sum / a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_circle_is_pi_times_its_radius_and_a_flat_ellipse_goes_there_and_back() {
        assert!((half_ellipse(40.0, 40.0) - PI * 40.0).abs() < 1e-12);
        assert!((half_ellipse(40.0, 1e-6) - 80.0).abs() < 1e-6);
        // Abramowitz and Stegun, table 17.1: E(m = 0.75) = 1.211 056 03, axes 2 and 1.
        assert!((half_ellipse(2.0, 1.0) - 4.0 * 1.211_056_03).abs() < 1e-7);
    }

    #[test]
    fn walls_that_meet_leave_a_ridge() {
        let draft = Angle::degrees(45.0);
        let (just, beyond) = (over_flat_top(20.0, 10.0, draft), over_flat_top(20.0, 50.0, draft));
        assert!((just - 20.0 * 2.0_f64.sqrt()).abs() < 1e-12);
        assert!((beyond - just).abs() < 1e-12);
    }
}

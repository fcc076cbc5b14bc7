//! The least angle of a mold's walls from vertical, where its relief has walls to speak of.
//!
//! A taper scales its outline about the mold's centre, so a side at distance `p` from the centre leans by
//! `atan((1 - top) p / h)`. A side that the centre lies outside of leans the other way: an undercut.
//!
//! **Source:** plane geometry.

use crate::geometry::{Region, Ring};
use crate::plan::{Mold, Relief};
use crate::units::Angle;

/// The least angle of the walls from vertical, negative for an undercut.
///
/// `None` for a dome: its wall is vertical at the rim only and leans more at every level above, so no
/// one angle describes it and a part releases as soon as it moves. `None` too for a taper without sides.
/// `footprint` is the mold's own, about its centre. Cost: linear.
#[must_use]
pub fn least_wall_angle(mold: &Mold, footprint: &Region) -> Option<Angle> {
    match mold.relief {
        Relief::FlatTop { .. } | Relief::Stepped { .. } | Relief::Heights(_) => Some(mold.draft),
        Relief::Dome => None,
        Relief::Taper { top } => footprint
            .rings()
            .flat_map(side_distances)
            .map(|distance| libm::atan2((1.0 - top) * distance, mold.height.to_mm()))
            .min_by(f64::total_cmp)
            .map(Angle::radians),
    }
}

/// The distance of each side's line from the centre in millimetres, positive where the centre lies inside.
fn side_distances(ring: &Ring) -> impl Iterator<Item = f64> {
    ring.sides().filter(|(from, to)| from != to).map(|(from, to)| {
        let along = to - from;
        from.to_vec2().cross(along) / along.length()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, tolerance};
    use crate::plan::Footprint;
    use crate::units::Length;

    fn taper(footprint: Footprint, top: f64, height: f64) -> Mold {
        Mold {
            relief: Relief::Taper { top },
            ..Mold::new("Anemone base", footprint, Length::mm(height))
        }
    }

    #[track_caller]
    fn check(mold: &Mold, degrees: f64) {
        let least = least_wall_angle(mold, &mold.footprint.region(tolerance::MEASURE));
        let got = least.expect("has walls").to_degrees();
        assert!((got - degrees).abs() < 1e-2, "{got} degrees, not {degrees}");
    }

    #[test]
    fn a_taper_leans_by_what_its_top_loses() {
        let round = Footprint::Circle { diameter: Length::mm(80.0) };
        check(&taper(round.clone(), 0.5, 20.0), 45.0);
        check(&taper(round, 1.0, 20.0), 0.0);
        let long = Footprint::Rectangle { width: Length::mm(200.0), depth: Length::mm(20.0) };
        check(&taper(long, 0.0, 10.0), 45.0);
    }

    #[test]
    fn a_taper_about_a_centre_outside_its_outline_is_undercut() {
        let corners =
            [(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (10.0, 10.0), (10.0, 40.0), (0.0, 40.0)];
        let outer = Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect());
        let ell = Footprint::Outline { outer, holes: vec![] };
        check(&taper(ell, 0.0, 10.0), -45.0);
    }

    #[test]
    fn a_flat_top_has_its_draft_and_a_dome_has_no_one_angle() {
        let round = Footprint::Circle { diameter: Length::mm(80.0) };
        let flat = Mold::new("Sand dollar", round, Length::mm(8.0));
        check(&flat, 3.0);
        let dome = Mold { relief: Relief::Dome, ..flat };
        let region = dome.footprint.region(tolerance::MEASURE);
        assert_eq!(least_wall_angle(&dome, &region), None);
    }
}

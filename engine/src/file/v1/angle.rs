//! Angles as degrees, exact to the last bit of the radians the plan holds.
//!
//! Fewer degrees than radians are representable in some ranges, so about a quarter of all angles have no
//! degrees that come back to the same bits. Those carry their radians beside the degrees; the others, every
//! angle that was typed in degrees among them, do not.

use crate::units::Angle;

/// How far degrees and radians of one angle may differ before they are two angles.
const SAME_DEG: f64 = 1e-9;

/// Degrees for people, and radians where only they are exact.
pub(in crate::file) fn to_saved(angle: Angle) -> (f64, Option<f64>) {
    let near = angle.to_degrees();
    let typed = [1e0, 1e3, 1e6, 1e9].map(|scale| libm::round(near * scale) / scale);
    let candidates = typed.into_iter().chain([near, near.next_down(), near.next_up()]);
    let is_exact =
        |deg: &f64| Angle::degrees(*deg).to_radians().to_bits() == angle.to_radians().to_bits();
    match candidates.into_iter().find(is_exact) {
        Some(deg) => (deg, None),
        None => (near, Some(angle.to_radians())),
    }
}

/// The angle, or `None` when the radians are not those of the degrees.
pub(in crate::file) fn from_saved(deg: f64, rad: Option<f64>) -> Option<Angle> {
    let Some(rad) = rad else { return Some(Angle::degrees(deg)) };
    let angle = Angle::radians(rad);
    ((angle.to_degrees() - deg).abs() <= SAME_DEG).then_some(angle)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typed_degrees_are_saved_as_typed() {
        for deg in [0.0, 3.0, 7.5, 30.0, 33.3, 45.123, 90.0, 180.0, 270.0, 359.999] {
            assert_eq!(to_saved(Angle::degrees(deg)), (deg, None));
        }
    }

    #[test]
    fn every_angle_comes_back_to_the_last_bit() {
        let mut with_radians = 0;
        for n in 0..100_000_u32 {
            let angle = Angle::radians(f64::from(n) * 6.283_18e-5 + 1e-7);
            let (deg, rad) = to_saved(angle);
            let back = from_saved(deg, rad).expect("own angles agree");
            assert_eq!(back.to_radians().to_bits(), angle.to_radians().to_bits(), "{angle:?}");
            with_radians += u32::from(rad.is_some());
        }
        assert!((1..60_000).contains(&with_radians), "{with_radians} of 100000");
    }

    #[test]
    fn radians_of_another_angle_are_no_angle() {
        assert_eq!(from_saved(90.0, Some(1.0)), None);
        assert_eq!(from_saved(0.0, Some(f64::INFINITY)), None);
    }
}

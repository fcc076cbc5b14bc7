//! A mold's simple relief as heights on a grid, so that every mold has them and not only one from a mesh.

use super::{Mold, Relief};
use crate::geometry::{HeightField, Point, Pose, Ring, Shape, tolerance};
use crate::units::Length;

impl Mold {
    /// Its height above its footprint everywhere, about its own centre; of a female mold, the depth of its cavity.
    ///
    /// A flat top rises from every outline at the draft until it is level: `min(h, d / tan draft)` at a distance `d`
    /// from the nearest outline. A dome and a taper are the footprint scaled about the centre at each level, and where
    /// scaled outlines pass over each other the highest counts. The cells are wider than asked for when there would
    /// be too many. Cost: the cells times the logarithm of the corners; for a dome or a taper times the corners.
    ///
    /// **Source:** plane geometry, the same surfaces as in `physics::formed_surface`.
    #[must_use]
    pub fn heights(&self, spacing: Length) -> HeightField {
        let shape = Shape::new(self.footprint.region(tolerance::MEASURE));
        let mut field = HeightField::flat(shape.bounds(), spacing);
        let columns = field.columns();
        for row in 0..field.rows() {
            for column in 0..columns {
                let place = field.middle(column, row);
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "a height to a ten-millionth is enough"
                )]
                let height = self.height_at(&shape, place) as f32;
                field.heights_mut()[row * columns + column] = height;
            }
        }
        field
    }

    /// The height over a place about the mold's centre, in millimetres; 0 outside.
    fn height_at(&self, shape: &Shape, place: Point) -> f64 {
        let height = self.height.to_mm();
        match self.relief {
            Relief::FlatTop if shape.contains(Pose::default(), place) => {
                let lean = self.draft.tan();
                let inward = shape.distance_to_outline(place).map_or(0.0, Length::to_mm);
                if lean * height > inward { inward / lean } else { height }
            }
            Relief::FlatTop => 0.0,
            Relief::Dome => scale_at(shape, place)
                .map_or(0.0, |scale| height * (1.0 - scale * scale).max(0.0).sqrt()),
            Relief::Taper { top } => scale_at(shape, place).map_or(0.0, |scale| {
                let left = 1.0 - top;
                if scale <= top || left <= 0.0 { height } else { height * (1.0 - scale) / left }
            }),
        }
    }
}

/// The smallest scale, up to 1, at which the footprint scaled about its centre still covers a place.
///
/// Scaling by `s` covers what the whole footprint covers at `1 / s` times the distance: so the farthest place on the
/// ray from the centre that is covered decides.
fn scale_at(shape: &Shape, place: Point) -> Option<f64> {
    let out = place.to_vec2();
    let length = out.length();
    if length <= tolerance::SAME.to_mm() {
        return Some(0.0);
    }
    let mut farthest = 0.0_f64;
    for (a, b) in shape.region().rings().flat_map(Ring::sides) {
        let (from, to) = (out.cross(a.to_vec2()), out.cross(b.to_vec2()));
        if (from <= 0.0) != (to <= 0.0) {
            let crossing = a + (b - a) * (from / (from - to));
            farthest = farthest.max(crossing.to_vec2().dot(out) / (length * length));
        }
    }
    (farthest >= 1.0).then(|| 1.0 / farthest)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::plan::Footprint;
    use crate::units::Angle;

    /// The volume under the heights.
    fn volume(field: &HeightField) -> f64 {
        let cell = field.spacing().to_mm() * field.spacing().to_mm();
        field.heights().iter().map(|height| f64::from(*height) * cell).sum()
    }

    #[track_caller]
    fn check(mold: &Mold, want: f64) {
        let got = volume(&mold.heights(Length::mm(0.2)));
        assert!((got / want - 1.0).abs() < 0.003, "{}: {got} mm³, not {want}", mold.name);
    }

    fn mold(footprint: Footprint, relief: Relief, draft: f64) -> Mold {
        let mold = Mold::new("Mold", footprint, Length::mm(20.0));
        Mold { relief, draft: Angle::degrees(draft), ..mold }
    }

    // Volumes of elementary solids: CRC Standard Mathematical Tables, mensuration formulas.

    #[test]
    fn volumes_under_simple_reliefs_are_those_of_solids() {
        let circle = Footprint::Circle { diameter: Length::mm(60.0) };
        let plate = Footprint::Rectangle { width: Length::mm(50.0), depth: Length::mm(30.0) };
        check(&mold(circle.clone(), Relief::Dome, 0.0), 2.0 / 3.0 * PI * 900.0 * 20.0);
        check(&mold(circle.clone(), Relief::Taper { top: 0.0 }, 0.0), PI * 900.0 * 20.0 / 3.0);
        check(
            &mold(circle.clone(), Relief::Taper { top: 0.5 }, 0.0),
            PI * 900.0 * 20.0 * 1.75 / 3.0,
        );
        check(&mold(plate.clone(), Relief::Taper { top: 1.0 }, 0.0), 1500.0 * 20.0);
        check(&mold(plate.clone(), Relief::FlatTop, 0.0), 1500.0 * 20.0);
        // A frustum between circles of 30 and 30 - 20 tan 20° mm.
        let top = 30.0 - 20.0 * Angle::degrees(20.0).tan();
        let frustum = PI * 20.0 / 3.0 * (900.0 + 30.0 * top + top * top);
        check(&mold(circle, Relief::FlatTop, 20.0), frustum);
        // A hipped roof: a prism over the ridge of 20 mm and a pyramid at both ends, 15 mm in plan at 45°.
        let roof = 0.5 * 30.0 * 15.0 * 20.0 + 30.0 * 30.0 * 15.0 / 3.0;
        let steep = mold(plate, Relief::FlatTop, 45.0);
        check(&steep, roof);
    }

    #[test]
    fn reliefs_over_a_bent_outline_are_as_high_as_their_highest_level_and_nothing_stands_outside() {
        let corners =
            [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (30.0, 30.0), (30.0, 10.0), (0.0, 10.0)];
        let outer = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec());
        let bent = Footprint::Outline { outer, holes: vec![] };
        for relief in [Relief::FlatTop, Relief::Dome, Relief::Taper { top: 0.3 }] {
            let field = mold(bent.clone(), relief, 5.0).heights(Length::mm(0.5));
            assert!(
                field.heights().iter().all(|height| (0.0..=20.0).contains(height)),
                "{relief:?}"
            );
            assert!(field.highest() > 19.0, "{relief:?}");
            assert!(field.at(Point::new(-19.0, 14.0)) <= 0.0, "{relief:?}");
        }
    }
}

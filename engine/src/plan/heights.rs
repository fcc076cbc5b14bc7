//! A mold's simple relief as heights on a grid, so that every mold has them and not only one from a mesh.

use super::{Mold, Profile, Relief};
use crate::geometry::{HeightField, Point, Pose, Rect, Shape, greater, lesser, tolerance};
use crate::units::Length;

impl Mold {
    /// Its height above its footprint everywhere, about its own centre; of a female mold, the depth of its cavity.
    ///
    /// A flat top and steps rise from every outline by their section (`profile`), read at the distance from the
    /// nearest outline. A dome and a taper are the footprint scaled about the centre at each level, and where
    /// scaled outlines pass over each other the highest counts. Heights from a mesh are stretched over the
    /// footprint's bounds and to the mold's height, and cut off at the footprint. The cells are wider than asked for
    /// when there would be too many. Cost: the cells times the logarithm of the corners; for a dome or a taper
    /// times the corners.
    ///
    /// **Source:** plane geometry, the same surfaces as in `physics::formed_surface`.
    #[must_use]
    pub fn heights(&self, spacing: Length) -> HeightField {
        let shape = Shape::new(self.footprint.region(tolerance::MEASURE));
        let profile = Profile::of(self);
        let mut field = HeightField::centred(shape.bounds(), spacing);
        let columns = field.columns();
        for row in 0..field.rows() {
            for column in 0..columns {
                let place = field.middle(column, row);
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "a height to a ten-millionth is enough"
                )]
                let height = self.height_at(&shape, profile.as_ref(), place) as f32;
                field.heights_mut()[row * columns + column] = height;
            }
        }
        field
    }

    /// The height over a place about the mold's centre, in millimetres; 0 outside.
    fn height_at(&self, shape: &Shape, profile: Option<&Profile>, place: Point) -> f64 {
        let height = self.height.to_mm();
        let is_inside = || shape.contains(Pose::default(), place);
        match &self.relief {
            Relief::FlatTop { .. } | Relief::Stepped { .. } if is_inside() => {
                let inward = shape.distance_to_outline(place).map_or(0.0, Length::to_mm);
                profile.map_or(0.0, |profile| profile.height_at(inward))
            }
            Relief::Heights(_) if is_inside() => self.grid_height(shape.bounds(), place),
            Relief::FlatTop { .. } | Relief::Stepped { .. } | Relief::Heights(_) => 0.0,
            Relief::Dome => scale_at(shape, place)
                .map_or(0.0, |scale| height * (1.0 - scale * scale).max(0.0).sqrt()),
            Relief::Taper { top } => scale_at(shape, place).map_or(0.0, |scale| {
                let left = 1.0 - top;
                if scale <= *top || left <= 0.0 { height } else { height * (1.0 - scale) / left }
            }),
        }
    }

    /// The height that its grid has at a place within its footprint's bounds, in millimetres.
    pub(crate) fn grid_height(&self, bounds: Rect, place: Point) -> f64 {
        let Relief::Heights(grid) = &self.relief else { return 0.0 };
        let share = |at: f64, from: f64, side: Length| (at - from) / side.to_mm().max(1e-9);
        let across = share(place.x, bounds.min.x, bounds.width());
        let back = share(place.y, bounds.min.y, bounds.depth());
        let stretch = self.height.to_mm() / grid.height().to_mm().max(1e-9);
        (grid.at((across, back)) * stretch).min(self.height.to_mm())
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
    for ring in shape.region().rings() {
        // Asked for every cell of a height field: each corner is turned into the ray's frame once.
        let Some(&last) = ring.points().last() else { continue };
        let (mut a, mut from) = (last, out.cross(last.to_vec2()));
        for &b in ring.points() {
            let to = out.cross(b.to_vec2());
            if (from <= 0.0) != (to <= 0.0) {
                let crossing = a + (b - a) * (from / (from - to));
                farthest = greater(farthest, crossing.to_vec2().dot(out) / (length * length));
            }
            (a, from) = (b, to);
        }
    }
    // What rounding leaves of a place on the outline counts as inside, whichever side of the mold it is on.
    (farthest >= 1.0 - 1e-9).then(|| lesser(1.0, 1.0 / farthest))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;
    use std::sync::Arc;

    use super::*;
    use crate::geometry::Ring;
    use crate::plan::{Footprint, HeightGrid, Step};
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
        // Its sides run between two rows of cells: a row on a side is inside as a whole.
        let plate = Footprint::Rectangle { width: Length::mm(50.2), depth: Length::mm(30.2) };
        check(&mold(circle.clone(), Relief::Dome, 0.0), 2.0 / 3.0 * PI * 900.0 * 20.0);
        check(&mold(circle.clone(), Relief::Taper { top: 0.0 }, 0.0), PI * 900.0 * 20.0 / 3.0);
        check(
            &mold(circle.clone(), Relief::Taper { top: 0.5 }, 0.0),
            PI * 900.0 * 20.0 * 1.75 / 3.0,
        );
        check(&mold(plate.clone(), Relief::Taper { top: 1.0 }, 0.0), 50.2 * 30.2 * 20.0);
        check(&mold(plate.clone(), Relief::FLAT, 0.0), 50.2 * 30.2 * 20.0);
        // A frustum between circles of 30 and 30 - 20 tan 20° mm.
        let top = 30.0 - 20.0 * Angle::degrees(20.0).tan();
        let frustum = PI * 20.0 / 3.0 * (900.0 + 30.0 * top + top * top);
        check(&mold(circle, Relief::FLAT, 20.0), frustum);
        // A hipped roof: a prism over the ridge of 20 mm and a pyramid at both ends, 15.1 mm in plan at 45°.
        let roof = 0.5 * 30.2 * 15.1 * 20.0 + 30.2 * 30.2 * 15.1 / 3.0;
        let steep = mold(plate, Relief::FLAT, 45.0);
        check(&steep, roof);
    }

    #[test]
    fn reliefs_over_a_bent_outline_are_as_high_as_their_highest_level_and_nothing_stands_outside() {
        let corners =
            [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (30.0, 30.0), (30.0, 10.0), (0.0, 10.0)];
        let outer = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec());
        let bent = Footprint::Outline { outer, holes: vec![] };
        for relief in [Relief::FLAT, Relief::Dome, Relief::Taper { top: 0.3 }] {
            let field = mold(bent.clone(), relief.clone(), 5.0).heights(Length::mm(0.5));
            assert!(
                field.heights().iter().all(|height| (0.0..=20.0).contains(height)),
                "{relief:?}"
            );
            assert!(field.highest() > 19.0, "{relief:?}");
            assert!(field.at(Point::new(-19.0, 14.0)) <= 0.0, "{relief:?}");
        }
    }
    #[test]
    fn a_rounded_edge_takes_off_what_pappus_says() {
        // Pappus' theorem; the middle of the spandrel beside a quarter circle lies r (10 - 3 pi) / (12 - 3 pi) from
        // its straight sides (mechanics tables; from memory).
        let (r, radius) = (30.0, 8.0);
        let middle = r - radius * (10.0 - 3.0 * PI) / (12.0 - 3.0 * PI);
        let off = 2.0 * PI * middle * (1.0 - PI / 4.0) * radius * radius;
        let circle = Footprint::Circle { diameter: Length::mm(2.0 * r) };
        let relief = Relief::FlatTop { edge: Length::mm(radius) };
        check(&mold(circle, relief, 0.0), PI * r * r * 20.0 - off);
    }

    #[test]
    fn steps_are_frustums_on_each_other() {
        let step = |height, inset| Step { height: Length::mm(height), inset: Length::mm(inset) };
        let relief = Relief::Stepped { steps: vec![step(6.0, 10.0), step(14.0, 18.0)] };
        let tan = Angle::degrees(15.0).tan();
        let frustum = |bottom: f64, height: f64| {
            let top = bottom - height * tan;
            PI * height / 3.0 * (bottom * bottom + bottom * top + top * top)
        };
        let circle = Footprint::Circle { diameter: Length::mm(80.0) };
        let volume = frustum(40.0, 6.0) + frustum(30.0, 8.0) + frustum(22.0, 6.0);
        check(&mold(circle, relief, 15.0), volume);
    }

    #[test]
    fn heights_of_a_grid_are_stretched_over_the_footprint_and_cut_off_at_it() {
        // A cone of 20 mm on a grid that was made of one half as tall and a third as wide.
        let n = 60_u32;
        let at = |k: u32| (f64::from(k) + 0.5) / f64::from(n) * 2.0 - 1.0;
        let cone = |k: u32| {
            let (x, y) = (at(k % n), at(k / n));
            let left = 100.0 * (1.0 - (x * x + y * y).sqrt());
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a hundred tenths at most"
            )]
            let tenths = left.max(0.0).round() as u16;
            tenths
        };
        let grid = HeightGrid::new(60, 60, Length::mm(10.0), (0..n * n).map(cone).collect());
        let relief = Relief::Heights(Arc::new(grid.expect("whole")));
        let circle = Footprint::Circle { diameter: Length::mm(60.0) };
        check(&mold(circle, relief, 0.0), PI * 900.0 * 20.0 / 3.0);
    }
}

//! Places counted from the corner of the opening, on a grid, so that it does not matter where a bench's origin lies.
//!
//! A search that begins a rounding error elsewhere soon goes another way. Seen from the opening, a bench and the same
//! bench moved aside are the same to the last bit, and so are the layouts found.

use crate::geometry::{Point, Pose, Rect};
use crate::plan::Machine;

/// Steps of the grid to a millimetre, a power of two so that they are exact: 15 picometres apart, far more than the
/// rounding of a coordinate and far less than `tolerance::SAME`.
const STEPS: f64 = 67_108_864.0;

/// A place that a person could have typed, in steps to a millimetre.
const TYPED: f64 = 1e3;

/// The corner of the opening from which everything is counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Frame {
    corner: Point,
}

impl Frame {
    pub(super) const fn of(machine: &Machine) -> Self {
        Self { corner: machine.opening().min }
    }

    /// A pose of the plan as it is counted here.
    pub(super) fn local(self, pose: Pose) -> Pose {
        Pose { at: self.local_point(pose.at), ..pose }
    }

    /// A rectangle of the plan as it is counted here.
    pub(super) fn local_rect(self, rect: Rect) -> Rect {
        Rect { min: self.local_point(rect.min), max: self.local_point(rect.max) }
    }

    /// A pose as it is counted in the plan; typed figures stay what they were.
    pub(super) fn world(self, pose: Pose) -> Pose {
        let there = |mm: f64| {
            let typed = libm::round(mm * TYPED) / TYPED;
            if (typed - mm).abs() < 1.0 / STEPS { typed } else { mm }
        };
        let Point { x, y } = self.corner;
        Pose { at: Point::new(there(pose.at.x + x), there(pose.at.y + y)), ..pose }
    }

    /// A pose in figures that a person could type in the plan, to a micrometre.
    pub(super) fn typed(self, pose: Pose) -> Pose {
        let there = self.world(pose).at;
        let typed = |mm: f64| libm::round(mm * TYPED) / TYPED;
        self.local(Pose { at: Point::new(typed(there.x), typed(there.y)), ..pose })
    }

    fn local_point(self, p: Point) -> Point {
        let snapped = |mm: f64| libm::round(mm * STEPS) / STEPS;
        Point::new(snapped(p.x - self.corner.x), snapped(p.y - self.corner.y))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Sides, Size};
    use crate::units::{Angle, Length};

    fn frame(left: f64) -> Frame {
        let blank = Size::new(Length::mm(400.0), Length::mm(300.0));
        let lip = Length::mm(15.0);
        let lip = Sides { front: lip, back: lip, left: Length::mm(left), right: lip };
        Frame::of(&Machine { blank, lip, ..Machine::default() })
    }

    #[test]
    fn a_bench_moved_aside_is_the_same_to_the_last_bit_and_typed_figures_come_back() {
        for k in 0..2000 {
            let (x, y) = (f64::from(k) * 0.217, f64::from(k) * 0.131);
            let turn = Angle::degrees(30.0);
            let here = Pose::new(Point::new(x, y), turn);
            for aside in [0.1, 25.4, 101.337] {
                let there = Pose::new(Point::new(x + aside, y), turn);
                let (near, far) = (frame(12.7), frame(12.7 + aside));
                assert_eq!(near.local(here), far.local(there));
                let back = near.world(near.local(here));
                let typed = Point::new(libm::round(x * 1e3) / 1e3, libm::round(y * 1e3) / 1e3);
                assert_eq!(back.at, typed, "{k}");
            }
        }
        assert!(!frame(1.0).local(Pose::new(Point::new(f64::NAN, 0.0), Angle::ZERO)).is_finite());
    }
}

//! How much of the blank molds cover with their clearances: a bound that needs no search.

use std::f64::consts::PI;

use super::scene::{Body, Scene};
use crate::geometry::Rect;
use crate::units::Length;

/// What bodies cover, and what there is.
///
/// Grow every outline by half of the least clearance that it has to any other: since `min a + min b <= 2 d(a, b)`, the
/// grown outlines still do not overlap, and they lie in their rooms grown as much.
///
/// **Source:** an outline of area `A` grown by `r` covers at least `(sqrt(A) + r sqrt(pi))^2`, the Brunn-Minkowski
/// inequality in the plane; a convex one of perimeter `P` covers `A + P r + pi r^2`, Steiner's formula (both from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cover {
    /// No layout covers less, in square millimetres.
    pub(super) least: f64,
    /// What a layout of such molds covers, in square millimetres, bays filled.
    pub(super) likely: f64,
    /// What there is, in square millimetres.
    pub(super) room: f64,
}

impl Cover {
    /// The cover of all bodies of a scene that may be moved.
    pub(super) fn of(scene: &Scene<'_>) -> Self {
        let mut cover = Self { least: 0.0, likely: 0.0, room: 0.0 };
        let mut rooms: Option<Rect> = None;
        for i in scene.movable() {
            let (body, grown) = (&scene.bodies[i], reach(scene, i));
            let (least, likely) = covered(body, grown);
            (cover.least, cover.likely) = (cover.least + least, cover.likely + likely);
            let room = body.room.map(|room| room.grown(Length::mm(grown)));
            rooms = rooms.into_iter().chain(room).reduce(Rect::union);
        }
        cover.room = rooms.map_or(0.0, |rooms| rooms.area().to_mm2());
        cover
    }

    /// True when the bodies cannot fit, however they stand.
    pub(super) fn is_too_much(self) -> bool {
        /// Rounding of sums of products, far below what a layout could use.
        const ROUNDING: f64 = 1.0 + 1e-9;
        self.least > self.room * ROUNDING
    }
}

/// Half the least clearance of a body to any other that is not pinned, in millimetres; nothing when it is alone.
pub(super) fn reach(scene: &Scene<'_>, i: usize) -> f64 {
    let others = scene.movable().filter(|&j| j != i).map(|j| scene.distance(i, j));
    let least = others.fold(f64::INFINITY, f64::min);
    if least.is_finite() { least / 2.0 } else { 0.0 }
}

/// The least and the likely cover of a body grown by `by` millimetres.
pub(super) fn covered(body: &Body, by: f64) -> (f64, f64) {
    let shape = &body.shape;
    let area = shape.area().to_mm2().max(0.0);
    let root = area.sqrt() + by * PI.sqrt();
    let hull = crate::geometry::Ring::new(shape.hull().to_vec());
    let steiner = hull.signed_area() + hull.perimeter().to_mm() * by + PI * by * by;
    (root * root, steiner)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, scene, standing};
    use super::*;

    #[test]
    fn the_cover_of_blocks_is_the_closed_form() {
        // 20 mm of height ask for 35 between the two, so each is grown by 17.5.
        let plan = standing(&[
            (block(60.0, 20.0), (90.0, 90.0, 0.0)),
            (block(60.0, 20.0), (250.0, 90.0, 0.0)),
        ]);
        let cover = Cover::of(&scene(&plan));
        let grown = 60.0 * 40.0 + 200.0 * 17.5 + PI * 17.5 * 17.5;
        assert!((cover.likely - 2.0 * grown).abs() < 1e-6, "{cover:?}");
        assert!(cover.least < cover.likely && cover.least > 2.0 * 60.0 * 40.0, "{cover:?}");
        // The opening of 370 x 270 less 25 mm and plus 17.5 on every side.
        assert!((cover.room - 355.0 * 255.0).abs() < 1e-6 && !cover.is_too_much(), "{cover:?}");
    }

    #[test]
    fn molds_that_cover_more_than_there_is_are_told_without_a_search() {
        let place = (200.0, 150.0, 0.0);
        let plan = standing(&vec![(block(150.0, 40.0), place); 9]);
        assert!(Cover::of(&scene(&plan)).is_too_much());
        let alone = standing(&[(block(150.0, 40.0), place)]);
        assert!(!Cover::of(&scene(&alone)).is_too_much());
    }
}

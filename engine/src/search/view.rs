//! One item as seen from another that is to be placed, and the fields behind the views.

use super::catalog::Catalog;
use super::field::Field;
use crate::geometry::{Point, Rect, Vec2};

/// Seats of all items up to which the fields of their pairs are kept in a table.
const MOST_SEATS: usize = 2000;

/// Another item as seen from one that is to be placed: what its distance lacks is a function of the place alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    pub(super) field: usize,
    pub(super) base: Point,
    pub(super) sign: f64,
    pub(super) sin: f64,
    pub(super) cos: f64,
    pub(super) apart: f64,
    pub(super) weight: f64,
    /// Outside this rectangle of places nothing is lacking.
    pub(super) bounds: Rect,
}

impl View {
    /// A place as a displacement in the field.
    #[inline]
    pub(super) fn inside(&self, at: Point) -> Point {
        Point::ORIGIN + self.way_inside(at - self.base)
    }

    /// A way between places as one in the field.
    #[inline]
    pub(super) fn way_inside(&self, way: Vec2) -> Vec2 {
        let (dx, dy) = (self.sign * way.x, self.sign * way.y);
        Vec2::new(self.cos * dx + self.sin * dy, self.cos * dy - self.sin * dx)
    }

    /// A direction in the field as one of places.
    pub(super) fn outside(&self, way: Vec2) -> Vec2 {
        Vec2::new(self.cos * way.x - self.sin * way.y, self.sin * way.x + self.cos * way.y)
            * self.sign
    }

    /// The places outside of which nothing is lacking.
    pub(super) fn bounded(self, field: &Field) -> Self {
        let center = field.bounds().center();
        let half = field.bounds().max - center;
        let (sin, cos) = (self.sin.abs(), self.cos.abs());
        let half = Vec2::new(
            cos * half.x + sin * half.y + self.apart,
            sin * half.x + cos * half.y + self.apart,
        );
        let center = self.base + self.outside(center.to_vec2());
        Self { bounds: Rect { min: center - half, max: center + half }, ..self }
    }

    /// What is lacking at a place.
    pub(super) fn lack(&self, catalog: &Catalog, at: Point) -> f64 {
        if self.bounds.contains(at) {
            catalog.field(self.field).lack(self.inside(at), self.apart)
        } else {
            0.0
        }
    }
}

/// The fields of pairs of seats, so that they need not be looked up by their turns; none is kept when there are
/// very many.
#[derive(Debug)]
pub(super) struct Known {
    n_seats: usize,
    fields: Vec<u32>,
}

impl Known {
    pub(super) fn new(n_seats: usize) -> Self {
        let n = if n_seats <= MOST_SEATS { n_seats } else { 0 };
        Self { n_seats: n, fields: vec![u32::MAX; n * n] }
    }

    pub(super) fn get(&self, (one, other): (usize, usize)) -> Option<usize> {
        let field = *self.fields.get(one * self.n_seats + other)?;
        (field != u32::MAX).then_some(field as usize)
    }

    pub(super) fn set(&mut self, (one, other): (usize, usize), field: usize) {
        if let Some(known) = self.fields.get_mut(one * self.n_seats + other) {
            *known = u32::try_from(field).unwrap_or(u32::MAX);
        }
    }
}

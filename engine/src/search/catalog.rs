//! The forbidden regions of pairs of outlines, made when they are first asked for and kept.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::field::Field;
use super::forbidden::{forbidden, without_holes};
use crate::geometry::{Point, Pose, Ring, Shape, simplify};
use crate::units::{Angle, Length};

/// Outlines with more corners are searched with fewer.
const MANY_CORNERS: usize = 24;
/// How far the fewer corners may stray, as a share of the outline's diagonal.
const STRAY: f64 = 1e-3;
/// Turns are told apart by this share of a radian.
const TURN_STEPS: f64 = 1e9;

/// The outlines of a problem and the fields of their pairs.
#[derive(Debug)]
pub(super) struct Catalog {
    shapes: Vec<Arc<Shape>>,
    /// Without holes, and with fewer corners where there are many.
    rings: Vec<Vec<Ring>>,
    /// How far the true outline may reach out of the one searched with.
    strays: Vec<f64>,
    margin: f64,
    fields: Vec<Field>,
    known: BTreeMap<(usize, usize, i64), usize>,
}

impl Catalog {
    /// A catalogue for distances up to `margin` millimetres.
    pub(super) const fn new(margin: f64) -> Self {
        Self {
            shapes: Vec::new(),
            rings: Vec::new(),
            strays: Vec::new(),
            margin,
            fields: Vec::new(),
            known: BTreeMap::new(),
        }
    }

    /// The number of a shape; the same for one that is shared.
    pub(super) fn number(&mut self, shape: &Arc<Shape>) -> usize {
        if let Some(number) = self.shapes.iter().position(|known| Arc::ptr_eq(known, shape)) {
            return number;
        }
        let n_corners: usize = shape.region().rings().map(|ring| ring.points().len()).sum();
        let bounds = shape.bounds();
        let stray = bounds.min.distance(bounds.max) * STRAY;
        let is_simple = n_corners <= MANY_CORNERS;
        let rings = if is_simple {
            without_holes(shape.region())
        } else {
            without_holes(&simplify(shape.region(), Length::mm(stray)))
        };
        self.shapes.push(Arc::clone(shape));
        self.rings.push(rings);
        self.strays.push(if is_simple { 0.0 } else { stray });
        self.shapes.len() - 1
    }

    /// How far the true outline may reach out of the one searched with, in millimetres.
    pub(super) fn stray(&self, shape: usize) -> f64 {
        self.strays[shape]
    }

    /// The number of the field of `other` as seen from `one`, when it is turned by `turn` as seen from it.
    pub(super) fn find(&mut self, one: usize, other: usize, turn: Angle) -> usize {
        let key = (one, other, steps(turn));
        if let Some(&number) = self.known.get(&key) {
            return number;
        }
        let pose = Pose::new(Point::ORIGIN, turn);
        let turned: Vec<Ring> = self.rings[other].iter().map(|ring| ring.placed(pose)).collect();
        self.fields.push(Field::new(&forbidden(&self.rings[one], &turned), self.margin));
        self.known.insert(key, self.fields.len() - 1);
        self.fields.len() - 1
    }

    /// Changes the greatest distance asked for; before the first field only.
    pub(super) const fn set_margin(&mut self, margin: f64) {
        self.margin = margin;
    }

    pub(super) fn field(&self, number: usize) -> &Field {
        &self.fields[number]
    }

    /// How many different outlines there are.
    pub(super) const fn n_shapes(&self) -> usize {
        self.shapes.len()
    }
}

/// A turn in whole steps, the same for equal directions.
#[expect(
    clippy::cast_possible_truncation,
    reason = "less than seven thousand million steps make a whole turn"
)]
fn steps(turn: Angle) -> i64 {
    let steps = libm::round(turn.normalized().to_radians() * TURN_STEPS) as i64;
    let whole = libm::round(std::f64::consts::TAU * TURN_STEPS) as i64;
    if steps >= whole { 0 } else { steps }
}

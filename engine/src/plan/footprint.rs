//! A mold's outline on the platen.

use crate::geometry::{Point, Rect, Region, Ring, Vec2, flatten};
use crate::units::{Angle, Length};

/// The outline of a mold, about its own centre: the middle of its upright bounds.
#[derive(Clone, Debug, PartialEq)]
pub enum Footprint {
    /// A rectangle.
    Rectangle {
        /// Left to right.
        width: Length,
        /// Front to back.
        depth: Length,
    },
    /// A rectangle with round corners; a radius of half the shorter side makes a slot.
    RoundedRectangle {
        /// Left to right.
        width: Length,
        /// Front to back.
        depth: Length,
        /// Of each corner.
        radius: Length,
    },
    /// A circle.
    Circle {
        /// Across.
        diameter: Length,
    },
    /// An ellipse.
    Ellipse {
        /// The axis left to right.
        width: Length,
        /// The axis front to back.
        depth: Length,
    },
    /// A regular polygon with a side towards the person.
    Polygon {
        /// How many sides.
        sides: u32,
        /// The diameter of the circle through its corners.
        diameter: Length,
    },
    /// An outline drawn or typed corner by corner, in any coordinates.
    Outline {
        /// The outer outline, either way round.
        outer: Ring,
        /// The holes, either way round.
        holes: Vec<Ring>,
    },
}

impl Footprint {
    /// The outline as a region about the mold's centre, with curves within `within` of the true ones.
    ///
    /// The outer ring is counter-clockwise and the holes clockwise. A parametric footprint that
    /// [`crate::edit::apply`] accepted always gives a valid region; an outline gives what was drawn.
    #[must_use]
    pub fn region(&self, within: Length) -> Region {
        match self {
            Self::Rectangle { width, depth } => solid(flatten::rectangle(*width, *depth)),
            Self::RoundedRectangle { width, depth, radius } => {
                solid(flatten::rounded_rectangle(*width, *depth, *radius, within))
            }
            Self::Circle { diameter } => solid(flatten::circle(*diameter, within)),
            Self::Ellipse { width, depth } => solid(flatten::ellipse(*width, *depth, within)),
            Self::Polygon { sides, diameter } => solid(polygon(*sides, *diameter)),
            Self::Outline { outer, holes } => {
                let centre = outer.bounds().map_or(Point::ORIGIN, Rect::center).to_vec2();
                let moved = |ring: &Ring| {
                    Ring::new(ring.points().iter().map(|&p| p - centre).collect::<Vec<_>>())
                };
                Region::new(moved(outer), holes.iter().map(moved).collect())
            }
        }
    }

    /// How many corners the outline stores; parametric footprints store none.
    #[must_use]
    pub fn n_corners(&self) -> usize {
        match self {
            Self::Outline { outer, holes } => {
                outer.points().len() + holes.iter().map(|h| h.points().len()).sum::<usize>()
            }
            Self::Rectangle { .. }
            | Self::RoundedRectangle { .. }
            | Self::Circle { .. }
            | Self::Ellipse { .. }
            | Self::Polygon { .. } => 0,
        }
    }

    /// The word for its kind.
    #[must_use]
    pub const fn kind_name(&self) -> &'static str {
        match self {
            Self::Rectangle { .. } => "rectangle",
            Self::RoundedRectangle { .. } => "rounded rectangle",
            Self::Circle { .. } => "circle",
            Self::Ellipse { .. } => "ellipse",
            Self::Polygon { .. } => "regular polygon",
            Self::Outline { .. } => "outline",
        }
    }
}

fn solid(outer: Ring) -> Region {
    Region { outer, holes: Vec::new() }
}

/// A regular polygon moved so that the middle of its bounds is the origin, like every other footprint.
fn polygon(sides: u32, diameter: Length) -> Ring {
    let radius = diameter.to_mm() / 2.0;
    let step = Angle::degrees(360.0 / f64::from(sides.max(1)));
    let first = Angle::degrees(-90.0).to_radians() + step.to_radians() / 2.0;
    let corners: Vec<Point> = (0..sides)
        .map(|i| Angle::radians(first + step.to_radians() * f64::from(i)))
        .map(|direction| Point::ORIGIN + Vec2::unit(direction) * radius)
        .collect();
    let centre = Rect::around(corners.iter().copied()).map_or(Point::ORIGIN, Rect::center);
    Ring::new(corners.into_iter().map(|p| p - centre.to_vec2()).collect())
}

//! Footprints turned from one kind into another, keeping their size.

use engine::geometry::{Point, Ring};
use engine::plan::{Footprint, Size};
use engine::units::Length;

/// The kinds of footprint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A rectangle.
    Rectangle,
    /// A rectangle with round corners.
    RoundedRectangle,
    /// A circle.
    Circle,
    /// An ellipse.
    Ellipse,
    /// A regular polygon.
    Polygon,
    /// Typed or drawn corner by corner.
    Outline,
}

/// How far the corners of an outline made from a curve may lie off it.
const CURVE: Length = Length::mm(0.1);

impl Kind {
    /// All kinds, in the order they are offered.
    pub(super) const ALL: [Self; 6] = [
        Self::Rectangle,
        Self::RoundedRectangle,
        Self::Circle,
        Self::Ellipse,
        Self::Polygon,
        Self::Outline,
    ];

    /// The kind of a footprint.
    pub(super) const fn of(footprint: &Footprint) -> Self {
        match footprint {
            Footprint::Rectangle { .. } => Self::Rectangle,
            Footprint::RoundedRectangle { .. } => Self::RoundedRectangle,
            Footprint::Circle { .. } => Self::Circle,
            Footprint::Ellipse { .. } => Self::Ellipse,
            Footprint::Polygon { .. } => Self::Polygon,
            Footprint::Outline { .. } => Self::Outline,
        }
    }

    /// Its words in a list.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Rectangle => "Rectangle",
            Self::RoundedRectangle => "Rounded rectangle",
            Self::Circle => "Circle",
            Self::Ellipse => "Ellipse",
            Self::Polygon => "Regular polygon",
            Self::Outline => "Outline",
        }
    }

    /// A footprint of this kind about as large as `from`.
    pub(super) fn made_from(self, from: &Footprint) -> Footprint {
        let Size { width, depth } = size_of(from);
        match self {
            _ if self == Self::of(from) => from.clone(),
            Self::Rectangle => Footprint::Rectangle { width, depth },
            Self::RoundedRectangle => {
                Footprint::RoundedRectangle { width, depth, radius: width.min(depth) / 8.0 }
            }
            Self::Circle => Footprint::Circle { diameter: width.max(depth) },
            Self::Ellipse => Footprint::Ellipse { width, depth },
            Self::Polygon => Footprint::Polygon { sides: 6, diameter: width.max(depth) },
            Self::Outline => outline_of(from),
        }
    }
}

/// How wide and how deep a footprint is, as it was typed where it was typed as a measure.
pub(super) fn size_of(footprint: &Footprint) -> Size {
    match footprint {
        Footprint::Rectangle { width, depth }
        | Footprint::RoundedRectangle { width, depth, .. }
        | Footprint::Ellipse { width, depth } => Size::new(*width, *depth),
        Footprint::Circle { diameter } => Size::new(*diameter, *diameter),
        Footprint::Polygon { .. } | Footprint::Outline { .. } => {
            let bounds = footprint.region(CURVE).bounds().unwrap_or_default();
            Size::new(bounds.width(), bounds.depth())
        }
    }
}

/// The corners of `from` about its front left corner, so that the typed numbers are not negative.
fn outline_of(from: &Footprint) -> Footprint {
    let region = from.region(CURVE);
    let bounds = region.bounds().unwrap_or_default();
    let hundredth = |mm: f64| (mm * 100.0).round() / 100.0;
    let corner = |p: &Point| {
        let from_corner = *p - bounds.min.to_vec2();
        Point::new(hundredth(from_corner.x), hundredth(from_corner.y))
    };
    let ring = |ring: &Ring| Ring::new(ring.points().iter().map(corner).collect());
    Footprint::Outline {
        outer: ring(&region.outer),
        holes: region.holes.iter().map(ring).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_footprint_keeps_its_size_from_kind_to_kind() {
        let plate = Footprint::Rectangle { width: Length::mm(60.0), depth: Length::mm(40.0) };
        for kind in Kind::ALL {
            let made = kind.made_from(&plate);
            assert_eq!(Kind::of(&made), kind);
            assert!((size_of(&made).width.to_mm() - 60.0).abs() < 1e-9, "{kind:?}: {made:?}");
        }
    }

    #[test]
    fn an_outline_of_a_plate_is_typed_from_its_front_left_corner() {
        let plate = Footprint::Rectangle { width: Length::mm(60.0), depth: Length::mm(40.0) };
        let Footprint::Outline { outer, holes } = Kind::Outline.made_from(&plate) else {
            panic!("an outline was asked for");
        };
        let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)];
        assert_eq!(outer, Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()));
        assert!(holes.is_empty());
    }

    #[test]
    fn a_round_footprint_keeps_its_size_to_the_last_digit() {
        let ellipse = Footprint::Ellipse { width: Length::mm(64.0), depth: Length::mm(52.0) };
        let circle = Kind::Circle.made_from(&ellipse);
        assert_eq!(circle, Footprint::Circle { diameter: Length::mm(64.0) });
    }

    #[test]
    fn the_kind_it_has_already_changes_nothing() {
        let slot = Footprint::RoundedRectangle {
            width: Length::mm(60.0),
            depth: Length::mm(20.0),
            radius: Length::mm(10.0),
        };
        assert_eq!(Kind::RoundedRectangle.made_from(&slot), slot);
    }
}

//! Stands a mesh on the platen: which way is up, which unit, lowest corner at zero.

use super::super::found::SourceUnit;
use super::solid::{Corner, Mesh};
use crate::geometry::{Point, Rect};
use crate::units::Length;

/// The direction of the file that points up from the platen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Up {
    /// +x.
    PlusX,
    /// -x.
    MinusX,
    /// +y.
    PlusY,
    /// -y.
    MinusY,
    /// +z, as most programs for printing have it.
    #[default]
    PlusZ,
    /// -z.
    MinusZ,
}

impl Up {
    /// All six, in the order they are offered.
    pub const ALL: [Self; 6] =
        [Self::PlusZ, Self::MinusZ, Self::PlusY, Self::MinusY, Self::PlusX, Self::MinusX];

    /// `+z` and so on.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::PlusX => "+x",
            Self::MinusX => "-x",
            Self::PlusY => "+y",
            Self::MinusY => "-y",
            Self::PlusZ => "+z",
            Self::MinusZ => "-z",
        }
    }

    /// The corner turned so that this direction is z; a turn, so nothing is mirrored.
    const fn turned(self, [x, y, z]: Corner) -> Corner {
        match self {
            Self::PlusZ => [x, y, z],
            Self::MinusZ => [x, -y, -z],
            Self::PlusY => [x, -z, y],
            Self::MinusY => [x, z, -y],
            Self::PlusX => [-z, y, x],
            Self::MinusX => [z, y, -x],
        }
    }
}

/// A mesh in millimetres on the platen: its lowest corner at height 0, the middle of its bounds at the origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    pub(super) mesh: Mesh,
    /// Its bounds from above.
    pub bounds: Rect,
    /// Its height.
    pub height: Length,
}

impl Standing {
    /// Turns, scales and moves a mesh. A mesh without triangles stands as nothing. Cost: linear.
    #[must_use]
    pub fn new(mesh: Mesh, up: Up, unit: SourceUnit) -> Self {
        let mm = unit.length().to_mm();
        let mut mesh = mesh;
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for corner in &mut mesh.corners {
            *corner = up.turned(*corner).map(|value| value * mm);
            low = [0, 1, 2].map(|k| low[k].min(corner[k]));
            high = [0, 1, 2].map(|k| high[k].max(corner[k]));
        }
        if mesh.corners.is_empty() {
            (low, high) = ([0.0; 3], [0.0; 3]);
        }
        let middle = [0, 1].map(|k| f64::midpoint(low[k], high[k]));
        for corner in &mut mesh.corners {
            *corner = [corner[0] - middle[0], corner[1] - middle[1], corner[2] - low[2]];
        }
        let half = Point::new((high[0] - low[0]) / 2.0, (high[1] - low[1]) / 2.0);
        Self {
            mesh,
            bounds: Rect::new(Point::new(-half.x, -half.y), half),
            height: Length::mm(high[2] - low[2]),
        }
    }

    /// True when the size is not that of a mold: a wrong unit, as a rule.
    ///
    /// Molds for bench formers are from some millimetres to under a metre (common practice).
    #[must_use]
    pub fn is_odd_size(&self) -> bool {
        let longest = self.bounds.width().max(self.bounds.depth()).max(self.height);
        longest < Length::mm(5.0) || longest > Length::mm(1000.0)
    }
}

//! One thing the rules say about a layout: data first, words on demand.

use crate::geometry::Point;
use crate::plan::{MoldId, PlacementId};
use crate::units::{Angle, Length};

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// The pull may come out badly.
    Caution,
    /// Do not heat this sheet.
    Stop,
}

impl Severity {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Stop => "stop",
        }
    }
}

/// Which rule speaks; one variant a file of this room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// An outline that is no outline: open, empty or crossing itself.
    Footprint,
    /// Two molds share a place.
    Overlap,
    /// Two molds stand closer than their clearance.
    Clearance,
    /// A mold reaches under the clamp or off the blank.
    Opening,
    /// A mold stands off the platen, where there is no vacuum.
    Platen,
    /// A mold stands closer to the clamp than the edge rule.
    Edge,
    /// A mold is taller than the machine clears.
    Tall,
    /// More copies stand on the blank than exist.
    Copies,
    /// A wall is steeper than the plastic releases from.
    Draft,
    /// A mold is deep for its width.
    HeightToWidth,
    /// The sheet's grain shows, or is lost.
    Texture,
    /// The gauge draws down too far.
    Gauge,
}

impl Rule {
    /// All rules, in the order they are asked.
    pub const ALL: [Self; 12] = [
        Self::Footprint,
        Self::Overlap,
        Self::Clearance,
        Self::Opening,
        Self::Platen,
        Self::Edge,
        Self::Tall,
        Self::Copies,
        Self::Draft,
        Self::HeightToWidth,
        Self::Texture,
        Self::Gauge,
    ];

    /// What the page calls it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Footprint => "footprint",
            Self::Overlap => "overlap",
            Self::Clearance => "clearance",
            Self::Opening => "opening",
            Self::Platen => "platen",
            Self::Edge => "edge",
            Self::Tall => "height",
            Self::Copies => "copies",
            Self::Draft => "draft",
            Self::HeightToWidth => "height to width",
            Self::Texture => "texture",
            Self::Gauge => "gauge",
        }
    }
}

/// What a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A mold wherever it stands.
    Mold(MoldId),
    /// A mold standing on the blank.
    Placement(PlacementId),
    /// The sheet.
    Stock,
}

/// Where on the blank a finding is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Place {
    /// At one point.
    Point(Point),
    /// Across a gap, from one nearest point to the other.
    Gap(Point, Point),
}

/// A measured or allowed value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// A distance, a height or a gauge.
    Length(Length),
    /// An angle.
    Angle(Angle),
    /// A plain ratio.
    Ratio(f64),
    /// A count.
    Count(u32),
}

/// One thing the rules say about a layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Which rule speaks.
    pub rule: Rule,
    /// How much it matters.
    pub severity: Severity,
    /// What it is about, in id order.
    pub subjects: Vec<Subject>,
    /// Where on the blank, when it is somewhere.
    pub place: Option<Place>,
    /// What was measured.
    pub measured: Option<Measure>,
    /// What the rule allows.
    pub allowed: Option<Measure>,
}

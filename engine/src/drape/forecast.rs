//! What a forecast holds: the formed sheet, its map from above, and what is to be said of each mold.

use std::collections::BTreeMap;

use super::Mode;
use super::map::Map;
use crate::geometry::{HeightField, Point};
use crate::plan::PlacementId;
use crate::rules::Severity;
use crate::units::{Area, Length};

/// What the sheet has landed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Contact {
    /// Nothing: it hangs free.
    Nothing,
    /// The clamp holds it.
    Clamp,
    /// The platen.
    Platen,
    /// A mold, or the spacer under it.
    Mold(PlacementId),
}

/// The formed sheet as a net of triangles, in the coordinates of the blank, heights from the platen; millimetres.
///
/// All lists about nodes are as long as `positions`. Triangles turn counter-clockwise as seen from above before they
/// are drawn.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Sheet {
    /// Where each node has come to: x, y, height.
    pub positions: Vec<[f32; 3]>,
    /// Three nodes each.
    pub triangles: Vec<[u32; 3]>,
    /// What is left of the gauge at each node, 1 for all of it.
    pub thickness: Vec<f32>,
    /// The share of its width that the sheet must lose in folds at each node, 0 for none.
    pub surplus: Vec<f32>,
    /// What each node has landed on.
    pub contact: Vec<Contact>,
}

/// Why the sheet is thinnest where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Just below a top edge, which holds the sheet while the wall is drawn.
    TopEdge,
    /// On a wall.
    Wall,
    /// At the foot of a wall, which is reached last.
    Foot,
    /// Between this mold and that one.
    Between(PlacementId),
    /// On the skirt between mold and clamp.
    BesideClamp,
    /// On the floor of a cavity or in its lower corner.
    Floor,
    /// On top of a mold.
    Top,
    /// On the open bed.
    Bed,
}

/// A place on the sheet and how thin it is there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Seen from above, in the coordinates of the blank.
    pub at: Point,
    /// Above the platen.
    pub height: Length,
    /// What is left of the gauge, over a patch of sheet that was about 14 mm across.
    pub ratio: f64,
    /// Why there.
    pub why: Why,
}

/// What the sheet does over one mold: on its surface and on the trim allowance around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverMold {
    /// Where it is thinnest.
    pub thinnest: Spot,
    /// What is left of the gauge on average, by volume over surface.
    pub mean: f64,
    /// The share of the sheet there that has landed.
    pub landed: f64,
}

/// What makes a web.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WebKind {
    /// Surplus sheet, pushed together, must fold.
    Fold,
    /// The sheet hangs high over a narrow gap between two molds before the vacuum draws: too much has to come down there.
    Span,
}

/// A web: surplus sheet that folds, or sheet that hangs from mold to mold.
#[derive(Clone, Debug, PartialEq)]
pub struct Web {
    /// What makes it.
    pub kind: WebKind,
    /// Where it is worst.
    pub at: Point,
    /// How far it reaches, seen from above.
    pub extent: Length,
    /// How bad it is, from 0 to 1: of a fold the share of its width that the sheet loses, of a span the share of the
    /// room that is missing: it wants twice the height at which the sheet hangs midway.
    pub measure: f64,
    /// The surface that must fold away, or that hangs over the gap.
    pub surface: Area,
    /// How likely it is to show.
    pub severity: Severity,
    /// The molds it stands at, the nearest first, two at most; none on the open bed.
    pub molds: Vec<PlacementId>,
}

impl Web {
    /// How high it stands when all its surplus is in one fold along the whole of it.
    #[must_use]
    pub fn stands(&self) -> Length {
        Length::mm(self.surface.to_mm2() / (2.0 * self.extent.to_mm()).max(1e-9))
    }
}

/// A corner that the sheet bridges instead of filling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bridge {
    /// Where the sheet stands off farthest.
    pub at: Point,
    /// How far it is from the nearest surface there.
    pub gap: Length,
    /// How much of the plan it covers.
    pub covers: Area,
    /// The mold it belongs to; none on the open bed and outside of a cavity, where it is waste.
    pub mold: Option<PlacementId>,
}

/// How the sheet drapes over a pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// What the sheet was taken for.
    pub mode: Mode,
    /// The width of the net as computed: what was asked for, made to divide the opening.
    pub mesh: Length,
    /// The gauge that all ratios are shares of.
    pub gauge: Length,
    /// The formed sheet.
    pub sheet: Sheet,
    /// The thickness as seen from above.
    pub map: Map,
    /// Molds, spacers and platen below the opening: what the sheet was drawn to.
    pub ground: HeightField,
    /// Each mold that stands in the pull and has sheet over it.
    pub molds: BTreeMap<PlacementId, OverMold>,
    /// The thinnest place of all, waste included.
    pub thinnest: Spot,
    /// Webs, the worst first.
    pub webs: Vec<Web>,
    /// Corners not filled, the widest first.
    pub bridges: Vec<Bridge>,
    /// The share of the blank's plastic found again in the formed sheet: 1, but for rounding.
    pub plastic: f64,
    /// The largest share of the room that is missing between two molds, see [`Web::measure`]: 0 when none is. A figure
    /// to rank the spacing of layouts by; it can only rise with height and fall with room, and is the same on every net.
    pub web_index: f64,
    /// The surface of all surplus sheet together.
    pub folded: Area,
    /// Steps that were computed.
    pub steps: u64,
}

impl Forecast {
    /// A share of the gauge as a thickness.
    #[must_use]
    pub fn thickness(&self, ratio: f64) -> Length {
        self.gauge * ratio
    }

    /// The thinnest place over any mold, which is what a maker keeps; none where no mold stands.
    #[must_use]
    pub fn thinnest_kept(&self) -> Option<(PlacementId, Spot)> {
        let spots = self.molds.iter().map(|(&id, over)| (id, over.thinnest));
        spots.min_by(|a, b| a.1.ratio.total_cmp(&b.1.ratio))
    }
}

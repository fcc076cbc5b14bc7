//! The marks that a drawing is made of.

use crate::geometry::{Point, Rect, Region, Ring, Vec2};
use crate::rules::{Severity, Subject};
use crate::units::Length;

use super::lettering;

/// A flat list of marks in drawing order: later ones lie over earlier ones.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// The blank and everything that stands on it or beside it, without the lettering.
    pub bounds: Rect,
    /// The marks, in millimetres: x to the right, y away from the person.
    pub marks: Vec<Mark>,
}

/// One shape, what it means and what it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What it means.
    pub role: Role,
    /// The mold, placement or sheet it belongs to.
    pub subject: Option<Subject>,
    /// What it looks like.
    pub form: Form,
}

/// What a mark looks like, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// A closed outline with its holes.
    Region(Region),
    /// A straight line.
    Line(Point, Point),
    /// A line through several points, open at its ends.
    Polyline(Vec<Point>),
    /// One line of upright lettering in Helvetica.
    Text {
        /// Where the baseline begins, has its middle or ends, as the anchor says.
        at: Point,
        /// How high a capital letter is; see [`lettering::font_size`] for the size a font is asked for in.
        size: Length,
        /// Which part of the baseline stands at the place.
        anchor: Anchor,
        /// What it says; a name may hold any character.
        text: String,
    },
}

/// Which part of a line of lettering stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The beginning.
    Start,
    /// The middle.
    Middle,
    /// The end.
    End,
}

/// What a mark means, lowest in the drawing first. The first group lies on a stock sheet or in a map, the second on the
/// blank, the third on the paper round it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// A sheet of stock or an offcut that is cut up.
    Sheet,
    /// A blank in it.
    CutBlank,
    /// What is left over of it.
    Offcut,
    /// A cut.
    Score,
    /// The number of the step that a cut belongs to.
    CutNumber,
    /// How far a cut is from the edge it is measured from: a line, a tick or a figure.
    Dimension,
    /// A step of a scale from 0, the least, to 9, the most.
    Share(u8),
    /// A line or tick along the edge of a map.
    Axis,
    /// What is better than all about it in a map, or its number.
    Peak,

    /// The strip under the clamp frame: the blank with the opening as its hole.
    ClampLip,
    /// The edge of the platen.
    Platen,
    /// The middle of the blank, from edge to edge.
    CentreLine,
    /// The edge of the opening.
    Opening,
    /// The edge of the blank.
    Blank,
    /// The word at the edge nearest to the person.
    Front,
    /// What a mold that is being moved keeps free round itself.
    ClearanceZone,
    /// Where the formed part is trimmed.
    TrimLine,
    /// A locating corner: a piece to cut out, against which a mold is set.
    Corner,
    /// A mold's footprint.
    Mold,
    /// The sheet as it drapes, from the side.
    FormedSheet,
    /// The middle of a mold.
    CentreCross,
    /// An arrow out of the mold's front, the side that faces the person when it is not turned.
    TurnMark,
    /// The number of a placement.
    Number,
    /// A mold's name and copy.
    Name,
    /// How tall a mold stands.
    Height,
    /// How far a mold is turned.
    Turn,
    /// The shortest way between two outlines.
    Gap,
    /// How long a gap is.
    GapFigure,
    /// Where a rule has something to say.
    FindingMark(Severity),

    /// The edge of the drawn part of a sheet.
    TileEdge,
    /// Where a sheet is cut before it is laid over its neighbour.
    CutLine,
    /// A mark that two sheets share, or its letter.
    MatchMark,
    /// A bar of known length, or a tick on it.
    CheckBar,
    /// How long a bar is.
    CheckFigure,
    /// This sheet in the map of all sheets.
    MapHere,
    /// A sheet in the map.
    MapTile,
    /// A sheet that is not printed, crossed out in the map.
    MapSkipped,
    /// An outline in a small picture of the layout, which is not to scale.
    Picture,
    /// The head of a page, or a sheet's letter and number.
    Title,
    /// Running words.
    Note,
    /// A line between words, or to write on.
    Rule,
    /// A box to tick.
    TickBox,
    /// A mark that photographs are measured by.
    PhotoMark,
}

impl Mark {
    /// A mark that belongs to nothing in particular.
    #[must_use]
    pub const fn new(role: Role, form: Form) -> Self {
        Self { role, subject: None, form }
    }

    /// The same mark, belonging to `subject`.
    #[must_use]
    pub fn of(self, subject: Subject) -> Self {
        Self { subject: Some(subject), ..self }
    }

    /// The same mark moved by `by`.
    #[must_use]
    pub fn moved(&self, by: Vec2) -> Self {
        Self { form: self.form.mapped(|p| p + by), ..*self }
    }
}

impl Form {
    /// A line of lettering.
    #[must_use]
    pub fn text(at: Point, size: Length, anchor: Anchor, text: impl Into<String>) -> Self {
        Self::Text { at, size, anchor, text: text.into() }
    }

    /// An upright rectangle.
    #[must_use]
    pub fn rect(rect: Rect) -> Self {
        Self::Region(Region { outer: Ring::new(rect.corners().to_vec()), holes: Vec::new() })
    }

    /// The same form with every point mapped; lettering keeps its size.
    #[must_use]
    pub fn mapped(&self, map: impl Fn(Point) -> Point) -> Self {
        let ring = |ring: &Ring| Ring::new(ring.points().iter().map(|&p| map(p)).collect());
        match self {
            Self::Region(region) => Self::Region(Region {
                outer: ring(&region.outer),
                holes: region.holes.iter().map(ring).collect(),
            }),
            Self::Line(a, b) => Self::Line(map(*a), map(*b)),
            Self::Polyline(points) => Self::Polyline(points.iter().map(|&p| map(p)).collect()),
            Self::Text { at, size, anchor, text } => {
                Self::Text { at: map(*at), size: *size, anchor: *anchor, text: text.clone() }
            }
        }
    }

    /// The smallest upright rectangle round it, lettering measured in Helvetica; `None` when it is empty.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        match self {
            Self::Region(region) => region.bounds(),
            Self::Line(a, b) => Some(Rect::new(*a, *b)),
            Self::Polyline(points) => Rect::around(points.iter().copied()),
            Self::Text { at, size, anchor, text } => {
                Some(lettering::bounds(*at, *size, *anchor, text))
            }
        }
    }
}

//! Version 1 of the saved form: the shapes of its JSON, apart from the model so that the model can change.
//!
//! Released; never change what it writes or accepts. A new key is a new version.

pub(super) mod angle;
mod read;
mod write;

use serde::{Deserialize, Serialize};

use super::object::objects;
use super::words;
pub(super) use read::{TwoAngles, one_angle};

/// A plan of Onepull: one machine, one stock sheet, the molds at hand and the pulls laid out with them.
///
/// Lengths are millimetres (`_mm`), angles degrees counter-clockwise (`_deg`), places are measured from the
/// blank's front left corner: x to the right, y away from the person.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(super) struct Plan {
    /// The version of this form.
    onepull: u32,
    /// What the plan is called.
    name: String,
    /// The former the blank is clamped in.
    machine: Machine,
    /// The sheet that blanks are cut from.
    stock: Stock,
    /// The rules in force and how lengths are shown.
    settings: Settings,
    /// The molds at hand; each id stands once.
    molds: Vec<Mold>,
    /// The layouts, one a forming cycle; each id stands once.
    pulls: Vec<Pull>,
}

/// The width (left to right) and the depth (front to back) of a sheet.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Size {
    /// Left to right.
    width_mm: f64,
    /// Front to back.
    depth_mm: f64,
}

/// A vacuum former, seen from above.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Machine {
    /// The blank that the frame takes.
    blank: Size,
    /// The strip along each edge of the blank that the frame covers.
    lip: Lip,
    /// The perforated bed, in the blank's coordinates.
    platen: Platen,
    /// The tallest mold, spacer included, that clears the sheet and the heater.
    clears_mm: f64,
}

/// The clamp lip along each edge of the blank.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Lip {
    /// Along the edge nearest the person.
    front_mm: f64,
    /// Along the far edge.
    back_mm: f64,
    /// Along the left edge.
    left_mm: f64,
    /// Along the right edge.
    right_mm: f64,
}

/// Where the four edges of the platen lie, in the blank's coordinates.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Platen {
    /// The x of its left edge.
    left_mm: f64,
    /// The y of its front edge.
    front_mm: f64,
    /// The x of its right edge.
    right_mm: f64,
    /// The y of its back edge.
    back_mm: f64,
}

/// One plastic in one gauge, as whole sheets.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Stock {
    /// What the sheet is made of.
    plastic: words::Plastic,
    /// How thick it is.
    gauge_mm: f64,
    /// The whole sheet as bought.
    sheet: Size,
    /// Which face has a grain.
    texture: words::Texture,
    /// The protective film.
    film: words::Film,
    /// What a whole sheet costs, in hundredths of the user's currency; left out when unknown.
    #[serde(skip_serializing_if = "Option::is_none")]
    price_hundredths: Option<u32>,
}

/// The rules in force and how lengths are shown.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Settings {
    /// Between molds.
    pub(in crate::file) clearance: Clearance,
    /// Between a mold and the edge of the opening.
    pub(in crate::file) edge: Edge,
    /// The largest height over width of a male mold.
    pub(in crate::file) male_height_to_width: f64,
    /// The largest depth over width of a female mold.
    pub(in crate::file) female_height_to_width: f64,
    /// How lengths are shown; the file itself is always in millimetres.
    pub(in crate::file) lengths: words::LengthStyle,
}

/// The least free distance between two molds.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Clearance {
    /// Times the height.
    factor: f64,
    /// Which of the two heights.
    basis: words::HeightBasis,
    /// The least gap whatever the heights.
    least_mm: f64,
}

/// The least free distance from a mold to the edge of the opening.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Edge {
    /// Times the height.
    factor: f64,
    /// The least margin whatever the height.
    least_mm: f64,
}

/// One mold, of which `copies` equal ones exist.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct Mold {
    /// Names the mold within the plan.
    id: u32,
    /// What it is called.
    name: String,
    /// Its outline on the platen.
    footprint: Footprint,
    /// Whether the sheet drapes outside it or draws into it.
    kind: words::MoldKind,
    /// How tall it is, or how deep its cavity.
    height_mm: f64,
    /// What it is raised by.
    spacer_mm: f64,
    /// Its shape above the footprint.
    relief: Relief,
    /// The least angle of its walls from vertical.
    draft_deg: f64,
    /// The same in radians; stands only where the degrees would lose the last bit.
    #[serde(skip_serializing_if = "Option::is_none")]
    draft_rad: Option<f64>,
    /// The turns a solver may give it.
    turns: words::Turns,
    /// How many equal ones exist.
    copies: u32,
    /// The plastic to be left round the footprint for trimming.
    trim_mm: f64,
}

/// The outline of a mold about its own centre.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(in crate::file) enum Footprint {
    /// A rectangle.
    Rectangle(Extent),
    /// A rectangle with round corners.
    RoundedRectangle(RoundedRectangle),
    /// A circle.
    Circle(Circle),
    /// An ellipse.
    Ellipse(Extent),
    /// A regular polygon.
    Polygon(Polygon),
    /// An outline corner by corner; its place does not matter, only its shape.
    Outline(Outline),
}

/// The width (left to right) and the depth (front to back) of a footprint.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Extent {
    /// Left to right.
    width_mm: f64,
    /// Front to back.
    depth_mm: f64,
}

/// A rectangle with round corners; a radius of half the shorter side makes a slot.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct RoundedRectangle {
    /// Left to right.
    width_mm: f64,
    /// Front to back.
    depth_mm: f64,
    /// Of each corner; at most half the shorter side.
    radius_mm: f64,
}

/// A circle.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Circle {
    /// Across.
    diameter_mm: f64,
}

/// A regular polygon with a side towards the person.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Polygon {
    /// How many sides.
    sides: u32,
    /// The diameter of the circle through its corners.
    diameter_mm: f64,
}

/// An outline corner by corner: the last is joined to the first without repeating it.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Outline {
    /// The outer outline, each corner as x and y.
    outer_mm: Vec<[f64; 2]>,
    /// The holes; may be empty.
    holes_mm: Vec<Vec<[f64; 2]>>,
}

/// A mold's shape above its footprint.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
enum Relief {
    /// Walls at the mold's draft up to a level top.
    FlatTop,
    /// A dome.
    Dome,
    /// Straight walls from the footprint to the same outline scaled.
    Taper(Taper),
}

/// Straight walls from the footprint to the same outline scaled by `top`.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Taper {
    /// The scale of the top, from 0 (a point) to 1.
    pub(in crate::file) top: f64,
}

/// One blank and its layout.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Pull {
    /// Names the pull within the plan.
    pub(in crate::file) id: u32,
    /// What it is called.
    pub(in crate::file) name: String,
    /// What stands on the blank; each id stands once in its pull.
    pub(in crate::file) placements: Vec<Placement>,
}

/// One mold standing on the blank.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Placement {
    /// Names the placement within its pull.
    id: u32,
    /// The id of the mold.
    mold: u32,
    /// Which of its equal copies, from 1.
    copy: u32,
    /// Where the middle of the mold's upright bounds stands, to the right.
    x_mm: f64,
    /// The same, away from the person.
    y_mm: f64,
    /// How far the mold is turned, counter-clockwise.
    turn_deg: f64,
    /// The same in radians; stands only where the degrees would lose the last bit.
    #[serde(skip_serializing_if = "Option::is_none")]
    turn_rad: Option<f64>,
    /// True when nothing may move it.
    locked: bool,
}

objects! {
    Plan, Size, Machine, Lip, Platen, Stock, Settings, Clearance, Edge, Mold, RoundedRectangle, Circle, Polygon, Extent, Outline, Taper, Pull, Placement
}

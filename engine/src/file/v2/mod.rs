//! Version 2 of the saved form: version 1 with more reliefs and a least wall, which an older program would not know.
//!
//! A file of version 1 is of this form too, so one schema describes both. Released; never change what it writes or
//! accepts. A new key is a new version.

mod grid;
mod read;
mod write;

use serde::{Deserialize, Serialize};

use super::object::objects;
use super::{v1, words};
pub(super) use read::Unfit;

/// A plan of Onepull: one machine, one stock sheet, the molds at hand and the pulls laid out with them.
///
/// Lengths are millimetres (`_mm`), angles degrees counter-clockwise (`_deg`), places are measured from the
/// blank's front left corner: x to the right, y away from the person.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(super) struct Plan {
    /// The version of this form: 2, or 1 when nothing in the plan is newer.
    onepull: u32,
    /// What the plan is called.
    name: String,
    /// The former the blank is clamped in.
    machine: v1::Machine,
    /// The sheet that blanks are cut from.
    stock: v1::Stock,
    /// The rules in force and how lengths are shown.
    settings: Settings,
    /// The molds at hand; each id stands once.
    molds: Vec<Mold>,
    /// The layouts, one a forming cycle; each id stands once.
    pulls: Vec<v1::Pull>,
}

/// The rules in force and how lengths are shown.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Settings {
    /// Between molds.
    clearance: v1::Clearance,
    /// Between a mold and the edge of the opening.
    edge: v1::Edge,
    /// The largest height over width of a male mold.
    male_height_to_width: f64,
    /// The largest depth over width of a female mold.
    female_height_to_width: f64,
    /// The thinnest wall that is good enough anywhere on a mold; left out when none is asked for. Since version 2.
    #[serde(skip_serializing_if = "Option::is_none")]
    least_wall_mm: Option<f64>,
    /// How lengths are shown; the file itself is always in millimetres.
    lengths: words::LengthStyle,
}

/// One mold, of which `copies` equal ones exist.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Mold {
    /// Names the mold within the plan.
    id: u32,
    /// What it is called.
    name: String,
    /// Its outline on the platen.
    footprint: v1::Footprint,
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

/// A mold's shape above its footprint.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
enum Relief {
    /// Walls at the mold's draft up to a level top with a sharp edge.
    FlatTop,
    /// A dome.
    Dome,
    /// Straight walls from the footprint to the same outline scaled.
    Taper(v1::Taper),
    /// As flat-top, with a rounded edge. Since version 2.
    RoundedTop(RoundedTop),
    /// Walls at the mold's draft from ledge to ledge, up to a level top. Since version 2.
    Stepped(Stepped),
    /// Heights on a grid over the footprint's bounds. Since version 2.
    Heights(Heights),
}

/// A level top with a rounded edge.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct RoundedTop {
    /// The radius of the edge; its arc takes no more than the height.
    edge_mm: f64,
}

/// Ledges on the way up.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct Stepped {
    /// From the lowest ledge up.
    steps: Vec<Step>,
}

/// A ledge.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct Step {
    /// How high it lies; higher than the one before, lower than the mold.
    height_mm: f64,
    /// How far from the outline it ends and the next wall begins; not within the wall below.
    inset_mm: f64,
}

/// Heights of cells that part the footprint's upright bounds evenly.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct Heights {
    /// Cells from left to right.
    columns: u32,
    /// Cells from front to back.
    rows: u32,
    /// How tall the mold was that the cells were measured on; they are stretched to the mold's height.
    height_mm: f64,
    /// Base64 (RFC 4648) of raw deflate (RFC 1951) of two bytes for each cell, the low one first, in rows from front
    /// to back and each from left to right: its height in tenths of a millimetre, 0 where nothing stands, less
    /// that of the cell before it, modulo 65536.
    tenths: String,
}

objects! { Plan, Settings, Mold, RoundedTop, Stepped, Step, Heights }

//! Version 3 of the saved form: version 2 with the kits that are to be made and the way sheets are cut.
//!
//! A file of version 1 or 2 is of this form too, so one schema describes all. Released; never change what it writes or
//! accepts. A new key is a new version.

mod read;
mod write;

use serde::{Deserialize, Serialize};

use super::object::objects;
use super::{v1, v2, words};

/// A plan of Onepull: one machine, one stock sheet, the molds at hand and the pulls laid out with them.
///
/// Lengths are millimetres (`_mm`), angles degrees counter-clockwise (`_deg`), times seconds (`_s`), places are measured
/// from the blank's front left corner: x to the right, y away from the person.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(super) struct Plan {
    /// The version of this form: 3, or less when nothing in the plan is newer.
    onepull: u32,
    /// What the plan is called.
    name: String,
    /// The former the blank is clamped in.
    machine: v1::Machine,
    /// The sheet that blanks are cut from.
    stock: v1::Stock,
    /// The rules in force and how lengths are shown.
    settings: v2::Settings,
    /// The molds at hand; each id stands once.
    molds: Vec<v2::Mold>,
    /// The layouts, one a forming cycle; each id stands once.
    pulls: Vec<v1::Pull>,
    /// The kits that are to be made; left out when none were asked for. Since version 3.
    #[serde(skip_serializing_if = "Option::is_none")]
    batch: Option<Batch>,
    /// How sheets are cut into blanks; left out when nobody has chosen. Since version 3.
    #[serde(skip_serializing_if = "Option::is_none")]
    cutting: Option<Cutting>,
}

/// The kits that are to be made.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Batch {
    /// How many kits.
    kits: u32,
    /// How many more parts are made than the kits need, in percent.
    spares_percent: u32,
    /// What a kit holds; each mold stands once.
    parts: Vec<PartWanted>,
    /// Sheets besides the plan's own; each id stands once.
    stocks: Vec<ExtraStock>,
    /// What a pull takes of a maker's time.
    times: PullTimes,
    /// What an hour at the bench costs, in hundredths of the user's currency; left out when it does not count.
    #[serde(skip_serializing_if = "Option::is_none")]
    labour_hundredths: Option<u32>,
}

/// A part of a kit.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct PartWanted {
    /// The id of the mold it is made with.
    mold: u32,
    /// How many are in one kit.
    per_kit: u32,
    /// The id of the sheet it is pulled in; left out for the plan's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    stock: Option<u32>,
}

/// A sheet besides the plan's own.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct ExtraStock {
    /// Names the sheet within the batch.
    id: u32,
    /// Its colour; may be empty.
    colour: String,
    /// What it is.
    stock: v1::Stock,
}

/// What one pull takes, step by step.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct PullTimes {
    /// To peel the film and clamp the blank.
    load_s: f64,
    /// To heat it; left out for the usual time of the plastic and gauge.
    #[serde(skip_serializing_if = "Option::is_none")]
    heat_s: Option<f64>,
    /// To bring the frame down and draw.
    draw_s: f64,
    /// Until it is stiff enough to lift; left out for the usual time of the plastic and gauge.
    #[serde(skip_serializing_if = "Option::is_none")]
    cool_s: Option<f64>,
    /// To unclamp it and free the molds.
    unload_s: f64,
    /// To set the molds out for another layout.
    change_over_s: f64,
}

/// How sheets are cut into blanks.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(in crate::file) struct Cutting {
    /// Scored and snapped, or sawn.
    by: words::CutBy,
    /// What the saw takes away.
    kerf_mm: f64,
    /// How far a cut may stray; each blank is laid out larger by it.
    wander_mm: f64,
    /// The narrowest strip that can be snapped off; left out for that of the gauge.
    #[serde(skip_serializing_if = "Option::is_none")]
    least_strip_mm: Option<f64>,
    /// Whether blanks may lie either way on the sheet.
    may_turn: bool,
    /// How many blanks to cut; left out to fill one sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    blanks_wanted: Option<u32>,
    /// What is left of earlier sheets.
    offcuts: Vec<Offcut>,
}

/// Equal offcuts.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct Offcut {
    /// How large each is.
    size: v1::Size,
    /// How many there are.
    count: u32,
    /// The id of the sheet they come from; left out for the plan's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    stock: Option<u32>,
}

objects! { Plan, Batch, PartWanted, ExtraStock, PullTimes, Cutting, Offcut }

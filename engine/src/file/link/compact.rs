//! A plan with one pull in whole numbers: what a link packs.
//!
//! Lengths are micrometres, turns thousandths of a degree, factors thousandths, corners second differences of
//! 10 micrometres. `postcard` writes whole numbers in as few bytes as they need, and choices as their order.
//!
//! Version 1 of links has [`Relief`], version 2 has [`Relief2`] and ends with what is new in [`Plan2`]; all else is the
//! same. Released: never change what
//! either writes or accepts.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::outline::Differences;
use crate::file::words;

#[derive(Serialize, Deserialize)]
pub(super) struct Plan<R> {
    pub(super) name: String,
    pub(super) machine: Machine,
    pub(super) stock: Stock,
    pub(super) settings: Settings,
    pub(super) molds: Vec<Mold<R>>,
    pub(super) pull: Pull,
}

/// A plan of version 2: one as it was, and what is new.
#[derive(Serialize, Deserialize)]
pub(super) struct Plan2 {
    pub(super) plan: Plan<Relief2>,
    pub(super) least_wall: Option<i32>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct Machine {
    /// Width and depth.
    pub(super) blank: [i32; 2],
    /// Front, back, left and right.
    pub(super) lip: [i32; 4],
    /// Left, front, right and back edge.
    pub(super) platen: [i32; 4],
    pub(super) clears: i32,
}

#[derive(Serialize, Deserialize)]
pub(super) struct Stock {
    pub(super) plastic: words::Plastic,
    pub(super) gauge: i32,
    /// Width and depth.
    pub(super) sheet: [i32; 2],
    pub(super) texture: words::Texture,
    pub(super) film: words::Film,
    pub(super) price: Option<u32>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct Settings {
    /// Factor, basis and least.
    pub(super) clearance: (i32, words::HeightBasis, i32),
    /// Factor and least.
    pub(super) edge: (i32, i32),
    /// Male and female.
    pub(super) height_to_width: [i32; 2],
    pub(super) lengths: words::LengthStyle,
}

#[derive(Serialize, Deserialize)]
pub(super) struct Mold<R> {
    pub(super) id: u32,
    pub(super) name: String,
    pub(super) footprint: Footprint,
    pub(super) kind: words::MoldKind,
    pub(super) height: i32,
    pub(super) spacer: i32,
    pub(super) relief: R,
    pub(super) draft: i32,
    pub(super) turns: words::Turns,
    pub(super) copies: u32,
    pub(super) trim: i32,
}

#[derive(Serialize, Deserialize)]
pub(super) enum Footprint {
    /// Width and depth.
    Rectangle([i32; 2]),
    /// Width, depth and radius.
    RoundedRectangle([i32; 3]),
    /// Diameter.
    Circle(i32),
    /// Width and depth.
    Ellipse([i32; 2]),
    /// Sides and diameter.
    Polygon(u32, i32),
    /// Outer outline and holes.
    Outline(Differences, Vec<Differences>),
}

#[derive(Serialize, Deserialize)]
pub(super) enum Relief {
    FlatTop,
    Dome,
    /// Scale of the top.
    Taper(i32),
}

/// The reliefs of version 2, those of version 1 first.
#[derive(Serialize, Deserialize)]
pub(super) enum Relief2 {
    FlatTop,
    Dome,
    /// Scale of the top.
    Taper(i32),
    /// Radius of the edge.
    RoundedTop(i32),
    /// Height and inset of each step.
    Stepped(Vec<[i32; 2]>),
    Heights(Heights),
}

#[derive(Serialize, Deserialize)]
pub(super) struct Heights {
    pub(super) columns: u8,
    pub(super) rows: u8,
    pub(super) height: i32,
    /// Tenths of a millimetre, each less what its neighbours to the left and in front lead to.
    pub(super) rest: Vec<i32>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct Pull {
    pub(super) id: u32,
    pub(super) name: String,
    pub(super) placements: Vec<Placement>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct Placement {
    pub(super) id: u32,
    pub(super) mold: u32,
    pub(super) copy: u32,
    pub(super) at: [i32; 2],
    pub(super) turn: i32,
    pub(super) locked: bool,
}

pub(super) fn to_bytes(plan: &impl Serialize) -> Vec<u8> {
    postcard::to_allocvec(plan).expect("lists of known length always serialise")
}

/// `None` when the bytes are of something else, or more than one plan.
pub(super) fn from_bytes<T: DeserializeOwned>(bytes: &[u8]) -> Option<T> {
    let (plan, rest) = postcard::take_from_bytes(bytes).ok()?;
    rest.is_empty().then_some(plan)
}

//! Foreign files and photographs as they are asked about and told of: plain numbers and words.

use engine::objects;
use serde::{Deserialize, Serialize};

/// A drawing or a mesh to read; its bytes travel beside.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ReadFile {
    /// What the file is called.
    pub name: String,
    /// How many millimetres one unit of the file is, when the person says so.
    pub unit_mm: Option<f64>,
    /// Which direction of a mesh is up, such as `+z`.
    pub up: String,
    /// The draft that the walls of a mesh are held against, in degrees.
    pub least_draft: f64,
    /// Whether a mesh is to be pictured from all six sides too.
    pub has_sides: bool,
}

/// What was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct FileRead {
    /// The kind of file in words, such as `an SVG drawing`.
    pub kind: String,
    /// How many millimetres one unit of the file was taken for.
    pub unit_mm: f64,
    /// True when nothing says what a unit is.
    pub is_asked: bool,
    /// What could become molds, the largest first.
    pub shapes: Vec<Shape>,
    /// How many more outlines there are than a plan holds molds.
    pub n_more: usize,
    /// What could not be read or was changed in reading: a sentence each, with its place.
    pub problems: Vec<String>,
    /// What a mesh measures.
    pub mesh: Option<MeshTold>,
}

/// An outline that could become a mold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Shape {
    /// What the file calls it.
    pub name: String,
    /// Where in the file it stands.
    pub at: String,
    /// From left to right, in millimetres.
    pub width: f64,
    /// From front to back, in millimetres.
    pub depth: f64,
    /// How many holes it has.
    pub n_holes: usize,
    /// Its outlines, the outer one first: x and y in millimetres, y away from the person; coarse, to be looked at.
    pub picture: Vec<Vec<[f64; 2]>>,
    /// A plan in the saved form that holds nothing but the mold; `None` when it makes none.
    pub mold: Option<String>,
    /// What was done to make a mold of it, or why it makes none.
    pub says: Vec<String>,
}

/// What a mesh measures as it stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct MeshTold {
    /// How many triangles it has.
    pub n_triangles: usize,
    /// The draft that its walls were held against, in degrees.
    pub asked_draft: f64,
    /// Its height in millimetres.
    pub height: f64,
    /// The surface that the sheet has to cover, in square millimetres.
    pub formed: f64,
    /// The walls under the draft asked for, in square millimetres.
    pub steep: f64,
    /// The least draft among them in degrees.
    pub least: Option<f64>,
    /// The surface that the sheet would lock under, in square millimetres.
    pub undercut: f64,
    /// How much of the platen that hangs over, in square millimetres.
    pub hangs_over: f64,
    /// Where it is undercut, as rectangles: left, front, width and depth in millimetres.
    pub undercut_at: Vec<[f64; 4]>,
    /// Where its walls are under the draft asked for, as such rectangles.
    pub steep_at: Vec<[f64; 4]>,
    /// From all six sides, when that was asked for.
    pub sides: Vec<Side>,
}

/// A mesh as it would stand with another side up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Side {
    /// The direction that is up, such as `-y`.
    pub up: String,
    /// Its height then, in millimetres.
    pub height: f64,
    /// Its width then, in millimetres.
    pub width: f64,
    /// Its depth then, in millimetres.
    pub depth: f64,
    /// What it covers of the platen, as rectangles: left, front, width and depth in millimetres.
    pub covers: Vec<[f64; 4]>,
}

/// A paper that a mold lies on for its photograph.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PhotoPaper {
    /// ISO A4.
    A4,
    /// US Letter.
    Letter,
    /// Our photo card on A4: its corners are the middles of its marks.
    CardA4,
    /// Our photo card on Letter.
    CardLetter,
}

/// A photograph in which to find the paper; its pixels travel beside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FindPaper {
    /// Pixels in a row.
    pub width: u32,
    /// How many rows.
    pub height: u32,
}

/// The corners of a paper, in pixels from the top left: top left, top right, bottom right, bottom left; those of a card
/// as the card itself is read.
pub type Corners = [[f64; 2]; 4];

/// A paper that was found.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct PaperFound {
    /// Where its corners are.
    pub corners: Corners,
    /// Which card it is; `None` for a plain sheet, which does not say its size.
    pub card: Option<PhotoPaper>,
    /// How far its edges or marks stray from where they should be, in pixels.
    pub stray: f64,
}

/// A photograph to trace; its pixels travel beside.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TracePhoto {
    /// Pixels in a row.
    pub width: u32,
    /// How many rows.
    pub height: u32,
    /// What it lies on.
    pub paper: PhotoPaper,
    /// Where the paper's corners are.
    pub corners: Corners,
    /// How far what was found strayed, in pixels; none when a corner was set by hand.
    pub stray: Option<f64>,
    /// How much darker than paper a mold's edge is, from 0 to 1; found when left out.
    pub threshold: Option<f64>,
    /// What is to be taken for paper.
    pub strokes: Vec<Stroke>,
    /// Whether the paper is to be pictured straight from above too.
    pub has_picture: bool,
}

/// A stroke of a round brush over the paper.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Stroke {
    /// Where it passes, in millimetres from the lower left corner of the paper as the picture shows it.
    pub places: Vec<[f64; 2]>,
    /// Half the width of the brush, in millimetres.
    pub radius: f64,
}

/// What was traced; a picture of the paper travels beside, four bytes a pixel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct PhotoTraced {
    /// The outlines in millimetres from the lower left corner of the paper, the largest first.
    pub shapes: Vec<Shape>,
    /// The width and the depth of the paper as it lies, in millimetres.
    pub paper: [f64; 2],
    /// Pixels in a row and rows of the picture; none when it was not asked for.
    pub picture: Option<[u32; 2]>,
    /// The threshold that was used.
    pub threshold: f64,
    /// What an outline may be off by, in millimetres.
    pub error: f64,
    /// How far it was simplified at most, in millimetres.
    pub simplified: f64,
    /// The least and the greatest height of the camera over the paper, in millimetres.
    pub camera: [f64; 2],
    /// The place on the paper below the camera, in millimetres.
    pub below: [f64; 2],
    /// What was found to be wrong: a sentence each.
    pub problems: Vec<String>,
    /// The pixels of the picture.
    #[serde(skip)]
    pub pixels: Vec<u8>,
}

objects!(MeshTold, Shape, FileRead, Side, PaperFound, PhotoTraced);

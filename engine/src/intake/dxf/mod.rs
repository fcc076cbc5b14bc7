//! Reads a DXF drawing: every closed outline in its model space, in millimetres.
//!
//! The format is read by its group codes, as its published reference lists them (DXF reference, group codes in
//! numerical order and the chapters on entities, blocks and tables; from memory): a hundred codes of a text
//! format are less than any crate for it brings along, and a reader of our own can be bounded and tolerant.
//! Lines, arcs, circles, ellipses, polylines with bulges, splines and inserted blocks are drawn; anything else
//! is told. What lies above or below the plane is seen from above.

mod blocks;
mod codes;
mod curves;
mod draw;
mod file;
mod spline;

use super::found::{Found, Scale, SourceUnit};
use super::join::join;
use super::nest::nest;
use super::problem::{Place, Problems, Trouble};

/// The largest file read.
const MOST_BYTES: usize = 16 << 20;

/// Group codes read.
const MOST_CODES: usize = 2_000_000;

/// Corners drawn in all.
const MOST_CORNERS: usize = 400_000;

/// Entities drawn, each insertion of a block counted.
const MOST_ENTITIES: usize = 200_000;

/// The outlines of a DXF drawing; loose lines and arcs are joined into closed ones.
///
/// The drawing's `$INSUNITS` gives the scale. Without it the question is asked, and a unit is taken to be an inch
/// when `$MEASUREMENT` says English and a millimetre otherwise; `unit` answers it, and holds even when the
/// drawing says something else. Cost: about `n log n` in the file, quadratic in the count of closed lines (2000
/// at most).
#[must_use]
pub fn read_dxf(bytes: &[u8], unit: Option<SourceUnit>) -> Found {
    let mut problems = Problems::default();
    if bytes.len() > MOST_BYTES {
        let trouble = Trouble::TooLarge { bytes: bytes.len(), most: MOST_BYTES };
        problems.push(Place::File, trouble);
        return nothing(unit, problems);
    }
    if bytes.starts_with(b"AutoCAD Binary DXF") {
        let what = "it is in the binary form: save it as text".to_owned();
        problems.push(Place::File, Trouble::Unreadable { kind: "DXF", what });
        return nothing(unit, problems);
    }
    let text = String::from_utf8_lossy(bytes);
    let codes = codes::read(&text, &mut problems);
    let file = file::File::of(&codes, &mut problems);
    let scale = unit.map_or_else(|| file.scale, Scale::Known);
    let (lines, mut problems) = draw::draw(&file, scale.unit(), problems);
    let closed = join(lines, &mut problems);
    let outlines = nest(closed, &mut problems);
    if outlines.is_empty() {
        problems.push(Place::File, Trouble::NoOutline);
    }
    Found { outlines, problems: problems.into_list(), scale }
}

fn nothing(unit: Option<SourceUnit>, problems: Problems) -> Found {
    let scale = unit.map_or(Scale::Asked(SourceUnit::Millimetre), Scale::Known);
    Found { outlines: Vec::new(), problems: problems.into_list(), scale }
}

#[cfg(test)]
mod tests;

//! Reads an SVG drawing: every closed outline that it shows, in millimetres.
//!
//! Shapes, paths, groups, `use`, nested transforms, view boxes and units are followed as the standard says (SVG 1.1
//! second edition and SVG 2); style sheets, clipping, masks and markers are told and not applied. The XML is read
//! by `roxmltree` and values by `svgtypes`.

mod document;
mod fit;
mod path;
mod shapes;
mod style;
mod walk;

use super::found::{Found, Scale, SourceUnit};
use super::join::join;
use super::nest::nest;
use super::problem::{Place, Problems, Trouble};
use walk::Walk;

/// The largest file read.
const MOST_BYTES: usize = 8 << 20;

/// Corners drawn in all.
const MOST_CORNERS: usize = 400_000;

/// Elements visited, each use of one counted.
const MOST_ELEMENTS: usize = 100_000;

/// The outlines of an SVG drawing.
///
/// A drawing whose `width` or `height` has a physical unit has a known scale. Of any other the question is asked
/// and a user unit is taken to be a CSS pixel; `unit` answers it, as the length of one unit of the outermost view
/// box, and holds even when the drawing says something else. Cost: linear in the file, quadratic in the count of
/// closed lines (2000 at most).
#[must_use]
pub fn read_svg(bytes: &[u8], unit: Option<SourceUnit>) -> Found {
    let mut problems = Problems::default();
    let nothing = |problems: Problems| Found {
        outlines: Vec::new(),
        problems: problems.into_list(),
        scale: unit.map_or(Scale::Asked(SourceUnit::Pixel), Scale::Known),
    };
    let Some(text) = document::text(bytes, &mut problems) else { return nothing(problems) };
    let document = match document::parse(&text) {
        Ok(document) => document,
        Err((line, what)) => {
            let trouble = Trouble::Unreadable { kind: "SVG", what };
            problems.push(Place::Line(line), trouble);
            return nothing(problems);
        }
    };
    let mut walk = Walk::new(&document, &text, problems);
    let scale = walk.run(unit);
    let (lines, mut problems) = walk.finish();
    let closed = join(lines, &mut problems);
    let outlines = nest(closed, &mut problems);
    if outlines.is_empty() {
        problems.push(Place::File, Trouble::NoOutline);
    }
    Found { outlines, problems: problems.into_list(), scale }
}

#[cfg(test)]
mod tests;

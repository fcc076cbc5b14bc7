//! Outlines as SVG for a cutter: hairlines in true millimetres, one path a shape, nothing else.

use ::svg::Document;
use ::svg::node::element::Path;

use super::svg::{View, number};
use crate::drawing::{Drawing, Form, Role};

/// What a cutter takes for a line to follow: narrower than any beam or blade.
const HAIRLINE: f64 = 0.01;

/// The outlines of these roles as the text of an SVG file for a laser, a vinyl or a card cutter.
///
/// One closed path a shape with its holes as further outlines of the same path; no fill, no lettering, no groups and no
/// frame. **Units**: the page is the drawing's bounds in millimetres, so a sheet of the blank's size laid into the
/// machine's corner is cut where the molds stand; rounded to 0.001 mm.
#[must_use]
pub fn cutter(drawing: &Drawing, roles: &[Role]) -> String {
    let bounds = drawing.bounds;
    let (width, height) = (number(bounds.width().to_mm()), number(bounds.depth().to_mm()));
    let document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"));
    let view = View { height: bounds.depth().to_mm() };
    let shapes = drawing.marks.iter().filter(|mark| roles.contains(&mark.role));
    let document = shapes.fold(document, |document, mark| {
        let Form::Region(_) = &mark.form else { return document };
        let form = mark.form.mapped(|p| p - bounds.min.to_vec2());
        let path = Path::new().set("d", view.data(&form)).set("fill", "none");
        document.add(path.set("stroke", "#000").set("stroke-width", HAIRLINE))
    });
    format!("{document}\n")
}

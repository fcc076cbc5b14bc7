//! A page as SVG: millimetres all through, attributes only, nothing referred to outside the file.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use ::svg::Document;
use ::svg::node::element::{ClipPath, Group, Path, Rectangle, Text};

use super::ink::{Grey, Ink, ink};
use crate::drawing::{Anchor, Form, Mark, Role, lettering};
use crate::geometry::{Point, Rect, Ring};
use crate::template::{Layer, Page};

/// The page as the text of an SVG file.
///
/// **Units**: width, height and view box are the page's millimetres, so a length in the file is the length on
/// paper; rounded to 0.001 mm. **Shapes**: no transforms, one group a role and layer, names escaped.
#[must_use]
pub fn svg(page: &Page) -> String {
    let (width, height) = (number(page.width.to_mm()), number(page.height.to_mm()));
    let mut document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .set("font-family", "Helvetica, Arial, sans-serif")
        .set("stroke-linejoin", "round");
    let view = View { height: page.height.to_mm() };
    for (n, layer) in page.layers.iter().enumerate() {
        if let Some(window) = layer.window {
            let clip = ClipPath::new().set("id", clip_id(n)).add(view.rectangle(window));
            document = document.add(clip);
        }
        document = document.add(view.layer(layer, n));
    }
    format!("{document}\n")
}

fn clip_id(n: usize) -> String {
    format!("window-{}", n + 1)
}

/// Turns the page, whose y goes up, into the file, whose y goes down.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    pub(super) height: f64,
}

impl View {
    fn layer(self, layer: &Layer, n: usize) -> Group {
        let mut by_role: BTreeMap<Role, Vec<&Mark>> = BTreeMap::new();
        for mark in &layer.marks {
            by_role.entry(mark.role).or_default().push(mark);
        }
        let mut group = Group::new().set("id", format!("layer-{}", n + 1));
        if layer.window.is_some() {
            group = group.set("clip-path", format!("url(#{})", clip_id(n)));
        }
        for (role, marks) in by_role {
            group = group.add(self.role_group(role, &marks).set("id", role_id(role, n)));
        }
        group
    }

    fn role_group(self, role: Role, marks: &[&Mark]) -> Group {
        let Ink { stroke, fill } = ink(role);
        let mut group = Group::new().set("fill", fill.map_or("none".to_owned(), grey));
        match stroke {
            None => group = group.set("stroke", "none"),
            Some(stroke) => {
                group = group
                    .set("stroke", grey(stroke.grey))
                    .set("stroke-width", number(stroke.width));
                if !stroke.dash.is_empty() {
                    let dashes: Vec<String> = stroke.dash.iter().map(|&d| number(d)).collect();
                    group = group.set("stroke-dasharray", dashes.join(" "));
                }
            }
        }
        marks.iter().fold(group, |group, mark| match &mark.form {
            Form::Text { .. } => group.add(self.text(&mark.form)),
            Form::Region(_) | Form::Line(..) | Form::Polyline(_) => {
                group.add(self.path(&mark.form))
            }
        })
    }

    fn path(self, form: &Form) -> Path {
        Path::new().set("d", self.data(form))
    }

    /// The lines of a form as the data of a path.
    pub(super) fn data(self, form: &Form) -> String {
        let mut data = String::new();
        match form {
            Form::Region(region) => {
                for ring in region.rings() {
                    self.ring(&mut data, ring);
                }
            }
            Form::Line(a, b) => self.run(&mut data, &[*a, *b]),
            Form::Polyline(points) => self.run(&mut data, points),
            Form::Text { .. } => {}
        }
        data
    }

    fn ring(self, data: &mut String, ring: &Ring) {
        self.run(data, ring.points());
        if !ring.points().is_empty() {
            data.push('Z');
        }
    }

    fn run(self, data: &mut String, points: &[Point]) {
        for (n, p) in points.iter().enumerate() {
            data.push(if n == 0 { 'M' } else { 'L' });
            // Writing to a string cannot fail.
            let _ = write!(data, "{} {}", number(p.x), number(self.height - p.y));
        }
    }

    fn text(self, form: &Form) -> Text {
        let Form::Text { at, size, anchor, text } = form else { return Text::new("") };
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        Text::new(text.chars().filter(|&c| is_xml(c)).collect::<String>())
            .set("x", number(at.x))
            .set("y", number(self.height - at.y))
            .set("font-size", number(lettering::font_size(*size).to_mm()))
            .set("text-anchor", anchor)
            .set("fill", "#000")
            .set("stroke", "none")
    }

    fn rectangle(self, rect: Rect) -> Rectangle {
        Rectangle::new()
            .set("x", number(rect.min.x))
            .set("y", number(self.height - rect.max.y))
            .set("width", number(rect.width().to_mm()))
            .set("height", number(rect.depth().to_mm()))
    }
}

/// Characters that XML 1.0 allows (W3C, Extensible Markup Language 1.0, fifth edition, production 2).
const fn is_xml(c: char) -> bool {
    matches!(c, '\t' | '\n' | '\r' | '\u{20}'..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..)
}

/// `mold-1` for the molds of the first layer.
fn role_id(role: Role, n: usize) -> String {
    let words = format!("{role:?}");
    let mut id = String::new();
    for c in words.chars().filter(char::is_ascii_alphanumeric) {
        if c.is_ascii_uppercase() && !id.is_empty() {
            id.push('-');
        }
        id.push(c.to_ascii_lowercase());
    }
    format!("{id}-{}", n + 1)
}

/// A shade as `#rrggbb`.
fn grey(shade: Grey) -> String {
    let level = libm::round(shade.clamp(0.0, 1.0) * 255.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 0 to 255"
    )]
    let level = level as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}

/// A number to 0.001 without trailing zeros.
pub(super) fn number(value: f64) -> String {
    let rounded = libm::round(value * 1000.0) / 1000.0;
    // Adding zero turns minus zero into zero.
    format!("{}", rounded + 0.0)
}

//! Words and drawings as markup for the page: roles become classes, so that the page's own colours hold in either theme.
//!
//! What is told of cutting and heat is figures and the engine's own words; nothing that a user wrote is among it.

use std::fmt::Write as _;

use engine::drawing::{Anchor, Drawing, Form, Role, lettering};
use engine::geometry::{Point, Ring};

/// An element with a class that holds words.
pub(super) fn element(tag: &str, class: &str, words: &str) -> String {
    format!("<{tag} class=\"{class}\">{}</{tag}>", escaped(words))
}

fn escaped(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// The drawing as an SVG element that fills the width it is given; `label` says what it shows.
#[must_use]
pub fn picture(drawing: &Drawing, label: &str) -> String {
    let bounds = drawing.bounds;
    let (width, height) = (bounds.width().to_mm(), bounds.depth().to_mm());
    let mut out = format!(
        "<svg class=\"picture\" role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {width:.1} {height:.1}\">",
        escaped(label).replace('"', "&quot;")
    );
    let map = |p: Point| (p.x - bounds.min.x, bounds.max.y - p.y);
    let mut path = String::new();
    for (n, mark) in drawing.marks.iter().enumerate() {
        // Writing into a string cannot fail.
        let _ = match &mark.form {
            Form::Text { at, size, anchor, text } => {
                let (x, y) = map(*at);
                let anchor = match anchor {
                    Anchor::Start => "start",
                    Anchor::Middle => "middle",
                    Anchor::End => "end",
                };
                let size = lettering::font_size(*size).to_mm();
                let class = class(mark.role);
                write!(
                    out,
                    "<text class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\" font-size=\"{size:.1}\" text-anchor=\"{anchor}\">{}</text>",
                    escaped(text)
                )
            }
            form => {
                add(&mut path, form, &map);
                // Shapes of one role that follow each other are one path.
                let next = drawing.marks.get(n + 1);
                let goes_on = next.is_some_and(|next| {
                    next.role == mark.role && !matches!(next.form, Form::Text { .. })
                });
                if goes_on {
                    continue;
                }
                let data = std::mem::take(&mut path);
                write!(out, "<path class=\"{}\" d=\"{data}\"/>", class(mark.role))
            }
        };
    }
    out.push_str("</svg>");
    out
}

fn add(data: &mut String, form: &Form, map: &dyn Fn(Point) -> (f64, f64)) {
    let mut run = |points: &[Point], is_closed: bool| {
        for (n, &p) in points.iter().enumerate() {
            let (x, y) = map(p);
            let _ = write!(data, "{}{x:.1} {y:.1}", if n == 0 { 'M' } else { 'L' });
        }
        if is_closed {
            data.push('Z');
        }
    };
    match form {
        Form::Region(region) => region.rings().map(Ring::points).for_each(|ring| run(ring, true)),
        Form::Line(a, b) => run(&[*a, *b], false),
        Form::Polyline(points) => run(points, false),
        Form::Text { .. } => {}
    }
}

fn class(role: Role) -> String {
    match role {
        Role::Sheet => "pic-sheet",
        Role::CutBlank => "pic-blank",
        Role::Offcut => "pic-offcut",
        Role::Score => "pic-score",
        Role::CutNumber => "pic-step",
        Role::Dimension => "pic-dimension",
        Role::Axis => "pic-axis",
        Role::Peak => "pic-peak",
        Role::CentreCross => "pic-here",
        Role::Mold => "pic-mold",
        Role::ClampLip => "pic-clamp",
        Role::Platen => "pic-bed",
        Role::Opening => "pic-edge",
        Role::CentreLine => "pic-guide",
        Role::FormedSheet => "pic-formed",
        Role::FindingMark(severity) => return format!("pic-wrong pic-{}", severity.word()),
        Role::Share(step) => return format!("pic-share pic-share-{step}"),
        _ => "pic-words",
    }
    .to_owned()
}

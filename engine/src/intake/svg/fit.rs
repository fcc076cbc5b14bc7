//! View boxes: how a drawing's own coordinates fit the place it is shown in; and transform lists.

use std::str::FromStr;

use roxmltree::Node;
use svgtypes::{Align, AspectRatio, TransformListParser, TransformListToken, ViewBox};

use super::super::affine::Affine;
use super::super::found::{Scale, SourceUnit};
use super::style::{PIXELS_PER_INCH, is_physical, to_user};
use crate::geometry::{Rect, Vec2};
use crate::units::{Angle, Length};

/// The map from a view box into a rectangle (SVG 2, section 8.2).
pub(super) fn view_box(view: ViewBox, into: Rect, aspect: AspectRatio) -> Affine {
    let (width, height) = (into.width().to_mm(), into.depth().to_mm());
    let (x, y) = (width / view.w, height / view.h);
    let (x, y) = match (aspect.align, aspect.slice) {
        (Align::None, _) => (x, y),
        (_, false) => (x.min(y), x.min(y)),
        (_, true) => (x.max(y), x.max(y)),
    };
    let (left, top) = shares(aspect.align);
    let at = Vec2::new(
        into.min.x - view.x * x + (width - view.w * x) * left,
        into.min.y - view.y * y + (height - view.h * y) * top,
    );
    Affine { at, ..Affine::scale(x, y) }
}

/// The shares of the free room that go to the left and to the top.
const fn shares(align: Align) -> (f64, f64) {
    match align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    }
}

/// The view box of an element, when it has a usable one.
pub(super) fn view_box_of(node: Node<'_, '_>) -> Option<ViewBox> {
    let view = ViewBox::from_str(node.attribute("viewBox")?).ok()?;
    let is_finite = [view.x, view.y, view.w, view.h].iter().all(|value| value.is_finite());
    (is_finite && view.w > 0.0 && view.h > 0.0).then_some(view)
}

pub(super) fn aspect_of(node: Node<'_, '_>) -> AspectRatio {
    let told =
        node.attribute("preserveAspectRatio").and_then(|text| AspectRatio::from_str(text).ok());
    told.unwrap_or_default()
}

/// The outermost element: the map from its user units to millimetres with y away from the person, the size of
/// its viewport in user units, and the scale.
pub(super) fn outermost(svg: Node<'_, '_>, unit: Option<SourceUnit>) -> (Affine, Vec2, Scale) {
    let view = view_box_of(svg);
    let [width, height] = ["width", "height"].map(|name| svg.attribute(name));
    let size = |text: Option<&str>| text.filter(|t| !t.contains('%')).and_then(|t| to_user(t, 0.0));
    let sizes = [size(width), size(height)].map(|size| size.filter(|size| *size > 0.0));
    let own = view.map(|view| Vec2::new(view.w, view.h));
    let shown = match (sizes, own) {
        ([Some(w), Some(h)], _) => Vec2::new(w, h),
        ([Some(w), None], Some(own)) => Vec2::new(w, w * own.y / own.x),
        ([None, Some(h)], Some(own)) => Vec2::new(h * own.x / own.y, h),
        ([w, h], own) => own.unwrap_or(Vec2::new(w.unwrap_or(100.0), h.unwrap_or(100.0))),
    };
    let flip = |mm: f64| Affine::scale(mm, -mm);
    let pixel = Length::MM_PER_INCH / PIXELS_PER_INCH;
    let viewport = own.unwrap_or(shown);
    if let Some(unit) = unit {
        return (flip(unit.length().to_mm()), viewport, Scale::Known(unit));
    }
    let physical = [width, height].into_iter().flatten().find(|text| is_physical(text));
    let scale = match physical {
        Some(text) => Scale::Known(told_unit(text)),
        None => Scale::Asked(SourceUnit::Pixel),
    };
    let fitted = view.map_or(Affine::IDENTITY, |view| {
        let into =
            Rect::sized(crate::geometry::Point::ORIGIN, Length::mm(shown.x), Length::mm(shown.y));
        view_box(view, into, aspect_of(svg))
    });
    (flip(pixel).after(&fitted), viewport, scale)
}

/// The unit at the end of a length.
fn told_unit(text: &str) -> SourceUnit {
    let text = text.trim();
    let number = text.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    SourceUnit::from_sign(&text[number.len()..]).unwrap_or(SourceUnit::Millimetre)
}

/// The map of a transform list; `None` when it cannot be read to its end.
pub(super) fn transform(text: &str) -> Option<Affine> {
    let mut map = Affine::IDENTITY;
    for token in TransformListParser::from(text) {
        let next = match token.ok()? {
            TransformListToken::Matrix { a, b, c, d, e, f } => {
                Affine::new(Vec2::new(a, b), Vec2::new(c, d), Vec2::new(e, f))
            }
            TransformListToken::Translate { tx, ty } => Affine::shift(tx, ty),
            TransformListToken::Scale { sx, sy } => Affine::scale(sx, sy),
            TransformListToken::Rotate { angle } => Affine::turn(Angle::degrees(angle)),
            TransformListToken::SkewX { angle } => {
                let lean = Angle::degrees(angle).tan();
                Affine { y: Vec2::new(lean, 1.0), ..Affine::IDENTITY }
            }
            TransformListToken::SkewY { angle } => {
                let lean = Angle::degrees(angle).tan();
                Affine { x: Vec2::new(1.0, lean), ..Affine::IDENTITY }
            }
        };
        map = map.after(&next);
    }
    map.is_finite().then_some(map)
}

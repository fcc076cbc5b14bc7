//! A mold's footprint as a small picture in the list.

use std::fmt::Write as _;
use std::sync::Arc;

use engine::geometry::{Rect, Region, Ring};
use engine::plan::Mold;
use engine::units::Length;

use crate::reactive::prelude::*;

/// How far the picture may lie off the true outline: far below what is seen at this size.
const PICTURE: Length = Length::mm(0.05);

/// The footprint of a mold, seen from above.
#[component]
pub(super) fn MoldPicture(
    /// The mold.
    mold: Memo<Arc<Mold>>,
) -> impl IntoView {
    let region = memo(move |_| mold.with(|mold| region_for_picture(mold)));
    view! { <RegionPicture region/> }
}

/// An outline with its holes as a small picture.
#[component]
pub(in crate::panels) fn RegionPicture(
    /// The outline.
    region: Memo<Region>,
) -> impl IntoView {
    view! {
        <svg class="mold-picture" viewBox=move || region.with(view_box) aria-hidden="true">
            <path d=move || region.with(|region| path(region.rings())) fill-rule="evenodd"/>
        </svg>
    }
}

/// The footprint as finely as a small picture needs it.
pub(in crate::panels) fn region_for_picture(mold: &Mold) -> Region {
    mold.footprint.region(PICTURE)
}

/// A square round the region, with room for its line.
fn view_box(region: &Region) -> String {
    let bounds = region.bounds().unwrap_or_default();
    let side = bounds.width().max(bounds.depth()).max(Length::mm(0.1)).to_mm() * 1.12;
    let middle = bounds.center();
    format!("{:.2} {:.2} {side:.2} {side:.2}", middle.x - side / 2.0, -middle.y - side / 2.0)
}

/// Closed outlines as an SVG path, y downwards as SVG has it.
pub(in crate::panels) fn path<'a>(rings: impl Iterator<Item = &'a Ring>) -> String {
    let mut text = String::new();
    for ring in rings {
        for (at, point) in ring.points().iter().enumerate() {
            let verb = if at == 0 { 'M' } else { 'L' };
            // Writing to a string cannot fail.
            let _ = write!(text, "{verb}{:.3} {:.3}", point.x, -point.y);
        }
        text.push('Z');
    }
    text
}

/// A rectangle as a view box, y downwards.
pub(in crate::panels) fn box_of(rect: Rect) -> String {
    let (width, depth) = (rect.width().to_mm(), rect.depth().to_mm());
    format!("{:.3} {:.3} {width:.3} {depth:.3}", rect.min.x, -rect.max.y)
}

#[cfg(test)]
mod tests {
    use engine::geometry::Point;

    use super::*;

    #[test]
    fn outlines_are_drawn_with_y_down() {
        let ring =
            Ring::new(vec![Point::new(0.0, 0.0), Point::new(4.0, 0.0), Point::new(4.0, 3.0)]);
        assert_eq!(path([&ring].into_iter()), "M0.000 -0.000L4.000 -0.000L4.000 -3.000Z");
        let bounds = ring.bounds().expect("has bounds");
        assert_eq!(box_of(bounds), "0.000 -3.000 4.000 3.000");
    }
}

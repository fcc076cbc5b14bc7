//! What part of the blank is seen and how large: millimetres to pixels and back.

use engine::geometry::{Point, Rect, Vec2};

/// White left round the blank when it is fitted into the board, in pixels.
const MARGIN_PX: f64 = 28.0;
/// How many times smaller than fitted the blank may get.
const SMALLEST: f64 = 0.5;
/// The most pixels that a millimetre may take; at 40 a hair is 2 pixels wide.
const MOST_PX_PER_MM: f64 = 40.0;
/// A board that has not been measured yet; anything above zero will do.
const UNMEASURED_PX: f64 = 600.0;

/// A place on the board in CSS pixels from its upper left corner: x to the right, y downwards.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(crate) struct Pixel {
    /// To the right.
    pub(crate) x: f64,
    /// Downwards.
    pub(crate) y: f64,
}

impl Pixel {
    /// A place from its two coordinates.
    pub(crate) const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The place halfway to `other`.
    pub(crate) const fn midpoint(self, other: Self) -> Self {
        Self::new((self.x + other.x) / 2.0, (self.y + other.y) / 2.0)
    }

    /// The distance to `other` in pixels.
    pub(crate) fn distance(self, other: Self) -> f64 {
        Vec2::new(other.x - self.x, other.y - self.y).length()
    }
}

/// What part of the blank is seen and how large.
///
/// The board's y runs downwards and the blank's away from the person: this is the only place that flips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Viewport {
    /// Width and height of the board in pixels.
    size: [f64; 2],
    /// What is fitted into the board, and what can never be lost from sight.
    content: Rect,
    /// Pixels for a millimetre.
    scale: f64,
    /// The place in the middle of the board.
    center: Point,
    /// True until the view is moved by hand; a fitted view stays fitted when the board changes its size.
    is_fitted: bool,
}

impl Viewport {
    /// A view with `content` fitted into a board that has not been measured yet.
    pub(crate) fn new(content: Rect) -> Self {
        let size = [UNMEASURED_PX; 2];
        Self { size, content, scale: 1.0, center: content.center(), is_fitted: true }.fitted()
    }

    /// Pixels for a millimetre.
    pub(crate) const fn scale(&self) -> f64 {
        self.scale
    }

    /// A place of the blank on the board.
    pub(crate) fn to_pixel(self, p: Point) -> Pixel {
        Pixel::new(
            self.size[0] / 2.0 + (p.x - self.center.x) * self.scale,
            self.size[1] / 2.0 - (p.y - self.center.y) * self.scale,
        )
    }

    /// A place of the board on the blank.
    pub(crate) fn to_mm(self, p: Pixel) -> Point {
        Point::new(
            self.center.x + (p.x - self.size[0] / 2.0) / self.scale,
            self.center.y - (p.y - self.size[1] / 2.0) / self.scale,
        )
    }

    /// The displacement on the blank between two places of the board.
    pub(crate) fn between(self, from: Pixel, to: Pixel) -> Vec2 {
        self.to_mm(to) - self.to_mm(from)
    }

    /// The map from millimetres to pixels, as an SVG transform.
    pub(crate) fn transform(self) -> String {
        let origin = self.to_pixel(Point::ORIGIN);
        format!("matrix({0} 0 0 -{0} {1} {2})", self.scale, origin.x, origin.y)
    }

    /// All of the content, in the middle of the board.
    pub(crate) fn fitted(self) -> Self {
        Self { scale: self.fitting_scale(), center: self.content.center(), is_fitted: true, ..self }
    }

    /// The same view on a board of another size: fitted stays fitted, else the middle stays the middle.
    pub(crate) fn resized(self, width: f64, height: f64) -> Self {
        if !(width >= 1.0 && height >= 1.0) {
            return self;
        }
        let resized = Self { size: [width, height], ..self };
        if self.is_fitted { resized.fitted() } else { resized.limited() }
    }

    /// All of another content.
    pub(crate) fn showing(self, content: Rect) -> Self {
        Self { content, ..self }.fitted()
    }

    /// What lay at `from` now lies at `to`.
    pub(crate) fn panned(self, from: Pixel, to: Pixel) -> Self {
        let center = self.center + -self.between(from, to);
        Self { center, is_fitted: false, ..self }.limited()
    }

    /// `factor` times as large, with what lies at `about` staying there.
    pub(crate) fn zoomed(self, about: Pixel, factor: f64) -> Self {
        let held = self.to_mm(about);
        let zoomed = Self { scale: self.scale * factor, is_fitted: false, ..self }.limited();
        zoomed.panned(zoomed.to_pixel(held), about)
    }

    /// The middle of the board.
    pub(crate) const fn middle(&self) -> Pixel {
        Pixel::new(self.size[0] / 2.0, self.size[1] / 2.0)
    }

    fn fitting_scale(&self) -> f64 {
        let room = self.size.map(|side| (side - 2.0 * MARGIN_PX).max(side / 2.0));
        let sides = [self.content.width(), self.content.depth()].map(|s| s.to_mm().max(1.0));
        (room[0] / sides[0]).min(room[1] / sides[1]).min(MOST_PX_PER_MM)
    }

    /// The view with its scale within limits and some of the content in its middle.
    fn limited(self) -> Self {
        let least = self.fitting_scale() * SMALLEST;
        let scale = if self.scale.is_finite() { self.scale } else { least };
        let Rect { min, max } = self.content;
        let center =
            Point::new(self.center.x.clamp(min.x, max.x), self.center.y.clamp(min.y, max.y));
        Self { scale: scale.clamp(least, MOST_PX_PER_MM), center, ..self }
    }
}

#[cfg(test)]
mod tests {
    use engine::units::Length;

    use super::*;

    fn blank() -> Rect {
        Rect::sized(Point::ORIGIN, Length::mm(400.0), Length::mm(300.0))
    }

    fn view() -> Viewport {
        Viewport::new(blank()).resized(1000.0, 800.0)
    }

    #[track_caller]
    fn near(got: Pixel, expected: Pixel) {
        assert!(got.distance(expected) < 1e-9, "{got:?} is not {expected:?}");
    }

    #[test]
    fn a_place_comes_back_from_either_direction() {
        let view = view()
            .zoomed(Pixel::new(123.0, 45.0), 3.7)
            .panned(Pixel::new(10.0, 20.0), Pixel::new(-31.0, 64.0));
        for place in [Point::ORIGIN, Point::new(400.0, 300.0), Point::new(-12.5, 77.25)] {
            assert!(view.to_mm(view.to_pixel(place)).distance(place) < 1e-9, "{place:?}");
        }
        for pixel in [Pixel::new(0.0, 0.0), Pixel::new(999.5, 800.0)] {
            near(view.to_pixel(view.to_mm(pixel)), pixel);
        }
    }

    #[test]
    fn what_is_farther_from_the_person_is_higher_on_the_board() {
        let view = view();
        let (front, back) = (Point::new(200.0, 10.0), Point::new(200.0, 290.0));
        assert!(view.to_pixel(back).y < view.to_pixel(front).y);
        assert!(view.between(Pixel::new(0.0, 0.0), Pixel::new(0.0, 10.0)).y < 0.0);
    }

    #[test]
    fn a_fitted_blank_fills_the_tighter_side_and_stands_in_the_middle() {
        let view = view();
        near(view.to_pixel(blank().center()), Pixel::new(500.0, 400.0));
        near(view.to_pixel(Point::ORIGIN), Pixel::new(MARGIN_PX, 400.0 + 150.0 * view.scale()));
    }

    #[test]
    fn a_fitted_view_stays_fitted_and_another_keeps_its_middle() {
        let smaller = view().resized(500.0, 800.0);
        assert!((smaller.scale() - (500.0 - 2.0 * MARGIN_PX) / 400.0).abs() < 1e-12);
        let zoomed = view().zoomed(Pixel::new(500.0, 400.0), 2.0);
        let resized = zoomed.resized(600.0, 600.0);
        assert!((resized.scale() - zoomed.scale()).abs() < 1e-12);
        near(resized.to_pixel(blank().center()), Pixel::new(300.0, 300.0));
    }

    #[test]
    fn another_blank_is_shown_whole() {
        let wider = Rect::sized(Point::ORIGIN, Length::mm(800.0), Length::mm(300.0));
        let shown = view().zoomed(Pixel::new(0.0, 0.0), 5.0).showing(wider);
        assert_eq!(shown, Viewport::new(wider).resized(1000.0, 800.0));
    }

    #[test]
    fn zooming_keeps_what_lies_under_the_pointer() {
        let about = Pixel::new(700.0, 300.0);
        let held = view().to_mm(about);
        let zoomed = view().zoomed(about, 2.5);
        near(zoomed.to_pixel(held), about);
        assert!((zoomed.scale() / view().scale() - 2.5).abs() < 1e-12);
    }

    #[test]
    fn panning_moves_the_drawing_with_the_hand() {
        let (from, to) = (Pixel::new(100.0, 100.0), Pixel::new(140.0, 90.0));
        let held = view().to_mm(from);
        near(view().panned(from, to).to_pixel(held), to);
    }

    #[test]
    fn the_blank_can_be_neither_lost_nor_made_too_small_or_too_large() {
        let far = view().panned(Pixel::new(0.0, 0.0), Pixel::new(1e6, -1e6));
        assert!(blank().contains(far.to_mm(far.middle())));
        let small = view().zoomed(Pixel::new(0.0, 0.0), 1e-9);
        assert!((small.scale() - view().scale() * SMALLEST).abs() < 1e-12);
        let large = view().zoomed(Pixel::new(0.0, 0.0), f64::INFINITY);
        assert!(large.scale().is_finite());
        let largest = view().zoomed(Pixel::new(0.0, 0.0), 1e9).scale();
        assert!((largest - MOST_PX_PER_MM).abs() < 1e-12);
    }

    #[test]
    fn a_board_that_is_not_laid_out_changes_nothing() {
        assert_eq!(view().resized(0.0, 800.0), view());
        assert_eq!(view().resized(f64::NAN, 800.0), view());
    }

    #[test]
    fn the_transform_says_the_same_as_the_map() {
        let view = view();
        let origin = view.to_pixel(Point::ORIGIN);
        let s = view.scale();
        assert_eq!(view.transform(), format!("matrix({s} 0 0 -{s} {} {})", origin.x, origin.y));
    }
}

//! What is lettered on the board already, and where there is room for more.
//!
//! Places are pixels from the origin of the drawing, y away from the person.

use engine::drawing::{Anchor, lettering};
use engine::geometry::{Point, Rect, Vec2};
use engine::units::Length;

/// Capitals over the size a font is asked for in, as in the engine's lettering.
const CAPITAL: f64 = 0.718;
/// System fonts run wider than the Helvetica that the engine measures by.
const WIDER: f64 = 1.12;
/// What is kept free round lettering.
const AROUND_PX: f64 = 1.5;

/// Words, figures and signs that have their place.
#[derive(Clone, Debug)]
pub(super) struct Lettered {
    boxes: Vec<Rect>,
    px: f64,
}

/// A line of lettering beside a place: across and down from it to where the line is anchored, and the size of its font, in
/// pixels.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beside<'a> {
    /// Across and down.
    pub(super) by: (f64, f64),
    /// The size of the font.
    pub(super) size: f64,
    /// What of it stands there.
    pub(super) anchor: Anchor,
    /// What it says.
    pub(super) text: &'a str,
}

impl Lettered {
    /// A board without lettering; `px` are the millimetres that a pixel is worth.
    pub(super) const fn new(px: f64) -> Self {
        Self { boxes: Vec::new(), px }
    }

    /// The millimetres that a pixel is worth.
    pub(super) const fn px(&self) -> f64 {
        self.px
    }

    /// What a line of lettering beside a place of the drawing, in millimetres, covers.
    pub(super) fn line(&self, place: Point, line: Beside<'_>) -> Rect {
        let at = self.pixel(place) + Vec2::new(line.by.0, -line.by.1);
        let size = Length::mm(line.size * CAPITAL);
        let slim = lettering::bounds(at, size, line.anchor, line.text);
        let more = slim.width().to_mm() * (WIDER - 1.0);
        let (left, right) = match line.anchor {
            Anchor::Start => (0.0, more),
            Anchor::Middle => (more / 2.0, more / 2.0),
            Anchor::End => (more, 0.0),
        };
        Rect { min: slim.min - Vec2::new(left, 0.0), max: slim.max + Vec2::new(right, 0.0) }
    }

    /// What a sign at a place of the drawing covers, from its middle so far across and so far up and down.
    pub(super) fn sign(&self, place: Point, [across, up]: [f64; 2]) -> Rect {
        let (at, half) = (self.pixel(place), Vec2::new(across, up));
        Rect { min: at - half, max: at + half }
    }

    /// Whether nothing stands there yet.
    pub(super) fn is_free(&self, place: Rect) -> bool {
        let place = place.grown(Length::mm(AROUND_PX));
        self.boxes.iter().all(|taken| taken.intersection(place).is_none())
    }

    /// Something stands there from now on.
    pub(super) fn take(&mut self, place: Rect) {
        self.boxes.push(place);
    }

    fn pixel(&self, place: Point) -> Point {
        Point::new(place.x / self.px, place.y / self.px)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spans(anchor: Anchor) -> Beside<'static> {
        Beside { by: (0.0, -13.0), size: 14.0, anchor, text: "spans" }
    }

    #[test]
    fn a_line_covers_as_much_however_far_the_view_is_zoomed() {
        let place = Point::new(100.0, 50.0);
        for px in [0.25, 0.5, 2.0] {
            let covered = Lettered::new(px).line(place, spans(Anchor::Middle));
            assert!((covered.center().x - place.x / px).abs() < 1e-9);
            assert!((30.0..50.0).contains(&covered.width().to_mm()), "{covered:?}");
            assert!(covered.min.y > place.y / px, "it stands above");
            assert!(covered.depth().to_mm() < 14.0);
        }
    }

    #[test]
    fn an_anchor_says_which_way_a_line_goes() {
        let board = Lettered::new(1.0);
        let [start, middle, end] = [Anchor::Start, Anchor::Middle, Anchor::End]
            .map(|anchor| board.line(Point::ORIGIN, spans(anchor)));
        assert!(start.min.x.abs() < 1e-9 && end.max.x.abs() < 1e-9);
        assert!((start.width() - end.width()).to_mm().abs() < 1e-9);
        assert!((middle.width() - end.width()).to_mm().abs() < 1e-9);
    }

    #[test]
    fn what_is_taken_is_free_no_more_and_its_surroundings_are() {
        let mut board = Lettered::new(0.5);
        let place = Point::new(10.0, 10.0);
        let sign = board.sign(place, [12.0, 8.0]);
        assert!(board.is_free(sign));
        board.take(sign);
        assert!(!board.is_free(sign));
        assert!(
            !board.is_free(board.line(place, Beside { by: (0.0, 0.0), ..spans(Anchor::Middle) }))
        );
        assert!(board.is_free(board.line(place, spans(Anchor::Middle))));
        assert!(board.is_free(board.sign(Point::new(30.0, 10.0), [12.0, 8.0])));
    }
}

//! The card that molds are photographed on, ready to print.

use super::frame::bar;
use super::{Layer, Page};
use crate::drawing::{Anchor, Form, Mark, Role};
use crate::geometry::{Point, Region, Ring, Vec2};
use crate::intake::photo::{Card, CardMark};
use crate::units::Length;

/// Capitals of the words.
const SMALL: Length = Length::mm(2.5);
/// From baseline to baseline.
const LINE: f64 = 3.8;
/// White between a mark and words beside it: a field of the mark.
const QUIET: f64 = 5.0;

/// The card as one page: its four marks, a bar to check the printer by, and how to use it.
///
/// All but the marks lies outside the rectangle between their middles, which is where a photograph is traced.
#[must_use]
pub fn photo_card(card: Card) -> Page {
    let (width, height) = card.paper();
    let marks = card.marks();
    let mut drawn: Vec<Mark> = marks.iter().map(square).collect();
    let inner = marks[3].square().max.x + QUIET;
    let top = marks[0].middle.y + 5.5;
    drawn.extend(bar(Point::new(inner, top), Vec2::new(1.0, 0.0), [10.0, 10.0]));
    let beside = Point::new(inner + 104.0, top - SMALL.to_mm() / 2.0);
    let figure = Form::text(beside, SMALL, Anchor::Start, "100 mm");
    drawn.push(Mark::new(Role::CheckFigure, figure));
    let name = match card {
        Card::A4 => "A4",
        Card::Letter => "Letter",
    };
    let words = [
        format!("Photo card, {name}. Print at 100 % (actual size) and check the bar with a ruler."),
        "Lay the mold, or a line drawn round it, inside the four marks; show all four.".to_owned(),
    ];
    let mut y = marks[3].middle.y - 2.3 - SMALL.to_mm();
    for line in words {
        let form = Form::text(Point::new(inner, y), SMALL, Anchor::Start, line);
        drawn.push(Mark::new(Role::Note, form));
        y -= LINE;
    }
    Page {
        name: format!("Photo card {name}"),
        width,
        height,
        layers: vec![Layer { window: None, marks: drawn }],
    }
}

fn square(mark: &CardMark) -> Mark {
    let outer = Ring::new(mark.square().corners().to_vec());
    let holes = mark.window().into_iter().collect();
    Mark::new(Role::PhotoMark, Form::Region(Region::new(outer, holes)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Rect;

    #[test]
    fn everything_is_within_the_printers_reach_and_only_marks_are_where_is_traced() {
        for card in Card::ALL {
            let page = photo_card(card);
            let sheet = Rect::sized(Point::ORIGIN, page.width, page.height);
            let middles = card.marks().map(|mark| mark.middle);
            let traced = Rect::around(middles).expect("four");
            // Ten millimetres: the margin that any common printer leaves white (common practice).
            let reach = sheet.grown(Length::mm(-9.9));
            for mark in &page.layers[0].marks {
                let bounds = mark.form.bounds().expect("a form");
                assert!(reach.union(bounds) == reach, "{mark:?} of {card:?}");
                let is_clear =
                    bounds.intersection(traced).is_none_or(|both| both.area().to_mm2() <= 0.0);
                assert!(is_clear || mark.role == Role::PhotoMark, "{mark:?} of {card:?}");
            }
            let (across, up) = card.apart();
            assert!((traced.width() - across).abs() < Length::mm(1e-9));
            assert!((traced.depth() - up).abs() < Length::mm(1e-9));
        }
    }
}

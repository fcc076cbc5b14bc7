//! The machine as marks: clamp lip, platen, opening, blank, and the centre lines between what stands there.

use super::layout::FIGURE;
use super::{Anchor, Form, Mark, Role};
use crate::geometry::{Point, Rect, Region, Ring};
use crate::order;
use crate::plan::Machine;
use crate::units::Length;

/// White between a centre line and what it would cross.
const WHITE: Length = Length::mm(1.5);
/// A shorter piece of a centre line is left out.
const PIECE_LEAST: f64 = 4.0;

/// The marks of the machine; the centre lines leave out what is `taken` by molds and lettering.
pub(super) fn marks(machine: &Machine, taken: &[Rect]) -> Vec<Mark> {
    let (blank, opening) = (machine.blank.rect(), machine.opening());
    let corners = |rect: Rect| Ring::new(rect.corners().to_vec());
    let lip = Region::new(corners(blank), vec![corners(opening)]);
    let mut marks = vec![
        Mark::new(Role::ClampLip, Form::Region(lip)),
        Mark::new(Role::Platen, Form::rect(machine.platen)),
    ];
    marks.extend(centre_lines(blank, taken));
    marks.push(Mark::new(Role::Opening, Form::rect(opening)));
    marks.push(Mark::new(Role::Blank, Form::rect(blank)));
    marks.extend(front(machine));
    marks
}

/// The two middles of the blank, from edge to edge.
fn centre_lines(blank: Rect, taken: &[Rect]) -> Vec<Mark> {
    let middle = blank.center();
    let grown: Vec<Rect> = taken.iter().map(|rect| rect.grown(WHITE)).collect();
    let across = grown.iter().filter(|rect| rect.min.y < middle.y && middle.y < rect.max.y);
    let along = grown.iter().filter(|rect| rect.min.x < middle.x && middle.x < rect.max.x);
    let across = pieces((blank.min.x, blank.max.x), across.map(|r| (r.min.x, r.max.x)).collect());
    let along = pieces((blank.min.y, blank.max.y), along.map(|r| (r.min.y, r.max.y)).collect());
    let across = across
        .into_iter()
        .map(|(a, b)| Form::Line(Point::new(a, middle.y), Point::new(b, middle.y)));
    let along = along
        .into_iter()
        .map(|(a, b)| Form::Line(Point::new(middle.x, a), Point::new(middle.x, b)));
    across.chain(along).map(|form| Mark::new(Role::CentreLine, form)).collect()
}

/// What is left of `whole` without the `holes`.
fn pieces(whole: (f64, f64), mut holes: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    order::by(&mut holes, |a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    holes.push((whole.1, whole.1));
    let mut left = Vec::new();
    let mut from = whole.0;
    for (start, end) in holes {
        let start = start.min(whole.1);
        if start - from > PIECE_LEAST {
            left.push((from, start));
        }
        from = from.max(end);
    }
    left
}

/// The word in the front lip, off the middle, where it does not meet the centre line.
fn front(machine: &Machine) -> Option<Mark> {
    let lip = machine.lip.front.to_mm();
    let room = lip - FIGURE.to_mm();
    let at = Point::new(machine.blank.width.to_mm() / 4.0, room / 2.0);
    let word = Form::text(at, FIGURE, Anchor::Middle, "front");
    (room > 2.0).then(|| Mark::new(Role::Front, word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_centre_line_leaves_out_what_stands_on_it() {
        let whole = (0.0, 100.0);
        assert_eq!(pieces(whole, vec![]), vec![whole]);
        assert_eq!(
            pieces(whole, vec![(60.0, 70.0), (20.0, 30.0), (25.0, 40.0)]),
            vec![(0.0, 20.0), (40.0, 60.0), (70.0, 100.0)]
        );
        assert_eq!(pieces(whole, vec![(-5.0, 120.0)]), vec![]);
        assert_eq!(pieces(whole, vec![(2.0, 98.0)]), vec![]);
    }

    #[test]
    fn a_lip_too_narrow_for_a_word_has_none() {
        let mut machine = Machine::default();
        assert!(front(&machine).is_some());
        machine.lip.front = Length::mm(4.0);
        assert!(front(&machine).is_none());
    }
}

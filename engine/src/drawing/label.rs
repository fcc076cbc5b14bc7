//! Where a mold's number, name, height and turn are written: inside when they fit, else beside it.

use super::layout::Standing;
use super::lettering;
use super::{Anchor, Form, Mark, Role};
use crate::geometry::{Point, Rect, Region, Ring, Vec2};
use crate::plan::{Mold, MoldKind};
use crate::units::{Length, LengthStyle};

/// The smallest capitals that are read at arm's length over a bench.
const SMALL: Length = Length::mm(2.5);
/// Capitals of a name where there is room.
const NAME: Length = Length::mm(3.5);
/// Capitals of a number where there is room.
const NUMBER: Length = Length::mm(5.0);
/// White between one line and the next, and round lettering.
const WHITE: f64 = 2.0;
/// How far the first lines stand from the mold's centre, so that the centre cross stays free.
const CROSS_ROOM: f64 = 6.0;

/// One line of lettering and what it means.
#[derive(Clone, Debug)]
struct Word {
    role: Role,
    size: Length,
    text: String,
}

/// What lettering must not cover: other molds, the arrows, and what is written already.
#[derive(Debug)]
pub(super) struct Obstacles {
    blank: Rect,
    taken: Vec<Rect>,
}

impl Obstacles {
    /// Every mold with its trim line, and its arrow.
    pub(super) fn new(blank: Rect, standing: &[Standing<'_>]) -> Self {
        let molds = standing.iter().filter_map(Standing::trimmed_bounds);
        let arrows = standing.iter().filter_map(Standing::turn_mark_bounds);
        Self { blank, taken: molds.chain(arrows).collect() }
    }

    /// What is drawn and written.
    pub(super) fn taken(&self) -> &[Rect] {
        &self.taken
    }

    fn is_free(&self, rect: Rect) -> bool {
        self.blank.contains(rect.min)
            && self.blank.contains(rect.max)
            && self.taken.iter().all(|other| rect.distance(*other) > 0.0)
    }
}

/// The lettering of one mold: inside at full size, inside smaller, or its number inside and the rest beside it.
///
/// Where there is no room beside it either the number stands alone; the bench card says the rest.
pub(super) fn marks(
    one: &Standing<'_>,
    style: LengthStyle,
    obstacles: &mut Obstacles,
) -> Vec<Mark> {
    let small = words(one, style, [SMALL, SMALL]);
    let chosen = inside(one, &words(one, style, [NUMBER, NAME]))
        .or_else(|| inside(one, &small))
        .unwrap_or_else(|| parted(one, &small, obstacles));
    obstacles.taken.extend(chosen.iter().filter_map(|mark| mark.form.bounds()));
    chosen.into_iter().map(|mark| mark.of(one.subject())).collect()
}

/// The number inside if it fits there, and what is left beside the mold.
fn parted(one: &Standing<'_>, small: &[Word], obstacles: &Obstacles) -> Vec<Mark> {
    let (number, others) = small.split_at(1.min(small.len()));
    let large: Vec<Word> =
        number.iter().map(|word| Word { size: NUMBER, ..word.clone() }).collect();
    let within = inside(one, &large).or_else(|| inside(one, number));
    match within {
        Some(mut marks) => {
            marks.extend(beside(one, others, obstacles).unwrap_or_default());
            marks
        }
        None => beside(one, small, obstacles).unwrap_or_else(|| number_alone(one)),
    }
}

/// Number, name, height and, when it is turned, the turn.
fn words(one: &Standing<'_>, style: LengthStyle, [number, name]: [Length; 2]) -> Vec<Word> {
    let word = |role, size, text| Word { role, size, text };
    let mut words = vec![
        word(Role::Number, number, one.id.0.to_string()),
        word(Role::Name, name, name_words(one.mold, one.placement.copy.0)),
        word(Role::Height, SMALL, height_words(one.mold, style)),
    ];
    let degrees = libm::round(one.placement.pose.turn.to_degrees() * 10.0) / 10.0;
    if degrees > 0.0 && degrees < 360.0 {
        words.push(word(Role::Turn, SMALL, format!("turned {degrees}\u{b0}")));
    }
    words
}

/// The name as it is written on a mold, with the copy where there are several: `Clam half, copy 2`.
#[must_use]
pub fn name_words(mold: &Mold, copy: u32) -> String {
    if mold.copies > 1 { format!("{}, copy {copy}", mold.name) } else { mold.name.clone() }
}

/// The height as it is written on a mold: `22 mm tall`, `21 mm tall + 3 mm spacer`, `18 mm deep`.
#[must_use]
pub fn height_words(mold: &Mold, style: LengthStyle) -> String {
    let direction = match mold.kind {
        MoldKind::Male => "tall",
        MoldKind::Female => "deep",
    };
    let height = format!("{} {direction}", entered(mold.height, style));
    if mold.spacer > Length::ZERO {
        format!("{height} + {} spacer", entered(mold.spacer, style))
    } else {
        height
    }
}

/// A length that a person entered: whole millimetres without `.0`.
fn entered(length: Length, style: LengthStyle) -> String {
    match style {
        LengthStyle::Millimetres => style.show_exact(length),
        LengthStyle::DecimalInches | LengthStyle::FractionInches => style.show(length),
    }
}

/// Number and name above the centre cross, the rest below; `None` when a line would cross the outline.
fn inside(one: &Standing<'_>, words: &[Word]) -> Option<Vec<Mark>> {
    let at = one.placement.pose.at;
    let (above, below) = words.split_at(2.min(words.len()));
    let mut marks = Vec::new();
    let mut baseline = at.y + CROSS_ROOM;
    for word in above.iter().rev() {
        marks.push(word.mark(Point::new(at.x, baseline), Anchor::Middle));
        baseline += word.size.to_mm() + WHITE;
    }
    marks.reverse();
    let mut top = at.y - CROSS_ROOM;
    for word in below {
        top -= word.size.to_mm();
        marks.push(word.mark(Point::new(at.x, top), Anchor::Middle));
        top -= WHITE;
    }
    let fits = |mark: &Mark| {
        mark.form.bounds().is_some_and(|r| holds(&one.region, r.grown(Length::mm(WHITE / 2.0))))
    };
    marks.iter().all(fits).then_some(marks)
}

/// All lines as a block in front of, behind, right of or left of the mold, where nothing else is.
fn beside(one: &Standing<'_>, words: &[Word], obstacles: &Obstacles) -> Option<Vec<Mark>> {
    let mold = one.trimmed_bounds()?;
    let around = one.turn_mark_bounds().map_or(mold, |arrow| mold.union(arrow));
    let wide = words.iter().map(Word::width).fold(Length::ZERO, Length::max).to_mm();
    let deep: f64 = words.iter().map(|word| word.size.to_mm() + WHITE).sum();
    let middle = mold.center();
    let tops = [
        (Point::new(middle.x, around.min.y - WHITE), Anchor::Middle),
        (Point::new(middle.x, around.max.y + WHITE + deep), Anchor::Middle),
        (Point::new(around.max.x + WHITE, middle.y + deep / 2.0), Anchor::Start),
        (Point::new(around.min.x - WHITE, middle.y + deep / 2.0), Anchor::End),
    ];
    tops.into_iter().find_map(|(top, anchor)| {
        let left = match anchor {
            Anchor::Start => top.x,
            Anchor::Middle => top.x - wide / 2.0,
            Anchor::End => top.x - wide,
        };
        let block = Rect::new(Point::new(left, top.y - deep), Point::new(left + wide, top.y));
        obstacles.is_free(block.grown(Length::mm(WHITE / 4.0))).then(|| stacked(words, top, anchor))
    })
}

fn stacked(words: &[Word], top: Point, anchor: Anchor) -> Vec<Mark> {
    let mut y = top.y;
    let mut line = |word: &Word| {
        y -= word.size.to_mm();
        let mark = word.mark(Point::new(top.x, y), anchor);
        y -= WHITE;
        mark
    };
    words.iter().map(&mut line).collect()
}

/// The number where the centre cross leaves room; the bench card says the rest.
fn number_alone(one: &Standing<'_>) -> Vec<Mark> {
    let word = Word { role: Role::Number, size: SMALL, text: one.id.0.to_string() };
    let place = one.placement.pose.at + Vec2::new(1.0, 1.0);
    vec![word.mark(place, Anchor::Start)]
}

impl Word {
    fn width(&self) -> Length {
        lettering::width(&self.text, self.size)
    }

    fn mark(&self, at: Point, anchor: Anchor) -> Mark {
        Mark::new(self.role, Form::text(at, self.size, anchor, self.text.clone()))
    }
}

/// True when `rect` lies within `region`: no outline passes through it and its middle is inside.
fn holds(region: &Region, rect: Rect) -> bool {
    let is_crossed = region.rings().flat_map(Ring::sides).any(|(a, b)| rect.meets_line(a, b));
    !is_crossed && region.rings().map(|ring| windings(ring, rect.center())).sum::<i32>() == 1
}

/// How often `ring` goes counter-clockwise round `point`.
fn windings(ring: &Ring, point: Point) -> i32 {
    ring.sides()
        .map(|(a, b)| {
            let is_left = (b - a).cross(point - a) > 0.0;
            match (a.y <= point.y, b.y <= point.y) {
                (true, false) if is_left => 1,
                (false, true) if !is_left => -1,
                _ => 0,
            }
        })
        .sum()
}

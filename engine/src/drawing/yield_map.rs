//! How much of a sheet each size of blank uses, as a picture with a scale in steps.

use super::{Anchor, Drawing, Form, Mark, Role};
use crate::geometry::{Point, Rect, Vec2};
use crate::plan::Size;
use crate::stock::{YieldMap, size_words};
use crate::units::{Length, LengthStyle};

/// Capitals of all lettering.
const SMALL: Length = Length::mm(2.5);
/// The side of the picture without its axes.
const SIDE: f64 = 100.0;
/// From one line of the list to the next.
const LINE: f64 = 4.6;
/// The least share of the scale, and how much a step of it is.
const SCALE: (f64, f64) = (0.5, 0.05);
/// The steps of the scale.
const STEPS: u8 = 10;

/// The map over width and depth, 100 mm to a side, its peaks ringed and numbered, and `here` crossed.
///
/// Blanks that may turn fill the half above the diagonal; the other half holds the list of peaks.
#[must_use]
pub fn draw_yield(map: &YieldMap, here: Option<Size>, style: LengthStyle) -> Drawing {
    let mut marks = cells(map);
    marks.extend(axes(map, style));
    marks.extend(scale());
    if let Some(here) = here.and_then(|here| place(map, here)) {
        for arm in [Vec2::new(2.5, 2.5), Vec2::new(2.5, -2.5)] {
            marks.push(Mark::new(Role::CentreCross, Form::Line(here - arm, here + arm)));
        }
    }
    for (n, peak) in map.peaks.iter().enumerate() {
        let Some(at) = place(map, peak.size) else { continue };
        let number = (n + 1).to_string();
        let ring = Rect::new(at - Vec2::new(1.6, 1.6), at + Vec2::new(1.6, 1.6));
        marks.push(Mark::new(Role::Peak, Form::rect(ring)));
        let beside = at + Vec2::new(2.2, -SMALL.to_mm() / 2.0);
        marks.push(Mark::new(Role::Peak, Form::text(beside, SMALL, Anchor::Start, number)));
    }
    if map.may_turn {
        marks.extend(list(map, style));
    }
    let all = Rect::new(Point::ORIGIN, Point::new(SIDE, SIDE));
    let bounds = marks.iter().filter_map(|mark| mark.form.bounds()).fold(all, Rect::union);
    Drawing { bounds: bounds.grown(Length::mm(1.0)), marks }
}

/// The step of the scale that a share is on, the highest being the most.
fn level(share: f64) -> u8 {
    let step = (share + 1e-9 - SCALE.0) / SCALE.1;
    (1..STEPS).take_while(|&n| step >= f64::from(n)).last().unwrap_or(0)
}

/// Sizes side by side on the same step are one rectangle.
fn cells(map: &YieldMap) -> Vec<Mark> {
    let n = map.widths.len();
    let side = SIDE / number(n).max(1.0);
    let mut marks = Vec::new();
    for d in 0..map.depths.len() {
        let last = if map.may_turn { d + 1 } else { n };
        let mut from = 0;
        while from < last {
            let step = level(map.share(from, d));
            let to = (from + 1..last).find(|&w| level(map.share(w, d)) != step).unwrap_or(last);
            let corner = Point::new(number(from) * side, number(d) * side);
            let far = Point::new(number(to) * side, number(d + 1) * side);
            marks.push(Mark::new(Role::Share(step), Form::rect(Rect::new(corner, far))));
            from = to;
        }
    }
    marks
}

/// Where a size lies in the picture; nothing when it is beyond it.
fn place(map: &YieldMap, size: Size) -> Option<Point> {
    let along = |sides: &[Length], side: Length| {
        let (first, last) = (*sides.first()?, *sides.last()?);
        let step = (last - first) / number(sides.len().saturating_sub(1)).max(1.0);
        let at = (side - first) / step.max(Length::mm(1e-6)) + 0.5;
        let cells = number(sides.len());
        (at >= 0.0 && at <= cells).then(|| at / cells * SIDE)
    };
    let (short, long) = (size.width.min(size.depth), size.width.max(size.depth));
    let (x, y) = if map.may_turn { (short, long) } else { (size.width, size.depth) };
    Some(Point::new(along(&map.widths, x)?, along(&map.depths, y)?))
}

/// Both edges with round figures in the user's unit.
fn axes(map: &YieldMap, style: LengthStyle) -> Vec<Mark> {
    let step = match style {
        LengthStyle::Millimetres => Length::mm(100.0),
        LengthStyle::DecimalInches | LengthStyle::FractionInches => Length::inches(4.0),
    };
    let line = |a, b| Mark::new(Role::Axis, Form::Line(a, b));
    let corner = Point::ORIGIN;
    let mut marks = vec![line(corner, Point::new(SIDE, 0.0)), line(corner, Point::new(0.0, SIDE))];
    let note =
        |at, anchor, words: String| Mark::new(Role::Note, Form::text(at, SMALL, anchor, words));
    let most = map.widths.last().copied().unwrap_or(Length::ZERO);
    let least = map.widths.first().copied().unwrap_or(Length::ZERO);
    let mut side = step * libm::ceil(least / step - 1e-9).max(1.0);
    while side <= most + Length::mm(1e-6) {
        if let Some(at) = place(map, Size::new(side, side)) {
            let shown = style.show(side);
            let bare = shown.split(' ').next().unwrap_or_default();
            let bare = bare.trim_end_matches(".000").trim_end_matches(".0").to_owned();
            marks.push(line(Point::new(at.x, 0.0), Point::new(at.x, -1.5)));
            marks.push(line(Point::new(0.0, at.y), Point::new(-1.5, at.y)));
            marks.push(note(Point::new(at.x, -5.2), Anchor::Middle, bare.clone()));
            marks.push(note(Point::new(-2.4, at.y - 1.25), Anchor::End, bare));
        }
        side += step;
    }
    let unit = style.unit().name();
    let (along, up) = if map.may_turn {
        (format!("shorter side, {unit}"), format!("longer side, {unit}"))
    } else {
        (format!("width, {unit}"), format!("depth, {unit}"))
    };
    marks.push(note(Point::new(SIDE, -10.0), Anchor::End, along));
    marks.push(note(Point::new(0.0, SIDE + 2.5), Anchor::Start, up));
    marks
}

/// The steps of the scale, each with the share that it begins at.
fn scale() -> Vec<Mark> {
    let (wide, y) = (SIDE / f64::from(STEPS), -19.0);
    let mut marks = Vec::new();
    for step in 0..STEPS {
        let corner = Point::new(wide * f64::from(step), y);
        let cell = Rect::new(corner, corner + Vec2::new(wide, 4.0));
        marks.push(Mark::new(Role::Share(step), Form::rect(cell)));
        let percent = libm::round((SCALE.0 + SCALE.1 * f64::from(step)) * 100.0);
        let words = if step == 0 { "less".to_owned() } else { format!("{percent} %") };
        let at = corner + Vec2::new(wide / 2.0, -4.0);
        if step % 2 == 0 || step + 1 == STEPS {
            marks.push(Mark::new(Role::Note, Form::text(at, SMALL, Anchor::Middle, words)));
        }
    }
    let at = Point::new(0.0, y + 5.4);
    let head = Form::text(at, SMALL, Anchor::Start, "used of the sheet, from");
    marks.push(Mark::new(Role::Note, head));
    marks
}

/// The peaks by number, size and count, in the corner where nothing is drawn.
fn list(map: &YieldMap, style: LengthStyle) -> Vec<Mark> {
    let rows = map.peaks.iter().enumerate();
    let row = |(n, peak): (usize, &crate::stock::Peak)| {
        let words = format!("{}: {} of {}", n + 1, peak.count, size_words(peak.size, style));
        let y = number(map.peaks.len() - n) * LINE - SMALL.to_mm();
        let at = Point::new(SIDE, y);
        Mark::new(Role::Name, Form::text(at, SMALL, Anchor::End, words))
    };
    rows.map(row).collect()
}

fn number(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::MAX, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stock::{Cutting, Sizes, yield_map};

    fn map(may_turn: bool) -> YieldMap {
        let sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        let [least, most, step] = [8.0, 32.0, 1.0].map(Length::inches);
        let cutting = Cutting::snapped(Length::inches(0.060));
        yield_map(sheet, Sizes { least, most, step, may_turn }, &cutting).expect("maps")
    }

    #[test]
    fn the_scale_has_ten_steps_and_a_sheet_without_a_rest_is_on_the_last() {
        let levels = [0.0, 0.5, 0.549, 0.55, 0.9, 0.949, 0.95, 1.0].map(level);
        assert_eq!(levels, [0, 0, 0, 1, 8, 8, 9, 9]);
    }

    #[test]
    fn cells_cover_the_half_or_the_whole_and_peaks_are_named() {
        for may_turn in [true, false] {
            let map = map(may_turn);
            let drawing = draw_yield(
                &map,
                Some(Size::new(map.widths[4], map.depths[8])),
                LengthStyle::FractionInches,
            );
            let is_cell = |mark: &&Mark| matches!(mark.role, Role::Share(_));
            let area = |mark: &Mark| mark.form.bounds().map_or(0.0, |b| b.area().to_mm2());
            let covered: f64 = drawing.marks.iter().filter(is_cell).map(area).sum();
            // 25 sizes a side; the scale below is a strip of 100 x 4 mm.
            let share = if may_turn { 13.0 / 25.0 } else { 1.0 };
            assert!((covered - 400.0 - SIDE * SIDE * share).abs() < 1e-6, "{covered}");
            let says = |words: &str| {
                drawing
                    .marks
                    .iter()
                    .any(|m| matches!(&m.form, Form::Text { text, .. } if text.ends_with(words)))
            };
            // 12 x 16 in are 24 of a sheet of 48 x 96 in (common practice).
            assert_eq!(says("24 of 12 x 16 in"), may_turn);
            assert!(drawing.marks.iter().any(|mark| mark.role == Role::CentreCross));
        }
    }
}

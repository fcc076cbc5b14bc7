//! What stands round the drawn part of a sheet: check bars, words, legend and the map of all sheets.
//!
//! ```text
//!  +--+---------------------------+
//!  |  |                           |   left: a 100 mm bar up the page
//!  |  |          window           |
//!  |  |                           |
//!  +--+---------------------+-----+
//!  |  words, legend, bars   | map |
//!  +------------------------+-----+
//! ```

use super::page::Head;
use super::tiling::Tile;
use crate::drawing::{Anchor, Form, Mark, Role, lettering};
use crate::geometry::{Point, Rect, Region, Ring, Vec2};
use crate::units::Length;

/// The strip left of the window, which holds the bar up the page.
const LEFT: f64 = 10.0;
/// The column right of the words, which holds the map.
const MAP: Vec2 = Vec2 { x: 32.0, y: 15.0 };
/// White between the window and the strips.
const WHITE: f64 = 2.5;
/// Capitals of the head and of everything else: the smallest that is read at arm's length.
const HEAD: Length = Length::mm(3.5);
const SMALL: Length = Length::mm(2.5);
/// Capitals of the letter and number of the sheet.
const SHEET_NAME: Length = Length::mm(7.0);
/// From baseline to baseline.
const LINE: f64 = 4.1;
/// The two bars with their ticks and figures.
const BARS: Vec2 = Vec2 { x: 122.0, y: 9.5 };
/// The narrowest strip and the lowest window that hold the bars.
const LEAST: Vec2 = Vec2 { x: 190.0, y: 115.0 };

/// Where everything on a page stands.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    /// The paper.
    pub(super) page: Vec2,
    /// Where the drawn part of the blank goes.
    pub(super) window: Rect,
    /// What the printer reaches.
    printable: Rect,
    notes: Vec<String>,
    legend: Vec<Vec<Sample>>,
    /// True when the legend stands beside the bars and the day beside the head.
    is_wide: bool,
}

/// What the words on one sheet say.
#[derive(Clone, Debug)]
pub(super) struct Caption {
    /// Plan and pull.
    pub(super) head: Head,
    /// The day, the paper and the sheet's place among the others.
    pub(super) about: String,
    /// The printer it is corrected for, and by how much.
    pub(super) printer: Option<[String; 2]>,
    /// The sheet's letter and number, where there are several.
    pub(super) name: Option<String>,
}

impl Caption {
    /// What it is about in one line; of what is too long the printer's name is cut first, never by how much it corrects.
    fn about_within(&self, width: Length) -> String {
        let Some([name, factors]) = &self.printer else { return self.about.clone() };
        let begins = format!("{}, corrected for ", self.about);
        let others = lettering::width(&begins, SMALL) + lettering::width(factors, SMALL);
        let room = width - others - lettering::width(": ", SMALL);
        format!("{begins}{}: {factors}", lettering::shortened(name, SMALL, room))
    }
}

/// One entry of the legend.
#[derive(Clone, Copy, Debug)]
struct Sample {
    role: Role,
    words: &'static str,
}

/// What the words round a window depend on.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Asked<'a> {
    /// How several sheets are joined.
    pub(super) joining: Option<&'a str>,
    /// Whether there are locating corners.
    pub(super) has_corners: bool,
}

const SAMPLES: [Sample; 8] = [
    Sample { role: Role::Mold, words: "mold" },
    Sample { role: Role::TrimLine, words: "trim line" },
    Sample { role: Role::TurnMark, words: "front of the mold" },
    Sample { role: Role::ClampLip, words: "clamp lip" },
    Sample { role: Role::Platen, words: "platen" },
    Sample { role: Role::CentreLine, words: "centre line" },
    Sample { role: Role::CutLine, words: "cut here" },
    Sample { role: Role::Corner, words: "corner to cut out" },
];
/// Width of a sample, and white behind each entry.
const SAMPLE: (f64, f64) = (14.0, 4.0);

const NOTES: [&str; 2] = [
    "Print at 100 % (actual size), then check the bars with a ruler. The middle of a line is the true edge.",
    "Paper blocks the vacuum: mark where the molds stand, then take it off before forming.",
];

impl Asked<'_> {
    fn samples(self) -> Vec<Sample> {
        let is_shown = |sample: &Sample| match sample.role {
            Role::CutLine => self.joining.is_some(),
            Role::Corner => self.has_corners,
            _ => true,
        };
        SAMPLES.into_iter().filter(is_shown).collect()
    }
}

impl Frame {
    /// The frame on paper of a given size.
    pub(super) fn inside(page: Vec2, margin: Length, asked: Asked<'_>) -> Self {
        let printable = Rect::new(Point::ORIGIN, Point::ORIGIN + page).grown(-margin);
        Self::new(page, printable, asked)
    }

    /// The frame on one page that is large enough for a window of `content`.
    pub(super) fn around(content: Vec2, margin: Length, asked: Asked<'_>) -> Self {
        let asked = Asked { joining: None, ..asked };
        let width = LEAST.x.max(content.x + LEFT);
        let strip = Self::inside(Vec2::new(width, 1000.0), Length::ZERO, asked).window.min.y;
        let height = strip + LEAST.y.max(content.y);
        let margins = Vec2::new(margin.to_mm(), margin.to_mm()) * 2.0;
        let frame = Self::inside(Vec2::new(width, height) + margins, margin, asked);
        let corner = Point::new(frame.window.min.x, frame.window.max.y);
        let window = Rect::new(corner, corner + Vec2::new(content.x, -content.y));
        Self { window, ..frame }
    }

    fn new(page: Vec2, printable: Rect, asked: Asked<'_>) -> Self {
        let words_width = printable.width().to_mm() - MAP.x - WHITE;
        let beside = words_width - BARS.x;
        let is_wide = beside > 80.0;
        let legend = flowed(&asked.samples(), if is_wide { beside } else { words_width });
        let notes = NOTES.into_iter().chain(asked.joining);
        let notes: Vec<String> = notes
            .flat_map(|note| lettering::wrapped(note, SMALL, Length::mm(words_width)))
            .collect();
        let n_lines = notes.len() + usize::from(!is_wide);
        let legend_height = line_height(legend.len());
        let bars = if is_wide { BARS.y.max(legend_height) } else { BARS.y + legend_height };
        let strip = WHITE + HEAD.to_mm() + line_height(n_lines) + 1.0 + bars;
        let window = Rect::new(
            printable.min + Vec2::new(LEFT, strip.max(MAP.y + SHEET_NAME.to_mm() + WHITE * 2.0)),
            printable.max,
        );
        Self { page, window, printable, notes, legend, is_wide }
    }

    /// Words, legend and bars; the map comes from [`map_marks`].
    pub(super) fn marks(&self, caption: &Caption) -> Vec<Mark> {
        let mut marks = self.words(caption);
        marks.extend(self.bars());
        marks.extend(self.legend_marks());
        marks
    }

    fn words(&self, caption: &Caption) -> Vec<Mark> {
        let width = Length::mm(self.printable.width().to_mm() - MAP.x - WHITE);
        let left = self.printable.min.x;
        let line = |role, y, size, text: &str| {
            let text = lettering::shortened(text, size, width);
            Mark::new(role, Form::text(Point::new(left, y), size, Anchor::Start, text))
        };
        let mut y = self.window.min.y - WHITE - HEAD.to_mm();
        let mut marks = Vec::new();
        if self.is_wide {
            let about = caption.about_within(width * 0.6);
            let head_width = width - lettering::width(&about, SMALL) - Length::mm(WHITE);
            let head = caption.head.within(HEAD, head_width);
            let end = Point::new(left + width.to_mm(), y);
            marks.push(line(Role::Title, y, HEAD, &head));
            let about = Form::text(end, SMALL, Anchor::End, about);
            marks.push(Mark::new(Role::Note, about));
        } else {
            marks.push(line(Role::Title, y, HEAD, &caption.head.within(HEAD, width)));
            y -= LINE;
            marks.push(line(Role::Note, y, SMALL, &caption.about_within(width)));
        }
        for words in &self.notes {
            y -= LINE;
            marks.push(line(Role::Note, y, SMALL, words));
        }
        if let Some(name) = &caption.name {
            let at = Point::new(self.printable.max.x, self.printable.min.y);
            marks.push(Mark::new(Role::Title, Form::text(at, SHEET_NAME, Anchor::End, name)));
        }
        marks
    }

    /// A bar of 100 mm and one of 4 in along the page, and one of 100 mm up the page.
    fn bars(&self) -> Vec<Mark> {
        let corner = self.printable.min + Vec2::new(0.0, 1.5);
        let (right, up) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
        let inch = Length::MM_PER_INCH;
        let mut marks = bar(corner, right, [inch, 4.0]);
        marks.extend(bar(corner + up * 5.5, right, [10.0, 10.0]));
        let upright = Point::new(self.printable.min.x + 1.5, self.window.min.y);
        marks.extend(bar(upright, up, [10.0, 10.0]));
        let figure =
            |at, text| Mark::new(Role::CheckFigure, Form::text(at, SMALL, Anchor::Start, text));
        let beside = Vec2::new(103.6, -1.25);
        marks.push(figure(corner + beside, "4 in"));
        marks.push(figure(corner + beside + up * 5.5, "100 mm"));
        marks.push(figure(upright + Vec2::new(-1.5, 102.0), "mm"));
        marks.push(figure(upright + Vec2::new(-1.5, 105.8), "100"));
        marks
    }

    fn legend_marks(&self) -> Vec<Mark> {
        let rows = self.legend.len();
        let (x, top) = if self.is_wide {
            (self.printable.min.x + BARS.x, self.printable.min.y + BARS.y.max(line_height(rows)))
        } else {
            (self.printable.min.x, self.printable.min.y + BARS.y + line_height(rows))
        };
        let mut marks = Vec::new();
        let mut y = top;
        for row in &self.legend {
            y -= LINE;
            let mut at = Point::new(x, y);
            for sample in row {
                marks.extend(sample.marks(at));
                at += Vec2::new(sample.width(), 0.0);
            }
        }
        marks
    }
}

/// A bar of `steps` steps from `from` along the unit vector `along`, with a tick at each step.
pub(super) fn bar(from: Point, along: Vec2, [step, steps]: [f64; 2]) -> Vec<Mark> {
    let mark = |a, b| Mark::new(Role::CheckBar, Form::Line(a, b));
    let mut marks = vec![mark(from, from + along * (step * steps))];
    let mut n = 0.0;
    while n <= steps {
        let is_end = n < 0.5 || n > steps - 0.5;
        let tick = along.left() * if is_end { 1.5 } else { 0.9 };
        let at = from + along * (step * n);
        marks.push(mark(at - tick, at + tick));
        n += 1.0;
    }
    marks
}

/// The legend in rows no wider than `width`.
fn flowed(samples: &[Sample], width: f64) -> Vec<Vec<Sample>> {
    let mut rows: Vec<Vec<Sample>> = Vec::new();
    let mut used = f64::INFINITY;
    for sample in samples {
        if used + sample.width() - SAMPLE.1 > width {
            rows.push(Vec::new());
            used = 0.0;
        }
        used += sample.width();
        if let Some(row) = rows.last_mut() {
            row.push(*sample);
        }
    }
    rows
}

impl Sample {
    fn width(&self) -> f64 {
        SAMPLE.0 + 1.5 + lettering::width(self.words, SMALL).to_mm() + SAMPLE.1
    }

    /// A short piece of what it looks like, and the words.
    fn marks(&self, at: Point) -> Vec<Mark> {
        let middle = at + Vec2::new(0.0, SMALL.to_mm() / 2.0);
        let end = middle + Vec2::new(SAMPLE.0, 0.0);
        let words =
            Form::text(at + Vec2::new(SAMPLE.0 + 1.5, 0.0), SMALL, Anchor::Start, self.words);
        let mut marks = vec![Mark::new(Role::Note, words)];
        let half = Vec2::new(0.0, SMALL.to_mm() / 2.0);
        match self.role {
            Role::ClampLip => {
                marks.push(Mark::new(self.role, Form::rect(Rect::new(middle - half, end + half))));
            }
            Role::TurnMark => {
                let neck = end - Vec2::new(3.0, 0.0);
                let side = Vec2::new(0.0, 1.4);
                let head = Region::new(Ring::new(vec![end, neck + side, neck - side]), Vec::new());
                marks.push(Mark::new(self.role, Form::Line(middle, neck)));
                marks.push(Mark::new(self.role, Form::Region(head)));
            }
            role => marks.push(Mark::new(role, Form::Line(middle, end))),
        }
        marks
    }
}

/// The height of `n` lines.
fn line_height(n: usize) -> f64 {
    u32::try_from(n).map_or(0.0, f64::from) * LINE
}

/// The map of all sheets, this one shaded and those not printed crossed out.
pub(super) fn map_marks(frame: &Frame, map: &Map<'_>) -> Vec<Mark> {
    let Map { tiling, kept, here } = *map;
    let (columns, rows) = (count(tiling.columns), count(tiling.rows));
    let (wide, deep) = (tiling.window.x * columns, tiling.window.y * rows);
    let scale = (MAP.x / wide).min(MAP.y / deep);
    let cell = tiling.window * scale;
    let right_top = Point::new(frame.printable.max.x, frame.window.min.y - WHITE);
    let corner = right_top - Vec2::new(wide * scale, 0.0);
    let rect = |tile: Tile| {
        let at = corner + Vec2::new(cell.x * count(tile.column), -cell.y * count(tile.row));
        Rect::new(at, at + Vec2::new(cell.x, -cell.y))
    };
    let mut marks = vec![Mark::new(Role::MapHere, Form::rect(rect(here)))];
    marks.extend(tiling.tiles().map(|tile| Mark::new(Role::MapTile, Form::rect(rect(tile)))));
    let skipped = tiling.tiles().filter(|tile| !kept.contains(tile)).map(rect);
    marks.extend(skipped.flat_map(|cell| {
        let [a, b, c, d] = cell.corners();
        [Form::Line(a, c), Form::Line(b, d)].map(|form| Mark::new(Role::MapSkipped, form))
    }));
    marks
}

/// What the map shows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Map<'a> {
    pub(super) tiling: &'a super::tiling::Tiling,
    pub(super) kept: &'a std::collections::BTreeSet<Tile>,
    pub(super) here: Tile,
}

fn count(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::MAX, f64::from)
}

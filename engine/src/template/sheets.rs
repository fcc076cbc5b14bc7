//! The template: a pull's drawing at full size, on as few sheets of paper as it takes.

use std::collections::BTreeSet;

use super::correction::Factors;
use super::frame::{Asked, Caption, Frame, Map, map_marks};
use super::page::Head;
use super::seams::match_marks;
use super::tiling::{Tile, Tiling, kept};
use super::{Layer, Page, Paper, TemplateError, TemplateSettings};
use crate::drawing::{Corners, Drawing, Form, Mark, Role, corners, draw};
use crate::geometry::{Rect, Ring, Vec2};
use crate::plan::{PlacementId, Plan, PullId};
use crate::units::Length;

/// Sheets that a person will still tape together.
const PAGES_MOST: usize = 200;
/// The longest side of a PDF page: 14,400 points of 1/72 in (ISO 32000-1, annex C).
const PAGE_MOST: Length = Length::inches(200.0);
/// What is shown beyond the blank, so that the line of its edge is whole.
const BEYOND: Length = Length::mm(1.0);
/// The widest line that is printed, so that a line at the edge of a sheet counts as being on it.
const LINE_WIDTH: Length = Length::mm(1.0);

/// Full-size sheets for one pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// The sheets, row by row from the back, each from the left.
    pub pages: Vec<Page>,
    /// Sheets side by side.
    pub columns: usize,
    /// Sheets from back to front.
    pub rows: usize,
    /// Sheets left out because nothing is drawn on them.
    pub skipped: usize,
    /// What has no locating corners although they were asked for: there is no room for enough of them, or it is a cavity.
    pub without_corners: Vec<PlacementId>,
}

/// The sheets to set the molds of `pull` by.
///
/// The paper is turned whichever way takes fewer sheets. **Units**: the marks of each page are in its own
/// millimetres, at true size. **Cost**: sheets times marks.
///
/// # Errors
/// Names an unknown pull, an overlap or margin outside its range, more than 200 sheets, or one sheet larger
/// than a PDF page may be.
pub fn template(
    plan: &Plan,
    pull: PullId,
    settings: &TemplateSettings,
) -> Result<Template, TemplateError> {
    let name = &plan.pulls.get(&pull).ok_or(TemplateError::NoSuchPull(pull))?.name;
    settings.check()?;
    let content = plan.machine.blank.rect().grown(BEYOND);
    let joining = joining(plan);
    let (frame, tiling, factors) = laid_out(content, &joining, settings)?;
    let mut drawing = draw(plan, pull, &[]);
    let corners = if settings.corners { corners(plan, pull) } else { Corners::default() };
    drawing.marks.extend(corners.marks);
    let sheets = Sheets { factors, ..Sheets::new(&drawing, frame, tiling) };
    let head = Head { plan: plan.name.clone(), pull: name.clone() };
    let made = sheets.template(&head, settings);
    let pages = made.pages.into_iter().map(|page| factors.corrected(page)).collect();
    Ok(Template { pages, without_corners: corners.without, ..made })
}

/// How the sheets are joined, and what to hold the joined sheets against.
fn joining(plan: &Plan) -> String {
    let blank = plan.machine.blank.rect();
    let diagonal = Length::mm(blank.min.distance(blank.max));
    format!(
        "Cut at the dashed lines, lay over the neighbour until the marks meet, tape. \
         Corner to corner the blank is {}.",
        plan.settings.lengths.show(diagonal)
    )
}

/// The paper's frame, the division of the content over it, and what the page is corrected by; in millimetres of the
/// printed sheet.
type LaidOut = (Frame, Tiling, Factors);

fn laid_out(
    content: Rect,
    joining: &str,
    settings: &TemplateSettings,
) -> Result<LaidOut, TemplateError> {
    let extent = content.max - content.min;
    let Some([short, long]) = settings.paper.sides() else {
        let frame = Frame::around(extent, settings.margin, asked(settings));
        let factors = correction(false, settings);
        let page = Vec2::new(frame.page.x * factors.x, frame.page.y * factors.y);
        if page.x.max(page.y) > PAGE_MOST.to_mm() {
            let (width, height) = (Length::mm(page.x), Length::mm(page.y));
            return Err(TemplateError::PageTooLarge { width, height, most: PAGE_MOST });
        }
        return Ok((frame, Tiling::new(content, extent, Length::ZERO), factors));
    };
    let upright = Vec2::new(short.to_mm(), long.to_mm());
    let lying = Vec2::new(long.to_mm(), short.to_mm());
    let tried = [upright, lying].map(|page| on_paper(content, page, joining, settings));
    let [upright, lying] = tried;
    let best = if lying.1.n_tiles() < upright.1.n_tiles() { lying } else { upright };
    let pages = best.1.n_tiles();
    if pages > PAGES_MOST {
        return Err(TemplateError::TooManyPages { pages, most: PAGES_MOST });
    }
    Ok(best)
}

/// One way round of the paper; the words on joining sheets are left out when one sheet is enough.
fn on_paper(content: Rect, page: Vec2, joining: &str, settings: &TemplateSettings) -> LaidOut {
    let factors = correction(page.x > page.y, settings);
    let tried = |joining| {
        let asked = Asked { joining, ..asked(settings) };
        let frame = Frame::inside(factors.printed(page), settings.margin, asked);
        let window = frame.window.max - frame.window.min;
        let tiling = Tiling::new(content, window, settings.overlap);
        (frame, tiling, factors)
    };
    let alone = tried(None);
    if alone.1.n_tiles() == 1 { alone } else { tried(Some(joining)) }
}

fn asked(settings: &TemplateSettings) -> Asked<'_> {
    Asked { has_corners: settings.corners, ..Asked::default() }
}

/// What a page is corrected by; one that `lies` is wider than high.
fn correction(lies: bool, settings: &TemplateSettings) -> Factors {
    let printer = settings.printer.as_ref();
    printer.map_or(Factors::NONE, |printer| printer.correction().on(lies))
}

/// A drawing, the frame of each page, and which part of the blank goes on which.
#[derive(Debug)]
struct Sheets<'a> {
    drawing: &'a Drawing,
    frame: Frame,
    tiling: Tiling,
    kept: BTreeSet<Tile>,
    match_marks: Vec<Mark>,
    factors: Factors,
}

impl<'a> Sheets<'a> {
    fn new(drawing: &'a Drawing, frame: Frame, tiling: Tiling) -> Self {
        let kept = kept(&tiling, |tile| is_empty(drawing, tiling.shows(tile)));
        let standing = drawing.marks.iter().filter(|mark| mark.subject.is_some());
        let drawn: Vec<Rect> = standing.filter_map(|mark| mark.form.bounds()).collect();
        let match_marks = match_marks(&tiling, &kept, &drawn);
        Self { drawing, frame, tiling, kept, match_marks, factors: Factors::NONE }
    }

    fn template(&self, head: &Head, settings: &TemplateSettings) -> Template {
        let pages = self.kept.iter().enumerate();
        Template {
            pages: pages
                .map(|(n, &tile)| self.page(tile, &self.caption(n, tile, head, settings)))
                .collect(),
            columns: self.tiling.columns,
            rows: self.tiling.rows,
            skipped: self.tiling.n_tiles() - self.kept.len(),
            without_corners: Vec::new(),
        }
    }

    fn caption(&self, n: usize, tile: Tile, head: &Head, settings: &TemplateSettings) -> Caption {
        let printer = settings.printer.as_ref().map(|printer| printer.words(self.factors));
        let made_for = match settings.paper {
            // With a printer's name beside it there is no room for more.
            Paper::Letter | Paper::A4 if printer.is_some() => settings.paper.name().to_owned(),
            Paper::Letter | Paper::A4 => format!("made for {} paper", settings.paper.name()),
            Paper::One => "made for one large sheet".to_owned(),
        };
        let made = format!("{}, {made_for}", settings.date);
        if self.tiling.n_tiles() == 1 {
            return Caption { head: head.clone(), about: made, printer, name: None };
        }
        let name = tile.name();
        let about = format!("Sheet {name}, {} of {}, {made}", n + 1, self.kept.len());
        Caption { head: head.clone(), about, printer, name: Some(name) }
    }

    fn page(&self, tile: Tile, caption: &Caption) -> Page {
        let shown = self.tiling.shows(tile);
        let onto_page = self.frame.window.min - shown.min;
        let content = self.drawing.marks.iter().chain(&self.match_marks);
        let content = content
            .filter(|mark| is_near(&mark.form, shown))
            .map(|mark| mark.moved(onto_page))
            .collect();
        let mut around = self.edges(tile);
        around.extend(self.frame.marks(caption));
        if self.tiling.n_tiles() > 1 {
            let map = Map { tiling: &self.tiling, kept: &self.kept, here: tile };
            around.extend(map_marks(&self.frame, &map));
        }
        Page {
            name: tile.name(),
            width: Length::mm(self.frame.page.x),
            height: Length::mm(self.frame.page.y),
            layers: vec![
                Layer { window: Some(self.frame.window), marks: content },
                Layer { window: None, marks: around },
            ],
        }
    }

    /// The four edges of the window, those to be cut marked as such.
    fn edges(&self, tile: Tile) -> Vec<Mark> {
        if self.tiling.n_tiles() == 1 {
            return Vec::new();
        }
        let [a, b, c, d] = self.frame.window.corners();
        let has_left = tile.left().is_some_and(|left| self.kept.contains(&left));
        let has_front = self.kept.contains(&tile.front());
        let role = |is_cut| if is_cut { Role::CutLine } else { Role::TileEdge };
        vec![
            Mark::new(role(has_front), Form::Line(a, b)),
            Mark::new(Role::TileEdge, Form::Line(b, c)),
            Mark::new(Role::TileEdge, Form::Line(c, d)),
            Mark::new(role(has_left), Form::Line(d, a)),
        ]
    }
}

/// True when no line, lettering or shaded strip shows within `window`.
fn is_empty(drawing: &Drawing, window: Rect) -> bool {
    let mut marks = drawing.marks.iter();
    !marks.any(|mark| is_seen(&mark.form, window) || is_shading(mark, window))
}

/// True when the clamp lip shades all of `window`, which none of its edges then crosses.
fn is_shading(mark: &Mark, window: Rect) -> bool {
    let within = |ring: &Ring| ring.bounds().is_some_and(|b| b.contains(window.center()));
    match &mark.form {
        Form::Region(lip) if mark.role == Role::ClampLip => {
            within(&lip.outer) && !lip.holes.iter().any(within)
        }
        _ => false,
    }
}

fn is_near(form: &Form, window: Rect) -> bool {
    form.bounds().is_some_and(|bounds| bounds.intersection(window).is_some())
}

/// True when a line or lettering of `form` shows within `window`; the inside of an outline is nothing drawn.
fn is_seen(form: &Form, window: Rect) -> bool {
    let window = window.grown(LINE_WIDTH / 2.0);
    if !is_near(form, window) {
        return false;
    }
    match form {
        Form::Text { .. } => true,
        Form::Line(a, b) => window.meets_line(*a, *b),
        Form::Polyline(points) => points.windows(2).any(|ab| window.meets_line(ab[0], ab[1])),
        Form::Region(region) => {
            region.rings().flat_map(Ring::sides).any(|(a, b)| window.meets_line(a, b))
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::geometry::{Point, Pose};
    use crate::plan::{CopyNumber, Machine, MoldId, Placement, PlacementId, Size, sample};
    use crate::units::Angle;

    const PULL: PullId = PullId(1);

    /// The sample's crab shell alone on a blank of 1.5 x 1.2 m.
    fn lonely() -> Plan {
        let mut plan = sample();
        let blank = Size::new(Length::mm(1500.0), Length::mm(1200.0));
        plan.machine = Machine::with_lip(blank, Length::mm(15.0), Length::mm(150.0));
        let pose = Pose::new(Point::new(420.0, 400.0), Angle::ZERO);
        let placement = Placement { mold: MoldId(2), copy: CopyNumber(1), pose, locked: false };
        if let Some(pull) = plan.pulls.get_mut(&PULL) {
            Arc::make_mut(pull).placements = [(PlacementId(1), placement)].into();
        }
        plan
    }

    /// Places a millimetre apart along every line of a form.
    fn along(form: &Form) -> Vec<Point> {
        let line = |a: Point, b: Point| {
            let n = libm::ceil(a.distance(b)).max(1.0);
            std::iter::successors(Some(0.0), move |i| (*i < n).then_some(i + 1.0))
                .map(move |i| a + (b - a) * (i / n))
                .collect::<Vec<_>>()
        };
        match form {
            Form::Region(region) => {
                region.rings().flat_map(Ring::sides).flat_map(|(a, b)| line(a, b)).collect()
            }
            Form::Line(a, b) => line(*a, *b),
            Form::Polyline(points) => points.windows(2).flat_map(|ab| line(ab[0], ab[1])).collect(),
            Form::Text { at, .. } => vec![*at],
        }
    }

    #[test]
    fn sheets_with_nothing_on_them_are_left_out_and_nothing_drawn_is_lost() {
        let plan = lonely();
        let settings = TemplateSettings::new(Paper::A4, "today");
        let content = plan.machine.blank.rect().grown(BEYOND);
        let (frame, tiling, _) = laid_out(content, "", &settings).expect("fits");
        let drawing = draw(&plan, PULL, &[]);
        let sheets = Sheets::new(&drawing, frame, tiling);
        let n_left_out = sheets.tiling.n_tiles() - sheets.kept.len();
        assert!(n_left_out > 5, "{n_left_out} of {}", sheets.tiling.n_tiles());
        let shown: Vec<Rect> = sheets.kept.iter().map(|&tile| sheets.tiling.shows(tile)).collect();
        for mark in &drawing.marks {
            for place in along(&mark.form) {
                assert!(shown.iter().any(|sheet| sheet.contains(place)), "{mark:?} at {place:?}");
            }
        }
    }

    #[test]
    fn a_template_counts_its_sheets_and_crosses_out_those_left_out() {
        let settings = TemplateSettings::new(Paper::Letter, "today");
        let template = template(&lonely(), PULL, &settings).expect("fits");
        assert_eq!(template.pages.len() + template.skipped, template.columns * template.rows);
        for page in &template.pages {
            let marks = page.layers.iter().flat_map(|layer| &layer.marks);
            let crosses = marks.filter(|mark| mark.role == Role::MapSkipped).count();
            assert_eq!(crosses, template.skipped * 2, "{}", page.name);
        }
    }

    #[test]
    fn the_paper_lies_whichever_way_takes_fewer_sheets() {
        let mut plan = sample();
        for (width, depth, is_upright) in [(170.0, 230.0, true), (255.0, 150.0, false)] {
            let blank = Size::new(Length::mm(width), Length::mm(depth));
            plan.machine = Machine::with_lip(blank, Length::mm(15.0), Length::mm(150.0));
            let settings = TemplateSettings::new(Paper::A4, "today");
            let pages = template(&plan, PULL, &settings).expect("fits").pages;
            assert_eq!(pages.len(), 1, "{width} x {depth}");
            assert_eq!(pages[0].width < pages[0].height, is_upright);
        }
    }
}

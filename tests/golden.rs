//! The sample plan's drawing, sheet and card as text, against the references in `ref/`.
//!
//! After a change that is meant to be seen: `UPDATE=1 cargo test -p onepull-tests --test golden`, then read the
//! difference.

use std::fmt::Write as _;
use std::path::Path;

use engine::drape::{self, What};
use engine::drawing::{
    Diagram, Drawing, Focus, Form, Mark, Role, draw, draw_focus, explain, explain_forecast,
};
use engine::export;
use engine::geometry::{Point, Rect, Ring};
use engine::plan::{PlacementId, PullId, Texture, sample};
use engine::rules::{Finding, Measure, Place, Rule, Severity, Subject, check};
use engine::template::{Page, Paper, TemplateSettings, bench_card, template};
use engine::units::{Angle, Length};

const PULL: PullId = PullId(1);

#[test]
fn the_sample_is_drawn_as_in_the_reference() {
    let plan = sample();
    let drawing = draw(&plan, PULL, &check(&plan, PULL));
    compare("sample-drawing.txt", &drawing_text(&drawing));
}

#[test]
fn moving_the_limpet_is_drawn_as_in_the_reference() {
    let focus = Focus { moved: [PlacementId(2)].into() };
    let marks = draw_focus(&sample(), PULL, &focus);
    compare("sample-focus.txt", &marks.iter().map(mark_line).collect::<String>());
}

#[test]
fn the_sample_as_one_sheet_is_the_svg_of_the_reference() {
    let settings = TemplateSettings::new(Paper::One, "2026-08-12");
    let pages = template(&sample(), PULL, &settings).expect("a template").pages;
    compare("sample-one.svg", &export::svg(&pages[0]));
}

#[test]
fn the_bench_card_says_what_the_reference_says() {
    let settings = TemplateSettings::new(Paper::A4, "2026-08-12");
    let pages = bench_card(&sample(), PULL, &settings).expect("a card");
    compare("sample-card.txt", &pages.iter().map(page_words).collect::<String>());
}

/// The reference is a page to look at, a picture for each thing that can be found.
#[test]
fn everything_that_can_be_found_is_explained_as_in_the_reference() {
    let mut plan = sample();
    plan.stock.texture = Texture::AgainstMold;
    let mut text = "<!doctype html><title>What explains a finding</title>\n".to_owned();
    let mut add = |name: &str, Diagram { drawing, says }: &Diagram| {
        let picture = works::picture(drawing, says);
        write!(text, "<h2>{name}</h2>\n<p>{says}</p>\n{picture}\n").expect("writing to a string");
    };
    for rule in Rule::ALL {
        let (measured, allowed) = figures(rule);
        let subjects = vec![Subject::Placement(PlacementId(1))];
        let severity = Severity::Caution;
        let finding = Finding { rule, severity, subjects, place: None, measured, allowed };
        add(rule.name(), &explain(&finding, &plan, PULL));
    }
    for what in [What::Split, What::Thin, What::Span, What::Fold, What::Bridge] {
        let warning = drape::Finding {
            what,
            severity: Severity::Caution,
            subjects: vec![Subject::Placement(PlacementId(1))],
            place: Place::Point(Point::ORIGIN),
            measured: Measure::Length(Length::mm(0.6)),
            allowed: Some(Measure::Length(Length::mm(0.8))),
            why: None,
        };
        let name = format!("forecast: {} ({what:?})", what.name());
        add(&name, &explain_forecast(&warning, plan.settings.lengths));
    }
    compare("explained.html", &text);
}

fn figures(rule: Rule) -> (Option<Measure>, Option<Measure>) {
    let (measured, allowed) = match rule {
        Rule::Draft => [1.0, 3.0].map(|angle| Measure::Angle(Angle::degrees(angle))).into(),
        Rule::HeightToWidth => (Measure::Ratio(1.25), Measure::Ratio(1.0)),
        Rule::Copies => (Measure::Count(2), Measure::Count(1)),
        Rule::Gauge => [0.5, 0.76].map(|mm| Measure::Length(Length::mm(mm))).into(),
        Rule::Footprint | Rule::Texture => return (None, None),
        _ => [18.0, 30.0].map(|mm| Measure::Length(Length::mm(mm))).into(),
    };
    (Some(measured), Some(allowed))
}

fn drawing_text(drawing: &Drawing) -> String {
    let bounds = drawing.bounds;
    let head = format!("bounds {} {}\n", place(bounds.min), place(bounds.max));
    head + &drawing.marks.iter().map(mark_line).collect::<String>()
}

/// One mark in a line: its role, its subject and its form, to 0.01 mm.
fn mark_line(mark: &Mark) -> String {
    let subject = mark.subject.map_or(String::new(), |subject| format!(" {subject:?}"));
    let form = match &mark.form {
        Form::Region(region) => region.rings().map(ring).collect::<Vec<_>>().join(" less "),
        Form::Line(a, b) => format!("line {} {}", place(*a), place(*b)),
        Form::Polyline(points) => format!("polyline {}", places(points)),
        Form::Text { at, size, anchor, text } => {
            format!("text {} {} {anchor:?} {text:?}", place(*at), size.to_mm())
        }
    };
    format!("{:?}{subject}: {form}\n", mark.role)
}

/// The bounds, the corner count and the area of an outline: enough to notice any change, short enough to read.
fn ring(ring: &Ring) -> String {
    let bounds = ring.bounds().expect("corners");
    let n_corners = ring.points().len();
    let area = ring.signed_area();
    format!("ring {} {} {n_corners} corners {area:.1} mm2", place(bounds.min), place(bounds.max))
}

fn places(points: &[Point]) -> String {
    points.iter().map(|&p| place(p)).collect::<Vec<_>>().join(" ")
}

fn place(p: Point) -> String {
    // Adding zero turns minus zero into zero.
    let hundredth = |mm: f64| format!("{:.2}", (mm * 100.0).round() / 100.0 + 0.0);
    format!("{},{}", hundredth(p.x), hundredth(p.y))
}

/// The words of a page, line by line from the top, pieces of a line from the left; a box to tick stands as `[ ]` in its line.
fn page_words(page: &Page) -> String {
    let marks = page.layers.iter().flat_map(|layer| &layer.marks);
    let mut words: Vec<(i64, i64, &str)> = marks
        .filter_map(|mark| match &mark.form {
            Form::Text { at, text, .. } => Some((tenths(-at.y), tenths(at.x), text.as_str())),
            Form::Region(_) | Form::Line(..) | Form::Polyline(_) => None,
        })
        .collect();
    let boxes = page.layers.iter().flat_map(|layer| &layer.marks);
    let boxes = boxes.filter(|mark| mark.role == Role::TickBox);
    let boxes: Vec<_> =
        boxes.filter_map(|mark| mark.form.bounds()).map(|b| line_of(&words, b)).collect();
    words.extend(boxes);
    words.sort_unstable();
    let mut text = format!("# {}\n", page.name);
    let mut last = None;
    for (y, _, words) in words {
        let between = if last == Some(y) { " | " } else { "\n" };
        write!(text, "{between}{words}").expect("writing to a string");
        last = Some(y);
    }
    text + "\n"
}

/// A box to tick, in the line of the words that stand beside it.
#[track_caller]
fn line_of(words: &[(i64, i64, &str)], around: Rect) -> (i64, i64, &'static str) {
    let [top, bottom] = [around.max.y, around.min.y].map(|y| tenths(-y));
    let beside = words.iter().find(|(y, _, _)| (top..=bottom).contains(y));
    let (line, ..) = beside.unwrap_or_else(|| panic!("a box beside nothing: {around:?}"));
    (*line, tenths(around.min.x), "[ ]")
}

fn tenths(mm: f64) -> i64 {
    format!("{:.0}", mm * 10.0).parse().expect("a whole number")
}

/// Holds `text` against a reference, or writes the reference anew under `UPDATE=1`.
fn compare(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("ref").join(name);
    if std::env::var_os("UPDATE").is_some_and(|value| value == "1") {
        std::fs::write(&path, text).expect("a reference that can be written");
        return;
    }
    let reference = std::fs::read_to_string(&path).expect("a reference; make it with UPDATE=1");
    let pairs = reference.lines().zip(text.lines());
    let first = pairs.enumerate().find(|(_, (was, is))| was != is);
    let first = first.map(|(n, (was, is))| format!("line {}:\n- {was}\n+ {is}", n + 1));
    assert!(reference == text, "{name} differs; {}", first.unwrap_or_else(|| "in length".into()));
}

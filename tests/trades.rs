//! What goes to other trades' machines: DXF and cutter files read back by others, locating corners, corrected prints.

#![expect(clippy::print_stdout, reason = "the measured figures are for whoever runs the test")]

#[allow(dead_code, reason = "shared with the tests of what is printed, and nobody needs all of it")]
mod printed;

use std::sync::Arc;

use dxf::entities::EntityType;
use dxf::enums::{DrawingUnits, Units};
use engine::drawing::{Drawing, Form, Mark, Role, corners, draw_workshop};
use engine::export::{self, cutter};
use engine::geometry::{Point, Pose, Rect, Region, Shape, Vec2, is_overlapping};
use engine::intake::{Found, Scale, SourceUnit, read_dxf, read_svg};
use engine::plan::{Footprint, MoldId, MoldKind, Placement, PlacementId, Plan, PullId, sample};
use engine::rules::Subject;
use engine::template::{
    Correction, Paper, Printer, Template, TemplateSettings, bench_card, photo_card, template,
};
use engine::units::{Angle, Length};
use printed::{pdf, random, svg, truth};

const PULL: PullId = PullId(1);
/// How true an outline has to be read back from an exchange file, in millimetres.
const EXCHANGED: f64 = 0.01;

fn plans() -> impl Iterator<Item = Plan> {
    [sample()].into_iter().chain((0..12).map(random::plan))
}

/// The outline of a placement as the test computes it.
fn outline(plan: &Plan, placement: &Placement) -> Vec<Point> {
    let own = truth::outline(&plan.molds[&placement.mold].footprint);
    truth::placed(&own, placement.pose.at, placement.pose.turn)
}

fn placements(plan: &Plan) -> impl Iterator<Item = (&PlacementId, &Placement)> {
    plan.pulls[&PULL].placements.iter()
}

/// How far the ring that comes nearest to an outline strays from it.
fn stray(rings: &[Vec<Point>], outline: &[Point]) -> f64 {
    rings.iter().map(|ring| truth::stray(ring, outline)).fold(f64::INFINITY, f64::min)
}

fn read(text: &str) -> dxf::Drawing {
    dxf::Drawing::load(&mut text.as_bytes()).expect("a DXF that another library reads")
}

/// The closed polylines of a layer.
fn rings(drawing: &dxf::Drawing, layer: &str) -> Vec<Vec<Point>> {
    let on_layer = drawing.entities().filter(|entity| entity.common.layer == layer);
    let rings = on_layer.filter_map(|entity| match &entity.specific {
        EntityType::LwPolyline(line) => {
            assert!(line.is_closed(), "an open polyline on {layer}");
            assert!(line.vertices.iter().all(|v| v.bulge.abs() < 1e-12));
            Some(line.vertices.iter().map(|v| Point::new(v.x, v.y)).collect())
        }
        _ => None,
    });
    rings.collect()
}

/// The `dxf` crate (MIT) reads the file back.
#[test]
fn a_dxf_is_read_by_another_library_with_the_same_geometry_in_millimetres() {
    let mut worst = 0.0_f64;
    for plan in plans() {
        let read = read(&export::dxf(&draw_workshop(&plan, PULL, true)));
        assert_eq!(read.header.default_drawing_units, Units::Millimeters);
        assert_eq!(read.header.drawing_units, DrawingUnits::Metric);
        let molds = rings(&read, "MOLD");
        for (_, placement) in placements(&plan) {
            worst = worst.max(stray(&molds, &outline(&plan, placement)));
        }
        assert_eq!(molds.len(), placements(&plan).count(), "these molds have no holes");
        let machine = &plan.machine;
        for (layer, rect) in [
            ("BLANK", machine.blank.rect()),
            ("OPENING", machine.opening()),
            ("PLATEN", machine.platen),
        ] {
            let found = rings(&read, layer);
            assert_eq!(found.len(), 1, "{layer}");
            worst = worst.max(stray(&found, &rect.corners()));
        }
        let known = ["BLANK", "OPENING", "PLATEN", "CENTRE", "TRIM", "CORNER", "MOLD", "TEXT"];
        let named: Vec<&str> = read.layers().map(|layer| layer.name.as_str()).collect();
        for layer in known {
            assert!(named.contains(&layer), "{layer} is not among {named:?}");
        }
        assert!(read.entities().all(|entity| known.contains(&entity.common.layer.as_str())));
    }
    println!("worst of what the dxf crate reads: {worst:.5} mm");
    assert!(worst <= EXCHANGED, "{worst} mm");
}

#[test]
fn a_dxf_says_number_name_and_height_and_marks_the_centres() {
    let mut plan = sample();
    let hostile = "Shell\u{0}\r\n0\nEOF %%u^J \\P 50%% \u{e9}";
    Arc::make_mut(plan.molds.get_mut(&MoldId(1)).expect("a mold")).name = hostile.into();
    let text = export::dxf(&draw_workshop(&plan, PULL, false));
    assert!(text.is_ascii() && !text.contains("%%") && !text.contains('^'));
    let read = read(&text);
    let words: Vec<&str> = read
        .entities()
        .filter_map(|entity| match &entity.specific {
            EntityType::Text(text) => Some(text.value.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(words.len(), 3 * placements(&plan).count(), "{words:?}");
    assert!(words.iter().any(|word| word.starts_with("Shell0EOF %uJ /P 50% ")), "{words:?}");
    assert!(words.contains(&"22 mm tall"), "{words:?}");
    for (_, placement) in placements(&plan) {
        let at = placement.pose.at;
        let through = read.entities().filter(|entity| match &entity.specific {
            EntityType::Line(line) if entity.common.layer == "CENTRE" => {
                let (a, b) = (Point::new(line.p1.x, line.p1.y), Point::new(line.p2.x, line.p2.y));
                (a.distance(at) + b.distance(at) - a.distance(b)).abs() < 1e-5
                    && a.distance(b) < 20.0
            }
            _ => false,
        });
        assert!(through.count() >= 2, "a cross at {at:?}");
    }
}

/// Nothing but the footprints, as they come back through our own door for drawings.
#[test]
fn footprints_come_back_through_our_own_door_from_dxf_and_from_the_cutter_file() {
    let mut worst = 0.0_f64;
    for plan in [apart(), holed()] {
        let drawing = draw_workshop(&plan, PULL, false);
        let marks = drawing.marks.iter().filter(|mark| mark.role == Role::Mold).cloned();
        let molds = Drawing { marks: marks.collect(), ..drawing };
        let by_dxf = read_dxf(export::dxf(&molds).as_bytes(), None);
        let by_svg = read_svg(cutter(&molds, &[Role::Mold]).as_bytes(), None);
        assert_eq!(by_dxf.scale, Scale::Known(SourceUnit::Millimetre));
        for (mark, placement) in molds.marks.iter().zip(plan.pulls[&PULL].placements.values()) {
            let Form::Region(region) = &mark.form else { panic!("a footprint is a region") };
            for found in [&by_dxf, &by_svg] {
                let off = came_back(found, region);
                worst = worst.max(off);
                assert!(off <= EXCHANGED, "{placement:?}: {off} mm");
            }
        }
        assert_eq!(by_dxf.outlines.len(), molds.marks.len(), "{:?}", by_dxf.problems);
        assert_eq!(by_svg.outlines.len(), molds.marks.len(), "{:?}", by_svg.problems);
    }
    println!("worst of what our own door reads: {worst:.5} mm");
}

/// How far the found outline of the same size strays, wherever its file counts from; its holes must be as many.
fn came_back(found: &Found, region: &Region) -> f64 {
    let centred = |region: &Region| {
        let middle = region.bounds().expect("bounds").center().to_vec2();
        let ring = region.outer.points().iter().map(|&p| p - middle).collect::<Vec<_>>();
        (ring, region.holes.len())
    };
    let (wanted, n_holes) = centred(region);
    let found = found.outlines.iter().map(|outline| centred(&outline.region));
    let rings: Vec<Vec<Point>> = found.filter(|(_, n)| *n == n_holes).map(|(r, _)| r).collect();
    stray(&rings, &wanted)
}

/// The sample, whose molds stand clear of each other.
fn apart() -> Plan {
    sample()
}

/// The sample with a hole in its crab shell.
fn holed() -> Plan {
    let mut plan = sample();
    let mold = Arc::make_mut(plan.molds.values_mut().next().expect("a mold"));
    let ring = |side: f64| {
        let half = side / 2.0;
        let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
        engine::geometry::Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec())
    };
    mold.footprint = Footprint::Outline { outer: ring(60.0), holes: vec![ring(24.0).reversed()] };
    plan
}

#[test]
fn a_cutter_file_holds_one_closed_hairline_a_mold_and_nothing_else() {
    for plan in [sample(), holed()] {
        let drawing = draw_workshop(&plan, PULL, true);
        let text = cutter(&drawing, &[Role::Mold]);
        let document = roxmltree::Document::parse(&text).expect("XML");
        let shapes: Vec<_> =
            document.root_element().children().filter(|n| n.is_element()).collect();
        assert_eq!(shapes.len(), placements(&plan).count());
        for shape in &shapes {
            assert_eq!(shape.tag_name().name(), "path");
            assert_eq!(shape.attribute("fill"), Some("none"));
            assert_eq!(shape.attribute("stroke-width"), Some("0.01"));
            let data = shape.attribute("d").expect("data");
            assert_eq!(data.matches('M').count(), data.matches('Z').count());
        }
        let (page, words) = svg::page(&text);
        let blank = plan.machine.blank;
        let off =
            (page.width - blank.width.to_mm()).abs().max((page.height - blank.depth.to_mm()).abs());
        assert!(words.is_empty() && off < 1e-3, "{off}");
        let runs: Vec<Vec<Point>> = page.runs.iter().map(|run| run.points.clone()).collect();
        for (_, placement) in placements(&plan) {
            let off = stray(&runs, &outline(&plan, placement));
            assert!(off <= EXCHANGED, "{placement:?}: {off} mm");
        }
        let n_trims = drawing.marks.iter().filter(|mark| mark.role == Role::TrimLine).count();
        let both = cutter(&drawing, &[Role::Mold, Role::TrimLine]);
        assert_eq!(both.matches("<path").count(), shapes.len() + n_trims);
    }
}

/// Pieces of each placement.
fn pieces(marks: &[Mark], of: PlacementId) -> Vec<Region> {
    let own = marks.iter().filter(|mark| mark.subject == Some(Subject::Placement(of)));
    let regions = own.filter_map(|mark| match &mark.form {
        Form::Region(region) => Some(region.clone()),
        Form::Line(..) | Form::Polyline(_) | Form::Text { .. } => None,
    });
    regions.collect()
}

#[test]
fn a_mold_set_against_its_corners_stands_within_a_tenth_of_a_millimetre() {
    let (mut worst, mut n_held, mut n_without) = (0.0_f64, 0, 0);
    for plan in plans() {
        let made = corners(&plan, PULL);
        n_without += made.without.len();
        for (id, placement) in placements(&plan) {
            let pieces = pieces(&made.marks, *id);
            assert_eq!(pieces.is_empty(), made.without.contains(id));
            if !pieces.is_empty() {
                n_held += 1;
                let outline = fine(&outline(&plan, placement));
                assert!(!is_blocked(&outline, &pieces), "{id:?} does not drop in");
                let play = play(&outline, placement.pose.at, &pieces);
                assert!(play <= 0.1, "{id:?} of {}: {play} mm", plan.name);
                worst = worst.max(play);
            }
        }
    }
    println!("{n_held} molds held, {n_without} without room; the most play is {worst:.4} mm");
    assert!(n_held > 20, "{n_held}");
}

/// The outline with places at most half a millimetre apart.
fn fine(outline: &[Point]) -> Vec<Point> {
    let next = outline.iter().cycle().skip(1);
    let sides = outline.iter().zip(next);
    let places = sides.flat_map(|(a, b)| {
        let n = (a.distance(*b) / 0.5).ceil().max(1.0);
        let shares = std::iter::successors(Some(0.0), move |i| (i + 1.0 < n).then_some(i + 1.0));
        shares.map(move |i| *a + (*b - *a) * (i / n))
    });
    places.collect()
}

/// How far any place of the outline can come out of the true one, moving and turning until a piece is in the way.
fn play(outline: &[Point], middle: Point, pieces: &[Region]) -> f64 {
    let far = outline.iter().map(|p| p.distance(middle)).fold(0.0, f64::max);
    let mut worst = 0.0_f64;
    for direction in 0..16_u32 {
        for tilt in [-80.0, -45.0, -15.0, 0.0, 15.0, 45.0, 80.0] {
            let (sin, cos) = Angle::degrees(tilt).sin_cos();
            let by = Vec2::unit(Angle::degrees(22.5 * f64::from(direction))) * cos;
            let moved = |amount: f64| -> Vec<Point> {
                let own: Vec<Point> = outline.iter().map(|p| *p - middle.to_vec2()).collect();
                let turn = Angle::radians(sin * amount / far);
                truth::placed(&own, middle + by * amount, turn)
            };
            // A round mold turns freely, but its outline goes nowhere; so what counts is how far that one goes.
            let (mut free, mut blocked) = (0.0, 0.6);
            for _ in 0..7 {
                let middle = f64::midpoint(free, blocked);
                if is_blocked(&moved(middle), pieces) { blocked = middle } else { free = middle }
            }
            worst = worst.max(out_of(outline, &moved(free)));
        }
    }
    worst
}

/// How far the moved outline leaves the true one, by every eighth place of the one and the nearest sides of the other.
fn out_of(outline: &[Point], moved: &[Point]) -> f64 {
    let n = outline.len();
    let off = |at: usize| {
        let near = (0..40).map(|k| (at + n + k - 20) % n);
        near.map(|k| segment_distance(moved[at], outline[k], outline[(k + 1) % n]))
            .fold(f64::INFINITY, f64::min)
    };
    (0..n).step_by(8).map(off).fold(0.0, f64::max)
}

fn segment_distance(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let length = along.dot(along);
    let share = if length > 0.0 { ((p - a).dot(along) / length).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + along * share)
}

/// True when a place of the outline lies in a piece, or a corner of a piece within the outline.
fn is_blocked(outline: &[Point], pieces: &[Region]) -> bool {
    pieces.iter().any(|piece| {
        let bounds = piece.bounds().expect("bounds");
        let ring = piece.outer.points();
        outline.iter().any(|p| bounds.contains(*p) && is_inside(*p, ring))
            || ring.iter().step_by(3).any(|p| is_inside(*p, outline))
    })
}

/// Even and odd crossings of a level line.
fn is_inside(p: Point, ring: &[Point]) -> bool {
    let next = ring.iter().cycle().skip(1);
    let crossed = ring.iter().zip(next).filter(|(a, b)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossed.count() % 2 == 1
}

#[test]
fn corners_keep_clear_of_every_other_mold_and_corner_and_stay_on_the_blank() {
    let still = Pose::default();
    let mut n_pieces = 0;
    for plan in plans() {
        let marks = corners(&plan, PULL).marks;
        let blank = plan.machine.blank.rect();
        let molds: Vec<(PlacementId, Shape)> = placements(&plan)
            .map(|(id, placement)| {
                let region = plan.molds[&placement.mold].footprint.region(Length::mm(0.004));
                (*id, Shape::new(region.placed(placement.pose)))
            })
            .collect();
        let shapes: Vec<(Option<Subject>, Shape)> = marks
            .iter()
            .map(|mark| match &mark.form {
                Form::Region(region) => (mark.subject, Shape::new(region.clone())),
                form => panic!("{form:?}"),
            })
            .collect();
        for (n, (_, piece)) in shapes.iter().enumerate() {
            n_pieces += 1;
            let bounds = marks[n].form.bounds().expect("bounds");
            assert!(blank.contains(bounds.min) && blank.contains(bounds.max));
            for (id, mold) in &molds {
                assert!(!is_overlapping(piece, still, mold, still), "{id:?}");
            }
            for (_, other) in &shapes[n + 1..] {
                assert!(!is_overlapping(piece, still, other, still));
            }
        }
    }
    assert!(n_pieces > 60, "{n_pieces}");
}

#[test]
fn a_cavity_has_no_corners_and_the_template_says_which_have_none() {
    let mut plan = sample();
    let id = *placements(&plan).next().expect("a placement").0;
    let mold = plan.pulls[&PULL].placements[&id].mold;
    Arc::make_mut(plan.molds.get_mut(&mold).expect("its mold")).kind = MoldKind::Female;
    let made = sheets(&plan, &TemplateSettings { corners: true, ..plain(Paper::One) });
    assert!(made.without_corners.contains(&id));
    assert!(sheets(&plan, &plain(Paper::One)).without_corners.is_empty());
    let marks = |made: &Template| {
        let layers = made.pages.iter().flat_map(|page| &page.layers);
        layers.flat_map(|layer| &layer.marks).filter(|mark| mark.role == Role::Corner).count()
    };
    assert!(marks(&made) > 4);
    assert_eq!(marks(&sheets(&plan, &plain(Paper::One))), 0);
}

fn plain(paper: Paper) -> TemplateSettings {
    TemplateSettings::new(paper, "2026-08-12")
}

/// For a printer that makes 99.6 mm across the paper and 100.3 mm along it of 100 mm.
fn for_printer(paper: Paper, name: &str) -> TemplateSettings {
    let correction =
        Correction::measured(Length::mm(SHRINKS[0] * 100.0), Length::mm(SHRINKS[1] * 100.0));
    let printer = Printer::new(name, correction.expect("near"));
    TemplateSettings { printer: Some(printer), corners: true, ..plain(paper) }
}

/// What the printer of these tests makes of a millimetre, across the paper and along it.
const SHRINKS: [f64; 2] = [0.996, 1.003];

fn sheets(plan: &Plan, settings: &TemplateSettings) -> Template {
    template(plan, PULL, settings).expect("a template")
}

#[test]
fn a_corrected_print_is_true_where_the_printer_is_not() {
    let mut worst = 0.0_f64;
    for plan in plans() {
        for paper in Paper::ALL {
            let made = sheets(&plan, &for_printer(paper, "Shed printer"));
            let file = export::pdf("Tide-pool kit", &made.pages).bytes;
            for page in pdf::pages(&file) {
                worst = worst.max(printed_error(&plan, page, paper));
            }
        }
    }
    println!("worst error of what a printer off by 0.4 % makes of corrected pages: {worst:.4} mm");
}

/// What the printer makes of a page, measured: its bars, and every outline on it.
fn printed_error(plan: &Plan, page: printed::ReadPage, paper: Paper) -> f64 {
    if let Some([short, long]) = paper.sides() {
        let sides = (page.width.min(page.height), page.width.max(page.height));
        let off = (sides.0 - short.to_mm()).abs().max((sides.1 - long.to_mm()).abs());
        assert!(off < 1e-3, "the file's page is the paper: {sides:?}");
    }
    let [across, along] = SHRINKS;
    let lies = page.width > page.height && paper != Paper::One;
    let by = if lies { (along, across) } else { (across, along) };
    let print = |p: Point| Point::new(p.x * by.0, p.y * by.1);
    let mut page = page;
    for run in &mut page.runs {
        run.points.iter_mut().for_each(|p| *p = print(*p));
        run.window = run.window.map(|w| Rect::new(print(w.min), print(w.max)));
    }
    let window = page.window();
    let mut worst = 0.0_f64;
    for (length, is_level) in [(100.0, true), (101.6, true), (100.0, false)] {
        let bars = page.bars(length, is_level);
        let off =
            bars.iter().map(|(found, _)| (found - length).abs()).fold(f64::INFINITY, f64::min);
        assert!(off <= 0.1, "a bar of {length} mm is {off} mm off");
        worst = worst.max(off);
    }
    let corner = page.blank_corner(plan.machine.blank.rect());
    for (_, placement) in placements(plan) {
        let outline: Vec<Point> =
            outline(plan, placement).into_iter().map(|p| p + corner).collect();
        let bounds = Rect::around(outline.iter().copied()).expect("corners");
        if bounds.intersection(window).is_some() {
            let off = page.error_of(&outline);
            assert!(off <= 0.1, "an outline is {off} mm off");
            worst = worst.max(off);
        }
    }
    worst
}

#[test]
fn a_printers_name_and_corners_take_no_more_sheets_and_a_long_name_leaves_the_figures() {
    let true_bars = Correction::measured(Length::mm(100.0), Length::mm(100.0)).expect("true");
    let printer = Some(Printer::new(&"Workshop ".repeat(9), true_bars));
    for paper in [Paper::A4, Paper::Letter] {
        let settings = TemplateSettings { printer: printer.clone(), ..plain(paper) };
        let made = sheets(&sample(), &settings);
        let n_sheets = sheets(&sample(), &plain(paper)).pages.len();
        assert_eq!(made.pages.len(), n_sheets, "{paper:?}");
        let corners = TemplateSettings { corners: true, ..plain(paper) };
        assert_eq!(sheets(&sample(), &corners).pages.len(), n_sheets, "{paper:?} with corners");
        for page in &made.pages {
            let (_, lines) = svg::page(&export::svg(page));
            let line = lines.iter().find(|line| line.contains("corrected for Worksh"));
            assert!(line.is_some_and(|line| line.ends_with(": x 1.0000, y 1.0000")), "{lines:?}");
        }
    }
}

#[test]
fn a_corrected_sheet_says_for_which_printer_and_a_name_stays_a_name() {
    let name = "</text><script>(\\) 1";
    let pages = sheets(&sample(), &for_printer(Paper::A4, name)).pages;
    for page in &pages {
        let (_, lines) = svg::page(&export::svg(page));
        let said = format!("corrected for {name}: x ");
        assert!(lines.iter().any(|line| line.contains(&said)), "{lines:?}");
        assert!(lines.iter().any(|line| line.contains("1.0040")), "{lines:?}");
    }
    let bytes = export::pdf("Tide-pool kit", &pages).bytes;
    let words = printed::poppler::Printed::new("printer", &bytes).words();
    let said: Vec<&str> = words.iter().flatten().map(|word| word.text.as_str()).collect();
    assert!(said.join(" ").contains(name), "{said:?}");
}

/// The `pdf` crate (MIT) as strictly as it can be: a wrong cross reference, object, stream or operator is an error.
#[test]
fn every_kind_of_page_holds_up_to_a_strict_reader_of_pdf() {
    use ::pdf::file::FileOptions;
    use ::pdf::object::ParseOptions;
    let mut n_pages = 0;
    for (name, pages) in kinds() {
        let bytes = export::pdf(&name, &pages).bytes;
        let strict = ParseOptions::strict();
        let file = FileOptions::uncached()
            .parse_options(strict)
            .load(bytes.clone())
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(file.num_pages() as usize, pages.len(), "{name}");
        for (page, ours) in file.pages().zip(&pages) {
            let page = page.unwrap_or_else(|error| panic!("{name}: {error}"));
            let sheet = page.media_box().expect("a page box");
            let width = f64::from(sheet.right - sheet.left) / 72.0 * 25.4;
            assert!((width - ours.width.to_mm()).abs() < 0.001, "{name}: {width}");
            let contents = page.contents.as_ref().expect("contents");
            let operations = contents.operations(&file.resolver());
            let operations = operations.unwrap_or_else(|error| panic!("{name}: {error}"));
            assert!(operations.len() > 20, "{name}");
            n_pages += 1;
        }
        assert_sound(&name, &bytes);
    }
    println!("{n_pages} pages are read strictly");
}

/// Every kind of page that is made.
fn kinds() -> Vec<(String, Vec<engine::template::Page>)> {
    let mut kinds = Vec::new();
    for plan in [sample(), random::plan(3)] {
        for paper in Paper::ALL {
            let corrected = for_printer(paper, "Shed printer");
            kinds.push((format!("Template {paper:?}"), sheets(&plan, &plain(paper)).pages));
            kinds.push((format!("Corrected {paper:?}"), sheets(&plan, &corrected).pages));
            let link = Some("https://example.org/onepull/#p2.AAAA".to_owned());
            let card = TemplateSettings { link, ..plain(paper) };
            kinds
                .push((format!("Card {paper:?}"), bench_card(&plan, PULL, &card).expect("a card")));
        }
    }
    for card in engine::intake::photo::Card::ALL {
        kinds.push((format!("Photo card {card:?}"), vec![photo_card(card)]));
    }
    kinds
}

/// Each place of the cross reference table begins the object it says, and each stream is as long as it says
/// (ISO 32000-1, 7.5.4 and 7.3.8.2).
fn assert_sound(name: &str, bytes: &[u8]) {
    let find = |what: &[u8], from: usize| {
        let found = bytes[from..].windows(what.len()).position(|window| window == what);
        found.map(|at| at + from)
    };
    let number = |text: &[u8]| {
        let figures: Vec<u8> = text.iter().copied().take_while(u8::is_ascii_digit).collect();
        String::from_utf8_lossy(&figures).parse::<usize>().expect("a number")
    };
    let start = find(b"startxref\n", 0).expect("where the table begins") + b"startxref\n".len();
    let table = number(&bytes[start..]);
    assert!(bytes[table..].starts_with(b"xref\n0 "), "{name}");
    let count = number(&bytes[table + b"xref\n0 ".len()..]);
    let first = find(b"\n", table + b"xref\n".len()).expect("a line") + 1;
    for object in 1..count {
        // Every entry is twenty bytes long.
        let entry = &bytes[first + 20 * object..][..20];
        let place = number(entry);
        let begins = format!("{object} 0 obj\n");
        assert!(bytes[place..].starts_with(begins.as_bytes()), "{name}: object {object}");
        let end = find(b"endobj", place).expect("an end");
        if let Some(stream) = find(b"\nstream\n", place).filter(|at| *at < end) {
            let length = find(b"/Length ", place).expect("a length") + b"/Length ".len();
            let last = stream + b"\nstream\n".len() + number(&bytes[length..]);
            assert!(bytes[last..].starts_with(b"\nendstream"), "{name}: object {object}");
        }
    }
}

//! What is printed lies where the plan says: pages are read back with other people's programs and measured.

#![expect(clippy::print_stdout, reason = "the measured figures are for whoever runs the test")]

mod printed;

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::{Duration, Instant};

use engine::drawing::{Form, lettering};
use engine::export;
use engine::geometry::{Point, Pose, Rect, Ring, Vec2};
use engine::intake::photo::{Card, Picture, TraceSettings, find_card, trace};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Size,
    sample,
};
use engine::template::{
    Page, Paper, Template, TemplateError, TemplateSettings, bench_card, photo_card, template,
};
use engine::units::{Angle, Length};
use onepull_tests::pace::keeps_pace;
use printed::poppler::{Pixels, Printed, Word};
use printed::random::Dice;
use printed::{ReadPage, pdf, random, svg, truth};

/// The largest error allowed anywhere on paper, in millimetres.
const WITHIN: f64 = 0.1;
const PULL: PullId = PullId(1);

fn settings(paper: Paper) -> TemplateSettings {
    TemplateSettings::new(paper, "2026-08-12")
}

fn sheets(plan: &Plan, paper: Paper) -> Template {
    template(plan, PULL, &settings(paper)).expect("a template")
}

fn pdf_of(pages: &[Page]) -> Vec<u8> {
    export::pdf("Tide-pool kit", pages).bytes
}

/// The largest error of anything the plan has on this page, and how many outlines were measured.
///
/// What lies outside the window, of pages that have one, is not drawn and not measured.
fn worst_error(plan: &Plan, page: &ReadPage, window: Option<Rect>) -> (f64, usize) {
    let blank = plan.machine.blank.rect();
    let onto_page = page.blank_corner(blank);
    let on_page = |rect: Rect| rect.moved(onto_page).corners().to_vec();
    let is_shown = |outline: &[Point]| {
        let bounds = Rect::around(outline.iter().copied()).expect("corners");
        window.is_none_or(|window| bounds.intersection(window).is_some())
    };
    let machine = [blank, plan.machine.opening(), plan.machine.platen].map(on_page);
    let molds = plan.pulls[&PULL].placements.values().map(|placement| {
        let outline = truth::outline(&plan.molds[&placement.mold].footprint);
        truth::placed(&outline, placement.pose.at + onto_page, placement.pose.turn)
    });
    let shown: Vec<Vec<Point>> = machine.into_iter().chain(molds).filter(|o| is_shown(o)).collect();
    let errors = shown.iter().map(|outline| page.error_of(outline));
    (errors.fold(0.0, f64::max), shown.len())
}

fn assert_true(plan: &Plan, page: &ReadPage, window: Option<Rect>, what: &str) -> f64 {
    let (error, n_measured) = worst_error(plan, page, window);
    assert!(n_measured >= 1, "{what}: nothing to measure");
    assert!(error <= WITHIN, "{what}: an outline is {error} mm off");
    error
}

#[test]
fn the_sample_prints_true_on_every_paper_to_two_readers() {
    let plan = sample();
    for paper in Paper::ALL {
        let pages = sheets(&plan, paper).pages;
        let bytes = pdf_of(&pages);
        let printed = Printed::new(&format!("sample-{paper:?}"), &bytes);
        for (n, read) in pdf::pages(&bytes).iter().enumerate() {
            let what = format!("{paper:?} sheet {}", n + 1);
            let window = Some(read.window());
            let by_lopdf = assert_true(&plan, read, window, &what);
            let by_poppler = assert_true(&plan, &printed.page(n + 1), window, &what);
            println!(
                "{what}: worst error {by_lopdf:.4} mm by lopdf, {by_poppler:.4} mm by poppler"
            );
        }
    }
}

#[test]
fn random_plans_print_true_on_every_paper() {
    let mut worst = 0.0_f64;
    for seed in 0..30 {
        let plan = random::plan(seed);
        for paper in Paper::ALL {
            for read in pdf::pages(&pdf_of(&sheets(&plan, paper).pages)) {
                let what = format!("seed {seed} on {paper:?}");
                worst = worst.max(assert_true(&plan, &read, Some(read.window()), &what));
            }
        }
    }
    println!("worst error of 30 random plans: {worst:.4} mm");
}

#[test]
fn an_outline_that_is_off_by_more_than_allowed_is_noticed() {
    let plan = sample();
    let mut moved = plan.clone();
    let pull = Arc::make_mut(moved.pulls.get_mut(&PULL).expect("one pull"));
    let limpet = pull.placements.get_mut(&PlacementId(2)).expect("the limpet");
    limpet.pose.at += Vec2::new(0.15, 0.0);
    let pages = pdf::pages(&pdf_of(&sheets(&moved, Paper::One).pages));
    let (error, _) = worst_error(&plan, &pages[0], None);
    assert!((0.14..0.2).contains(&error), "{error}");
}

#[test]
fn papers_have_their_published_sizes_to_the_ten_thousandth_of_a_point() {
    // ISO 216:2007, A4: 210 x 297 mm. ANSI/ASME Y14.1, size A: 8.5 x 11 in.
    for (paper, short, long) in [(Paper::A4, 210.0, 297.0), (Paper::Letter, 215.9, 279.4)] {
        let bytes = pdf_of(&sheets(&sample(), paper).pages);
        for page in pdf::pages(&bytes) {
            let sides = (page.width.min(page.height), page.width.max(page.height));
            let off = (sides.0 - short).abs().max((sides.1 - long).abs());
            assert!(off < 1e-4, "{paper:?}: {sides:?}");
        }
    }
    let bytes = pdf_of(&bench_card(&sample(), PULL, &settings(Paper::A4)).expect("a card"));
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("/MediaBox [0 0 595.2756 841.88"), "a page box with four decimals");
}

#[test]
fn every_sheet_has_true_bars_inside_the_frame_and_outside_the_drawn_part() {
    let mut plans: Vec<Plan> = (0..10).map(random::plan).collect();
    plans.push(sample());
    for (plan, paper) in plans.iter().flat_map(|plan| Paper::ALL.map(|paper| (plan, paper))) {
        for page in pdf::pages(&pdf_of(&sheets(plan, paper).pages)) {
            assert_bars(&page);
        }
    }
}

fn assert_bars(page: &ReadPage) {
    let paper = Rect::new(Point::ORIGIN, Point::new(page.width, page.height));
    let frame = paper.grown(Length::mm(-10.0));
    let window = page.window();
    // 4 in are 101.6 mm.
    for (length, is_level) in [(100.0, true), (101.6, true), (100.0, false)] {
        let bars = page.bars(length, is_level);
        let bar = bars.iter().find(|(found, covers)| {
            (found - length).abs() <= 0.01
                && frame.contains(covers.min)
                && frame.contains(covers.max)
                && covers.distance(window) > 0.0
        });
        assert!(bar.is_some(), "no bar of {length} mm, level: {is_level}, in {bars:?}");
    }
}

#[test]
fn neighbouring_sheets_join_by_their_crosshairs() {
    let mut n_joined = 0;
    let mut worst = 0.0_f64;
    for plan in (0..10).map(random::plan).chain([sample()]) {
        for paper in [Paper::A4, Paper::Letter] {
            let pages = sheets(&plan, paper).pages;
            let read = pdf::pages(&pdf_of(&pages));
            for (a, b) in neighbours(&pages) {
                let error = joining_error(&plan, &read[a], &read[b]);
                worst = worst.max(error);
                assert!(error <= WITHIN, "{} and {}: {error}", pages[a].name, pages[b].name);
                n_joined += 1;
            }
        }
    }
    assert!(n_joined > 20, "{n_joined} pairs");
    println!("worst joint of {n_joined}: {worst:.4} mm");
}

/// Pairs of sheets side by side or behind each other, by their names.
fn neighbours(pages: &[Page]) -> Vec<(usize, usize)> {
    let place = |page: &Page| {
        let (row, column) = page.name.split_at(1);
        (i64::from(row.as_bytes()[0]), column.parse::<i64>().expect("a column"))
    };
    let pairs = (0..pages.len()).flat_map(|a| (a + 1..pages.len()).map(move |b| (a, b)));
    let is_next = |&(a, b): &(usize, usize)| {
        let ((row_a, column_a), (row_b, column_b)) = (place(&pages[a]), place(&pages[b]));
        (row_a - row_b).abs() + (column_a - column_b).abs() == 1
    };
    pairs.filter(is_next).collect()
}

/// How far the blank's corner of one sheet comes to lie from the other's when shared crosshairs meet.
fn joining_error(plan: &Plan, a: &ReadPage, b: &ReadPage) -> f64 {
    let blank = plan.machine.blank.rect();
    let (corner_a, corner_b) = (a.blank_corner(blank), b.blank_corner(blank));
    // Where the corner of `b` comes to lie on `a` when the crosshairs are laid on each other.
    let by_marks = |shift: Vec2| (corner_b + shift - corner_a).length();
    let marks = b.crosshairs();
    let pairs = a.crosshairs().into_iter().flat_map(|p| marks.iter().map(move |q| p - *q));
    let errors: Vec<f64> = pairs.map(by_marks).filter(|error| *error < 2.0).collect();
    assert!(errors.len() >= 2, "two sheets share at least two crosshairs, not {}", errors.len());
    errors.into_iter().fold(0.0, f64::max)
}

#[test]
fn neighbouring_sheets_show_the_same_in_their_overlap() {
    let plan = sample();
    let pages = sheets(&plan, Paper::Letter).pages;
    let bytes = pdf_of(&pages);
    let printed = Printed::new("overlap", &bytes);
    let read = pdf::pages(&bytes);
    let pixels: Vec<Pixels> = (1..=pages.len()).map(|n| printed.pixels(n)).collect();
    for (a, b) in neighbours(&pages) {
        let blank = plan.machine.blank.rect();
        let shift = read[a].blank_corner(blank) - read[b].blank_corner(blank);
        let band =
            read[a].window().intersection(read[b].window().moved(shift)).expect("an overlap");
        for (one, other, band, shift) in [
            (&pixels[a], &pixels[b], band, shift),
            (&pixels[b], &pixels[a], band.moved(-shift), -shift),
        ] {
            let (n_dark, n_missed) = compare(one, other, band, shift);
            assert!(n_dark > 500, "{n_dark} dark pixels in {band:?}");
            assert!(n_missed == 0, "{n_missed} of {n_dark} dark pixels are not on the other sheet");
        }
    }
}

/// Dark pixels in the band of one sheet, and those of them that have none on the other within 0.1 mm and the
/// rounding to pixels.
fn compare(one: &Pixels, other: &Pixels, band: Rect, shift: Vec2) -> (usize, usize) {
    // The edges of the drawn part belong to one sheet only.
    let band = band.grown(Length::mm(-0.5));
    let pixel =
        |mm: f64| usize::try_from(format!("{:.0}", mm * 10.0).parse::<i64>().expect("whole"));
    let height = |pixels: &Pixels| f64::from(u32::try_from(pixels.height).expect("small")) / 10.0;
    let (mut n_dark, mut n_missed) = (0, 0);
    let columns = pixel(band.min.x).expect("on paper")..pixel(band.max.x).expect("on paper");
    let rows = pixel(height(one) - band.max.y).expect("on paper")
        ..pixel(height(one) - band.min.y).expect("on paper");
    let across = format!("{:.0}", -shift.x * 10.0).parse::<isize>().expect("whole");
    let down = format!("{:.0}", (shift.y + height(other) - height(one)) * 10.0);
    let down = down.parse::<isize>().expect("whole");
    for (column, row) in columns.flat_map(|column| rows.clone().map(move |row| (column, row))) {
        if one.at(column, row) < 100 {
            n_dark += 1;
            let column = column.checked_add_signed(across).expect("on paper");
            let row = row.checked_add_signed(down).expect("on paper");
            n_missed += usize::from(!other.is_dark_near(column, row, 160));
        }
    }
    (n_dark, n_missed)
}

#[test]
fn every_word_is_as_wide_as_the_reader_says() {
    let mut plan = sample();
    plan.name = "\u{c4}rmel \u{a1}fin! \u{201e}\u{20ac}5\u{201c} \u{153}uvre @{|}~ QWXYZ".into();
    let pages = sheets(&plan, Paper::A4).pages;
    let printed = Printed::new("words", &pdf_of(&pages));
    let heads: BTreeMap<String, Length> = pages
        .iter()
        .flat_map(|page| &page.layers)
        .flat_map(|layer| &layer.marks)
        .filter_map(|mark| match &mark.form {
            Form::Text { size, text, .. } => Some((text, *size)),
            Form::Region(_) | Form::Line(..) | Form::Polyline(_) => None,
        })
        .flat_map(|(text, size)| text.split(' ').map(move |word| (word.to_owned(), size)))
        .filter(|(_, size)| *size == Length::mm(3.5))
        .collect();
    let mut n_measured = 0;
    for word in printed.words().iter().flatten() {
        let Some(size) = heads.get(&word.text) else { continue };
        let ours = lettering::width(&word.text, *size).to_mm();
        let theirs = word.covers.width().to_mm();
        // Single figures stand in other sizes too.
        if word.text.chars().count() > 1 {
            assert!((ours - theirs).abs() < 0.02, "{}: {ours} and {theirs}", word.text);
            n_measured += 1;
        }
    }
    assert!(n_measured > 20, "{n_measured} words");
}

#[test]
fn lettering_stays_on_the_paper_and_clear_of_other_lettering() {
    let plan = sample();
    for paper in Paper::ALL {
        let card = bench_card(&plan, PULL, &settings(paper)).expect("a card");
        for (what, pages) in [("template", sheets(&plan, paper).pages), ("card", card)] {
            let printed = Printed::new(&format!("letters-{what}-{paper:?}"), &pdf_of(&pages));
            for (page, words) in pages.iter().zip(printed.words()) {
                let size = Point::new(page.width.to_mm(), page.height.to_mm());
                let frame = Rect::new(Point::ORIGIN, size).grown(Length::mm(-8.0));
                assert!(words.len() > 10, "{what} on {paper:?}");
                assert_clear(&words, frame, page);
            }
        }
    }
}

fn assert_clear(words: &[Word], frame: Rect, page: &Page) {
    // The reader's boxes are as tall as the font's, 1.16 of its size: the letters are in the middle half.
    let letters = |word: &Word| {
        let inset = word.covers.depth().to_mm() / 4.0;
        let by = Vec2::new(0.05, inset);
        Rect::new(word.covers.min + by, word.covers.max - by)
    };
    let window = page.layers.iter().find_map(|layer| layer.window);
    let is_shown = |word: &Word| {
        frame.contains(word.covers.center())
            || window.is_none_or(|w| w.contains(word.covers.center()))
    };
    for (n, word) in words.iter().enumerate().filter(|(_, word)| is_shown(word)) {
        for other in words[n + 1..].iter().filter(|word| is_shown(word)) {
            let meet = letters(word).intersection(letters(other));
            assert!(meet.is_none(), "{}: {} over {}", page.name, word.text, other.text);
        }
    }
    let outside = words.iter().filter(|word| !is_shown(word)).count();
    assert!(window.is_some() || outside == 0, "{outside} words outside the frame of {}", page.name);
}

#[test]
fn capitals_are_never_lower_than_two_and_a_half_millimetres() {
    let plan = sample();
    let mut pages = bench_card(&plan, PULL, &settings(Paper::A4)).expect("a card");
    pages.extend(Paper::ALL.into_iter().flat_map(|paper| sheets(&plan, paper).pages));
    let marks = pages.iter().flat_map(|page| &page.layers).flat_map(|layer| &layer.marks);
    for mark in marks {
        if let Form::Text { size, text, .. } = &mark.form {
            assert!(*size >= Length::mm(2.5), "{text}: {size:?}");
        }
    }
}

#[test]
fn an_svg_reads_back_true_in_millimetres() {
    for plan in (0..10).map(random::plan).chain([sample()]) {
        let pages = sheets(&plan, Paper::One).pages;
        let (read, lines) = svg::page(&export::svg(&pages[0]));
        assert!((read.width - pages[0].width.to_mm()).abs() < 1e-3);
        assert!((read.height - pages[0].height.to_mm()).abs() < 1e-3);
        assert_true(&plan, &read, None, "svg");
        for (length, is_level) in [(100.0, true), (101.6, true), (100.0, false)] {
            let bars = read.bars(length, is_level);
            assert!(bars.iter().any(|(found, _)| (found - length).abs() < 0.002), "{length} mm");
        }
        assert!(lines.iter().any(|line| line.contains("100 %")), "{lines:?}");
        assert!(lines.iter().any(|line| line.contains("2026-08-12")), "{lines:?}");
    }
}

#[test]
fn hostile_names_are_written_as_they_are_or_said_to_be_replaced() {
    let mut plan = sample();
    plan.name = "</text><script>alert(\"1\")</script>&amp;\u{0}\u{1b}".into();
    let limpet = Arc::make_mut(plan.molds.get_mut(&MoldId(1)).expect("the limpet"));
    limpet.name = "\u{8c9d} \u{1f41a} (\\)".into();
    let pages = sheets(&plan, Paper::One).pages;
    let (_, lines) = svg::page(&export::svg(&pages[0]));
    let head = "</text><script>alert(\"1\")</script>&amp; \u{2013} Pull 1";
    assert!(lines.iter().any(|line| line == head), "{lines:?}");
    assert!(lines.iter().any(|line| line == "\u{8c9d} \u{1f41a} (\\)"), "{lines:?}");
    let printed = export::pdf(&plan.name, &pages);
    assert_eq!(printed.replaced.len(), 2, "{:?}", printed.replaced);
    assert!(printed.replaced.iter().any(|text| text.contains('\u{1f41a}')));
    let words = said(&Printed::new("hostile", &printed.bytes).words());
    assert!(words.contains("? ? (\\)"), "{words}");
    assert!(export::pdf("Plain", &sheets(&sample(), Paper::One).pages).replaced.is_empty());
}

/// All words of some pages in a row.
fn said(pages: &[Vec<Word>]) -> String {
    pages.iter().flatten().map(|word| word.text.as_str()).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_pdf_asks_for_no_scaling_and_has_the_same_bytes_each_time() {
    let pages = sheets(&sample(), Paper::A4).pages;
    let (once, again) = (pdf_of(&pages), pdf_of(&sheets(&sample(), Paper::A4).pages));
    assert!(once == again);
    let document = lopdf::Document::load_mem(&once).expect("a PDF");
    let catalog = document.catalog().expect("a catalog");
    let preferences = catalog.get(b"ViewerPreferences").and_then(lopdf::Object::as_dict);
    let scaling = preferences.and_then(|p| p.get(b"PrintScaling")).and_then(lopdf::Object::as_name);
    assert_eq!(scaling.expect("print scaling"), b"None");
    let other = export::pdf("Another name", &pages).bytes;
    assert!(once != other);
}

#[test]
fn every_page_says_what_a_person_must_know() {
    let plan = sample();
    for (paper, made_for) in [(Paper::A4, "made for A4"), (Paper::Letter, "made for Letter")] {
        let printed =
            Printed::new(&format!("says-{paper:?}"), &pdf_of(&sheets(&plan, paper).pages));
        for words in printed.words() {
            let said = said(&[words]);
            for wanted in [
                "Tide-pool kit",
                "Pull 1",
                "2026-08-12",
                "Print at 100 %",
                "blocks the vacuum",
                made_for,
            ] {
                assert!(said.contains(wanted), "{wanted} is missing from: {said}");
            }
        }
    }
    let card = bench_card(&plan, PULL, &settings(Paper::Letter)).expect("a card");
    let said = said(&Printed::new("says-card", &pdf_of(&card)).words());
    for wanted in
        ["Film on one face", "HIPS", "from memory", "electrician", "Clam half, copy 2", "180\u{b0}"]
    {
        assert!(said.contains(wanted), "{wanted} is missing from: {said}");
    }
}

#[test]
fn a_blank_of_five_metres_is_advised_on_to_one_sheet() {
    let side = |mm| Size::new(Length::mm(mm), Length::mm(mm));
    let machine = |mm| Machine::with_lip(side(mm), Length::mm(15.0), Length::mm(150.0));
    let large = Plan::new("Large", machine(5000.0));
    let error = template(&large, PULL, &settings(Paper::A4)).expect_err("too many sheets");
    assert!(matches!(error, TemplateError::TooManyPages { pages, most: 200 } if pages > 600));
    assert!(error.to_string().ends_with("choose one large sheet"), "{error}");
    let pages = sheets(&large, Paper::One).pages;
    let read = pdf::pages(&pdf_of(&pages));
    assert_true(&large, &read[0], None, "five metres");
    let larger = Plan::new("Larger", machine(5100.0));
    let error = template(&larger, PULL, &settings(Paper::One)).expect_err("too large");
    assert!(
        matches!(error, TemplateError::PageTooLarge { most, .. } if most == Length::mm(5080.0))
    );
}

#[test]
fn settings_out_of_range_and_unknown_pulls_are_refused_in_words() {
    let plan = sample();
    let narrow = TemplateSettings { overlap: Length::mm(2.0), ..settings(Paper::A4) };
    let wide = TemplateSettings { margin: Length::mm(f64::NAN), ..settings(Paper::A4) };
    let refused = [
        (
            template(&plan, PULL, &narrow).err(),
            "the overlap of 2.0 mm is outside 6.0 mm to 25.0 mm",
        ),
        (template(&plan, PULL, &wide).err(), "the margin of NaN mm is outside 3.0 mm to 25.0 mm"),
        (template(&plan, PullId(9), &settings(Paper::A4)).err(), "there is no pull 9 in this plan"),
        (
            bench_card(&plan, PullId(9), &settings(Paper::A4)).err(),
            "there is no pull 9 in this plan",
        ),
    ];
    for (error, words) in refused {
        assert_eq!(error.map(|error| error.to_string()).as_deref(), Some(words));
    }
}

#[test]
fn two_hundred_molds_of_a_hundred_corners_take_under_a_second() {
    let plan = crowded();
    // The best of three, because other work on the machine can only make it slower.
    let took = (0..3).map(|_| time_to_print(&plan)).min().expect("three times");
    // Without optimisation the same work takes ten times as long.
    let asked = if cfg!(debug_assertions) { 10.0 } else { 1.0 };
    keeps_pace("a template of two hundred molds", took.as_secs_f64(), asked, "s");
}

/// How long a template of many sheets takes from the plan to the bytes.
fn time_to_print(plan: &Plan) -> Duration {
    let begun = Instant::now();
    let pages = sheets(plan, Paper::Letter).pages;
    let printed = export::pdf(&plan.name, &pages);
    let took = begun.elapsed();
    println!("{} sheets, {} bytes: {took:?}", pages.len(), printed.bytes.len());
    took
}

#[test]
fn two_hundred_molds_take_several_cards_and_each_row_stays_whole() {
    let plan = crowded();
    let card = bench_card(&plan, PULL, &settings(Paper::Letter)).expect("a card");
    assert!(card.len() > 4, "{} pages", card.len());
    let words = Printed::new("crowded-card", &pdf_of(&card)).words();
    for n in 1..=200 {
        let name = n.to_string();
        let is_row = |word: &Word| word.text == name && word.covers.min.x < 40.0;
        let rows = words.iter().filter(|page| page.iter().any(is_row)).count();
        assert!(rows >= 1, "row {n} is missing");
    }
    assert!(words.iter().all(|page| page.iter().any(|word| word.text.contains("Crowded"))));
}

/// A blank of 2 x 1.5 m with 200 molds in rows.
fn crowded() -> Plan {
    let blank = Size::new(Length::mm(2000.0), Length::mm(1500.0));
    let mut plan =
        Plan::new("Crowded", Machine::with_lip(blank, Length::mm(15.0), Length::mm(150.0)));
    let mut dice = Dice(7);
    for n in 1..=200_u32 {
        let round = (0..100_u32).map(|i| Angle::degrees(3.6 * f64::from(i)));
        let corner = |turn| Point::ORIGIN + Vec2::unit(turn) * dice.between(20.0, 40.0);
        let outer = Ring::new(round.map(corner).collect());
        let footprint = Footprint::Outline { outer, holes: Vec::new() };
        let mold = Mold::new(&format!("Pebble {n}"), footprint, Length::mm(10.0));
        plan.molds.insert(MoldId(n), Arc::new(mold));
        let at = Point::new(
            60.0 + 95.0 * f64::from((n - 1) % 20),
            90.0 + 140.0 * f64::from((n - 1) / 20),
        );
        let pose = Pose::new(at, Angle::degrees(dice.between(0.0, 359.0)));
        let placement = Placement { mold: MoldId(n), copy: CopyNumber(1), pose, locked: false };
        let pull = plan.pulls.get_mut(&PULL).expect("one pull");
        Arc::make_mut(pull).placements.insert(PlacementId(n), placement);
    }
    plan
}

/// The card printed to pixels by Poppler is found again: its marks to a tenth of a millimetre, nothing else on it.
#[test]
fn the_photo_card_is_found_on_its_own_print() {
    for card in Card::ALL {
        let pdf = pdf_of(&[photo_card(card)]);
        let pixels = Printed::new("photo-card", &pdf).pixels(1);
        let (width, height) = card.paper();
        // 254 dots per inch are ten a millimetre.
        let dots = |length: Length| (0..4000_u32).find(|n| f64::from(*n) >= length.to_mm() * 10.0);
        let (columns, rows) = (dots(width).expect("small"), dots(height).expect("small"));
        let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
        let shade = |(column, row): (u32, u32)| pixels.at(column as usize, row as usize);
        let rgba: Vec<u8> = places.map(shade).flat_map(|grey| [grey, grey, grey, 255]).collect();
        let picture = Picture::new(columns, rows, &rgba).expect("a picture");
        let found = find_card(&picture).unwrap_or_else(|error| panic!("{card:?}: {error}"));
        assert_eq!(found.card, card);
        let truly = card
            .marks()
            .map(|mark| Point::new(10.0 * mark.middle.x, 10.0 * (height.to_mm() - mark.middle.y)));
        let off = (0..4).map(|k| found.corners[k].distance(truly[k])).fold(0.0, f64::max) / 10.0;
        println!("{card:?}: the marks are found {off:.3} mm from where they are");
        assert!(off <= WITHIN, "{card:?}: {off} mm");
        let settings = TraceSettings { masks: found.masks(), ..TraceSettings::default() };
        let traced = trace(&picture, found.paper(), found.corners, &settings);
        let n_outlines = traced.map_or(0, |traced| traced.outlines.len());
        assert_eq!(n_outlines, 0, "{card:?}: what is printed on it is taken for a mold");
    }
}

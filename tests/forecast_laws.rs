//! Laws of the forecast: plastic is kept, symmetric layouts form symmetrically, finer nets say the same, worse layouts are
//! never said to be better, and no input makes it panic.

mod formed;

use std::ops::ControlFlow;

use engine::drape::{
    Contact, DrapeError, Forecast, LINES, Mode, OverMold, Phase, Progress, Settings, WebKind,
    advice, findings, forecast, suggest_gauge,
};
use engine::geometry::Point;
use engine::plan::{Footprint, Mold, MoldKind, Plan, PullId, Relief, sample};
use engine::rules::{Rule, Severity, Subject, check};
use engine::units::{Angle, Length};
use onepull_tests::assert_near;
use onepull_tests::chance::Lots;

use formed::{PULL, block, formed, standing};

fn coarse(mode: Mode, mesh: f64) -> Settings {
    Settings { mode, mesh: Length::mm(mesh), ..Settings::default() }
}

#[test]
fn plastic_is_kept_to_a_thousandth_at_every_step_and_progress_never_falls() {
    let plan = sample();
    for mode in [Mode::Rubber, Mode::Uniform] {
        let (mut last, mut phases) = (0.0, Vec::new());
        let mut watch = |progress: &Progress| {
            assert_near!(progress.plastic, 1.0, 1e-3, "{mode:?} at {}", progress.share);
            assert!(progress.share >= last, "{mode:?}: {} after {last}", progress.share);
            last = progress.share;
            if phases.last() != Some(&progress.phase) {
                phases.push(progress.phase);
            }
            ControlFlow::Continue(())
        };
        let told = forecast(&plan, PULL, &coarse(mode, 8.0), &mut watch).expect("a forecast");
        assert_eq!(phases, [Phase::Draping, Phase::Drawing, Phase::Measuring]);
        assert_near!(told.plastic, 1.0, 1e-3, "{mode:?}");
        // The same from what is shown: thickness of the nodes over the surface of the triangles, folds apart.
        let shown: f64 =
            told.sheet.triangles.iter().map(|nodes| shown_plastic(&told, *nodes)).sum();
        let whole = plan.machine.opening().area().to_mm2();
        assert_near!(shown / whole, 1.0, 0.02, "{mode:?} as shown");
    }
}

fn shown_plastic(told: &Forecast, nodes: [u32; 3]) -> f64 {
    let [a, b, c] = nodes.map(|node| told.sheet.positions[node as usize].map(f64::from));
    let (u, v) = ([0, 1, 2].map(|i| b[i] - a[i]), [0, 1, 2].map(|i| c[i] - a[i]));
    let cross = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    let area = cross.iter().map(|part| part * part).sum::<f64>().sqrt() / 2.0;
    let mean =
        nodes.iter().map(|node| f64::from(told.sheet.thickness[*node as usize])).sum::<f64>();
    area * mean / 3.0
}

/// Molds on an opening, at places from its middle.
type Layout = ((f64, f64), Vec<(Mold, (f64, f64))>);

fn stand_about_the_middle(((width, depth), molds): &Layout, turn: f64) -> Plan {
    let place = |(mold, (x, y)): &(Mold, (f64, f64))| {
        (mold.clone(), (width / 2.0 + x, depth / 2.0 + y, turn))
    };
    standing(*width, *depth, &molds.iter().map(place).collect::<Vec<_>>())
}

/// Where each node is from the middle of the opening, with its thickness.
fn nodes_of(told: &Forecast) -> Vec<([f64; 3], f64)> {
    let middle = told.map.bounds.center();
    let from_middle = |at: &[f32; 3]| {
        let [x, y, z] = at.map(f64::from);
        [x - middle.x, y - middle.y, z]
    };
    let ratios = told.sheet.thickness.iter().map(|ratio| f64::from(*ratio));
    told.sheet.positions.iter().map(from_middle).zip(ratios).collect()
}

/// Asserts that each node of one forecast has its image in the other: at the same place and as thick, but for what numbers of
/// four bytes round away. Inside the solver the images are the same to the last bit, so nothing can grow from a rounding.
#[track_caller]
fn assert_is_image(
    (one, other): (&Forecast, &Forecast),
    image: impl Fn((f64, f64)) -> (f64, f64),
    what: &str,
) {
    let (nodes, mut images) = (nodes_of(one), nodes_of(other));
    assert_eq!(nodes.len(), images.len(), "{what}: nodes");
    let (low, high) = (|at: f64| at - 1e-4, |at: f64| at + 1e-4);
    images.sort_by(|a, b| a.0[2].total_cmp(&b.0[2]));
    for (at, ratio) in nodes {
        let (x, y) = image((at[0], at[1]));
        let from = images.partition_point(|(there, _)| there[2] < low(at[2]));
        let level = images[from..].iter().take_while(|(there, _)| there[2] <= high(at[2]));
        let mut twins =
            level.filter(|(there, _)| (there[0] - x).abs() < 1e-4 && (there[1] - y).abs() < 1e-4);
        let found = twins.any(|(_, other)| (other - ratio).abs() <= 1e-6);
        assert!(found, "{what}: no twin of {at:?} with {ratio}");
    }
}

/// Forms a layout and its images, and compares.
fn check_images(name: &str, layout: &Layout, mode: Mode, mesh: f64) {
    type Image = fn((f64, f64)) -> (f64, f64);
    let images: [(&str, Image, f64); 3] = [
        ("left and right", |(x, y)| (-x, y), 0.0),
        ("front and back", |(x, y)| (x, -y), 0.0),
        ("a quarter turn", |(x, y)| (-y, x), 90.0),
    ];
    let ((width, depth), molds) = layout;
    let one = formed(&stand_about_the_middle(layout, 0.0), mode, mesh);
    for (what, image, turn) in images {
        let size = if turn > 0.0 { (*depth, *width) } else { (*width, *depth) };
        let moved = molds.iter().map(|(mold, at)| (mold.clone(), image(*at))).collect();
        let other = formed(&stand_about_the_middle(&(size, moved), turn), mode, mesh);
        assert_is_image((&one, &other), image, &format!("{name} {mode:?} on {mesh} mm, {what}"));
    }
}

/// A layout's mirror image and the layout turned by a quarter form as the image of what the layout forms: so what is symmetric
/// forms symmetrically, and no side is preferred on any net.
#[test]
fn a_mirrored_or_turned_layout_forms_mirrored_or_turned() {
    let cone = Footprint::Circle { diameter: Length::mm(50.0) };
    let cone =
        Mold { relief: Relief::Taper { top: 0.0 }, ..Mold::new("Limpet", cone, Length::mm(25.0)) };
    let drafted = Mold { draft: Angle::degrees(5.0), ..block(40.0, 30.0, 20.0) };
    let layouts: [(&str, Layout); 4] = [
        ("block", ((160.0, 160.0), vec![(block(50.0, 50.0, 25.0), (0.0, 0.0))])),
        ("cone", ((160.0, 160.0), vec![(cone.clone(), (0.0, 0.0))])),
        (
            "two blocks",
            (
                (180.0, 140.0),
                vec![
                    (block(40.0, 40.0, 25.0), (-35.0, 0.0)),
                    (block(40.0, 40.0, 25.0), (35.0, 0.0)),
                ],
            ),
        ),
        (
            "a block and a cone askew",
            ((170.0, 130.0), vec![(drafted, (-37.3, 11.0)), (cone, (31.0, -12.7))]),
        ),
    ];
    for (name, layout) in &layouts {
        for mesh in [8.0, 4.0, 3.0] {
            check_images(name, layout, Mode::Rubber, mesh);
        }
        check_images(name, layout, Mode::Uniform, 8.0);
    }
}

/// Random layouts, the same in every run.
#[test]
fn no_layout_drawn_by_lot_forms_otherwise_when_it_is_mirrored_or_turned() {
    let mut lots = Lots::new(20_261_126);
    let mut chance = |low: f64, high: f64| lots.between(low, high);
    for nth in 0..LOTS {
        let mut one = |x: f64, y: f64| {
            let mold = block(chance(20.0, 40.0), chance(20.0, 40.0), chance(8.0, 25.0));
            let mold = Mold { draft: Angle::degrees(chance(0.0, 8.0)), ..mold };
            (mold, (x + chance(-4.0, 4.0), y + chance(-4.0, 4.0)))
        };
        let molds = vec![one(-50.0, -25.0), one(48.0, -20.0), one(0.0, 32.0)];
        let layout = ((190.0, 150.0), molds);
        check_images(&format!("lot {nth}"), &layout, Mode::Rubber, 5.5);
    }
}

/// Layouts that are drawn by lot.
const LOTS: u32 = 60;

#[test]
fn the_same_question_has_the_same_answer() {
    let (one, other) = (formed(&sample(), Mode::Rubber, 9.0), formed(&sample(), Mode::Rubber, 9.0));
    assert!(one == other);
}

/// Steps of the web index that no net tells.
const TELLS: f64 = 0.002;
/// What nets differ by.
const NETS: f64 = 0.003;

/// Two blocks of 40 mm so high and so far apart, 50 mm from the clamp, with this much draft, as the forecast has them.
fn two_blocks([one, other]: [f64; 2], gap: f64, (draft, mesh): (f64, f64)) -> Forecast {
    let (side, margin) = (40.0, 50.0);
    let (width, depth) = (2.0 * (side + margin) + gap, side + 2.0 * margin);
    let (left, right) = (margin + side / 2.0, margin + 1.5 * side + gap);
    let mold = |height| Mold { draft: Angle::degrees(draft), ..block(side, side, height) };
    let molds = [(mold(one), (left, depth / 2.0, 0.0)), (mold(other), (right, depth / 2.0, 0.0))];
    formed(&standing(width, depth, &molds), Mode::Rubber, mesh)
}

/// Between equal blocks and unequal ones, upright and drafted.
#[test]
fn less_room_or_more_height_is_never_said_to_be_better_on_any_net() {
    // Each pair is at least as high as the one before, on both sides.
    let pairs = [[20.0, 20.0], [20.0, 35.0], [35.0, 35.0], [35.0, 50.0], [50.0, 50.0]];
    let gaps = [15.0, 30.0, 60.0, 75.0, 87.5, 100.0];
    for draft in [0.0, 5.0] {
        // The finest net takes most of the time, and draft is no other to it.
        let nets: &[f64] = if draft > 0.0 { &[5.0, 4.0] } else { &[5.0, 4.0, 3.0] };
        let tables = nets.iter().map(|&mesh| {
            pairs.map(|pair| {
                gaps.map(|gap| {
                    let told = two_blocks(pair, gap, (draft, mesh));
                    let between = told.webs.iter().filter(|web| web.kind == WebKind::Span);
                    (told.web_index, between.map(|web| web.severity).max())
                })
            })
        });
        let tables: Vec<_> = tables.collect();
        for table in &tables {
            for (row, pair) in table.iter().zip(pairs) {
                for next in row.windows(2) {
                    let ((near, near_web), (far, far_web)) = (next[0], next[1]);
                    assert!(far <= near + TELLS, "{pair:?}, {draft} degrees: {row:?}");
                    assert!(far_web <= near_web, "{pair:?}, {draft} degrees: {row:?}");
                }
            }
            for rows in table.windows(2) {
                for (low, high) in rows[0].iter().zip(&rows[1]) {
                    assert!(high.0 >= low.0 - TELLS, "{draft} degrees: {rows:?}");
                    assert!(high.1 >= low.1, "{draft} degrees: {rows:?}");
                }
            }
            // Not all the same: what stands closer than half its height webs, what stands twice its height apart does not.
            let [high, low] = [table[4], table[0]].map(|row| row.map(|(index, _)| index));
            assert!(high[0] > 0.3 && low[2] < 0.05 && high[5] < 0.05, "{table:?}");
            assert_eq!(table[4][0].1, Some(Severity::Caution), "{table:?}");
            assert_eq!(table[4][5].1, None, "{table:?}");
            for (one, other) in table.iter().flatten().zip(tables[0].iter().flatten()) {
                assert_near!(one.0, other.0, NETS, "the same on every net");
            }
        }
    }
}

#[test]
fn a_gap_has_one_web_index_whichever_mold_is_named_first() {
    for draft in [0.0, 5.0] {
        for pair in [[20.0, 35.0], [35.0, 50.0]] {
            for gap in [15.0, 30.0, 60.0] {
                let [one, other] = [pair, [pair[1], pair[0]]]
                    .map(|pair| two_blocks(pair, gap, (draft, 5.0)).web_index);
                assert!(one > 0.0 || gap > 30.0, "{pair:?} {gap} mm apart");
                assert_near!(one, other, 1e-6, "{pair:?}, {gap} mm apart, {draft} degrees");
            }
        }
    }
}

/// A drum a third as tall as wide, alone on the blank, is pulled without a web (common practice: webs come between molds and at
/// tall corners); where the sample breaks the clearance rule one is likely, and nowhere else.
#[test]
fn webs_are_told_where_they_stand_and_not_where_the_sheet_gets_thicker() {
    let drum = Footprint::Circle { diameter: Length::mm(60.0) };
    let drum = Mold::new("Limpet", drum, Length::mm(20.0));
    let alone = standing(300.0, 250.0, &[(drum, (150.0, 125.0, 0.0))]);
    let webs = formed(&alone, Mode::Rubber, 3.0).webs;
    assert!(webs.is_empty(), "{webs:#?}");
    let plan = sample();
    let webs = formed(&plan, Mode::Rubber, 3.0).webs;
    let likely: Vec<_> = webs.iter().filter(|web| web.severity == Severity::Caution).collect();
    let too_close = check(&plan, PULL).into_iter().find(|finding| finding.rule == Rule::Clearance);
    let mut pair: Vec<_> = too_close.expect("the sample breaks a rule").subjects;
    let mut at: Vec<_> =
        likely.iter().flat_map(|web| &web.molds).map(|id| Subject::Placement(*id)).collect();
    pair.sort();
    at.sort();
    assert_eq!((likely.len(), at), (1, pair), "{webs:#?}");
}

/// A web at each upright corner, one round a drum too tall for it, one in each gap with too little room: so many are told on any
/// net. In the sample one of three is so small that a coarse net does not tell it.
#[test]
fn as_many_webs_are_told_on_every_net() {
    let drum = Footprint::Circle { diameter: Length::mm(40.0) };
    let drum = Mold::new("Limpet", drum, Length::mm(60.0));
    let near = |x: f64| (block(50.0, 50.0, 35.0), (120.0 + x, 85.0, 0.0));
    let plans = [
        (4, standing(200.0, 200.0, &[(block(40.0, 40.0, 50.0), (100.0, 100.0, 0.0))])),
        (1, standing(200.0, 200.0, &[(drum, (100.0, 100.0, 0.0))])),
        (5, standing(240.0, 170.0, &[near(-35.0), near(35.0)])),
    ];
    for mesh in [4.0, 3.0, 2.5, 2.0] {
        for (count, plan) in &plans {
            let webs = formed(plan, Mode::Rubber, mesh).webs;
            assert_eq!(webs.len(), *count, "{mesh} mm: {webs:#?}");
        }
        let webs = formed(&sample(), Mode::Rubber, mesh).webs;
        assert!((2..=3).contains(&webs.len()), "{mesh} mm: {webs:#?}");
    }
}

/// Of every mold of the sample, of two drafted blocks, one of them askew to the net, an upright one, a dome, a bowl, a round
/// cavity and one with corners; and of all there is on the sheet.
#[test]
fn a_finer_net_says_the_same_of_the_thinnest_walls() {
    let drafted = |width: f64, depth: f64, height: f64, draft: f64| Mold {
        draft: Angle::degrees(draft),
        ..block(width, depth, height)
    };
    let round = |diameter: f64, height: f64| {
        let footprint = Footprint::Circle { diameter: Length::mm(diameter) };
        Mold::new("Limpet", footprint, Length::mm(height))
    };
    let alone = |mold: Mold| standing(160.0, 160.0, &[(mold, (80.0, 80.0, 0.0))]);
    let square = [(drafted(60.0, 60.0, 30.0, 5.0), (100.0, 100.0, 0.0))];
    let askew = [(drafted(70.0, 50.0, 25.0, 3.0), (90.0, 80.0, 20.0))];
    let dome = Mold { relief: Relief::Dome, ..round(60.0, 30.0) };
    let kind = MoldKind::Female;
    let bowl = Mold { kind, relief: Relief::Dome, ..round(80.0, 30.0) };
    let cavity = Mold { kind, draft: Angle::degrees(3.0), ..round(80.0, 25.0) };
    let cornered = Mold { kind, ..drafted(80.0, 60.0, 20.0, 3.0) };
    let plans = [
        ("sample", sample()),
        ("block", standing(200.0, 200.0, &square)),
        ("askew", standing(200.0, 160.0, &askew)),
        ("upright", alone(block(50.0, 50.0, 25.0))),
        ("dome", alone(dome)),
        ("bowl", alone(bowl)),
        ("round cavity", alone(cavity)),
        ("cavity with corners", alone(cornered)),
    ];
    for (name, plan) in &plans {
        let [coarse, usual, fine] = [4.0, 3.0, 2.0].map(|mesh| formed(plan, Mode::Rubber, mesh));
        for net in [&fine, &coarse] {
            for (id, over) in &usual.molds {
                let ratio = over.thinnest.ratio;
                let off = net.molds[id].thinnest.ratio / ratio - 1.0;
                assert!(off.abs() < 0.03, "{name} {id}: {ratio}, {off:+}");
            }
            let off = net.thinnest.ratio / usual.thinnest.ratio - 1.0;
            assert!(off.abs() < 0.03, "{name}, all: {}, {off:+}", usual.thinnest.ratio);
        }
    }
}

#[test]
fn the_forecast_says_what_lands_where_and_what_to_do() {
    let plan = sample();
    let settings = coarse(Mode::Rubber, 7.0);
    let told = forecast(&plan, PULL, &settings, &mut ()).expect("a forecast");
    assert_eq!(told.molds.len(), 6);
    for (id, over) in &told.molds {
        assert!(0.0 < over.thinnest.ratio && over.thinnest.ratio <= over.mean, "{id}: {over:?}");
        assert!(over.mean <= 1.0 && (0.0..=1.0).contains(&over.landed), "{id}: {over:?}");
        // The top of every mold is reached first and keeps its gauge.
        let top = told.map.at(plan.pulls[&PULL].placements[id].pose.at).expect("over the opening");
        assert_eq!(top.contact, Contact::Mold(*id));
        assert!(top.ratio > 0.8, "{id}: {top:?}");
    }
    assert_eq!(told.map.at(Point::new(1.0, 1.0)), None, "under the clamp");
    let least = told.thickness(told.thinnest.ratio * 1.5);
    let found = findings(&told, least);
    assert!(found.is_sorted_by(|a, b| a.severity >= b.severity) && !found.is_empty());
    for finding in &found {
        let words = [
            finding.title(&plan, PULL),
            finding.reason(&plan, PULL),
            finding.next_step().to_owned(),
        ];
        assert!(words.iter().all(|words| !words.is_empty()), "{finding:?}");
        assert!(words[1].ends_with('.') && words[2].ends_with('.'), "{words:?}");
    }
    let gauge = suggest_gauge(&told, least).expect("molds stand");
    assert_near!((gauge.least * gauge.ratio).to_mm(), least.to_mm(), 1e-9);
    assert!(gauge.sold.is_none_or(|sold| sold >= gauge.least));
    // A cut right across meets the sheet all along, and lines of equal thickness lie where the map has it.
    let opening = plan.machine.opening();
    let cut = told.section(Point::new(opening.min.x, 150.3), Point::new(opening.max.x, 150.3));
    let length: f64 = cut.sheet.iter().map(|[a, b]| (b.along - a.along).to_mm()).sum();
    assert_near!(length, opening.width().to_mm(), 0.01);
    for contour in told.contours(&LINES) {
        for place in contour.lines.iter().flatten() {
            assert!(told.map.bounds.contains(*place), "{place:?}");
        }
    }
    assert!(told.contours(&[0.8])[0].lines.len() > 3, "a line round every mold");
}

#[test]
fn advice_has_been_tried_and_helps() {
    let molds = [
        (block(50.0, 50.0, 35.0), (85.0, 85.0, 0.0)),
        (block(50.0, 50.0, 35.0), (150.0, 85.0, 0.0)),
    ];
    let plan = standing(240.0, 170.0, &molds);
    let settings = coarse(Mode::Rubber, 5.0);
    let told = forecast(&plan, PULL, &settings, &mut ()).expect("a forecast");
    let advice = advice(&plan, PULL, &told, &settings, &mut ()).expect("advice");
    let first = advice.first().expect("two blocks this close can be helped");
    let after = plan.apply(&first.edit).expect("a legal edit");
    let again = forecast(&after, PULL, &coarse(Mode::Rubber, 8.0), &mut ()).expect("a forecast");
    let kept = again.thinnest_kept().expect("molds").1.ratio;
    assert_near!(again.thickness(kept).to_mm(), first.after.thinnest.to_mm(), 1e-9);
    assert!(
        first.after.thinnest > first.before.thinnest
            || first.after.web_index < first.before.web_index
    );
    assert!(first.words(&plan, PULL).ends_with('.'));
}

#[test]
fn what_makes_no_sense_is_refused_and_what_is_stopped_ends() {
    let plan = sample();
    let usual = coarse(Mode::Rubber, 9.0);
    let ask = |settings: &Settings| forecast(&plan, PULL, settings, &mut ()).map(|_| ());
    assert_eq!(
        forecast(&plan, PullId(9), &usual, &mut ()).map(|_| ()),
        Err(DrapeError::NoSuchPull(PullId(9)))
    );
    for mesh in [0.0, -1.0, f64::NAN, f64::INFINITY, 900.0] {
        let refused = ask(&Settings { mesh: Length::mm(mesh), ..usual });
        assert!(matches!(refused, Err(DrapeError::Mesh { .. })), "{mesh}");
    }
    for sag in [-1.0, f64::NAN, 500.0] {
        let refused = ask(&Settings { sag: Length::mm(sag), ..usual });
        assert!(matches!(refused, Err(DrapeError::Sag { .. })), "{sag}");
    }
    for firmness in [0.0, f64::NAN, 1e9] {
        let refused = ask(&Settings { firmness, ..usual });
        assert!(matches!(refused, Err(DrapeError::Firmness { .. })), "{firmness}");
    }
    let mut stop = |_: &Progress| ControlFlow::Break(());
    assert_eq!(forecast(&plan, PULL, &usual, &mut stop).map(|_| ()), Err(DrapeError::Stopped));
}

#[test]
fn odd_layouts_have_a_forecast_too() {
    let round = Footprint::Circle { diameter: Length::mm(60.0) };
    let cup = Mold { kind: MoldKind::Female, ..Mold::new("Anemone base", round, Length::mm(30.0)) };
    let tall = Mold { spacer: Length::mm(20.0), ..block(8.0, 8.0, 200.0) };
    let steep = Mold { draft: Angle::degrees(80.0), ..block(40.0, 40.0, 30.0) };
    let wide = block(400.0, 400.0, 10.0);
    let bow = [(0.0, 0.0), (40.0, 40.0), (40.0, 0.0), (0.0, 40.0)].map(|(x, y)| Point::new(x, y));
    let bow =
        Footprint::Outline { outer: engine::geometry::Ring::new(bow.to_vec()), holes: vec![] };
    let bow = Mold::new("Starfish", bow, Length::mm(10.0));
    let layouts = [
        vec![],
        vec![(cup, (60.0, 60.0, 10.0))],
        vec![(tall, (60.0, 60.0, 45.0))],
        vec![(steep, (2.0, 60.0, 0.0)), (wide, (60.0, 60.0, 3.0))],
        vec![(bow, (500.0, 60.0, 0.0))],
    ];
    for (number, molds) in layouts.iter().enumerate() {
        let plan = standing(120.0, 120.0, molds);
        for mode in [Mode::Rubber, Mode::Uniform] {
            let settings = Settings { sag: Length::mm(8.0), ..coarse(mode, 10.0) };
            let told = forecast(&plan, PULL, &settings, &mut ()).expect("a forecast");
            assert_near!(told.plastic, 1.0, 1e-3, "layout {number} {mode:?}");
            assert!(
                told.sheet.positions.iter().flatten().all(|part| part.is_finite()),
                "layout {number}"
            );
            assert!(told.sheet.thickness.iter().all(|ratio| ratio.is_finite() && *ratio >= 0.0));
            let is_order = |over: &OverMold| (0.0..=over.mean).contains(&over.thinnest.ratio);
            assert!(told.molds.values().all(is_order), "layout {number} {mode:?}");
        }
    }
}

//! Laws of the rules, on random small plans from fixed seeds: what must hold whatever stands on the blank.

use std::collections::BTreeMap;

use engine::drape::{self, Change, advice_for, findings, forecast};
use engine::drawing::explain;
use engine::edit::Edit;
use engine::geometry::{Point, Pose, Region, Ring, Vec2, problems, tolerance};
use engine::plan::{
    Batch, CopyNumber, ExtraStock, Footprint, HeightGrid, Machine, Mold, MoldId, MoldKind,
    Placement, PlacementId, Plan, Plastic, PullId, Relief, Size, Step, Stock, StockId, Texture,
    sample,
};
use engine::rules::{Finding, Measure, ReadyMolds, Rule, Subject, check, check_with, nearest};
use engine::units::{Angle, Length};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const PULL: PullId = PullId(1);

/// Values closer than this are the same.
const SAME: f64 = 1e-6;

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(20_260),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// The same, with the sheet of the pull among those of the batch and another one as the plan's own.
fn in_another_sheet(plan: &Plan) -> Plan {
    let extra = ExtraStock { colour: String::new(), stock: plan.stock };
    let batch = Batch { stocks: [(StockId(3), extra)].into(), ..Batch::default() };
    let own = Stock { gauge: plan.stock.gauge * 3.0, ..Stock::default() };
    let edits = [
        Edit::SetBatch(Box::new(batch)),
        Edit::SetPullStock(PULL, Some(StockId(3))),
        Edit::SetStock(own),
    ];
    plan.apply(&Edit::All(edits.into())).expect("within the limits")
}

#[test]
fn a_pull_in_another_sheet_is_forecast_in_that_sheet() {
    let settings = drape::Settings { mesh: Length::mm(12.0), ..drape::Settings::default() };
    let of = |plan: &Plan| forecast(plan, PULL, &settings, &mut ()).expect("a forecast");
    let plan = sample();
    assert_eq!(of(&in_another_sheet(&plan)), of(&plan));
}

#[test]
fn advice_on_the_gauge_is_for_the_sheet_of_the_pull() {
    let settings = drape::Settings { mesh: Length::mm(12.0), ..drape::Settings::default() };
    let mut plan = in_another_sheet(&sample());
    plan.settings.least_wall = Some(Length::mm(1.2));
    let told = forecast(&plan, PULL, &settings, &mut ()).expect("a forecast");
    let thin = findings(&told, Length::mm(1.2)).swap_remove(0);
    let advice = advice_for(&plan, PULL, &thin, &settings, &mut ()).expect("advice").helping;
    let thicker = advice.iter().find_map(|one| match one.change {
        Change::Gauge { to } => Some((to, &one.edit)),
        _ => None,
    });
    let (to, edit) = thicker.expect("a thicker sheet helps");
    let after = plan.apply(edit).expect("a change that was tried");
    assert!(to > plan.stock_of_pull(PULL).gauge);
    assert_eq!((after.stock_of_pull(PULL).gauge, after.stock), (to, plan.stock));
}

proptest! {
    #![proptest_config(config(400))]

    #[test]
    fn moving_and_turning_everything_together_changes_nothing_among_the_molds(
        plan in plans(),
        by in (-400.0..400.0, -400.0..400.0),
        turn in prop_oneof![Just(0.0), Just(90.0), Just(180.0), Just(270.0), 0.0..360.0],
    ) {
        let moved = together(&plan, Vec2::new(by.0, by.1), Angle::degrees(turn));
        let among = |plan: &Plan| check(plan, PULL).into_iter().filter(is_among_molds).collect::<Vec<_>>();
        same_findings(&among(&plan), &among(&moved))?;
    }

    #[test]
    fn a_pull_in_another_sheet_is_judged_as_in_a_plan_of_that_sheet(plan in plans()) {
        let told = |plan: &Plan| {
            let words = |f: &Finding| {
                [f.title(plan, PULL), f.reason(plan, PULL), f.next_step(plan, PULL), explain(f, plan, PULL).says]
            };
            check(plan, PULL).iter().map(|f| (f.clone(), words(f))).collect::<Vec<_>>()
        };
        prop_assert_eq!(told(&in_another_sheet(&plan)), told(&plan));
    }

    #[test]
    fn the_order_in_which_molds_were_placed_changes_nothing(plan in plans()) {
        let highest = placements(&plan).keys().map(|id| id.0).max().unwrap_or(0);
        let renamed = |id: PlacementId| PlacementId(highest + 1 - id.0);
        let other = with_placements(&plan, placements(&plan).iter().map(|(&id, &p)| (renamed(id), p)).collect());
        let mut expected = check(&plan, PULL);
        for finding in &mut expected {
            for subject in &mut finding.subjects {
                if let Subject::Placement(id) = subject {
                    *id = renamed(*id);
                }
            }
            finding.subjects.sort();
        }
        expected.sort_by(|a, b| {
            (b.severity, a.rule).cmp(&(a.severity, b.rule)).then_with(|| a.subjects.cmp(&b.subjects))
        });
        same_findings(&expected, &check(&other, PULL))?;
    }

    #[test]
    fn two_molds_are_spoken_of_exactly_when_they_are_closer_than_their_clearance(plan in plans()) {
        let found = check(&plan, PULL);
        for (one, other) in pairs(&plan) {
            let (mold, other_mold) = (&plan.molds[&one.1.mold], &plan.molds[&other.1.mold]);
            let heights = [mold.standing_height(), other_mold.standing_height()];
            let allowed = plan.settings.clearance.between(heights, [mold.trim, other_mold.trim]);
            let distance = free_distance(&region_of(&plan, &one.1), &region_of(&plan, &other.1));
            if (distance - allowed.to_mm()).abs() < SAME || (distance > 0.0 && distance < SAME) {
                continue;
            }
            let expected = (distance < allowed.to_mm()).then_some(distance);
            let subjects = [one.0, other.0].map(Subject::Placement);
            let told = found.iter().find(|finding| {
                matches!(finding.rule, Rule::Clearance | Rule::Overlap) && finding.subjects == subjects
            });
            prop_assert_eq!(told.is_some(), expected.is_some(), "{:?} at {}", told, distance);
            if let (Some(told), Some(expected)) = (told, expected) {
                let rule = if expected > 0.0 { Rule::Clearance } else { Rule::Overlap };
                prop_assert_eq!(told.rule, rule);
                prop_assert!((value(told.measured) - expected).abs() < SAME, "{:?}, {}", told, expected);
            }
        }
    }

    #[test]
    fn a_mold_is_spoken_of_exactly_when_a_corner_is_too_near_the_clamp_or_under_it(plan in plans()) {
        let opening = plan.machine.opening();
        let found = check(&plan, PULL);
        for (id, placement) in placements(&plan) {
            let mold = &plan.molds[&placement.mold];
            if !is_sound(mold) {
                continue;
            }
            let corners = region_of(&plan, &placement).outer;
            let rooms = corners.points().iter().flat_map(|p| {
                [p.x - opening.min.x, opening.max.x - p.x, p.y - opening.min.y, opening.max.y - p.y]
            });
            let room = rooms.fold(f64::INFINITY, f64::min);
            let margin = plan.settings.edge.margin(mold.standing_height(), mold.trim).to_mm();
            if room.abs() < SAME || (room - margin).abs() < SAME {
                continue;
            }
            let told = |rule: Rule| {
                let subjects = [Subject::Placement(id)];
                found.iter().find(|finding| finding.rule == rule && finding.subjects == subjects)
            };
            prop_assert_eq!(told(Rule::Opening).is_some(), room < 0.0);
            prop_assert_eq!(told(Rule::Edge).is_some(), room > 0.0 && room < margin);
            let near = nearest(&plan, PULL, id).expect("a sound mold stands there");
            let least = near.sides.iter().map(|side| side.distance.to_mm()).fold(f64::INFINITY, f64::min);
            prop_assert!((least - room).abs() < SAME);
        }
    }

    #[test]
    fn known_molds_change_no_finding_even_when_what_is_known_is_of_another_plan(
        plan in plans(),
        other in plans(),
    ) {
        let expected = check(&plan, PULL);
        let ready = ReadyMolds::default().renewed(&other);
        prop_assert_eq!(&check_with(&plan, PULL, &ready), &expected);
        prop_assert_eq!(&check_with(&plan, PULL, &ready.renewed(&plan)), &expected);
    }
}

proptest! {
    #![proptest_config(config(400))]

    #[test]
    fn every_plan_can_be_checked_and_every_finding_put_into_words(plan in plans()) {
        for finding in check(&plan, PULL) {
            for words in [finding.title(&plan, PULL), finding.reason(&plan, PULL), finding.next_step(&plan, PULL)] {
                prop_assert!(!words.is_empty() && !words.contains("NaN") && !words.contains("inf "), "{}", words);
            }
            for measure in [finding.measured, finding.allowed].into_iter().flatten() {
                prop_assert!(value(Some(measure)).is_finite(), "{:?}", finding);
            }
        }
    }

    #[test]
    fn findings_stand_in_one_order_and_none_twice(plan in plans()) {
        let key = |finding: &Finding| {
            (std::cmp::Reverse(finding.severity), finding.rule, finding.subjects.clone())
        };
        let keys: Vec<_> = check(&plan, PULL).iter().map(key).collect();
        prop_assert!(keys.windows(2).all(|pair| pair[0] < pair[1]), "{:?}", keys);
    }
}

#[test]
fn what_is_not_a_number_never_enters_a_plan() {
    let plan = Plan::new("Empty", Machine::default());
    let nan = Length::mm(f64::NAN);
    let square = Footprint::Rectangle { width: Length::mm(20.0), depth: Length::mm(20.0) };
    let sound = Mold::new("Limpet", square, Length::mm(20.0));
    let corner =
        Ring::new(vec![Point::new(0.0, f64::NAN), Point::new(1.0, 0.0), Point::new(0.0, 1.0)]);
    let odd = [
        Mold { height: nan, ..sound.clone() },
        Mold { spacer: nan, ..sound.clone() },
        Mold { trim: nan, ..sound.clone() },
        Mold { draft: Angle::radians(f64::NAN), ..sound.clone() },
        Mold { relief: Relief::Taper { top: f64::NAN }, ..sound.clone() },
        Mold { footprint: Footprint::Circle { diameter: nan }, ..sound.clone() },
        Mold { footprint: Footprint::Outline { outer: corner, holes: vec![] }, ..sound.clone() },
    ];
    for mold in odd {
        assert!(plan.apply(&Edit::AddMold(MoldId(1), Box::new(mold))).is_err());
    }
    let plan = plan.apply(&Edit::AddMold(MoldId(1), Box::new(sound))).expect("adds");
    for (x, turn) in [(f64::NAN, 0.0), (f64::INFINITY, 0.0), (50.0, f64::NAN)] {
        let pose = Pose::new(Point::new(x, 50.0), Angle::radians(turn));
        let placement = Placement { mold: MoldId(1), copy: CopyNumber(1), pose, locked: false };
        let edit = Edit::Place(PULL, BTreeMap::from([(PlacementId(1), placement)]));
        assert!(plan.apply(&edit).is_err(), "{pose:?}");
    }
}

// Comparing.

/// Rules that look at molds and not at where the blank is.
const fn is_among_molds(finding: &Finding) -> bool {
    !matches!(finding.rule, Rule::Opening | Rule::Platen | Rule::Edge)
}

fn same_findings(one: &[Finding], other: &[Finding]) -> Result<(), TestCaseError> {
    let key = |finding: &Finding| (finding.rule, finding.severity, finding.subjects.clone());
    let (one_keys, other_keys): (Vec<_>, Vec<_>) =
        (one.iter().map(key).collect(), other.iter().map(key).collect());
    prop_assert_eq!(one_keys, other_keys);
    for (one, other) in one.iter().zip(other) {
        for (a, b) in [(one.measured, other.measured), (one.allowed, other.allowed)] {
            prop_assert!((value(a) - value(b)).abs() < SAME, "{:?}, {:?}", one, other);
        }
    }
    Ok(())
}

fn value(measure: Option<Measure>) -> f64 {
    match measure {
        Some(Measure::Length(length)) => length.to_mm(),
        Some(Measure::Angle(angle)) => angle.to_degrees(),
        Some(Measure::Ratio(ratio)) => ratio,
        Some(Measure::Count(count)) => f64::from(count),
        None => 0.0,
    }
}

// Brute force, from corners and sides alone.

fn region_of(plan: &Plan, placement: &Placement) -> Region {
    plan.molds[&placement.mold].footprint.region(tolerance::MEASURE).placed(placement.pose)
}

fn is_sound(mold: &Mold) -> bool {
    let problems = problems(&mold.footprint.region(tolerance::MEASURE));
    let is_harmless = |problem: &engine::geometry::Problem| {
        matches!(problem, engine::geometry::Problem::RepeatedCorner { .. })
    };
    problems.iter().all(is_harmless)
}

/// All pairs of placements of sound molds, in id order.
fn pairs(plan: &Plan) -> Vec<((PlacementId, Placement), (PlacementId, Placement))> {
    let sound: Vec<_> = placements(plan)
        .into_iter()
        .filter(|(_, placement)| is_sound(&plan.molds[&placement.mold]))
        .collect();
    let pairs = (0..sound.len()).flat_map(|i| (i + 1..sound.len()).map(move |j| (i, j)));
    pairs.map(|(i, j)| (sound[i], sound[j])).collect()
}

/// The distance between two regions, zero when sides cross or one lies in the other.
fn free_distance(one: &Region, other: &Region) -> f64 {
    let mut least = f64::INFINITY;
    for (a, b) in one.rings().flat_map(Ring::sides) {
        for (c, d) in other.rings().flat_map(Ring::sides) {
            if is_crossing((a, b), (c, d)) {
                return 0.0;
            }
            let ends =
                [to_side(a, (c, d)), to_side(b, (c, d)), to_side(c, (a, b)), to_side(d, (a, b))];
            least = ends.into_iter().fold(least, f64::min);
        }
    }
    let is_inside = is_in(one.outer.points()[0], other) || is_in(other.outer.points()[0], one);
    if is_inside { 0.0 } else { least }
}

fn is_crossing((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let side = |from: Point, to: Point, p: Point| (to - from).cross(p - from);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

fn to_side(p: Point, (a, b): (Point, Point)) -> f64 {
    let along = b - a;
    let share = if along.length() > 0.0 { (p - a).dot(along) / along.dot(along) } else { 0.0 };
    p.distance(a + along * share.clamp(0.0, 1.0))
}

/// True when the region winds round the point.
fn is_in(p: Point, region: &Region) -> bool {
    let turn = |(a, b): (Point, Point)| {
        let (a, b) = (a - p, b - p);
        Vec2::new(a.dot(b), a.cross(b)).direction().to_radians()
    };
    region.rings().flat_map(Ring::sides).map(turn).sum::<f64>().abs() > 3.0
}

// Random plans, all of them built by edits.

fn placements(plan: &Plan) -> BTreeMap<PlacementId, Placement> {
    plan.pulls[&PULL].placements.clone()
}

fn with_placements(plan: &Plan, placements: BTreeMap<PlacementId, Placement>) -> Plan {
    let emptied = Edit::TakeOff(PULL, plan.pulls[&PULL].placements.keys().copied().collect());
    plan.apply(&Edit::All(vec![emptied, Edit::Place(PULL, placements)]))
        .expect("the places are accepted")
}

/// All that stands on the blank, turned about the origin and then moved.
fn together(plan: &Plan, by: Vec2, turn: Angle) -> Plan {
    let frame = Pose::new(Point::ORIGIN + by, turn);
    let moved = |placement: Placement| Placement {
        pose: Pose::new(frame.apply(placement.pose.at), placement.pose.turn + turn),
        ..placement
    };
    with_placements(plan, placements(plan).into_iter().map(|(id, p)| (id, moved(p))).collect())
}

fn plans() -> impl Strategy<Value = Plan> {
    let stock = (
        prop::sample::select(Plastic::ALL.to_vec()),
        prop::sample::select(Texture::ALL.to_vec()),
        0.3..6.0,
    );
    let settings = (0.5..3.0, 0.0..3.0, 0.0..40.0);
    let molds = prop::collection::vec(molds(), 1..5);
    let places = prop::collection::vec((0_usize..5, 1_u32..4, poses()), 0..7);
    (molds, places, stock, settings).prop_map(
        |(molds, places, (plastic, texture, gauge), settings)| {
            let blank = Size::new(Length::mm(420.0), Length::mm(330.0));
            let mut plan =
                Plan::new("Law", Machine::with_lip(blank, Length::mm(15.0), Length::mm(90.0)));
            let mut stock = plan.stock;
            (stock.plastic, stock.texture, stock.gauge) = (plastic, texture, Length::mm(gauge));
            let mut rules = plan.settings;
            (rules.clearance.factor, rules.edge.factor) = (settings.0, settings.1);
            rules.clearance.least = Length::mm(settings.2);
            let mut edits = vec![Edit::SetStock(stock), Edit::SetSettings(rules)];
            let n_molds = molds.len();
            edits.extend(
                (1..).map(MoldId).zip(molds).map(|(id, mold)| Edit::AddMold(id, Box::new(mold))),
            );
            let standing = places.into_iter().map(|(mold, copy, pose)| {
                let mold = (1..).map(MoldId).nth(mold % n_molds).expect("ids never run out");
                Placement { mold, copy: CopyNumber(copy), pose, locked: false }
            });
            edits.push(Edit::Place(PULL, (1..).map(PlacementId).zip(standing).collect()));
            plan = plan.apply(&Edit::All(edits)).expect("random plans stay within the limits");
            plan
        },
    )
}

fn poses() -> impl Strategy<Value = Pose> {
    let turn = prop_oneof![Just(0.0), Just(90.0), 0.0..360.0];
    (-20.0..440.0, -20.0..350.0, turn)
        .prop_map(|(x, y, turn)| Pose::new(Point::new(x, y), Angle::degrees(turn)))
}

fn molds() -> impl Strategy<Value = Mold> {
    let relief = (0..6_u8, 0.0..=1.0);
    let kind = prop_oneof![Just(MoldKind::Male), Just(MoldKind::Female)];
    let sizes = (0.1..120.0, 0.0..30.0, 0.0..80.0, 0.0..60.0);
    (footprints(), sizes, relief, kind, 1_u32..4).prop_map(
        |(footprint, (height, spacer, draft, trim), (relief, share), kind, copies)| Mold {
            kind,
            relief: relief_of(relief, height, share),
            copies,
            spacer: Length::mm(spacer),
            draft: Angle::degrees(draft),
            trim: Length::mm(trim),
            ..Mold::new("Kelp", footprint, Length::mm(height))
        },
    )
}

fn relief_of(kind: u8, height: f64, share: f64) -> Relief {
    match kind {
        0 => Relief::FLAT,
        1 => Relief::Dome,
        2 => Relief::Taper { top: share },
        3 => Relief::FlatTop { edge: Length::mm(height * share) },
        4 => {
            // Far enough in for a wall at 80 degrees.
            let inset = Length::mm(6.0 * height + 20.0 * share);
            Relief::Stepped { steps: vec![Step { height: Length::mm(height / 2.0), inset }] }
        }
        _ => {
            let tenths = (0..12_u16).map(|k| k % 5 * 40).collect();
            let grid = HeightGrid::new(4, 3, Length::mm(16.0), tenths).expect("whole");
            Relief::Heights(grid.into())
        }
    }
}

fn footprints() -> impl Strategy<Value = Footprint> {
    let size = || (0.1..140.0).prop_map(Length::mm);
    let corners = || {
        let coordinate =
            || prop_oneof![3 => -60.0..60.0, 1 => (-3_i8..=3).prop_map(|n| f64::from(n) * 20.0)];
        let corner = (coordinate(), coordinate()).prop_map(|(x, y)| Point::new(x, y));
        prop::collection::vec(corner, 0..9).prop_map(Ring::new)
    };
    prop_oneof![
        (size(), size()).prop_map(|(width, depth)| Footprint::Rectangle { width, depth }),
        (size(), size(), 0.0..=1.0).prop_map(|(width, depth, share)| Footprint::RoundedRectangle {
            width,
            depth,
            radius: width.min(depth) / 2.0 * share,
        }),
        size().prop_map(|diameter| Footprint::Circle { diameter }),
        (size(), size()).prop_map(|(width, depth)| Footprint::Ellipse { width, depth }),
        (3_u32..=64, size()).prop_map(|(sides, diameter)| Footprint::Polygon { sides, diameter }),
        (corners(), prop::collection::vec(corners(), 0..2))
            .prop_map(|(outer, holes)| Footprint::Outline { outer, holes }),
        star(),
    ]
}

/// An outline that never crosses itself: corners in order round its centre, and a hole within.
fn star() -> impl Strategy<Value = Footprint> {
    (prop::collection::vec(15.0..70.0, 3..12), 0.0..0.9).prop_map(|(reaches, hole)| {
        let step = 360.0 / f64::from(u32::try_from(reaches.len()).expect("few corners"));
        let ring = |scale: f64| {
            let corner = |(i, reach): (u32, &f64)| {
                Point::ORIGIN + Vec2::unit(Angle::degrees(step * f64::from(i))) * (reach * scale)
            };
            Ring::new((0..).zip(&reaches).map(corner).collect())
        };
        let holes = if hole > 0.4 { vec![ring(hole)] } else { vec![] };
        Footprint::Outline { outer: ring(1.0), holes }
    })
}

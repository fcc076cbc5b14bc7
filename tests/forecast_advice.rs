//! Advice for each kind of finding: found to help by the same solver, true to its figures, and never of what is locked.

mod formed;

use std::ops::ControlFlow;

use engine::drape::{
    DrapeError, Finding, Forecast, Mode, Progress, Remedies, Settings, WebKind, What, Why,
    advice_for, findings, forecast, suggest_gauge,
};
use engine::edit::Edit;
use engine::plan::{Mold, MoldKind, PlacementId, Plan, Stock, sample};
use engine::rules::{Measure, Severity, Subject, check};
use engine::units::Length;
use onepull_tests::assert_near;

use formed::{PULL, block, formed, standing};

/// The net that is asked for; changes are tried on a coarser one where that shows the finding.
const MESH: f64 = 4.0;

fn settings(mesh: Length) -> Settings {
    Settings { mesh, ..Settings::default() }
}

/// One small plan for each kind of finding, the least wall that is wanted there, and what it warns of.
fn warned() -> [(What, Plan); 4] {
    let mut thin = standing(180.0, 180.0, &[(block(50.0, 50.0, 40.0), (90.0, 90.0, 0.0))]);
    thin.settings.least_wall = Some(Length::mm(0.6));
    let near = |x: f64| (block(50.0, 50.0, 30.0), (120.0 + x, 90.0, 0.0));
    let span = standing(240.0, 180.0, &[near(-34.0), near(34.0)]);
    let fold = standing(200.0, 200.0, &[(block(40.0, 40.0, 50.0), (100.0, 100.0, 0.0))]);
    let cavity = Mold { kind: MoldKind::Female, ..block(60.0, 60.0, 30.0) };
    let mut bridge = standing(120.0, 120.0, &[(cavity, (60.0, 60.0, 0.0))]);
    bridge.stock.gauge = Length::mm(2.0);
    [(What::Thin, thin), (What::Span, span), (What::Fold, fold), (What::Bridge, bridge)]
}

/// The worst finding of a kind.
fn worst(plan: &Plan, what: What) -> Finding {
    let told = formed(plan, Mode::Rubber, MESH);
    let least = plan.settings.least_wall.unwrap_or(Length::ZERO);
    let mut found = findings(&told, least).into_iter().filter(|finding| finding.what == what);
    found.next().unwrap_or_else(|| panic!("no {what:?} is warned of"))
}

fn advised(plan: &Plan, of: &Finding) -> Remedies {
    advice_for(plan, PULL, of, &settings(Length::mm(MESH)), &mut ()).expect("advice")
}

/// How bad a kind of finding is about its first mold, read off a forecast without the engine's own reckoning.
fn graded(told: &Forecast, of: &Finding) -> f64 {
    let [Subject::Placement(first), ..] = of.subjects[..] else { panic!("no mold: {of:?}") };
    let worst = |kind| {
        let webs = told.webs.iter().filter(|web| web.kind == kind && web.molds.contains(&first));
        webs.map(|web| web.measure).fold(0.0, f64::max)
    };
    match of.what {
        What::Split | What::Thin => told.thickness(told.molds[&first].thinnest.ratio).to_mm(),
        What::Span => worst(WebKind::Span),
        What::Fold => {
            let folds = told.webs.iter().filter(|web| web.kind == WebKind::Fold);
            let own = folds.filter(|web| web.molds.contains(&first));
            own.map(|web| web.surface.to_mm2() / (2.0 * web.extent.to_mm())).fold(0.0, f64::max)
        }
        What::Bridge => {
            let own = told.bridges.iter().filter(|bridge| bridge.mold == Some(first));
            own.map(|bridge| bridge.gap.to_mm()).fold(0.0, f64::max)
        }
    }
}

fn figure(measure: Measure) -> f64 {
    match measure {
        Measure::Length(length) => length.to_mm(),
        Measure::Ratio(ratio) => ratio,
        Measure::Angle(_) | Measure::Count(_) => panic!("{measure:?}"),
    }
}

fn stops(plan: &Plan) -> usize {
    check(plan, PULL).iter().filter(|finding| finding.severity == Severity::Stop).count()
}

#[test]
fn each_kind_of_finding_has_advice_that_the_solver_found_to_help() {
    for (what, plan) in warned() {
        let of = worst(&plan, what);
        let remedies = advised(&plan, &of);
        assert!((1..=4).contains(&remedies.tried), "{what:?}: {}", remedies.tried);
        assert!(!remedies.helping.is_empty(), "nothing helps against {what:?}");
        let again = |plan: &Plan| {
            forecast(plan, PULL, &settings(remedies.mesh), &mut ()).expect("a forecast")
        };
        let now = graded(&again(&plan), &of);
        for one in &remedies.helping {
            let after = plan.apply(&one.edit).expect("a legal edit");
            let then = graded(&again(&after), &of);
            assert_near!(figure(one.before.measure), now, 1e-9, "{what:?} now");
            assert_near!(figure(one.after.measure), then, 1e-9, "{what:?} with {:?}", one.change);
            let helps = match what {
                What::Split | What::Thin => then > now * 1.03,
                What::Span | What::Bridge => then < now - 0.03,
                What::Fold => then < now * 0.9 || one.after.likely < one.before.likely,
            };
            assert!(helps, "{what:?} from {now} to {then} with {:?}", one.change);
            assert!(stops(&after) <= stops(&plan), "{:?}", one.change);
            let [before, after] = one.figures(&plan);
            let words = one.words(&of, &plan, PULL);
            assert!(words.contains(&format!("from {before} to {after}")), "{words}");
            assert!(words.ends_with('.'), "{words}");
        }
    }
}

#[test]
fn no_advice_moves_or_reshapes_what_is_locked() {
    for (what, plan) in warned() {
        let of = worst(&plan, what);
        let all = plan.pulls[&PULL].placements.keys().copied().collect();
        let locked = plan.apply(&Edit::Lock(PULL, all, true)).expect("locks");
        let remedies = advised(&locked, &of);
        for one in &remedies.helping {
            let after = locked.apply(&one.edit).expect("a legal edit");
            assert_eq!((&after.molds, &after.pulls), (&locked.molds, &locked.pulls), "{one:?}");
        }
        // Only another gauge is left to be tried.
        let most = if matches!(what, What::Thin | What::Bridge) { 1 } else { 0 };
        assert_eq!(remedies.tried, most, "{what:?}");
    }
}

#[test]
fn advice_that_is_stopped_ends_and_progress_never_falls() {
    let [_, (what, plan), ..] = warned();
    let of = worst(&plan, what);
    let usual = settings(Length::mm(8.0));
    let mut last = 0.0;
    let mut watch = |progress: &Progress| {
        assert!((last..=1.0).contains(&progress.share), "{} after {last}", progress.share);
        last = progress.share;
        ControlFlow::Continue(())
    };
    advice_for(&plan, PULL, &of, &usual, &mut watch).expect("advice");
    assert!(last > 0.6, "{last}");
    let mut stop = |_: &Progress| ControlFlow::Break(());
    let stopped = advice_for(&plan, PULL, &of, &usual, &mut stop);
    assert_eq!(stopped, Err(DrapeError::Stopped));
}

/// What is suggested is forecast: thicker sheet and thinner.
#[test]
fn the_gauge_that_is_suggested_leaves_the_least_wall() {
    let alone = standing(180.0, 180.0, &[(block(50.0, 50.0, 25.0), (90.0, 90.0, 0.0))]);
    let (mut thicker, mut thinner) = (0, 0);
    for plan in [sample(), alone] {
        for gauge in [0.010, 0.060, 0.125] {
            let plan = sheet(&plan, Length::inches(gauge));
            let told = formed(&plan, Mode::Rubber, MESH);
            for least in [0.3, 0.5, 0.8, 1.2].map(Length::mm) {
                let advice = suggest_gauge(&told, least).expect("molds stand");
                let kept = |told: &Forecast| {
                    told.thickness(told.thinnest_kept().expect("molds stand").1.ratio)
                };
                assert_eq!(advice.is_enough(told.gauge), kept(&told) >= least);
                let Some(sold) = advice.sold else { continue };
                if sold > told.gauge {
                    thicker += 1;
                } else {
                    thinner += 1;
                }
                let left = kept(&formed(&sheet(&plan, sold), Mode::Rubber, MESH));
                assert!(left >= least * 0.99, "{gauge} in: {sold:?} leaves {left:?} of {least:?}");
            }
        }
    }
    assert!(thicker > 5 && thinner > 5, "{thicker} thicker, {thinner} thinner");
}

fn sheet(plan: &Plan, gauge: Length) -> Plan {
    plan.apply(&Edit::SetStock(Stock { gauge, ..plan.stock })).expect("a gauge")
}

/// Why the sheet is thinnest where it is, of each thing that can be the reason at the foot of a wall and in a cavity.
#[test]
fn the_reason_why_a_wall_is_thin_is_what_stands_there() {
    let why = |plan: &Plan| {
        let told = formed(plan, Mode::Rubber, MESH);
        told.molds.values().map(|over| over.thinnest.why).collect::<Vec<_>>()
    };
    let tall = block(40.0, 40.0, 40.0);
    let lone = standing(260.0, 260.0, &[(tall.clone(), (130.0, 130.0, 0.0))]);
    assert_eq!(why(&lone), [Why::Foot]);
    let beside = standing(260.0, 260.0, &[(tall, (35.0, 130.0, 0.0))]);
    assert_eq!(why(&beside), [Why::BesideClamp]);
    let low = block(40.0, 40.0, 30.0);
    let near = [(low.clone(), (120.0, 120.0, 0.0)), (low, (180.0, 120.0, 0.0))];
    let both = [2, 1].map(|id| Why::Between(PlacementId(id)));
    assert_eq!(why(&standing(300.0, 240.0, &near)), both);
    let cavity = Mold { kind: MoldKind::Female, ..block(60.0, 60.0, 30.0) };
    assert_eq!(why(&standing(160.0, 160.0, &[(cavity, (80.0, 80.0, 0.0))])), [Why::Floor]);
}

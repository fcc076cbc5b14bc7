//! The same input gives the same answer natively and in the browser, to the last bit; and how the two compare in speed.

use std::time::Instant;

use engine::edit::Edit;
use engine::file::save;
use engine::geometry::{Point, Pose, Ring, Vec2};
use engine::plan::{
    CopyNumber, Footprint, Mold, MoldId, Placement, PlacementId, Plan, PullId, Relief, sample,
};
use engine::rules::check;
use engine::units::{Angle, Length};
use onepull_tests::page::{Browser, Page};
use onepull::jobs::{Ask, PaperName, Request, answer};
use serde_json::{Value, json};

#[test]
fn findings_links_and_templates_are_the_same_on_both_targets() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let plans = [sample(), crowded(12, 100), crowded(40, 60), turned(sample()), rounded()];
    for (number, plan) in plans.iter().enumerate() {
        let plan = save(plan);
        let date = "1 April 2026".to_owned();
        let asks = [
            Ask::Check { plan: plan.clone(), times: 1 },
            Ask::Link { plan: plan.clone() },
            Ask::Template { plan: plan.clone(), paper: PaperName::A4, date: date.clone() },
            Ask::Template { plan, paper: PaperName::One, date },
        ];
        for ask in asks {
            let request = serde_json::to_string(&Request { job: 1, ask }).expect("a request");
            let native = answer(&request);
            let browser = asked(&page, &request);
            assert_eq!(native.len(), browser.len(), "plan {number}");
            assert!(native == browser, "plan {number}: {} and {}", cut(&native), cut(&browser));
        }
    }
}

/// Prints how long a full check takes in this browser and natively; the limits are the ones a drag can bear.
#[test]
fn a_full_check_is_quick_in_the_browser() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    for (molds, corners, limit_ms) in [(12, 100, 1.0), (40, 100, 5.0)] {
        let plan = crowded(molds, corners);
        let native = native_check_ms(&plan);
        let in_browser = browser_check_ms(&page, &save(&plan));
        println!(
            "full check of {molds} molds of {corners} corners: {in_browser:.3} ms in the browser, \
             {native:.3} ms natively (this test's own build), ratio {:.2}; limit {limit_ms} ms",
            in_browser / native
        );
        assert!(in_browser < limit_ms, "{molds} molds: {in_browser} ms, limit {limit_ms} ms");
    }
}

fn asked(page: &Page, request: &str) -> String {
    let script = "const glue = await import(new URL('onepull.js', document.baseURI));
        await glue.default();
        return glue.handle_message(request);";
    let run = format!("const request = arguments[0]; return (async () => {{ {script} }})()");
    page.run_with(&run, vec![json!(request)]).as_str().expect("a text").to_owned()
}

/// The best of several rounds, each the difference of many checks and one, so that reading the plan cancels out.
fn browser_check_ms(page: &Page, plan: &str) -> f64 {
    const TIMES: u32 = 100;
    let request = |times| {
        let ask = Ask::Check { plan: plan.to_owned(), times };
        serde_json::to_string(&Request { job: 1, ask }).expect("a request")
    };
    let script = "const [many, one] = arguments;
        return (async () => {
          const glue = await import(new URL('onepull.js', document.baseURI));
          await glue.default();
          const timed = (request) => {
            const start = performance.now();
            glue.handle_message(request);
            return performance.now() - start;
          };
          timed(many);
          const rounds = [1, 2, 3, 4, 5].map(() => timed(many) - timed(one));
          return Math.min(...rounds);
        })()";
    let spent = page.run_with(script, vec![json!(request(TIMES + 1)), json!(request(1))]);
    spent.as_f64().expect("a time") / f64::from(TIMES)
}

fn native_check_ms(plan: &Plan) -> f64 {
    const TIMES: u32 = 20;
    let round = |_| {
        let start = Instant::now();
        for _ in 0..TIMES {
            assert!(!check(plan, PullId(1)).is_empty());
        }
        start.elapsed().as_secs_f64() * 1e3 / f64::from(TIMES)
    };
    (0..5).map(round).fold(f64::INFINITY, f64::min)
}

fn cut(text: &str) -> String {
    text.chars().take(300).collect()
}

/// A blank with `molds` lobed outlines of `corners` corners in rows, close enough to break rules.
fn crowded(molds: u32, corners: u32) -> Plan {
    let mut plan = sample();
    let off = Edit::TakeOff(PullId(1), (1..=6).map(PlacementId).collect());
    let mut edits = vec![off];
    for n in 0..molds {
        let id = MoldId(100 + n);
        let lobes = f64::from(3 + n % 5);
        let corner = |i: u32| {
            let turn = Angle::degrees(360.0 * f64::from(i) / f64::from(corners));
            let reach = 22.0 + 5.0 * Angle::radians(turn.to_radians() * lobes).cos();
            Point::ORIGIN + Vec2::unit(turn) * reach
        };
        let outer = Ring::new((0..corners).map(corner).collect());
        let footprint = Footprint::Outline { outer, holes: Vec::new() };
        let height = Length::mm(10.0 + f64::from(n % 7) * 3.0);
        edits.push(Edit::AddMold(id, Box::new(Mold::new(&format!("Shell {n}"), footprint, height))));
        let at = Point::new(50.0 + f64::from(n % 8) * 47.0, 40.0 + f64::from(n / 8) * 55.0);
        let pose = Pose::new(at, Angle::degrees(f64::from(n) * 17.0));
        let placement = Placement { mold: id, copy: CopyNumber(1), pose, locked: false };
        edits.push(Edit::Place(PullId(1), [(PlacementId(100 + n), placement)].into()));
    }
    plan = plan.apply(&Edit::All(edits)).expect("a legal plan");
    plan
}

/// Every placement turned by an odd angle.
fn turned(plan: Plan) -> Plan {
    let poses = plan.pulls[&PullId(1)].placements.iter().map(|(id, p)| {
        let turn = Angle::degrees(31.7 * f64::from(id.0));
        (*id, Pose { turn, ..p.pose })
    });
    plan.apply(&Edit::Move(PullId(1), poses.collect())).expect("a legal move")
}

/// Curved footprints and every relief.
fn rounded() -> Plan {
    let mm = Length::mm;
    let shapes = [
        (Footprint::Circle { diameter: mm(61.3) }, Relief::Dome),
        (Footprint::Ellipse { width: mm(90.7), depth: mm(41.9) }, Relief::Taper { top: 0.3 }),
        (
            Footprint::RoundedRectangle { width: mm(80.1), depth: mm(50.3), radius: mm(11.7) },
            Relief::FlatTop,
        ),
        (Footprint::Polygon { sides: 7, diameter: mm(70.9) }, Relief::FlatTop),
    ];
    let mut plan = sample();
    for ((footprint, relief), n) in shapes.into_iter().zip(0_u32..) {
        let mold = Mold { relief, ..Mold::new(&format!("Round {n}"), footprint, mm(23.3)) };
        let at = Point::new(60.0 + 71.3 * f64::from(n), 150.0);
        let pose = Pose::new(at, Angle::degrees(12.3 * f64::from(n)));
        let placement =
            Placement { mold: MoldId(50 + n), copy: CopyNumber(1), pose, locked: false };
        let edit = Edit::All(vec![
            Edit::AddMold(MoldId(50 + n), Box::new(mold)),
            Edit::Place(PullId(1), [(PlacementId(50 + n), placement)].into()),
        ]);
        plan = plan.apply(&edit).expect("a legal plan");
    }
    plan
}

/// The request for an unreadable job comes back as a refusal on both targets.
#[test]
fn a_request_that_cannot_be_read_is_refused_alike() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let native: Value = serde_json::from_str(&answer("no job")).expect("a reply");
    let browser: Value = serde_json::from_str(&asked(&page, "no job")).expect("a reply");
    assert_eq!(native, browser);
    assert_eq!(native["job"], json!(0));
}

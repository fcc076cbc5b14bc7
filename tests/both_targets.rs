//! The same input gives the same answer natively and in the browser, to the last bit; and how the two compare in speed.

mod crowded;
mod foreign;

use std::sync::Arc;
use std::time::Instant;

use engine::arrange::{Aims, Budget, Intent, MoldCopy, Request, Seed, arrange};
use engine::batch::{batch_cost, batch_table, plan_batch};
use engine::drape::{Mode, Settings, forecast};
use engine::drawing::{Role, draw_workshop};
use engine::edit::Edit;
use engine::export::{csv, cutter, dxf, pdf};
use engine::file::{link, save};
use engine::geometry::{Point, Pose};
use engine::heat::Heater;
use engine::plan::{
    Batch, CopyNumber, CuttingHabits, Footprint, HeightGrid, Mold, MoldId, PartWanted, Placement,
    PlacementId, Plan, PullId, Relief, Size, Step, sample,
};
use engine::rules::{ReadyMolds, check, check_with};
use engine::template::{Paper, TemplateSettings, template};
use engine::units::{Angle, Length};
use onepull_tests::pace::keeps_pace;
use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use crowded::{bench, crowded};
use foreign::{CLAMS, DISC, Photograph, block_3mf, block_obj, dome_stl};

#[test]
fn findings_links_and_templates_are_the_same_on_both_targets() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let plans = [sample(), crowded(12, 100), crowded(40, 60), turned(&sample()), rounded()];
    for (number, plan) in plans.iter().enumerate() {
        let text = save(plan);
        let found: Vec<String> = check(plan, PullId(1)).iter().map(|f| format!("{f:?}")).collect();
        assert!(!found.is_empty(), "plan {number} has something to say");
        let check = asked(&page, &json!({ "check": { "plan": text, "times": 1 } }));
        assert_eq!(check, json!({ "findings": found }), "plan {number}");
        let made = link(plan, PullId(1)).expect("a link");
        let ask = json!({ "link": { "plan": text } });
        assert_eq!(asked(&page, &ask), json!({ "link": made }), "plan {number}");
        for (paper, name) in [(Paper::A4, "a4"), (Paper::Letter, "letter"), (Paper::One, "one")] {
            let date = "1 April 2026";
            let made =
                template(plan, PullId(1), &TemplateSettings::new(paper, date)).expect("pages");
            let bytes = pdf(&plan.name, &made.pages).bytes;
            let ask = json!({ "template": { "plan": text, "paper": name, "date": date } });
            let (answer, made) = asked_for_file(&page, &ask);
            assert_eq!(answer, json!({ "file": {} }), "plan {number} on {name}");
            assert!(made == bytes, "plan {number} on {name}");
        }
        let drawing = draw_workshop(plan, PullId(1), true);
        for (file, text) in [
            ("dxf", dxf(&drawing)),
            ("cut_both", cutter(&drawing, &[Role::Mold, Role::TrimLine])),
            ("cut_corners", cutter(&drawing, &[Role::Corner])),
        ] {
            let ask = json!({ "trade": { "plan": save(plan), "pull": 1, "file": file, "corners": true } });
            let (answer, made) = asked_for_file(&page, &ask);
            assert_eq!(answer, json!({ "file": {} }), "plan {number} as {file}");
            assert!(made == text.as_bytes(), "plan {number} as {file}");
        }
    }
}

#[test]
fn molds_are_laid_out_the_same_on_both_targets() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let bench = bench();
    let all: Vec<MoldCopy> = bench.molds.keys().map(|&mold| (mold, CopyNumber(1))).collect();
    let spread = Intent::Spread(Aims::default());
    let Aims { room, tall_inside, square, faces_apart } = Aims::default();
    let spread_ask = json!({ "spread": [room, tall_inside, square, faces_apart] });
    for (plan, copies, intent, goal) in [
        (sample(), Vec::new(), Intent::Tidy, json!("tidy")),
        (sample(), Vec::new(), spread, spread_ask),
        (bench, all, Intent::Fit, json!("fit")),
    ] {
        let told: Vec<[u32; 2]> = copies.iter().map(|(mold, copy)| [mold.0, copy.0]).collect();
        let (pull, seed, budget) = (PullId(1), Seed(2), Budget { steps: 1_000_000 });
        let request = Request { pull, copies, intent, seed, budget };
        let answer = arrange(&plan, &request, &mut ()).expect("makes sense");
        let after = plan
            .apply(&answer.edit.unwrap_or_else(|| panic!("{goal}: {:?}", answer.outcome)))
            .expect("a legal edit");
        let standing = after.pulls[&pull].placements.iter().map(|(id, placement)| {
            let Placement { mold, copy, pose, .. } = placement;
            let (at, turn) = (pose.at, pose.turn.to_radians());
            json!({ "id": id.0, "mold": mold.0, "copy": copy.0, "x": at.x, "y": at.y, "turn": turn })
        });
        let natively = Value::Array(standing.collect());
        let ask = json!({ "arrange": {
            "plan": save(&plan), "pull": 1, "copies": told, "off": [], "goal": goal, "seed": 2, "steps": 1_000_000,
        } });
        let answer = asked(&page, &ask);
        assert_eq!(answer["arranged"]["layout"]["standing"], natively, "{goal}");
    }
}

/// As many as are worth most, and a set that is too full: title, sentences and every way out, word for word.
#[test]
fn what_is_left_out_and_what_would_help_is_told_the_same_on_both_targets() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let mut full = sample();
    for mold in full.molds.values_mut() {
        Arc::make_mut(mold).copies = 3;
    }
    let copies = full.molds.keys().flat_map(|&mold| (1..=3).map(move |copy| [mold.0, copy]));
    let copies: Vec<[u32; 2]> = copies.collect();
    let values: Vec<(u32, f64)> =
        full.molds.keys().map(|id| (id.0, 0.5 + f64::from(id.0))).collect();
    for (goal, title) in
        [(json!({ "most": values }), " go on"), (json!("fit"), "They do not all fit")]
    {
        let ask = json!({ "arrange": {
            "plan": save(&full), "pull": 1, "copies": copies, "off": [], "goal": goal, "seed": 2, "steps": 1_000_000,
        } });
        let request = json!({ "job": 1, "ask": ask }).to_string();
        let natively = works::work(&request, &[], &mut |_| {}).words;
        let reply: Value = serde_json::from_str(&natively).expect("a reply");
        let arranged = &reply["answer"]["arranged"];
        assert!(
            arranged["title"].as_str().is_some_and(|words| words.contains(title)),
            "{arranged}"
        );
        assert!(arranged["sentences"].as_array().is_some_and(|all| !all.is_empty()), "{arranged}");
        let n_ways = arranged["ways_out"].as_array().map_or(0, Vec::len);
        assert_eq!(n_ways > 0, goal == json!("fit"), "{arranged}");
        let (words, _) = asked_with(&page, &request, &[]);
        assert!(words == natively, "{goal}: {words}\n{natively}");
    }
}

#[test]
fn a_batch_is_planned_the_same_on_both_targets() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let part = |per_kit| PartWanted { per_kit, stock: None };
    for (plan, kits) in [(sample(), 20), (bench(), 7)] {
        let wanted = plan.molds.keys().zip(1..).map(|(&id, n)| (id, part(1 + n % 3))).collect();
        let batch = Batch { kits, spares_percent: 5, wanted, ..Batch::default() };
        let plan = plan.apply(&Edit::SetBatch(Box::new(batch))).expect("a legal edit");
        let budget = Budget { steps: 1_000_000 };
        let planned = plan_batch(&plan, (Seed(3), budget), &mut ()).expect("something is wanted");
        let table =
            csv(&batch_table(&plan, &planned, &batch_cost(&plan, &planned, &Heater::default())));
        let after = planned.edit.as_ref().map(|edit| save(&plan.apply(edit).expect("applies")));
        let ask = json!({ "batch": { "plan": save(&plan), "seed": 3, "steps": 1_000_000 } });
        let answer = asked(&page, &ask);
        assert_eq!(answer["batched"]["csv"], table, "{kits}");
        assert_eq!(answer["batched"]["after"], json!(after), "{kits}");
    }
}

#[test]
fn foreign_files_and_photographs_are_read_the_same_on_both_targets() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let file = |name: &str, unit_mm: Option<f64>, up: &str| {
        json!({ "read_file": {
            "name": name, "unit_mm": unit_mm, "up": up, "least_draft": 3.0, "has_sides": true,
        } })
    };
    let photograph = Photograph::new(1);
    let size = json!({ "width": photograph.width, "height": photograph.height });
    let trace = json!({ "trace_photo": {
        "width": photograph.width, "height": photograph.height, "paper": "a4", "corners": photograph.corners,
        "threshold": null, "strokes": [{ "places": [[240.0, 40.0], [256.0, 40.0]], "radius": 9.0 }], "has_picture": true,
    } });
    let sides = [50.0, 30.0, 20.0];
    for (ask, bytes, word) in [
        (file("a.svg", None, "+z"), CLAMS.as_bytes().to_vec(), "file_read"),
        (file("a.svg", Some(3.7), "+z"), CLAMS.as_bytes().to_vec(), "file_read"),
        (file("a.dxf", None, "+z"), DISC.as_bytes().to_vec(), "file_read"),
        (file("a.stl", None, "-y"), dome_stl(40), "file_read"),
        (file("a.obj", Some(25.4), "+x"), block_obj(sides).into_bytes(), "file_read"),
        (file("a.3mf", None, "+z"), block_3mf(sides), "file_read"),
        (file("a.svg", None, "+z"), Vec::new(), "refused"),
        (json!({ "find_paper": size }), photograph.rgba(), "paper_found"),
        (trace, photograph.rgba(), "photo_traced"),
    ] {
        let request = json!({ "job": 1, "ask": ask }).to_string();
        let natively = works::work(&request, &bytes, &mut |_| {});
        let (words, beside) = asked_with(&page, &request, &bytes);
        let reply: Value = serde_json::from_str(&words).expect("a reply");
        assert!(reply["answer"].get(word).is_some(), "{ask}: {}", &words[..words.len().min(300)]);
        let first =
            words.bytes().zip(natively.words.bytes()).position(|(ours, theirs)| ours != theirs);
        let around = |text: &str| {
            let from = first.unwrap_or_default().saturating_sub(60);
            text.get(from..(from + 160).min(text.len())).unwrap_or_default().to_owned()
        };
        assert!(
            words == natively.words,
            "{ask}: {} in the browser, {} natively",
            around(&words),
            around(&natively.words)
        );
        assert!(beside == natively.bytes.unwrap_or_default(), "{ask}: the pixels differ");
    }
}

#[test]
fn cuts_maps_heats_and_their_sheets_are_the_same_on_both_targets() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let mut plan = sample();
    plan.machine.blank = Size::new(Length::inches(15.25), Length::inches(20.5));
    plan.cutting = Arc::new(CuttingHabits { blanks_wanted: Some(40), ..CuttingHabits::default() });
    let heater = json!({ "is_both": false, "flux": [4.5, 9.25], "logged": 2 });
    let print = |sheets: &str| {
        json!({ "print": {
            "plan": save(&plan), "pull": 1, "sheets": sheets, "title": "Kit", "paper": "letter", "overlap_mm": 10.0,
            "margin_mm": 10.0, "date": "today", "link": null, "heater": heater, "further": "16 x 24 in * 6",
        } })
    };
    for (ask, word) in [
        (json!({ "cut": { "plan": save(&plan) } }), "told"),
        (
            json!({ "map": { "plan": save(&plan), "least": 200.0, "most": 600.0, "step": 20.0 } }),
            "told",
        ),
        (json!({ "heat": { "plan": save(&plan), "pull": 1, "heater": heater } }), "told"),
        (print("cut_list"), "pdf"),
        (print("bench_card"), "pdf"),
    ] {
        let request = json!({ "job": 1, "ask": ask }).to_string();
        let natively = works::work(&request, &[], &mut |_| {});
        let (words, beside) = asked_with(&page, &request, &[]);
        let reply: Value = serde_json::from_str(&words).expect("a reply");
        assert!(reply["answer"].get(word).is_some(), "{word}: {}", &words[..words.len().min(300)]);
        assert!(words == natively.words, "{word} differs");
        assert!(beside == natively.bytes.unwrap_or_default(), "the bytes of {word} differ");
    }
}

/// What the module in the browser answers to a request with bytes beside it.
fn asked_with(page: &Page, request: &str, bytes: &[u8]) -> (String, Vec<u8>) {
    let run = "const [request, given] = arguments;
        return (async () => {
          const glue = await import(new URL('works.js', document.baseURI));
          const { worksModule } = await import(new URL('modules.js', document.baseURI));
          await glue.default({ module_or_path: await worksModule() });
          const bytes = Uint8Array.from(atob(given), (letter) => letter.charCodeAt(0));
          const [words, beside] = glue.handle_message(request, bytes);
          const letters = [];
          for (let at = 0; at < (beside ?? []).length; at += 32768) {
            letters.push(String.fromCharCode(...beside.subarray(at, at + 32768)));
          }
          return [words, btoa(letters.join(''))];
        })()";
    let parts = page.run_with(run, vec![json!(request), json!(STANDARD.encode(bytes))]);
    let (words, beside): (String, String) = serde_json::from_value(parts).expect("two parts");
    (words, STANDARD.decode(beside).expect("base64"))
}

#[test]
fn the_sheet_drapes_the_same_on_both_targets() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    for (plan, mesh, mode, sag) in [
        (sample(), 7.0, Mode::Rubber, 0.0),
        (sample(), 9.0, Mode::Uniform, 0.0),
        (turned(&sample()), 8.0, Mode::Rubber, 0.0),
        (rounded(), 10.0, Mode::Rubber, 0.0),
        (sample(), 11.0, Mode::Rubber, 12.7),
    ] {
        let (lengths, rest) = ([mesh, sag].map(Length::mm), Settings::default());
        let settings = Settings { mode, mesh: lengths[0], sag: lengths[1], ..rest };
        let told = forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast");
        let is_uniform = mode == Mode::Uniform;
        let ask = json!({ "forecast": {
            "plan": save(&plan), "pull": 1, "is_uniform": is_uniform, "mesh": mesh, "sag": sag,
        } });
        let (answer, bytes) = asked_for_file(&page, &ask);
        assert_eq!(answer, json!({ "forecast": {} }), "{mesh} mm");
        assert!(bytes == told.to_bytes(), "another sheet on a net of {mesh} mm");
    }
}

/// Prints how long a full check takes in this browser and natively, with the molds made ready once as in a drag.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn a_full_check_is_quick_in_the_browser() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    for (molds, corners, asked_ms) in [(12, 100, 1.0), (40, 100, 5.0)] {
        let plan = crowded(molds, corners);
        let native = native_check_ms(&plan);
        let in_browser = browser_check_ms(&page, &save(&plan));
        println!(
            "full check of {molds} molds of {corners} corners: {in_browser:.3} ms in the browser, \
             {native:.3} ms natively (this test's own build), ratio {:.2}",
            in_browser / native
        );
        keeps_pace(&format!("a check of {molds} molds in the browser"), in_browser, asked_ms, "ms");
    }
}

/// What the module in the browser answers in words.
fn asked(page: &Page, ask: &Value) -> Value {
    asked_for_file(page, ask).0
}

/// What the module in the browser answers, and the bytes beside its words.
fn asked_for_file(page: &Page, ask: &Value) -> (Value, Vec<u8>) {
    let run = "const request = arguments[0];
        return (async () => {
          const glue = await import(new URL('works.js', document.baseURI));
          const { worksModule } = await import(new URL('modules.js', document.baseURI));
          await glue.default({ module_or_path: await worksModule() });
          const [words, bytes] = glue.handle_message(request);
          return [words, Array.from(bytes ?? [])];
        })()";
    let request = json!({ "job": 1, "ask": ask }).to_string();
    let parts = page.run_with(run, vec![json!(request)]);
    let (words, bytes): (String, Vec<u8>) = serde_json::from_value(parts).expect("two parts");
    let reply: Value = serde_json::from_str(&words).expect("a reply");
    assert_eq!(reply["job"], json!(1));
    (reply["answer"].clone(), bytes)
}

/// The best of several rounds, each the difference of many checks and one, so that reading the plan cancels out.
fn browser_check_ms(page: &Page, plan: &str) -> f64 {
    const TIMES: u32 = 100;
    let request = |times: u32| {
        json!({ "job": 1, "ask": { "check": { "plan": plan, "times": times } } }).to_string()
    };
    let script = "const [many, one] = arguments;
        return (async () => {
          const glue = await import(new URL('works.js', document.baseURI));
          const { worksModule } = await import(new URL('modules.js', document.baseURI));
          await glue.default({ module_or_path: await worksModule() });
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
    let ready = ReadyMolds::default().renewed(plan);
    let round = |_| {
        let start = Instant::now();
        for _ in 0..TIMES {
            assert!(!check_with(plan, PullId(1), &ready.renewed(plan)).is_empty());
        }
        start.elapsed().as_secs_f64() * 1e3 / f64::from(TIMES)
    };
    (0..5).map(round).fold(f64::INFINITY, f64::min)
}

/// Every placement turned by an odd angle.
fn turned(plan: &Plan) -> Plan {
    let poses = plan.pulls[&PullId(1)].placements.iter().map(|(id, p)| {
        let turn = Angle::degrees(31.7 * f64::from(id.0));
        (*id, Pose { turn, ..p.pose })
    });
    plan.apply(&Edit::Move(PullId(1), poses.collect())).expect("a legal move")
}

/// Curved footprints and every relief.
fn rounded() -> Plan {
    let mm = Length::mm;
    let steps = vec![Step { height: mm(9.7), inset: mm(7.9) }];
    let grid = HeightGrid::new(9, 8, mm(23.3), (0..72).map(|k| k * 37 % 233).collect());
    let shapes = [
        (Footprint::Circle { diameter: mm(61.3) }, Relief::Dome),
        (Footprint::Ellipse { width: mm(90.7), depth: mm(41.9) }, Relief::Taper { top: 0.3 }),
        (
            Footprint::RoundedRectangle { width: mm(80.1), depth: mm(50.3), radius: mm(11.7) },
            Relief::FLAT,
        ),
        (Footprint::Polygon { sides: 7, diameter: mm(70.9) }, Relief::FLAT),
        (Footprint::Circle { diameter: mm(45.7) }, Relief::FlatTop { edge: mm(6.3) }),
        (Footprint::Ellipse { width: mm(70.3), depth: mm(51.9) }, Relief::Stepped { steps }),
        (Footprint::Circle { diameter: mm(50.1) }, Relief::Heights(grid.expect("whole").into())),
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

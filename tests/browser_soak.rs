//! A long day at the page: thousands of random steps with reloads and killed tabs between them, a drag that does not end,
//! and panel after panel.
//!
//! `ONEPULL_SOAK` sets the number of steps (10000 is the whole of it), `ONEPULL_DRAG_MINUTES` how long is dragged (30).

mod crowded;
mod hand;
mod soak;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use std::time::{Duration, Instant};

use engine::edit::Edit;
use engine::file::{load, save};
use engine::plan::{Mold, MoldId, Plan, sample};
use onepull_tests::chance::Chance;
use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use crowded::crowded;
use hand::{HAND, open_plan};
use soak::{Model, Step, next};

/// Steps when nothing is said.
const STEPS: usize = 1_000;

/// Minutes when nothing is said.
const MINUTES: f64 = 0.4;

/// How often all panels are gone through: a few bytes that each leaves show then.
const PANEL_LAPS: usize = 40;

/// What the page shows after each row of steps is what the engine says; after a reload and after the tab was killed in the
/// middle of a row, what was kept is the plan after one of the steps, the last that was begun or the one before it.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn thousands_of_random_steps_end_in_the_plan_of_the_model() {
    let steps = from_env("ONEPULL_SOAK").unwrap_or(STEPS);
    let (browser, mut chance) = (Browser::start(), Chance::new(0x0050_a4ed));
    let page = browser.page();
    begin(&page);
    open_plan(&page, &kit());
    page.by_id("tab-place").click();
    let mut model = Model::opened(kit());
    let (mut done, mut changed, mut reloads, mut kills) = (0, 0, 0, 0);
    let started = Instant::now();
    while done < steps {
        let count = (20 + chance.below(100)).min(steps - done);
        let (row, states) = drawn(&model, &mut chance, count);
        let asks = Value::from(row.iter().map(|step| step.ask.clone()).collect::<Vec<_>>());
        match chance.below(10) {
            0 | 1 => {
                kills += 1;
                let at = killed(&page, asks, &mut chance, &states);
                done += at;
                changed += changes(&states[..=at]);
                model = Model::opened((**states[at].plan()).clone());
            }
            ending => {
                let missing = page.run_with("return onepullSoak(arguments[0])", vec![asks]);
                assert_eq!(missing, json!([]), "something to press or fill in was not there");
                done += count;
                changed += changes(&states);
                model = states[count].clone();
                assert_shown(&page, &model);
                if ending < 4 {
                    reloads += 1;
                    page.reload();
                    page.by_id("tab-place").click();
                    model = Model::opened((**model.plan()).clone());
                    assert_shown(&page, &model);
                }
            }
        }
    }
    assert_shown(&page, &model);
    println!(
        "{done} steps, {changed} of them changed the plan, {reloads} reloads, {kills} killed tabs in {:.0} s",
        started.elapsed().as_secs_f64(),
    );
    assert!(reloads > 0 && kills > 0 && 3 * changed > done, "too little happened to tell anything");
}

/// How many steps of a row changed the plan.
fn changes(states: &[Model]) -> usize {
    let is_change = |pair: &&[Model]| !Arc::ptr_eq(pair[0].plan(), pair[1].plan());
    states.windows(2).filter(is_change).count()
}

/// The sample with more copies of each mold, so that there is something to put on the blank.
fn kit() -> Plan {
    let plan = sample();
    let more = |(&id, mold): (&MoldId, &Arc<Mold>)| {
        Edit::ChangeMold(id, Box::new(Mold { copies: 6, ..(**mold).clone() }))
    };
    plan.apply(&Edit::All(plan.molds.iter().map(more).collect())).expect("more copies")
}

/// A row of steps, each drawn for the state the one before it leads to; and all those states.
fn drawn(model: &Model, chance: &mut Chance, count: usize) -> (Vec<Step>, Vec<Model>) {
    let (mut row, mut states) = (Vec::new(), vec![model.clone()]);
    for _ in 0..count {
        let mut state = states[row.len()].clone();
        let step = next(&state, chance);
        state.take(&step.deed);
        states.push(state);
        row.push(step);
    }
    (row, states)
}

/// Kills the tab in the middle of a row, and opens the page again; how many of the steps are in what was kept.
fn killed(page: &Page, asks: Value, chance: &mut Chance, states: &[Model]) -> usize {
    page.run("localStorage.removeItem('soak-step')");
    page.run_with("void onepullSoak(arguments[0])", vec![asks]);
    std::thread::sleep(Duration::from_millis(50 + chance.below(600) as u64));
    page.kill();
    begin(page);
    let begun = page.run("return localStorage.getItem('soak-step')");
    let begun = begun.as_str().map_or(0, |text| text.parse().expect("a number"));
    let kept = shown(page);
    let is_of = |at: &usize| states.get(*at).is_some_and(|state| **state.plan() == kept);
    let found = [begun + 1, begun].into_iter().find(is_of);
    found.unwrap_or_else(|| panic!("what was kept is no plan near step {begun}: {}", save(&kept)))
}

/// Opens the page with its numbers in sight.
fn begin(page: &Page) {
    page.before_load(include_str!("soak/page.js"));
    page.open("?nosw");
    page.by_id("tab-place").click();
}

fn shown(page: &Page) -> Plan {
    let shown = page.run("return onepullShown()");
    load(shown["plan"].as_str().expect("a kept plan")).expect("it opens")
}

fn assert_shown(page: &Page, model: &Model) {
    let shown = page.run("return onepullShown()");
    assert_eq!(shown["plan"].as_str(), Some(&*save(model.plan())));
    let selection: BTreeSet<u32> = model.selection.iter().map(|id| id.0).collect();
    let selected: BTreeSet<u32> =
        serde_json::from_value(shown["selection"].clone()).expect("numbers");
    assert_eq!(selected, selection);
    assert_eq!(
        [&shown["undo"], &shown["redo"]],
        [&json!(model.can_undo()), &json!(model.can_redo())]
    );
}

/// What the page takes up after the browser has cleared away what nobody holds.
#[derive(Clone, Copy, Debug)]
struct Taken {
    /// Bytes of JavaScript's objects.
    heap: f64,
    /// Nodes of the document and those that something holds.
    nodes: f64,
    /// Listeners.
    listeners: f64,
    /// Bytes of the program's own memory, which never shrinks.
    memory: f64,
}

/// Drags in laps: one mold round a circle, down, and the step undone, so that the history stays as long as it is.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn a_drag_that_does_not_end_takes_no_more_memory() {
    let minutes = from_env("ONEPULL_DRAG_MINUTES").unwrap_or(MINUTES);
    let lasts = Duration::from_secs_f64(60.0 * minutes);
    let browser = Browser::start();
    let page = in_laps(
        &browser,
        "await begin('mold-105');
         await onepullHand(0, 90, 90);
         board.dispatchEvent(event('pointermove', 300, 300));
         await frame([[300, 300]]);
         board.dispatchEvent(event('pointerup', 300, 300));
         onepullKey('z');
         await frame([]);",
    );
    // Warm: what is made once is made. A forecast comes whenever a hand rests for long enough, and takes megabytes while the one
    // before it is still there; so several have come.
    for key in ["y", "z", "y", "z"] {
        page.run("return onepullLap()");
        page.run_with("onepullKey(arguments[0])", vec![json!(key)]);
        until_forecast(&page);
    }
    let held_before = held(&page);
    let (started, mut all, mut n_laps) = (Instant::now(), Vec::new(), 4);
    while started.elapsed() < lasts || all.len() < 9 {
        page.run("return onepullLap()");
        n_laps += 1;
        all.push(taken(&page));
    }
    let memory: Vec<f64> =
        all.iter().step_by(all.len().div_ceil(12)).map(|t| t.memory / 1e6).collect();
    println!("program memory on the way, MB: {memory:.2?}");
    let third = all.len() / 3;
    let of = |part: &[Taken], read: fn(&Taken) -> f64| {
        part.iter().map(read).sum::<f64>() / part.len() as f64
    };
    let (first, last) = (&all[..third], &all[all.len() - third..]);
    println!(
        "{n_laps} laps of 92 frames in {:.1} min; means of the first and the last third:",
        started.elapsed().as_secs_f64() / 60.0
    );
    // The driver's own questions leave a quarter of a kilobyte a lap in JavaScript's heap, on a page at rest too.
    let rows: [(&str, Reading, f64); 4] = [
        ("JavaScript heap, bytes", |t| t.heap, 400_000.0),
        ("nodes", |t| t.nodes, 100.0),
        ("listeners", |t| t.listeners, 20.0),
        ("program memory, bytes", |t| t.memory, 262_144.0),
    ];
    let grown: Vec<_> = rows
        .iter()
        .map(|&(what, read, most)| {
            let (before, after) = (of(first, read), of(last, read));
            println!("{what}: {before:.0}, {after:.0}");
            (what, after - before, most)
        })
        .collect();
    let held_after = held(&page);
    println!("program memory in use, bytes: {held_before:.0} at first, {held_after:.0} at last");
    let in_use = ("program memory in use", held_after - held_before, 65_536.0);
    for (what, by, most) in grown.into_iter().chain([in_use]) {
        assert!(by <= most, "{what} grew by {by:.0}, more than {most:.0}");
    }
}

/// Panels come and go, each with all that it follows.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn going_through_the_panels_takes_no_more_memory() {
    let browser = Browser::start();
    let page = in_laps(
        &browser,
        "for (const tab of document.querySelectorAll('[role=tab]')) { tab.click(); await frame([]); }",
    );
    let laps = |count| (0..count).for_each(|_| drop(page.run("return onepullLap()")));
    laps(6);
    let before = held(&page);
    laps(PANEL_LAPS);
    let after = held(&page);
    println!("program memory in use, bytes: {before:.0}, {after:.0} after {PANEL_LAPS} laps");
    assert!(after - before <= 65_536.0, "grew by {:.0}", after - before);
}

/// A page with a crowded blank that does `lap` when it is asked for `onepullLap`.
fn in_laps(browser: &Browser, lap: &str) -> Page {
    let page = browser.page();
    page.open("?nosw");
    open_plan(&page, &crowded(12, 60));
    page.cdp("Accessibility.disable", json!({}));
    page.cdp("Performance.enable", json!({}));
    page.run(&format!(
        "{HAND} globalThis.onepullKey = (key) =>
           board.dispatchEvent(new KeyboardEvent('keydown', {{ key, bubbles: true, cancelable: true }}));
         globalThis.onepullLap = async () => {{ {lap} }};"
    ));
    until_forecast(&page);
    page
}

fn until_forecast(page: &Page) {
    let is_there = "const bar = document.querySelector('.forecast-bar');
        return !bar.classList.contains('is-stale') && !!bar.querySelector('.forecast-busy.is-idle')
          && bar.querySelector('.forecast-words').textContent.startsWith('Thinnest')";
    page.until("a forecast of this layout is there", || {
        (page.run(is_there) == json!(true)).then_some(())
    });
}

/// One figure of what is taken.
type Reading = fn(&Taken) -> f64;

fn taken(page: &Page) -> Taken {
    page.cdp("HeapProfiler.enable", json!({}));
    page.cdp("HeapProfiler.collectGarbage", json!({}));
    let answer = page.cdp("Performance.getMetrics", json!({}));
    let metric = |name: &str| {
        let metrics = answer["metrics"].as_array().expect("a list");
        let found = metrics.iter().find(|metric| metric["name"] == json!(name));
        found.and_then(|metric| metric["value"].as_f64()).expect(name)
    };
    Taken {
        heap: metric("JSHeapUsedSize"),
        nodes: metric("Nodes"),
        listeners: metric("JSEventListeners"),
        memory: asked_of_program(page, "return program.memory.buffer.byteLength"),
    }
}

/// Bytes of the program's memory that are in use: all but those that it can still hand out, which are counted by taking them.
/// That makes the memory larger, so it is asked before and after what is measured.
fn held(page: &Page) -> f64 {
    // Closures that nobody can call any more are freed some time after the objects around them are gone.
    for _ in 0..3 {
        taken(page);
        std::thread::sleep(Duration::from_millis(100));
    }
    asked_of_program(
        page,
        "const size = () => program.memory.buffer.byteLength;
         const [before, block, head, all] = [size(), 1024, 8, []];
         while (size() === before) all.push(program.__wbindgen_malloc(block, 8));
         for (const at of all) program.__wbindgen_free(at, block, 8);
         return before - (block + head) * (all.length - 1);",
    )
}

/// A number of bytes that `script` finds out of `program`, what the module hands out: once it is loaded, itself.
fn asked_of_program(page: &Page, script: &str) -> f64 {
    let bytes = page.run(&format!(
        "return import(new URL('onepull.js', location.href)).then((module) => module.default())
           .then((program) => {{ {script} }})"
    ));
    bytes.as_f64().expect("bytes")
}

/// A number that whoever runs the test has given.
fn from_env<T: std::str::FromStr>(name: &str) -> Option<T> {
    std::env::var(name).ok().and_then(|text| text.parse().ok())
}

/// The steps are worth their time: nearly half of them change the plan, the others select, rest or have to be refused.
#[test]
#[expect(clippy::print_stdout, reason = "what is done how often, shown with --nocapture")]
fn nearly_half_of_the_steps_change_the_plan() {
    let mut chance = Chance::new(7);
    let (row, states) = drawn(&Model::opened(kit()), &mut chance, 3_000);
    let mut tally = BTreeMap::<String, [u32; 2]>::new();
    for (step, pair) in row.iter().zip(states.windows(2)) {
        let kind =
            format!("{:?}", step.deed).split(['(', ' ']).next().unwrap_or_default().to_owned();
        let is_change = !Arc::ptr_eq(pair[0].plan(), pair[1].plan());
        tally.entry(kind).or_default()[usize::from(is_change)] += 1;
    }
    println!("unchanged and changed: {tally:?}");
    assert!(changes(&states) > 1_300, "{tally:?}");
}

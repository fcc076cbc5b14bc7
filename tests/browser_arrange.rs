//! The page lays the molds out: asked, looked at, stopped, compared, taken or put away; and how quick it is.

mod crowded;
mod hand;

use engine::file::save;
use engine::plan::{Plan, sample};
use onepull_tests::pace::keeps_pace;
use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use crowded::{bench, crowded};
use hand::{drag, open_plan, titles};

/// What the rules say when molds stand badly; what they say of a mold itself is not the arranger's business.
const MISPLACED: [&str; 7] = [
    "too close",
    " overlap",
    "off the blank",
    "under the clamp",
    "off the platen",
    " places",
    "not exist",
];
const TOO_CLOSE: &str = "Limpet and Anemone base stand too close";

#[test]
fn the_sample_is_arranged_taken_and_undone_as_one_step() {
    let browser = Browser::start();
    let page = opened(&browser);
    assert!(titles(&page).contains(TOO_CLOSE));
    for end in ["Fit this set", "Fit as many as possible", "Spread them out", "Tidy this layout"] {
        let before = places(&page);
        begin(&page, end);
        page.until("a layout is offered", || offers(&page).then_some(()));
        let misplaced = misplaced(&page);
        assert!(misplaced.is_empty(), "{end}: {misplaced:?}");
        page.by_role("button", "Take this layout").click();
        page.until("it is taken", || (!offers(&page)).then_some(()));
        assert!(self::misplaced(&page).is_empty(), "{end}: the taken layout is the offered one");
        assert_ne!(places(&page), before, "{end}");
        page.by_role("button", "Undo").click();
        page.until("one step back is all of it", || (places(&page) == before).then_some(()));
    }
}

#[test]
fn an_offer_is_compared_with_the_layout_before_and_put_away() {
    let browser = Browser::start();
    let page = opened(&browser);
    let before = places(&page);
    begin(&page, "Spread them out");
    page.until("a layout is offered", || offers(&page).then_some(()));
    let offered = places(&page);
    assert_ne!(offered, before);
    let compare = page.by_role("button", "Show the layout before");
    compare.click();
    page.until("the layout before is on the board", || (places(&page) == before).then_some(()));
    assert_eq!(ghosts(&page), json!("ghost ghost-other"), "the offered one is dotted over it");
    compare.click();
    page.until("the offered one is back", || (places(&page) == offered).then_some(()));
    page.by_role("button", "Put it away").click();
    page.until("the plan is as it was", || (places(&page) == before).then_some(()));
    assert_eq!(page.by_role("button", "Undo").attribute("aria-disabled").as_deref(), Some("true"));
}

#[test]
fn a_search_given_up_leaves_the_plan_and_the_page_as_they_were() {
    let browser = Browser::start();
    let page = opened(&browser);
    let before = places(&page);
    begin_long(&page);
    page.by_role("button", "Cancel").click();
    page.until("it is over", || is_over(&page).then_some(()));
    assert_eq!(places(&page), before);
    page.until("the keyboard is where it began", || {
        (page.run("return document.activeElement.id") == json!("arrange-begin")).then_some(())
    });
    assert_eq!(page.run("return !!document.querySelector('.outcome')"), json!(false));
    begin(&page, "Tidy this layout");
    page.until("the next search is answered", || offers(&page).then_some(()));
}

#[test]
fn a_search_that_is_stopped_offers_the_best_so_far() {
    let browser = Browser::start();
    let page = opened(&browser);
    begin_long(&page);
    page.until("something good is found", || {
        page.by_selector(".progress").text().contains("A good layout is found").then_some(())
    });
    assert_eq!(ghosts(&page), json!("ghost ghost-good"), "and it is seen over the board");
    page.by_role("button", "Stop and keep the best").click();
    page.until("it is offered", || offers(&page).then_some(()));
    assert!(misplaced(&page).is_empty());
}

#[test]
fn what_is_changed_meanwhile_makes_the_answer_void_and_that_is_said() {
    let browser = Browser::start();
    let page = opened(&browser);
    begin_long(&page);
    page.by_selector("#mold-4").click();
    page.press("ArrowRight");
    page.until("it is said", || {
        page.by_selector(".notice").text().contains("is dropped").then_some(())
    });
    assert!(is_over(&page));
    // An offer is void as well once the plan is another.
    begin(&page, "Tidy this layout");
    page.until("a layout is offered", || offers(&page).then_some(()));
    page.by_role("button", "Undo").click();
    page.until("that is said too", || {
        page.by_selector(".notice").text().contains("is put away").then_some(())
    });
    assert!(!offers(&page));
}

#[test]
fn a_mold_that_is_moved_in_an_offered_layout_moves_from_where_it_is_seen() {
    let browser = Browser::start();
    let page = opened(&browser);
    begin(&page, "Spread them out");
    page.until("a layout is offered", || offers(&page).then_some(()));
    let offered = places(&page);
    let (x, y) = page.by_selector("#mold-4").middle();
    page.drag(&[(x, y), (x + 10.0, y), (x + 20.0, y)]);
    page.until("the offer is taken first", || (!offers(&page)).then_some(()));
    let moved = places(&page);
    let differs = |id: &str| moved[id] != offered[id];
    assert!(differs("mold-4"));
    assert!(!differs("mold-1") && !differs("mold-2"), "the others stand as offered");
}

#[test]
fn what_does_not_fit_comes_with_ways_out_that_hold() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let mut plan = bench();
    for mold in plan.molds.values_mut() {
        let mold = std::sync::Arc::make_mut(mold);
        mold.copies = 2;
    }
    open_plan(&page, &plan);
    page.by_role("tab", "Arrange").click();
    begin(&page, "Fit this set");
    page.until("it is told", || {
        page.run("return document.querySelector('.outcome')?.textContent ?? ''")
            .as_str()
            .is_some_and(|text| text.contains("do not all fit"))
            .then_some(())
    });
    let ways = page.run("return document.querySelectorAll('.way-out').length");
    assert!(ways.as_u64().is_some_and(|ways| ways > 0), "at least to leave some out");
    page.by_selector(".way-out button").click();
    page.until("it is on the board", || offers(&page).then_some(()));
    assert!(misplaced(&page).is_empty(), "{:?}", misplaced(&page));
    page.by_role("button", "Take this layout").click();
    page.until("it is taken", || (!offers(&page)).then_some(()));
    assert!(misplaced(&page).is_empty());
}

#[test]
fn the_arranger_is_reached_and_used_by_keyboard_alone() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_selector("#mold-1").click();
    page.press("a");
    page.until("its tab has the keyboard", || {
        (page.run("return document.activeElement.id") == json!("tab-arrange")).then_some(())
    });
    for _ in 0..40 {
        if page.run("return document.activeElement.id") == json!("arrange-begin") {
            break;
        }
        page.press("Tab");
    }
    page.press("Enter");
    page.until("a layout is offered", || offers(&page).then_some(()));
    page.press("Tab");
    page.press("Enter");
    page.until("it is taken", || (!offers(&page)).then_some(()));
    assert!(misplaced(&page).is_empty());
}

#[test]
fn an_empty_set_and_a_worth_below_nothing_are_refused_in_words() {
    let browser = Browser::start();
    let page = opened(&browser);
    for (label, copies) in
        [("Limpet", 1), ("Crab shell", 1), ("Clam half", 2), ("Starfish", 1), ("Anemone base", 1)]
    {
        page.by_label(&format!("{label}, of {copies}")).fill_in("0");
        page.press("Enter");
    }
    page.by_id("arrange-begin").click();
    page.until("it is refused", || {
        page.by_selector(".notice").text().contains("choose at least one mold").then_some(())
    });
    page.by_label("Limpet, of 1").fill_in("7");
    page.press("Enter");
    page.until("no more than exist", || {
        page.by_selector(".set").text().contains("no more exist").then_some(())
    });
    page.by_text("Fit as many as possible").click();
    page.by_text("Some are worth more than others").click();
    page.by_label("Worth of one Limpet").fill_in("-3");
    page.press("Enter");
    page.until("no worth below nothing", || {
        page.by_selector(".panel").text().contains("give it 0 or more").then_some(())
    });
}

/// From a blank with nothing on it to the first layout that the rules have nothing against, and to a spread one, in a
/// worker that is warm; the best of three seeds, because a neighbour may take the processor away.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn a_usual_bench_is_laid_out_while_one_waits() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let plan = bench();
    let (mut first, mut spread) = (f64::INFINITY, f64::INFINITY);
    for seed in 1..=3 {
        let fit = timed(&page, &plan, &json!("fit"), seed);
        let all = timed(&page, &plan, &json!({ "spread": [1.0, 0.5, 0.5, 0.25] }), seed);
        println!(
            "bench of 8 molds of 60 corners, seed {seed}: fits after {fit:.0} ms, spread after {all:.0} ms"
        );
        (first, spread) = (first.min(fit), spread.min(all));
    }
    keeps_pace("a first layout in the browser", first, 300.0, "ms");
    keeps_pace("a spread in the browser", spread, 2_000.0, "ms");
}

/// How long a worker takes for an arrangement of all molds of a plan, in milliseconds.
fn timed(page: &Page, plan: &Plan, goal: &Value, seed: u64) -> f64 {
    let copies: Vec<[u32; 2]> = plan.molds.keys().map(|mold| [mold.0, 1]).collect();
    let ask = json!({ "arrange": {
        "plan": save(plan), "pull": 1, "copies": copies, "off": [], "goal": goal, "seed": seed, "steps": 2_000_000,
    } });
    let script = "const [message] = arguments;
        return new Promise((resolve, reject) => {
          const worker = new Worker('worker.js', { type: 'module' });
          let began;
          worker.onerror = ({ message }) => reject(new Error(message));
          worker.onmessage = ({ data: [words] }) => {
            const { job, answer } = JSON.parse(words);
            if (job === 9) { began = performance.now(); worker.postMessage([message]); return; }
            if (answer.arranging) return;
            worker.terminate();
            if (answer.arranged?.layout) resolve(performance.now() - began);
            else reject(new Error(words.slice(0, 300)));
          };
          import(new URL('beside.js', document.baseURI)).then(({ handModule }) => handModule(worker));
          // As the page does when the panel is opened.
          worker.postMessage([JSON.stringify({ job: 9, ask: 'warm_up' })]);
        })";
    let message = json!({ "job": 1, "ask": ask }).to_string();
    page.run_with(script, vec![json!(message)]).as_f64().expect("a time")
}

/// The search has a thread of its own, so a drag costs what it costs without one, and the drawing of what is found.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn a_drag_stays_smooth_while_a_layout_is_looked_for() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    open_plan(&page, &crowded(12, 60));
    let mut best = f64::INFINITY;
    for _ in 0..3 {
        page.by_id("tab-arrange").click();
        begin_long(&page);
        let drag = drag(&page, "mold-105");
        println!("drag among 12 molds during a search: {}", drag.words());
        best = best.min(drag.cost());
        page.until("the drop ended the search", || is_over(&page).then_some(()));
    }
    keeps_pace("a frame of a drag during a search", best, 20.0, "ms");
}

/// A page with the sample and the arranger's panel open.
fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    page.by_role("tab", "Arrange").click();
    page
}

fn begin(page: &Page, end: &str) {
    page.by_selector(".radios").click();
    let script = "const names = [...document.querySelectorAll('.radio')];
        names.find((name) => name.textContent.trim() === arguments[0]).click()";
    page.run_with(script, vec![json!(end)]);
    page.until("the button says so", || (page.by_id("arrange-begin").text() == end).then_some(()));
    page.by_id("arrange-begin").click();
}

/// Begins a search that takes many seconds, and waits until it is under way.
fn begin_long(page: &Page) {
    page.run(
        "const list = [...document.querySelectorAll('.panel select')].at(-1);
         list.value = '2';
         list.dispatchEvent(new Event('change'));",
    );
    begin(page, "Spread them out");
    page.until("it is under way", || {
        let value = page.run("return document.querySelector('progress')?.value ?? 0");
        value.as_f64().is_some_and(|value| value > 0.0).then_some(())
    });
}

fn is_over(page: &Page) -> bool {
    page.run("return !document.querySelector('.progress')") == json!(true)
}

fn offers(page: &Page) -> bool {
    page.run("return !!document.getElementById('arrange-accept')") == json!(true)
}

fn ghosts(page: &Page) -> Value {
    page.run("return document.querySelector('.ghost').getAttribute('class')")
}

/// Where each mold is drawn on the board.
fn places(page: &Page) -> Value {
    page.run(
        "return Object.fromEntries([...document.querySelectorAll('.mold[data-hit]')]
           .map((mold) => [mold.id, mold.querySelector('.footprint').getAttribute('d')]))",
    )
}

/// Findings about where molds stand.
fn misplaced(page: &Page) -> Vec<String> {
    let is_about_place = |title: &String| MISPLACED.iter().any(|words| title.contains(words));
    titles(page).into_iter().filter(is_about_place).collect()
}

/// The words by which findings about places are known, held against what the rules say of a crowded blank.
#[test]
fn the_words_for_misplaced_molds_are_those_of_the_rules() {
    use engine::plan::PullId;
    use engine::rules::{Rule, check};
    let placed =
        [Rule::Overlap, Rule::Clearance, Rule::Opening, Rule::Platen, Rule::Edge, Rule::Copies];
    for plan in [sample(), crowded(40, 60)] {
        for finding in check(&plan, PullId(1)) {
            let title = finding.title(&plan, PullId(1));
            let is_known = MISPLACED.iter().any(|words| title.contains(words));
            assert_eq!(is_known, placed.contains(&finding.rule), "{title}");
        }
    }
}

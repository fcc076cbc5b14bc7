//! What a maker does, in the browser of whoever uses this: lays out by mouse, finger, key and number, prints, saves and
//! shares.

use std::collections::BTreeSet;

use engine::edit::Edit;
use engine::file::{link, load, save};
use engine::plan::{Machine, PlacementId, Plan, PullId, Size, sample};
use engine::units::Length;
use onepull_tests::page::{Browser, Page, Program};
use serde_json::json;

use crate::PROGRAM;
use crate::crowded::crowded;
use crate::hand::{open_plan, titles};

/// The placement of the limpet in the sample, which stands too close to the anemone base.
const LIMPET: &str = "#mold-2";
const TOO_CLOSE: &str = "Limpet and Anemone base stand too close";

#[test]
fn a_first_visit_shows_a_sample_and_what_to_do_with_it() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    assert!(
        page.by_selector(".banner").text().contains("drag a mold"),
        "one sentence says what to do"
    );
    assert_eq!(
        titles(&page),
        BTreeSet::from([TOO_CLOSE.to_owned(), thin("Starfish"), thin("Anemone base")])
    );
    assert_quiet(&page);
}

/// Private windows of both browsers lend a storage that goes with the window; where one lends none, `browser_keeping` says
/// what happens.
#[test]
fn in_a_private_window_a_plan_is_kept_as_long_as_the_window_is_open() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.private_page();
    page.open("");
    page.by_label("Plan").fill_in("Rock pool");
    page.press("Enter");
    page.until("it is saved", || {
        page.by_selector(".save-state").text().contains("Saved in this browser").then_some(())
    });
    drag_limpet(&page, -12.0);
    let moved = limpet_x(&page);
    page.reload();
    assert_eq!(page.by_label("Plan").value(), "Rock pool");
    assert_eq!(limpet_x(&page), moved, "the last change too");
    assert_quiet(&page);
    drop(page);
    let page = browser.private_page();
    page.open("");
    assert_eq!(page.by_label("Plan").value(), sample().name, "nothing of it stays");
}

/// Renames the plan at a given moment, to a tenth of a millisecond, in a tab that may lie behind another.
const RENAME_AT: &str = "const [name, at] = arguments;
    const labels = [...document.querySelectorAll('label')];
    const field = labels.find((label) => label.textContent === 'Plan').control;
    const spin = new MessageChannel();
    spin.port1.onmessage = () => {
      if (performance.timeOrigin + performance.now() < at) return spin.port2.postMessage(null);
      field.value = name;
      field.dispatchEvent(new Event('input', { bubbles: true }));
      field.dispatchEvent(new FocusEvent('blur'));
    };
    spin.port2.postMessage(null);";

/// Neither tab can see what the other writes before it writes itself: at first under a new name, as both have the sample, and
/// then both over the plan that was open last.
#[test]
#[expect(clippy::print_stdout, reason = "how often the tabs met is not for a test to decide")]
fn two_tabs_that_write_at_the_same_moment_lose_neither_version() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    let tabs = [page.tab(), page.open_tab()];
    let mut met = 0;
    for round in 0..8 {
        for tab in &tabs {
            page.to_tab(tab);
            page.open("?nosw");
        }
        let at = page.run("return performance.timeOrigin + performance.now() + 400");
        let names = ["A", "B"].map(|tab| format!("Pool {tab}{round}"));
        for (tab, name) in tabs.iter().zip(&names) {
            page.to_tab(tab);
            page.run_with(RENAME_AT, vec![json!(name), at.clone()]);
        }
        let kept = page.until("both versions are kept", || {
            let kept = kept_names(&page);
            names.iter().all(|name| kept.contains(name)).then_some(kept)
        });
        assert_eq!(kept.len(), 2 + round, "each version once: {kept:?}");
        met += u32::from(page.by_selector(".notice").text().contains("at the same moment"));
    }
    println!("{met} of 8 times a tab wrote over what it had not seen");
    assert_quiet(&page);
}

/// The names of the plans that the browser keeps.
fn kept_names(page: &Page) -> Vec<String> {
    let names = page.run(
        "const plans = Object.entries(localStorage).filter(([key]) => key.startsWith('onepull:plan:'));
         return plans.map(([, text]) => text.split('\\n')[0].replace(/^\\d+ /, ''))",
    );
    serde_json::from_value(names).expect("names")
}

#[test]
fn a_mold_dragged_by_mouse_is_put_right_in_one_step_that_can_be_undone() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    drag_limpet(&page, -12.0);
    page.until("the finding goes", || (!titles(&page).contains(TOO_CLOSE)).then_some(()));
    page.by_selector(LIMPET).click();
    page.press("Control+z");
    page.until("the finding is back", || titles(&page).contains(TOO_CLOSE).then_some(()));
    page.press("Control+y");
    page.until("the finding goes again", || (!titles(&page).contains(TOO_CLOSE)).then_some(()));
    assert_quiet(&page);
}

#[test]
fn a_drag_given_up_with_escape_changes_nothing() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    let before = limpet_x(&page);
    let (x, y) = middle(&page);
    page.drag_and_escape(&[(x, y), (x - 20.0, y), (x - 40.0, y + 5.0)]);
    assert_eq!(limpet_x(&page), before);
    assert_quiet(&page);
}

#[test]
fn a_mold_dragged_by_finger_moves() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.resize(820, 1180);
    if page.program() == Program::Chromium {
        page.cdp("Emulation.setTouchEmulationEnabled", json!({ "enabled": true }));
    }
    page.open("?nosw");
    let before = limpet_x(&page);
    let (x, y) = middle(&page);
    page.touch_drag(&[(x, y), (x - 15.0, y), (x - 30.0, y), (x - 45.0, y)]);
    page.until("it has moved", || (limpet_x(&page) != before).then_some(()));
    assert_quiet(&page);
}

#[test]
fn the_sample_is_put_right_by_keyboard_alone() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    reach_by_tab(&page, "mold-1");
    page.press("PageDown");
    page.until("the crab shell is selected", || {
        (page.by_id("mold-1").attribute("aria-pressed").as_deref() == Some("true")).then_some(())
    });
    page.press("PageDown");
    page.until("the limpet has the focus", || (focused(&page) == "mold-2").then_some(()));
    for _ in 0..8 {
        page.press("ArrowLeft");
    }
    page.until("the finding goes", || (!titles(&page).contains(TOO_CLOSE)).then_some(()));
    // The label keeps what it said until the burst of nudges is over.
    page.until("the label follows", || (limpet_x(&page) == "224.0 mm").then_some(()));
    // Nudges close in time are one step; on a slow machine they may be several.
    for _ in 0..8 {
        if limpet_x(&page) != "232.0 mm" {
            page.press("z");
        }
    }
    page.until("the nudges are undone", || (limpet_x(&page) == "232.0 mm").then_some(()));
    assert_quiet(&page);
}

#[test]
fn exact_numbers_are_typed_in_any_unit_and_wrong_ones_are_told_what_works() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    select_limpet(&page);
    let field = page.by_label("From the left edge");
    field.fill_in("8 1/2 in");
    page.press("Enter");
    page.until("the place is taken", || (limpet_x(&page) == "215.9 mm").then_some(()));
    page.by_label("From the left edge").fill_in("far left");
    page.press("Enter");
    page.until("what would work is said", || {
        page.by_selector("body").text().contains("1 3/8 in").then_some(())
    });
    page.press("Escape");
    assert_eq!(limpet_x(&page), "215.9 mm");
    assert_quiet(&page);
}

#[test]
fn a_plan_survives_a_killed_tab_and_a_bad_file_and_comes_back_from_its_own_file() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    drag_limpet(&page, -12.0);
    let moved = limpet_x(&page);
    page.visit("?nosw&again");
    page.open("?nosw");
    assert_eq!(limpet_x(&page), moved, "saved by the edit itself");

    let folder = std::env::temp_dir();
    let bad = folder.join(format!("onepull-bad-{}.json", std::process::id()));
    let file = save(&sample());
    std::fs::write(&bad, &file[..file.len() / 2]).expect("a scratch file");
    tab(&page, "Plans");
    page.by_selector("input[type=file]").choose_file(&bad);
    page.until("the file is refused in words", || {
        page.by_selector(".notice").text().contains("cut").then_some(())
    });
    assert_eq!(limpet_x(&page), moved, "the open plan is untouched");

    tab(&page, "Plans");
    page.by_role("button", "Save this plan as a file").click();
    let saved = page.downloaded("Tide-pool kit.onepull.json");
    let saved = load(&String::from_utf8(saved).expect("a text")).expect("its own file");
    assert_eq!(saved.name, "Tide-pool kit");
    assert_ne!(saved, sample(), "the file holds the moved limpet");
    std::fs::remove_file(&bad).expect("the scratch file goes");
}

#[test]
fn a_link_opens_for_another_visitor_beside_their_own_work() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let (maker, reader) = (browser.page(), browser.page());
    maker.open("?nosw");
    drag_limpet(&maker, -12.0);
    let shared_x = limpet_x(&maker);
    tab(&maker, "Share");
    maker.by_role("button", "Make the link").click();
    let link = maker.by_label("Link").value();
    let fragment = link.split_once('#').expect("a fragment").1.to_owned();
    assert!(link.len() < 1500, "{} characters", link.len());

    reader.open("?nosw");
    select_limpet(&reader);
    reader.by_label("From the left edge").fill_in("240 mm");
    reader.press("Enter");
    reader.until("the reader's own edit", || (limpet_x(&reader) == "240.0 mm").then_some(()));
    reader.visit("");
    reader.open(&format!("?nosw#{fragment}"));
    assert!(reader.by_selector(".banner").text().contains("shared pull"));
    assert_eq!(limpet_x(&reader), shared_x);
    reader.by_role("button", "Back to my plan").click();
    reader.until("the reader's own plan", || (limpet_x(&reader) == "240.0 mm").then_some(()));
    reader.visit("");
    reader.open(&format!("?nosw#{fragment}"));
    reader.by_role("button", "Keep a copy").click();
    reader.open("?nosw");
    assert_eq!(limpet_x(&reader), shared_x, "the copy is now the open plan");
    tab(&reader, "Plans");
    let plans = reader.by_selector(".panels").text();
    assert!(plans.matches("Tide-pool kit").count() >= 2, "both are on the shelf: {plans}");
}

#[test]
fn what_a_collaborator_changed_is_told_and_taken_in_part_as_one_step() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    select_limpet(&page);
    page.by_label("From the left edge").fill_in("240 mm");
    page.press("Enter");
    page.until("the reader's own edit", || (limpet_x(&page) == "240.0 mm").then_some(()));
    // The collaborator had the sample, called it something else and took one clam off.
    let off = BTreeSet::from([PlacementId(6)]);
    let theirs = sample().apply(&Edit::TakeOff(PullId(1), off)).expect("a plan");
    let theirs = theirs.apply(&Edit::Rename("Rock pool".into())).expect("a plan");
    let fragment = link(&theirs, PullId(1)).expect("a link");
    page.visit("");
    page.open(&format!("?nosw#{fragment}"));
    page.by_role("button", "Compare with my plan").click();
    let changes = page.until("what is different is listed", || {
        let words = page.by_selector(".comparing").text();
        words.contains("Clam half #2 is taken off the blank").then_some(words)
    });
    assert!(changes.contains("The plan is called Rock pool"), "{changes}");
    assert!(changes.contains("Limpet is moved by 8.0 mm"), "{changes}");
    assert_eq!(limpet_x(&page), "240.0 mm", "the reader's own plan is on the board");
    page.by_role("checkbox", "The plan is called Rock pool").click();
    page.by_role("button", "Take 2 changes").click();
    page.until("the limpet is where it was", || (limpet_x(&page) == "232.0 mm").then_some(()));
    assert!(page.by_selector(".notice").text().contains("2 changes taken"));
    assert_eq!(page.by_label("Plan").value(), "Tide-pool kit", "what was left out is as it was");
    page.by_role("button", "Undo").click();
    page.until("one step back is all", || (limpet_x(&page) == "240.0 mm").then_some(()));
    assert_quiet(&page);
}

#[test]
fn hostile_cut_and_future_links_are_refused_in_words() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    let huge = "A".repeat(70_000);
    for fragment in ["1AAAA", "9whatever", "%00%ff", "<script>alert(1)</script>", &huge] {
        page.visit("");
        page.open(&format!("?nosw#{fragment}"));
        page.until("a refusal in words", || {
            page.by_selector(".notice").text().contains("The link was not opened").then_some(())
        });
        assert_eq!(limpet_x(&page), "232.0 mm", "the sample is there as ever");
    }
}

#[test]
fn the_template_and_the_bench_card_are_downloaded_as_files() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    tab(&page, "Print");
    for (button, ending) in
        [("Download PDF", "%PDF-"), ("Download SVG", "<"), ("Download bench card", "%PDF-")]
    {
        let before = downloads(&page);
        page.by_role("button", button).click();
        let name =
            page.until("a new download", || downloads(&page).difference(&before).next().cloned());
        let bytes = page.downloaded(&name);
        assert!(bytes.starts_with(ending.as_bytes()), "{button}: {name}");
        assert!(bytes.len() > 2_000, "{button}: {} bytes", bytes.len());
    }
    assert_quiet(&page);
}

/// As in a browser from before 2023, which knows no workers that are modules.
#[test]
fn where_no_worker_starts_the_page_does_the_work_itself() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    page.run("window.Worker = class { constructor() { throw new Error('not known here'); } }");
    tab(&page, "Print");
    page.by_role("button", "Download bench card").click();
    let name = page.until("a download", || downloads(&page).into_iter().next());
    assert!(page.downloaded(&name).starts_with(b"%PDF-"), "{name}");
    assert_quiet(&page);
}

/// The sheets of a large blank, which take the worker a while.
#[test]
fn a_pdf_in_the_making_says_how_far_it_is_and_can_be_given_up() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    let side = Length::mm(2600.0);
    let machine = Machine::with_lip(Size::new(side, side), Length::mm(15.0), Length::mm(150.0));
    let large = crowded(40, 60).apply(&Edit::SetMachine(machine)).expect("a large blank");
    open_plan(&page, &large);
    tab(&page, "Print");
    let _ = page.by_id("make-template");
    let label = page.by_id("mold-105").attribute("aria-label");
    // In one script, so that the cancel comes while the worker is busy however slow the driver is.
    let given_up = page.run(
        "const row = document.querySelector('.making');
         document.getElementById('make-template').click();
         return new Promise((done) => requestAnimationFrame(() => {
           const words = row.querySelector('p').textContent;
           row.querySelector('button').click();
           requestAnimationFrame(() => done([words, row.hidden, document.activeElement.id]));
         }))",
    );
    assert_eq!(given_up, json!(["Laying out the sheets\u{2026}", true, "make-template"]));
    assert_eq!(page.by_id("mold-105").attribute("aria-label"), label, "the plan is kept");
    page.run(
        "window.parts = [];
         const words = document.querySelector('.making p');
         new MutationObserver(() => parts.push(words.textContent))
           .observe(words, { childList: true, characterData: true, subtree: true })",
    );
    page.by_id("make-template").click();
    let name = page.until("the next one is made", || downloads(&page).into_iter().next());
    assert!(page.downloaded(&name).starts_with(b"%PDF-"), "{name}");
    assert_eq!(downloads(&page).len(), 1, "the one given up never came");
    let parts = page.run("return parts.filter((words) => words)");
    assert_eq!(parts, json!(["Laying out the sheets\u{2026}", "Writing the PDF\u{2026}"]));
    assert_quiet(&page);
}

#[test]
fn a_new_plan_asks_for_the_machine_in_three_fields() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    tab(&page, "Plans");
    for (label, text) in [
        ("Blank width, left to right", "24 in"),
        ("Blank depth, front to back", "18 in"),
        ("Clamp lip", "3/4 in"),
    ] {
        page.by_label(label).fill_in(text);
        page.press("Tab");
    }
    page.by_role("button", "Start a new plan").click();
    page.until("an empty blank", || {
        page.by_selector("#board-drawing").attribute("aria-label").filter(|l| l.contains("609.6"))
    });
    assert_quiet(&page);
}

fn thin(name: &str) -> String {
    format!("{name} draws the sheet thin")
}

fn tab(page: &Page, name: &str) {
    page.by_role("tab", name).click();
}

/// The middle of the limpet on the screen.
fn middle(page: &Page) -> (f64, f64) {
    page.by_selector(LIMPET).middle()
}

/// Drags the limpet by so many millimetres to the right, the snap left out of it by a distance beyond its reach.
fn drag_limpet(page: &Page, mm: f64) {
    let scale = page.run(
        "return document.querySelector('#mold-2 .footprint').getBoundingClientRect().width / 64",
    );
    let by = mm * scale.as_f64().expect("pixels in a millimetre");
    let (x, y) = middle(page);
    let before = limpet_x(page);
    let places: Vec<_> = (0..=10).map(|n| (x + by * f64::from(n) / 10.0, y)).collect();
    page.drag(&places);
    page.until("the limpet has moved", || (limpet_x(page) != before).then_some(()));
}

/// Selects the limpet, if it is not, and shows its numbers.
fn select_limpet(page: &Page) {
    if page.by_selector(LIMPET).attribute("aria-pressed").as_deref() != Some("true") {
        let (x, y) = middle(page);
        page.drag(&[(x, y)]);
    }
    tab(page, "Place");
}

/// Where the limpet stands, as its label on the board says it to a screen reader.
fn limpet_x(page: &Page) -> String {
    let label = page.by_selector(LIMPET).attribute("aria-label").expect("a label");
    let from = label.find("x ").expect("a place in the label") + 2;
    label[from..].split(',').next().expect("a place").to_owned()
}

fn focused(page: &Page) -> String {
    page.run("return document.activeElement.id").as_str().unwrap_or_default().to_owned()
}

/// Presses Tab until the element has the focus, as somebody without a mouse does.
fn reach_by_tab(page: &Page, id: &str) {
    for _ in 0..40 {
        if focused(page) == id {
            return;
        }
        page.press("Tab");
    }
    panic!("40 times Tab do not reach {id}; the focus is on {:?}", focused(page));
}

fn downloads(page: &Page) -> BTreeSet<String> {
    page.download_names()
}

fn assert_quiet(page: &Page) {
    let console = page.console();
    assert!(console.is_empty(), "{console:#?}");
}

/// The plan a page is opened with, as a check that this file speaks of the sample it thinks it does.
#[test]
fn the_sample_has_the_limpet_where_these_journeys_look_for_it() {
    let plan: Plan = sample();
    let limpet = plan.pulls.values().next().and_then(|pull| pull.placements.values().nth(1));
    assert_eq!(plan.molds[&limpet.expect("a second placement").mold].name, "Limpet");
}

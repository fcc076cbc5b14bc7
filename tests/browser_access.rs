//! Whether the page can be used by everybody: names, contrast, targets and the keyboard, on every view.

mod foreign;
mod views;

use std::collections::BTreeSet;

use onepull_tests::left_out;
use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use views::{PANELS, on_every_view, select_limpet};

/// The smallest target for a pointer: WCAG 2.2, success criterion 2.5.8 (level AA).
const TARGET_PX: f64 = 24.0;

/// axe-core by Deque Systems (Mozilla Public License 2.0) holds every view to the rules that it has for WCAG 2.0 to
/// 2.2, levels A and AA, and to its own for labels, in both themes.
#[test]
#[expect(clippy::print_stdout, reason = "how many views were held to it")]
fn axe_finds_nothing_on_any_view_in_either_theme() {
    let Some(axe) = std::env::var_os("ONEPULL_AXE") else {
        left_out(
            "axe-core is not at hand (`cargo xtask test` fetches it with npm and says why it could not); \
             the page was held to the checks of this file alone",
        );
        return;
    };
    let axe = std::fs::read_to_string(axe).expect("axe-core as xtask fetched it");
    let browser = Browser::start();
    for theme in ["light", "dark"] {
        let page = browser.page();
        page.prefer("prefers-color-scheme", theme);
        page.open("?nosw");
        page.run(&axe);
        let mut views = 0;
        on_every_view(&page, |view| {
            views += 1;
            let violations = page.run(AXE);
            assert_eq!(violations, json!([]), "{view}, {theme}");
        });
        println!("axe-core found nothing on {views} views, {theme}");
    }
}

/// Runs the rules of every level that is asked for, and says of each violation which rule and where.
const AXE: &str = "return axe
    .run(document, {
      runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] },
      rules: { 'label-content-name-mismatch': { enabled: true }, 'target-size': { enabled: true } },
    })
    .then(({ violations }) => violations.map(({ id, nodes }) => [id, ...nodes.map((node) => node.html.slice(0, 200))]))";

#[test]
fn everything_that_can_be_pressed_or_filled_in_has_a_name_and_is_large_enough_to_hit() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    on_every_view(&page, |view| {
        let nameless = nameless(&page);
        assert!(nameless.is_empty(), "{view}: {nameless:#?}");
        let small = page.run_with(SMALL_TARGETS, vec![json!(TARGET_PX)]);
        assert_eq!(small, json!([]), "{view}");
    });
}

/// What is smaller than a target may be. A checkbox counts with the label that toggles it; a link in a line of text, a
/// corner of a drawing and what is out of sight are excepted, as the criterion excepts them.
const SMALL_TARGETS: &str = "
    const least = arguments[0];
    const targets = document.querySelectorAll('button, input, select, textarea, summary');
    return [...targets]
      .map((target) => target.closest('label') ?? target)
      .filter((target) => target.checkVisibility() && !target.closest('.unseen'))
      .map((target) => [target.outerHTML.slice(0, 120), target.getBoundingClientRect()])
      .filter(([, { width, height }]) => width > 0 && (width < least || height < least))
      .map(([html, { width, height }]) => `${html}: ${width} x ${height}`)";

/// What can be used and has no name in the accessibility tree.
fn nameless(page: &Page) -> Vec<Value> {
    const USABLE: [&str; 9] =
        ["button", "checkbox", "combobox", "link", "listbox", "radio", "slider", "tab", "textbox"];
    let is_usable = |node: &&Value| {
        node["ignored"] != json!(true)
            && node["role"]["value"].as_str().is_some_and(|role| USABLE.contains(&role))
    };
    let tree = page.cdp("Accessibility.getFullAXTree", json!({}));
    let nodes = tree["nodes"].as_array().expect("a tree");
    let usable = || nodes.iter().filter(is_usable);
    assert!(usable().count() > 0, "there is something to use");
    let is_nameless =
        |node: &&Value| node["name"]["value"].as_str().unwrap_or_default().trim().is_empty();
    usable().filter(is_nameless).cloned().collect()
}

/// Two regions that speak by themselves would cut each other short.
#[test]
fn one_place_speaks_and_it_says_what_was_done_with_what_came_of_it() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let regions = "return [...document.querySelectorAll(
        '[aria-live], [role=status], [role=alert], [role=log], output')].map((region) => region.id || region.className)";
    on_every_view(&page, |view| assert_eq!(page.run(regions), json!(["unseen"]), "{view}"));
    page.by_role("tab", "Molds").click();
    select_limpet(&page);
    page.by_selector("#mold-2").click();
    page.press("Shift+ArrowLeft");
    page.until("the move and its outcome are one line", || {
        let spoken = page.run("return document.querySelector('p[role=status]').textContent");
        let spoken = spoken.as_str().unwrap_or_default().to_owned();
        let words = ["Limpet moved to x 222.0 mm", "too close"];
        words.iter().all(|words| spoken.contains(words)).then_some(())
    });
}

/// Everything that the one place says from now on, as it says it.
fn listen(page: &Page) {
    page.run(
        "window.heard = [];
         const voice = document.querySelector('p[role=status]');
         new MutationObserver(() => heard.push(voice.textContent))
           .observe(voice, { childList: true, characterData: true, subtree: true })",
    );
}

fn heard(page: &Page) -> Vec<String> {
    serde_json::from_value(page.run("return window.heard")).expect("lines")
}

fn until_heard(page: &Page, words: &[&str]) {
    page.until(&format!("{words:?} are said in one line"), || {
        let is_said = |line: &String| words.iter().all(|words| line.contains(words));
        heard(page).iter().any(is_said).then_some(())
    });
}

#[test]
fn findings_that_go_and_come_are_told_by_name_and_not_while_a_mold_is_dragged() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    listen(&page);
    let (x, y) = page.by_selector("#mold-2").middle();
    // To and fro over the place where the finding goes, so that it comes and goes with the frames.
    let places: Vec<_> = (0..60).map(|n| (x - 1.5 * f64::from((n * 7) % 40), y)).collect();
    page.drag_and_escape(&places);
    page.run("return new Promise((done) => setTimeout(done, 600, true))");
    let in_drag = heard(&page);
    assert!(in_drag.iter().all(|line| !line.contains("stand too close")), "{in_drag:?}");
    let close = "caution, Limpet and Anemone base stand too close.";
    page.drag(&(0..=10).map(|n| (x - 4.0 * f64::from(n), y)).collect::<Vec<_>>());
    until_heard(&page, &["Limpet moved to", &format!("Gone: {close}"), "2 notes"]);
    page.by_role("button", "Undo").click();
    until_heard(&page, &["One step back.", &format!("New: {close}"), "1 caution, 2 notes"]);
}

#[test]
fn what_is_refused_and_how_far_slow_work_is_are_told_as_well() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    listen(&page);
    select_limpet(&page);
    page.by_label("From the left edge").fill_in("far left");
    page.press("Enter");
    until_heard(&page, &["1 3/8 in"]);
    page.press("Escape");
    page.by_role("tab", "Molds").click();
    page.by_role("button", "Add to blank: Starfish").click();
    until_heard(&page, &["Starfish is on the blank.", "New: "]);
    page.by_role("tab", "Print").click();
    page.by_id("make-template").click();
    until_heard(&page, &["Laying out the sheets"]);
    until_heard(&page, &["template.pdf is made."]);
    page.by_role("tab", "Arrange").click();
    listen(&page);
    page.by_id("arrange-begin").click();
    until_heard(&page, &["fit"]);
}

#[test]
fn what_is_removed_leaves_the_keyboard_with_its_neighbour() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    // Molds: to the next, from the last to the one before, from the only one to the heading.
    for (mold, then) in [(2, "mold-change-3"), (5, "mold-change-4")] {
        remove_mold(&page, mold);
        until_focused(&page, then);
    }
    for mold in [1, 3, 4] {
        remove_mold(&page, mold);
    }
    until_focused(&page, "molds-title");
    for _ in 0..5 {
        page.by_role("button", "Undo").click();
    }
    // Placements, by the button of their panel.
    page.by_role("tab", "Place").click();
    page.by_id("standing-6").click();
    page.by_text("Take off the blank").click();
    until_focused(&page, "standing-5");
    // Plans.
    page.by_role("tab", "Plans").click();
    page.by_role("button", "Duplicate Tide-pool kit").click();
    page.until("two plans", || (plans(&page) == 2).then_some(()));
    page.by_role("button", "Delete Tide-pool kit copy").click();
    page.until("the other plan has the keyboard", || {
        focused(&page).starts_with("plan-open-").then_some(())
    });
    page.by_role("button", "Bring it back").click();
    page.until("the plan that is back has it", || {
        (plans(&page) == 2 && focused(&page).starts_with("plan-open-")).then_some(())
    });
    page.by_role("button", "Rename Tide-pool kit copy").click();
    page.by_label("New name").fill_in("Rock pool");
    page.press("Enter");
    page.until("the button that asked has it again", || {
        focused(&page).starts_with("plan-rename-").then_some(())
    });
    assert_eq!(plans(&page), 2);
}

/// A key may follow before the browser draws again, and would be lost on whatever had the keyboard before.
#[test]
fn a_mold_that_is_pressed_has_the_keyboard_at_once() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    _ = page.by_id("mold-2");
    let script = "const hit = document.querySelector('#mold-2 [data-hit], #mold-2[data-hit]');
        const { x, y, width, height } = hit.getBoundingClientRect();
        const event = (name) => new PointerEvent(name, {
          bubbles: true, pointerId: 1, isPrimary: true, clientX: x + width / 2, clientY: y + height / 2,
        });
        hit.dispatchEvent(event('pointerdown'));
        const { id } = document.activeElement;
        hit.dispatchEvent(event('pointerup'));
        return id";
    assert_eq!(page.run(script), json!("mold-2"));
}

fn plans(page: &Page) -> usize {
    let count = page.run("return document.querySelectorAll('.plan').length");
    count.as_u64().and_then(|count| count.try_into().ok()).unwrap_or_default()
}

fn remove_mold(page: &Page, mold: u32) {
    page.by_id(&format!("mold-change-{mold}")).click();
    page.by_role("button", "Remove").click();
    page.until("it is gone", || {
        let left = page.run(&format!("return !!document.getElementById('mold-change-{mold}')"));
        (left == json!(false)).then_some(())
    });
}

fn until_focused(page: &Page, id: &str) {
    page.until(&format!("{id} has the keyboard"), || (focused(page) == id).then_some(()));
}

fn focused(page: &Page) -> String {
    page.run("return document.activeElement.id").as_str().unwrap_or_default().to_owned()
}

/// The tabs of the page, as a check that no panel is left out above.
#[test]
fn every_panel_is_among_the_views() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let tabs = page
        .run("return [...document.querySelectorAll('[role=tab]')].map((tab) => tab.textContent)");
    let tabs: BTreeSet<String> = serde_json::from_value(tabs).expect("words");
    assert_eq!(tabs, PANELS.map(str::to_owned).into());
}

//! Advice in the page: tried for one finding from its own row, the gauge for a least wall, each taken as one step.

mod hand;

use engine::edit::Edit;
use engine::plan::{PullId, sample};
use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use hand::open_plan;

const PULL: PullId = PullId(1);

/// By keys alone: its button, the change, and what is spoken meanwhile.
#[test]
fn a_thin_wall_is_helped_from_its_own_row_as_one_step_and_undone() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    page.by_label("Least wall wanted").fill_in("1.2 mm");
    page.press("Enter");
    let first = "return document.querySelector('.warnings .finding-title')?.textContent ?? ''";
    page.until("a wall is too thin", || {
        page.run(first).as_str()?.contains("too thin").then_some(())
    });
    hear_all(&page);
    page.run("document.getElementById('forecast-try-0').focus()");
    page.press("Enter");
    let figures = "return document.querySelector('.warnings li .before-after')?.textContent ?? ''";
    let figures = page.until("changes were tried for this row", || {
        Some(page.run(figures).as_str()?.to_owned()).filter(|text| !text.is_empty())
    });
    assert!(figures.starts_with("Thinnest wall "), "{figures}");
    let walls: Vec<f64> = figures.split(' ').filter_map(|word| word.parse().ok()).collect();
    assert!(walls.len() == 2 && walls[1] > walls[0], "it gets thicker: {figures}");
    let told = page.by_id("forecast-changes").text();
    assert!(told.ends_with("helps.") || told.ends_with("help."), "{told}");
    page.until("that was spoken", || (heard(&page, &told) > 0).then_some(()));
    assert_eq!(heard(&page, &told), 1, "once");
    page.run("document.querySelector('.warnings .way-out button').focus()");
    page.press("Enter");
    page.until("it is taken", || is_stale(&page).then_some(()));
    page.by_role("button", "Undo").click();
    page.until("one step back is all of it", || (!is_stale(&page)).then_some(()));
}

#[test]
fn a_row_says_when_nothing_that_was_tried_helps() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let plan = sample();
    let all = plan.pulls[&PULL].placements.keys().copied().collect();
    let plan = plan.apply(&Edit::Lock(PULL, all, true)).expect("locks");
    open_plan(&page, &plan);
    page.by_id("tab-forecast").click();
    until_fresh(&page);
    let web = "return [...document.querySelectorAll('.warnings li')].findIndex((row) =>
        row.querySelector('.finding-title').textContent.includes('spans between'))";
    let nth = page.run(web).as_u64().expect("the sample has such a gap");
    page.by_id(&format!("forecast-try-{nth}")).click();
    // Found, or the test ends here.
    let _ = page.by_text("No small change that was tried helps.");
    assert_eq!(page.run("return document.querySelector('.warnings .way-out')"), Value::Null);
}

#[test]
fn the_suggested_gauge_is_taken_as_one_step_and_undone() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    page.by_label("Least wall wanted").fill_in("1.2 mm");
    page.press("Enter");
    page.by_selector(".derived + .button").click();
    page.until("another forecast is needed", || is_stale(&page).then_some(()));
    until_fresh(&page);
    let says = page.by_selector(".panel .derived").text();
    assert!(says.starts_with("The sheet chosen is thick enough."), "{says}");
    page.by_role("button", "Undo").click();
    page.until("another forecast is needed", || is_stale(&page).then_some(()));
    until_fresh(&page);
    assert!(page.by_selector(".panel .derived").text().contains("is commonly sold"));
}

/// Keeps what is spoken from now on.
fn hear_all(page: &Page) {
    page.run(
        "window.onepullHeard = [];
         const line = document.querySelector('p[role=status]');
         new MutationObserver(() => window.onepullHeard.push(line.textContent.trim()))
           .observe(line, { childList: true, characterData: true, subtree: true });",
    );
}

/// How often these words were spoken since.
fn heard(page: &Page, words: &str) -> u64 {
    let count = "return window.onepullHeard.filter((said) => said.includes(arguments[0])).length";
    page.run_with(count, vec![json!(words)]).as_u64().expect("a count")
}

/// The page with the forecast's panel open.
fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    page.by_id("tab-forecast").click();
    page
}

fn until_fresh(page: &Page) {
    page.until("the fine forecast is of this layout", || {
        let standing = page.run("return document.querySelector('.forecast-standing')?.textContent");
        let is_fine = standing.as_str()?.starts_with("Of the layout on the board");
        (is_fine && !is_stale(page)).then_some(())
    });
}

fn is_stale(page: &Page) -> bool {
    page.run("return document.querySelector('.forecast-bar').classList.contains('is-stale')")
        == json!(true)
}

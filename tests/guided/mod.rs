//! What the tests of the guide and of the keys both do.

#![allow(dead_code, reason = "each test that shares this file needs a part of it")]

use engine::file::load;
use engine::plan::{PlacementId, Plan, PullId, sample};
use onepull_tests::page::{Browser, Page};
use serde_json::json;

pub(crate) fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    page
}

pub(crate) fn active(page: &Page, property: &str) -> String {
    let script = "return document.activeElement[arguments[0]]";
    page.run_with(script, vec![json!(property)]).as_str().unwrap_or_default().to_owned()
}

/// What the card of the tour says; nothing without one.
pub(crate) fn step(page: &Page) -> String {
    let words = page.run("return document.querySelector('.tour')?.innerText ?? ''");
    words.as_str().unwrap_or_default().to_owned()
}

/// Opens the search and types.
pub(crate) fn search(page: &Page, words: &str) {
    page.press("Control+k");
    page.by_id("search-field").fill_in(words);
}

/// The ids of what is selected on the board.
pub(crate) fn selected(page: &Page) -> Vec<String> {
    let ids = page.run(
        "return [...document.querySelectorAll('.mold.is-selected')].map((mold) => mold.id).sort()",
    );
    serde_json::from_value(ids).unwrap_or_default()
}

pub(crate) fn standing(page: &Page) -> usize {
    page.run("return document.querySelectorAll('#board-drawing .mold').length")
        .as_u64()
        .map_or(0, |n| usize::try_from(n).unwrap_or(0))
}

/// The plan as this browser keeps it, or the sample until something is kept.
pub(crate) fn kept(page: &Page) -> Plan {
    let saved = page.run(
        "const plan = Object.entries(localStorage).find(([key]) => key.startsWith('onepull:plan:'))?.[1] ?? '';
         return plan.slice(plan.indexOf('\\n') + 1)",
    );
    load(saved.as_str().unwrap_or_default()).unwrap_or_else(|_| sample())
}

/// Where the limpet stands, in millimetres, and its turn in degrees.
pub(crate) fn limpet(page: &Page) -> [f64; 3] {
    let pose = kept(page).pulls[&PullId(1)].placements[&PlacementId(2)].pose;
    [pose.at.x, pose.at.y, pose.turn.to_degrees()]
}

pub(crate) fn scale(page: &Page) -> f64 {
    let px = page.run(
        "return Number(document.getElementById('board-drawing').style.getPropertyValue('--px'))",
    );
    1.0 / px.as_f64().unwrap_or(1.0)
}

pub(crate) fn outline_corners(page: &Page) -> u64 {
    page.run("return document.querySelectorAll('.knob').length").as_u64().unwrap_or_default()
}

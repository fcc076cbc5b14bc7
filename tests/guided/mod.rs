//! What the tests of the guide and of the keys both do.

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

//! A hand that takes in files and photographs in the page, and reads what the dialogs say.

use std::path::{Path, PathBuf};

use engine::file::load;
use engine::plan::{Mold, Plan};
use onepull_tests::page::{Browser, Element, Page};
use serde_json::{Value, json};

pub(crate) fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    page
}

pub(crate) fn choose(page: &Page, input: &str, file: &Path) {
    // The browser's own list of files gives the keyboard back to what opened it.
    focus(page, input);
    page.by_id(input).choose_file(file);
}

pub(crate) fn choose_all(page: &Page, input: &str, files: &[PathBuf]) {
    focus(page, input);
    page.by_id(input).choose_files(files);
}

/// Drops a file on the board, as a person does who drags it out of a folder.
pub(crate) fn drop_text(page: &Page, name: &str, text: &str) {
    let script = "const [name, text] = arguments;
        const carried = new DataTransfer();
        carried.items.add(new File([text], name));
        const board = document.getElementById('board');
        for (const kind of ['dragover', 'drop']) {
          board.dispatchEvent(new DragEvent(kind, { bubbles: true, cancelable: true, dataTransfer: carried }));
        }";
    page.run_with(script, vec![json!(name), json!(text)]);
}

pub(crate) fn dialog_words(page: &Page) -> String {
    let words = page.run("return document.querySelector('dialog[open]')?.innerText ?? ''");
    words.as_str().unwrap_or_default().to_owned()
}

pub(crate) fn notice(page: &Page) -> String {
    let words = page.run("return document.querySelector('.notice').innerText");
    words.as_str().unwrap_or_default().to_owned()
}

pub(crate) fn count(page: &Page, selector: &str) -> usize {
    let count = page
        .run_with("return document.querySelectorAll(arguments[0]).length", vec![json!(selector)]);
    count.as_u64().and_then(|count| count.try_into().ok()).unwrap_or_default()
}

pub(crate) fn n_picks(page: &Page) -> usize {
    count(page, "dialog[open] .pick")
}

/// The molds of the plan in the list, those of the shelf left out.
pub(crate) fn n_molds(page: &Page) -> usize {
    count(page, ".panel > .molds > .mold")
}

pub(crate) fn until_found(page: &Page, picks: usize) {
    page.until("what could become molds is listed", || {
        let is_resting = count(page, "dialog[open] progress") == 0;
        (is_resting && n_picks(page) == picks).then_some(())
    });
}

pub(crate) fn until_paper(page: &Page) {
    page.until("the paper is looked for", || {
        (count(page, "#photo-trace") == 1 && count(page, "dialog[open] progress") == 0)
            .then_some(())
    });
    assert!(!dialog_words(page).contains("by hand"), "{}", dialog_words(page));
}

pub(crate) fn until_closed(page: &Page) {
    page.until("the dialog is closed", || (count(page, "dialog[open]") == 0).then_some(()));
}

pub(crate) fn focused(page: &Page) -> String {
    page.run("return document.activeElement.id").as_str().unwrap_or_default().to_owned()
}

pub(crate) fn until_focused(page: &Page, id: &str) {
    page.until(&format!("{id} has the keyboard"), || (focused(page) == id).then_some(()));
}

pub(crate) fn focus(page: &Page, id: &str) {
    page.until(&format!("{id} is there"), || (count(page, &format!("#{id}")) == 1).then_some(()));
    page.run_with("document.getElementById(arguments[0]).focus()", vec![json!(id)]);
    until_focused(page, id);
}

/// Fills in a field of the row of an outline.
pub(crate) fn fill(page: &Page, label: &str, row: usize, text: &str) {
    let script = "const [label, row] = arguments;
        const fields = [...document.querySelectorAll('dialog[open] .pick')[row].querySelectorAll('.field')];
        const field = fields.find((field) => field.querySelector('label').textContent === label);
        return field.querySelector('input').id";
    let id = page.run_with(script, vec![json!(label), json!(row)]);
    page.by_id(id.as_str().expect("the field has an id")).fill_in(text);
    page.press("Enter");
}

/// The button that stands a mesh on the other side.
pub(crate) fn side<'page>(page: &'page Page, up: &str) -> Element<'page> {
    let script = "const all = [...document.querySelectorAll('.side')];
        all.forEach((side, at) => { side.id = `side-${at}`; });
        return all.find((side) => side.textContent.startsWith(arguments[0])).id";
    let id = page.run_with(script, vec![json!(format!("{up} up"))]);
    page.by_id(id.as_str().expect("the side is there"))
}

/// How wide and how high something is drawn.
pub(crate) fn box_of(page: &Page, selector: &str) -> (f64, f64) {
    let script = "const box = document.querySelector(arguments[0]).getBBox();
        return [box.width, box.height]";
    serde_json::from_value(page.run_with(script, vec![json!(selector)])).expect("a box")
}

/// The open plan as the browser keeps it.
pub(crate) fn plan(page: &Page) -> Plan {
    let script = "const last = localStorage.getItem('onepull:last');
        const text = localStorage.getItem('onepull:plan:' + last);
        return text.slice(text.indexOf('\\n') + 1)";
    load(page.run(script).as_str().expect("a kept plan")).expect("a plan")
}

/// The mold of the open plan that was added last.
pub(crate) fn newest(page: &Page) -> Mold {
    let plan = plan(page);
    plan.molds.values().next_back().map(|mold| Mold::clone(mold)).expect("a mold")
}

/// Where a corner of the paper is, in pixels of the photograph.
pub(crate) fn corner(page: &Page, at: usize) -> [f64; 2] {
    let label = page.by_id(&format!("photo-corner-{at}")).attribute("aria-label").expect("a label");
    let words = label.split([' ', ',']).filter_map(|word| word.parse().ok());
    words.collect::<Vec<f64>>().try_into().expect("two places")
}

pub(crate) fn distance([x, y]: [f64; 2], to: [f64; 2]) -> f64 {
    let (dx, dy) = (x - to[0], y - to[1]);
    (dx * dx + dy * dy).sqrt()
}

/// A place of the photograph in the window.
pub(crate) fn in_window(page: &Page, [x, y]: [f64; 2]) -> (f64, f64) {
    let script = "const drawing = document.querySelector('dialog[open] .photo-over');
        const place = new DOMPoint(...arguments).matrixTransform(drawing.getScreenCTM());
        return [place.x, place.y]";
    let place = page.run_with(script, vec![json!(x), json!(y)]);
    serde_json::from_value(place).expect("a place")
}

/// The widths of the outlines listed, in millimetres.
pub(crate) fn widths(page: &Page) -> Vec<f64> {
    let script = "return [...document.querySelectorAll('dialog[open] .pick .panel-note')].map((note) => note.innerText)";
    let notes: Vec<String> = serde_json::from_value(page.run(script)).expect("notes");
    let width = |note: &String| note.split(' ').next().and_then(|first| first.parse().ok());
    notes.iter().filter_map(width).collect()
}

#[track_caller]
pub(crate) fn assert_close(value: f64, truth: f64, within: f64) {
    assert!((value - truth).abs() < within, "{value} is not {truth} within {within}");
}

/// Keeps a mold of the plan on the shelf.
pub(crate) fn keep(page: &Page, mold: u32) {
    page.by_id(&format!("mold-change-{mold}")).click();
    page.by_role("button", "Keep on the shelf").click();
    page.until("it is said", || notice(page).contains("shelf").then_some(()));
    page.by_id(&format!("mold-change-{mold}")).click();
}

/// Waits until these molds are on the shelf, in any order.
pub(crate) fn until_shelf(page: &Page, names: &[&str]) {
    let script = "return [...document.querySelectorAll('.mold-shelf h3')].map((name) => name.textContent).sort()";
    page.until(&format!("{names:?} are on the shelf"), || {
        (page.run(script) == Value::from(names)).then_some(())
    });
}

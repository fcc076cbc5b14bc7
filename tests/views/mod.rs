//! Every view of the page, one after the other, for the tests that hold them all to something.

#![allow(dead_code, reason = "each test that shares this file needs a part of it")]

use onepull_tests::page::Page;
use serde_json::json;

use crate::foreign::{CLAMS, Files, Photograph, dome_stl};

/// The panels, in the order of their tabs.
pub(crate) const PANELS: [&str; 13] = [
    "Molds", "Place", "Arrange", "Batch", "Forecast", "Machine", "Cut", "Heat", "Settings",
    "Print", "Bench", "Share", "Plans",
];

/// Shows one view after the other: each panel as it opens and with what it can unfold, a selection on the board, the
/// help, a notice, what comes in, and the page upright.
pub(crate) fn on_every_view(page: &Page, mut look: impl FnMut(&str)) {
    on_every_panel(page, &mut look);
    page.resize(820, 1180);
    page.by_role("tab", "Molds").click();
    look("upright");
    page.resize(390, 844);
    look("narrow");
    page.resize(1280, 900);
}

/// The same in the window as it is.
pub(crate) fn on_every_panel(page: &Page, look: &mut impl FnMut(&str)) {
    for panel in PANELS {
        dismiss(page);
        page.by_role("tab", panel).click();
        look(panel);
        unfold(page, panel);
        look(&format!("{panel}, unfolded"));
    }
    dismiss(page);
    page.by_role("tab", "Batch").click();
    page.by_label("Limpet").fill_in("1");
    page.press("Enter");
    page.by_role("button", "Add another sheet: plastic, gauge or colour").click();
    page.by_id("batch-begin").click();
    page.until("a batch is planned", || {
        (page.run("return !!document.querySelector('.batch-outcome')") == json!(true)).then_some(())
    });
    look("Batch, planned");
    page.by_role("tab", "Arrange").click();
    page.by_id("arrange-begin").click();
    page.until("a layout is offered", || {
        (page.run("return !!document.getElementById('arrange-accept')") == json!(true))
            .then_some(())
    });
    look("Arrange, a layout offered");
    page.by_role("button", "Put it away").click();
    page.by_role("tab", "Place").click();
    select_limpet(page);
    look("Place, one selected");
    page.by_role("button", "Select all").click();
    look("Place, all selected");
    page.by_role("button", "Undo").click();
    look("a notice");
    page.by_role("button", "Help").click();
    look("Help");
    page.by_role("button", "Close").click();
    on_every_guide(page, look);
    on_every_dialog(page, look);
}

/// Shows reasons and explanations unfolded, the search with hits and without, and each step of the tour.
fn on_every_guide(page: &Page, look: &mut impl FnMut(&str)) {
    page.by_role("tab", "Machine").click();
    page.by_label("Gauge").fill_in("2 mm");
    page.press("Enter");
    page.run(
        "document.querySelectorAll('.more[aria-expanded=false]').forEach((more) => more.click())",
    );
    look("reasons and explanations");
    page.run(
        "document.querySelectorAll('.more[aria-expanded=true]').forEach((more) => more.click())",
    );
    page.by_role("button", "Undo").click();
    dismiss(page);
    page.by_role("button", "Search").click();
    page.by_id("search-field").fill_in("gap");
    look("the search");
    page.by_id("search-field").fill_in("zeppelin");
    look("the search without a hit");
    page.by_role("button", "Close").click();
    page.by_role("button", "Help").click();
    page.by_role("button", "Take the tour in five steps").click();
    for n in 1..=5 {
        look(&format!("step {n} of the tour"));
        page.by_role("button", if n < 5 { "Next" } else { "Done" }).click();
    }
    dismiss(page);
}

/// Shows what is asked about files and photographs that come in.
fn on_every_dialog(page: &Page, look: &mut impl FnMut(&str)) {
    let files = Files::new("views");
    page.by_role("tab", "Molds").click();
    for (view, name, bytes, shown) in [
        ("a drawing", "clams.svg", CLAMS.as_bytes().to_vec(), ".pick"),
        ("a mesh", "rock.stl", dome_stl(12), ".side"),
        ("a file that cannot be read", "empty.svg", Vec::new(), ".warning:not([hidden])"),
    ] {
        page.by_id("molds-from-file").choose_file(&files.write(name, bytes));
        until_shown(page, shown);
        look(view);
        page.by_role("button", "Close").click();
    }
    let photo = files.write("crab.png", Photograph::new(1).png());
    page.by_id("molds-from-photo").choose_file(&photo);
    until_shown(page, "#photo-trace");
    page.run("document.getElementById('photo-corner-0').focus()");
    look("a photograph and its corners");
    page.by_id("photo-trace").click();
    until_shown(page, "#photo-add");
    page.by_id("photo-brush").click();
    until_shown(page, ".brush-row select");
    look("a photograph traced");
    page.by_role("button", "Close").click();
}

/// Waits until something shows in a dialog and nothing is being worked at.
fn until_shown(page: &Page, selector: &str) {
    let script = "return !!document.querySelector('dialog[open] ' + arguments[0])
        && !document.querySelector('dialog[open] progress')";
    page.until(&format!("`{selector}` shows"), || {
        (page.run_with(script, vec![json!(selector)]) == json!(true)).then_some(())
    });
}

/// Opens what a panel keeps folded.
fn unfold(page: &Page, panel: &str) {
    match panel {
        "Forecast" => {
            page.until("there is a forecast", || {
                (page.run("return !!document.querySelector('.forecast-map')") == json!(true))
                    .then_some(())
            });
            page.by_id("forecast-section-on").click();
            page.by_id("forecast-probe").click();
        }
        "Cut" => {
            page.by_role("button", "Add the offcut").click();
            dismiss(page);
            page.by_role("button", "Look").click();
            page.until("the map of sizes", || {
                (page.run("return !!document.querySelector('.peaks li')") == json!(true))
                    .then_some(())
            });
        }
        "Molds" => {
            page.by_id("mold-change-1").click();
            page.by_role("button", "Keep on the shelf").click();
            dismiss(page);
            page.by_role("button", "Rename Limpet").click();
        }
        "Bench" => {
            page.by_id("bench-start").click();
            page.by_id("bench-drawn").click();
            page.by_role("button", "Web").click();
            page.by_id("bench-log").click();
            dismiss(page);
            page.by_id("bench-note").click();
            page.by_role("button", "Thin").click();
        }
        "Print" => {
            page.by_role("checkbox", "Locating corners to cut out").click();
            page.by_role("button", "Add a printer").click();
        }
        "Share" => page.by_role("button", "Make the link").click(),
        _ => {
            page.run(
                "for (const fold of document.querySelectorAll('.panel details')) fold.open = true",
            );
        }
    }
}

/// Puts away what was said last: in a small window it lies over what is to be pressed next.
fn dismiss(page: &Page) {
    let is_there = "return !!document.querySelector('.notice:not(.notice-none)')";
    if page.run(is_there) == json!(true) {
        page.by_role("button", "Dismiss").click();
    }
}

/// Selects the limpet, if it is not, in the list of what stands on the blank.
pub(crate) fn select_limpet(page: &Page) {
    page.by_role("tab", "Place").click();
    if page.by_selector("#mold-2").attribute("aria-pressed").as_deref() != Some("true") {
        page.by_id("standing-2").click();
    }
}

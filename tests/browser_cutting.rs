//! Sheets are cut into blanks on the page: counted, drawn, printed, a better blank taken; and the heat is told.

mod hand;

use std::sync::Arc;

use engine::file::{load, save};
use engine::plan::{CuttingHabits, Offcut, Plan, Size, sample};
use engine::units::{Length, LengthStyle};
use onepull_tests::pace::keeps_pace;
use onepull_tests::page::{Browser, Page};
use serde_json::json;

use hand::open_plan;

// 24 blanks of 12 x 16 in are a sheet of 48 x 96 in (common practice), so 50 are three sheets.
#[test]
fn blanks_are_counted_drawn_printed_and_offcuts_kept() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.until("a whole sheet", || {
        says(&page, ".cut-summary", "24 blanks of 12 x 16 in out of 1 whole sheet, 100 % used")
            .then_some(())
    });
    assert_eq!(count(&page, ".cut-pattern text.pic-words"), 24, "every blank has its number");
    page.by_label("Blanks wanted").fill_in("50");
    page.press("Enter");
    page.until("three sheets", || {
        says(&page, ".cut-summary", "Whole sheets to buy: 3").then_some(())
    });
    assert!(count(&page, ".cut-pattern") == 2, "two alike, and one of which little is wanted");
    page.by_label("Blanks wanted").fill_in("many");
    page.press("Enter");
    page.until("what would work is said", || says(&page, ".panel", "whole number").then_some(()));
    page.press("Escape");
    page.by_role("button", "I have cut it: keep what is left").click();
    page.until("offcuts are kept", || (count(&page, ".offcuts li") > 0).then_some(()));
    page.by_role("button", "Undo").click();
    page.until("in one step", || (count(&page, ".offcuts li") == 0).then_some(()));
    page.by_role("button", "Print the cut list").click();
    page.by_role("button", "Download cut list").click();
    let name = page.until("a download", || page.download_names().into_iter().next());
    assert!(name.contains("cut list") && page.downloaded(&name).starts_with(b"%PDF-"), "{name}");
    assert!(page.console().is_empty(), "{:#?}", page.console());
}

/// What the slow work takes for usual jobs, a fine one, and the most sizes that may be named at once.
#[test]
fn a_cutting_plan_is_told_at_once() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let many = "8 x 10 in * 6; 5 1/2 x 7 in * 20; 11 x 17 in * 4; 9 x 13 in * 8; 10 x 10 in * 5; 6 x 18 in * 7; \
                14 x 15 in * 3; 7 x 9 in * 12; 4 x 21 in * 6; 13 x 19 in * 2; 5 x 5 in * 30";
    let usual = "8 x 10 in * 6; 24 x 24 in * 6";
    for (what, blank, (wanted, n_offcuts), further) in [
        ("12 x 16 in", (12.0, 16.0), (None, 0), ""),
        ("1000 of 15 1/4 x 20 1/2 in, three offcuts", (15.25, 20.5), (Some(1000), 3), ""),
        ("2.1 x 2.3 in", (2.1, 2.3), (None, 0), ""),
        ("three sizes", (12.0, 16.0), (Some(30), 1), usual),
        ("twelve sizes", (12.0, 16.0), (Some(30), 1), many),
    ] {
        let plan = to_cut(blank, wanted, n_offcuts);
        let ask =
            json!({ "job": 1, "ask": { "cut": { "plan": save(&plan), "further": further } } });
        let best = (0..3).map(|_| answered(&page, &ask.to_string())).fold(f64::INFINITY, f64::min);
        keeps_pace(&format!("a cutting plan for {what}"), best, 200.0, "ms");
    }
}

/// The sample on this blank in inches, with so many wanted and so many offcuts of 20 x 30 in.
fn to_cut((width, depth): (f64, f64), wanted: Option<u32>, n_offcuts: u32) -> Plan {
    let size = |width, depth| Size::new(Length::inches(width), Length::inches(depth));
    let offcut = Offcut { size: size(20.0, 30.0), count: n_offcuts, stock: None };
    let mut plan = sample();
    plan.machine.blank = size(width, depth);
    plan.cutting = Arc::new(CuttingHabits {
        blanks_wanted: wanted,
        offcuts: [offcut].into_iter().filter(|offcut| offcut.count > 0).collect(),
        ..CuttingHabits::default()
    });
    plan
}

/// How long the slow work takes over a request that it can answer, in milliseconds.
fn answered(page: &Page, request: &str) -> f64 {
    let run = "const [request] = arguments;
        return (async () => {
          const glue = await import(new URL('works.js', document.baseURI));
          const { worksModule } = await import(new URL('modules.js', document.baseURI));
          await glue.default({ module_or_path: await worksModule() });
          const began = performance.now();
          const [words] = glue.handle_message(request, new Uint8Array());
          if (!JSON.parse(words).answer.told) throw new Error(words.slice(0, 300));
          return performance.now() - began;
        })()";
    page.run_with(run, vec![json!(request)]).as_f64().expect("milliseconds")
}

#[test]
fn a_saw_takes_its_kerf_and_an_offcut_goes_first() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_role("radio", "Saw").click();
    // A kerf of 1/8 in leaves room for three blanks across instead of four.
    page.until("fewer than 24", || {
        (says(&page, ".cut-summary", " blanks of 12 x 16 in out of 1 whole sheet")
            && !says(&page, ".cut-summary", "24 blanks"))
        .then_some(())
    });
    page.by_label("Blanks wanted").fill_in("2");
    page.press("Enter");
    page.by_label("Offcut width").fill_in("30 in");
    page.press("Enter");
    page.by_label("Offcut depth").fill_in("40 in");
    page.press("Enter");
    page.by_role("button", "Add the offcut").click();
    page.until("it is used", || {
        says(&page, ".cut-summary", "2 blanks of 12 x 16 in out of 1 offcut").then_some(())
    });
    page.by_role("button", "Remove the offcut of 30 in x 40 in").click();
    page.until("a sheet again", || says(&page, ".cut-summary", "1 whole sheet").then_some(()));
    let focused = page.run("return document.activeElement.id");
    assert_eq!(focused, "offcut-add");
}

// 12 of 12 x 16 in and 6 of 16 x 24 in are a sheet of 48 x 96 in each half.
#[test]
fn further_blanks_share_the_sheets_and_are_there_after_the_panel_was_left() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_label("Blanks wanted").fill_in("12");
    page.press("Enter");
    page.by_label("Further blanks").fill_in("16 x 24 in * 6");
    page.press("Enter");
    let both =
        "A: 12 blanks of 12 x 16 in, B: 6 blanks of 16 x 24 in out of 1 whole sheet, 100 % used";
    page.until("both sizes", || says(&page, ".cut-summary", both).then_some(()));
    assert!(says(&page, ".cut-pattern h3", "12 A, 6 B"), "the pattern says what it gives");
    page.by_label("Further blanks").fill_in("16 by 24");
    page.press("Enter");
    page.until("what is amiss", || says(&page, ".panel", "is no size with a count").then_some(()));
    page.by_label("Further blanks").fill_in("16 x 24 in * 6");
    page.press("Enter");
    page.until("both again", || says(&page, ".cut-summary", both).then_some(()));
    page.by_role("button", "Print the cut list").click();
    page.by_role("button", "Download cut list").click();
    let name = page.until("a download", || page.download_names().into_iter().next());
    assert!(page.downloaded(&name).starts_with(b"%PDF-"), "{name}");
    assert!(page.console().is_empty(), "{:#?}", page.console());
}

#[test]
fn a_size_that_wastes_least_is_taken_as_the_blank_in_one_step() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_role("button", "Look").click();
    page.until("the map", || (count(&page, ".peaks li") > 3).then_some(()));
    assert!(count(&page, "path.pic-peak") > 3, "the peaks are ringed");
    assert!(says(&page, ".panel", "Your blank of 12 x 16 in: 24 of a sheet, 100 % used."));
    page.by_role("button", "Take 16 x 24 in as the blank").click();
    page.until("it is the blank", || {
        says(&page, ".cut-summary", "12 blanks of 16 x 24 in").then_some(())
    });
    page.by_role("button", "Undo").click();
    page.until("one step back", || {
        says(&page, ".cut-summary", "24 blanks of 12 x 16 in").then_some(())
    });
}

#[test]
fn the_heat_is_told_as_ranges_that_follow_the_heater() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_role("tab", "Heat").click();
    page.until("ranges", || says(&page, ".heat-times", " to ").then_some(()));
    assert!(says(&page, ".heat-watch", "Watch the sag, not the clock"));
    let before = page.by_selector(".heat-times").text();
    page.by_role("radio", "Both sides").click();
    page.until("other times", || (page.by_selector(".heat-times").text() != before).then_some(()));
    page.by_label("At most").fill_in("500");
    page.press("Enter");
    page.until("what would work is said", || says(&page, ".panel", "0.1 to 120 kW").then_some(()));
}

/// The sample for a sheet of 48 x 96 in and a blank of 12 x 16 in, the cutting panel open.
fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    let mut plan = sample();
    plan.settings.lengths = LengthStyle::FractionInches;
    plan.stock.sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
    plan.machine.blank = Size::new(Length::inches(12.0), Length::inches(16.0));
    plan.machine.platen = plan.machine.opening();
    let plan = load(&save(&plan)).expect("a plan");
    open_plan(&page, &plan);
    page.by_role("tab", "Cut").click();
    page
}

fn says(page: &Page, selector: &str, words: &str) -> bool {
    let script = "const found = document.querySelector(arguments[0]);
        return found ? found.textContent : ''";
    let text = page.run_with(script, vec![selector.into()]);
    text.as_str().is_some_and(|text| text.replace('\u{a0}', " ").contains(words))
}

fn count(page: &Page, selector: &str) -> u64 {
    let script = "return document.querySelectorAll(arguments[0]).length";
    page.run_with(script, vec![selector.into()]).as_u64().unwrap_or_default()
}

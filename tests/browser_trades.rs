//! Files for machines and a corrected printer, in a real browser.

use std::collections::BTreeSet;

use dxf::enums::Units;
use onepull_tests::page::{Browser, Page};
use serde_json::json;

/// Presses a button and gives the file that comes of it, with its name.
fn file_of(page: &Page, button: &str) -> (String, Vec<u8>) {
    let before: BTreeSet<String> = page.download_names();
    page.by_role("button", button).click();
    let name = page.until("a new download", || {
        let names = page.download_names();
        names.difference(&before).next().cloned()
    });
    let bytes = page.downloaded(&name);
    (name, bytes)
}

#[test]
fn a_pull_goes_to_a_cutter_as_dxf_and_as_hairlines() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    page.by_role("tab", "Print").click();
    page.by_role("checkbox", "Locating corners to cut out").click();
    let (name, bytes) = file_of(&page, "Download DXF");
    assert!(name.ends_with("outlines.dxf"), "{name}");
    let read = dxf::Drawing::load(&mut bytes.as_slice()).expect("a DXF");
    assert_eq!(read.header.default_drawing_units, Units::Millimeters);
    let on = |layer: &str| read.entities().filter(|e| e.common.layer == layer).count();
    // The sample has six molds on the blank.
    assert_eq!(on("MOLD"), 6);
    assert!(on("CORNER") >= 12, "{}", on("CORNER"));
    let (name, bytes) = file_of(&page, "Download cutter SVG");
    assert!(name.ends_with("cutter.svg"), "{name}");
    let text = String::from_utf8(bytes).expect("text");
    assert_eq!(text.matches("<path").count(), 6, "{text}");
}

#[test]
fn a_printer_is_corrected_by_its_bars_and_remembered() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    page.by_role("tab", "Print").click();
    page.by_role("button", "Add a printer").click();
    let name = "Shed <b>printer</b>";
    page.by_label("Name of the printer").fill_in(name);
    page.press("Enter");
    page.by_label("Bar along the paper").fill_in("90 mm");
    page.press("Enter");
    page.until("what is off is said, with what to do", || {
        let text = page.by_selector("body").text();
        text.contains("90.0 mm where 100.0 mm was printed").then_some(())?;
        text.contains("print at 100 % (actual size) and measure again").then_some(())
    });
    page.by_label("Bar along the paper").fill_in("3.95 in");
    page.press("Enter");
    page.by_label("Bar across the paper").fill_in("99.6");
    page.press("Enter");
    page.by_role("button", "Keep this printer").click();
    until_chosen(&page, name);
    page.reload();
    page.by_role("tab", "Print").click();
    until_chosen(&page, name);
    assert_corrected(&page, name, true);
    page.by_role("button", "Remove this printer").click();
    until_chosen(&page, "Not corrected");
    assert_corrected(&page, name, false);
    page.reload();
    page.by_role("tab", "Print").click();
    until_chosen(&page, "Not corrected");
}

fn until_chosen(page: &Page, name: &str) {
    let chosen = "return [...document.querySelectorAll('select')]
        .map((list) => list.selectedOptions[0]?.textContent)";
    page.until("the printer is chosen", || {
        let chosen = page.run(chosen);
        chosen.as_array()?.contains(&json!(name)).then_some(())
    });
    assert_eq!(page.run("return document.querySelectorAll('main b').length"), json!(0));
}

/// Waits until the SVG of the template says, or does not say, that it is corrected for the printer.
fn assert_corrected(page: &Page, name: &str, is_corrected: bool) {
    page.by_role("button", "Download SVG").click();
    let words = format!("orrected for {name}: x 1.00");
    // The browser writes a file of the same name over the one before.
    page.until("the template is the one that is asked for", || {
        let text =
            String::from_utf8(page.downloaded("Tide-pool kit- Pull 1- template.svg")).ok()?;
        let document = roxmltree::Document::parse(&text).ok()?;
        let lines = document.descendants().filter(|node| node.has_tag_name("text"));
        let mut lines = lines.map(|node| node.text().unwrap_or_default());
        (lines.any(|line| line.contains(&words)) == is_corrected).then_some(())
    });
}

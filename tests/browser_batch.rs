//! The page plans a batch: kits typed, planned, put in the plan as one step, saved as a table.

use onepull_tests::page::{Browser, Page};
use serde_json::json;

#[test]
fn twenty_kits_are_planned_put_in_the_plan_and_undone_as_one_step() {
    let browser = Browser::start();
    let page = opened(&browser);
    let plan = page.by_role("button", "Plan the batch");
    assert_eq!(plan.attribute("aria-disabled").as_deref(), Some("true"), "nothing is wanted yet");
    field(&page, "Kits", "20");
    field(&page, "Limpet", "1");
    field(&page, "Starfish", "2");
    plan.click();
    page.until("it is planned", || outcome(&page).contains("pulls").then_some(()));
    // One limpet and one starfish mold: two starfish a kit take 40 pulls, and that is proved by the one mold.
    let told = outcome(&page);
    assert!(told.contains("40 pulls of one layout; no way takes fewer pulls"), "{told}");
    assert!(told.contains("40 of Starfish are wanted, and 1 can stand in a pull"), "{told}");
    assert!(told.contains("One more Starfish mold (2 in all) saves 20 of 40 pulls."), "{told}");
    // 59.50 a sheet of 24 blanks.
    assert!(told.contains("119.00, 5.95 a kit"), "{told}");
    let pulls = pulls(&page);
    page.by_role("button", "Put these layouts in the plan").click();
    page.until("there is one more pull", || (self::pulls(&page) == pulls + 1).then_some(()));
    page.by_role("button", "Undo").click();
    page.until("one step back is all of it", || (self::pulls(&page) == pulls).then_some(()));
    page.until("it is told that figures may not hold", || {
        outcome(&page).contains("The plan has changed since").then_some(())
    });
    page.by_role("button", "Save as a table (CSV)").click();
    let table = page.downloaded("Tide-pool kit batch.csv");
    let table = String::from_utf8(table).expect("text");
    assert!(table.starts_with("Kind,Name,Detail,Amount,Unit\r\n"), "{table}");
    assert!(table.contains("\r\nPart,Starfish,40 wanted,40,parts\r\n"), "{table}");
    assert_eq!(page.console(), Vec::<String>::new());
}

#[test]
fn another_sheet_has_pulls_of_its_own_and_is_kept_with_the_plan() {
    let browser = Browser::start();
    let page = opened(&browser);
    field(&page, "Kits", "6");
    field(&page, "Limpet", "1");
    field(&page, "Starfish", "1");
    page.by_role("button", "Add another sheet: plastic, gauge or colour").click();
    field(&page, "Colour", "Red");
    page.until("the sheet is named", || {
        page.run("return [...document.querySelectorAll('legend')].map(e => e.textContent).join()")
            .to_string()
            .contains("HIPS, Red")
            .then_some(())
    });
    let chosen = "const list = [...document.querySelectorAll('select')].find(s => \
        document.querySelector(`label[for='${s.id}']`).textContent === 'Sheet of Starfish'); \
        list.selectedIndex = 1; list.dispatchEvent(new Event('change', {bubbles: true})); return true";
    assert_eq!(page.run(chosen), json!(true));
    page.by_role("button", "Plan the batch").click();
    page.until("it is planned", || outcome(&page).contains("pulls").then_some(()));
    let told = outcome(&page);
    assert!(told.contains("12 pulls of 2 layouts; no way takes fewer pulls"), "{told}");
    assert!(told.contains("Batch 2, Red") || told.contains("Batch 1, Red"), "{told}");
    page.reload();
    page.by_role("tab", "Batch").click();
    assert_eq!(page.by_label("Kits").value(), "6");
    assert_eq!(page.by_label("Colour").value(), "Red");
    field(&page, "Kits", "0");
    page.until("no kit at all is refused", || {
        page.by_selector(".panel").text().contains("0 kits are outside 1 to 10000").then_some(())
    });
}

fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    page.by_role("tab", "Batch").click();
    page
}

/// Types into a field and leaves it.
fn field(page: &Page, label: &str, text: &str) {
    page.by_label(label).fill_in(text);
    page.press("Enter");
}

fn outcome(page: &Page) -> String {
    let text = "return document.querySelector('.batch-outcome')?.innerText ?? ''";
    page.run(text).as_str().unwrap_or_default().to_owned()
}

/// The pulls to choose from at the head of the page.
fn pulls(page: &Page) -> usize {
    let options = "return [...document.querySelectorAll('select')].map(list => [...list.options])\
        .find(options => options.some(option => option.text === 'Pull 1')).length";
    page.run(options).as_u64().and_then(|n| usize::try_from(n).ok()).unwrap_or(0)
}

//! The page plans a batch: kits typed, planned, put in the plan as one step, saved as a table; each pull keeps its sheet,
//! and its turn.

mod hand;

use std::time::Instant;

use engine::edit::Edit;
use engine::geometry::{Point, Ring, Vec2};
use engine::plan::{Batch, Footprint, Machine, Mold, MoldId, PartWanted, Plan, Size, Turns};
use engine::units::{Angle, Length};
use onepull_tests::pace::keeps_pace;
use onepull_tests::page::{Browser, Page};
use serde_json::json;

use hand::open_plan;

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

// A layout for PVC in a plan of HIPS was once printed and logged as HIPS.
#[test]
fn a_pull_in_another_plastic_is_shown_printed_and_timed_as_that_plastic() {
    let browser = Browser::start();
    let page = opened(&browser);
    field(&page, "Kits", "6");
    field(&page, "Limpet", "1");
    field(&page, "Starfish", "1");
    page.by_role("button", "Add another sheet: plastic, gauge or colour").click();
    field(&page, "Colour", "Red");
    choose(&page, "Plastic", "PVC, rigid");
    choose(&page, "Sheet of Starfish", "PVC, rigid, Red");
    page.by_role("button", "Plan the batch").click();
    page.until("it is planned", || outcome(&page).contains("12 pulls of 2 layouts").then_some(()));
    page.by_role("button", "Put these layouts in the plan").click();
    page.by_role("button", "Batch 1, Red").click();
    page.by_role("tab", "Place").click();
    page.until("the sheet of the pull stands with it", || {
        (chosen(&page, "Sheet of this pull") == "PVC, rigid, Red").then_some(())
    });
    page.by_role("tab", "Bench").click();
    page.until("the timer is for that sheet", || {
        page.by_selector(".bench-what").text().contains("PVC, rigid 1.5 mm").then_some(())
    });
    // The card is made of what the browser keeps, so a tab that has died has it too.
    page.reload();
    choose(&page, "Pull", "Batch 1, Red");
    let card = card(&page);
    for words in ["PVC, rigid, 1.52 mm, Red", "acid gas", "Batch 1, Red, 6 times", "(this card)"] {
        assert!(card.contains(words), "{words}: {card}");
    }
    // A sheet that a pull is formed in is not taken away under it.
    page.by_role("tab", "Batch").click();
    page.by_role("button", "Remove this sheet").click();
    page.until("it says which pull", || {
        page.by_selector(".notice")
            .text()
            .contains("Batch 1, Red is formed in this sheet")
            .then_some(())
    });
    page.by_role("tab", "Place").click();
    choose(&page, "Sheet of this pull", "The stock sheet");
    page.by_role("tab", "Bench").click();
    page.until("the timer follows", || {
        page.by_selector(".bench-what").text().contains("HIPS 1.5 mm").then_some(())
    });
}

#[test]
fn blanks_for_a_batch_are_asked_for_by_a_button() {
    let browser = Browser::start();
    let page = opened(&browser);
    field(&page, "Kits", "50");
    field(&page, "Limpet", "1");
    page.by_role("button", "Plan the batch").click();
    page.until("it is planned", || outcome(&page).contains("50 pulls").then_some(()));
    page.by_role("button", "Cut the blanks for this batch").click();
    page.until("the cutting is of so many", || {
        page.by_selector(".cut-summary").text().contains("50 blanks of").then_some(())
    });
    assert_eq!(page.by_label("Blanks wanted").value(), "50");
    page.by_role("tab", "Batch").click();
    assert!(!outcome(&page).contains("The plan has changed since"), "{}", outcome(&page));
    page.by_role("button", "Put these layouts in the plan").click();
    for what in ["the layouts are", "the blanks are"] {
        let before = pulls(&page);
        page.by_role("button", "Undo").click();
        page.until(what, || (pulls(&page) <= before).then_some(()));
    }
    page.by_role("tab", "Cut").click();
    page.until("two steps back nothing is wanted", || {
        page.by_label("Blanks wanted").value().is_empty().then_some(())
    });
}

#[test]
fn spares_and_times_are_typed_and_priced_by_the_kit() {
    let browser = Browser::start();
    let page = opened(&browser);
    field(&page, "Kits", "50");
    field(&page, "Spares, percent", "10");
    field(&page, "Limpet", "1");
    page.by_selector("summary").click();
    let times =
        [("Load", "60"), ("Heat", "1:30"), ("Draw", "15"), ("Cool", "45"), ("Unload", "30")];
    for (step, time) in times.into_iter().chain([("Change of layout", "300")]) {
        field(&page, &format!("{step}, seconds"), time);
    }
    field(&page, "An hour at the bench", "20");
    page.by_role("button", "Plan the batch").click();
    page.until("it is planned", || outcome(&page).contains("pulls").then_some(()));
    // 55 pulls of 240 s and one change of layout are 13,500 s, 270 s a kit; three sheets at 59.50.
    let told = outcome(&page);
    for words in [
        "55 pulls of one layout",
        "4 min: load 60 s, heat 90 s, draw 15 s, cool 45 s, unload 30 s",
        "3 h 45 min",
        "4 min 30 s",
        "75.00, 1.50 a kit",
        "253.50, 5.07 a kit",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    field(&page, "Load, seconds", "soon");
    page.until("what is no time is refused", || {
        page.by_selector(".panel").text().contains("\"soon\" is not a time").then_some(())
    });
}

// Forty kits of six parts with spares and all bottlenecks, as `cargo bench --bench batch` plans them.
#[test]
fn six_parts_for_forty_kits_take_under_ten_seconds_and_show_how_far_they_are() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    open_plan(&page, &six_parts());
    page.by_role("tab", "Batch").click();
    page.run(
        "globalThis.told = new Set();
         new MutationObserver(() => {
             const said = document.querySelector('#batch-end.progress')?.innerText;
             if (said) told.add(said);
         }).observe(document.body, { subtree: true, childList: true, characterData: true });",
    );
    let begun = Instant::now();
    page.by_role("button", "Plan the batch").click();
    page.until("it is planned", || outcome(&page).contains(" layouts").then_some(()));
    keeps_pace("six parts for forty kits", begun.elapsed().as_secs_f64(), 10.0, "s");
    let told = page.run("return [...told]");
    let told: Vec<String> = serde_json::from_value(told).expect("words");
    assert!(told.len() >= 2, "{told:?}");
    assert!(told.iter().any(|words| words.contains("pulls so far; at least")), "{told:?}");
    let outcome = outcome(&page);
    assert!(
        outcome.contains("pulls were found") || outcome.contains("are the fewest"),
        "{outcome}"
    );
    assert!(outcome.contains("fewer than") && outcome.contains(" layouts"), "{outcome}");
}

/// Six molds of 60 corners, of which about half share a blank of 440 x 330 mm, one or two copies each.
fn six_parts() -> Plan {
    let blank = Size::new(Length::mm(440.0), Length::mm(330.0));
    let mut plan =
        Plan::new("Six parts", Machine::with_lip(blank, Length::mm(15.0), Length::mm(150.0)));
    let mut batch = Batch { kits: 40, spares_percent: 5, ..Batch::default() };
    for n in 0..6 {
        let outer = (0..60_u32).map(|corner| {
            let turn = Angle::degrees(f64::from(corner) * 6.0);
            let lobes = Angle::radians(turn.to_radians() * f64::from(2 + n % 4));
            let reach = 42.0 + 8.0 * lobes.cos() + f64::from(n % 3) * 6.0;
            Point::ORIGIN + Vec2::new(turn.cos() * reach * 1.15, turn.sin() * reach * 0.9)
        });
        let footprint = Footprint::Outline { outer: Ring::new(outer.collect()), holes: vec![] };
        let turns = [Turns::Free, Turns::Quarter, Turns::Fixed][n as usize % 3];
        let height = Length::mm(14.0 + 3.0 * f64::from(n));
        let mold = Mold { turns, copies: 1 + n % 2, ..Mold::new("Starfish", footprint, height) };
        plan = plan.apply(&Edit::AddMold(MoldId(n + 1), Box::new(mold))).expect("fits");
        batch.wanted.insert(MoldId(n + 1), PartWanted { per_kit: 1 + n % 3, stock: None });
    }
    plan.apply(&Edit::SetBatch(Box::new(batch))).expect("fits")
}

/// Chooses an entry of a list by the words of both.
fn choose(page: &Page, label: &str, entry: &str) {
    let script = LIST.to_owned()
        + "const at = [...list.options].findIndex(option => option.text === arguments[1]);
           if (at < 0) return false;
           list.selectedIndex = at;
           list.dispatchEvent(new Event('change', {bubbles: true}));
           return true";
    page.until(&format!("`{entry}` is chosen of `{label}`"), || {
        (page.run_with(&script, vec![json!(label), json!(entry)]) == json!(true)).then_some(())
    });
}

/// The entry that is chosen of a list.
fn chosen(page: &Page, label: &str) -> String {
    let script = LIST.to_owned() + "return list.options[list.selectedIndex]?.text ?? ''";
    let entry = page.run_with(&script, vec![json!(label)]);
    entry.as_str().unwrap_or_default().to_owned()
}

/// Finds the list of the first argument's name.
const LIST: &str = "const list = [...document.querySelectorAll('select')].find(list =>
    document.querySelector(`label[for='${list.id}']`)?.textContent === arguments[0]);
    if (!list) return false;";

/// The words of the bench card of the pull on the board.
fn card(page: &Page) -> String {
    page.by_role("tab", "Print").click();
    page.by_role("button", "Download bench card").click();
    let name = page.until("the card is downloaded", || {
        let is_card = |name: &String| name.contains("bench card") && name.ends_with(".pdf");
        page.download_names().into_iter().find(is_card)
    });
    let pdf = lopdf::Document::load_mem(&page.downloaded(&name)).expect("a PDF");
    let pages: Vec<u32> = pdf.get_pages().keys().copied().collect();
    assert!(pages.len() <= 2, "{pages:?}");
    pdf.extract_text(&pages).expect("words").split_whitespace().collect::<Vec<_>>().join(" ")
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

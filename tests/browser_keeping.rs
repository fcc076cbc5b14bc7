//! The plan outlives what goes wrong around the page: storage full or denied, another tab, a clock set back, and a program
//! that breaks off.

mod foreign;

use std::fmt::Write as _;

use engine::file::{load, save};
use engine::plan::{Plan, sample};
use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use foreign::{Files, Photograph};

/// Takes all the room that the browser lends, to the last character.
const FILL: &str = "for (let n = 1 << 22, at = 0; n >= 1; ) {
    try { localStorage.setItem(`junk-${at}`, 'x'.repeat(n)); at++; } catch { n >>= 1; }
  }";

/// Gives the room back.
const CLEAR: &str = "for (const key of Object.keys(localStorage)) if (key.startsWith('junk')) localStorage.removeItem(key)";

/// A browser that lends no storage at all, and says so by throwing at whoever asks.
const DENY: &str = "const deny = { get() { throw new DOMException('denied', 'SecurityError'); } };
  for (const name of ['localStorage', 'indexedDB', 'caches']) Object.defineProperty(window, name, deny);
  Object.defineProperty(navigator, 'serviceWorker', { value: {
    register: async () => { throw new DOMException('denied', 'SecurityError'); },
    getRegistration: async () => { throw new DOMException('denied', 'SecurityError'); },
  } });";

#[test]
fn when_the_storage_is_full_the_page_says_so_keeps_the_plan_and_hands_it_over() {
    let browser = Browser::start();
    let page = with_rock_pool(&browser);
    page.run(FILL);
    let long = "Rock pool with far more words than before";
    rename(&page, long);
    until_notice(&page, "storage for this page is full. Save the plan as a file to be safe.");
    assert_eq!(page.by_label("Plan").value(), long, "the plan is still there");
    assert_eq!(stored(&page).map(|plan| plan.name).as_deref(), Some("Rock pool"));
    page.by_role("button", "Save as a file").click();
    let file = page.downloaded(&format!("{long}.onepull.json"));
    assert_eq!(loaded(&file).name, long);
    // What was refused is brought again with the next change, once there is room.
    page.run(CLEAR);
    rename(&page, "Rock pool again");
    until_saved(&page);
    page.reload();
    assert_eq!(page.by_label("Plan").value(), "Rock pool again");
}

#[test]
fn an_undone_change_that_had_no_room_is_not_taken_for_kept() {
    let browser = Browser::start();
    let page = with_rock_pool(&browser);
    page.run(FILL);
    rename(&page, "Rock pool with far more words than before");
    until_notice(&page, "is full");
    page.by_role("button", "Undo").click();
    until_saved(&page);
    page.reload();
    assert_eq!(page.by_label("Plan").value(), "Rock pool");
    page.run(CLEAR);
}

#[test]
fn where_storage_is_denied_everything_works_and_goes_out_as_a_file() {
    let (files, browser) = (Files::new("denied"), Browser::start());
    let page = opened(&browser, DENY);
    rename(&page, "Rock pool");
    until_notice(&page, "this browser keeps nothing for this page. Save the plan as a file");
    page.by_role("button", "Undo").click();
    page.by_role("button", "Redo").click();
    page.by_role("tab", "Plans").click();
    assert!(page.by_selector(".plans").text().contains("Rock pool"), "the shelf works meanwhile");
    page.by_role("button", "Save this plan as a file").click();
    assert_eq!(loaded(&page.downloaded("Rock pool.onepull.json")).name, "Rock pool");
    // A pull at the bench goes on as well, and says what it is worth.
    page.by_role("tab", "Bench").click();
    page.by_id("bench-start").click();
    until_notice(&page, "This pull is kept only until the page is closed");
    page.by_id("bench-drawn").click();
    page.by_id("bench-cooled").click();
    page.by_id("bench-photo").choose_file(&files.write("crab.png", Photograph::new(2).png()));
    until_notice(&page, "crab.png was not kept");
    page.reload();
    assert_eq!(page.by_label("Plan").value(), sample().name, "nothing was promised");
}

#[test]
fn storage_that_is_emptied_under_the_open_page_is_filled_again_by_the_next_change() {
    let browser = Browser::start();
    let page = with_rock_pool(&browser);
    page.run("localStorage.clear()");
    rename(&page, "Rock pool 2");
    until_saved(&page);
    page.reload();
    assert_eq!(page.by_label("Plan").value(), "Rock pool 2");
}

#[test]
fn a_clock_that_was_set_back_loses_no_plan_and_opens_the_newest() {
    let browser = Browser::start();
    let page = with_rock_pool(&browser);
    page.open_tab();
    page.before_load("const now = Date.now; Date.now = () => now() - 3.2e10;");
    page.open("?nosw");
    assert_eq!(page.by_label("Plan").value(), "Rock pool", "saved in what is the future now");
    rename(&page, "Rock pool a year before");
    until_saved(&page);
    page.reload();
    assert_eq!(page.by_label("Plan").value(), "Rock pool a year before");
    page.by_role("tab", "Plans").click();
    page.by_role("button", "Start a new plan").click();
    page.until("it is open", || (page.by_label("Plan").value() == "New plan").then_some(()));
    page.reload();
    assert_eq!(page.by_label("Plan").value(), "New plan", "the last opened, not the last by date");
    page.by_role("tab", "Plans").click();
    let plans = page.by_selector(".plans").text();
    assert!(plans.contains("Rock pool a year before") && plans.contains("New plan"), "{plans}");
}

#[test]
fn two_tabs_on_one_plan_never_write_over_one_another() {
    let browser = Browser::start();
    let page = with_rock_pool(&browser);
    let first = page.tab();
    let second = page.open_tab();
    page.open("?nosw");
    rename(&page, "Rock pool of the second tab");
    until_saved(&page);
    page.to_tab(&first);
    page.until("the first tab is told", || {
        page.by_selector(".banner").text().contains("changed in another tab").then_some(())
    });
    rename(&page, "Rock pool of the first tab");
    until_notice(&page, "is now kept as a second plan");
    page.by_role("tab", "Plans").click();
    let plans = page.by_selector(".plans").text();
    for name in ["Rock pool of the first tab", "Rock pool of the second tab"] {
        assert!(plans.contains(name), "{plans}");
    }
    page.to_tab(&second);
    page.reload();
    page.by_role("tab", "Plans").click();
    page.by_role("button", "Open Rock pool of the second tab").click();
    page.to_tab(&first);
    page.by_role("button", "Open Rock pool of the second tab").click();
    rename(&page, "Both");
    page.to_tab(&second);
    page.by_role("button", "Show the other version").click();
    page.until("it shows", || (page.by_label("Plan").value() == "Both").then_some(()));
}

#[test]
fn what_is_brought_back_does_not_cover_what_another_tab_kept_there_meanwhile() {
    let browser = Browser::start();
    let page = with_rock_pool(&browser);
    let first = page.tab();
    let second = page.open_tab();
    page.open("?nosw");
    page.to_tab(&first);
    page.by_role("tab", "Plans").click();
    page.by_role("button", "Delete Rock pool").click();
    page.to_tab(&second);
    rename(&page, "Rock pool 2");
    until_saved(&page);
    page.to_tab(&first);
    page.by_role("button", "Bring it back").click();
    page.until("both are there", || {
        let plans = page.by_selector(".plans").text();
        (plans.contains("Rock pool 2") && plans.matches("Rock pool").count() >= 2).then_some(())
    });
}

/// The first tab's version did not fit and is in its memory; the second has written meanwhile.
#[test]
fn a_tab_without_room_does_not_write_over_what_another_kept_meanwhile() {
    let browser = Browser::start();
    let page = opened(&browser, "");
    rename(&page, "Rock pool with some words");
    until_saved(&page);
    page.run(FILL);
    let long = "Rock pool with far more words than there is any room for";
    rename(&page, long);
    until_notice(&page, "is full");
    let first = page.tab();
    page.open_tab();
    page.open("?nosw");
    assert_eq!(page.by_label("Plan").value(), "Rock pool with some words");
    rename(&page, "Pool");
    until_saved(&page);
    page.to_tab(&first);
    page.run(CLEAR);
    rename(&page, "Mine");
    until_notice(&page, "is now kept as a second plan");
    until_saved(&page);
    page.by_role("tab", "Plans").click();
    let plans = page.by_selector(".plans").text();
    assert!(plans.contains("Pool") && plans.contains("Mine"), "{plans}");
}

#[test]
fn the_mold_shelf_and_the_log_take_from_both_tabs() {
    let browser = Browser::start();
    let page = opened(&browser, "");
    let first = page.tab();
    let second = page.open_tab();
    page.open("?nosw");
    for (tab, mold) in [(&first, "Limpet"), (&second, "Starfish")] {
        page.to_tab(tab);
        let number = sample().molds.iter().find(|(_, m)| m.name == mold).expect("of the kit").0.0;
        page.by_role("tab", "Molds").click();
        page.by_id(&format!("mold-change-{number}")).click();
        page.by_role("button", "Keep on the shelf").click();
        until_notice(&page, "is on the mold shelf");
        page.by_role("tab", "Bench").click();
        page.by_id("bench-note").click();
        page.by_role("button", "Good").click();
        page.by_id("bench-log").click();
        until_notice(&page, "The pull is in the log.");
    }
    page.to_tab(&first);
    let count =
        "return Object.keys(localStorage).filter((key) => key.startsWith(arguments[0])).length";
    for prefix in ["onepull:mold:", "onepull:pull:"] {
        assert_eq!(page.run_with(count, vec![json!(prefix)]), json!(2), "{prefix}");
    }
    page.until("the first tab's log has both", || {
        (page.run("return document.querySelectorAll('.bench-pull').length") == json!(2))
            .then_some(())
    });
    page.by_role("tab", "Molds").click();
    let shelf = page.by_selector(".mold-shelf").text();
    assert!(shelf.contains("Limpet") && shelf.contains("Starfish"), "{shelf}");
}

/// The first question for a print comes with bytes of a length that no memory has: the module breaks off as it does when
/// memory ends.
#[test]
fn a_worker_that_breaks_off_is_told_leaves_the_plan_and_the_next_try_works() {
    let browser = Browser::start();
    let break_first = "let isPoisoned = false;
        const Own = Worker;
        globalThis.Worker = class extends Own {
          postMessage(message, ...rest) {
            if (Array.isArray(message) && message[0].includes('\"print\"') && !isPoisoned) {
              isPoisoned = true;
              message = [message[0], { length: 3e9 }];
            }
            super.postMessage(message, ...rest);
          }
        };";
    let page = opened(&browser, break_first);
    rename(&page, "Rock pool");
    until_saved(&page);
    page.by_role("tab", "Print").click();
    page.by_role("button", "Download bench card").click();
    page.until("the page says so", || {
        page.by_selector("body").text().contains("broke off, try it again").then_some(())
    });
    let console = page.console();
    assert!(console.iter().all(|line| line.contains("RuntimeError")), "{console:#?}");
    page.by_role("button", "Download bench card").click();
    let name = page.until("the next try works", || page.download_names().into_iter().next());
    assert!(page.downloaded(&name).starts_with(b"%PDF-"), "{name}");
    assert_eq!(stored(&page).map(|plan| plan.name).as_deref(), Some("Rock pool"));
}

/// Something of the browser throws right through the program; and a text that is longer than all memory ends it by a trap.
#[test]
fn when_the_program_breaks_off_the_page_says_so_and_hands_over_the_plan() {
    // It throws when it is called with nothing, and being the browser's own its error is not hidden from the page.
    let throws = "Date.now = BigInt";
    let traps = "TextEncoder.prototype.encodeInto = () => ({ read: 0, written: 2 ** 31 })";
    let browser = Browser::start();
    for (way, trouble) in [(throws, "TypeError"), (traps, "RuntimeError")] {
        let page = with_rock_pool(&browser);
        let before = kept_text(&page);
        page.run(way);
        rename(&page, "Rock p\u{fc}\u{fc}l");
        let words = page.by_selector("[role=alert]").text();
        assert!(words.starts_with("Onepull has failed and cannot go on."), "{words}");
        assert!(words.contains("Your plan Rock pool is kept in this browser"), "{words}");
        assert_eq!(page.run("return document.querySelector('.page').inert"), json!(true));
        // Whatever still reaches the program, nothing of it is kept.
        page.run(
            "const board = document.getElementById('board-drawing');
             for (const key of ['PageDown', 'ArrowLeft', 'Delete'])
               board.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));",
        );
        assert_eq!(kept_text(&page), before, "{way}");
        page.by_role("button", "Save the plan as a file").click();
        assert_eq!(loaded(&page.downloaded("Rock pool.onepull.json")).name, "Rock pool");
        let console = page.console();
        assert!(console.iter().any(|line| line.contains(trouble)), "{console:#?}");
        page.by_role("button", "Reload the page").click();
        page.until("the page is back", || {
            (page.by_label("Plan").value() == "Rock pool").then_some(())
        });
        _ = page.console();
    }
}

#[test]
fn a_plan_that_only_the_page_has_is_handed_over_when_the_program_breaks_off() {
    let browser = Browser::start();
    let page = opened(&browser, DENY);
    rename(&page, "Rock pool");
    until_notice(&page, "keeps nothing");
    page.run("Date.now = BigInt");
    rename(&page, "Rock pool 2");
    let words = page.by_selector("[role=alert]").text();
    assert!(words.contains("save it as a file before you reload"), "{words}");
    page.by_role("button", "Save the plan as a file").click();
    assert_eq!(loaded(&page.downloaded("Rock pool.onepull.json")).name, "Rock pool");
    _ = page.console();
}

#[test]
fn a_page_that_cannot_start_still_hands_over_the_plan() {
    let browser = Browser::start();
    let page = with_rock_pool(&browser);
    page.open_tab();
    page.before_load("WebAssembly.instantiateStreaming = WebAssembly.instantiate = async () => { throw new Error('no memory'); }");
    page.visit("?nosw");
    let words = page.by_selector("[role=alert]").text();
    assert!(words.starts_with("Onepull could not start."), "{words}");
    page.by_role("button", "Save the plan as a file").click();
    assert_eq!(loaded(&page.downloaded("Rock pool.onepull.json")).name, "Rock pool");
    _ = page.console();
}

/// A page whose plan is called Rock pool and kept by the browser.
fn with_rock_pool(browser: &Browser) -> Page {
    let page = opened(browser, "");
    rename(&page, "Rock pool");
    until_saved(&page);
    page
}

/// A visitor whose browser runs a script before the page does.
fn opened(browser: &Browser, before: &str) -> Page {
    let page = browser.page();
    if !before.is_empty() {
        page.before_load(before);
    }
    page.open("?nosw");
    page
}

fn rename(page: &Page, name: &str) {
    page.by_label("Plan").fill_in(name);
    page.press("Enter");
}

fn until_saved(page: &Page) {
    page.until("it is saved", || {
        page.by_selector(".save-state").text().contains("Saved in this browser").then_some(())
    });
}

fn until_notice(page: &Page, words: &str) {
    page.until(&format!("the page says `{words}`"), || {
        page.by_selector(".notice").text().contains(words).then_some(())
    });
}

/// What the browser keeps of plans, key by key.
fn kept_text(page: &Page) -> String {
    let all = page.run(
        "return Object.entries(localStorage).filter(([key]) => key.startsWith('onepull:plan:'))",
    );
    let mut text = String::new();
    for entry in all.as_array().into_iter().flatten() {
        writeln!(text, "{entry}").expect("a text takes all");
    }
    text
}

/// The plan that was open last, as the browser keeps it.
fn stored(page: &Page) -> Option<Plan> {
    let text = page
        .run("return localStorage.getItem('onepull:plan:' + localStorage.getItem('onepull:last'))");
    let Value::String(text) = text else { return None };
    let plan = load(text.split_once('\n')?.1).expect("what is kept opens");
    assert!(text.contains(&save(&plan)), "in its own words");
    Some(plan)
}

fn loaded(file: &[u8]) -> Plan {
    load(&String::from_utf8_lossy(file)).expect("its own file")
}

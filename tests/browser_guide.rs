//! The help where it is needed: why a default is what it is, what a finding means, the tour, the keys, the search.

mod guided;

use std::collections::{BTreeMap, BTreeSet};

use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use guided::{active, opened, search, step};

/// The fields of the panels that begin with no default of ours, or with one that is the plan's own: names, places, and
/// measures of what the maker has before them.
const OWN_WORDS: [&str; 14] = [
    "By",
    "Depth, front to back",
    "From the front edge",
    "From the left edge",
    "Further blanks",
    "Height",
    "Name",
    "Name of this pull",
    "Offcut depth",
    "Offcut width",
    "Sides from",
    "Sides to",
    "Turn",
    "Width, left to right",
];

const MOLDS: [&str; 5] = ["Limpet", "Crab shell", "Clam half", "Starfish", "Anemone base"];

const PANELS: [&str; 13] = [
    "Molds", "Place", "Arrange", "Batch", "Forecast", "Machine", "Cut", "Heat", "Settings",
    "Print", "Bench", "Share", "Plans",
];

/// A field's label, the name of its button, whether that was open, what it shows, and its smaller side in pixels.
type Said = (String, String, String, String, f64);

#[test]
fn every_field_with_a_default_says_why_and_from_where() {
    let browser = Browser::start();
    let page = opened(&browser);
    let mut silent = BTreeSet::new();
    let mut told = BTreeMap::new();
    for panel in PANELS {
        unfolded(&page, panel);
        let answer = page.run(
            "const visible = [...document.querySelectorAll('.panel .field')].filter((field) => field.checkVisibility());
             const silent = [], told = [];
             for (const field of visible) {
               const label = field.querySelector('label')?.textContent.trim();
               const why = field.querySelector('.more');
               if (!why) { if (field.querySelector('input')) silent.push(label); continue; }
               const { width, height } = why.getBoundingClientRect();
               const before = why.ariaExpanded;
               why.click();
               // What is not drawn yet would be read whole, hidden words included.
               await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
               told.push([label, why.ariaLabel, before, document.getElementById(why.getAttribute('aria-controls')).innerText,
                 Math.min(width, height)]);
             }
             return [silent, told]",
        );
        let (quiet, said): (Vec<String>, Vec<Said>) =
            serde_json::from_value(answer).expect("what the fields say");
        silent.extend(quiet);
        for (label, name, before, words, size) in said {
            assert_eq!(name, format!("Why? {label}"));
            assert_eq!(before, "false", "{label} is folded at first");
            assert!(
                words.starts_with("Default ") && words.contains("Source: "),
                "{label}: {words}"
            );
            assert!(size >= 24.0, "{label}: {size} px");
            // Of the fields that show, the sample has a value of its own in this one.
            let is_other = label == "Price of a whole sheet";
            assert_eq!(words.contains("put it back"), is_other, "{label}: {words}");
            told.insert((panel, label), words);
        }
    }
    // How many of a mold is the maker's own to say, and the field is called as the mold is.
    silent.retain(|label| !MOLDS.iter().any(|mold| label.starts_with(mold)));
    let expected: BTreeSet<String> = OWN_WORDS.map(str::to_owned).into();
    assert_eq!(silent, expected, "all else begins with a default and says why");
    assert!(told.len() > 40, "{:?}", told.keys());
    let gauge = &told[&("Machine", "Gauge".to_owned())];
    assert!(gauge.contains("common practice"), "{gauge}");
}

#[test]
fn a_default_is_put_back_by_key_in_one_step_that_can_be_undone() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_role("tab", "Settings").click();
    let factor = "Clearance, times the height";
    page.by_label(factor).fill_in("2.5");
    page.press("Enter");
    let why = page.by_role("button", &format!("Why? {factor}"));
    let id = why.attribute("id").expect("an id");
    page.run_with("document.getElementById(arguments[0]).focus()", vec![json!(id)]);
    page.press("Enter");
    page.until("it unfolds", || (why.attribute("aria-expanded")? == "true").then_some(()));
    let says = page.by_selector(".more-says:not([hidden])").text();
    assert!(says.contains("Default 1.75, from 0.5 to 3."), "{says}");
    assert!(
        says.contains("Source: repeated in older sheet suppliers' guides (from memory)."),
        "{says}"
    );
    page.press("Tab");
    // The field itself lies between the button and what it unfolds.
    page.press("Tab");
    assert_eq!(active(&page, "textContent"), "Default 1.75: put it back");
    page.press("Enter");
    page.until("the default is back", || (page.by_label(factor).value() == "1.75").then_some(()));
    page.until("the keyboard is where it came from", || (active(&page, "id") == id).then_some(()));
    page.by_role("button", "Undo").click();
    page.until("one step back", || (page.by_label(factor).value() == "2.5").then_some(()));
}

#[test]
fn a_finding_explains_itself_by_a_drawing_with_its_own_figures() {
    let browser = Browser::start();
    let page = opened(&browser);
    let explain = page.by_role("button", "Explain Limpet and Anemone base stand too close");
    explain.click();
    let read = |page: &Page| {
        page.run(
        "const drawn = document.querySelector('.explained:not([hidden]) svg');
         return drawn && [drawn.ariaLabel, [...drawn.querySelectorAll('text')].map((text) => text.textContent).join('; '),
           document.querySelector('.finding-reason').textContent]",
    )
    };
    let drawn = page.until("it is drawn", || Some(read(&page)).filter(|drawn| !drawn.is_null()));
    let [says, words, reason] = [0, 1, 2].map(|n| drawn[n].as_str().expect("words").to_owned());
    let figures: Vec<&str> =
        reason.split("stand ").nth(1).expect("figures").split(" apart; ").collect();
    let asked = figures[1].split(" is asked").next().expect("what is asked");
    assert!(words.contains(&format!("{} apart", figures[0])), "{words} | {reason}");
    assert!(words.contains(&format!("{asked} is asked")), "{words} | {reason}");
    assert!(says.contains("web") && says.contains(asked), "{says}");
    // As it is put right the figures follow, and once it is, the drawing goes with the finding.
    page.by_selector("#mold-2").click();
    page.press("ArrowLeft");
    page.until("the drawing follows", || (read(&page)[1].as_str()? != words).then_some(()));
    page.press("Shift+ArrowLeft");
    page.until("it goes with its finding", || read(&page).is_null().then_some(()));
}

#[test]
fn the_tour_points_at_five_parts_covers_none_and_is_offered_once() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.resize(1280, 800);
    page.by_role("button", "Show me around").click();
    for n in 1..=5 {
        page.until(&format!("step {n}"), || {
            (active(&page, "id") == "tour-title").then_some(())?;
            step(&page).starts_with(&format!("Step {n} of 5")).then_some(())
        });
        assert_eq!(covered(&page), json!(0), "step {n} at 1280 x 800");
        page.resize(820, 1180);
        assert_eq!(covered(&page), json!(0), "step {n} at 820 x 1180");
        page.resize(1280, 800);
        page.press(["ArrowRight", "Escape"][usize::from(n == 5)]);
    }
    page.until("the tour is over", || step(&page).is_empty().then_some(()));
    page.until("the board has the keyboard", || (active(&page, "id") == "board").then_some(()));
    page.reload();
    let offered = "return document.querySelector('.banner').innerText.includes('Show me around')";
    assert_eq!(page.run(offered), json!(false), "it is offered once");
}

#[test]
fn the_tour_takes_place_on_the_sample_and_gives_the_own_plan_back_with_its_steps() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_role("button", "No, thanks").click();
    page.by_label("Plan").fill_in("Rock pool");
    page.press("Enter");
    page.until("it is kept", || {
        page.by_selector(".save-state").text().starts_with("Saved").then_some(())
    });
    let kept = || {
        page.run("return JSON.stringify(Object.entries(localStorage).filter(([key]) => key !== 'onepull:tour').sort())")
    };
    let before = kept();
    page.by_role("button", "Help").click();
    page.by_role("button", "Take the tour in five steps").click();
    page.until("the sample is on the board", || {
        (page.by_label("Plan").value() == "Tide-pool kit").then_some(())
    });
    page.by_role("button", "Next").click();
    page.by_role("button", "Leave the tour").click();
    page.until("the own plan is back", || {
        (page.by_label("Plan").value() == "Rock pool").then_some(())
    });
    assert_eq!(kept(), before, "nothing of it was written");
    page.by_role("button", "Undo").click();
    page.until("its steps are still there", || {
        (page.by_label("Plan").value() == "Tide-pool kit").then_some(())
    });
}

#[test]
fn the_search_finds_every_panel_field_and_button_by_its_own_name() {
    let browser = Browser::start();
    let page = opened(&browser);
    let mut names = BTreeSet::from(PANELS.map(str::to_owned));
    for panel in PANELS {
        unfolded(&page, panel);
        let seen = page.run(
            "const all = document.querySelectorAll('.panel :is(button, label, legend, summary)');
             return [...all]
               .filter((one) => one.checkVisibility() && !one.matches('.more, .chip, .finding') && !one.closest('.standing'))
               .map((one) => one.textContent.trim()).filter((name) => name)",
        );
        names.extend(serde_json::from_value::<Vec<String>>(seen).expect("names"));
    }
    let around = page.run(
        "return [...document.querySelectorAll('.head button, .head label, .forecast-switch')].map((one) => one.textContent.trim())
           .concat([...document.querySelectorAll('.tool')].map((tool) => tool.ariaLabel))",
    );
    names.extend(serde_json::from_value::<Vec<String>>(around).expect("names"));
    // Names of molds are the maker's own words, and so are what stands for them; the search itself is open by then.
    names.retain(|name| name != "Search" && !MOLDS.iter().any(|mold| name.contains(mold)));
    assert!(names.len() > 110, "{}", names.len());
    page.press("Control+k");
    let missing = page.run_with(
        "const field = await new Promise((done) => { const look = () => {
           const one = document.getElementById('search-field'); one ? done(one) : requestAnimationFrame(look) }; look() });
         const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
         const missing = [];
         for (const name of arguments[0]) {
           field.value = name;
           field.dispatchEvent(new Event('input', { bubbles: true }));
           await frame();
           const hits = [...document.querySelectorAll('.hit > span:first-child')].map((hit) => hit.textContent);
           if (!hits.includes(name)) missing.push(name);
         }
         return missing",
        vec![json!(names)],
    );
    assert_eq!(missing, json!([]));
}

#[test]
fn the_search_is_used_by_key_and_finger_takes_there_does_it_and_says_when_there_is_nothing() {
    let browser = Browser::start();
    let page = opened(&browser);
    // A maker's own word, by key, to a field of another panel.
    search(&page, "gap");
    let hit = || {
        page.run("const id = document.activeElement.getAttribute('aria-activedescendant'); return document.getElementById(id)?.innerText ?? ''")
    };
    let first = hit();
    page.press("ArrowDown");
    page.until("the next hit is meant", || (hit() != first).then_some(()));
    page.press("ArrowUp");
    page.until("the first again", || (hit() == first).then_some(()));
    page.by_id("search-field").fill_in("Least gap between molds");
    page.press("Enter");
    until_at(&page, "Least gap between molds");
    // What is done at once, with a finger.
    search(&page, "Undo");
    page.press("Enter");
    search(&page, "select all");
    let option = page.by_selector(".hit").middle();
    page.touch_drag(&[option]);
    until_at(&page, "Select all");
    // What is not in the page yet: the field of a form, and what takes the place of it.
    search(&page, "Edge radius");
    page.press("Enter");
    page.until("a form is open", || {
        page.run("return !!document.querySelector('.form')").as_bool().filter(|is| *is)
    });
    search(&page, "Kerf of the saw");
    page.press("Enter");
    until_at(&page, "Saw");
    search(&page, "zeppelin");
    page.until("it says so", || {
        page.by_selector("dialog[open]")
            .text()
            .contains("Nothing here is called that")
            .then_some(())
    });
    page.press("Enter");
    page.press("Escape");
    page.until("it closes", || {
        (page.run("return !document.querySelector('dialog[open]')") == json!(true)).then_some(())
    });
    // A slash opens it from anywhere but a field.
    page.by_label("Plan").type_in("/");
    assert_eq!(page.run("return !document.querySelector('dialog[open]')"), json!(true));
}

fn until_at(page: &Page, name: &str) {
    let script = "const at = document.activeElement; return at.labels?.[0]?.textContent.trim() || at.textContent.trim()";
    page.until(&format!("{name} has the keyboard"), || {
        (page.run(script) == json!(name)).then_some(())
    });
}

/// Opens a panel and all that it folds or that is about one mold.
fn unfolded(page: &Page, panel: &str) {
    page.by_role("tab", panel).click();
    match panel {
        "Molds" => page.by_id("mold-change-1").click(),
        "Place" => {
            page.by_role("button", "Select none").click();
            page.by_id("standing-2").click();
        }
        _ => {
            _ = page.run(
                "for (const fold of document.querySelectorAll('.panel details')) fold.open = true",
            );
        }
    }
}

/// How many square pixels of the part that is pointed at the card covers.
fn covered(page: &Page) -> Value {
    page.run(
        "const part = [...document.querySelectorAll('.findings, .board-place, .panels')]
           .find((one) => getComputedStyle(one).outlineStyle === 'solid');
         const [a, b] = [part, document.querySelector('.tour')].map((one) => one.getBoundingClientRect());
         const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
         const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
         return wide > 0 && high > 0 ? Math.round(wide * high) : 0",
    )
}

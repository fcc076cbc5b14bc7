//! The help where it is needed: why a default is what it is, what a finding means, the tour, the keys, the search.

mod foreign;

use std::collections::{BTreeMap, BTreeSet};

use engine::file::load;
use engine::plan::{PlacementId, PullId, sample};
use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use foreign::{Files, Photograph};

/// The fields of the panels that begin with no default of ours, or with one that is the plan's own: names, places, and
/// measures of what the maker has before them.
const OWN_WORDS: [&str; 18] = [
    "Anemone base",
    "By",
    "Clam half",
    "Crab shell",
    "Depth",
    "From the front edge",
    "From the left edge",
    "Height",
    "Limpet",
    "Name",
    "Name of this pull",
    "Offcut depth",
    "Offcut width",
    "Sides from",
    "Sides to",
    "Starfish",
    "Turn",
    "Width",
];

const PANELS: [&str; 13] = [
    "Molds", "Place", "Arrange", "Batch", "Forecast", "Machine", "Cut", "Heat", "Settings",
    "Print", "Bench", "Share", "Plans",
];

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
               told.push([label, why.ariaLabel, before, document.getElementById(why.getAttribute('aria-controls')).innerText,
                 Math.min(width, height)]);
             }
             return [silent, told]",
        );
        let (quiet, said): (Vec<String>, Vec<(String, String, String, String, f64)>) =
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
            assert!(!words.contains("put it back"), "{label} is at its default: {words}");
            told.insert((panel, label), words);
        }
    }
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
    let molds = ["Limpet", "Crab shell", "Clam half", "Starfish", "Anemone base"];
    names.retain(|name| name != "Search" && !molds.iter().any(|mold| name.contains(mold)));
    assert!(names.len() > 130, "{}", names.len());
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

/// Opens the search and types.
fn search(page: &Page, words: &str) {
    page.press("Control+k");
    page.by_id("search-field").fill_in(words);
}

fn until_at(page: &Page, name: &str) {
    let script = "const at = document.activeElement; return at.labels?.[0]?.textContent.trim() || at.textContent.trim()";
    page.until(&format!("{name} has the keyboard"), || {
        (page.run(script) == json!(name)).then_some(())
    });
}

/// Presses every key of the index where it counts and sees what it says it does.
#[test]
fn every_key_of_the_index_does_what_it_says() {
    let browser = Browser::start();
    let page = opened(&browser);
    let mut left = index(&page);
    let mut check = |place: &str, keys: &[&str], what: &dyn Fn(&Page)| {
        for keys in keys {
            let was_there = left.remove(&(place.to_owned(), (*keys).to_owned()));
            assert!(was_there, "{place}: {keys} is not in the index");
        }
        what(&page);
    };
    anywhere(&mut check);
    board(&mut check);
    pointer(&mut check);
    elsewhere(&mut check);
    assert_eq!(left, BTreeSet::new(), "no key of the index is left unpressed");
}

type Check<'a> = &'a mut dyn FnMut(&str, &[&str], &dyn Fn(&Page));

fn anywhere(check: Check<'_>) {
    let is_open = |page: &Page, title: &str| {
        let heading = "return document.querySelector('dialog[open] h2')?.textContent ?? ''";
        page.until(title, || (page.run(heading) == json!(title)).then_some(()));
    };
    check("Anywhere", &["Ctrl or Cmd + K, or /", "Escape"], &|page| {
        for key in ["Control+k", "/"] {
            page.press(key);
            is_open(page, "Search");
            page.press("Escape");
            is_open(page, "");
        }
    });
    check("Anywhere", &["?"], &|page| {
        page.press("?");
        is_open(page, "Help");
        page.press("Escape");
        is_open(page, "");
    });
    check("Anywhere", &["Tab and Shift + Tab"], &|page| {
        page.run("document.getElementById('tab-molds').focus()");
        page.press("Tab");
        let after = active(page, "id");
        assert_ne!(after, "tab-molds");
        page.press("Shift+Tab");
        assert_eq!(active(page, "id"), "tab-molds");
    });
}

fn board(check: Check<'_>) {
    const HERE: &str = "On the board";
    let moves =
        [("Arrows", "", 1.0), ("Shift + arrows", "Shift+", 10.0), ("Alt + arrows", "Alt+", 0.1)];
    for (keys, held, step) in moves {
        check(HERE, &[keys], &|page| {
            on_limpet(page);
            for (key, by) in [
                ("ArrowLeft", [-step, 0.0]),
                ("ArrowUp", [0.0, step]),
                ("ArrowRight", [step, 0.0]),
                ("ArrowDown", [0.0, -step]),
            ] {
                let before = limpet(page);
                page.press(&format!("{held}{key}"));
                page.until(&format!("{held}{key} moves it"), || {
                    let now = limpet(page);
                    let is_there = (0..2).all(|n| (now[n] - before[n] - by[n]).abs() < 0.02);
                    is_there.then_some(())
                });
            }
        });
    }
    for (keys, presses) in [
        (
            "[ and ], or R and Shift + R",
            [("[", 15.0), ("]", -15.0), ("r", 15.0), ("Shift+r", -15.0)].as_slice(),
        ),
        ("Alt + [ and ]", &[("Alt+[", 1.0), ("Alt+]", -1.0)]),
    ] {
        check(HERE, &[keys], &|page| {
            on_limpet(page);
            for (key, by) in presses {
                let before = limpet(page)[2];
                page.press(key);
                page.until(&format!("{key} turns it"), || {
                    ((limpet(page)[2] - before - by).abs() < 0.02).then_some(())
                });
            }
        });
    }
    check(HERE, &["Page Down and Page Up"], &|page| {
        for (key, id) in [("PageDown", "mold-3"), ("PageUp", "mold-2")] {
            page.press(key);
            page.until(id, || (selected(page) == [id] && active(page, "id") == id).then_some(()));
        }
    });
    check(HERE, &["Shift + Page Down and Page Up", "Space"], &|page| {
        page.press("Shift+PageDown");
        page.until("the next is passed on to", || {
            (active(page, "id") == "mold-3" && selected(page) == ["mold-2"]).then_some(())
        });
        page.press("Space");
        page.until("it is selected too", || (selected(page) == ["mold-2", "mold-3"]).then_some(()));
        page.press("Space");
        page.until("and no longer", || (selected(page) == ["mold-2"]).then_some(()));
        page.press("Shift+PageUp");
        page.until("and back", || (active(page, "id") == "mold-2").then_some(()));
    });
    check(HERE, &["Ctrl or Cmd + A", "Escape"], &|page| {
        page.press("Control+a");
        page.until("all are", || (selected(page).len() == 6).then_some(()));
        page.press("Escape");
        page.until("none is", || selected(page).is_empty().then_some(()));
    });
    check(
        HERE,
        &["Delete or Backspace", "Z, or Ctrl or Cmd + Z", "Y or Shift + Z, or with Ctrl or Cmd"],
        &|page| {
            let count = |n: usize| {
                page.until(&format!("{n} stand"), || (standing(page) == n).then_some(()))
            };
            for (off, back, again) in [
                ("Delete", "z", "y"),
                ("Backspace", "Control+z", "Shift+z"),
                ("Delete", "z", "Control+y"),
                ("Delete", "Control+z", "Control+Shift+z"),
            ] {
                on_limpet(page);
                for (key, n) in [(off, 5), (back, 6), (again, 5), (back, 6)] {
                    page.press(key);
                    count(n);
                }
            }
        },
    );
    check(HERE, &["D, or Ctrl or Cmd + D"], &|page| {
        // Clam half has two copies: with one off the blank there is one to stand beside the other.
        for key in ["d", "Control+d"] {
            on(page, 6);
            page.press("Delete");
            page.until("five stand", || (standing(page) == 5).then_some(()));
            on(page, 5);
            page.press(key);
            page.until("six again", || (standing(page) == 6).then_some(()));
            page.press("z");
            page.press("z");
            page.until("as before", || (standing(page) == 6).then_some(()));
        }
    });
    check(HERE, &["L"], &|page| {
        on_limpet(page);
        for is_locked in [true, false] {
            page.press("l");
            let has = "return document.querySelector('#mold-2').classList.contains('is-locked')";
            page.until("locked or free", || (page.run(has) == json!(is_locked)).then_some(()));
        }
    });
    check(HERE, &["+ and -", "0"], &|page| {
        for (key, is_larger) in [("+", true), ("-", false), ("=", true), ("0", false)] {
            let before = scale(page);
            page.press(key);
            page.until(&format!("{key} zooms"), || {
                ((scale(page) > before) == is_larger && scale(page) != before).then_some(())
            });
        }
    });
    check(HERE, &["A"], &|page| {
        page.press("a");
        page.until("the arranger is open", || (active(page, "id") == "tab-arrange").then_some(()));
    });
    check(HERE, &["S"], &|page| {
        on_limpet(page);
        let snaps = "return document.querySelector('.tool[aria-label=Snap]').ariaPressed";
        for is_on in ["false", "true"] {
            page.press("s");
            page.until("snapping is switched", || (page.run(snaps) == json!(is_on)).then_some(()));
        }
    });
    check(HERE, &["?"], &|page| {
        page.press("?");
        page.until("the help", || {
            (page.run("return !!document.querySelector('dialog[open] .key-index')") == json!(true))
                .then_some(())
        });
        page.press("Escape");
    });
}

fn pointer(check: Check<'_>) {
    const HERE: &str = "On the board, with mouse or finger";
    check(HERE, &["Drag a mold", "Drag the round handle"], &|page| {
        on_limpet(page);
        let before = limpet(page);
        let (x, y) = page.by_selector("#mold-2 .footprint").middle();
        page.drag(&[(x, y), (x - 10.0, y), (x - 30.0, y + 3.0)]);
        page.until("it is moved", || (limpet(page)[0] < before[0] - 1.0).then_some(()));
        let (x, y) = page.by_selector(".turn-hit").middle();
        page.drag(&[(x, y), (x + 30.0, y + 10.0), (x + 60.0, y + 30.0)]);
        page.until("it is turned by a whole step", || {
            let turn = limpet(page)[2] - before[2];
            (turn.abs() > 1.0 && (turn / 15.0 - (turn / 15.0).round()).abs() < 1e-3).then_some(())
        });
    });
    check(HERE, &["Shift + click"], &|page| {
        // The same as a key held while another mold is clicked.
        page.run(
            "const mold = document.querySelector('#mold-4'); const { x, y, width, height } = mold.getBoundingClientRect();
             const at = { clientX: x + width / 2, clientY: y + height / 2, shiftKey: true, bubbles: true, pointerId: 1, button: 0, buttons: 1, isPrimary: true, pointerType: 'mouse' };
             mold.dispatchEvent(new PointerEvent('pointerdown', at)); mold.dispatchEvent(new PointerEvent('pointerup', { ...at, buttons: 0 }))",
        );
        page.until("one more", || (selected(page) == ["mold-2", "mold-4"]).then_some(()));
    });
    check(HERE, &["Drag empty ground"], &|page| {
        page.press("Escape");
        let (x, y) = page.by_id("board-drawing").middle();
        let view = || {
            page.run(
                "return document.querySelector('#board-drawing > g').getAttribute('transform')",
            )
        };
        let before = view();
        let edge = page.run("const { x, y } = document.querySelector('#board-drawing').getBoundingClientRect(); return [x + 8, y + 8]");
        let corner = (edge[0].as_f64().unwrap_or_default(), edge[1].as_f64().unwrap_or_default());
        page.drag(&[corner, (x, y), (2.0 * x - corner.0, 2.0 * y - corner.1)]);
        page.until("the band selects all", || (selected(page).len() == 6).then_some(()));
        assert_eq!(view(), before);
        page.touch_drag(&[
            corner,
            (corner.0 + 20.0, corner.1 + 20.0),
            (corner.0 + 40.0, corner.1 + 40.0),
        ]);
        page.until("a finger moves the view", || (view() != before).then_some(()));
        page.press("0");
    });
    check(HERE, &["Two fingers"], &|page| {
        let before = scale(page);
        let (x, y) = page.by_id("board-drawing").middle();
        let apart = |by: f64| [(x - by, y), (x + by, y)];
        page.pinch(&[apart(40.0), apart(60.0), apart(90.0)]);
        page.until("they zoom", || (scale(page) > before).then_some(()));
        on_limpet(page);
        page.press("0");
    });
    check(HERE, &["Space + drag, or middle button"], &|page| {
        let view = || {
            page.run(
                "return document.querySelector('#board-drawing > g').getAttribute('transform')",
            )
        };
        let before = view();
        let (x, y) = page.by_id("board-drawing").middle();
        for (kind, dx, buttons) in [
            ("mousePressed", 0.0, 4),
            ("mouseMoved", 30.0, 4),
            ("mouseMoved", 60.0, 4),
            ("mouseReleased", 60.0, 0),
        ] {
            page.cdp("Input.dispatchMouseEvent", json!({ "type": kind, "x": x + dx, "y": y, "button": "middle", "buttons": buttons, "clickCount": 1 }));
        }
        page.until("the middle button moves the view", || (view() != before).then_some(()));
        on_limpet(page);
        page.press("0");
    });
    check(HERE, &["Wheel"], &|page| {
        let before = scale(page);
        let (x, y) = page.by_id("board-drawing").middle();
        on_limpet(page);
        page.cdp(
            "Input.dispatchMouseEvent",
            json!({ "type": "mouseWheel", "x": x, "y": y, "deltaX": 0, "deltaY": -120 }),
        );
        page.until("the wheel zooms", || (scale(page) > before).then_some(()));
        page.press("0");
    });
}

fn elsewhere(check: Check<'_>) {
    check("In a field", &["Enter", "Escape"], &|page| {
        let plan = page.by_label("Plan");
        plan.fill_in("Rock pool");
        page.press("Escape");
        page.until("the old name", || (plan.value() == "Tide-pool kit").then_some(()));
        plan.fill_in("Rock pool");
        page.press("Enter");
        page.until("the new name is taken", || {
            (page.run("return document.querySelector('.button[aria-disabled]')?.textContent ?? ''")
                != json!("Undo"))
            .then_some(())
        });
        assert_eq!(plan.value(), "Rock pool");
    });
    check("In a field", &["Ctrl or Cmd + Enter"], &|page| {
        page.by_role("tab", "Molds").click();
        page.by_id("mold-change-2").click();
        let list = page.by_id("outline-text");
        list.fill_in("0, 0\n40, 0\n40, 30\n0, 30");
        page.press("Control+Enter");
        page.until("it is taken", || {
            (list.value() == "0, 0\n40, 0\n40, 30\n0, 30" && outline_corners(page) == 4)
                .then_some(())
        });
    });
    check(
        "In the row of panels, and in the tools over the board",
        &["Left and right", "Home and End"],
        &|page| {
            for (key, id) in [
                ("Home", "tab-molds"),
                ("ArrowRight", "tab-place"),
                ("ArrowLeft", "tab-molds"),
                ("End", "tab-plans"),
            ] {
                if key == "Home" {
                    page.run("document.querySelector('[role=tab][aria-selected=true]').focus()");
                }
                page.press(key);
                page.until(id, || (active(page, "id") == id).then_some(()));
            }
            page.run("document.querySelector('.tool[tabindex=\"0\"]').focus()");
            for (key, label) in [
                ("Home", "Turn left by 15\u{b0}"),
                ("ArrowRight", "Turn right by 15\u{b0}"),
                ("ArrowLeft", "Turn left by 15\u{b0}"),
                ("End", "Select several"),
            ] {
                page.press(key);
                page.until(label, || (active(page, "ariaLabel") == label).then_some(()));
            }
        },
    );
    check("In the search", &["Up and down", "Enter"], &|page| {
        search(page, "heat");
        let nth =
            || page.run("return document.activeElement.getAttribute('aria-activedescendant')");
        for (key, id) in [("ArrowDown", "search-1"), ("ArrowUp", "search-0")] {
            page.press(key);
            page.until(id, || (nth() == json!(id)).then_some(()));
        }
        page.press("Enter");
        page.until("the panel is open", || (active(page, "id") == "tab-heat").then_some(()));
    });
    check("In the tour", &["Left and right", "Escape"], &|page| {
        search(page, "tour");
        page.press("Enter");
        let at = |n: usize| {
            page.until("a step", || {
                (active(page, "id") == "tour-title"
                    && step(page).starts_with(&format!("Step {n} ")))
                .then_some(())
            })
        };
        at(1);
        for (key, n) in [("ArrowRight", 2), ("ArrowLeft", 1)] {
            page.press(key);
            at(n);
        }
        page.press("Escape");
        page.until("it is left", || step(page).is_empty().then_some(()));
    });
    check(
        "On \u{201c}Read a place\u{201d}, and on an end of the section's line",
        &["Arrows", "Escape"],
        &read_a_place,
    );
    check("On the formed sheet", &["Arrows", "+ and -", "0 or Home"], &formed_sheet);
    check("On a photograph", &["Arrows", "Space or Enter"], &photograph);
}

fn read_a_place(page: &Page) {
    page.until("there is a forecast", || {
        (page.run("return !!document.querySelector('.forecast-map')") == json!(true)).then_some(())
    });
    page.by_id("forecast-probe").click();
    let probe = || page.run("return document.querySelector('.probe')?.innerHTML ?? ''");
    for key in ["ArrowRight", "Shift+ArrowRight", "Alt+ArrowUp", "ArrowDown"] {
        let before =
            page.until("a place is read", || Some(probe()).filter(|probe| *probe != json!("")));
        page.press(key);
        page.until(&format!("{key} moves it"), || (probe() != before).then_some(()));
    }
    page.press("Escape");
    page.until("no place is read", || (probe() == json!("")).then_some(()));
    page.by_role("tab", "Forecast").click();
    page.by_id("forecast-section-on").click();
    page.until("the line", || {
        (page.run("return !!document.getElementById('section-end-0')") == json!(true)).then_some(())
    });
    page.run("document.getElementById('section-end-0').focus()");
    let place = || active(page, "ariaLabel");
    for key in ["ArrowRight", "Shift+ArrowUp", "Alt+ArrowRight"] {
        let before = place();
        page.press(key);
        page.until(&format!("{key} moves the end"), || (place() != before).then_some(()));
    }
}

fn formed_sheet(page: &Page) {
    page.by_role("tab", "Forecast").click();
    let shot = || {
        page.run("const sheet = document.querySelector('.forecast-solid'); return sheet.hidden ? 'hidden' : sheet.toDataURL()")
    };
    // Without WebGL there is nothing to turn, and a sentence stands in its place.
    if page.run("return !document.createElement('canvas').getContext('webgl2')") == json!(true) {
        return;
    }
    page.until("it is drawn", || (shot() != json!("hidden")).then_some(()));
    page.run("document.querySelector('.forecast-solid').focus()");
    for keys in ["ArrowLeft", "ArrowUp", "+", "-", "0"] {
        page.press(keys);
        assert_eq!(active(page, "className"), "forecast-solid", "{keys} is its own");
    }
}

fn photograph(page: &Page) {
    let files = Files::new("keys");
    page.by_role("tab", "Molds").click();
    let photo = files.write("crab.png", Photograph::new(1).png());
    page.by_id("molds-from-photo").choose_file(&photo);
    let is = |selector: &str| {
        let script = "return !!document.querySelector(arguments[0]) && !document.querySelector('dialog[open] progress')";
        page.until(selector, || {
            (page.run_with(script, vec![json!(selector)]) == json!(true)).then_some(())
        });
    };
    is("#photo-trace");
    page.run("document.getElementById('photo-corner-0').focus()");
    for key in ["ArrowRight", "Shift+ArrowDown", "Alt+ArrowRight"] {
        let place = || {
            page.run("return document.getElementById('photo-corner-0').getAttribute('transform')")
        };
        let before = place();
        page.press(key);
        page.until(&format!("{key} moves the corner"), || (place() != before).then_some(()));
    }
    page.by_id("photo-trace").click();
    is("#photo-add");
    page.by_id("photo-brush").click();
    is(".brush-row select");
    page.run("document.getElementById('photo-paint').focus()");
    let brush = || page.run("return document.querySelector('.brush-mark')?.outerHTML ?? ''");
    let before = brush();
    page.press("ArrowRight");
    page.until("the brush moves", || (brush() != before).then_some(()));
    page.press("Space");
    page.until("it has painted", || {
        (page.run("return [...document.querySelectorAll('.painted')].filter((one) => one.getAttribute('points')).length").as_u64()? > 0).then_some(())
    });
    page.by_role("button", "Close").click();
}

/// What the index shows, as places and keys; also what would go on paper.
fn index(page: &Page) -> BTreeSet<(String, String)> {
    page.by_role("button", "Help").click();
    let shown = page.run(
        "return [...document.querySelectorAll('.key-index table')].flatMap((table) =>
           [...table.querySelectorAll('tr')].map((row) => [table.caption.textContent, row.querySelector('th').textContent]))",
    );
    page.cdp("Emulation.setEmulatedMedia", json!({ "media": "print" }));
    let printed = page.run(
        "const shown = (selector) => document.querySelector(selector)?.checkVisibility() ?? false;
         return ['.key-index', '.key-index tr:last-child', '.head', '.board', 'dialog[open] .dialog-head'].map(shown)",
    );
    assert_eq!(printed, json!([true, true, false, false, false]), "the index alone is printed");
    page.cdp("Emulation.setEmulatedMedia", json!({ "media": "" }));
    page.press("Escape");
    serde_json::from_value(shown).expect("places and keys")
}

fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    page
}

/// Opens a panel and all that it folds or that is about one mold.
fn unfolded(page: &Page, panel: &str) {
    page.by_role("tab", panel).click();
    match panel {
        "Molds" => page.by_id("mold-change-1").click(),
        "Place" => {
            page.by_role("button", "Select all").click();
            page.by_id("standing-2").click();
        }
        "Batch" => page.by_role("button", "Time of a pull, and what an hour costs").click(),
        _ => {
            _ = page.run(
                "for (const fold of document.querySelectorAll('.panel details')) fold.open = true",
            )
        }
    }
}

fn active(page: &Page, property: &str) -> String {
    let script = "return document.activeElement[arguments[0]]";
    page.run_with(script, vec![json!(property)]).as_str().unwrap_or_default().to_owned()
}

/// What the card of the tour says; nothing without one.
fn step(page: &Page) -> String {
    let words = page.run("return document.querySelector('.tour')?.innerText ?? ''");
    words.as_str().unwrap_or_default().to_owned()
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

fn on(page: &Page, mold: u32) {
    page.run("document.getElementById('board').focus()");
    page.press("Escape");
    page.by_selector(&format!("#mold-{mold}")).click();
    page.until("it is selected", || (selected(page) == [format!("mold-{mold}")]).then_some(()));
}

fn on_limpet(page: &Page) {
    on(page, 2);
}

/// The ids of what is selected on the board.
fn selected(page: &Page) -> Vec<String> {
    let ids = page.run(
        "return [...document.querySelectorAll('.mold.is-selected')].map((mold) => mold.id).sort()",
    );
    serde_json::from_value(ids).unwrap_or_default()
}

fn standing(page: &Page) -> usize {
    page.run("return document.querySelectorAll('.mold').length")
        .as_u64()
        .map_or(0, |n| usize::try_from(n).unwrap_or(0))
}

/// Where the limpet stands, in millimetres, and its turn in degrees: in the saved plan, or in the sample until one is saved.
fn limpet(page: &Page) -> [f64; 3] {
    let saved = page.run(
        "const plan = Object.entries(localStorage).find(([key]) => key.startsWith('onepull:plan:'))?.[1] ?? '';
         return plan.slice(plan.indexOf('\\n') + 1)",
    );
    let plan = load(saved.as_str().unwrap_or_default()).unwrap_or_else(|_| sample());
    let pose = plan.pulls[&PullId(1)].placements[&PlacementId(2)].pose;
    [pose.at.x, pose.at.y, pose.turn.to_degrees()]
}

fn scale(page: &Page) -> f64 {
    let px = page.run(
        "return Number(document.getElementById('board-drawing').style.getPropertyValue('--px'))",
    );
    1.0 / px.as_f64().unwrap_or(1.0)
}

fn outline_corners(page: &Page) -> u64 {
    page.run("return document.querySelectorAll('.knob').length").as_u64().unwrap_or_default()
}

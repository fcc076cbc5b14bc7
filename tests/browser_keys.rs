//! The index of keys is true: every key that the help shows is pressed where it counts, and does what is said of it.

mod foreign;
mod guided;

use std::collections::BTreeSet;

use onepull_tests::page::{Browser, Page};
use serde_json::json;

use foreign::{Files, Photograph};
use guided::{
    active, kept, limpet, opened, outline_corners, scale, search, selected, standing, step,
};

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
    moving(&mut check);
    selecting(&mut check);
    taking_off(&mut check);
    viewing(&mut check);
    dragging(&mut check);
    fingers_and_wheel(&mut check);
    fields_and_rows(&mut check);
    search_and_tour(&mut check);
    let line = "On \u{201c}Read a place\u{201d}, and on an end of the section's line";
    check(line, &["Arrows", "Escape"], &read_a_place);
    check("On the formed sheet", &["Arrows", "+ and -", "0 or Home"], &formed_sheet);
    check("On a photograph", &["Arrows", "Space or Enter"], &photograph);
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

/// Arrows and brackets.
fn moving(check: Check<'_>) {
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
                board_key(page, &format!("{held}{key}"));
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
                board_key(page, key);
                page.until(&format!("{key} turns it"), || {
                    ((limpet(page)[2] - before - by).abs() < 0.02).then_some(())
                });
            }
        });
    }
}

/// To a mold, to it without selecting it, all and none.
fn selecting(check: Check<'_>) {
    const HERE: &str = "On the board";
    check(HERE, &["Page Down and Page Up"], &|page| {
        for (key, id) in [("PageDown", "mold-3"), ("PageUp", "mold-2")] {
            board_key(page, key);
            page.until(id, || (selected(page) == [id] && active(page, "id") == id).then_some(()));
        }
    });
    check(HERE, &["Shift + Page Down and Page Up", "Space"], &|page| {
        board_key(page, "Shift+PageDown");
        page.until("the next is passed on to", || {
            (active(page, "id") == "mold-3" && selected(page) == ["mold-2"]).then_some(())
        });
        board_key(page, "Space");
        page.until("it is selected too", || (selected(page) == ["mold-2", "mold-3"]).then_some(()));
        board_key(page, "Space");
        page.until("and no longer", || (selected(page) == ["mold-2"]).then_some(()));
        board_key(page, "Shift+PageUp");
        page.until("and back", || (active(page, "id") == "mold-2").then_some(()));
    });
    check(HERE, &["Ctrl or Cmd + A", "Escape"], &|page| {
        board_key(page, "Control+a");
        page.until("all are", || (selected(page).len() == 6).then_some(()));
        board_key(page, "Escape");
        page.until("none is", || selected(page).is_empty().then_some(()));
    });
}

/// Off the blank, another copy, and steps back and forward.
fn taking_off(check: Check<'_>) {
    const HERE: &str = "On the board";
    check(
        HERE,
        &["Delete or Backspace", "Z, or Ctrl or Cmd + Z", "Y or Shift + Z, or with Ctrl or Cmd"],
        &|page| {
            let count = |n: usize| {
                page.until(&format!("{n} stand"), || (standing(page) == n).then_some(()));
            };
            for (off, back, again) in [
                ("Delete", "z", "y"),
                ("Backspace", "Control+z", "Shift+z"),
                ("Delete", "z", "Control+y"),
                ("Delete", "Control+z", "Control+Shift+z"),
            ] {
                on_limpet(page);
                for (key, n) in [(off, 5), (back, 6), (again, 5), (back, 6)] {
                    board_key(page, key);
                    count(n);
                }
            }
        },
    );
    check(HERE, &["D, or Ctrl or Cmd + D"], &|page| {
        // Clam half has two copies: with one off the blank there is one to stand beside the other.
        for key in ["d", "Control+d"] {
            on(page, 6);
            board_key(page, "Delete");
            page.until("five stand", || (standing(page) == 5).then_some(()));
            on(page, 5);
            board_key(page, key);
            page.until("six again", || (standing(page) == 6).then_some(()));
            board_key(page, "z");
            board_key(page, "z");
            page.until("as before", || (standing(page) == 6).then_some(()));
        }
    });
}

/// Locks, the view, and what a letter opens or switches.
fn viewing(check: Check<'_>) {
    const HERE: &str = "On the board";
    check(HERE, &["L"], &|page| {
        on_limpet(page);
        for is_locked in [true, false] {
            board_key(page, "l");
            let has = "return document.querySelector('#mold-2').classList.contains('is-locked')";
            page.until("locked or free", || (page.run(has) == json!(is_locked)).then_some(()));
        }
    });
    check(HERE, &["+ and -", "0"], &|page| {
        for (key, is_larger) in [("+", true), ("-", false), ("=", true), ("0", false)] {
            let before = scale(page);
            board_key(page, key);
            page.until(&format!("{key} zooms"), || {
                let ratio = scale(page) / before;
                let is_changed = if is_larger { ratio > 1.001 } else { ratio < 0.999 };
                is_changed.then_some(())
            });
        }
    });
    check(HERE, &["A"], &|page| {
        board_key(page, "a");
        page.until("the arranger is open", || (active(page, "id") == "tab-arrange").then_some(()));
    });
    check(HERE, &["S"], &|page| {
        on_limpet(page);
        let snaps = "return document.querySelector('.tool[aria-label=Snap]').ariaPressed";
        for is_on in ["false", "true"] {
            board_key(page, "s");
            page.until("snapping is switched", || (page.run(snaps) == json!(is_on)).then_some(()));
        }
    });
    check(HERE, &["?"], &|page| {
        board_key(page, "?");
        page.until("the help", || {
            (page.run("return !!document.querySelector('dialog[open] .key-index')") == json!(true))
                .then_some(())
        });
        page.press("Escape");
    });
}

/// What a mouse takes hold of.
fn dragging(check: Check<'_>) {
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
}

/// What moves and zooms the view.
fn fingers_and_wheel(check: Check<'_>) {
    const HERE: &str = "On the board, with mouse or finger";
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

/// Fields, the row of panels, and the tools.
fn fields_and_rows(check: Check<'_>) {
    check("In a field", &["Enter", "Escape"], &|page| {
        let plan = page.by_label("Plan");
        plan.fill_in("Rock pool");
        page.press("Escape");
        page.until("the old name", || (plan.value() == "Tide-pool kit").then_some(()));
        plan.fill_in("Rock pool");
        page.press("Enter");
        page.until("the new name is taken", || (kept(page).name == "Rock pool").then_some(()));
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
}

/// The search and the tour.
fn search_and_tour(check: Check<'_>) {
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
            });
        };
        at(1);
        for (key, n) in [("ArrowRight", 2), ("ArrowLeft", 1)] {
            page.press(key);
            at(n);
        }
        page.press("Escape");
        page.until("it is left", || step(page).is_empty().then_some(()));
    });
}

fn read_a_place(page: &Page) {
    page.by_role("tab", "Forecast").click();
    page.until("there is a forecast", || {
        (page.run("return !!document.querySelector('.forecast-map')") == json!(true)).then_some(())
    });
    page.by_id("forecast-probe").click();
    let probe = || page.run("return document.querySelector('.probe')?.outerHTML ?? ''");
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
    page.until("it is drawn", || {
        let is_there = "const sheet = document.querySelector('.forecast-solid'); return !!sheet && !sheet.hidden";
        (page.run(is_there) == json!(true)).then_some(())
    });
    page.run("const sheet = document.querySelector('.forecast-solid'); sheet.scrollIntoView({ block: 'center' }); sheet.focus()");
    let clip = page.run("const { x, y, width, height } = document.activeElement.getBoundingClientRect(); return { x, y, width, height, scale: 1 }");
    let shot = || page.cdp("Page.captureScreenshot", json!({ "clip": clip }))["data"].clone();
    // It is drawn once more when the finer forecast comes.
    page.until("the finer forecast is there", || {
        let told = page.run("return document.querySelector('.forecast-standing').textContent");
        let is_fine =
            told.as_str().is_some_and(|told| told.starts_with("Of the layout on the board"));
        is_fine.then_some(())
    });
    page.press("0");
    let first = page.until("it rests", || {
        let one = shot();
        std::thread::sleep(std::time::Duration::from_millis(500));
        (one == shot()).then_some(one)
    });
    for keys in ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "+", "-"] {
        let before = shot();
        stroke(page, keys);
        page.until(&format!("{keys} is seen"), || (shot() != before).then_some(()));
    }
    for key in ["0", "Home"] {
        stroke(page, "+");
        page.until("larger", || (shot() != first).then_some(()));
        page.press(key);
        page.until(&format!("{key} shows it as at first"), || (shot() == first).then_some(()));
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

fn until_on_board(page: &Page) {
    let at = "return !!document.activeElement.closest('#board-drawing')";
    page.until("the board has the keyboard", || (page.run(at) == json!(true)).then_some(()));
}

/// Presses a key once the board has the keyboard, which it gets back a frame after something was taken off.
fn board_key(page: &Page, key: &str) {
    until_on_board(page);
    stroke(page, key);
}

/// Selects one mold alone and leaves the keyboard with it.
fn on(page: &Page, mold: u32) {
    let click = || {
        page.by_selector(&format!("#mold-{mold}")).click();
        until_on_board(page);
    };
    click();
    page.press("Escape");
    page.until("nothing is selected", || selected(page).is_empty().then_some(()));
    click();
    page.until("it is selected", || (selected(page) == [format!("mold-{mold}")]).then_some(()));
}

fn on_limpet(page: &Page) {
    on(page, 2);
}

/// Presses a key, the plus sign too, which joins the keys of a chord in the harness and so is sent to what has the keyboard.
fn stroke(page: &Page, key: &str) {
    if key == "+" {
        let plus = "{ key: '+', bubbles: true, cancelable: true }";
        page.run(&format!(
            "document.activeElement.dispatchEvent(new KeyboardEvent('keydown', {plus}))"
        ));
    } else {
        page.press(key);
    }
}

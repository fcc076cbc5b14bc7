//! The forecast in the page: runs by itself, says when it is out of date, is read at a place, cut, turned and acted on.

mod crowded;
mod hand;

use std::time::Instant;

use engine::drape::{Forecast, LINES, Settings, WebKind, forecast};
use engine::geometry::Point;
use engine::plan::{PlacementId, Plan, PullId, sample};
use engine::rules::Severity;
use engine::units::Length;
use onepull_tests::pace::keeps_pace;
use onepull_tests::page::{Browser, Page, Place};
use serde_json::{Value, json};

use crowded::crowded;
use hand::{HAND, drag, open_plan};

const PULL: PullId = PullId(1);

#[test]
fn it_runs_by_itself_is_stale_while_a_mold_is_dragged_and_fresh_again_once_hands_are_still() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    assert!(words(&page).starts_with("Thinnest "), "{}", words(&page));
    let first = picture(&page);
    page.run(&format!("{HAND} return begin('mold-5');"));
    assert_eq!(words(&page), "Out of date", "the bar says it in words");
    let hatching = "return getComputedStyle(document.querySelector('.forecast-stale')).display";
    assert_eq!(page.run(hatching), json!("inline"), "and the map by hatching");
    page.run("return onepullHand(0, 30, 120)");
    assert_eq!(picture(&page), first, "the map is not drawn anew during the drag");
    assert_eq!(words(&page), "Out of date");
    page.run("return onepullEnd()");
    page.press("ArrowRight");
    until_fresh(&page);
    assert_ne!(picture(&page), first, "another layout, another map");
    assert_eq!(page.run(hatching), json!("none"));
}

#[test]
fn an_undone_move_needs_no_other_forecast_and_a_new_name_makes_none_stale() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    page.by_selector("#mold-5").click();
    page.press("ArrowRight");
    page.until("it is stale", || is_stale(&page).then_some(()));
    page.by_role("button", "Undo").click();
    page.until("it is of this layout again", || (!is_stale(&page)).then_some(()));
    page.by_label("Plan").fill_in("Rock pool");
    page.press("Enter");
    assert!(!is_stale(&page));
}

#[test]
fn the_value_under_the_probe_is_the_engine_s() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    let (plan, told) = told();
    let (_, spot) = told.thinnest_kept().expect("molds stand");
    page.by_id("forecast-probe").click();
    page.until("the thinnest place is read", || {
        (words(&page) == said(&plan, &told, spot.at)).then_some(())
    });
    // An arrow is 5 mm, with Shift 20 mm.
    for (key, x, y) in
        [("ArrowRight", 5.0, 0.0), ("ArrowUp", 5.0, 5.0), ("Shift+ArrowLeft", -15.0, 5.0)]
    {
        page.press(key);
        let at = Point::new(spot.at.x + x, spot.at.y + y);
        page.until("the next place is read", || {
            (words(&page) == said(&plan, &told, at)).then_some(())
        });
    }
    page.until("and spoken of once the keys rest", || {
        let spoken = page.run("return document.querySelector('p[role=status]').textContent");
        let last = Point::new(spot.at.x - 15.0, spot.at.y + 5.0);
        (spoken.as_str()?.trim() == said(&plan, &told, last)).then_some(())
    });
    page.press("Escape");
    page.until("no place is read any more", || words(&page).starts_with("Thinnest ").then_some(()));
    // A mouse reads where it is: the middle of a mold, and a finger where it taps.
    let standing = &plan.pulls[&PULL].placements;
    let limpet = standing.values().find(|one| plan.molds[&one.mold].name == "Limpet");
    let at = limpet.expect("it stands").pose.at;
    let said = said(&plan, &told, at);
    let (value, rest) = said.split_once(',').expect("a value and more");
    assert!(rest.ends_with("on Limpet"), "{said}");
    hover(&page, on_screen(&page, at));
    page.until("the mouse reads", || words(&page).starts_with(value).then_some(()));
}

#[test]
fn a_change_that_helps_is_taken_as_one_step_and_undone() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    let before = places(&page);
    page.by_id("forecast-try").click();
    page.until("changes were tried", || {
        (page.run("return !!document.getElementById('forecast-changes')") == json!(true))
            .then_some(())
    });
    let figures = page.run("return document.querySelector('.before-after')?.textContent ?? ''");
    let figures = figures.as_str().expect("a text").to_owned();
    let told: Vec<f64> =
        figures.split([' ', '\u{2192}']).filter_map(|word| word.parse().ok()).collect();
    assert!(told.len() == 2 && told[1] > told[0], "the best change thickens: {figures}");
    page.by_selector(".way-out button").click();
    page.until("it is taken", || (places(&page) != before).then_some(()));
    page.by_role("button", "Undo").click();
    page.until("one step back is all of it", || (places(&page) == before).then_some(()));
}

#[test]
fn a_tap_reads_the_value_under_the_finger() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    let (plan, told) = told();
    let at = plan.pulls[&PULL].placements[&PlacementId(2)].pose.at;
    let before = places(&page);
    page.touch_drag(&[on_screen(&page, at)]);
    let said = said(&plan, &told, at);
    let (value, _) = said.split_once(',').expect("a value and more");
    page.until("the finger reads", || words(&page).starts_with(value).then_some(()));
    assert_eq!(places(&page), before, "a tap moves nothing");
}

#[test]
fn stop_ends_a_forecast_and_so_does_a_drag_and_the_plan_stays() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    let (standing, told) = (places(&page), words(&page));
    let begin = "const named = (name) => [...document.querySelectorAll('.panel .button')].find((one) => one.textContent === name);
        const until = async (look) => { while (!look()) await new Promise(requestAnimationFrame); return look(); };
        (await until(() => named('Forecast now'))).click();
        const stop = await until(() => named('Stop'));";
    page.run(&format!("return (async () => {{ {begin} stop.click(); }})()"));
    page.until("nothing is computed", || (!is_running(&page)).then_some(()));
    std::thread::sleep(std::time::Duration::from_millis(1200));
    assert!(!is_running(&page) && !is_stale(&page), "and nothing begins again");
    assert_eq!((places(&page), words(&page)), (standing, told));
    page.run(&format!("{HAND} return (async () => {{ {begin} await begin('mold-5'); }})()"));
    assert!(!is_running(&page), "a hand that takes hold of something ends it");
    page.run("return onepullEnd()");
}

#[test]
fn lines_have_their_figures_webs_a_shape_and_a_word_and_limits_are_said() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    let (plan, told) = told();
    let figures =
        "return [...document.querySelectorAll('.forecast-figure')].map((one) => one.textContent)";
    let figures: Vec<String> = serde_json::from_value(page.run(figures)).expect("texts");
    let shown = LINES.map(|ratio| plan.settings.lengths.show_gauge(told.thickness(ratio)));
    let is_of_a_line =
        |figure: &String| shown.iter().any(|line| line.split(' ').next() == Some(figure.as_str()));
    assert!(figures.len() > 3 && figures.iter().all(is_of_a_line), "{figures:?} of {shown:?}");
    // The worst web, with a zigzag and its word where it is.
    let web = &told.webs[0];
    let sign = "const [x, y] = arguments;
        const far = (one) => { const at = one.transform.baseVal.consolidate().matrix; return Math.hypot(at.e - x, at.f - y); };
        const signs = [...document.querySelectorAll('.forecast-signs > g')].filter((one) =>
          one.querySelector('.sign-shape')?.getAttribute('d').split('L').length === 5);
        const near = signs.sort((a, b) => far(a) - far(b))[0];
        return [far(near), near.querySelector('.sign-shape').getAttribute('d'), near.querySelector('text')?.textContent ?? '']";
    let sign = page.run_with(sign, vec![json!(web.at.x), json!(web.at.y)]);
    assert!(sign[0].as_f64().is_some_and(|far| far < 40.0), "{sign}");
    assert!(sign[1].as_str().is_some_and(|shape| shape.matches('L').count() == 4), "{sign}");
    let word = match (web.kind, web.severity) {
        (WebKind::Span, _) => "spans",
        (WebKind::Fold, Severity::Note) => "may web",
        (WebKind::Fold, _) => "web likely",
    };
    assert_eq!(sign[2], json!(word), "{sign}");
    let panel = page.by_selector(".panel").text();
    for words in ["not a promise", "undercuts are not seen", "a disc of 14 mm"] {
        assert!(panel.contains(words), "{words}");
    }
}

#[test]
fn a_section_is_cut_along_two_ends_that_pointer_and_keys_move() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    let (plan, told) = told();
    page.by_id("forecast-section-on").click();
    let (_, spot) = told.thinnest_kept().expect("molds stand");
    let opening = plan.machine.opening();
    let mut ends = [opening.min.x, opening.max.x].map(|x| Point::new(x, spot.at.y));
    until_cut(&page, &plan, &told, ends);
    page.run("document.getElementById('section-end-0').focus()");
    page.press("ArrowUp");
    page.press("Shift+ArrowRight");
    ends[0] = Point::new(ends[0].x + 10.0, ends[0].y + 1.0);
    until_cut(&page, &plan, &told, ends);
    let standing = places(&page);
    let knob = page.by_selector("#section-end-1 .section-knob").middle();
    page.drag(&[knob, (knob.0 - 40.0, knob.1 - 30.0)]);
    page.until("the dragged end is elsewhere", || {
        (!cut(&page).is_empty() && cut(&page) != section_words(&plan, &told, ends)).then_some(())
    });
    assert_eq!(places(&page), standing, "no mold was moved");
    page.by_id("forecast-section-on").click();
    page.until("the line is gone", || {
        (page.run("return !document.getElementById('section-end-0')") == json!(true)).then_some(())
    });
}

#[test]
fn it_can_be_told_to_wait_and_the_map_can_be_put_away() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    page.by_id("forecast-auto").click();
    page.by_selector("#mold-5").click();
    page.press("ArrowRight");
    page.until("it is stale", || is_stale(&page).then_some(()));
    std::thread::sleep(std::time::Duration::from_millis(1200));
    assert!(is_stale(&page) && !is_running(&page), "it was told to wait");
    // The switch is remembered: after a reload there is no forecast until one is asked for.
    page.reload();
    page.by_id("tab-forecast").click();
    let is_auto = page.run("return document.getElementById('forecast-auto').checked");
    assert_eq!(is_auto, json!(false), "the switch is as it was left");
    std::thread::sleep(std::time::Duration::from_millis(1200));
    assert!(page.by_selector(".panel").text().contains("No forecast yet.") && !is_running(&page));
    page.by_role("button", "Forecast now").click();
    until_fresh(&page);
    page.by_id("forecast-map").click();
    page.until("the map is put away", || (picture(&page) == Value::Null).then_some(()));
    page.by_id("forecast-map").click();
    page.until("the map is back", || (picture(&page) != Value::Null).then_some(()));
}

const SAG: &str = "Sag before forming";

#[test]
fn a_sheet_that_slides_and_hangs_is_forecast_so_and_the_choice_is_remembered() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    page.by_text("Slides").click();
    page.by_label("Friction").fill_in("-1");
    page.press("Enter");
    page.by_text("Not changed: friction goes from 0 to 100.").click();
    page.by_label("Friction").fill_in("0.5");
    page.press("Enter");
    let flat = Settings { friction: Some(0.5), ..Settings::default() };
    let (plan, sticking) = told();
    let sliding = forecast(&plan, PULL, &flat, &mut ()).expect("a forecast");
    let hung = Settings { sag: Length::inches(2.0), ..flat };
    let hanging = forecast(&plan, PULL, &hung, &mut ()).expect("a forecast");
    let thinnest = |told: &Forecast| {
        let (_, spot) = told.thinnest_kept().expect("molds stand");
        format!("Thinnest {} (", plan.settings.lengths.show_gauge(told.thickness(spot.ratio)))
    };
    assert_ne!(thinnest(&sliding), thinnest(&sticking), "or nothing would be seen of it");
    assert_ne!(thinnest(&hanging), thinnest(&sliding));
    let is_of = |told: &Forecast| {
        until_fresh(&page);
        page.until("it is of a sheet that does so", || {
            words(&page).starts_with(&thinnest(told)).then_some(())
        });
    };
    is_of(&sliding);
    // What cannot hang so far changes nothing.
    let most = plan.settings.lengths.show_exact(plan.machine.opening().depth() / 4.0);
    for wrong in ["3 in", "-1 mm"] {
        page.by_label(SAG).fill_in(wrong);
        page.press("Enter");
        page.by_text(&format!("Not changed: over this opening a sheet hangs from 0 to {most}, a quarter of its narrower side."))
            .click();
        assert!(!is_stale(&page));
    }
    page.by_label(SAG).fill_in("2 in");
    page.press("Enter");
    is_of(&hanging);
    page.reload();
    page.by_id("tab-forecast").click();
    is_of(&hanging);
    let kept = ["Friction", SAG].map(|label| page.by_label(label).value());
    assert_eq!(kept, ["0.5".to_owned(), plan.settings.lengths.show_exact(hung.sag)]);
    // An opening that became too small for it is told, and with the opening the complaint goes.
    page.by_role("tab", "Machine").click();
    page.by_label("Clamp lip").fill_in("4.1 in");
    page.press("Enter");
    page.by_role("tab", "Forecast").click();
    page.until("no such forecast", || {
        page.by_selector(".forecast-standing")
            .text()
            .starts_with("No forecast: a sag of 50.8 mm is too much for this opening; choose 0 to ")
            .then_some(())
    });
    page.by_role("button", "Undo").click();
    page.until("the complaint is gone", || {
        (!page.by_selector(".forecast-standing").text().starts_with("No forecast")).then_some(())
    });
    // What is equally thick has no use for it.
    page.by_text("Equally thick").click();
    page.until("it is not asked for", || {
        (page.run("return [...document.querySelectorAll('label')].every((one) => one.textContent !== 'Friction')")
            == json!(true))
        .then_some(())
    });
}

#[test]
fn a_least_wall_warns_and_says_which_sheet_would_do() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    let warned =
        "return [...document.querySelectorAll('.warnings .finding-title')].filter((title) =>
        title.textContent.includes('too thin')).length";
    assert_eq!(page.run(warned), json!(0));
    page.by_label("Least wall wanted").fill_in("1.2 mm");
    page.press("Enter");
    page.until("walls are too thin", || (page.run(warned).as_u64()? > 0).then_some(()));
    let told = page.by_selector(".panel .derived").text();
    assert!(told.contains("commonly sold"), "{told}");
    assert!(!is_stale(&page), "the sheet itself is the same");
    page.by_label("Least wall wanted").click();
    page.press("Control+a");
    page.press("Backspace");
    page.press("Enter");
    page.until("nothing is asked for", || (page.run(warned) == json!(0)).then_some(()));
}

/// Dots of the picture that the sheet covers, and a sum that another picture hardly has too.
const DOTS: &str = "const canvas = document.getElementById('forecast-solid');
    const gl = canvas.getContext('webgl2');
    if (!gl || canvas.hidden) return null;
    const dots = new Uint8Array(4 * canvas.width * canvas.height);
    gl.readPixels(0, 0, canvas.width, canvas.height, gl.RGBA, gl.UNSIGNED_BYTE, dots);
    let [covered, sum] = [0, 0];
    for (let at = 0; at < dots.length; at += 4) {
      if (dots[at + 3] > 0) { covered += 1; sum = (sum * 31 + dots[at] * at) % 1000000007; }
    }
    return [covered / canvas.width / canvas.height, sum]";

#[test]
#[expect(clippy::print_stdout, reason = "a check that was left out must be seen to be")]
fn the_formed_sheet_is_drawn_and_turned_by_key_and_pointer() {
    let browser = Browser::start();
    let page = opened(&browser);
    until_fresh(&page);
    let drawn = page.run(DOTS);
    if drawn == Value::Null {
        println!(
            "LEFT OUT: this browser has no WebGL 2, so the picture of the sheet was not looked at"
        );
        assert!(page.by_selector(".panel").text().contains("nothing in three dimensions"));
        return;
    }
    let covered = drawn[0].as_f64().expect("a share");
    println!("the sheet covers {:.0} % of its picture", covered * 100.0);
    assert!((0.1..0.9).contains(&covered), "{covered}");
    page.run("document.getElementById('forecast-solid').focus()");
    page.press("ArrowLeft");
    let turned = page.run(DOTS);
    assert_ne!(turned, drawn, "a key turns it");
    let middle = page.by_id("forecast-solid").middle();
    page.drag(&[middle, (middle.0 + 60.0, middle.1 + 20.0)]);
    assert_ne!(page.run(DOTS), turned, "a drag turns it");
    page.by_role("button", "As at first").click();
    page.until("it is as at first", || (page.run(DOTS) == drawn).then_some(()));
}

#[test]
fn without_webgl_a_sentence_stands_in_place_of_the_picture() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    page.run(
        "const own = HTMLCanvasElement.prototype.getContext;
         HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {
           return kind === 'webgl2' ? null : own.call(this, kind, ...rest);
         };",
    );
    page.by_id("tab-forecast").click();
    until_fresh(&page);
    assert_eq!(
        page.run("return document.getElementById('forecast-solid').checkVisibility()"),
        json!(false)
    );
    assert!(page.by_selector(".panel").text().contains("nothing in three dimensions"));
    assert_ne!(picture(&page), Value::Null, "the map needs none of it");
}

/// What is asked is that of a drag without a map (`browser_smooth`).
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn a_drag_stays_smooth_over_the_map() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    open_plan(&page, &crowded(12, 60));
    page.by_id("forecast-map").click();
    page.until("the map is on the board", || {
        (picture(&page) != Value::Null && !is_stale(&page) && !is_running(&page)).then_some(())
    });
    let mut best = f64::INFINITY;
    for _ in 0..3 {
        let drag = drag(&page, "mold-105");
        println!("drag among 12 molds over the map: {}", drag.words());
        best = best.min(drag.cost());
        page.until("the map is fresh again", || (!is_stale(&page)).then_some(()));
    }
    keeps_pace("a frame of a drag over the map", best, 16.0, "ms");
}

/// The sample, six molds on a blank of 12 x 16 in, on a net of 3 mm: the clock's time where the machine is quiet, the
/// processor's where neighbours take their share of it.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn a_usual_bench_is_forecast_while_one_waits() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    page.cdp("Performance.enable", json!({ "timeDomain": "threadTicks" }));
    let plan = sample();
    timed(&page, &ask(&plan, 12.0));
    let (mut clock, mut work) = (f64::INFINITY, f64::INFINITY);
    for _ in 0..3 {
        let spent = timed(&page, &ask(&plan, 3.0));
        (clock, work) = (clock.min(spent[0]), work.min(spent[1]));
    }
    let start = Instant::now();
    let told = forecast(&plan, PULL, &Settings::default(), &mut ()).expect("a forecast");
    let native = start.elapsed().as_secs_f64() * 1e3;
    println!(
        "forecast of the sample on a net of 3 mm, {} nodes: {clock:.0} ms by the clock in the browser, {work:.0} ms of \
         processor; {native:.0} ms natively (this test's own build)",
        told.sheet.positions.len()
    );
    keeps_pace("a forecast in the browser", clock.min(work), 1_500.0, "ms");
}

/// What a request takes in the page's own thread: by the clock, and of the processor.
fn timed(page: &Page, ask: &Value) -> [f64; 2] {
    let script = "const [request] = arguments;
        return (async () => {
          const glue = await import(new URL('works.js', document.baseURI));
          const { worksModule } = await import(new URL('modules.js', document.baseURI));
          await glue.default({ module_or_path: await worksModule() });
          const start = performance.now();
          glue.handle_message(request);
          return performance.now() - start;
        })()";
    let spent = || {
        let answer = page.cdp("Performance.getMetrics", json!({}));
        let metrics = answer["metrics"].as_array().expect("a list");
        let spent = metrics.iter().find(|metric| metric["name"] == json!("ThreadTime"));
        spent.and_then(|metric| metric["value"].as_f64()).expect("seconds of the thread") * 1e3
    };
    let before = spent();
    let request = json!({ "job": 1, "ask": ask }).to_string();
    let clock = page.run_with(script, vec![json!(request)]).as_f64().expect("a time");
    [clock, spent() - before]
}

fn ask(plan: &Plan, mesh: f64) -> Value {
    let plan = engine::file::save(plan);
    json!({ "forecast": { "plan": plan, "pull": 1, "is_uniform": false, "mesh": mesh } })
}

/// The page with the forecast's panel open.
fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    page.by_id("tab-forecast").click();
    page
}

/// The forecast of the sample as the page makes it, by the engine itself.
fn told() -> (Plan, Forecast) {
    let plan = sample();
    let told = forecast(&plan, PULL, &Settings::default(), &mut ()).expect("a forecast");
    (plan, told)
}

fn until_fresh(page: &Page) {
    page.until("the fine forecast is of this layout", || {
        let standing = page.run("return document.querySelector('.forecast-standing')?.textContent");
        let is_fine = standing.as_str()?.starts_with("Of the layout on the board");
        (is_fine && !is_stale(page)).then_some(())
    });
}

fn words(page: &Page) -> String {
    let words = page.run("return document.querySelector('.forecast-words').textContent");
    words.as_str().unwrap_or_default().to_owned()
}

fn is_stale(page: &Page) -> bool {
    page.run("return document.querySelector('.forecast-bar').classList.contains('is-stale')")
        == json!(true)
}

fn is_running(page: &Page) -> bool {
    page.run("return !document.querySelector('.forecast-busy').classList.contains('is-idle')")
        == json!(true)
}

/// The address of the map's picture.
fn picture(page: &Page) -> Value {
    page.run("return document.querySelector('.forecast-map')?.getAttribute('href') ?? null")
}

/// What the page says of a place, made from the engine's own map.
fn said(plan: &Plan, told: &Forecast, at: Point) -> String {
    use engine::drape::Contact;
    let reading = told.map.at(at).expect("in the opening");
    let figure = plan.settings.lengths.show_gauge(told.thickness(reading.ratio));
    let lies = match reading.contact {
        Contact::Nothing => "hanging free".to_owned(),
        Contact::Clamp => "at the clamp".to_owned(),
        Contact::Platen => "on the platen".to_owned(),
        Contact::Mold(id) => {
            let placement = plan.pulls[&PULL].placements[&id];
            let mold = &plan.molds[&placement.mold];
            let copy =
                if mold.copies > 1 { format!(" #{}", placement.copy.0) } else { String::new() };
            format!("on {}{copy}", mold.name)
        }
    };
    format!("{figure}, {:.0} % of the gauge, {lies}", reading.ratio * 100.0)
}

/// Where a place of the blank is in the window.
fn on_screen(page: &Page, at: Point) -> Place {
    let script = "const [x, y] = arguments;
        const map = document.querySelector('#board-drawing > g').getScreenCTM();
        return [map.a * x + map.c * y + map.e, map.b * x + map.d * y + map.f]";
    let place = page.run_with(script, vec![json!(at.x), json!(at.y)]);
    serde_json::from_value(place).expect("a place")
}

fn hover(page: &Page, (x, y): Place) {
    let moved = json!({ "type": "mouseMoved", "x": x, "y": y, "button": "none", "buttons": 0 });
    page.cdp("Input.dispatchMouseEvent", moved);
}

/// Where all molds stand, as the page draws them.
fn places(page: &Page) -> Value {
    page.run(
        "return [...document.querySelectorAll('.mold[data-hit] .footprint')].map((path) => path.getAttribute('d'))",
    )
}

fn cut(page: &Page) -> String {
    let words = page.run("return document.querySelector('.profile-words')?.textContent ?? ''");
    words.as_str().unwrap_or_default().to_owned()
}

/// What the page says of a section, made from the engine's own.
fn section_words(plan: &Plan, told: &Forecast, [from, to]: [Point; 2]) -> String {
    let style = plan.settings.lengths;
    let section = told.section(from, to);
    let points = section.sheet.iter().flatten();
    let thinnest = points.min_by(|a, b| a.ratio.total_cmp(&b.ratio)).expect("a cut");
    let length = Length::mm(from.distance(to));
    format!(
        "{} long. Thinnest on the line: {}, {:.0} % of the gauge, {} from its first end.",
        style.show(length),
        style.show_gauge(told.thickness(thinnest.ratio)),
        thinnest.ratio * 100.0,
        style.show(thinnest.along)
    )
}

fn until_cut(page: &Page, plan: &Plan, told: &Forecast, ends: [Point; 2]) {
    let wanted = section_words(plan, told, ends);
    page.until(&wanted, || (cut(page) == wanted).then_some(()));
}

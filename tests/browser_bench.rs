//! The bench in the page: a pull timed across a reload, logged with a photo, exported and imported; what the log suggests.

mod foreign;

use engine::file::{load_log, save_log};
use engine::plan::{HeightBasis, PullId, sample};
use engine::record::{Logbook, Outcome, PullRecord, RecordId, Spacing};
use engine::units::Seconds;
use onepull_tests::page::{Browser, Page};
use serde_json::{Value, json};

use foreign::{Files, Photograph};

fn opened(browser: &Browser) -> Page {
    let page = browser.page();
    page.open("?nosw");
    page.by_role("tab", "Bench").click();
    page
}

fn words(page: &Page, selector: &str) -> String {
    let script = "return document.querySelector(arguments[0])?.innerText ?? ''";
    let words = page.run_with(script, vec![json!(selector)]);
    words.as_str().unwrap_or_default().to_owned()
}

fn until_words(page: &Page, selector: &str, wanted: &str) {
    page.until(&format!("`{selector}` says `{wanted}`"), || {
        words(page, selector).contains(wanted).then_some(())
    });
}

/// What the timer shows, in seconds.
fn figure(page: &Page) -> Option<u32> {
    let text = words(page, ".bench-figure");
    let (minutes, seconds) = text.trim().split_once(':')?;
    Some(minutes.parse::<u32>().ok()? * 60 + seconds.parse::<u32>().ok()?)
}

fn n_pulls(page: &Page) -> Value {
    page.run("return document.querySelectorAll('.bench-pull').length")
}

/// Makes the stored pull look as if it had begun so many seconds earlier, or later, as after a change of the clock.
fn shift_stored(page: &Page, seconds: i64) {
    let script = "const key = 'onepull:running-pull';
        const shift = (moment) => String(Number(moment) - 1000 * arguments[0]);
        const text = localStorage.getItem(key);
        const [head, ...log] = text.split('\\n');
        const [timed, drawn, cooled, seen, back] = head.split(' ');
        const rest = log.join('\\n').replace(/\"id\": (\\d+)/, (_, id) => `\"id\": ${shift(id)}`);
        localStorage.setItem(key, [timed, drawn, cooled, shift(seen), back].join(' ') + '\\n' + rest);";
    page.run_with(script, vec![json!(seconds)]);
}

#[test]
fn a_pull_outlives_its_tab_is_logged_with_a_photo_and_goes_out_and_in_as_a_file() {
    let (files, browser) = (Files::new("bench"), Browser::start());
    let page = opened(&browser);
    until_words(&page, ".bench-what", "Pull 1, Tide-pool kit: HIPS 1.5 mm, heater on one side");
    page.by_id("bench-start").click();
    page.until("the timer runs", || figure(&page).filter(|&seconds| seconds >= 1));
    // The tab dies, and 40 s later somebody opens the page again.
    page.kill();
    page.open("?nosw");
    until_words(&page, ".bench-say", "Stay with it");
    shift_stored(&page, 40);
    page.reload();
    page.until("the timer has gone on, on the panel that opens by itself", || {
        figure(&page).filter(|&seconds| (41..100).contains(&seconds))
    });
    until_words(&page, ".bench-say", "It may be at its limit");
    page.by_id("bench-drawn").click();
    until_words(&page, ".bench-say", "under a fan");
    page.by_id("bench-cooled").click();
    // Nothing is logged before somebody says how it came out.
    page.by_id("bench-log").click();
    until_words(&page, ".notice", "Say how it came out first");
    note(&page);
    let photo = files.write("crab.png", Photograph::new(2).png());
    page.by_id("bench-photo").choose_file(&photo);
    until_photo(&page);
    page.reload();
    until_photo(&page);
    assert_eq!(page.by_label("Notes").value(), "fan on", "what was noted has outlived the tab too");
    page.by_id("bench-log").click();
    page.until("it is in the log", || (n_pulls(&page) == json!(1)).then_some(()));
    page.reload();
    page.by_role("tab", "Bench").click();
    until_photo(&page);
    for told in ["Web at Limpet", "62 s to forming", "sag 25.4 mm", "fan on"] {
        until_words(&page, ".bench-pull", told);
    }
    out_and_in(&page, &files);
}

/// Says that it webbed at the limpet, and corrects what was timed.
fn note(page: &Page) {
    page.by_role("button", "Good").click();
    page.by_role("button", "Web").click();
    page.until("good is taken back", || {
        (page.by_role("button", "Good").attribute("aria-pressed").as_deref() == Some("false"))
            .then_some(())
    });
    page.by_role("checkbox", "Limpet").click();
    for (label, text) in
        [("Seconds to forming", "62"), ("Sag when it was drawn", "1 in"), ("Notes", "fan on")]
    {
        page.by_label(label).fill_in(text);
        page.press("Enter");
    }
}

fn until_photo(page: &Page) {
    page.until("the photo shows, made small", || {
        let side = page.run(
            "const photo = document.querySelector('.bench-photo');
             return photo?.complete ? Math.max(photo.naturalWidth, photo.naturalHeight) : 0",
        );
        side.as_u64().filter(|side| (1..=800).contains(side))
    });
}

fn out_and_in(page: &Page, files: &Files) {
    page.by_role("button", "Export the log").click();
    until_words(page, ".notice", "is saved with your downloads");
    let name = page.until("the log is downloaded", || {
        let is_log = |name: &String| name.starts_with("Pulls ") && name.ends_with(".json");
        page.download_names().into_iter().find(is_log)
    });
    let text = String::from_utf8(page.downloaded(&name)).expect("text");
    let book = load_log(&text).expect("a log");
    let (_, record) = book.iter().next().expect("a pull");
    assert_eq!(record.heated, Some(Seconds::new(62.0)));
    assert!(record.cooled.is_some() && record.photo.is_some() && record.spacing.is_some());
    assert_eq!(record.outcomes.get(&Outcome::Web), Some(&["Limpet".to_owned()].into()));
    let remove = format!("Remove the pull of {}", record.at);
    page.by_role("button", &remove).click();
    page.until("it is gone", || (n_pulls(page) == json!(0)).then_some(()));
    page.by_role("button", "Bring it back").click();
    page.until("it is back", || (n_pulls(page) == json!(1)).then_some(()));
    page.by_role("button", &remove).click();
    page.until("it is gone", || (n_pulls(page) == json!(0)).then_some(()));
    let file = files.write("pulls.json", &text);
    for told in ["1 pull from pulls.json is now in the log", "1 pull is there already"] {
        page.by_id("bench-import").choose_file(&file);
        until_words(page, ".notice", told);
        page.until("it is there once", || (n_pulls(page) == json!(1)).then_some(()));
    }
    page.by_id("bench-import").choose_file(&files.write("bad.json", text.replace("gauge", "gage")));
    until_words(page, ".notice", "bad.json was not read: pulls[0].gage_mm");
}

// Half a sentence is more than none: it is stored with each letter, not when the field is left.
#[test]
fn a_note_that_is_being_typed_when_the_tab_dies_is_kept() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_id("bench-start").click();
    page.by_label("Notes").type_in("ripples at 30 s, fan");
    page.until("the last letter is taken", || {
        let kept = page.run("return localStorage.getItem('onepull:running-pull') ?? ''");
        kept.as_str().is_some_and(|text| text.contains("ripples at 30 s, fan")).then_some(())
    });
    page.kill();
    page.open("?nosw");
    assert_eq!(page.by_label("Notes").value(), "ripples at 30 s, fan");
    page.by_id("bench-drawn").click();
    assert_eq!(page.by_label("Notes").value(), "ripples at 30 s, fan");
}

#[test]
fn the_screen_is_kept_on_from_the_start_to_cooled_and_asked_again_when_it_is_seen_again() {
    let browser = Browser::start();
    let page = browser.page();
    page.before_load(
        "globalThis.wakes = [];
         globalThis.isSeen = 'visible';
         Object.defineProperty(document, 'visibilityState', { get: () => isSeen });
         Object.defineProperty(navigator, 'wakeLock', { value: {
             request: async (kind) => {
                 wakes.push(`asked for ${kind}`);
                 const lock = new EventTarget();
                 lock.release = async () => { wakes.push('released'); lock.dispatchEvent(new Event('release')); };
                 globalThis.held = lock;
                 return lock;
             },
         } });",
    );
    page.open("?nosw");
    page.by_role("tab", "Bench").click();
    let until_wakes = |wanted: Value| {
        page.until(&format!("the screen was {wanted}"), || {
            (page.run("return wakes") == wanted).then_some(())
        });
    };
    until_wakes(json!([]));
    page.by_id("bench-start").click();
    until_wakes(json!(["asked for screen"]));
    until_words(&page, ".panel", "The screen stays on while the timer runs.");
    // The browser takes the lock back while another tab is in front.
    page.run(
        "isSeen = 'hidden'; document.dispatchEvent(new Event('visibilitychange'));
         held.dispatchEvent(new Event('release'));",
    );
    until_wakes(json!(["asked for screen"]));
    page.run("isSeen = 'visible'; document.dispatchEvent(new Event('visibilitychange'));");
    until_wakes(json!(["asked for screen", "asked for screen"]));
    page.by_id("bench-drawn").click();
    page.by_id("bench-cooled").click();
    let all = json!(["asked for screen", "asked for screen", "released"]);
    until_wakes(all.clone());
    page.run("document.dispatchEvent(new Event('visibilitychange'))");
    assert_eq!(page.run("return new Promise(done => setTimeout(() => done(wakes), 100))"), all);
}

/// Both ends of `58 s to 2 min 5 s`, in seconds.
fn ends(span: &str) -> [u32; 2] {
    let seconds = |words: &str| {
        let mut sum = 0;
        let parts: Vec<&str> = words.split_whitespace().collect();
        for pair in parts.chunks(2) {
            let [number, unit] = pair else { panic!("{words}") };
            let one = if *unit == "min" { 60 } else { 1 };
            sum += number.parse::<u32>().expect("a number") * one;
        }
        sum
    };
    let (from, to) = span.split_once(" to ").unwrap_or_else(|| panic!("no range: {span}"));
    [seconds(from), seconds(to)]
}

#[test]
fn heat_timer_and_card_speak_of_one_heater_that_is_remembered() {
    let browser = Browser::start();
    let page = opened(&browser);
    let times = |page: &Page, list: &str| {
        let script = "return [...document.querySelectorAll(arguments[0] + ' dd')].map(e => e.innerText.trim())";
        let times = page.run_with(script, vec![json!(list)]);
        serde_json::from_value::<Vec<String>>(times).expect("words")
    };
    let begun = times(&page, ".bench-times");
    page.by_role("tab", "Heat").click();
    page.by_role("radio", "Both sides").click();
    for (label, flux) in [("A side takes up, at least", "4"), ("At most", "6")] {
        page.by_label(label).fill_in(flux);
        page.press("Enter");
    }
    page.reload();
    page.by_role("tab", "Heat").click();
    assert_eq!(page.by_label("A side takes up, at least").value(), "4");
    assert_eq!(page.by_label("At most").value(), "6");
    let heat = page.until("the heat is told", || {
        Some(times(&page, ".heat-times")).filter(|times| times.len() == 3)
    });
    page.by_role("tab", "Bench").click();
    until_words(&page, ".bench-what", "heater on both sides");
    let timer = times(&page, ".bench-times");
    assert_ne!(timer, begun, "another heater has other times");
    // The panel of heat rounds to 5 s, the timer to 1 s.
    for (one, other) in timer.iter().zip(&heat) {
        for (timed, told) in ends(one).into_iter().zip(ends(other)) {
            assert!(timed.abs_diff(told) <= 3, "{one}; {other}");
        }
    }
    page.by_role("tab", "Print").click();
    page.by_role("button", "Download bench card").click();
    let name = page.until("the card is downloaded", || {
        page.download_names().into_iter().find(|name| name.ends_with("bench card.pdf"))
    });
    let pdf = lopdf::Document::load_mem(&page.downloaded(&name)).expect("a PDF");
    let pages: Vec<u32> = pdf.get_pages().keys().copied().collect();
    let words = pdf.extract_text(&pages).expect("words");
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    for time in &heat {
        assert!(words.contains(time), "{time}: {words}");
    }
    // And the other way round: what is said at the bench holds under Heat.
    page.by_role("tab", "Bench").click();
    page.by_id("bench-both").click();
    page.by_role("tab", "Heat").click();
    page.until("one side has other times", || {
        Some(times(&page, ".heat-times")).filter(|times| times.len() == 3 && *times != heat)
    });
    page.by_role("tab", "Bench").click();
    until_words(&page, ".bench-what", "heater on one side");
}

#[test]
fn a_clock_that_was_set_back_is_told_and_times_nothing() {
    let browser = Browser::start();
    let page = opened(&browser);
    page.by_id("bench-start").click();
    page.until("the timer runs", || figure(&page).filter(|&seconds| seconds >= 1));
    shift_stored(&page, -3600);
    page.reload();
    until_words(&page, ".panel", "The clock of this device was set back during this pull");
    assert_eq!(words(&page, ".bench-figure").trim(), "?");
    page.by_id("bench-drawn").click();
    page.until("no seconds are made up", || {
        page.by_label("Seconds to forming").value().is_empty().then_some(())
    });
    page.by_id("bench-give-up").click();
    until_words(&page, ".panel", "The pull that was going on is thrown away.");
    page.by_role("button", "Bring it back").click();
    until_words(&page, ".bench-say", "under a fan");
}

#[test]
fn three_tones_sound_when_the_limit_may_be_reached_unless_they_are_switched_off() {
    let browser = Browser::start();
    for (is_off, expected) in [(false, 3), (true, 0)] {
        let page = opened(&browser);
        page.run(
            "globalThis.tones = 0;
             const make = BaseAudioContext.prototype.createOscillator;
             BaseAudioContext.prototype.createOscillator = function () {
               globalThis.tones += 1;
               return make.call(this);
             };",
        );
        page.by_id("bench-start").click();
        if is_off {
            page.by_id("bench-sound").click();
        }
        // Half a minute passes: the sample's sheet may be at its limit from 27 s on.
        page.run("const real = Date.now.bind(Date); Date.now = () => real() + 30000;");
        until_words(&page, ".bench-say", "It may be at its limit");
        page.until("the tones are counted", || {
            (page.run("return globalThis.tones") == json!(expected)).then_some(())
        });
    }
}

#[test]
fn a_factor_is_suggested_with_its_counts_and_taken_as_one_step() {
    let (files, browser) = (Files::new("bench-factor"), Browser::start());
    let page = opened(&browser);
    until_words(&page, ".panel", "No other factor is suggested: that takes 5 pulls or more");
    page.by_id("bench-import").choose_file(&files.write("pulls.json", save_log(&six_pulls())));
    until_words(&page, ".panel", "Under 1.75 x: 1 of 6 pulls webbed.");
    // One web at 1.1 times the height, five pulls without from 1.4 on.
    let rows = page.run(
        "return [...document.querySelectorAll('#bench-factors tbody tr')].map(row => [...row.cells].map(c => c.innerText))",
    );
    let want = json!([
        ["1 x", "no pull", "1 of 6"],
        ["1.25 x", "1 of 1", "0 of 5"],
        ["1.5 x", "1 of 3", "0 of 3"],
        ["1.75 x", "1 of 6", "no pull"],
        ["2 x", "1 of 6", "no pull"],
    ]);
    assert_eq!(rows, want);
    until_words(
        &page,
        ".panel",
        "From 1.4 x on no pull webbed, 5 of them close to it. Below it 1 of 1 did.",
    );
    until_words(&page, ".panel", "From 6 pulls of yours under this heater.");
    page.by_role("button", "Use 1.4 x here").click();
    until_words(&page, ".panel", "Under 1.4 x: 1 of 1 pull webbed.");
    page.by_role("button", "Undo").click();
    until_words(&page, ".panel", "Under 1.75 x: 1 of 6 pulls webbed.");
}

/// One web at 1.1 times the height, five pulls without from 1.4 on.
fn six_pulls() -> Logbook {
    (0_u32..6).zip([1.1, 1.4, 1.4, 1.5, 1.5, 1.6]).fold(Logbook::default(), |book, (n, factor)| {
        let outcome = if n == 0 { Outcome::Web } else { Outcome::Good };
        let at = format!("2026-08-01 14:{n:02}");
        let begun = PullRecord::begun(&at, &sample(), PullId(1), engine::heat::Sides::One);
        let record = PullRecord {
            heated: Some(Seconds::new(60.0)),
            outcomes: [(outcome, [].into())].into(),
            spacing: Some(Spacing { factor, basis: HeightBasis::Taller }),
            ..begun
        };
        book.add(RecordId(1_785_593_100_000 + u64::from(n)), &record).expect("fits")
    })
}

//! Whether the page follows what a person has set: zoom, spacing of text, forced colours, contrast, no motion.

mod foreign;
mod views;

use onepull_tests::page::{Browser, Page};
use serde_json::json;

use views::{on_every_panel, select_limpet};

/// A window of 1280 x 1024 at a zoom of 400 %: WCAG 2.2, criterion 1.4.10 (reflow).
const ZOOMED: (u32, u32) = (320, 256);

/// What does not fit: wider than the window, outside of it, cut off, on top of another, or too small to hit. Drawings and
/// tables may be as wide as they must; the board is a drawing.
const MISFITS: &str = "
    const width = document.documentElement.clientWidth;
    const found = [];
    const say = (what, one) => found.push(`${what}: ${one.outerHTML.slice(0, 140)}`);
    if (document.documentElement.scrollWidth > width) say(`${document.documentElement.scrollWidth} px wide`, document.body);
    const at_work = document.querySelector('dialog[open]') ?? document.body;
    const shown = [...at_work.querySelectorAll('*')].filter((one) =>
      one.checkVisibility() && !one.closest('.unseen, .skip, .magnifier, table') && !(one.closest('svg') && one.tagName !== 'svg'));
    for (const one of shown) {
      const box = one.getBoundingClientRect();
      if (!box.width || !box.height) continue;
      if (box.left < -0.5 || box.right > width + 0.5) say(`from ${box.left} to ${box.right} px`, one);
      const { overflowX: across, overflowY: down } = getComputedStyle(one);
      const is_field = one.matches('input, select, textarea');
      if (across !== 'visible' && one.scrollWidth > one.clientWidth + 1 && !is_field) say('scrolls or is cut sideways', one);
      if (['hidden', 'clip'].includes(down) && one.scrollHeight > one.clientHeight + 1 && !is_field && one.tagName !== 'svg') {
        say('is cut at its foot', one);
      }
      if (!one.matches('button, summary, label, .file-button')) continue;
      const texts = document.createTreeWalker(one, NodeFilter.SHOW_TEXT);
      // The space after the last letter of a line counts with it.
      while (texts.nextNode()) {
        const words = document.createRange();
        words.selectNodeContents(texts.currentNode);
        const { width: across, right, bottom } = words.getBoundingClientRect();
        const is_out = across > 0 && (right > box.right + 3 || bottom > box.bottom + 1.5);
        if (is_out && !texts.currentNode.parentElement.closest('.unseen')) say('its words stick out', one);
      }
    }
    // What of it is not scrolled out of what it stands in.
    const seen = (one) => {
      let { left, right, top, bottom } = one.getBoundingClientRect();
      for (let outer = one.parentElement; outer; outer = outer.parentElement) {
        if (getComputedStyle(outer).overflowY === 'visible') continue;
        const box = outer.getBoundingClientRect();
        [left, right] = [Math.max(left, box.left), Math.min(right, box.right)];
        [top, bottom] = [Math.max(top, box.top), Math.min(bottom, box.bottom)];
      }
      return { left, right, top, bottom };
    };
    const controls = shown.filter((one) => one.matches('button, input, select, textarea, summary, a'))
      .map((one) => one.closest('label') ?? one).filter((one) => !one.closest('.dialog-foot, .dialog-head, .notice'));
    controls.forEach((one, nth) => {
      const a = one.getBoundingClientRect();
      if (a.width < 24 || a.height < 24) say(`${a.width} x ${a.height} px`, one);
      const here = seen(one);
      for (const other of controls.slice(nth + 1)) {
        if (one.contains(other) || other.contains(one)) continue;
        // The tour's card lies on the page until it is left, as a notice does.
        if (one.closest('.tour') !== other.closest('.tour')) continue;
        const there = seen(other);
        const across = Math.min(here.right, there.right) - Math.max(here.left, there.left);
        const down = Math.min(here.bottom, there.bottom) - Math.max(here.top, there.top);
        if (across > 1 && down > 1) say(`lies over ${other.outerHTML.slice(0, 80)}`, one);
      }
    });
    return [...new Set(found)]";

/// How far apart a person may have lines, paragraphs, letters and words: WCAG 2.2, criterion 1.4.12 (text spacing).
const SPACED: &str = "
    const sheet = new CSSStyleSheet();
    sheet.replaceSync('* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important } p { margin-bottom: 2em !important }');
    document.adoptedStyleSheets = [sheet];";

#[test]
fn at_four_hundred_per_cent_every_view_is_one_column_with_nothing_cut_off() {
    let browser = Browser::start();
    let page = browser.page();
    page.resize(ZOOMED.0, ZOOMED.1);
    page.open("?nosw");
    assert_all_fits(&page);
    // The board is there, large enough to work on, and leaves a margin to scroll the page by.
    let share = page.run(
        "const { width, height } = document.getElementById('board-drawing').getBoundingClientRect();
         return [width / innerWidth, height / innerHeight]",
    );
    let share: [f64; 2] = serde_json::from_value(share).expect("two shares");
    assert!(share[0] > 0.94 && share[1] > 0.6 && share[1] < 0.85, "{share:?}");
}

#[test]
fn letters_lines_and_words_set_farther_apart_are_not_cut_off() {
    let browser = Browser::start();
    for (width, height) in [(1280, 900), ZOOMED] {
        let page = browser.page();
        page.resize(width, height);
        page.open("?nosw");
        page.run(SPACED);
        assert_all_fits(&page);
    }
}

#[track_caller]
fn assert_all_fits(page: &Page) {
    let mut misfits = Vec::new();
    on_every_panel(page, &mut |view| {
        let found: Vec<String> = serde_json::from_value(page.run(MISFITS)).expect("words");
        misfits.extend(found.into_iter().map(|what| format!("{view}: {what}")));
    });
    assert!(misfits.is_empty(), "{misfits:#?}");
}

/// What a person sees of each thing that can be on or off, and of the drawing.
const LOOKS: &str = "
    const look = (one) => {
      const s = getComputedStyle(one);
      return [s.borderLeftWidth, s.borderLeftColor, s.borderBottomColor, s.borderBottomWidth, s.outlineStyle, s.outlineWidth,
        s.backgroundColor, s.color, s.stroke, s.strokeWidth, s.textDecorationLine].join(' ');
    };
    const colour = (name) => {
      const probe = document.createElement('i');
      probe.style.color = name;
      document.body.append(probe);
      const computed = getComputedStyle(probe).color;
      probe.remove();
      return computed;
    };
    const ground = colour('Canvas');";

/// Selected and not selected look different, lines and signs of the drawing stand out from the ground, what can be
/// pressed has a line round or under it, and where the keyboard is can be seen.
#[test]
fn in_forced_colours_states_lines_and_the_keyboard_still_show() {
    let browser = Browser::start();
    let page = browser.page();
    page.prefer("forced-colors", "active");
    page.open("?nosw");
    select_limpet(&page);
    page.by_selector(".finding").click();
    for (on, off) in [
        (".tab[aria-selected=true]", ".tab[aria-selected=false]"),
        (".finding[aria-pressed=true]", ".finding[aria-pressed=false]"),
        (".tool[aria-pressed=true]", ".tool[aria-pressed=false]"),
        (".mold.is-selected .footprint", ".mold:not(.is-selected) .footprint"),
    ] {
        assert_differs(&page, on, off);
    }
    let lines = page.run(&format!(
        "{LOOKS} return ['.blank', '.opening', '.footprint', '.centre-cross', '.finding-line', '.sign-shape', '.hatch']
           .filter((name) => {{
             const s = getComputedStyle(document.querySelector(`.board-drawing ${{name}}`));
             return s.stroke === 'none' || s.stroke === ground || parseFloat(s.strokeWidth) === 0;
           }})"
    ));
    assert_eq!(lines, json!([]), "lines of the drawing that do not show");
    page.by_role("tab", "Machine").click();
    assert_differs(&page, ".chip[aria-pressed=true]", ".chip[aria-pressed=false]");
    on_every_panel(&page, &mut |view| {
        let bare = page.run(&format!("{LOOKS} {BARE}"));
        assert_eq!(bare, json!([]), "{view}: pressed or filled in, but with no line to show it");
    });
    page.by_role("tab", "Molds").click();
    for _ in 0..30 {
        page.press("Tab");
        let stop = page.stop();
        // Past the last stop a browser's own window has the keyboard.
        assert!(stop.id.is_empty() && stop.name.is_empty() || stop.unseen.is_empty(), "{stop:?}");
    }
}

/// What can be used and shows neither line, ground of its own nor underline.
const BARE: &str = "
    return [...document.querySelectorAll('.button, .chip, input:not([type=checkbox]):not([type=radio]), select, textarea')]
      .filter((one) => one.checkVisibility() && !one.closest('.unseen') && !one.matches('.unseen'))
      .filter((one) => {
        const s = getComputedStyle(one);
        const has_line = parseFloat(s.borderTopWidth) > 0 && s.borderTopColor !== ground;
        return !has_line && s.backgroundColor === ground && s.textDecorationLine === 'none' && one.type !== 'range';
      })
      .map((one) => one.outerHTML.slice(0, 140))";

#[track_caller]
fn assert_differs(page: &Page, on: &str, off: &str) {
    let script =
        format!("{LOOKS} return [...arguments].map((name) => look(document.querySelector(name)))");
    let looks = page.run_with(&script, vec![json!(on), json!(off)]);
    assert_ne!(looks[0], looks[1], "{on} looks like {off}");
}

#[test]
fn who_asks_for_less_motion_gets_none() {
    let browser = Browser::start();
    let page = browser.page();
    page.prefer("prefers-reduced-motion", "no-preference");
    page.open("?nosw");
    let moving = "return [...document.querySelectorAll('*')].filter((one) => {
        const s = getComputedStyle(one);
        const runs = (times) => times.split(',').some((time) => parseFloat(time) > 0);
        return runs(s.transitionDuration) || runs(s.animationDuration) || s.scrollBehavior === 'smooth';
      }).map((one) => one.className)";
    assert_eq!(page.run(moving), json!(["notice notice-none"]), "so the check sees what moves");
    page.prefer("prefers-reduced-motion", "reduce");
    on_every_panel(&page, &mut |view| {
        assert_eq!(page.run(moving), json!([]), "{view}");
        assert_eq!(page.run("return document.getAnimations().length"), json!(0), "{view}");
    });
}

#[test]
fn who_asks_for_more_contrast_gets_every_word_in_full_ink() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let soft = "return [...document.querySelectorAll('.panel-note, .save-state, .tab, .finding-reason')]
        .filter((one) => getComputedStyle(one).color !== getComputedStyle(document.body).color).length";
    assert_ne!(page.run(soft), json!(0), "some words are softer as a rule");
    page.prefer("prefers-contrast", "more");
    assert_eq!(page.run(soft), json!(0));
}

//! A hand that drags in the page itself, frame by frame, and what each frame costs; what the findings say meanwhile.

#![allow(dead_code, reason = "each test that shares this file needs a part of it")]
#![expect(clippy::cast_precision_loss, reason = "a few frames are counted")]

use std::collections::BTreeSet;

use engine::file::save;
use engine::plan::Plan;
use onepull_tests::page::Page;
use serde_json::{Value, json};

/// Frames of one drag: so many questions about so many frames each, because the driver's own questions cost as much as a
/// frame and leave the page's memory cold.
const QUESTIONS: usize = 20;
const FRAMES: usize = 6;

/// What one drag costs in milliseconds a frame, in rising order.
pub(crate) struct Drag {
    /// The time of each frame.
    pub(crate) time: Vec<f64>,
    /// The processor time of a frame, the mean over the frames of each question.
    pub(crate) work: Vec<f64>,
}

impl Drag {
    /// The figure that is held to a limit: 95 of 100 frames take no longer. On a quiet machine it is the clock's; on a
    /// busy one, where the clock tells about the neighbours, the processor's.
    pub(crate) fn cost(&self) -> f64 {
        rank(&self.time, 95).min(rank(&self.work, 95))
    }

    /// In words.
    pub(crate) fn words(&self) -> String {
        let of = |figures: &[f64]| {
            let [median, p95, worst] = [50, 95, 100].map(|per_cent| rank(figures, per_cent));
            format!("median {median:.1}, p95 {p95:.1}, worst {worst:.1}")
        };
        format!("ms a frame by the clock: {}; of processor: {}", of(&self.time), of(&self.work))
    }
}

pub(crate) fn drag(page: &Page, mold: &str) -> Drag {
    drag_during(page, mold, || {})
}

/// A drag, and what is to be seen at its end while the mold is still held.
pub(crate) fn drag_during(page: &Page, mold: &str, look: impl FnOnce()) -> Drag {
    // To find things by their roles the tests have had the browser follow every change for them, as it does for a screen
    // reader; a drag is measured without that.
    page.cdp("Accessibility.disable", json!({}));
    page.cdp("Performance.enable", json!({ "timeDomain": "threadTicks" }));
    page.run(&format!("{HAND} return begin('{mold}');"));
    let (mut time, mut work) = (Vec::new(), Vec::new());
    for question in 0..QUESTIONS {
        let before = spent_ms(page);
        let (first, all) = (question * FRAMES, QUESTIONS * FRAMES);
        let frames = page.run(&format!("return onepullHand({first}, {FRAMES}, {all})"));
        let frames: Vec<f64> = serde_json::from_value(frames).expect("times");
        work.push((spent_ms(page) - before) / frames.len() as f64);
        time.extend(frames);
    }
    look();
    page.run("return onepullEnd()");
    time.sort_by(f64::total_cmp);
    work.sort_by(f64::total_cmp);
    Drag { time, work }
}

/// The processor time that the page's main thread has used so far.
fn spent_ms(page: &Page) -> f64 {
    let answer = page.cdp("Performance.getMetrics", json!({}));
    let metrics = answer["metrics"].as_array().expect("a list");
    let spent = metrics.iter().find(|metric| metric["name"] == json!("ThreadTime"));
    spent.and_then(|metric| metric["value"].as_f64()).expect("seconds of the thread") * 1e3
}

/// The nearest rank: the least figure that so many of a hundred keep to.
fn rank(sorted: &[f64], per_cent: usize) -> f64 {
    sorted[(sorted.len() * per_cent).div_ceil(100) - 1]
}

/// Opens a plan by way of a file.
pub(crate) fn open_plan(page: &Page, plan: &Plan) {
    let name = format!("onepull-crowd-{}-{}.json", std::process::id(), plan.molds.len());
    let file = std::env::temp_dir().join(name);
    std::fs::write(&file, save(plan)).expect("a scratch file");
    page.by_id("tab-plans").click();
    page.by_selector("input[type=file]").choose_file(&file);
    let standing = plan.pulls.values().map(|pull| pull.placements.len()).sum::<usize>();
    page.until("the plan is on the board", || {
        let count = page.run("return document.querySelectorAll('.mold[data-hit]').length");
        (count == json!(standing)).then_some(())
    });
    std::fs::remove_file(&file).expect("the scratch file goes");
    // The list of molds is what usually lies open.
    page.by_id("tab-molds").click();
    assert_ne!(page.run("return document.querySelector('.notice').textContent"), Value::Null);
}

/// The titles of the findings shown, without their severity.
pub(crate) fn titles(page: &Page) -> BTreeSet<String> {
    let script = "return [...document.querySelectorAll('.finding-title')].map((title) => {
        const severity = title.querySelector('.finding-severity');
        return title.textContent.replace(severity.textContent, '').trim();
    })";
    serde_json::from_value(page.run(script)).expect("titles")
}

/// A hand that drags in the page itself, frame by frame. The events it makes are those of a mouse but for the trust
/// that a browser puts in its own; the page does not ask for that.
pub(crate) const HAND: &str = r"
    const board = document.getElementById('board-drawing');
    const event = (kind, x, y) => new PointerEvent(kind, {
      bubbles: true, cancelable: true, pointerId: 1, pointerType: 'mouse', isPrimary: true,
      button: kind === 'pointermove' ? -1 : 0, buttons: kind === 'pointerup' ? 0 : 1, clientX: x, clientY: y,
    });
    const channel = new MessageChannel();
    // Registered before the page's own callback, `began` is the frame's first; a message posted from a callback of a
    // frame is heard when the frame is painted.
    const frame = (moves) => new Promise((done) => {
      let began;
      requestAnimationFrame(() => { began = performance.now(); });
      const handled = performance.now();
      for (const [x, y] of moves) board.dispatchEvent(event('pointermove', x, y));
      const handling = performance.now() - handled;
      requestAnimationFrame(() => {
        channel.port1.onmessage = () => done(handling + performance.now() - began);
        channel.port2.postMessage(null);
      });
    });
    const taken = async (id) => {
      const footprint = document.getElementById(id).querySelector('.footprint');
      const box = footprint.getBoundingClientRect();
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      footprint.dispatchEvent(event('pointerdown', x, y));
      await frame([[x + 6, y]]);
      return { footprint, x, y };
    };
    const begin = async (id) => {
      const { x, y } = await taken(id);
      globalThis.onepullHand = async (first, frames, all) => {
        const spent = [];
        for (let n = first; n < first + frames; n++) {
          const turn = 2 * Math.PI * n / all;
          spent.push(await frame([[x + 40 * Math.cos(turn), y + 40 * Math.sin(turn)]]));
        }
        return spent;
      };
      globalThis.onepullEnd = async () => {
        await frame([[x, y]]);
        board.dispatchEvent(event('pointerup', x, y));
      };
    };
    const many = async (id, moves, frames) => {
      const { footprint, x, y } = await taken(id);
      let changes = 0;
      const watch = new MutationObserver((records) => { changes += records.length; });
      watch.observe(footprint, { attributes: true, attributeFilter: ['d'] });
      const counted = [];
      for (let n = 1; n <= frames; n++) {
        changes = 0;
        await frame(Array.from({ length: moves }, (_, m) => [x + 6 + n * moves + m, y + n]));
        counted.push(changes);
      }
      board.dispatchEvent(event('pointerup', x, y));
      return counted;
    };
";

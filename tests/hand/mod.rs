//! A hand that drags in the page itself, frame by frame, and what each frame costs.

#![allow(dead_code, reason = "each test that shares this file needs a part of it")]

use engine::file::save;
use engine::plan::Plan;
use onepull_tests::page::Page;
use serde_json::{Value, json};

/// Frames of one drag.
const FRAMES: usize = 120;

/// What the frames of one drag cost in milliseconds, in rising order.
pub(crate) struct Drag {
    pub(crate) time: Vec<f64>,
    pub(crate) work: Vec<f64>,
}

pub(crate) fn drag(page: &Page, mold: &str) -> Drag {
    page.cdp("Performance.enable", json!({ "timeDomain": "threadTicks" }));
    page.run(&format!("{HAND} return begin('{mold}');"));
    let (mut time, mut work) = (Vec::new(), Vec::new());
    for n in 0..FRAMES {
        let before = spent_ms(page);
        let frame =
            page.run_with("return onepullHand(...arguments)", vec![json!(n), json!(FRAMES)]);
        work.push(spent_ms(page) - before);
        time.push(frame.as_f64().expect("a time"));
    }
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
pub(crate) fn rank(sorted: &[f64], per_cent: usize) -> f64 {
    sorted[(sorted.len() * per_cent).div_ceil(100) - 1]
}

/// Opens a plan by way of a file.
pub(crate) fn open_plan(page: &Page, plan: &Plan) {
    let name = format!("onepull-crowd-{}-{}.json", std::process::id(), plan.molds.len());
    let file = std::env::temp_dir().join(name);
    std::fs::write(&file, save(plan)).expect("a scratch file");
    page.by_role("tab", "Plans").click();
    page.by_selector("input[type=file]").choose_file(&file);
    let standing = plan.pulls.values().map(|pull| pull.placements.len()).sum::<usize>();
    page.until("the plan is on the board", || {
        let count = page.run("return document.querySelectorAll('.mold[data-hit]').length");
        (count == json!(standing)).then_some(())
    });
    std::fs::remove_file(&file).expect("the scratch file goes");
    // The list of molds is what usually lies open.
    page.by_role("tab", "Molds").click();
    assert_ne!(page.run("return document.querySelector('.notice').textContent"), Value::Null);
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
      globalThis.onepullHand = (n, frames) => {
        const turn = 2 * Math.PI * n / frames;
        return frame([[x + 40 * Math.cos(turn), y + 40 * Math.sin(turn)]]);
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

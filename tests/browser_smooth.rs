//! How smooth a drag is in the built page: the work that one frame of it costs, on crowded blanks.

mod crowded;
mod hand;

use onepull_tests::pace::keeps_pace;
use onepull_tests::page::Browser;

use crowded::crowded;
use hand::{HAND, drag, open_plan};

/// A neighbour on the same machine may take the processor away for a while: a page is as quick as its best drag.
const DRAGS: usize = 3;

/// Drags one mold of a crowded blank round a circle, a move a frame, and measures the frames twice.
///
/// The *clock* is read from the first animation callback of the frame through script, style, layout and paint to the
/// first task after them, and the handling of the move is added. What is left out is the wait for the frame to begin,
/// which is the screen's and not the page's. The *processor* time is what the browser says that the page's main thread
/// took for the same frames, this test's own questions included.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn a_drag_costs_less_than_a_frame_on_a_crowded_blank() {
    let browser = Browser::start();
    for (molds, asked_ms) in [(12, 16.0), (40, 33.0)] {
        let page = browser.page();
        page.open("?nosw");
        open_plan(&page, &crowded(molds, 60));
        let mut best = f64::INFINITY;
        for _ in 0..DRAGS {
            let drag = drag(&page, "mold-105");
            println!("drag among {molds} molds of 60 corners: {}", drag.words());
            best = best.min(drag.cost());
        }
        keeps_pace(&format!("a frame of a drag among {molds} molds"), best, asked_ms, "ms");
    }
}

/// A mouse may report a thousand moves a second; the page looks at the last one of each frame.
#[test]
fn many_moves_in_one_frame_are_one_change_of_the_board() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let changes = page.run(&format!("{HAND} return many('mold-2', 8, 10);"));
    let changes: Vec<u32> = serde_json::from_value(changes).expect("a count for each frame");
    assert_eq!(changes, vec![1; 10], "one change in each of ten frames of eight moves");
}

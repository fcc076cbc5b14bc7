//! How long a worker's whole answer takes natively, messages included: what the browser's figures are held against
//! (`tests/browser_arrange.rs` asks the same of a worker).

#[path = "../../../tests/crowded/mod.rs"]
mod crowded;

use divan::{Bencher, black_box};
use engine::file::save;
use serde_json::json;
use works::answer;

fn main() {
    divan::main();
}

fn request(goal: &serde_json::Value, seed: u64) -> String {
    let plan = crowded::bench();
    let copies: Vec<[u32; 2]> = plan.molds.keys().map(|mold| [mold.0, 1]).collect();
    let ask = json!({ "arrange": {
        "plan": save(&plan), "pull": 1, "copies": copies, "off": [], "goal": goal, "seed": seed, "steps": 2_000_000,
    } });
    json!({ "job": 1, "ask": ask }).to_string()
}

/// From an empty blank to the first layout that the rules have nothing against.
#[divan::bench(args = [1, 2, 3], sample_count = 10, sample_size = 1)]
fn first_layout(bencher: Bencher<'_, '_>, seed: u64) {
    let request = request(&json!("fit"), seed);
    bencher.bench_local(|| answer(black_box(&request)));
}

/// From an empty blank to a spread layout.
#[divan::bench(args = [1, 2, 3], sample_count = 5, sample_size = 1)]
fn spread(bencher: Bencher<'_, '_>, seed: u64) {
    let request = request(&json!({ "spread": [1.0, 0.5, 0.5, 0.25] }), seed);
    bencher.bench_local(|| answer(black_box(&request)));
}

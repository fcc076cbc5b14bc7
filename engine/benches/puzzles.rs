//! How surely and how fast puzzles with a known answer are solved: a table, for DEVELOPERS.md.
//!
//! `cargo bench -p onepull-engine --bench puzzles -- 10 quarters 5000000`: pieces, turning, and the most steps.

#![allow(clippy::print_stdout, reason = "the table is what this program is for")]

#[allow(dead_code, reason = "shared with the tests, and nobody needs all of it")]
mod puzzle;

use std::time::Instant;

use engine::search::{Budget, Seed, place};
use puzzle::{Turning, puzzle, puzzle_with_clearance};

fn main() {
    let words: Vec<String> =
        std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let number = |k: usize, usual: u64| words.get(k).and_then(|w| w.parse().ok()).unwrap_or(usual);
    let n = usize::try_from(number(0, 6)).unwrap_or(6);
    let turning = match words.get(1).map(String::as_str) {
        Some("free") => Turning::Free,
        Some("fixed") => Turning::Fixed,
        _ => Turning::Quarters,
    };
    let budget = Budget { steps: number(2, 20_000_000) };
    let clearance = number(3, 0);
    let n_seeds = number(4, 10);
    let mut n_solved = 0;
    for seed in 1..=n_seeds {
        let problem = if clearance > 0 {
            puzzle_with_clearance(
                n,
                f64::from(u32::try_from(clearance).unwrap_or(u32::MAX)),
                turning,
                seed,
            )
        } else {
            puzzle(n, 0.97, turning, seed)
        };
        let begin = Instant::now();
        let placed = place(&problem, None, Seed(seed), budget, &mut ());
        n_solved += u32::from(placed.shortfall <= 0.0);
        println!(
            "{n} pieces, {turning:?}, seed {seed}: lacks {:.3} mm after {} steps, {:.2} s",
            placed.shortfall,
            placed.steps,
            begin.elapsed().as_secs_f64()
        );
    }
    println!("{n_solved} of {n_seeds} solved");
}

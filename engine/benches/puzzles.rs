//! How surely and how fast puzzles with a known answer are solved: a table, for DEVELOPERS.md.
//!
//! `cargo bench -p onepull-engine --bench puzzles -- 10 quarters 80000000 24 10 taller arrange`: pieces, turning, the most
//! steps, the tallest mold in millimetres (0: they may touch), how many seeds, `mean` or `taller` for the clearance, and
//! `arrange` to have them laid out as a plan of molds.

#![allow(clippy::print_stdout, reason = "the table is what this program is for")]

#[allow(dead_code, reason = "shared with the tests, and nobody needs all of it")]
mod puzzle;

use std::time::Instant;

use engine::arrange::{Intent, MoldCopy, Outcome, Request, arrange};
use engine::plan::{CopyNumber, HeightBasis, PullId};
use engine::search::{Budget, Seed, place};
use puzzle::{Cut, Turning, puzzle};

/// What is asked of every seed.
struct Asked {
    n: usize,
    turning: Turning,
    steps: u64,
    /// The tallest mold and what clearance goes by; nothing when they may touch.
    clearance: Option<(f64, HeightBasis)>,
    n_seeds: u64,
    /// Whether they are molds of a plan.
    is_plan: bool,
}

impl Asked {
    fn read() -> Self {
        let words: Vec<String> =
            std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
        let numbers: Vec<u32> = words.iter().filter_map(|word| word.parse().ok()).collect();
        let number = |k: usize, usual: u32| numbers.get(k).copied().unwrap_or(usual);
        let has = |word: &str| words.iter().any(|given| given == word);
        let turning = match (has("free"), has("fixed")) {
            (true, _) => Turning::Free,
            (_, true) => Turning::Fixed,
            _ => Turning::Quarters,
        };
        let basis = if has("taller") { HeightBasis::Taller } else { HeightBasis::Mean };
        let tallest = number(2, 0);
        Self {
            n: number(0, 6) as usize,
            turning,
            steps: number(1, 20_000_000).into(),
            clearance: (tallest > 0).then_some((tallest.into(), basis)),
            n_seeds: number(3, 10).into(),
            is_plan: has("arrange"),
        }
    }

    fn cut(&self, seed: u64) -> Cut {
        match self.clearance {
            Some(clearance) => Cut::with_clearance(self.n, clearance, self.turning, seed),
            None => Cut::touching(self.n, 0.97, self.turning, seed),
        }
    }

    /// What is lacking, nothing when it is solved; and the steps that it took.
    fn tried(&self, cut: &Cut, seed: u64) -> (Option<f64>, u64) {
        let budget = Budget { steps: self.steps };
        if !self.is_plan {
            let problem = match self.clearance {
                Some(_) => cut.problem(),
                None => puzzle(self.n, 0.97, self.turning, seed),
            };
            let placed = place(&problem, None, Seed(seed), budget, &mut ());
            return ((placed.shortfall > 0.0).then_some(placed.shortfall), placed.steps);
        }
        let plan = cut.plan();
        let copies: Vec<MoldCopy> = plan.molds.keys().map(|&id| (id, CopyNumber(1))).collect();
        let (pull, seed) = (PullId(1), Seed(seed));
        let request = Request { pull, copies, intent: Intent::Fit, seed, budget };
        match arrange(&plan, &request, &mut ()) {
            Ok(answer) => {
                let lacking = match &answer.outcome {
                    Outcome::TooFull(full) => {
                        Some(full.lacking.map_or(f64::NAN, |lacking| lacking.to_mm()))
                    }
                    _ => None,
                };
                (lacking, answer.steps)
            }
            Err(error) => {
                println!("{error}");
                (Some(f64::NAN), 0)
            }
        }
    }
}

fn main() {
    let asked = Asked::read();
    let (mut n_solved, mut sum, mut slowest, mut most) = (0_u32, 0.0, 0.0_f64, 0);
    for seed in 1..=asked.n_seeds {
        let cut = asked.cut(seed);
        let begin = Instant::now();
        let (lacking, steps) = asked.tried(&cut, seed);
        let took = begin.elapsed().as_secs_f64();
        let told = lacking.map_or_else(|| "solved".to_owned(), |mm| format!("lacks {mm:.3} mm"));
        println!(
            "{} pieces, {:?}, seed {seed}: {told}, {steps} steps, {took:.2} s",
            asked.n, asked.turning
        );
        if lacking.is_none() {
            n_solved += 1;
            sum += took;
            slowest = slowest.max(took);
        }
        most = most.max(steps);
    }
    let millions = f64::from(u32::try_from(most).unwrap_or(u32::MAX)) / 1e6;
    println!(
        "solved {n_solved} of {}, mean {:.2} s, slowest {slowest:.2} s, most steps {millions:.1} millions",
        asked.n_seeds,
        sum / f64::from(n_solved.max(1))
    );
}

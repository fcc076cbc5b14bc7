//! How long it takes to find places for a bench blank of molds: `cargo bench -p onepull-engine --bench search`.

#[allow(dead_code, reason = "shared with the tests, and nobody needs all of it")]
mod puzzle;

use std::sync::Arc;

use divan::Bencher;
use engine::geometry::{Point, Rect, Region, Ring, Shape, Vec2};
use engine::search::{Apart, Budget, Item, Problem, Seed, Turns, place};
use engine::units::{Angle, Length};
use puzzle::{Turning, puzzle};

fn main() {
    divan::main();
}

/// A wavy outline of 60 corners, `radius` millimetres from its middle in the mean.
fn wavy(radius: f64, waves: f64) -> Shape {
    let corner = |i: u32| {
        let turn = Angle::degrees(6.0 * f64::from(i));
        let away = radius * (1.0 + 0.2 * Angle::degrees(turn.to_degrees() * waves).cos());
        Point::ORIGIN + Vec2::unit(turn) * away
    };
    Shape::new(Region::new(Ring::new((0..60).map(corner).collect()), vec![]))
}

/// Eight molds of mixed heights on the bench blank; with three eighths of its own height round each they cover 60 % of it.
fn blank(turns: &Turns) -> Problem {
    let room = Rect::sized(Point::ORIGIN, Length::mm(440.0), Length::mm(330.0));
    let radii = [62.4, 60.0, 52.8, 48.0, 45.6, 40.8, 36.0, 33.6];
    let heights = [40.0, 24.0, 30.0, 16.0, 36.0, 20.0, 12.0, 28.0_f64];
    let items = radii.iter().enumerate().map(|(i, &radius)| Item {
        shape: Arc::new(wavy(radius, [3.0, 5.0, 2.0][i % 3])),
        turns: turns.clone(),
        room: room.grown(Length::mm(-10.0)),
        pinned: None,
    });
    let taller = |i: usize, j: usize| Length::mm(heights[i].max(heights[j]) * 0.75);
    Problem { items: items.collect(), apart: Apart::new(8, taller) }
}

#[divan::bench(args = ["free", "quarters"], sample_count = 20, sample_size = 1)]
fn first_layout_of_eight_molds(bencher: Bencher<'_, '_>, turns: &str) {
    let problem = blank(&if turns == "free" { Turns::Free } else { Turns::quarters() });
    bencher.bench(|| {
        let placed = place(&problem, None, Seed(1), Budget { steps: 20_000_000 }, &mut ());
        assert!(placed.shortfall <= 0.0, "{}", placed.shortfall);
        placed
    });
}

#[divan::bench(args = [4, 6], sample_count = 10, sample_size = 1)]
fn puzzle_by_quarters(bencher: Bencher<'_, '_>, n: usize) {
    let problem = puzzle(n, 0.97, Turning::Quarters, 1);
    bencher.bench(|| place(&problem, None, Seed(1), Budget { steps: 20_000_000 }, &mut ()));
}

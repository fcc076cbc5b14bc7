//! How long stock sheets take to be cut up: a plan is to be there within 200 ms of a change, the map while one waits.

use divan::{Bencher, black_box};
use engine::plan::Size;
use engine::stock::{Cutting, Job, Sizes, Wanted, cut_job, most_of_one, yield_map};
use engine::units::Length;

fn main() {
    divan::main();
}

fn inches(width: f64, depth: f64) -> Size {
    Size::new(Length::inches(width), Length::inches(depth))
}

fn snapped() -> Cutting {
    Cutting::snapped(Length::inches(0.060))
}

fn job(sizes: &[(f64, f64, u32)], offcuts: Vec<Size>) -> Job {
    let wanted = |&(width, depth, count): &(f64, f64, u32)| Wanted {
        size: inches(width, depth),
        may_turn: true,
        count,
    };
    Job { sheet: inches(48.0, 96.0), offcuts, wanted: sizes.iter().map(wanted).collect() }
}

/// The most of one size out of a sheet: from a few large blanks to a thousand small ones.
#[divan::bench(sample_count = 5, sample_size = 1, args = [(15.25, 20.5), (12.0, 16.0), (7.3, 9.1), (2.1, 2.3)])]
fn one_size(bencher: Bencher<'_, '_>, (width, depth): (f64, f64)) {
    let wanted = Wanted { size: inches(width, depth), may_turn: true, count: 1 };
    let cutting = snapped();
    bencher.bench(|| most_of_one(inches(48.0, 96.0), black_box(wanted), &cutting));
}

/// A job of one size with three offcuts to use first.
#[divan::bench(sample_count = 5, sample_size = 1, args = [40, 1000])]
fn one_size_with_offcuts(bencher: Bencher<'_, '_>, count: u32) {
    let offcuts = vec![inches(20.0, 48.0), inches(16.5, 31.0), inches(13.0, 17.0)];
    let (job, cutting) = (job(&[(12.0, 16.0, count)], offcuts), snapped());
    bencher.bench(|| cut_job(black_box(&job), &cutting));
}

/// Jobs of two to twelve sizes that share no measure.
#[divan::bench(sample_count = 5, sample_size = 1, args = [2, 4, 6, 8, 12])]
fn several_sizes(bencher: Bencher<'_, '_>, n: usize) {
    const SIZES: [(f64, f64, u32); 12] = [
        (15.25, 20.5, 20),
        (12.0, 16.0, 30),
        (10.3, 11.7, 25),
        (7.9, 21.4, 18),
        (18.6, 23.1, 12),
        (6.2, 9.7, 60),
        (13.7, 17.9, 14),
        (8.8, 12.1, 22),
        (11.4, 19.3, 9),
        (5.6, 16.6, 31),
        (21.2, 26.5, 5),
        (9.4, 9.4, 40),
    ];
    let (job, cutting) = (job(&SIZES[..n], Vec::new()), snapped());
    bencher.bench(|| cut_job(black_box(&job), &cutting));
}

/// The map of all blanks from 8 to 32 in at half an inch and at a quarter.
#[divan::bench(sample_count = 5, sample_size = 1, args = [0.5, 0.25])]
fn map_of_yield(bencher: Bencher<'_, '_>, step: f64) {
    let [least, most, step] = [8.0, 32.0, step].map(Length::inches);
    let (sizes, cutting) = (Sizes { least, most, step, may_turn: true }, snapped());
    bencher.bench(|| yield_map(inches(48.0, 96.0), black_box(sizes), &cutting));
}

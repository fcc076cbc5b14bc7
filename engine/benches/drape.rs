//! How long a forecast takes: the sample, six molds on a 12 x 16 in blank, by the width of the net and by mode.

use divan::{Bencher, black_box};
use engine::drape::{Mode, Settings, forecast};
use engine::plan::{PullId, sample};
use engine::units::Length;

fn main() {
    divan::main();
}

fn bench(bencher: Bencher<'_, '_>, mode: Mode, mesh: f64) {
    let plan = sample();
    let settings = Settings { mode, mesh: Length::mm(mesh), ..Settings::default() };
    bencher.bench_local(|| forecast(black_box(&plan), PullId(1), &settings, &mut ()));
}

/// Time against the width of the net, in millimetres.
#[divan::bench(args = [8.0, 6.0, 4.0, 3.0, 2.0], sample_count = 5, sample_size = 1)]
fn rubber(bencher: Bencher<'_, '_>, mesh: f64) {
    bench(bencher, Mode::Rubber, mesh);
}

/// The same for the assumption of the closed forms, which is drawn more slowly.
#[divan::bench(args = [8.0, 6.0, 4.0], sample_count = 3, sample_size = 1)]
fn uniform(bencher: Bencher<'_, '_>, mesh: f64) {
    bench(bencher, Mode::Uniform, mesh);
}

//! How long the geometry takes that runs at every move of a drag: `cargo bench -p onepull-engine`.

use divan::{Bencher, black_box};
use engine::geometry::{
    Point, Pose, Region, Ring, Shape, Vec2, extent, flatten, gap, gap_within, is_overlapping,
    offset, problems, tolerance,
};
use engine::units::{Angle, Length};

fn main() {
    divan::main();
}

/// A wavy outline of so many corners, 30 to 50 mm from its middle.
fn wavy(n_corners: u32) -> Region {
    let corner = |i: u32| {
        let turn = Angle::degrees(360.0 * f64::from(i) / f64::from(n_corners));
        let radius = 40.0 + 10.0 * Angle::degrees(turn.to_degrees() * 7.0).cos();
        Point::ORIGIN + Vec2::unit(turn) * radius
    };
    Region::new(Ring::new((0..n_corners).map(corner).collect()), vec![])
}

/// Poses spread over a blank by a fixed sequence, as molds in a layout: close, a few overlapping.
fn poses(n: u32, pitch: f64) -> Vec<Pose> {
    let columns = (1..).find(|c| c * c >= n).unwrap_or(1);
    let pose = |i: u32| {
        let shift = Vec2::unit(Angle::degrees(f64::from(i) * 137.5)) * (pitch * 0.1);
        let at = Point::new(f64::from(i % columns) * pitch, f64::from(i / columns) * pitch);
        Pose::new(at + shift, Angle::degrees(f64::from(i) * 53.0))
    };
    (0..n).map(pose).collect()
}

#[divan::bench(args = [30, 100, 400])]
fn shape_new(bencher: Bencher<'_, '_>, n_corners: u32) {
    let region = wavy(n_corners);
    bencher.with_inputs(|| region.clone()).bench_values(Shape::new);
}

/// One gap at a time, over 64 poses of the second shape.
#[divan::bench(args = [30, 100, 400])]
fn gap_of_64_pairs(bencher: Bencher<'_, '_>, n_corners: u32) {
    let shape = Shape::new(wavy(n_corners));
    let poses = poses(64, 13.0);
    let from = Pose::new(Point::new(-60.0, 30.0), Angle::degrees(12.0));
    bencher.bench(|| {
        poses.iter().map(|&pose| gap(&shape, from, &shape, pose).distance).sum::<Length>()
    });
}

/// All pairs of a layout at the clearance of 12 mm, as the rules ask on every move.
#[divan::bench(args = [12, 40])]
fn clearance_check_of_molds_of_100_corners(bencher: Bencher<'_, '_>, n_molds: u32) {
    let shape = Shape::new(wavy(100));
    let poses = poses(n_molds, 104.0);
    bencher.bench(|| {
        every_pair(&poses, |a, b| gap_within(&shape, a, &shape, b, Length::mm(12.0)).is_some())
    });
}

/// The same without a limit: every gap of every pair.
#[divan::bench(args = [12, 40])]
fn all_gaps_of_molds_of_100_corners(bencher: Bencher<'_, '_>, n_molds: u32) {
    let shape = Shape::new(wavy(100));
    let poses = poses(n_molds, 104.0);
    bencher.bench(|| every_pair(&poses, |a, b| gap(&shape, a, &shape, b).distance > Length::ZERO));
}

#[divan::bench(args = [12, 40])]
fn overlap_check_of_molds_of_100_corners(bencher: Bencher<'_, '_>, n_molds: u32) {
    let shape = Shape::new(wavy(100));
    let poses = poses(n_molds, 90.0);
    bencher.bench(|| every_pair(&poses, |a, b| is_overlapping(&shape, a, &shape, b)));
}

/// How many of all pairs have a property.
fn every_pair(poses: &[Pose], has: impl Fn(Pose, Pose) -> bool) -> usize {
    let pairs =
        poses.iter().enumerate().flat_map(|(i, &a)| poses[..i].iter().map(move |&b| (a, b)));
    pairs.filter(|&(a, b)| has(black_box(a), black_box(b))).count()
}

#[divan::bench]
fn extent_of_100_corners(bencher: Bencher<'_, '_>) {
    let shape = Shape::new(wavy(100));
    bencher.bench(|| extent(&shape, black_box(Pose::default())));
}

#[divan::bench(args = [-6.0, 6.0])]
fn offset_of_100_corners(bencher: Bencher<'_, '_>, by_mm: f64) {
    let region = wavy(100);
    bencher.bench(|| offset(&region, Length::mm(by_mm), tolerance::MEASURE));
}

#[divan::bench(args = [100, 3000])]
fn problems_of(bencher: Bencher<'_, '_>, n_corners: u32) {
    let region = wavy(n_corners);
    bencher.bench(|| problems(&region));
}

#[divan::bench]
fn flatten_circle_and_ellipse() -> usize {
    let within = tolerance::MEASURE;
    let circle = flatten::circle(black_box(Length::mm(80.0)), within);
    let ellipse = flatten::ellipse(black_box(Length::mm(80.0)), Length::mm(30.0), within);
    circle.points().len() + ellipse.points().len()
}

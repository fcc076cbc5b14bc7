//! Undercuts: surface that faces down and that the sheet, or the air under it, can get to from the side.
//!
//! A cell of the grid has a gap where a surface faces down below the top: from the next surface below, or the
//! platen, up to it. A gap is open when a neighbour is lower than its roof, or when it meets an open gap of a
//! neighbour. The hollow inside of a shell that stands on its rim has no open gap, and is no undercut.

use super::envelope::Frame;
use super::silhouette::normal;
use super::stand::Standing;
use super::survey::{FACING, Facing};
use crate::geometry::{HeightField, Point};
use crate::units::{Angle, Area};

/// Surfaces nearer to each other than this are one, in millimetres: more than a mesh's rounding.
const SAME_MM: f32 = 1e-3;

/// Walls that lean out by less than this are upright: rounding of meshes made in single precision.
const UPRIGHT: Angle = Angle::degrees(0.5);

/// What the sheet could not release from.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Undercut {
    /// The surface that faces down, in the open.
    pub surface: Area,
    /// How much of the platen it hangs over.
    pub plan: Area,
}

/// The gap below the top in each cell; none where the roof is not above the floor.
struct Gaps {
    floors: Vec<f32>,
    roofs: Vec<f32>,
}

/// What is undercut, and in each cell how high the open gap is, in millimetres; 0 without one.
pub(super) fn undercut(
    standing: &Standing,
    facing: Facing,
    heights: &HeightField,
) -> (Undercut, Vec<f32>) {
    let gaps = gaps(standing, facing, heights);
    let open = open(&gaps, heights);
    let spacing = heights.spacing();
    let n_open = open.iter().filter(|is_open| **is_open).count();
    let limit = -UPRIGHT.sin();
    let mut surface = 0.0;
    for triangle in standing.triangles() {
        let n = facing.outward(normal(&triangle));
        let length = (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt();
        if n[2] >= limit * length {
            continue;
        }
        let mean = |k: usize| (triangle[0][k] + triangle[1][k] + triangle[2][k]) / 3.0;
        let z = mean(2);
        let place = Point::new(mean(0), mean(1));
        if z > f64::from(SAME_MM) && is_in_open_gap(place, z, &gaps, &open, heights) {
            surface += length / 2.0;
        }
    }
    let n_open = f64::from(u32::try_from(n_open).unwrap_or(u32::MAX));
    let gap = |cell: usize| if open[cell] { gaps.roofs[cell] - gaps.floors[cell] } else { 0.0 };
    let depths = (0..open.len()).map(gap).collect();
    (Undercut { surface: Area::mm2(surface), plan: spacing * spacing * n_open }, depths)
}

fn gaps(standing: &Standing, facing: Facing, heights: &HeightField) -> Gaps {
    let frame = Frame::of(heights);
    let tops = heights.heights();
    let mut gaps = Gaps { floors: vec![0.0; tops.len()], roofs: vec![0.0; tops.len()] };
    let turned = |triangle: &[[f64; 3]; 3]| {
        let n = facing.outward(normal(triangle));
        (n[2], FACING * (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt())
    };
    for triangle in standing.triangles() {
        let (up, least) = turned(&triangle);
        if up < -least {
            frame.cells(&triangle, |cell, z| {
                if z < tops[cell] - SAME_MM {
                    gaps.roofs[cell] = gaps.roofs[cell].max(z);
                }
            });
        }
    }
    for triangle in standing.triangles() {
        let (up, least) = turned(&triangle);
        if up > least {
            frame.cells(&triangle, |cell, z| {
                if z < gaps.roofs[cell] - SAME_MM {
                    gaps.floors[cell] = gaps.floors[cell].max(z);
                }
            });
        }
    }
    gaps
}

/// The cells whose gap is open to the side.
fn open(gaps: &Gaps, heights: &HeightField) -> Vec<bool> {
    let (columns, tops) = (heights.columns(), heights.heights());
    let has_gap = |cell: usize| gaps.roofs[cell] > gaps.floors[cell] + SAME_MM;
    let around = |cell: usize| {
        let column = cell % columns;
        let left = (column > 0).then(|| cell - 1);
        let right = (column + 1 < columns).then(|| cell + 1);
        let below = cell.checked_sub(columns);
        let above = Some(cell + columns).filter(|cell| *cell < tops.len());
        [left, right, below, above].into_iter().flatten()
    };
    let mut open = vec![false; tops.len()];
    let mut waiting: Vec<usize> = Vec::new();
    for cell in (0..tops.len()).filter(|&cell| has_gap(cell)) {
        if around(cell).any(|next| tops[next] < gaps.roofs[cell] - SAME_MM) {
            open[cell] = true;
            waiting.push(cell);
        }
    }
    while let Some(cell) = waiting.pop() {
        for next in around(cell) {
            let meets =
                gaps.floors[next].max(gaps.floors[cell]) < gaps.roofs[next].min(gaps.roofs[cell]);
            if !open[next] && has_gap(next) && meets {
                open[next] = true;
                waiting.push(next);
            }
        }
    }
    open
}

/// True when a place lies in or next to an open gap, at a height within it.
fn is_in_open_gap(place: Point, z: f64, gaps: &Gaps, open: &[bool], heights: &HeightField) -> bool {
    let step = heights.spacing().to_mm();
    let offsets = [(0.0, 0.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];
    offsets.into_iter().any(|(dx, dy)| {
        let cell = heights.cell(Point::new(place.x + dx * step, place.y + dy * step));
        cell.is_some_and(|cell| {
            open[cell] && z > f64::from(gaps.floors[cell]) - step && {
                // A steep roof rises much from one cell to the next.
                z < f64::from(heights.heights()[cell])
            }
        })
    })
}

//! The net of triangles that stands for the sheet, as it is before it is drawn.

use super::brow;
use super::map::index_to_f64;
use super::vector::{Vec3, cross, dot, length};
use crate::geometry::{Point, Rect, Shape};

/// A node that would have to go farther than this share of the net's width stays where it is.
const REACH: f64 = 0.45;
/// A triangle keeps at least this share of its surface when nodes are drawn to brows.
const LEAST_LEFT: f64 = 0.35;

/// One triangle of the sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Triangle {
    /// Its corners, counter-clockwise from above before it is drawn. The first is that off the square's diagonal, so that a
    /// mirrored triangle has the mirrored first corner and the other two swapped.
    pub(super) nodes: [u32; 3],
    /// The inverse of the matrix of its two sides at rest, row by row.
    pub(super) rest: [f64; 4],
    /// Its plastic: surface at rest times gauge, the gauge being 1.
    pub(super) plastic: f64,
}

impl Triangle {
    /// Its surface at rest.
    pub(super) fn surface(&self) -> f64 {
        let [a, b, c, d] = self.rest;
        0.5 / (a * d - b * c).abs()
    }

    /// Takes its sides as they lie for its rest, without changing its plastic.
    pub(super) fn rest_at(&mut self, sides: [Vec3; 2]) {
        // The inverse of the root of their products, which prefers neither of the two.
        let [p, q, r] = [(0, 0), (0, 1), (1, 1)].map(|(i, j)| dot(sides[i], sides[j]));
        let doubled = length(cross(sides[0], sides[1])).max(1e-12);
        let scale = 1.0 / (doubled * ((p + r) + 2.0 * doubled).sqrt());
        self.rest = [(r + doubled) * scale, -q * scale, -q * scale, (p + doubled) * scale];
    }
}

/// The sheet before it is drawn, in a frame of `columns` by `rows` squares.
#[derive(Clone, Debug)]
pub(super) struct Net {
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// The width and the depth of a square.
    pub(super) square: [f64; 2],
    /// The middle of the opening on the blank: the net's places are told from there, which makes mirrored ones
    /// differ in signs alone.
    pub(super) middle: Point,
    /// Where each node is on the flat sheet.
    pub(super) flat: Vec<[f64; 2]>,
    pub(super) triangles: Vec<Triangle>,
    /// Whether the clamp holds the node.
    pub(super) is_clamped: Vec<bool>,
    /// Nodes on planes of symmetry, with the axis that they stay at their place of.
    pub(super) guided: Vec<(u32, usize)>,
    /// Squares across the sheet the shorter way, or the only way it is free.
    pub(super) across: usize,
}

impl Net {
    /// A net over an opening with squares of about this width, its nodes drawn to the brows.
    ///
    /// The number of squares is even both ways and their diagonals alternate, so that the net of a symmetric opening
    /// is symmetric to its middle lines, and that of a square one to its diagonals.
    pub(super) fn new(opening: Rect, width: f64, brows: &[Shape]) -> Self {
        let sides = [opening.width().to_mm(), opening.depth().to_mm()];
        let [columns, rows] = sides.map(|side| n_squares(side, width));
        let square = [sides[0] / index_to_f64(columns), sides[1] / index_to_f64(rows)];
        let mut flat = Vec::with_capacity((columns + 1) * (rows + 1));
        let mut is_clamped = Vec::with_capacity(flat.capacity());
        for row in 0..=rows {
            for column in 0..=columns {
                let from_middle =
                    |index: usize, count: usize| index_to_f64(index) - index_to_f64(count / 2);
                let x = square[0] * from_middle(column, columns);
                let y = square[1] * from_middle(row, rows);
                flat.push([x, y]);
                is_clamped.push(row == 0 || row == rows || column == 0 || column == columns);
            }
        }
        let corners = corners(columns, rows);
        let before = flat.clone();
        let middle = opening.center();
        let reach = square[0].min(square[1]) * REACH;
        brow::draw(&mut flat, &is_clamped, (middle, reach), brows);
        relax(&mut flat, &before, &corners);
        let triangles = corners.iter().map(|nodes| triangle(*nodes, &flat)).collect();
        let across = columns.min(rows);
        let guided = Vec::new();
        Self { columns, rows, square, middle, flat, triangles, is_clamped, guided, across }
    }
}

/// An even number of squares, at least four.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to a few thousand"
)]
fn n_squares(side: f64, width: f64) -> usize {
    let pairs = libm::round(side / width / 2.0).clamp(2.0, 2000.0) as usize;
    pairs * 2
}

/// The corners of all triangles, two to a square, each from the corner off the diagonal.
fn corners(columns: usize, rows: usize) -> Vec<[u32; 3]> {
    let node =
        |column: usize, row: usize| u32::try_from(row * (columns + 1) + column).unwrap_or(u32::MAX);
    let mut corners = Vec::with_capacity(2 * columns * rows);
    for row in 0..rows {
        for column in 0..columns {
            let (a, b) = (node(column, row), node(column + 1, row));
            let (c, d) = (node(column + 1, row + 1), node(column, row + 1));
            if (column + row) % 2 == 0 {
                corners.extend([[b, c, a], [d, a, c]]);
            } else {
                corners.extend([[c, d, b], [a, b, d]]);
            }
        }
    }
    corners
}

/// Puts nodes back that squash a triangle. All are judged at once, so that what is symmetric remains so.
fn relax(flat: &mut [[f64; 2]], before: &[[f64; 2]], corners: &[[u32; 3]]) {
    for _ in 0..8 {
        let is_squashed = |nodes: &&[u32; 3]| {
            doubled_area(**nodes, flat) < LEAST_LEFT * doubled_area(**nodes, before)
        };
        let squashed: Vec<[u32; 3]> = corners.iter().filter(is_squashed).copied().collect();
        for node in squashed.iter().flatten() {
            flat[*node as usize] = before[*node as usize];
        }
        if squashed.is_empty() {
            break;
        }
    }
}

fn doubled_area(nodes: [u32; 3], flat: &[[f64; 2]]) -> f64 {
    let [a, b, c] = nodes.map(|node| flat[node as usize]);
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn triangle(nodes: [u32; 3], flat: &[[f64; 2]]) -> Triangle {
    let [a, b, c] = nodes.map(|node| flat[node as usize]);
    let (first, second) = ([b[0] - a[0], b[1] - a[1]], [c[0] - a[0], c[1] - a[1]]);
    let doubled = doubled_area(nodes, flat);
    let rest = [second[1] / doubled, -second[0] / doubled, -first[1] / doubled, first[0] / doubled];
    Triangle { nodes, rest, plastic: doubled / 2.0 }
}

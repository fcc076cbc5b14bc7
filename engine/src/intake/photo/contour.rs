//! Follows a level through a field: closed lines with what is above the level to their left.

use crate::geometry::{HeightField, Point};

/// Pieces of all lines; a level through noise has far more, and makes no outline.
const MOST_PIECES: usize = 1_000_000;

/// The closed lines on which the field passes `level`, between cell middles; `None` when there are too many pieces.
///
/// The rim of the field must lie below the level. At a saddle the two high corners are kept apart.
///
/// **Source:** marching squares, after Lorensen and Cline, Marching cubes, SIGGRAPH 1987 (from memory).
pub(super) fn contours(field: &HeightField, level: f64) -> Option<Vec<Vec<Point>>> {
    let (columns, rows) = (field.columns(), field.rows());
    let mut pieces: Vec<(usize, usize)> = Vec::new();
    for row in 0..rows.saturating_sub(1) {
        for column in 0..columns.saturating_sub(1) {
            cross(field, row * columns + column, level, &mut pieces);
        }
        if pieces.len() > MOST_PIECES {
            return None;
        }
    }
    pieces.sort_unstable();
    let mut is_used = vec![false; pieces.len()];
    let mut lines = Vec::new();
    for start in 0..pieces.len() {
        let mut line = Vec::new();
        let mut at = start;
        while !is_used[at] {
            is_used[at] = true;
            line.push(place(field, pieces[at].0, level));
            match pieces.binary_search_by_key(&pieces[at].1, |piece| piece.0) {
                Ok(next) => at = next,
                Err(_) => break,
            }
        }
        if line.len() > 2 {
            lines.push(line);
        }
    }
    Some(lines)
}

/// The pieces through one square of four cell middles. An edge of the grid is twice its first cell, and one more
/// when it goes back.
fn cross(field: &HeightField, cell: usize, level: f64, pieces: &mut Vec<(usize, usize)>) {
    let (columns, values) = (field.columns(), field.heights());
    let corners = [cell, cell + 1, cell + columns + 1, cell + columns];
    let is_in = corners.map(|corner| f64::from(values[corner]) > level);
    if is_in == [false; 4] || is_in == [true; 4] {
        return;
    }
    let edges = [2 * cell, 2 * (cell + 1) + 1, 2 * (cell + columns), 2 * cell + 1];
    for leaving in (0..4).filter(|&k| is_in[k] && !is_in[(k + 1) % 4]) {
        let entering = (1..4).map(|back| (leaving + 4 - back) % 4);
        let mut entering = entering.filter(|&k| !is_in[k] && is_in[(k + 1) % 4]);
        pieces.extend(entering.next().map(|k| (edges[leaving], edges[k])));
    }
}

/// Where the field passes the level on an edge of the grid.
fn place(field: &HeightField, edge: usize, level: f64) -> Point {
    let columns = field.columns();
    let cell = edge / 2;
    let other = if edge.is_multiple_of(2) { cell + 1 } else { cell + columns };
    let middle = |cell: usize| field.middle(cell % columns, cell / columns);
    let value = |cell: usize| field.heights().get(cell).map_or(0.0, |value| f64::from(*value));
    let share = (level - value(cell)) / (value(other) - value(cell));
    middle(cell) + (middle(other) - middle(cell)) * share.clamp(0.0, 1.0)
}

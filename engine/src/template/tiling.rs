//! How a blank is divided over sheets of paper: windows in rows and columns that overlap.

use std::collections::BTreeSet;

use crate::geometry::{Point, Rect, Vec2};
use crate::order;
use crate::units::Length;

/// Which sheet: its column from the left and its row from the back, both from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Tile {
    // The row first, so that sheets in order go row by row.
    pub(super) row: usize,
    pub(super) column: usize,
}

/// Windows of one size over the part of the blank that is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tiling {
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// The size of each window.
    pub(super) window: Vec2,
    /// From one window to the next.
    step: Vec2,
    /// The back left corner of the first window, on the blank.
    corner: Point,
    pub(super) overlap: Length,
}

impl Tiling {
    /// As many windows as cover `content`, with what is left over shared by the four sides.
    pub(super) fn new(content: Rect, window: Vec2, overlap: Length) -> Self {
        let step = window - Vec2::new(overlap.to_mm(), overlap.to_mm());
        let columns = n_windows(content.width(), step.x, overlap);
        let rows = n_windows(content.depth(), step.y, overlap);
        let covered = |n: usize, step: f64| step * whole(n) + overlap.to_mm();
        let spare_x = covered(columns, step.x) - content.width().to_mm();
        let spare_y = covered(rows, step.y) - content.depth().to_mm();
        let corner = Point::new(content.min.x - spare_x / 2.0, content.max.y + spare_y / 2.0);
        Self { columns, rows, window, step, corner, overlap }
    }

    pub(super) const fn n_tiles(&self) -> usize {
        self.columns * self.rows
    }

    /// All tiles, row by row from the back, each from the left.
    pub(super) fn tiles(&self) -> impl Iterator<Item = Tile> + use<> {
        let (rows, columns) = (self.rows, self.columns);
        (0..rows).flat_map(move |row| (0..columns).map(move |column| Tile { row, column }))
    }

    /// The middle of each overlap's crossing, and the matching places along the outer edges.
    pub(super) fn corners(&self) -> impl Iterator<Item = Point> + use<> {
        let (columns, step) = (self.columns, self.step);
        let inset = self.overlap.to_mm() / 2.0;
        let first = self.corner + Vec2::new(inset, -inset);
        (0..=self.rows).flat_map(move |row| {
            (0..=columns)
                .map(move |column| first + Vec2::new(step.x * whole(column), -step.y * whole(row)))
        })
    }

    /// The part of the blank that a tile shows.
    pub(super) fn shows(&self, tile: Tile) -> Rect {
        let left = self.corner.x + self.step.x * whole(tile.column);
        let back = self.corner.y - self.step.y * whole(tile.row);
        Rect::new(Point::new(left, back), Point::new(left + self.window.x, back - self.window.y))
    }
}

/// How many windows of `step` and one overlap cover `extent`; at least one.
fn n_windows(extent: Length, step: f64, overlap: Length) -> usize {
    let needed = libm::ceil((extent - overlap).to_mm() / step - 1e-9).clamp(1.0, 1e6);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 1 to a million"
    )]
    let count = needed as usize;
    count
}

/// A count of tiles as a factor.
fn whole(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::MAX, f64::from)
}

/// The tiles to print: those with something on them, and those without which the rest would fall apart.
pub(super) fn kept(tiling: &Tiling, is_empty: impl Fn(Tile) -> bool) -> BTreeSet<Tile> {
    let mut kept = order::set(tiling.tiles());
    for tile in tiling.tiles().filter(|&tile| is_empty(tile)) {
        kept.remove(&tile);
        if !is_joined(&kept) {
            kept.insert(tile);
        }
    }
    kept
}

/// True when every tile is reached from the first over shared edges.
fn is_joined(tiles: &BTreeSet<Tile>) -> bool {
    let mut waiting: Vec<Tile> = tiles.first().copied().into_iter().collect();
    let mut reached = order::set(waiting.iter().copied());
    while let Some(tile) = waiting.pop() {
        let new = neighbours(tile).filter(|next| tiles.contains(next));
        for next in new.collect::<Vec<_>>() {
            if reached.insert(next) {
                waiting.push(next);
            }
        }
    }
    !tiles.is_empty() && reached.len() == tiles.len()
}

fn neighbours(tile: Tile) -> impl Iterator<Item = Tile> {
    let Tile { row, column } = tile;
    [
        row.checked_sub(1).map(|row| Tile { row, column }),
        column.checked_sub(1).map(|column| Tile { row, column }),
        Some(Tile { row: row + 1, column }),
        Some(Tile { row, column: column + 1 }),
    ]
    .into_iter()
    .flatten()
}

impl Tile {
    /// The row's letter and the column's number: `A1` is the back left sheet.
    pub(super) fn name(self) -> String {
        format!("{}{}", letters(self.row), self.column + 1)
    }

    /// The tile to the left; `None` in the first column.
    pub(super) fn left(self) -> Option<Self> {
        Some(Self { column: self.column.checked_sub(1)?, ..self })
    }

    /// The tile in front.
    pub(super) const fn front(self) -> Self {
        Self { row: self.row + 1, ..self }
    }
}

/// `A` to `Z`, then `AA`, `AB` and so on.
pub(super) fn letters(mut n: usize) -> String {
    let mut text = String::new();
    loop {
        let letter = u8::try_from(n % 26).map_or('?', |i| char::from(b'A' + i));
        text.insert(0, letter);
        if n < 26 {
            return text;
        }
        n = n / 26 - 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tiling(width: f64, depth: f64) -> Tiling {
        let content = Rect::new(Point::ORIGIN, Point::new(width, depth));
        Tiling::new(content, Vec2::new(110.0, 60.0), Length::mm(10.0))
    }

    #[test]
    fn windows_cover_the_content_and_neighbours_share_the_overlap() {
        for (width, depth, columns, rows) in
            [(50.0, 40.0, 1, 1), (110.0, 60.0, 1, 1), (110.1, 60.1, 2, 2), (1000.0, 50.0, 10, 1)]
        {
            let tiling = tiling(width, depth);
            assert_eq!((tiling.columns, tiling.rows), (columns, rows), "{width} x {depth}");
            let shown = tiling.tiles().map(|tile| tiling.shows(tile)).reduce(Rect::union);
            let shown = shown.expect("at least one");
            assert!(shown.contains(Point::ORIGIN) && shown.contains(Point::new(width, depth)));
            for tile in tiling.tiles().filter(|tile| tile.column > 0) {
                let left = tiling.shows(tile.left().expect("column above 0"));
                let shared = left.intersection(tiling.shows(tile)).expect("they overlap");
                assert!((shared.width().to_mm() - 10.0).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn an_empty_tile_is_left_out_unless_the_rest_would_fall_apart() {
        let three_by_three = tiling(310.0, 160.0);
        let middle = Tile { row: 1, column: 1 };
        assert_eq!(kept(&three_by_three, |tile| tile == middle).len(), 8);
        let row = tiling(310.0, 60.0);
        let between = Tile { row: 0, column: 1 };
        assert_eq!(kept(&row, |tile| tile == between).len(), 3);
    }

    #[test]
    fn the_last_tile_is_kept_even_when_nothing_is_drawn() {
        assert_eq!(kept(&tiling(310.0, 160.0), |_| true).len(), 1);
    }

    #[test]
    fn rows_are_lettered_like_the_columns_of_a_table() {
        for (n, text) in [(0, "A"), (25, "Z"), (26, "AA"), (27, "AB"), (701, "ZZ"), (702, "AAA")] {
            assert_eq!(letters(n), text);
        }
    }
}

//! Where a mesh is undercut and where its walls are steep, on a grid that a page can paint.

use super::envelope::Triangle;
use super::grid::Layout;
use super::survey::Wall;
use crate::geometry::{HeightField, Point, Rect};
use crate::plan::limits;
use crate::units::{Angle, Length};

/// Places looked at on all walls together; beyond them, only the middle of each triangle is.
const MOST_PLACES: usize = 4_000_000;

/// Steps along one side of a triangle.
const MOST_STEPS: u32 = 200;

/// What hinders the release of the part, by place: cells over the bounds of the standing mesh.
///
/// Cells stand in rows from front to back, each row from left to right, as those of a plan's
/// [`crate::plan::HeightGrid`].
#[derive(Clone, Debug, PartialEq)]
pub struct ByPlace {
    layout: Layout,
    cells: Vec<PlaceCell>,
}

/// What hinders the release in one cell.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PlaceCell {
    /// How high the gap is that the sheet can get into; zero without an undercut.
    pub undercut: Length,
    /// The least draft of the walls that are steeper than was asked for; `None` without such walls.
    pub steep: Option<Angle>,
}

impl ByPlace {
    /// Cells in a row; at most [`limits::GRID_SIDE`].
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.layout.columns
    }

    /// How many rows.
    #[must_use]
    pub const fn rows(&self) -> usize {
        self.layout.rows
    }

    /// All cells, row by row.
    #[must_use]
    pub fn cells(&self) -> &[PlaceCell] {
        &self.cells
    }

    /// Where a cell lies, in millimetres of the standing mesh.
    #[must_use]
    pub fn rect(&self, column: usize, row: usize) -> Rect {
        self.layout.rect(column, row)
    }
}

/// Gathers the deepest gap and the steepest wall of each cell.
///
/// `depths` belongs to the cells of `heights`. A wall is looked at on points that lie half a cell apart.
pub(super) fn by_place(
    bounds: Rect,
    depths: &[f32],
    heights: &HeightField,
    walls: impl Iterator<Item = Wall>,
) -> ByPlace {
    let layout = Layout::over(bounds, limits::GRID_SIDE * limits::GRID_SIDE);
    let mut cells = vec![PlaceCell::default(); layout.columns * layout.rows];
    for (index, &depth) in depths.iter().enumerate().filter(|(_, depth)| **depth > 0.0) {
        let place = heights.middle(index % heights.columns(), index / heights.columns());
        let cell = &mut cells[layout.cell(place)];
        cell.undercut = cell.undercut.max(Length::mm(f64::from(depth)));
    }
    let first = layout.rect(0, 0);
    let step = first.width().min(first.depth()).to_mm() / 2.0;
    let mut left = MOST_PLACES;
    for wall in walls {
        let draft = Angle::radians(libm::asin(wall.sine));
        let mut mark = |place: Point| {
            let cell = &mut cells[layout.cell(place)];
            if cell.steep.is_none_or(|least| draft < least) {
                cell.steep = Some(draft);
            }
        };
        let n = n_steps(&wall.corners, step);
        let n_places = (n as usize + 1) * (n as usize + 2) / 2;
        if n_places <= left {
            left -= n_places;
            places(&wall.corners, n).for_each(mark);
        } else {
            mark(wall.at);
        }
    }
    ByPlace { layout, cells }
}

/// Steps along the sides of a triangle so that places on it are no farther apart than `step` from above.
fn n_steps(&[a, b, c]: &Triangle, step: f64) -> u32 {
    let side = |p: [f64; 3], q: [f64; 3]| {
        let (x, y) = (q[0] - p[0], q[1] - p[1]);
        (x * x + y * y).sqrt()
    };
    let longest = side(a, b).max(side(b, c)).max(side(c, a));
    let wanted = libm::ceil(longest / step.max(1e-9));
    (1..MOST_STEPS).find(|&n| f64::from(n) >= wanted).unwrap_or(MOST_STEPS)
}

/// Places that part a triangle evenly, a little inside, so that a side on the border of two cells counts for its own.
fn places(&[a, b, c]: &Triangle, n: u32) -> impl Iterator<Item = Point> {
    let middle = [0, 1].map(|k| (a[k] + b[k] + c[k]) / 3.0);
    let pairs = (0..=n).flat_map(move |i| (0..=n - i).map(move |j| (i, j)));
    pairs.map(move |(i, j)| {
        let (u, v) = (f64::from(i) / f64::from(n), f64::from(j) / f64::from(n));
        let at = |k: usize| {
            let on = a[k] + (b[k] - a[k]) * u + (c[k] - a[k]) * v;
            on + (middle[k] - on) * 1e-6
        };
        Point::new(at(0), at(1))
    })
}

//! The sheet as it hangs when the frame has come down, and how high it is at a place.

use super::map::index_to_f64;
use super::net::Net;
use super::vector::Vec3;
use crate::geometry::{Point, Vec2};

/// Heights of the hanging sheet, found by the square of the opening that a place lies in.
#[derive(Clone, Debug, Default)]
pub(super) struct Tent {
    triangles: Vec<[Vec3; 3]>,
    /// The triangles over each square, row by row.
    over: Vec<Vec<u32>>,
    /// The middle of the opening on the blank.
    middle: Vec2,
    first: [f64; 2],
    square: [f64; 2],
    count: [usize; 2],
}

impl Tent {
    /// The sheet of a net whose nodes have come to these places.
    pub(super) fn of(net: &Net, places: &[Vec3]) -> Self {
        let first = net.flat.first().copied().unwrap_or_default();
        let count = [net.columns, net.rows];
        let middle = net.middle.to_vec2();
        let mut tent = Self { middle, first, square: net.square, count, ..Self::default() };
        tent.over = vec![Vec::new(); net.columns * net.rows];
        for (index, triangle) in (0_u32..).zip(&net.triangles) {
            let corners = triangle.nodes.map(|node| places[node as usize]);
            let side = |axis: usize, pick: fn(f64, f64) -> f64| {
                tent.whole(pick(pick(corners[0][axis], corners[1][axis]), corners[2][axis]), axis)
            };
            let columns = side(0, f64::min)..=side(0, f64::max);
            for row in side(1, f64::min)..=side(1, f64::max) {
                for column in columns.clone() {
                    tent.over[row * net.columns + column].push(index);
                }
            }
            tent.triangles.push(corners);
        }
        tent
    }

    /// How high the sheet hangs over a place of the blank, in millimetres; none where there is no sheet.
    pub(super) fn height(&self, place: Point) -> Option<f64> {
        let place = place - self.middle;
        let index = self.whole(place.y, 1) * self.count[0] + self.whole(place.x, 0);
        let over = self.over.get(index)?.iter();
        let heights = over.filter_map(|one| height(self.triangles[*one as usize], place));
        heights.max_by(f64::total_cmp)
    }

    /// The column or the row that a place lies in.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the squares there are"
    )]
    fn whole(&self, at: f64, axis: usize) -> usize {
        let most = index_to_f64(self.count[axis].max(1)) - 1.0;
        ((at - self.first[axis]) / self.square[axis]).clamp(0.0, most) as usize
    }
}

/// The height of a triangle over a place within it.
fn height([a, b, c]: [Vec3; 3], place: Point) -> Option<f64> {
    let cross =
        |p: Vec3, q: Vec3| (q[0] - p[0]) * (place.y - p[1]) - (q[1] - p[1]) * (place.x - p[0]);
    let [w, u, v] = [cross(b, c), cross(c, a), cross(a, b)];
    let all = w + u + v;
    // A place on a side that two triangles share may be a rounding away from both.
    let slack = -1e-9 * all.abs().max(1e-9);
    (all > 0.0 && w >= slack && u >= slack && v >= slack)
        .then(|| (w * a[2] + u * b[2] + v * c[2]) / all)
}

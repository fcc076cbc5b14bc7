//! An item as the search sees it: the turns it may take and where its pose may be at each.

use super::{Item, Turns};
use crate::geometry::{Point, Pose, Rect, Shape, extent};
use crate::units::Angle;

/// Turns that are tried of an item that may turn freely: as many as leave the fields of all pairs below a limit.
const FREE_TURNS: [u32; 4] = [144, 72, 36, 24];
/// Fields of all pairs that are made at most, as far as the least count of turns allows.
const MOST_FIELDS: usize = 8000;

/// A turn of an item, and where its pose may be so that it stays in its room.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seat {
    pub(super) turn: Angle,
    pub(super) sin: f64,
    pub(super) cos: f64,
    pub(super) reach: Rect,
    /// False when the turned item is larger than its room.
    pub(super) fits: bool,
}

impl Seat {
    /// The places of a turned outline in a room.
    pub(super) fn new(shape: &Shape, turn: Angle, room: Rect) -> Self {
        let (sin, cos) = turn.sin_cos();
        let extent = extent(shape, Pose::new(Point::ORIGIN, turn));
        let (min, max) = (room.min - extent.min.to_vec2(), room.max - extent.max.to_vec2());
        let fits = min.x <= max.x && min.y <= max.y;
        let is_finite = min.is_finite() && max.is_finite();
        let reach = if is_finite { upright(Rect { min, max }) } else { Rect::default() };
        Self { turn, sin, cos, reach, fits: fits && is_finite }
    }

    /// The nearest place within reach.
    pub(super) fn held(&self, at: Point) -> Point {
        let Rect { min, max } = self.reach;
        Point::new(at.x.max(min.x).min(max.x), at.y.max(min.y).min(max.y))
    }
}

/// An item as the search sees it.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) shape: usize,
    pub(super) seats: Vec<Seat>,
    /// The number of its first seat among the seats of all items.
    pub(super) first_seat: usize,
    pub(super) is_pinned: bool,
}

/// How many turns are tried of an item that may turn freely, among so many different outlines.
pub(super) fn free_turns(n_shapes: usize) -> u32 {
    let n_pairs = n_shapes * (n_shapes + 1) / 2;
    let is_little = |turns: &u32| n_pairs * (*turns as usize) <= MOST_FIELDS;
    FREE_TURNS.into_iter().find(is_little).unwrap_or(24)
}

impl Piece {
    /// An item that is searched with `n_free` turns if it may turn freely, and with that of `start`.
    pub(super) fn new(item: &Item, shape: usize, n_free: u32, start: Option<Pose>) -> Self {
        if let Some(pose) = item.pinned {
            let (sin, cos) = pose.turn.sin_cos();
            let reach = Rect { min: pose.at, max: pose.at };
            let seats = vec![Seat { turn: pose.turn, sin, cos, reach, fits: true }];
            return Self { shape, seats, first_seat: 0, is_pinned: true };
        }
        let mut turns = match &item.turns {
            Turns::Free => {
                let step = 360.0 / f64::from(n_free);
                let even = (0..n_free).map(|k| Angle::degrees(f64::from(k) * step));
                even.chain(start.map(|pose| pose.turn)).collect()
            }
            Turns::Of(turns) => turns.clone(),
        };
        turns.retain(|turn| turn.is_finite());
        if turns.is_empty() {
            turns.push(Angle::ZERO);
        }
        let seats = turns.into_iter().map(|turn| Seat::new(&item.shape, turn, item.room)).collect();
        Self { shape, seats, first_seat: 0, is_pinned: false }
    }
}

/// A rectangle that is turned inside out becomes its middle: an item that has no room is put astride it.
fn upright(reach: Rect) -> Rect {
    let middle = reach.center();
    let band =
        |low: f64, high: f64, middle: f64| if low <= high { (low, high) } else { (middle, middle) };
    let (x, y) =
        (band(reach.min.x, reach.max.x, middle.x), band(reach.min.y, reach.max.y, middle.y));
    Rect { min: Point::new(x.0, y.0), max: Point::new(x.1, y.1) }
}

//! A layout under search: where every item stands, what each pair lacks, and how much each pair weighs.

use super::catalog::Catalog;
use super::field::Field;
use super::{Item, Problem, Turns};
use crate::geometry::{Point, Pose, Rect, Shape, Vec2, extent};
use crate::units::Angle;

/// Turns that are tried of an item that may turn freely: as many as leave the fields of all pairs below a limit.
const FREE_TURNS: [u32; 4] = [144, 72, 36, 24];
/// Fields of all pairs that are made at most, as far as the least count of turns allows.
const MOST_FIELDS: usize = 8000;
/// Seats of all items up to which the fields of their pairs are kept in a table.
const MOST_SEATS: usize = 2000;
/// Distances are searched with this much to spare, in millimetres, so that rounding takes nothing away.
pub(super) const SPARE: f64 = 2e-6;

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
    first_seat: usize,
    pub(super) is_pinned: bool,
}

/// Where an item stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stand {
    pub(super) seat: usize,
    pub(super) at: Point,
}

/// Another item as seen from one that is to be placed: what its distance lacks is a function of the place alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    pub(super) field: usize,
    pub(super) base: Point,
    pub(super) sign: f64,
    pub(super) sin: f64,
    pub(super) cos: f64,
    pub(super) apart: f64,
    pub(super) weight: f64,
    /// Outside this rectangle of places nothing is lacking.
    pub(super) bounds: Rect,
}

impl View {
    /// A place as a displacement in the field.
    #[inline]
    pub(super) fn inside(&self, at: Point) -> Point {
        let (dx, dy) = (self.sign * (at.x - self.base.x), self.sign * (at.y - self.base.y));
        Point::new(self.cos * dx + self.sin * dy, self.cos * dy - self.sin * dx)
    }

    /// A direction in the field as one of places.
    pub(super) fn outside(&self, way: Vec2) -> Vec2 {
        Vec2::new(self.cos * way.x - self.sin * way.y, self.sin * way.x + self.cos * way.y)
            * self.sign
    }

    /// What is lacking at a place.
    pub(super) fn lack(&self, catalog: &Catalog, at: Point) -> f64 {
        if self.bounds.contains(at) {
            catalog.field(self.field).lack(self.inside(at), self.apart)
        } else {
            0.0
        }
    }
}

/// The fields of pairs of seats, so that they need not be looked up by their turns; none is kept when there are
/// very many.
#[derive(Debug)]
struct Known {
    n_seats: usize,
    fields: Vec<u32>,
}

impl Known {
    fn new(n_seats: usize) -> Self {
        let n = if n_seats <= MOST_SEATS { n_seats } else { 0 };
        Self { n_seats: n, fields: vec![u32::MAX; n * n] }
    }

    fn get(&self, (one, other): (usize, usize)) -> Option<usize> {
        let field = *self.fields.get(one * self.n_seats + other)?;
        (field != u32::MAX).then_some(field as usize)
    }

    fn set(&mut self, (one, other): (usize, usize), field: usize) {
        if let Some(known) = self.fields.get_mut(one * self.n_seats + other) {
            *known = u32::try_from(field).unwrap_or(u32::MAX);
        }
    }
}

/// The state of a search.
#[derive(Debug)]
pub(super) struct Layout {
    pub(super) pieces: Vec<Piece>,
    pub(super) stands: Vec<Stand>,
    pub(super) catalog: Catalog,
    known: Known,
    /// Row by row, as all pairs below.
    apart: Vec<f64>,
    weights: Vec<f64>,
    lacks: Vec<f64>,
    /// Items that nobody is asked about yet.
    is_out: Vec<bool>,
}

impl Layout {
    /// A layout with every item in the middle of its room, or as pinned.
    pub(super) fn new(problem: &Problem) -> Self {
        let n = problem.items.len();
        let mut catalog = Catalog::new(0.0);
        let shapes: Vec<usize> =
            problem.items.iter().map(|item| catalog.number(&item.shape)).collect();
        let apart = (0..n * n).map(|k| {
            let (i, j) = (k / n, k % n);
            let stray = catalog.stray(shapes[i]) + catalog.stray(shapes[j]);
            problem.apart.of(i, j).to_mm() + stray + SPARE
        });
        let apart: Vec<f64> = apart.collect();
        let margin = apart.iter().copied().fold(0.0, f64::max);
        catalog.set_margin(margin);
        let n_free = free_turns(catalog.n_shapes());
        let mut pieces: Vec<Piece> =
            (0..n).map(|i| piece(&problem.items[i], shapes[i], n_free)).collect();
        let mut n_seats = 0;
        for piece in &mut pieces {
            piece.first_seat = n_seats;
            n_seats += piece.seats.len();
        }
        let stands = pieces.iter().zip(&problem.items).map(|(piece, item)| Stand {
            seat: 0,
            at: item.pinned.map_or_else(|| piece.seats[0].reach.center(), |pose| pose.at),
        });
        let mut layout = Self {
            stands: stands.collect(),
            pieces,
            catalog,
            known: Known::new(n_seats),
            apart,
            weights: vec![1.0; n * n],
            lacks: vec![0.0; n * n],
            is_out: vec![false; n],
        };
        layout.measure();
        layout
    }

    pub(super) fn len(&self) -> usize {
        self.pieces.len()
    }

    /// The items that are not pinned.
    pub(super) fn movable(&self) -> Vec<usize> {
        (0..self.len()).filter(|&i| !self.pieces[i].is_pinned).collect()
    }

    /// The pose of an item.
    pub(super) fn pose(&self, i: usize) -> Pose {
        Pose::new(self.stands[i].at, self.pieces[i].seats[self.stands[i].seat].turn)
    }

    /// All poses.
    pub(super) fn poses(&self) -> Vec<Pose> {
        (0..self.len()).map(|i| self.pose(i)).collect()
    }

    /// Whether two items are asked about each other.
    pub(super) fn is_asked(&self, i: usize, j: usize) -> bool {
        let is_either = |what: &dyn Fn(usize) -> bool| what(i) || what(j);
        i != j && is_either(&|k| !self.pieces[k].is_pinned) && !is_either(&|k| self.is_out[k])
    }

    /// Leaves items out of all questions until they are set in.
    pub(super) fn set_out(&mut self, items: &[usize]) {
        let n = self.len();
        for &i in items {
            self.is_out[i] = true;
            for j in 0..n {
                self.lacks[i * n + j] = 0.0;
                self.lacks[j * n + i] = 0.0;
            }
        }
    }

    /// Asks about an item again, from when it is next put somewhere.
    pub(super) fn set_in(&mut self, i: usize) {
        self.is_out[i] = false;
    }

    /// The others as seen from an item on one of its seats.
    pub(super) fn views(&mut self, i: usize, seat: usize) -> Vec<View> {
        let others: Vec<usize> = (0..self.len()).filter(|&j| self.is_asked(i, j)).collect();
        others.into_iter().filter_map(|j| self.view(i, seat, j)).collect()
    }

    /// Item `j` as seen from `i`; `None` when nothing is ever lacking.
    pub(super) fn view(&mut self, i: usize, seat: usize, j: usize) -> Option<View> {
        let (mine, its) = (self.pieces[i].seats[seat], self.pieces[j].seats[self.stands[j].seat]);
        let shapes = (self.pieces[i].shape, self.pieces[j].shape);
        let is_first = (shapes.0, i) < (shapes.1, j);
        let frame = if is_first { mine } else { its };
        let numbers =
            (self.pieces[i].first_seat + seat, self.pieces[j].first_seat + self.stands[j].seat);
        let field = self.known.get(numbers).unwrap_or_else(|| {
            let field = if is_first {
                self.catalog.find(shapes.0, shapes.1, its.turn - mine.turn)
            } else {
                self.catalog.find(shapes.1, shapes.0, mine.turn - its.turn)
            };
            self.known.set(numbers, field);
            field
        });
        let at = i * self.len() + j;
        let mut view = View {
            field,
            base: self.stands[j].at,
            sign: if is_first { -1.0 } else { 1.0 },
            sin: frame.sin,
            cos: frame.cos,
            apart: self.apart[at],
            weight: self.weights[at],
            bounds: Rect::default(),
        };
        let field = self.catalog.field(view.field);
        view.bounds = bounds(&view, field);
        (!field.is_empty()).then_some(view)
    }

    /// What an item lacks, weighted.
    pub(super) fn weighted(&self, i: usize) -> f64 {
        let row = i * self.len()..(i + 1) * self.len();
        self.lacks[row.clone()]
            .iter()
            .zip(&self.weights[row])
            .map(|(lack, weight)| lack * weight)
            .sum()
    }

    /// What an item lacks.
    pub(super) fn lacking(&self, i: usize) -> f64 {
        self.lacks[i * self.len()..(i + 1) * self.len()].iter().sum()
    }

    /// What all pairs lack.
    pub(super) fn total(&self) -> f64 {
        self.lacks.iter().sum::<f64>() / 2.0
    }

    /// Puts an item elsewhere and measures its pairs anew.
    pub(super) fn put(&mut self, i: usize, stand: Stand) {
        self.stands[i] = stand;
        let n = self.len();
        for j in 0..n {
            if !self.is_asked(i, j) {
                continue;
            }
            let view = self.view(i, stand.seat, j);
            let lack = view.map_or(0.0, |view| view.lack(&self.catalog, stand.at));
            self.lacks[i * n + j] = lack;
            self.lacks[j * n + i] = lack;
        }
    }

    /// Puts all items elsewhere.
    pub(super) fn put_all(&mut self, stands: &[Stand]) {
        self.stands.copy_from_slice(stands);
        self.measure();
    }

    /// Measures all pairs anew.
    fn measure(&mut self) {
        for i in 0..self.len() {
            self.put(i, self.stands[i]);
        }
    }

    /// Lets the pairs that lack something weigh more, the worst the most, and the others slowly less.
    pub(super) fn weigh(&mut self) {
        let most = self.lacks.iter().copied().fold(0.0, f64::max);
        for (weight, &lack) in self.weights.iter_mut().zip(&self.lacks) {
            *weight = if lack > 0.0 {
                *weight * (1.2 + 0.6 * lack / most)
            } else {
                (*weight * 0.95).max(1.0)
            };
        }
    }

    /// Lets all pairs weigh the same.
    pub(super) fn weigh_evenly(&mut self) {
        self.weights.fill(1.0);
    }

    /// Gives every item that is not pinned another room, and moves those into it that reach out.
    pub(super) fn resize(&mut self, problem: &Problem, room: Rect) {
        for i in 0..self.len() {
            if self.pieces[i].is_pinned {
                continue;
            }
            for known in &mut self.pieces[i].seats {
                *known = seat(&problem.items[i].shape, known.turn, room);
            }
            let stand = self.stands[i];
            self.stands[i].at = self.pieces[i].seats[stand.seat].held(stand.at);
        }
        self.measure();
    }

    /// Keeps two items farther apart, for when the exact geometry finds too little of a distance.
    pub(super) fn widen(&mut self, by: f64) {
        for apart in &mut self.apart {
            *apart += by;
        }
        self.measure();
    }
}

/// The places outside of which a view lacks nothing.
fn bounds(view: &View, field: &Field) -> Rect {
    let (center, half) = (field.bounds().center(), field.bounds().max - field.bounds().center());
    let (sin, cos) = (view.sin.abs(), view.cos.abs());
    let half = Vec2::new(
        cos * half.x + sin * half.y + view.apart,
        sin * half.x + cos * half.y + view.apart,
    );
    let center = view.base + view.outside(center.to_vec2());
    Rect { min: center - half, max: center + half }
}

/// How many turns are tried of an item that may turn freely, among so many different outlines.
fn free_turns(n_shapes: usize) -> u32 {
    let n_pairs = n_shapes * (n_shapes + 1) / 2;
    let is_little = |turns: &u32| n_pairs * (*turns as usize) <= MOST_FIELDS;
    FREE_TURNS.into_iter().find(is_little).unwrap_or(24)
}

fn piece(item: &Item, shape: usize, n_free: u32) -> Piece {
    if let Some(pose) = item.pinned {
        let (sin, cos) = pose.turn.sin_cos();
        let reach = Rect { min: pose.at, max: pose.at };
        return Piece {
            shape,
            seats: vec![Seat { turn: pose.turn, sin, cos, reach, fits: true }],
            first_seat: 0,
            is_pinned: true,
        };
    }
    let turns = match &item.turns {
        Turns::Free => {
            (0..n_free).map(|k| Angle::degrees(360.0 * f64::from(k) / f64::from(n_free))).collect()
        }
        Turns::Of(turns) if turns.is_empty() => vec![Angle::ZERO],
        Turns::Of(turns) => turns.clone(),
    };
    let seats = turns.into_iter().map(|turn| seat(&item.shape, turn, item.room)).collect();
    Piece { shape, seats, first_seat: 0, is_pinned: false }
}

fn seat(shape: &Shape, turn: Angle, room: Rect) -> Seat {
    let (sin, cos) = turn.sin_cos();
    let extent = extent(shape, Pose::new(Point::ORIGIN, turn));
    let (min, max) = (room.min - extent.min.to_vec2(), room.max - extent.max.to_vec2());
    let fits = min.x <= max.x && min.y <= max.y;
    let is_finite = min.is_finite() && max.is_finite();
    let reach = if is_finite { upright(Rect { min, max }) } else { Rect::default() };
    Seat { turn, sin, cos, reach, fits: fits && is_finite }
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

//! A layout under search: where every item stands, what each pair lacks, and how much each pair weighs.

use super::Problem;
use super::catalog::Catalog;
use super::piece::{Piece, Seat, free_turns};
use super::view::{Known, View};
use crate::geometry::{Point, Pose, Rect};

/// Distances are searched with this much to spare, in millimetres, so that rounding takes nothing away.
pub(super) const SPARE: f64 = 2e-6;

/// Where an item stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stand {
    pub(super) seat: usize,
    pub(super) at: Point,
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
    pub(super) fn new(problem: &Problem, start: Option<&[Pose]>) -> Self {
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
        let given = |i: usize| {
            start.and_then(|start| start.get(i)).filter(|pose| pose.is_finite()).copied()
        };
        let mut pieces: Vec<Piece> =
            (0..n).map(|i| Piece::new(&problem.items[i], shapes[i], n_free, given(i))).collect();
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
        let view = View {
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
        (!field.is_empty()).then(|| view.bounded(field))
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
                *known = Seat::new(&problem.items[i].shape, known.turn, room);
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

//! Looks for the best place of one item among the others as they stand.

use super::catalog::Catalog;
use super::field::{count, narrow};
use super::layout::{Layout, Seat, Stand, View};
use super::random::Random;
use crate::geometry::{Point, Rect, Vec2};

/// Places of the map of a seat.
const PLACES: f64 = 700.0;
/// Places of the maps that are looked at closely.
const CLOSE_LOOKS: usize = 5;
/// Seats looked at in one go when there are more.
const SEATS: usize = 8;

/// A place and what it costs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Find {
    pub(super) stand: Stand,
    pub(super) cost: f64,
}

/// The cheapest place found for an item, with the weights of its pairs; counts the places tried.
pub(super) fn best_place(
    layout: &mut Layout,
    i: usize,
    random: &mut Random,
    steps: &mut u64,
) -> Find {
    let now = layout.stands[i];
    let seats = seats_to_try(layout, i, random);
    let views: Vec<(usize, Vec<View>)> = seats.iter().map(|&s| (s, layout.views(i, s))).collect();
    let mut candidates: Vec<(f32, usize, Point, f64)> = Vec::new();
    for (k, (seat, views)) in views.iter().enumerate() {
        let map = Map::new(layout.pieces[i].seats[*seat].reach, random);
        *steps += map.len() as u64 / 4;
        let costs = map.costs(&layout.catalog, views);
        map.lows(&costs, |cost, at| candidates.push((cost, k, at, map.step)));
    }
    candidates.sort_by(|a, b| a.0.total_cmp(&b.0));
    candidates.truncate(CLOSE_LOOKS);
    let step = candidates.first().map_or(1.0, |one| one.3);
    if let Some(k) = seats.iter().position(|&seat| seat == now.seat) {
        candidates.push((0.0, k, now.at, step * 0.5));
    }
    let mut best = Find { stand: now, cost: f64::INFINITY };
    for (_, k, at, step) in candidates {
        let (seat, views) = &views[k];
        let near = Near { catalog: &layout.catalog, views, seat: layout.pieces[i].seats[*seat] };
        let (at, cost) = near.improved(at, step, steps);
        if cost < best.cost {
            best = Find { stand: Stand { seat: *seat, at }, cost };
        }
        if cost <= 0.0 {
            break;
        }
    }
    best
}

/// All seats when there are few; otherwise the present one, those beside it, and some of the others.
fn seats_to_try(layout: &Layout, i: usize, random: &mut Random) -> Vec<usize> {
    let n = layout.pieces[i].seats.len();
    if n <= SEATS {
        return (0..n).collect();
    }
    let now = layout.stands[i].seat;
    let mut seats = vec![now, (now + 1) % n, (now + n - 1) % n];
    while seats.len() < SEATS {
        let seat = random.below(n);
        if !seats.contains(&seat) {
            seats.push(seat);
        }
    }
    seats
}

/// A grid of places over the reach of a seat, both ends included and jittered between them.
struct Map {
    columns: Vec<f64>,
    rows: Vec<f64>,
    step: f64,
}

impl Map {
    fn new(reach: Rect, random: &mut Random) -> Self {
        let (width, depth) = (reach.width().to_mm(), reach.depth().to_mm());
        let step = (width * depth / PLACES).sqrt().max((width + depth) / PLACES).max(1e-9);
        let columns = ticks(reach.min.x, reach.max.x, step, random);
        let rows = ticks(reach.min.y, reach.max.y, step, random);
        Self { columns, rows, step }
    }

    fn len(&self) -> usize {
        self.columns.len() * self.rows.len()
    }

    /// What each place costs, roughly, row by row.
    fn costs(&self, catalog: &Catalog, views: &[View]) -> Vec<f32> {
        let n_columns = self.columns.len();
        let mut costs = vec![0.0_f32; self.len()];
        let range = |ticks: &[f64], low: f64, high: f64| {
            ticks.partition_point(|&t| t < low)..ticks.partition_point(|&t| t <= high)
        };
        for view in views {
            let field = catalog.field(view.field);
            let (apart, weight) = (narrow(view.apart), narrow(view.weight));
            let columns = range(&self.columns, view.bounds.min.x, view.bounds.max.x);
            for row in range(&self.rows, view.bounds.min.y, view.bounds.max.y) {
                let y = self.rows[row];
                let xs = &self.columns[columns.clone()];
                let row = &mut costs[row * n_columns..][columns.clone()];
                for (cost, &x) in row.iter_mut().zip(xs) {
                    *cost += weight * field.rough_lack(view.inside(Point::new(x, y)), apart);
                }
            }
        }
        costs
    }

    /// Tells the places that cost no more than those around them.
    fn lows(&self, costs: &[f32], mut tell: impl FnMut(f32, Point)) {
        let (n_columns, n_rows) = (self.columns.len(), self.rows.len());
        for row in 0..n_rows {
            for column in 0..n_columns {
                let cost = costs[row * n_columns + column];
                let rows = row.saturating_sub(1)..(row + 2).min(n_rows);
                let columns = column.saturating_sub(1)..(column + 2).min(n_columns);
                let mut around = rows.flat_map(|r| costs[r * n_columns..][columns.clone()].iter());
                if around.all(|&other| other >= cost) {
                    tell(cost, Point::new(self.columns[column], self.rows[row]));
                }
            }
        }
    }
}

/// Places from low to high about a step apart.
fn ticks(low: f64, high: f64, step: f64, random: &mut Random) -> Vec<f64> {
    let mut ticks = vec![low];
    if high > low {
        let n = super::field::floor((high - low) / step);
        let shift = random.share();
        ticks.extend(
            (0..n).map(|k| low + (count(k) + shift) * step).filter(|&t| t > low && t < high),
        );
        ticks.push(high);
    }
    ticks
}

/// One seat with the others in view.
struct Near<'a> {
    catalog: &'a Catalog,
    views: &'a [View],
    seat: Seat,
}

impl Near<'_> {
    /// What a place costs; infinite as soon as it is known to be no less than `most`.
    fn cost(&self, at: Point, most: f64) -> f64 {
        let mut sum = 0.0;
        for view in self.views {
            sum += view.weight * view.lack(self.catalog, at);
            if sum >= most {
                return f64::INFINITY;
            }
        }
        sum
    }

    /// Walks downhill from a place: first by what all pairs want, then by trying round about.
    fn improved(&self, from: Point, step: f64, steps: &mut u64) -> (Point, f64) {
        let mut at = self.held(from);
        let mut cost = self.cost(at, f64::INFINITY);
        for _ in 0..6 {
            if cost <= 0.0 {
                return (at, cost);
            }
            let next = self.held(at + self.push(at));
            let next_cost = self.cost(next, cost);
            *steps += 2;
            if next_cost >= cost {
                break;
            }
            (at, cost) = (next, next_cost);
        }
        self.tried_round(at, cost, step * 0.5, steps)
    }

    /// Tries eight directions with ever smaller steps.
    fn tried_round(&self, from: Point, cost: f64, step: f64, steps: &mut u64) -> (Point, f64) {
        const SLANT: f64 = std::f64::consts::FRAC_1_SQRT_2;
        const WAYS: [(f64, f64); 8] = [
            (1.0, 0.0),
            (-1.0, 0.0),
            (0.0, 1.0),
            (0.0, -1.0),
            (SLANT, SLANT),
            (-SLANT, -SLANT),
            (SLANT, -SLANT),
            (-SLANT, SLANT),
        ];
        let (mut at, mut cost, mut step) = (from, cost, step);
        let least = step * 1e-3;
        while step > least && cost > 0.0 {
            let mut is_better = false;
            for (x, y) in WAYS {
                let next = self.held(at + Vec2::new(x, y) * step);
                let next_cost = self.cost(next, cost);
                *steps += 1;
                if next_cost < cost {
                    (at, cost, is_better) = (next, next_cost, true);
                    break;
                }
            }
            step *= if is_better { 1.2 } else { 0.4 };
        }
        (at, cost)
    }

    /// The mean of the ways out of all that is lacking, by weight.
    fn push(&self, at: Point) -> Vec2 {
        let (mut push, mut weights) = (Vec2::ZERO, 0.0);
        for view in self.views.iter().filter(|view| view.bounds.contains(at)) {
            let (signed, way) = self.catalog.field(view.field).signed_with_way_out(view.inside(at));
            let lack = view.apart - signed;
            if lack > 0.0 {
                push = push + view.outside(way) * (view.weight * lack);
                weights += view.weight;
            }
        }
        if weights > 0.0 { push / weights } else { Vec2::ZERO }
    }

    /// The nearest place within reach.
    fn held(&self, at: Point) -> Point {
        let Rect { min, max } = self.seat.reach;
        Point::new(at.x.max(min.x).min(max.x), at.y.max(min.y).min(max.y))
    }
}

//! Looks for the best place of one item among the others as they stand.

use super::catalog::Catalog;
use super::field::{count, narrow};
use super::layout::{Layout, Stand};
use super::piece::Seat;
use super::random::Random;
use super::view::View;
use crate::geometry::{Point, Rect, Vec2};

/// Places of the map of a seat.
const PLACES: f64 = 700.0;
/// Places of the maps that are looked at closely.
const CLOSE_LOOKS: usize = 5;
/// Where the first rough walk downhill ends, as a share of the step of the map.
const COARSE: f64 = 0.05;
/// Where the walk of the best ends.
const FINE: f64 = 5e-4;
/// A place that costs so many times the best after the first pushes is left.
const HOPELESS: f64 = 3.0;
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
    let mut lows = Lows(Vec::new());
    for seat in seats_to_try(layout, i, random) {
        let views = layout.views(i, seat);
        let map = Map::new(layout.pieces[i].seats[seat].reach, random);
        *steps += map.len() as u64 / 4;
        let costs = map.costs(&layout.catalog, &views);
        map.lows(&costs, seat, &mut lows);
        if lows.0.first().is_some_and(|low| low.cost <= 0.0) {
            break;
        }
    }
    let now = layout.stands[i];
    let step = lows.0.first().map_or(1.0, |low| low.step);
    let mut candidates = lows.0;
    candidates.push(Low { cost: 0.0, seat: now.seat, at: now.at, step: step * 0.5 });
    let mut best = Find { stand: now, cost: f64::INFINITY };
    for low in candidates {
        let find = walked(layout, i, (low.seat, low.at), (low.step * 0.5, best.cost), steps);
        if find.cost < best.cost {
            best = find;
        }
        if best.cost <= 0.0 {
            return best;
        }
    }
    if layout.pieces[i].seats.len() > SEATS {
        best = turned(layout, i, best, step, steps);
    }
    let views = layout.views(i, best.stand.seat);
    let near = Near {
        catalog: &layout.catalog,
        views: &views,
        seat: layout.pieces[i].seats[best.stand.seat],
    };
    (best.stand.at, best.cost) =
        near.tried_round(best.stand.at, best.cost, (step * COARSE, step * FINE), steps);
    best
}

/// Walks downhill on a seat from a place.
fn walked(
    layout: &mut Layout,
    i: usize,
    (seat, at): (usize, Point),
    (step, most): (f64, f64),
    steps: &mut u64,
) -> Find {
    let views = layout.views(i, seat);
    let near = Near { catalog: &layout.catalog, views: &views, seat: layout.pieces[i].seats[seat] };
    let (at, cost) = near.improved(at, step, most, steps);
    Find { stand: Stand { seat, at }, cost }
}

/// Turns an item of many seats back and forth by ever less for as long as that helps.
fn turned(layout: &mut Layout, i: usize, from: Find, step: f64, steps: &mut u64) -> Find {
    let n = layout.pieces[i].seats.len();
    let mut best = from;
    let mut by = n / 36;
    while by > 0 && best.cost > 0.0 {
        let sides = [best.stand.seat + by, best.stand.seat + n - by].map(|seat| seat % n);
        let tries = sides.map(|seat| {
            if !layout.pieces[i].seats[seat].fits {
                return best;
            }
            walked(layout, i, (seat, best.stand.at), (step * COARSE * 4.0, best.cost), steps)
        });
        let better = tries.into_iter().min_by(|a, b| a.cost.total_cmp(&b.cost));
        match better {
            Some(better) if better.cost < best.cost => best = better,
            _ => by /= 2,
        }
    }
    best
}

/// A place of a map that costs no more than those around it.
#[derive(Clone, Copy, Debug)]
struct Low {
    cost: f32,
    seat: usize,
    at: Point,
    /// How far the places around it are.
    step: f64,
}

/// The cheapest places of the maps so far, the cheapest first.
struct Lows(Vec<Low>);

impl Lows {
    /// Whether a place of this cost is among the cheapest.
    fn is_wanted(&self, cost: f32) -> bool {
        self.0.len() < CLOSE_LOOKS || self.0.last().is_some_and(|last| cost < last.cost)
    }

    fn add(&mut self, low: Low) {
        let at = self.0.partition_point(|known| known.cost <= low.cost);
        self.0.insert(at, low);
        self.0.truncate(CLOSE_LOOKS);
    }
}

/// All seats that fit when there are few; otherwise the present one, those beside it, and some of the others.
fn seats_to_try(layout: &Layout, i: usize, random: &mut Random) -> Vec<usize> {
    let seats = &layout.pieces[i].seats;
    let n = seats.len();
    let now = layout.stands[i].seat;
    let fitting: Vec<usize> = (0..n).filter(|&k| seats[k].fits).collect();
    if fitting.is_empty() {
        return vec![now];
    }
    if fitting.len() <= SEATS {
        return fitting;
    }
    let beside = [now, (now + 1) % n, (now + n - 1) % n];
    let mut tried: Vec<usize> = beside.into_iter().filter(|&k| seats[k].fits).collect();
    while tried.len() < SEATS {
        let seat = fitting[random.below(fitting.len())];
        if !tried.contains(&seat) {
            tried.push(seat);
        }
    }
    tried
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
            let along = field.way_on_grid(view.way_inside(Vec2::new(1.0, 0.0)));
            let columns = range(&self.columns, view.bounds.min.x, view.bounds.max.x);
            for row in range(&self.rows, view.bounds.min.y, view.bounds.max.y) {
                // Along a row places on the grid are in a line.
                let start = field.on_grid(view.inside(Point::new(0.0, self.rows[row])));
                let xs = &self.columns[columns.clone()];
                let row = &mut costs[row * n_columns..][columns.clone()];
                for (cost, &x) in row.iter_mut().zip(xs) {
                    *cost += weight * field.rough_lack(start + along * x, apart);
                }
            }
        }
        costs
    }

    /// Adds the places that cost no more than those around them.
    fn lows(&self, costs: &[f32], seat: usize, lows: &mut Lows) {
        let (n_columns, n_rows) = (self.columns.len(), self.rows.len());
        for (row, line) in costs.chunks_exact(n_columns).enumerate() {
            for (column, &cost) in line.iter().enumerate() {
                if !lows.is_wanted(cost) {
                    continue;
                }
                let rows = row.saturating_sub(1)..(row + 2).min(n_rows);
                let columns = column.saturating_sub(1)..(column + 2).min(n_columns);
                let mut around = rows.flat_map(|r| costs[r * n_columns..][columns.clone()].iter());
                if around.all(|&other| other >= cost) {
                    let at = Point::new(self.columns[column], self.rows[row]);
                    lows.add(Low { cost, seat, at, step: self.step });
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

    /// Walks downhill from a place, first by what all pairs want, then by trying round about; not to the very
    /// bottom, and not at all when the beginning is hopeless against `most`.
    fn improved(&self, from: Point, step: f64, most: f64, steps: &mut u64) -> (Point, f64) {
        let mut at = self.seat.held(from);
        let mut cost = self.cost(at, f64::INFINITY);
        for _ in 0..6 {
            if cost <= 0.0 {
                return (at, cost);
            }
            let next = self.seat.held(at + self.push(at));
            let next_cost = self.cost(next, cost);
            *steps += 2;
            if next_cost >= cost {
                break;
            }
            (at, cost) = (next, next_cost);
        }
        if cost > most * HOPELESS {
            return (at, cost);
        }
        self.tried_round(at, cost, (step, step * 2.0 * COARSE), steps)
    }

    /// Tries eight directions with ever smaller steps.
    fn tried_round(
        &self,
        from: Point,
        cost: f64,
        (step, least): (f64, f64),
        steps: &mut u64,
    ) -> (Point, f64) {
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
        while step > least && cost > 0.0 {
            let mut is_better = false;
            for (x, y) in WAYS {
                let next = self.seat.held(at + Vec2::new(x, y) * step);
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
}

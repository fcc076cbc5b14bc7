//! The outline of a mesh seen from above: the union of all its triangles, exactly.
//!
//! Turn every projected triangle counter-clockwise. The sides of all of them together wind round a place as often
//! as triangles cover it. Sides that two triangles run along in opposite directions cancel, which leaves the
//! edges where a surface turns over or ends; winding round a place does not change by that. So the union is what
//! the few edges left wind round at all, and a polygon library has to look at nothing else.

use geo::algorithm::bool_ops::{BooleanOps, FillRule};
use geo::{Coord, LineString, MultiPolygon, Polygon};

use super::stand::Standing;
use crate::geometry::{HeightField, Point, Region, Ring, simplify, tolerance};
use crate::units::{Area, Length};

/// Edges left of which the exact union is made.
const MOST_EDGES: usize = 300_000;

/// Crossings expected among them, by their length: two lines at random in a surface `A` cross with a chance of
/// `2 l m / pi A` (Santaló, Integral Geometry and Geometric Probability; from memory).
const MOST_CROSSINGS: f64 = 2e6;

/// Which edges are left of a mesh, and whether its surface is whole.
pub(super) struct Edges {
    /// From corner to corner, each as often as it counts.
    pub(super) left: Vec<(u32, u32)>,
    /// Every edge joins as many triangles one way round as the other.
    pub(super) is_closed: bool,
}

/// The edges that do not cancel among the triangles that `counts` accepts by their normal (not of unit length).
pub(super) fn edges(standing: &Standing, counts: impl Fn([f64; 3]) -> bool) -> Edges {
    let corners = &standing.mesh.corners;
    let mut starts = vec![0_u32; corners.len() + 1];
    let sides = |t: [u32; 3]| [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])];
    let kept = || {
        let all = standing.mesh.triangles.iter().zip(standing.triangles());
        all.map(|(&triangle, places)| (triangle, normal(&places))).filter(|(_, n)| counts(*n))
    };
    for (triangle, _) in kept() {
        for (a, b) in sides(triangle) {
            starts[a.min(b) as usize + 1] += 1;
        }
    }
    for index in 1..starts.len() {
        starts[index] += starts[index - 1];
    }
    let mut ends = starts.clone();
    let mut filed = vec![0_u64; starts.last().map_or(0, |&n| n as usize)];
    for (triangle, normal) in kept() {
        // Seen from above: counter-clockwise, clockwise or edge on.
        let turn: u64 = if normal[2] > 0.0 {
            0
        } else if normal[2] < 0.0 {
            1
        } else {
            2
        };
        for (a, b) in sides(triangle) {
            let is_down = u64::from(a > b);
            let place = &mut ends[a.min(b) as usize];
            filed[*place as usize] = u64::from(a.max(b)) << 3 | is_down << 2 | turn;
            *place += 1;
        }
    }
    cancel(&starts, &mut filed)
}

/// Sums the directions of each edge; `filed` holds, for each lower corner, the higher ones with their directions.
fn cancel(starts: &[u32], filed: &mut [u64]) -> Edges {
    let mut found = Edges { left: Vec::new(), is_closed: true };
    let mut is_even = true;
    for (low, range) in (0_u32..).zip(starts.windows(2)) {
        let list = &mut filed[range[0] as usize..range[1] as usize];
        list.sort_unstable();
        for group in list.chunk_by(|a, b| a >> 3 == b >> 3) {
            let (mut in_space, mut from_above) = (0_i64, 0_i64);
            for side in group {
                let way = if side >> 2 & 1 == 0 { 1 } else { -1 };
                in_space += way;
                from_above += match side & 3 {
                    0 => way,
                    1 => -way,
                    _ => 0,
                };
            }
            found.is_closed &= in_space == 0;
            is_even &= from_above % 2 == 0;
            let high = u32::try_from(group.first().map_or(0, |side| side >> 3)).unwrap_or(0);
            let edge = if from_above > 0 { (low, high) } else { (high, low) };
            found.left.extend((0..from_above.unsigned_abs()).map(|_| edge));
        }
    }
    // Over a closed surface every place is covered twice as often as a line from above enters it.
    if is_even {
        found.left = found.left.iter().copied().step_by(2).collect();
    }
    found
}

/// Twice the area of a triangle along each axis.
pub(super) fn normal([a, b, c]: &[[f64; 3]; 3]) -> [f64; 3] {
    let u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
    let v = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
    [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
}

/// The union of all triangles seen from above, the largest part first, and how far it may stray.
///
/// It is exact but for rounding (to a thousand-millionth of the bounds), unless so many edges cross that it would
/// take too long; then it follows the cells of the grid.
pub(super) fn silhouette(
    standing: &Standing,
    left: &[(u32, u32)],
    heights: &HeightField,
) -> (Vec<Region>, Length) {
    let place = |index: u32| {
        let corner = standing.mesh.corners.get(index as usize).copied().unwrap_or_default();
        Point::new(corner[0], corner[1])
    };
    let length: f64 = left.iter().map(|&(a, b)| place(a).distance(place(b))).sum();
    let area = standing.bounds.area().to_mm2().max(tolerance::SPECK.to_mm2());
    let crossings = length * length / (std::f64::consts::PI * area);
    if left.len() <= MOST_EDGES && crossings <= MOST_CROSSINGS {
        let loops = loops(left, standing.mesh.corners.len());
        let rings = loops.into_iter().map(|one| one.into_iter().map(place).collect());
        (union(rings), Length::ZERO)
    } else {
        let cells = cell_loops(heights);
        let regions = union(cells.into_iter());
        let within = heights.spacing();
        (regions.iter().map(|region| simplify(region, within)).collect(), within * 2.0)
    }
}

/// Edges joined end to start into loops; at every corner as many start as end.
fn loops(edges: &[(u32, u32)], n_corners: usize) -> Vec<Vec<u32>> {
    let mut starts = vec![0_u32; n_corners + 1];
    for &(from, _) in edges {
        starts[from as usize + 1] += 1;
    }
    for index in 1..starts.len() {
        starts[index] += starts[index - 1];
    }
    let mut filled = starts.clone();
    let mut targets = vec![0_u32; edges.len()];
    for &(from, to) in edges {
        let at = &mut filled[from as usize];
        targets[*at as usize] = to;
        *at += 1;
    }
    let mut next = starts.clone();
    let mut loops = Vec::new();
    for first in 0..n_corners {
        while next[first] < starts[first + 1] {
            let mut one = Vec::new();
            let mut at = first;
            while next[at] < starts[at + 1] {
                one.push(u32::try_from(at).unwrap_or(u32::MAX));
                let to = targets[next[at] as usize];
                next[at] += 1;
                at = to as usize;
            }
            loops.push(one);
        }
    }
    loops
}

/// What the loops wind round, as regions.
fn union(loops: impl Iterator<Item = Vec<Point>>) -> Vec<Region> {
    let line = |points: Vec<Point>| -> LineString {
        LineString::new(points.into_iter().map(|p| Coord { x: p.x, y: p.y }).collect())
    };
    let polygons = loops.map(|points| Polygon::new(line(points), Vec::new()));
    let all = MultiPolygon::new(polygons.collect());
    let nothing: MultiPolygon = MultiPolygon::new(Vec::new());
    let joined = all.union_with_fill_rule(&nothing, FillRule::Positive);
    let mut regions: Vec<Region> = joined.0.iter().map(from_geo).collect();
    regions.retain(|region| region.area() > tolerance::SPECK);
    regions.sort_by(|a, b| b.area().to_mm2().total_cmp(&a.area().to_mm2()));
    regions
}

fn from_geo(polygon: &Polygon) -> Region {
    let ring = |line: &LineString| Ring::new(line.coords().map(|c| Point::new(c.x, c.y)).collect());
    let holes = polygon.interiors().iter().map(ring);
    let is_hole = |hole: &Ring| Area::mm2(hole.signed_area().abs()) > tolerance::SPECK;
    Region::new(ring(polygon.exterior()), holes.filter(is_hole).collect())
}

/// A square round each run of covered cells.
fn cell_loops(heights: &HeightField) -> Vec<Vec<Point>> {
    let half = heights.spacing().to_mm() / 2.0;
    let mut found = Vec::new();
    for (row, line) in heights.heights().chunks(heights.columns().max(1)).enumerate() {
        let mut column = 0;
        while column < line.len() {
            let length = line[column..].iter().take_while(|height| **height > 0.0).count();
            if length > 0 {
                let (first, last) =
                    (heights.middle(column, row), heights.middle(column + length - 1, row));
                found.push(vec![
                    Point::new(first.x - half, first.y - half),
                    Point::new(last.x + half, first.y - half),
                    Point::new(last.x + half, first.y + half),
                    Point::new(first.x - half, first.y + half),
                ]);
            }
            column += length.max(1);
        }
    }
    found
}

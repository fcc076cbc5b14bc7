//! Splits the triangles that cut a corner short, so that the sheet gets in as far as its firmness lets it.
//!
//! A triangle is cut into two where one of its sides is split, into four where all are; one with two split sides has its
//! third split as well. So neighbours always meet at whole sides, and what is symmetric stays so: each part begins at a corner
//! that is the same of a mirrored triangle.

use std::collections::BTreeMap;

use super::net::{Net, Triangle};
use super::press::Press;
use super::vector::{blend, length, sub};

/// A side is split when its middle is farther off the ground than this share of its length.
const OFF: f64 = 0.1;
/// And farther than this many cells of the ground, which is no truer.
const CELLS: f64 = 0.75;

/// Triangles of a film are not split to less than this share of a square's width, a power of two.
const FINEST: f64 = 1.0 / 8.0;

/// Nor is a film split into more than so many times the triangles that it began with.
const MOST: usize = 6;

/// The sides to split, by their two nodes.
pub(super) type Split = BTreeMap<(u32, u32), Middle>;

/// The node in the middle of a side that is split.
#[derive(Clone, Copy, Debug)]
pub(super) struct Middle {
    /// The number that it will have.
    pub(super) node: u32,
    /// Whether it lies where it is: the side has landed all along, and is split for its neighbour's sake.
    pub(super) is_landed: bool,
}

/// Finds the sides that have landed at an end and whose middle is off the ground, and the free ones that are longer than `most`;
/// shorter ones than `least` are left out.
pub(super) fn open_sides(press: &Press<'_>, least: f64, most: f64) -> Split {
    let (net, ground) = (&press.net, press.ground);
    let mut open = Split::new();
    let is_stuck = |node: u32| press.is_stuck[node as usize];
    for triangle in &net.triangles {
        for (a, b) in triangle_sides(triangle.nodes) {
            let is_held = net.is_clamped[a as usize] && net.is_clamped[b as usize];
            if is_held {
                continue;
            }
            let [from, to] = [a, b].map(|node| press.places[node as usize]);
            let long = length(sub(to, from));
            let by = (OFF * long).max(CELLS * ground.spacing());
            let is_open = if is_stuck(a) || is_stuck(b) {
                ground.is_off(blend(0.5, from, 0.5, to), by)
            } else {
                long > most
            };
            if long >= least && is_open {
                open.insert((a, b), Middle { node: 0, is_landed: false });
            }
        }
    }
    closed(press, open)
}

/// Finds the sides of a free film that are long against the radius it is bent with, those with a free end alone.
///
/// A film that shrinks into a tip takes ever fewer triangles there; it is equally thick all over, so that more of them are no
/// other film.
///
/// No farther than `FINEST` and `MOST` allow: in a corner that the ground is too coarse for there would be no end.
pub(super) fn long_sides(press: &Press<'_>, most: f64) -> Split {
    let net = &press.net;
    let [along, across] = net.square;
    let least = 0.5 * along * across * FINEST * FINEST;
    let mut long = Split::new();
    if net.triangles.len() > MOST * 2 * net.columns * net.rows {
        return long;
    }
    for triangle in press.moving().filter(|triangle| triangle.surface() > 1.01 * least) {
        for (a, b) in triangle_sides(triangle.nodes) {
            let [from, to] = [a, b].map(|node| press.places[node as usize]);
            let is_free = !(press.is_stuck[a as usize] && press.is_stuck[b as usize]);
            if is_free && length(sub(to, from)) > most {
                long.insert((a, b), Middle { node: 0, is_landed: false });
            }
        }
    }
    closed(press, long)
}

/// Splits the third side of triangles with two split ones as well, and numbers the new nodes.
fn closed(press: &Press<'_>, mut open: Split) -> Split {
    let is_stuck = |node: u32| press.is_stuck[node as usize];
    loop {
        let before = open.len();
        for triangle in &press.net.triangles {
            let sides = triangle_sides(triangle.nodes);
            if sides.iter().filter(|side| open.contains_key(side)).count() == 2 {
                for (a, b) in sides {
                    let is_landed = is_stuck(a) && is_stuck(b);
                    open.entry((a, b)).or_insert(Middle { node: 0, is_landed });
                }
            }
        }
        if open.len() == before {
            break;
        }
    }
    let first = u32::try_from(press.places.len()).unwrap_or(u32::MAX);
    for (middle, number) in open.values_mut().zip(first..) {
        middle.node = number;
    }
    open
}

/// Splits these sides of the net; new nodes lie in the middle of their side.
pub(super) fn split(net: &mut Net, split: &Split) {
    let guided: BTreeMap<u32, usize> = net.guided.iter().copied().collect();
    for (&(a, b), middle) in split {
        let [p, q] = [a, b].map(|node| net.flat[node as usize]);
        net.flat.push([f64::midpoint(p[0], q[0]), f64::midpoint(p[1], q[1])]);
        net.is_clamped.push(net.is_clamped[a as usize] && net.is_clamped[b as usize]);
        if let (Some(axis), Some(other)) = (guided.get(&a), guided.get(&b))
            && axis == other
        {
            net.guided.push((middle.node, *axis));
        }
    }
    net.triangles = net.triangles.iter().flat_map(|triangle| parts(triangle, split)).collect();
}

/// The three sides of a triangle, each opposite to none of the corners before it: first to second, second to third, third
/// to first; each with its lower node first.
fn triangle_sides([a, b, c]: [u32; 3]) -> [(u32, u32); 3] {
    [(a, b), (b, c), (c, a)].map(|(p, q)| (p.min(q), p.max(q)))
}

/// A triangle's corners and the middles of its sides, in shares of its two sides from the first corner.
const CORNERS: [[f64; 2]; 6] =
    [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.5, 0.0], [0.5, 0.5], [0.0, 0.5]];

fn parts(triangle: &Triangle, split: &Split) -> Vec<Triangle> {
    let middles =
        triangle_sides(triangle.nodes).map(|side| split.get(&side).map(|middle| middle.node));
    let [a, b, c] = triangle.nodes;
    let [ab, bc, ca] = middles.map(|node| node.unwrap_or(u32::MAX));
    let nodes = [a, b, c, ab, bc, ca];
    let parts: &[[usize; 3]] = match middles {
        [None, None, None] => return vec![*triangle],
        [Some(_), None, None] => &[[0, 3, 2], [3, 1, 2]],
        [None, Some(_), None] => &[[0, 1, 4], [0, 4, 2]],
        [None, None, Some(_)] => &[[0, 1, 5], [5, 1, 2]],
        _ => &[[0, 3, 5], [3, 1, 4], [5, 4, 2], [4, 5, 3]],
    };
    parts.iter().map(|corners| part(triangle, *corners, &nodes)).collect()
}

fn part(whole: &Triangle, corners: [usize; 3], nodes: &[u32; 6]) -> Triangle {
    let [p, q, r] = corners.map(|corner| CORNERS[corner]);
    let (first, second) = ([q[0] - p[0], q[1] - p[1]], [r[0] - p[0], r[1] - p[1]]);
    let doubled = first[0] * second[1] - first[1] * second[0];
    // The inverse of the part's sides in shares of the whole's, times the inverse of the whole's sides at rest.
    let (across, along) = (1.0 / doubled, whole.rest);
    let row = |u: f64, v: f64| [u * along[0] + v * along[2], u * along[1] + v * along[3]];
    let [a, b] = row(second[1] * across, -second[0] * across);
    let [c, d] = row(-first[1] * across, first[0] * across);
    Triangle {
        nodes: corners.map(|corner| nodes[corner]),
        rest: [a, b, c, d],
        plastic: whole.plastic * doubled,
    }
}

//! What of a film has all but landed.
//!
//! Film between nodes that have landed on a wall lies along their chords, and the ground leans over the width of a cell: a node in
//! their midst can hang beside the wall for ever. By and by so much of the film would, that it takes plastic from what lands.

use super::press::Press;
use super::rubber::sides;
use super::vector::{grained, length, sub};

/// A node has landed that at least this share of its neighbours' places have landed round.
const ROUND: f64 = 0.6;
/// And that is nearer to the ground than this many of its cells,
const CELLS: f64 = 0.5;
/// and than this share of the sides at it: a chord is as far from an arc whose radius is ten such sides.
const OF_SIDE: f64 = 0.012;

/// What lies round a node: corners that have landed, all corners, and the length of the sides there.
#[derive(Clone, Copy, Default)]
struct Around {
    landed: u32,
    all: u32,
    length: f64,
}

/// The free nodes of a film that landed sheet surrounds and that the ground is next to.
pub(super) fn all_but_landed(press: &Press<'_>) -> Vec<usize> {
    let mut all = vec![Around::default(); press.places.len()];
    let is_stuck = |node: u32| press.is_stuck[node as usize];
    for triangle in press.moving() {
        let [u, v] = sides(triangle.nodes, &press.places);
        let mean = grained((length(u) + length(v) + length(sub(u, v))) / 3.0);
        let landed = triangle.nodes.into_iter().map(|node| u32::from(is_stuck(node))).sum::<u32>();
        for node in triangle.nodes.into_iter().filter(|node| !is_stuck(*node)) {
            let around = &mut all[node as usize];
            around.landed += landed;
            around.all += 2;
            around.length += 2.0 * mean;
        }
    }
    let is_landed = |(node, around): (usize, Around)| {
        let (landed, all) = (f64::from(around.landed), f64::from(around.all));
        let near = (CELLS * press.ground.spacing()).min(OF_SIDE * around.length / all);
        let is_round = around.all > 0 && landed >= ROUND * all;
        (is_round && !press.ground.is_off(press.places[node], near)).then_some(node)
    };
    all.into_iter().enumerate().filter_map(is_landed).collect()
}

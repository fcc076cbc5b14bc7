//! Pieces of sheet between places where it has landed, and the one thickness of each.

use super::groups::Groups;
use super::net::Triangle;
use super::rubber::sides;
use super::vector::{Vec3, coarsely, cross, length};

/// Gives the plastic of each free piece to its triangles in proportion to their surface.
///
/// Triangles hang together where they share a node that is free. What has landed keeps the plastic it has.
pub(super) fn even_out(
    triangles: &mut [Triangle],
    active: &[u32],
    places: &[Vec3],
    is_stuck: &[bool],
) {
    let mut pieces = Groups::new(places.len());
    for &index in active {
        let free = triangles[index as usize].nodes.into_iter().filter(|n| !is_stuck[*n as usize]);
        free.reduce(|a, b| {
            pieces.join(a, b);
            b
        });
    }
    let mut sums = vec![(0.0, 0.0); places.len()];
    let mut areas = Vec::with_capacity(active.len());
    for &index in active {
        let triangle = &triangles[index as usize];
        let [a, b] = sides(triangle.nodes, places);
        let area = 0.5 * length(cross(a, b));
        let free = triangle.nodes.into_iter().find(|node| !is_stuck[*node as usize]);
        let root = free.map(|node| pieces.first(node));
        if let Some(root) = root {
            let sum = &mut sums[root as usize];
            *sum = (sum.0 + coarsely(triangle.plastic), sum.1 + coarsely(area));
        }
        areas.push((root, area));
    }
    for (&index, (root, area)) in active.iter().zip(areas) {
        if let Some((plastic, surface)) = root.map(|root| sums[root as usize])
            && surface > 0.0
        {
            triangles[index as usize].plastic = plastic / surface * area;
        }
    }
}

//! The masses of nodes: as small as a step of one allows, so that the sheet comes to rest soon.

use super::net::{Net, Triangle};
use super::rubber::sides;
use super::vector::{Vec3, cross, grained, length, sub};
use crate::geometry::greater;

/// The stiffness that the masses are made for: of rubber in shear moduli, of a film in its tension.
const RUBBER: f64 = 3.5;
const FILM: f64 = 1.5;
/// A triangle of a film is taken for this share of the surface of a square with its girth at least: nodes at folds would never get
/// anywhere else.
const FOLDED: f64 = 0.01;

/// Masses that the stiffest rubber cannot make a step of one too long for, inverted.
pub(super) fn inverted(net: &Net) -> Vec<f64> {
    let mut masses = vec![0.0; net.flat.len()];
    for triangle in &net.triangles {
        let slopes = slopes(triangle);
        let sum = slopes[0] + (slopes[1] + slopes[2]);
        for (node, slope) in triangle.nodes.iter().zip(slopes) {
            masses[*node as usize] += grained(RUBBER * triangle.plastic * slope * sum / 4.0);
        }
    }
    masses.into_iter().map(|mass: f64| 1.0 / mass).collect()
}

/// The same of a film for the nodes of these triangles, by the shape that they have now: a long one pulls at its corners stiffly,
/// however little plastic is left of it. What spaces the nodes is as stiff as their shape at rest.
pub(super) fn weigh_film(inverse: &mut [f64], net: &Net, moving: &[u32], places: &[Vec3]) {
    let mut masses = vec![0.0; places.len()];
    for &index in moving {
        let triangle = &net.triangles[index as usize];
        let [u, v] = sides(triangle.nodes, places);
        let opposite = [sub(v, u), v, u].map(length);
        let girth = opposite[0] + (opposite[1] + opposite[2]);
        let now = girth / greater(8.0 * length(cross(u, v)), girth * girth * FOLDED);
        let slopes = slopes(triangle);
        let before = 0.25 * triangle.surface() * (slopes[0] + (slopes[1] + slopes[2]));
        for ((node, side), slope) in triangle.nodes.iter().zip(opposite).zip(slopes) {
            let stiff = greater(side * now, slope * before);
            masses[*node as usize] += grained(FILM * stiff);
        }
    }
    for (inverse, mass) in inverse.iter_mut().zip(masses) {
        if mass > 0.0 {
            *inverse = 1.0 / mass;
        }
    }
}

/// How steeply each corner's share falls off across a triangle at rest.
fn slopes(triangle: &Triangle) -> [f64; 3] {
    let [a, b, c, d] = triangle.rest;
    [(a + c, b + d), (a, b), (c, d)].map(|(x, y)| (x * x + y * y).sqrt())
}

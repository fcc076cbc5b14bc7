//! The former at work: the frame comes down, the vacuum draws, and what lands stays.
//!
//! The sheet is moved in steps of damped motion with masses chosen so that one step is as long as it may be (dynamic
//! relaxation), slow enough that it is near rest all the time. The vacuum is that of a pump of limited flow: the air
//! below gets less at an even rate, and the pull is what that takes, up to the full vacuum.
//!
//! **Source:** D. R. Oakley and N. F. Knight, Adaptive dynamic relaxation algorithm for non-linear hyperelastic
//! structures, Computer Methods in Applied Mechanics and Engineering 126, 1995 (from memory).

use super::ground::Ground;
use super::map::index_to_f64;
use super::net::{Net, Triangle};
use super::rubber::sides;
use super::vector::{Vec3, add, blend, cross, dot, length, sub};
use super::{Mode, film, regions, rubber};

/// The stiffness that the masses are made for, in shear moduli.
const STIFFNESS: f64 = 5.0;
/// Steps between looks at which triangles can still move.
const LOOK_AGAIN: u64 = 8;

/// How the sheet is held and drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Load {
    /// How far the frame goes up or down in a step.
    pub(super) frame: f64,
    /// The volume the air below is to have: pulls in proportion to what is above that.
    pub(super) target: f64,
    /// Pull for each cubic millimetre too much, in shear moduli times gauge over millimetres.
    pub(super) yielding: f64,
    /// The full vacuum, in the same unit.
    pub(super) most: f64,
}

/// The sheet in the former.
#[derive(Clone, Debug)]
pub(super) struct Press<'g> {
    pub(super) ground: &'g Ground,
    pub(super) mode: Mode,
    pub(super) net: Net,
    pub(super) places: Vec<Vec3>,
    pub(super) is_stuck: Vec<bool>,
    speeds: Vec<Vec3>,
    forces: Vec<Vec3>,
    springs: Vec<Vec3>,
    normals: Vec<Vec3>,
    inverse_mass: Vec<f64>,
    triangles: Vec<u32>,
    nodes: Vec<u32>,
    damping: f64,
    reach: f64,
    /// The air between the platen's level and the sheet, of triangles that are at rest for good.
    volume_at_rest: f64,
    /// The same of all, as of the last step.
    pub(super) volume: f64,
    /// Steps taken.
    pub(super) steps: u64,
    /// The farthest that a node went in the last step.
    pub(super) fastest: f64,
}

impl<'g> Press<'g> {
    /// The sheet clamped flat at a height.
    pub(super) fn new(net: Net, ground: &'g Ground, mode: Mode, height: f64) -> Self {
        let count = net.flat.len();
        let places = net.flat.iter().map(|at| [at[0], at[1], height]).collect();
        let inverse_mass = inverse_masses(&net);
        let spacing = net.square[0].min(net.square[1]);
        let across = index_to_f64(net.columns.min(net.rows));
        let mut press = Self {
            ground,
            mode,
            places,
            is_stuck: net.is_clamped.clone(),
            speeds: vec![[0.0; 3]; count],
            forces: vec![[0.0; 3]; count],
            springs: vec![[0.0; 3]; count],
            normals: vec![[0.0; 3]; count],
            inverse_mass,
            triangles: Vec::new(),
            nodes: Vec::new(),
            damping: (std::env::var("DAMP").ok().and_then(|v| v.parse().ok()).unwrap_or(5.0)
                / across)
                .min(0.5),
            reach: (0.25 * spacing).min(0.9 * ground.spacing()),
            volume_at_rest: 0.0,
            volume: 0.0,
            steps: 0,
            fastest: 0.0,
            net,
        };
        press.look_again();
        press
    }

    /// One step.
    pub(super) fn step(&mut self, load: &Load) {
        self.steps += 1;
        self.move_frame(load.frame);
        let pull = (load.yielding * (self.volume - load.target)).clamp(0.0, load.most);
        self.gather(pull);
        self.advance();
        if self.steps % LOOK_AGAIN == 0 {
            self.look_again();
        }
    }

    /// True when everything has landed.
    pub(super) fn is_all_landed(&self) -> bool {
        self.nodes.is_empty()
    }

    /// A pull for each cubic millimetre too much that makes the sheet breathe slowly: a tenth of the masses over the
    /// surface squared.
    pub(super) fn steady_yielding(&self) -> f64 {
        let mass: f64 = self.nodes.iter().map(|node| 1.0 / self.inverse_mass[*node as usize]).sum();
        let area: f64 = self
            .triangles
            .iter()
            .map(|index| {
                let [a, b] = sides(self.net.triangles[*index as usize].nodes, &self.places);
                0.5 * length(cross(a, b))
            })
            .sum();
        0.1 * mass / (area * area).max(1e-9)
    }

    fn move_frame(&mut self, by: f64) {
        if by == 0.0 {
            return;
        }
        for (place, is_clamped) in self.places.iter_mut().zip(&self.net.is_clamped) {
            if *is_clamped {
                place[2] += by;
            }
        }
    }

    /// Gathers what pulls at each node that can move.
    fn gather(&mut self, pull: f64) {
        match self.mode {
            Mode::Rubber => self.gather_rubber(pull / -6.0),
            Mode::Uniform => self.gather_film(pull / -6.0),
        }
    }

    fn gather_rubber(&mut self, press: f64) {
        let mut volume = 0.0;
        for &index in &self.triangles {
            let triangle = &self.net.triangles[index as usize];
            let corners = triangle.nodes.map(|node| self.places[node as usize]);
            let sides = [sub(corners[1], corners[0]), sub(corners[2], corners[0])];
            let normal = cross(sides[0], sides[1]);
            volume += normal[2] * (corners[0][2] + corners[1][2] + corners[2][2]);
            let press = normal.map(|part| part * press);
            let [second, third] = rubber::pull(triangle, sides);
            scatter(&mut self.forces, triangle, [second, third], press);
        }
        self.volume = self.volume_at_rest + volume / 6.0;
    }

    fn gather_film(&mut self, press: f64) {
        let mut volume = 0.0;
        for &index in &self.triangles {
            let triangle = &self.net.triangles[index as usize];
            let corners = triangle.nodes.map(|node| self.places[node as usize]);
            let sides = [sub(corners[1], corners[0]), sub(corners[2], corners[0])];
            let normal = cross(sides[0], sides[1]);
            volume += normal[2] * (corners[0][2] + corners[1][2] + corners[2][2]);
            let press = normal.map(|part| part * press);
            scatter(&mut self.forces, triangle, film::pull(sides, normal), press);
            scatter(&mut self.springs, triangle, film::spacing(triangle, sides), [0.0; 3]);
            for node in triangle.nodes {
                add(&mut self.normals[node as usize], normal);
            }
        }
        self.volume = self.volume_at_rest + volume / 6.0;
    }

    /// Moves every node that can, and stops it where it lands.
    fn advance(&mut self) {
        let keep = 1.0 - self.damping;
        let most = self.reach * self.reach;
        let mut fastest = 0.0_f64;
        for &node in &self.nodes {
            let node = node as usize;
            let mut force = self.forces[node];
            if self.mode == Mode::Uniform {
                force = film::combined(force, self.springs[node], self.normals[node]);
                self.springs[node] = [0.0; 3];
                self.normals[node] = [0.0; 3];
            }
            self.forces[node] = [0.0; 3];
            let mass = self.inverse_mass[node];
            let speed = &mut self.speeds[node];
            for axis in 0..3 {
                speed[axis] = speed[axis] * keep + force[axis] * mass;
            }
            let fast = dot(*speed, *speed);
            if fast > most {
                let slower = (most / fast).sqrt();
                *speed = speed.map(|part| part * slower);
            }
            fastest = fastest.max(fast);
            let from = self.places[node];
            let to = [from[0] + speed[0], from[1] + speed[1], from[2] + speed[2]];
            if self.ground.is_clear_of(to) || to[2] > self.ground.height(to[0], to[1]) {
                self.places[node] = to;
            } else {
                self.places[node] = landing(self.ground, from, to);
                self.is_stuck[node] = true;
            }
        }
        self.fastest = fastest.sqrt();
    }

    /// Finds which triangles and nodes can still move.
    fn look_again(&mut self) {
        let is_free =
            |triangle: &Triangle| triangle.nodes.iter().any(|node| !self.is_stuck[*node as usize]);
        self.triangles.clear();
        self.volume_at_rest = 0.0;
        for (index, triangle) in (0_u32..).zip(&self.net.triangles) {
            // What the frame holds at all corners moves with it.
            let is_framed = triangle.nodes.iter().any(|node| self.net.is_clamped[*node as usize]);
            if is_free(triangle) || is_framed {
                self.triangles.push(index);
            } else {
                let [a, b] = sides(triangle.nodes, &self.places);
                let heights = triangle.nodes.map(|node| self.places[node as usize][2]);
                self.volume_at_rest +=
                    cross(a, b)[2] * (heights[0] + heights[1] + heights[2]) / 6.0;
            }
        }
        self.nodes.clear();
        let free = (0_u32..).zip(&self.is_stuck).filter(|(_, is_stuck)| !**is_stuck);
        self.nodes.extend(free.map(|(node, _)| node));
        for node in 0..self.forces.len() {
            if self.is_stuck[node] {
                self.forces[node] = [0.0; 3];
            }
        }
        if self.mode == Mode::Uniform {
            regions::even_out(
                &mut self.net.triangles,
                &self.triangles,
                &self.places,
                &self.is_stuck,
            );
        }
    }
}

/// Adds the forces on the second and the third corner, their opposite on the first, and `press` on all three.
#[inline(always)]
fn scatter(forces: &mut [Vec3], triangle: &Triangle, [second, third]: [Vec3; 2], press: Vec3) {
    let [a, b, c] = triangle.nodes.map(|node| node as usize);
    let first = [0, 1, 2].map(|axis| press[axis] - second[axis] - third[axis]);
    add(&mut forces[a], first);
    add(&mut forces[b], blend(1.0, second, 1.0, press));
    add(&mut forces[c], blend(1.0, third, 1.0, press));
}

/// Masses that the stiffest sheet cannot make a step of one too long for, inverted.
fn inverse_masses(net: &Net) -> Vec<f64> {
    let mut masses = vec![0.0; net.flat.len()];
    for triangle in &net.triangles {
        let [a, b, c, d] = triangle.rest;
        let slopes = [(a + c, b + d), (a, b), (c, d)].map(|(x, y)| (x * x + y * y).sqrt());
        let sum: f64 = slopes.iter().sum();
        for (node, slope) in triangle.nodes.iter().zip(slopes) {
            masses[*node as usize] += STIFFNESS * triangle.plastic * slope * sum / 4.0;
        }
    }
    masses.into_iter().map(|mass: f64| 1.0 / mass).collect()
}

/// Where a way from above the ground to below it meets the ground.
fn landing(ground: &Ground, from: Vec3, to: Vec3) -> Vec3 {
    let at = |share: f64| [0, 1, 2].map(|axis| from[axis] + (to[axis] - from[axis]) * share);
    let (mut above, mut below) = (0.0, 1.0);
    for _ in 0..20 {
        let middle = 0.5 * (above + below);
        let place = at(middle);
        if place[2] > ground.height(place[0], place[1]) {
            above = middle;
        } else {
            below = middle;
        }
    }
    at(below)
}

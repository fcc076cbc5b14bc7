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
use super::rubber::{corners, sides};
use super::slip::{Motion, Node, Slid, Slip, slide};
use super::tent::Tent;
use super::vector::{
    Vec3, add, blend, coarsely, cross, dot, grained, grained3, length, scaled, sub,
};
use super::{Mode, film, masses, refine, regions, rubber, settle};
use crate::geometry::{Rect, greater, lesser};

/// What is taken off the speeds in a step, times the squares across. More than critical for rubber, which is drawn in few
/// steps and must not swing; near critical for a film, whose middle it would hold up.
const DAMPING: [f64; 2] = [5.0, 2.0];
/// Steps between looks at which triangles can still move.
const LOOK_AGAIN: u64 = 8;
/// The sheet pulls as it will lie after this share of a step. That damps the short waves: a film would flutter in them, since what
/// pulls along it is no more than what spaces its nodes, and so would rubber beside walls, where air presses on a triangle only
/// while it faces up.
const AHEAD: f64 = 0.2;
/// Sides of a film are not split when they are shorter than this many cells of the ground.
const LEAST_SIDE: f64 = 3.0;

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

/// The sheet in the former; places are told from the middle of the opening.
///
/// All sums are of rounded parts (`grained`) and all formulas are the same for a mirrored triangle, so that what is
/// symmetric stays so to the last bit.
#[derive(Clone, Debug)]
pub(super) struct Press<'g> {
    pub(super) ground: &'g Ground,
    pub(super) mode: Mode,
    pub(super) net: Net,
    pub(super) places: Vec<Vec3>,
    /// Where nodes will be after a share of the step.
    ahead: Vec<Vec3>,
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
    /// Six times the air between the platen's level and the sheet, of triangles that are at rest for good.
    volume_at_rest: f64,
    /// The air of all, as of the last step.
    pub(super) volume: f64,
    volume_before: f64,
    /// What the air pulled with in the last step.
    pub(super) pull: f64,
    /// Whether it hangs, and so goes down with the frame where nothing holds it up.
    hangs: bool,
    /// The mean of the squared speeds of the last step.
    swiftness: f64,
    /// How it slips on what it touches; it sticks where there is none.
    slip: Option<Slip>,
    /// The sheet when the frame had come down.
    pub(super) tent: Tent,
    /// Steps taken.
    pub(super) steps: u64,
    /// The farthest that a node went in the last step.
    pub(super) fastest: f64,
}

impl Load {
    /// Nothing moves and nothing draws.
    pub(super) const NONE: Self = Self { frame: 0.0, target: f64::MAX, yielding: 0.0, most: 0.0 };
}

impl<'g> Press<'g> {
    /// The sheet clamped flat at a height.
    pub(super) fn new(net: Net, ground: &'g Ground, mode: Mode, height: f64) -> Self {
        let count = net.flat.len();
        let places = net.flat.iter().map(|at| [at[0], at[1], height]).collect();
        let inverse_mass = masses::inverted(&net);
        let spacing = net.square[0].min(net.square[1]);
        let across = index_to_f64(net.across);
        let mut press = Self {
            ground,
            mode,
            places,
            ahead: Vec::with_capacity(count),
            is_stuck: net.is_clamped.clone(),
            speeds: vec![[0.0; 3]; count],
            forces: vec![[0.0; 3]; count],
            springs: vec![[0.0; 3]; count],
            normals: vec![[0.0; 3]; count],
            inverse_mass,
            triangles: Vec::new(),
            nodes: Vec::new(),
            damping: (DAMPING[usize::from(mode == Mode::Uniform)] / across).min(0.5),
            reach: (0.25 * spacing).min(0.9 * ground.spacing()),
            volume_at_rest: 0.0,
            volume: 0.0,
            volume_before: 0.0,
            pull: 0.0,
            swiftness: 0.0,
            hangs: false,
            slip: None,
            tent: Tent::default(),
            steps: 0,
            fastest: 0.0,
            net,
        };
        press.look_again();
        press
    }

    /// Lets the middle of the sheet hang, as hot sheet does: it has crept there and is at rest.
    pub(super) fn hang(&mut self, opening: Rect, sag: f64) {
        if sag <= 0.0 {
            return;
        }
        // A film has a tension of its own: it never hangs slack.
        self.hangs = self.mode == Mode::Rubber;
        let half = [opening.width() / 2.0, opening.depth() / 2.0];
        for place in &mut self.places {
            let (u, v) = (place[0] / half[0].to_mm(), place[1] / half[1].to_mm());
            place[2] -= sag * ((1.0 - u * u) * (1.0 - v * v));
        }
        for triangle in &mut self.net.triangles {
            triangle.rest_at(sides(triangle.nodes, &self.places));
        }
    }

    /// Lands what already lies on the ground.
    pub(super) fn land(&mut self) {
        for node in 0..self.places.len() {
            let place = self.places[node];
            if place[2] <= self.ground.height(place[0], place[1]) && !self.is_stuck[node] {
                stop(node, self.slip.as_mut(), &mut self.speeds, &mut self.is_stuck);
            }
        }
        self.look_again();
    }

    /// Lets the sheet slip on what it has landed on and on what it will; each square millimetre of the flat sheet is pressed on
    /// by `least` at least.
    pub(super) fn slips(&mut self, friction: f64, least: f64) {
        let mut pressing = vec![0.0; self.places.len()];
        for triangle in &self.net.triangles {
            for node in triangle.nodes {
                pressing[node as usize] += grained(triangle.plastic * least / 3.0);
            }
        }
        let mut touches = vec![false; self.places.len()];
        for (node, touches) in touches.iter_mut().enumerate() {
            *touches = self.is_stuck[node] && !self.net.is_clamped[node];
            self.is_stuck[node] = self.net.is_clamped[node];
            self.speeds[node] = [0.0; 3];
        }
        let air = vec![[0.0; 3]; self.places.len()];
        self.slip = Some(Slip { friction, touches, air, least: pressing });
        self.look_again();
    }

    /// Moves what has landed to where it has slipped in a copy of this; what has slipped over an edge there is free.
    pub(super) fn follow(&mut self, slipped: &Self) {
        let Some(slip) = &slipped.slip else { return };
        for node in 0..self.places.len() {
            if self.is_stuck[node] && !self.net.is_clamped[node] {
                self.places[node] = slipped.places[node];
                self.is_stuck[node] = slip.touches[node];
                self.speeds[node] = [0.0; 3];
            }
        }
        self.look_again();
    }

    /// One step.
    pub(super) fn step(&mut self, load: &Load) {
        self.steps += 1;
        self.move_frame(load.frame);
        let pull = (load.yielding * (self.air_ahead() - load.target)).clamp(0.0, load.most);
        self.volume_before = self.volume;
        self.pull = pull;
        self.gather(pull);
        self.advance();
        if self.steps.is_multiple_of(LOOK_AGAIN) {
            if self.mode == Mode::Uniform {
                for node in settle::all_but_landed(self) {
                    self.is_stuck[node] = true;
                    self.speeds[node] = [0.0; 3];
                }
            }
            self.look_again();
        }
    }

    /// Keeps the sheet as it hangs now for what is read of it later.
    pub(super) fn keep_tent(&mut self) {
        self.tent = Tent::of(&self.net, &self.places);
    }

    /// Splits the sides that are off the ground, but for those shorter than `least`, and of sheet that is free all round only those
    /// longer than `most`; the new nodes are free, and none is under the ground: a
    /// side between two walls of an edge goes through it.
    ///
    /// False when there are none.
    pub(super) fn refine(&mut self, least: f64, most: f64) -> bool {
        self.split(&refine::open_sides(self, least, most))
    }

    /// Splits the sides of a free film that are longer than this share of the radius that the pull bends it with.
    pub(super) fn refine_film(&mut self, share: f64) {
        let most = (share / self.pull.max(1e-9)).max(LEAST_SIDE * self.ground.spacing());
        self.split(&refine::long_sides(self, most));
    }

    /// The triangles that can still move.
    pub(super) fn moving(&self) -> impl Iterator<Item = &Triangle> {
        self.triangles.iter().map(|index| &self.net.triangles[*index as usize])
    }

    fn split(&mut self, open: &refine::Split) -> bool {
        if open.is_empty() {
            return false;
        }
        refine::split(&mut self.net, open);
        for (&(a, b), middle) in open {
            let [p, q] = [a, b].map(|node| self.places[node as usize]);
            let (middle_of, far) = (blend(0.5, p, 0.5, q), length(sub(q, p)));
            let way = blend(1.0, self.ground.normal(p), 1.0, self.ground.normal(q));
            self.places.push(self.ground.out_of(middle_of, way, far));
            self.is_stuck.push(middle.is_landed);
        }
        let count = self.places.len();
        for list in [&mut self.speeds, &mut self.forces, &mut self.springs, &mut self.normals] {
            list.resize(count, [0.0; 3]);
        }
        self.inverse_mass = masses::inverted(&self.net);
        self.look_again();
        true
    }

    /// The air of the step to come: that of the last one carried on, because a pump that answers late makes the sheet swing.
    pub(super) fn air_ahead(&self) -> f64 {
        self.volume + (self.volume - self.volume_before)
    }

    /// How fast its nodes were in the last step, the root of the mean of their squares, as a share of how fast one may be.
    pub(super) fn haste(&self) -> f64 {
        self.swiftness.sqrt() / self.reach
    }

    /// True when everything has landed.
    pub(super) fn is_all_landed(&self) -> bool {
        self.nodes.is_empty()
    }

    /// A pull for each cubic millimetre too much that makes the sheet breathe slowly: a small part of the masses over
    /// the surface squared.
    pub(super) fn steady_yielding(&self) -> f64 {
        let mass = self.nodes.iter().map(|node| coarsely(1.0 / self.inverse_mass[*node as usize]));
        let area = self.moving().map(|triangle| {
            let [a, b] = sides(triangle.nodes, &self.places);
            coarsely(0.5 * length(cross(a, b)))
        });
        let area: f64 = area.sum();
        0.03 * mass.sum::<f64>() / (area * area).max(1e-9)
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
        if self.hangs {
            self.carry(by);
        }
    }

    /// Takes what hangs slack along with the frame, by its own weight, until it lands; sheet that is taut is held where it is.
    fn carry(&mut self, by: f64) {
        let mut is_held = self.is_stuck.clone();
        for triangle in self.moving() {
            if rubber::is_taut(triangle, sides(triangle.nodes, &self.places)) {
                for node in triangle.nodes {
                    is_held[node as usize] = true;
                }
            }
        }
        for node in (0..is_held.len()).filter(|node| !is_held[*node]) {
            let from = self.places[node];
            let to = [from[0], from[1], from[2] + by];
            if self.ground.is_clear_of(to) || to[2] > self.ground.height(to[0], to[1]) {
                self.places[node] = to;
            } else {
                self.places[node] = self.ground.landing(from, to);
                stop(node, self.slip.as_mut(), &mut self.speeds, &mut self.is_stuck);
            }
        }
    }

    /// Gathers what pulls at each node that can move.
    fn gather(&mut self, pull: f64) {
        let ahead = |(place, speed): (&Vec3, &Vec3)| blend(1.0, *place, AHEAD, *speed);
        self.ahead.clear();
        self.ahead.extend(self.places.iter().zip(&self.speeds).map(ahead));
        match self.mode {
            Mode::Rubber => {
                self.gather_rubber(pull / -6.0);
                self.gather_air(pull / -6.0);
            }
            Mode::Uniform => self.gather_film(pull / -6.0),
        }
    }

    fn gather_rubber(&mut self, press: f64) {
        let mut volume = 0.0;
        let (all, places) = (self.net.triangles.as_slice(), self.ahead.as_slice());
        let forces = self.forces.as_mut_slice();
        for &index in self.triangles.as_slice() {
            let triangle = &all[index as usize];
            let (sides, normal, prism) = spanned(triangle, places);
            volume += coarsely(prism);
            let press = pressed(normal, press);
            let [second, third] = rubber::pull(triangle, sides);
            scatter(forces, triangle, [second, third], press);
        }
        self.volume = (self.volume_at_rest + volume) / 6.0;
    }

    /// Gathers what of that is the air's, where it matters.
    fn gather_air(&mut self, press: f64) {
        let Some(slip) = &mut self.slip else { return };
        slip.air.fill([0.0; 3]);
        for &index in &self.triangles {
            let triangle = &self.net.triangles[index as usize];
            let air = grained3(pressed(spanned(triangle, &self.ahead).1, press));
            for node in triangle.nodes {
                add(&mut slip.air[node as usize], air);
            }
        }
    }

    fn gather_film(&mut self, press: f64) {
        let mut volume = 0.0;
        let (all, places) = (self.net.triangles.as_slice(), self.ahead.as_slice());
        let (forces, springs) = (self.forces.as_mut_slice(), self.springs.as_mut_slice());
        let normals = self.normals.as_mut_slice();
        for &index in self.triangles.as_slice() {
            let triangle = &all[index as usize];
            let (sides, normal, prism) = spanned(triangle, places);
            volume += coarsely(prism);
            let press = pressed(normal, press);
            scatter(forces, triangle, film::pull(sides, normal), press);
            scatter(springs, triangle, film::spacing(triangle, sides), [0.0; 3]);
            let ([a, b, c], normal) = (triangle.nodes, grained3(normal));
            add(&mut normals[a as usize], normal);
            add(&mut normals[b as usize], normal);
            add(&mut normals[c as usize], normal);
        }
        self.volume = (self.volume_at_rest + volume) / 6.0;
    }

    /// Moves every node that can, and stops it where it lands.
    fn advance(&mut self) {
        let keep = 1.0 - self.damping;
        let most = self.reach * self.reach;
        let (mut fastest, mut squares) = (0.0_f64, 0.0);
        if self.slip.is_some() || self.mode == Mode::Uniform {
            // What guides a node takes that part of its pull: friction has none of it to hold, and a film goes no way but along.
            for &(node, axis) in &self.net.guided {
                let node = node as usize;
                self.forces[node][axis] = 0.0;
                self.springs[node][axis] = 0.0;
                self.normals[node][axis] = 0.0;
            }
        }
        let touching = self.touching();
        let mut slip = self.slip.as_mut();
        let (places, speeds) = (self.places.as_mut_slice(), self.speeds.as_mut_slice());
        let (forces, masses) = (self.forces.as_mut_slice(), self.inverse_mass.as_slice());
        for &node in self.nodes.as_slice() {
            let node = node as usize;
            let slides = slip.as_ref().is_some_and(|slip| slip.touches[node]);
            if slides || self.is_stuck[node] {
                continue;
            }
            let mut force = forces[node];
            if self.mode == Mode::Uniform {
                force = film::combined(force, self.springs[node], self.normals[node]);
                self.springs[node] = [0.0; 3];
                self.normals[node] = [0.0; 3];
            }
            forces[node] = [0.0; 3];
            let mut speed = blend(keep, speeds[node], masses[node], force);
            let fast = dot(speed, speed);
            if fast > most {
                speed = scaled((most / fast).sqrt(), speed);
            }
            speeds[node] = speed;
            fastest = greater(fastest, fast);
            squares += grained(lesser(fast, most));
            let from = places[node];
            let to = blend(1.0, from, 1.0, speed);
            if self.ground.is_clear_of(to) || to[2] > self.ground.height(to[0], to[1]) {
                places[node] = to;
            } else {
                places[node] = self.ground.landing(from, to);
                stop(node, slip.as_deref_mut(), speeds, &mut self.is_stuck);
            }
        }
        for node in touching {
            let speed = self.slide(node);
            fastest = greater(fastest, dot(speed, speed));
        }
        self.fastest = fastest.sqrt();
        self.swiftness = squares / index_to_f64(self.nodes.len().max(1));
        for &(node, axis) in &self.net.guided {
            self.places[node as usize][axis] = self.net.flat[node as usize][axis];
        }
    }

    /// The nodes that touch the ground and may slide on it.
    fn touching(&self) -> Vec<usize> {
        let Some(slip) = &self.slip else { return Vec::new() };
        let nodes = self.nodes.iter().map(|node| *node as usize);
        nodes.filter(|node| slip.touches[*node]).collect()
    }

    /// Moves a node that touches the ground, and gives its speed.
    fn slide(&mut self, node: usize) -> Vec3 {
        let force = std::mem::take(&mut self.forces[node]);
        let Some(slip) = &mut self.slip else { return [0.0; 3] };
        let motion = Motion { inverse_mass: self.inverse_mass[node], reach: self.reach };
        let (place, speed) = (self.places[node], self.speeds[node]);
        let (air, least) = (slip.air[node], slip.least[node]);
        let now = Node { place, speed, force, air, least };
        let speed = match slide(self.ground, slip.friction, &now, motion) {
            Slid::Held => [0.0; 3],
            Slid::To(speed, place) => {
                self.places[node] = place;
                speed
            }
            Slid::Over(speed, place) => {
                self.places[node] = place;
                slip.touches[node] = false;
                speed
            }
        };
        self.speeds[node] = speed;
        speed
    }

    /// Finds which triangles and nodes can still move.
    fn look_again(&mut self) {
        self.triangles.clear();
        self.volume_at_rest = 0.0;
        let (is_stuck, is_clamped) = (self.is_stuck.as_slice(), self.net.is_clamped.as_slice());
        for (index, triangle) in (0_u32..).zip(self.net.triangles.as_slice()) {
            let [a, b, c] = triangle.nodes;
            let (a, b, c) = (a as usize, b as usize, c as usize);
            let is_at_rest = is_stuck[a] && is_stuck[b] && is_stuck[c];
            // What the frame holds at all corners moves with it.
            if is_at_rest && !(is_clamped[a] || is_clamped[b] || is_clamped[c]) {
                self.volume_at_rest += coarsely(spanned(triangle, &self.places).2);
            } else {
                self.triangles.push(index);
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
            masses::weigh_film(&mut self.inverse_mass, &self.net, &self.triangles, &self.places);
        }
    }
}

/// A node has come to the ground, and stops.
fn stop(node: usize, slip: Option<&mut Slip>, speeds: &mut [Vec3], is_stuck: &mut [bool]) {
    speeds[node] = [0.0; 3];
    if let Some(slip) = slip {
        slip.touches[node] = true;
    } else {
        is_stuck[node] = true;
    }
}

/// Adds the forces on the second and the third corner, their opposite on the first, and `press` on all three.
#[inline(always)]
fn scatter(forces: &mut [Vec3], triangle: &Triangle, [second, third]: [Vec3; 2], press: Vec3) {
    let [a, b, c] = triangle.nodes;
    let (second, third, press) = (grained3(second), grained3(third), grained3(press));
    add(&mut forces[a as usize], sub(sub(press, second), third));
    add(
        &mut forces[b as usize],
        [second[0] + press[0], second[1] + press[1], second[2] + press[2]],
    );
    add(&mut forces[c as usize], [third[0] + press[0], third[1] + press[1], third[2] + press[2]]);
}

/// A triangle's sides, what is square to them, and six times the volume between it and the platen's level.
#[inline(always)]
fn spanned(triangle: &Triangle, places: &[Vec3]) -> ([Vec3; 2], Vec3, f64) {
    let [a, b, c] = corners(triangle.nodes, places);
    let sides = [sub(b, a), sub(c, a)];
    let normal = cross(sides[0], sides[1]);
    (sides, normal, normal[2] * (a[2] + b[2] + c[2]))
}

/// The pull on each corner; what has turned over lies in a fold and has no air above it.
#[inline(always)]
fn pressed(normal: Vec3, press: f64) -> Vec3 {
    if normal[2] > 0.0 { scaled(press, normal) } else { [0.0; 3] }
}

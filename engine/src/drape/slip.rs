//! Friction: how a node that has landed slides on, or stays.
//!
//! It stays while what pulls it along the surface is no more than friction times what presses it on, and else moves
//! with what is left of that pull, always within the surface. What pulls it off counts as pressing too: behind landed
//! sheet there is no air to come in.
//!
//! **Source:** Coulomb's law of dry friction; held to the belt on a drum of Euler and Eytelwein in `known.rs`.

use super::ground::Ground;
use super::vector::{Vec3, blend, dot, length, scaled, sub};

/// The share of its speed that a sliding node keeps in a step: little, so that it stops where friction holds it and is not
/// carried on.
const KEEP: f64 = 0.8;

/// The ways that the sheet has landed where it may slip.
#[derive(Clone, Debug)]
pub(super) struct Slip {
    /// The largest pull along the surface that holds, over what presses on it.
    pub(super) friction: f64,
    /// Which nodes touch the ground.
    pub(super) touches: Vec<bool>,
    /// What of the pull at each node is the air's.
    pub(super) air: Vec<Vec3>,
    /// What presses each node on at least.
    pub(super) least: Vec<f64>,
}

/// Where a node that touches goes in a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Slid {
    /// It stays exactly where it is.
    Held,
    /// It slides at this speed, to this place.
    To(Vec3, Vec3),
    /// It slides over an edge at this speed, to this place off the ground.
    Over(Vec3, Vec3),
}

/// A node in a step: where it is, its speed, what pulls it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub(super) place: Vec3,
    pub(super) speed: Vec3,
    pub(super) force: Vec3,
    /// What of that is the air's: it presses on, and along the surface it does not pull. Where the net cuts an edge short it
    /// would.
    pub(super) air: Vec3,
    /// What presses it on at least.
    pub(super) least: f64,
}

/// How nodes are moved: one over their mass, and how far at most.
#[derive(Clone, Copy, Debug)]
pub(super) struct Motion {
    pub(super) inverse_mass: f64,
    pub(super) reach: f64,
}

/// Moves a node that touches the ground.
pub(super) fn slide(ground: &Ground, friction: f64, node: &Node, motion: Motion) -> Slid {
    let normal = ground.normal(node.place);
    let pressing = dot(node.force, normal);
    let sheet = sub(node.force, node.air);
    let pull = blend(1.0, sheet, -dot(sheet, normal), normal);
    let speed = blend(1.0, node.speed, -dot(node.speed, normal), normal);
    let speed = blend(KEEP, speed, motion.inverse_mass, pull);
    // Friction takes off what it can, and never turns a node back.
    let (fast, pressing) = (length(speed), pressing.abs() + node.least);
    let grip = friction * pressing * motion.inverse_mass;
    if fast <= grip + 1e-7 * motion.reach {
        return Slid::Held;
    }
    let speed = scaled((fast - grip).min(motion.reach) / fast, speed);
    let to = blend(1.0, node.place, 1.0, speed);
    let aside = scaled(length(speed), normal);
    if is_above(ground, to) {
        let under = sub(to, aside);
        if is_above(ground, under) {
            return Slid::Over(speed, to);
        }
        Slid::To(speed, ground.landing(to, under))
    } else {
        let over = blend(1.0, to, 1.0, aside);
        if !is_above(ground, over) {
            // An inner corner.
            return Slid::Held;
        }
        Slid::To(speed, ground.landing(over, to))
    }
}

fn is_above(ground: &Ground, place: Vec3) -> bool {
    place[2] > ground.height(place[0], place[1])
}

//! Scratch for trying the solver; not to be kept.
#![allow(missing_docs, clippy::all, clippy::pedantic, unreachable_pub, reason = "scratch")]
use super::ground::Ground;
use super::net::Net;
use super::rubber::{sides, state};
use super::run::{Job, formed};
use super::vector::*;
use super::*;
use crate::plan::*;
use crate::units::Length;

pub struct Out {
    pub pos: Vec<[f64; 3]>,
    pub tri: Vec<[u32; 3]>,
    pub t: Vec<f64>,
    pub s: Vec<f64>,
    pub area: Vec<f64>,
    pub stuck: Vec<bool>,
    pub steps: u64,
    pub cols: usize,
    pub rows: usize,
    pub plastic: f64,
    pub ground_ms: f64,
    pub flat: Vec<[f64; 2]>,
}

pub fn run(
    plan: &Plan,
    pull: PullId,
    mode: Mode,
    mesh: f64,
    firmness: f64,
    patience: f64,
    cell: f64,
) -> Out {
    let opening = plan.machine.opening();
    let t0 = std::time::Instant::now();
    let ground = Ground::of(plan, &plan.pulls[&pull], Length::mm(cell));
    let ground_ms = t0.elapsed().as_secs_f64() * 1e3;
    let net = Net::new(opening, mesh, &ground.brows);
    let rest: Vec<f64> = net.triangles.iter().map(|t| t.plastic).collect();
    let job = Job {
        ground: &ground,
        opening,
        mode,
        sag: 0.0,
        vacuum: 1.0 / (firmness * plan.stock.gauge.to_mm()),
        patience,
    };
    let press = formed(net, &job, &mut ()).unwrap();
    let mut out = Out {
        pos: press.places.clone(),
        tri: vec![],
        t: vec![],
        s: vec![],
        area: vec![],
        stuck: press.is_stuck.clone(),
        steps: press.steps,
        cols: press.net.columns,
        rows: press.net.rows,
        plastic: press.net.plastic(),
        ground_ms,
        flat: press.net.flat.clone(),
    };
    for (t, r) in press.net.triangles.iter().zip(rest) {
        let sd = sides(t.nodes, &press.places);
        let area = 0.5 * length(cross(sd[0], sd[1]));
        let (th, su) = match mode {
            Mode::Rubber => {
                let s = state(t, sd, r);
                (s.thickness, s.surplus)
            }
            Mode::Uniform => (t.plastic / area, 0.0),
        };
        out.tri.push(t.nodes);
        out.t.push(th);
        out.s.push(su);
        out.area.push(area);
    }
    out
}

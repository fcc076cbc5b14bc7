//! Scratch.
#![allow(
    clippy::all,
    clippy::pedantic,
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "scratch"
)]
use engine::drape::{Mode, scratch};
use engine::geometry::*;
use engine::plan::*;
use engine::units::*;
use std::sync::Arc;
fn arg(i: usize, d: f64) -> f64 {
    std::env::args().nth(i).and_then(|s| s.parse().ok()).unwrap_or(d)
}
fn main() {
    let what = std::env::args().nth(1).unwrap_or("sample".into());
    let mode = if std::env::args().nth(2).unwrap_or_default() == "u" {
        Mode::Uniform
    } else {
        Mode::Rubber
    };
    let mesh = arg(3, 3.0);
    let firm = arg(4, 1.0);
    let patience = arg(5, 1.0);
    let cell = arg(6, (mesh / 5.0).clamp(0.3, 1.5));
    let plan = match what.as_str() {
        "sample" => sample(),
        _ => cavity(&what),
    };
    let t = std::time::Instant::now();
    let o = scratch::run(&plan, PullId(1), mode, mesh, firm, patience, cell);
    let ms = t.elapsed().as_secs_f64() * 1e3;
    let vol: f64 = o.t.iter().zip(&o.area).map(|(a, b)| a * b).sum();
    let mut ts: Vec<f64> = o.t.clone();
    ts.sort_by(f64::total_cmp);
    let free = o.stuck.iter().filter(|s| !**s).count();
    println!(
        "{what} {mode:?} mesh {mesh}: {}x{} steps {} total {ms:.0} ms ground {:.0} ms; free {free}; vol {:.4}; min t {:.4} p0.1% {:.4} p1% {:.4} p10% {:.4} median {:.4}",
        o.cols,
        o.rows,
        o.steps,
        o.ground_ms,
        vol / (plan.machine.opening().area().to_mm2()),
        ts[0],
        ts[ts.len() / 1000],
        ts[ts.len() / 100],
        ts[ts.len() / 10],
        ts[ts.len() / 2]
    );
    let sur: f64 = o.s.iter().zip(&o.area).map(|(s, a)| s * a).sum::<f64>();
    let mut ss = o.s.clone();
    ss.sort_by(f64::total_cmp);
    println!(
        "surplus area {sur:.1} mm2 ({:.5}), max {:.3} p99 {:.3}",
        sur / plan.machine.opening().area().to_mm2(),
        ss[ss.len() - 1],
        ss[ss.len() * 99 / 100]
    );
    if what != "sample" {
        profile(&what, &plan, &o);
    }
    if let Some(f) = std::env::args().nth(7) {
        picture(&f, &plan, &o);
    }
}
fn cavity(what: &str) -> Plan {
    // what: cup:D:H:draftfromvertical | block:W:H...
    let p: Vec<&str> = what.split(':').collect();
    let n = |i: usize| p[i].parse::<f64>().unwrap();
    let (open, mold) = match p[0] {
        "cup" => (
            n(1) * 1.15,
            Mold {
                kind: MoldKind::Female,
                draft: Angle::degrees(n(3)),
                trim: Length::mm(400.0),
                ..Mold::new("c", Footprint::Circle { diameter: Length::mm(n(1)) }, Length::mm(n(2)))
            },
        ),
        "cone" => (
            n(1) * 1.15,
            Mold {
                kind: MoldKind::Female,
                relief: Relief::Taper { top: 0.0 },
                trim: Length::mm(400.0),
                ..Mold::new("c", Footprint::Circle { diameter: Length::mm(n(1)) }, Length::mm(n(2)))
            },
        ),
        "male" => (
            n(4),
            Mold {
                draft: Angle::degrees(n(3)),
                ..Mold::new("c", Footprint::Circle { diameter: Length::mm(n(1)) }, Length::mm(n(2)))
            },
        ),
        "box" => (
            n(4),
            Mold {
                draft: Angle::degrees(n(3)),
                ..Mold::new(
                    "c",
                    Footprint::Rectangle { width: Length::mm(n(1)), depth: Length::mm(n(1)) },
                    Length::mm(n(2)),
                )
            },
        ),
        _ => panic!(),
    };
    let m = Machine::with_lip(
        Size::new(Length::mm(open + 20.0), Length::mm(open + 20.0)),
        Length::mm(10.0),
        Length::mm(300.0),
    );
    let mut plan = Plan::new("x", m);
    plan.stock.gauge = Length::mm(1.0);
    plan.molds.insert(MoldId(1), Arc::new(mold));
    let c = m.opening().center();
    let pull = plan.pulls.get_mut(&PullId(1)).unwrap();
    Arc::make_mut(pull).placements.insert(
        PlacementId(1),
        Placement {
            mold: MoldId(1),
            copy: CopyNumber(1),
            pose: Pose::new(c, Angle::ZERO),
            locked: false,
        },
    );
    plan
}
fn profile(what: &str, plan: &Plan, o: &scratch::Out) {
    let p: Vec<&str> = what.split(':').collect();
    let n = |i: usize| p[i].parse::<f64>().unwrap();
    let c = plan.machine.opening().center();
    let h = n(2);
    // bins by z
    let bins = 12;
    let mut acc = vec![(0.0, 0.0, 0.0); bins + 1];
    let rimr = n(1) / 2.0;
    let (mut vin, mut ain) = (0.0, 0.0);
    for (i, t) in o.tri.iter().enumerate() {
        let q = t.map(|k| o.pos[k as usize]);
        let z = (q[0][2] + q[1][2] + q[2][2]) / 3.0;
        let (x, y) =
            ((q[0][0] + q[1][0] + q[2][0]) / 3.0 - c.x, (q[0][1] + q[1][1] + q[2][1]) / 3.0 - c.y);
        let r = (x * x + y * y).sqrt();
        let depth = h - z;
        if r > rimr + 0.5 && p[0] != "male" && p[0] != "box" {
            continue;
        }
        vin += o.t[i] * o.area[i];
        ain += o.area[i];
        let b = ((depth / h * bins as f64) as usize).min(bins);
        let a = &mut acc[b];
        a.0 += o.t[i] * o.area[i];
        a.1 += o.area[i];
        a.2 += depth * o.area[i];
    }
    println!("inside mean t {:.4} area {:.1}", vin / ain, ain);
    for (b, a) in acc.iter().enumerate() {
        if a.1 > 0.0 {
            let z = a.2 / a.1;
            let r0 = n(1) / 2.0;
            let exact = match p[0] {
                "cone" => {
                    let al = (h / r0).atan();
                    (1.0 + al.cos()) / 2.0 * (1.0 - z / h).max(0.0).powf(1.0 / al.cos() - 1.0)
                }
                "cup" if n(3) == 0.0 => 0.5 * (-z / r0).exp(),
                "cup" => {
                    let al = (90.0 - n(3)).to_radians();
                    let hc = r0 * al.tan();
                    (1.0 + al.cos()) / 2.0 * (1.0 - z / hc).max(0.0).powf(1.0 / al.cos() - 1.0)
                }
                _ => f64::NAN,
            };
            println!(
                "bin {b} z {z:.2} ({:.3}) t {:.4} exact {exact:.4} ratio {:.3}",
                z / h,
                a.0 / a.1,
                a.0 / a.1 / exact
            );
        }
    }
}
fn picture(f: &str, plan: &Plan, o: &scratch::Out) {
    // top view PPM: thickness
    let op = plan.machine.opening();
    let s = 3.0;
    let (w, h) = ((op.width().to_mm() * s) as usize, (op.depth().to_mm() * s) as usize);
    let mut img = vec![(255u8, 255u8, 255u8); w * h];
    let mut zb = vec![-1e9; w * h];
    for (i, t) in o.tri.iter().enumerate() {
        let q = t.map(|k| {
            let p = o.pos[k as usize];
            [(p[0] - op.min.x) * s, (p[1] - op.min.y) * s, p[2]]
        });
        let (x0, x1) = (
            q.iter().map(|a| a[0]).fold(1e9, f64::min).max(0.0) as usize,
            q.iter().map(|a| a[0]).fold(-1e9, f64::max) as usize,
        );
        let (y0, y1) = (
            q.iter().map(|a| a[1]).fold(1e9, f64::min).max(0.0) as usize,
            q.iter().map(|a| a[1]).fold(-1e9, f64::max) as usize,
        );
        let d =
            (q[1][0] - q[0][0]) * (q[2][1] - q[0][1]) - (q[1][1] - q[0][1]) * (q[2][0] - q[0][0]);
        for y in y0..=y1.min(h - 1) {
            for x in x0..=x1.min(w - 1) {
                let (px, py) = (x as f64 + 0.5, y as f64 + 0.5);
                let u = ((px - q[0][0]) * (q[2][1] - q[0][1])
                    - (py - q[0][1]) * (q[2][0] - q[0][0]))
                    / d;
                let v = ((q[1][0] - q[0][0]) * (py - q[0][1])
                    - (q[1][1] - q[0][1]) * (px - q[0][0]))
                    / d;
                if d.abs() > 1e-9 && u >= -1e-6 && v >= -1e-6 && u + v <= 1.000001 {
                    let z = q[0][2] + u * (q[1][2] - q[0][2]) + v * (q[2][2] - q[0][2]);
                    let k = (h - 1 - y) * w + x;
                    if z > zb[k] {
                        zb[k] = z;
                        let g = (o.t[i] * 255.0).clamp(0.0, 255.0) as u8;
                        let sr = ((o.s[i] * 4.0).clamp(0.0, 1.0) * 255.0) as u8;
                        let any_free = t.iter().any(|k| !o.stuck[*k as usize]);
                        img[k] = (
                            g.max(sr),
                            g - (g as f64 * sr as f64 / 255.0) as u8,
                            if any_free { 255 } else { g - (g as f64 * sr as f64 / 255.0) as u8 },
                        );
                    }
                }
            }
        }
    }
    let mut out = format!("P6\n{w} {h}\n255\n").into_bytes();
    for p in img {
        out.extend([p.0, p.1, p.2]);
    }
    std::fs::write(f, out).unwrap();
}

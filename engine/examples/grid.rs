//! Scratch.
#![allow(
    clippy::all,
    clippy::pedantic,
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "scratch"
)]
use engine::drape::*;
use engine::geometry::*;
use engine::plan::*;
use engine::units::*;
use std::sync::Arc;
fn main() {
    let mesh: f64 = std::env::args().nth(1).unwrap().parse().unwrap();
    for h in [10.0, 20.0, 30.0, 40.0, 50.0] {
        let mut line = format!("{h:5}");
        let mut line2 = format!("     ");
        for g in [10.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0] {
            let m = Machine::with_lip(
                Size::new(Length::mm(120.0 + g + 160.0 + 20.0), Length::mm(60.0 + 160.0 + 20.0)),
                Length::mm(10.0),
                Length::mm(300.0),
            );
            let mut plan = Plan::new("x", m);
            plan.molds.insert(
                MoldId(1),
                Arc::new(Mold {
                    copies: 2,
                    ..Mold::new(
                        "c",
                        Footprint::Rectangle { width: Length::mm(60.0), depth: Length::mm(60.0) },
                        Length::mm(h),
                    )
                }),
            );
            let c = m.opening().center();
            let pull = plan.pulls.get_mut(&PullId(1)).unwrap();
            for (i, s) in [(1, -1.0), (2, 1.0)] {
                Arc::make_mut(pull).placements.insert(
                    PlacementId(i),
                    Placement {
                        mold: MoldId(1),
                        copy: CopyNumber(i),
                        pose: Pose::new(Point::new(c.x + s * (30.0 + g / 2.0), c.y), Angle::ZERO),
                        locked: false,
                    },
                );
            }
            let s = Settings { mesh: Length::mm(mesh), ..Settings::default() };
            let f = forecast(&plan, PullId(1), &s, &mut ()).unwrap();
            let between: f64 =
                f.webs.iter().filter(|w| w.molds.len() == 2).map(|w| w.folded.to_mm2()).sum();
            line += &format!(" {:7.0}", f.web_index * m.opening().area().to_mm2());
            line2 += &format!(" {:4.0}/{:.2}", between, f.thinnest.ratio);
            if let Some(p) = std::env::args().nth(2) {
                if h == 30.0 && g == 20.0 {
                    std::fs::write(p, f.png()).unwrap();
                    for w in &f.webs {
                        println!("{w:?}");
                    }
                }
            }
        }
        println!("{line}\n{line2}");
    }
}

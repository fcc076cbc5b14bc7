//! Random plans from fixed seeds.

use std::sync::Arc;

use engine::geometry::{Point, Pose, Rect, Ring, Vec2};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, Sides, Size,
};
use engine::units::{Angle, Length};

/// Numbers that follow from a seed (Knuth's 64-bit linear congruential generator, as in MMIX).
#[derive(Debug)]
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    /// From `least` to `most`, to 0.01.
    pub(crate) fn between(&mut self, least: f64, most: f64) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let share =
            f64::from(u32::try_from(self.0 >> 33).expect("31 bits")) / f64::from(1_u32 << 31);
        (least + (most - least) * share).mul_add(100.0, 0.5).floor() / 100.0
    }

    fn length(&mut self, least: f64, most: f64) -> Length {
        Length::mm(self.between(least, most))
    }
}

/// A plan with one pull of up to eight molds, which may stand anywhere, over each other included.
pub(crate) fn plan(seed: u64) -> Plan {
    let mut dice = Dice(seed);
    for _ in 0..8 {
        dice.between(0.0, 1.0);
    }
    let mut plan = Plan::new("Random kit", machine(&mut dice));
    let blank = plan.machine.blank;
    let n_molds = (dice.between(1.0, 8.99).floor()).max(1.0);
    let ids = (1..).map(MoldId).take_while(|id| f64::from(id.0) <= n_molds);
    for id in ids {
        let mold = Mold::new("Shape", footprint(&mut dice), dice.length(5.0, 60.0));
        plan.molds.insert(id, Arc::new(mold));
        let at = Point::new(
            dice.between(0.0, blank.width.to_mm()),
            dice.between(0.0, blank.depth.to_mm()),
        );
        let pose = Pose::new(at, Angle::degrees(dice.between(0.0, 359.0)));
        let placement = Placement { mold: id, copy: CopyNumber(1), pose, locked: false };
        let pull = plan.pulls.values_mut().next().expect("one pull");
        Arc::make_mut(pull).placements.insert(PlacementId(id.0), placement);
    }
    plan
}

fn machine(dice: &mut Dice) -> Machine {
    let blank = Size::new(dice.length(120.0, 900.0), dice.length(120.0, 700.0));
    let lip = Sides {
        front: dice.length(0.0, 30.0),
        back: dice.length(5.0, 30.0),
        left: dice.length(5.0, 30.0),
        right: dice.length(5.0, 30.0),
    };
    let corner = Point::new(dice.between(5.0, 30.0), dice.between(5.0, 30.0));
    let (width, depth) = (blank.width - Length::mm(55.0), blank.depth - Length::mm(57.0));
    let platen = Rect::sized(corner, width, depth);
    Machine { blank, lip, platen, clears: Length::mm(150.0) }
}

fn footprint(dice: &mut Dice) -> Footprint {
    let (width, depth) = (dice.length(8.0, 150.0), dice.length(8.0, 150.0));
    match dice.between(0.0, 5.99).floor() {
        k if k < 0.5 => Footprint::Rectangle { width, depth },
        k if k < 1.5 => {
            let most = width.min(depth) / 2.0;
            Footprint::RoundedRectangle { width, depth, radius: most * dice.between(0.1, 1.0) }
        }
        k if k < 2.5 => Footprint::Circle { diameter: width },
        k if k < 3.5 => Footprint::Ellipse { width, depth },
        k if k < 4.5 => Footprint::Polygon { sides: 5, diameter: width },
        _ => {
            let round = (0..17_u32).map(|i| Angle::degrees(360.0 * f64::from(i) / 17.0));
            let corner = |turn| Point::ORIGIN + Vec2::unit(turn) * dice.between(20.0, 60.0);
            let outer = round.map(corner).collect();
            Footprint::Outline { outer: Ring::new(outer), holes: Vec::new() }
        }
    }
}

//! The plan a first visit opens on: one pull of a tide-pool diorama kit.

use std::sync::Arc;

use super::{
    CopyNumber, Film, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, Plastic,
    Relief, Turns,
};
use crate::geometry::{Point, Pose, Ring, Vec2};
use crate::order;
use crate::units::{Angle, Length, Price};

/// A tide-pool kit on a bench former: limpet, crab shell, two clam halves, starfish and anemone base.
///
/// One gap is left too small on purpose, so that a first visitor has something to put right.
#[must_use]
pub fn sample() -> Plan {
    let mut plan = Plan::new("Tide-pool kit", Machine::default());
    plan.stock.plastic = Plastic::Hips;
    plan.stock.film = Film::OneFace;
    plan.stock.price = Some(Price::hundredths(5_950));
    let molds = [limpet(), crab_shell(), clam_half(), starfish(), anemone_base()];
    plan.molds = order::map((1..).map(MoldId).zip(molds.into_iter().map(Arc::new)));
    let places = [
        // mold, copy, x, y, turn in degrees
        (2, 1, 98.0, 226.0, 0.0),
        (1, 1, 232.0, 222.0, 0.0),
        (5, 1, 330.0, 222.0, 0.0),
        (4, 1, 98.0, 92.0, 0.0),
        (3, 1, 221.0, 90.0, 0.0),
        (3, 2, 326.0, 90.0, 180.0),
    ];
    if let Some(pull) = plan.pulls.values_mut().next() {
        let standing = places.map(|(mold, copy, x, y, turn)| Placement {
            mold: MoldId(mold),
            copy: CopyNumber(copy),
            pose: Pose::new(Point::new(x, y), Angle::degrees(turn)),
            locked: false,
        });
        Arc::make_mut(pull).placements = order::map((1..).map(PlacementId).zip(standing));
    }
    plan
}

fn limpet() -> Mold {
    let footprint = Footprint::Ellipse { width: Length::mm(64.0), depth: Length::mm(52.0) };
    Mold { relief: Relief::Dome, ..Mold::new("Limpet", footprint, Length::mm(22.0)) }
}

fn crab_shell() -> Mold {
    let footprint = lobed(48, |turn| {
        let wide = 52.0 + 4.0 * turn_cos(turn, 4.0);
        Vec2::new(wide * turn.cos(), (35.0 - 6.0 * turn.sin()) * turn.sin())
    });
    Mold {
        draft: Angle::degrees(8.0),
        spacer: Length::mm(3.0),
        ..Mold::new("Crab shell", footprint, Length::mm(21.0))
    }
}

fn clam_half() -> Mold {
    let footprint = lobed(36, |turn| {
        Vec2::new(34.0 * turn.cos() * (1.0 - 0.2 * turn.sin()), 27.0 * turn.sin())
    });
    Mold { copies: 2, relief: Relief::Dome, ..Mold::new("Clam half", footprint, Length::mm(18.0)) }
}

fn starfish() -> Mold {
    let footprint = lobed(60, |turn| {
        let quarter = Angle::degrees(90.0);
        Vec2::unit(turn) * (33.0 + 15.0 * turn_cos(turn - quarter, 5.0))
    });
    Mold { draft: Angle::degrees(5.0), ..Mold::new("Starfish", footprint, Length::mm(12.0)) }
}

fn anemone_base() -> Mold {
    let footprint = Footprint::Circle { diameter: Length::mm(56.0) };
    Mold {
        relief: Relief::Taper { top: 0.7 },
        draft: Angle::degrees(17.0),
        turns: Turns::Fixed,
        ..Mold::new("Anemone base", footprint, Length::mm(26.0))
    }
}

/// A closed outline through `corners` places of `place`, rounded to 0.01 mm as if it had been typed.
fn lobed(corners: u32, place: impl Fn(Angle) -> Vec2) -> Footprint {
    let typed = |mm: f64| libm::round(mm * 100.0) / 100.0;
    let outer = (0..corners)
        .map(|i| place(Angle::degrees(360.0 * f64::from(i) / f64::from(corners))))
        .map(|v| Point::new(typed(v.x), typed(v.y)))
        .collect();
    Footprint::Outline { outer: Ring::new(outer), holes: Vec::new() }
}

fn turn_cos(turn: Angle, times: f64) -> f64 {
    Angle::radians(turn.to_radians() * times).cos()
}

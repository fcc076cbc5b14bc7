//! A spot on the blank where another mold has room, looked for in upright bounds only.

use engine::geometry::{Point, Rect};
use engine::plan::{Mold, Plan, Pull};
use engine::units::Length;

/// How finely the opening is looked through, in each direction.
const STEPS: u32 = 24;

/// Where to stand another `mold` in `pull`: the first spot from the back left where its bounds keep the clearance
/// to those of all others, or else the spot with the most room.
pub(super) fn free_place(plan: &Plan, pull: &Pull, mold: &Mold) -> Point {
    let opening = plan.machine.opening();
    let size = bounds(mold, Point::ORIGIN);
    let standing: Vec<(Rect, Length)> = pull
        .placements
        .values()
        .filter_map(|p| plan.molds.get(&p.mold).map(|other| (other, p.pose.at)))
        .map(|(other, at)| (turned(bounds(other, at)), needed(plan, mold, other)))
        .collect();
    let margin = plan.settings.edge.margin(mold.standing_height(), mold.trim);
    let room = |at: Point| {
        let here = size.moved(at.to_vec2());
        let gaps = standing.iter().map(|(there, needed)| there.distance(here) - needed.to_mm());
        gaps.fold(f64::INFINITY, f64::min)
    };
    let mut best = (opening.center(), room(opening.center()));
    for at in spots(opening.grown(-margin), size) {
        let found = room(at);
        if found >= 0.0 {
            return at;
        }
        if found > best.1 {
            best = (at, found);
        }
    }
    best.0
}

/// The bounds of an unturned mold standing at a place.
fn bounds(mold: &Mold, at: Point) -> Rect {
    let region = mold.footprint.region(Length::mm(1.0));
    region.bounds().unwrap_or_default().moved(at.to_vec2())
}

/// Bounds that hold the same mold whichever way it is turned.
fn turned(bounds: Rect) -> Rect {
    let reach = bounds.max.distance(bounds.min) / 2.0;
    let middle = bounds.center();
    Rect::new(middle, middle).grown(Length::mm(reach))
}

fn needed(plan: &Plan, one: &Mold, other: &Mold) -> Length {
    let heights = [one.standing_height(), other.standing_height()];
    plan.settings.clearance.between(heights, [one.trim, other.trim])
}

/// Places for a centre from the back left, row by row; none when the mold does not fit at all.
fn spots(within: Rect, size: Rect) -> impl Iterator<Item = Point> {
    let (width, depth) = (within.width() - size.width(), within.depth() - size.depth());
    let has_room = width >= Length::ZERO && depth >= Length::ZERO;
    let first = Point::new(within.min.x - size.min.x, within.max.y - size.max.y);
    let step = move |n: u32, of: Length| of.to_mm() * f64::from(n) / f64::from(STEPS);
    let steps = if has_room { STEPS + 1 } else { 0 };
    (0..steps).flat_map(move |row| {
        (0..steps).map(move |column| {
            Point::new(first.x + step(column, width), first.y - step(row, depth))
        })
    })
}

#[cfg(test)]
mod tests {
    use engine::plan::{Footprint, Machine, sample};

    use super::*;

    fn button() -> Mold {
        let footprint = Footprint::Circle { diameter: Length::mm(30.0) };
        Mold::new("Sand dollar", footprint, Length::mm(6.0))
    }

    #[test]
    fn on_an_empty_blank_it_stands_at_the_back_left_within_the_margin() {
        let plan = Plan::new("Test", Machine::default());
        let at = free_place(&plan, &Pull::new("Pull 1"), &button());
        let opening = plan.machine.opening();
        assert!((at.x - (opening.min.x + 25.0 + 15.0)).abs() < 0.1, "{at:?}");
        assert!((at.y - (opening.max.y - 25.0 - 15.0)).abs() < 0.1, "{at:?}");
    }

    #[test]
    fn a_spot_that_is_found_keeps_the_clearance() {
        let mut plan = sample();
        plan.settings.clearance.factor = 0.5;
        let pull = plan.pulls.values().next().expect("has a pull");
        let at = free_place(&plan, pull, &button());
        for placement in pull.placements.values() {
            let other = &plan.molds[&placement.mold];
            let there = bounds(other, placement.pose.at);
            let here = bounds(&button(), at);
            assert!(there.distance(here) >= 12.0 - 1e-9, "{} at {at:?}", other.name);
        }
    }

    #[test]
    fn a_mold_larger_than_the_opening_stands_in_its_middle() {
        let plan = Plan::new("Test", Machine::default());
        let footprint = Footprint::Circle { diameter: Length::mm(900.0) };
        let large = Mold::new("Boulder", footprint, Length::mm(60.0));
        let at = free_place(&plan, &Pull::new("Pull 1"), &large);
        assert_eq!(at, plan.machine.opening().center());
    }
}

//! Turns one found outline, or a mesh as it was measured, into the edit that adds its mold.

use std::sync::Arc;

use super::found::FoundOutline;
use super::mesh::{Survey, height_grid};
use crate::edit::{Edit, EditError};
use crate::geometry::{Point, Rect, Region, Ring, problems, simplify, tolerance};
use crate::plan::{Footprint, Mold, Plan, Relief, limits};
use crate::units::Length;

/// The coarsest an outline may become to fit a plan.
const COARSEST: Length = Length::mm(2.0);

/// The edit that adds a mold, and what was done to its outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Added {
    /// [`Edit::AddMold`] under the plan's next free id.
    pub edit: Edit,
    /// No place of the found outline is farther than this from the mold's.
    pub within: Length,
    /// How many corners the mold's outline has.
    pub n_corners: usize,
    /// How many of the smallest holes were left out, because a plan holds only so many.
    pub n_holes_left_out: usize,
    /// How many parts of a mesh that stand by themselves were left out, because a mold has one outline.
    pub n_parts_left_out: usize,
}

/// Why an outline makes no mold.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AddError {
    /// Too many corners, however coarse.
    #[error(
        "the outline needs {n_corners} corners even within {most}, and this plan has room for {room}; \
         draw it more simply, or remove other outlines",
        most = crate::units::LengthStyle::Millimetres.show(COARSEST)
    )]
    TooManyCorners {
        /// At the coarsest.
        n_corners: usize,
        /// What the plan has room for.
        room: usize,
    },
    /// A mesh that covers nothing.
    #[error("the mesh has no outline from above: choose which way is up, or repair it")]
    NoOutline,
    /// The plan refuses the mold.
    #[error(transparent)]
    Refused(#[from] EditError),
}

/// The edit that adds `outline` as a male mold with a level top; other properties are changed afterwards.
///
/// The outline is moved to the middle of its bounds and simplified, to [`tolerance::IMPORT`] at first and then as
/// coarsely as it takes to fit the plan's limits on corners without outlines coming to cross; `within` says how
/// coarsely. Cost: some times `n log n`.
///
/// # Errors
/// Says why the plan cannot hold the mold.
pub fn add_mold(
    plan: &Plan,
    outline: &FoundOutline,
    name: &str,
    height: Length,
) -> Result<Added, AddError> {
    added(plan, &outline.region, |footprint| Mold::new(name, footprint, height))
}

/// The edit that adds a male mold as `survey` measured a mesh: its largest part's silhouette for a footprint, its
/// height, its draft, and its heights on a grid as the relief.
///
/// The silhouette is simplified as by [`add_mold`]; the grid has at most [`limits::GRID_SIDE`] cells a side, and fewer
/// in a plan that has many. Other properties are changed afterwards.
///
/// # Errors
/// Says why the plan cannot hold the mold.
pub fn add_mold_from_mesh(plan: &Plan, survey: &Survey, name: &str) -> Result<Added, AddError> {
    let region = survey.silhouette.first().ok_or(AddError::NoOutline)?;
    let bounds = region.bounds().ok_or(AddError::NoOutline)?;
    let n_used: usize = plan.molds.values().map(|mold| mold.relief.n_cells()).sum();
    let room = limits::PLAN_CELLS.saturating_sub(n_used);
    let grid = height_grid(survey, bounds, room).ok_or(AddError::NoOutline)?;
    let mut added = added(plan, region, |footprint| {
        let relief = Relief::Heights(Arc::new(grid));
        Mold { relief, draft: survey.draft, ..Mold::new(name, footprint, survey.height) }
    })?;
    added.n_parts_left_out = survey.silhouette.len() - 1;
    Ok(added)
}

/// The edit that adds the mold made of a region's outline.
fn added(
    plan: &Plan,
    region: &Region,
    mold: impl FnOnce(Footprint) -> Mold,
) -> Result<Added, AddError> {
    let n_used: usize = plan.molds.values().map(|mold| mold.footprint.n_corners()).sum();
    let room = limits::OUTLINE_CORNERS.min(limits::PLAN_CORNERS.saturating_sub(n_used));
    let (region, n_holes_left_out) = fewer_holes(region);
    let (region, within) = fitted(&centred(&region), room)?;
    let n_corners = n_corners(&region);
    let footprint = Footprint::Outline { outer: region.outer, holes: region.holes };
    let edit = Edit::AddMold(plan.free_mold_id(), Box::new(mold(footprint)));
    plan.apply(&edit)?;
    Ok(Added { edit, within, n_corners, n_holes_left_out, n_parts_left_out: 0 })
}

fn n_corners(region: &Region) -> usize {
    region.rings().map(|ring| ring.points().len()).sum()
}

/// The region with as many of its largest holes as a plan holds, in their order, and how many that leaves out.
fn fewer_holes(region: &Region) -> (Region, usize) {
    let n_out = region.holes.len().saturating_sub(limits::HOLES);
    let mut by_size: Vec<usize> = (0..region.holes.len()).collect();
    let area = |index: usize| region.holes[index].signed_area().abs();
    by_size.sort_by(|&a, &b| area(b).total_cmp(&area(a)).then(a.cmp(&b)));
    by_size.truncate(limits::HOLES);
    by_size.sort_unstable();
    let holes = by_size.into_iter().map(|index| region.holes[index].clone()).collect();
    (Region { outer: region.outer.clone(), holes }, n_out)
}

fn centred(region: &Region) -> Region {
    let centre = region.bounds().map_or(Point::ORIGIN, Rect::center).to_vec2();
    let moved = |ring: &Ring| Ring::new(ring.points().iter().map(|&p| p - centre).collect());
    Region { outer: moved(&region.outer), holes: region.holes.iter().map(moved).collect() }
}

/// The region simplified as little as fits into `room` corners, and the tolerance that took.
fn fitted(region: &Region, room: usize) -> Result<(Region, Length), AddError> {
    let was_sound = n_corners(region) > 20_000 || problems(region).is_empty();
    let mut within = tolerance::IMPORT;
    let mut least = usize::MAX;
    while within <= COARSEST {
        let simpler = simplify(region, within);
        let count = n_corners(&simpler);
        if count <= room && (!was_sound || problems(&simpler).is_empty()) {
            return Ok((simpler, within));
        }
        least = least.min(count);
        within = within * 2.0;
    }
    Err(AddError::TooManyCorners { n_corners: least, room })
}

#[cfg(test)]
mod mesh_tests;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::flatten;
    use crate::intake::Place;
    use crate::plan::Machine;

    fn outline(outer: Ring, holes: Vec<Ring>) -> FoundOutline {
        FoundOutline { name: "Crab".into(), region: Region::new(outer, holes), at: Place::File }
    }

    fn moved(ring: &Ring, x: f64, y: f64) -> Ring {
        Ring::new(ring.points().iter().map(|p| Point::new(p.x + x, p.y + y)).collect())
    }

    #[test]
    fn an_outline_of_many_corners_is_simplified_to_fit_and_says_by_how_much() {
        let plan = Plan::new("Plan", Machine::default());
        // Teeth 0.2 mm high all round: 0.1 mm keeps every one, 0.2 mm none.
        let teeth = (0..9000_u32).map(|k| {
            let angle = crate::units::Angle::degrees(f64::from(k) * 360.0 / 9000.0);
            Point::ORIGIN + crate::geometry::Vec2::unit(angle) * (100.0 + 0.2 * f64::from(k % 2))
        });
        let found = outline(moved(&Ring::new(teeth.collect()), 700.0, -300.0), vec![]);
        let added = add_mold(&plan, &found, "Crab", Length::mm(20.0)).expect("fits");
        assert!(added.n_corners <= limits::OUTLINE_CORNERS, "{}", added.n_corners);
        assert!(added.within > Length::mm(0.1) && added.within < Length::mm(0.7), "{added:?}");
        let after = plan.apply(&added.edit).expect("applies");
        let mold = after.molds.values().next().expect("a mold");
        let Footprint::Outline { outer, .. } = &mold.footprint else { panic!("{mold:?}") };
        let bounds = outer.bounds().expect("corners");
        assert!(bounds.center().distance(Point::ORIGIN) < 1.0, "in the middle: {bounds:?}");
    }

    #[test]
    fn the_smallest_holes_go_when_there_are_too_many_and_refusals_are_told() {
        let mut plan = Plan::new("Plan", Machine::default());
        let plate = flatten::rectangle(Length::mm(400.0), Length::mm(400.0));
        let hole = |k: u32| {
            let size = Length::mm(4.0 + 0.1 * f64::from(k));
            let ring = flatten::rectangle(size, size);
            moved(&ring, f64::from(k % 8) * 40.0 - 150.0, f64::from(k / 8) * 40.0 - 150.0)
        };
        let found = outline(plate.clone(), (0..60).map(hole).collect());
        let added = add_mold(&plan, &found, "Plate", Length::mm(5.0)).expect("fits");
        assert_eq!((added.n_holes_left_out, added.n_corners), (10, 4 + 50 * 4));
        let tall = add_mold(&plan, &found, "Plate", Length::mm(1e9)).expect_err("too tall");
        assert!(matches!(tall, AddError::Refused(_)), "{tall}");
        let full = outline(flatten::circle(Length::mm(200.0), Length::mm(1e-6)), vec![]);
        for _ in 0..limits::MOLDS {
            let Ok(added) = add_mold(&plan, &full, "Disc", Length::mm(5.0)) else { break };
            plan = plan.apply(&added.edit).expect("applies");
        }
        let refused = add_mold(&plan, &full, "Disc", Length::mm(5.0)).expect_err("full");
        assert!(matches!(refused, AddError::TooManyCorners { .. }), "{refused}");
    }
}

//! Unit tests of molds made from meshes: closed forms of solids, as the plan then knows them.

use std::f64::consts::PI;

use super::*;
use crate::geometry::HeightField;
use crate::intake::mesh::shapes::{block, solid};
use crate::intake::{Mesh, SourceUnit, Standing, Up, survey};
use crate::physics::Draw;
use crate::plan::Machine;
use crate::units::Angle;

fn surveyed(mesh: Mesh) -> Survey {
    survey(&Standing::new(mesh, Up::PlusZ, SourceUnit::Millimetre), Angle::degrees(3.0))
}

fn mold_of(mesh: Mesh) -> Mold {
    let plan = Plan::new("Plan", Machine::default());
    let added = add_mold_from_mesh(&plan, &surveyed(mesh), "Limpet").expect("adds");
    let plan = plan.apply(&added.edit).expect("applies");
    (**plan.molds.values().next().expect("a mold")).clone()
}

fn volume(field: &HeightField) -> f64 {
    let cell = field.spacing().to_mm() * field.spacing().to_mm();
    field.heights().iter().map(|height| f64::from(*height) * cell).sum()
}

#[track_caller]
fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!((got / want - 1.0).abs() < within, "{what}: {got}, not {want}");
}

/// Volume within a hundredth, formed surface within three (see `physics::grid_surface`).
#[track_caller]
fn check(mold: &Mold, height: f64, inside: f64, surface: f64) {
    near(mold.height.to_mm(), height, 1e-6, "height");
    near(volume(&mold.heights(Length::mm(0.25))), inside, 0.01, "volume");
    let formed = Draw::of(mold).expect("a surface").formed;
    near(formed.to_mm2(), surface, 0.03, "formed surface");
}

// Volumes and surfaces of elementary solids: CRC Standard Mathematical Tables, mensuration formulas.

#[test]
fn a_cone_a_ball_and_a_block_keep_their_volume_surface_and_draft() {
    let cone = mold_of(solid(&[(0.0, 0.0), (30.0, 0.0), (0.0, 40.0)], 200));
    check(&cone, 40.0, PI * 900.0 * 40.0 / 3.0, PI * 30.0 * 50.0);
    let lean = Angle::radians(libm::atan2(30.0, 40.0)).to_degrees();
    assert!((cone.draft.to_degrees() - lean).abs() < 0.02, "{:?}", cone.draft);
    let arc = (0..90).map(|k| libm::sincos(f64::from(k).to_radians()));
    let mut profile = vec![(0.0, 0.0)];
    profile.extend(arc.map(|(sin, cos)| (25.0 * cos, 25.0 * sin)));
    profile.push((0.0, 25.0));
    let ball = mold_of(solid(&profile, 200));
    check(&ball, 25.0, 2.0 / 3.0 * PI * 15_625.0, 2.0 * PI * 625.0);
    // A hundredth of the zone below 45 degrees, which is sin 45° of the half ball: up to the sine 0.00707.
    assert!(ball.draft.to_degrees() < 0.6, "{:?}", ball.draft);
    let upright = mold_of(block((60.0, 40.0), (60.0, 40.0), 25.0));
    check(&upright, 25.0, 60_000.0, 2400.0 + 200.0 * 25.0);
    assert!(upright.draft.to_degrees() < 0.01, "{:?}", upright.draft);
    let (w, d, h) = (60.0, 40.0, 20.0);
    let lean = h * Angle::degrees(10.0).tan();
    let (top_w, top_d) = (w - 2.0 * lean, d - 2.0 * lean);
    let drafted = mold_of(block((w, d), (top_w, top_d), h));
    let slant = h / Angle::degrees(10.0).cos();
    let walls = (w + top_w + d + top_d) * slant;
    // The prismatoid's rule for the volume.
    let middle = (w - lean) * (d - lean);
    let inside = h / 6.0 * (w * d + 4.0 * middle + top_w * top_d);
    check(&drafted, h, inside, top_w * top_d + walls);
    assert!((drafted.draft.to_degrees() - 10.0).abs() < 0.02, "{:?}", drafted.draft);
}

#[test]
fn a_boss_on_a_plate_is_kept_and_parts_that_stand_alone_are_counted() {
    let turned = [(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (15.0, 10.0), (15.0, 22.0), (0.0, 22.0)];
    let boss = mold_of(solid(&turned, 200));
    let inside = PI * 900.0 * 10.0 + PI * 225.0 * 12.0;
    check(&boss, 22.0, inside, PI * 900.0 + PI * 60.0 * 10.0 + PI * 30.0 * 12.0);
    let mut two = block((60.0, 40.0), (50.0, 30.0), 25.0);
    let n = u32::try_from(two.corners.len()).expect("few");
    let other = block((20.0, 20.0), (10.0, 10.0), 9.0);
    two.corners.extend(other.corners.iter().map(|[x, y, z]| [x + 100.0, *y, *z]));
    two.triangles.extend(other.triangles.iter().map(|t| t.map(|index| index + n)));
    let plan = Plan::new("Plan", Machine::default());
    let added = add_mold_from_mesh(&plan, &surveyed(two), "Rock").expect("adds");
    assert_eq!(added.n_parts_left_out, 1);
    let Edit::AddMold(_, mold) = &added.edit else { panic!("{added:?}") };
    near(
        volume(&mold.heights(Length::mm(0.25))),
        25.0 / 6.0 * (2400.0 + 7700.0 + 1500.0),
        0.01,
        "one",
    );
}

#[test]
fn a_full_plan_gets_coarser_grids_and_a_mesh_of_nothing_is_refused() {
    let mut plan = Plan::new("Plan", Machine::default());
    let survey = surveyed(block((60.0, 60.0), (50.0, 50.0), 25.0));
    let cells = |plan: &Plan| plan.molds.values().map(|m| m.relief.n_cells()).collect::<Vec<_>>();
    for _ in 0..40 {
        let added = add_mold_from_mesh(&plan, &survey, "Rock").expect("adds");
        plan = plan.apply(&added.edit).expect("applies");
    }
    let cells = cells(&plan);
    assert_eq!(cells[0], 96 * 96);
    assert!(cells[39] >= 16 && cells.is_sorted_by(|a, b| a >= b), "{cells:?}");
    assert!(cells.iter().sum::<usize>() <= limits::PLAN_CELLS);
    let nothing = surveyed(Mesh::default());
    let refused = add_mold_from_mesh(&plan, &nothing, "Nothing").expect_err("nothing");
    assert_eq!(refused, AddError::NoOutline);
}

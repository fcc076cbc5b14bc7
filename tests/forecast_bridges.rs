//! Corners that the sheet bridges: told where it is firm and the corner sharp, with the radius that a balloon has, and nowhere else.

mod formed;

use engine::drape::{Bridge, Contact, Forecast, Mode, Settings, forecast};
use engine::geometry::Point;
use engine::plan::{Footprint, Mold, MoldKind, Plan, Relief};
use engine::units::{Angle, Length};
use onepull_tests::assert_near;

use formed::{PULL, block, formed, standing};

/// From the corner of the blank to that of the opening, as `standing` has it.
const LIP: f64 = 10.0;

/// A square cavity of 60 x 60 x 30 mm in the middle of an opening of 120 mm, with sheet of this gauge.
fn cavity(gauge: f64, draft: f64) -> Plan {
    let draft = Angle::degrees(draft);
    let mold = Mold { kind: MoldKind::Female, draft, ..block(60.0, 60.0, 30.0) };
    let mut plan = standing(120.0, 120.0, &[(mold, (60.0, 60.0, 0.0))]);
    plan.stock.gauge = Length::mm(gauge);
    plan
}

fn with(plan: &Plan, firmness: f64, mesh: f64) -> Forecast {
    let settings =
        Settings { mode: Mode::Rubber, mesh: Length::mm(mesh), firmness, ..Settings::default() };
    forecast(plan, PULL, &settings, &mut ()).expect("a forecast")
}

/// The widest bridge within the cavity.
fn inside(told: &Forecast) -> Option<&Bridge> {
    let is_inside =
        |at: Point| [at.x, at.y].iter().all(|along| (LIP + 30.0..LIP + 90.0).contains(along));
    told.bridges.iter().find(|bridge| is_inside(bridge.at))
}

/// How high the node at this place is, in millimetres, and on what. A map would tell of the whole wall there, which is all but upright.
fn node_at(told: &Forecast, at: Point) -> (f64, Contact) {
    let all = told.sheet.positions.iter().zip(&told.sheet.contact);
    let away = |of: &[f32; 3]| at.distance(Point::new(f64::from(of[0]), f64::from(of[1])));
    let nearest = all.min_by(|a, b| away(a.0).total_cmp(&away(b.0)));
    let (place, contact) = nearest.expect("a sheet has nodes");
    assert!(away(place) < 1e-3, "a bridge is told of at a node: {at:?}, {place:?}");
    (f64::from(place[2]), *contact)
}

#[test]
fn a_thick_firm_sheet_bridges_the_foot_of_a_cavity_by_the_same_gap_on_every_net() {
    for gauge in [2.0, 4.0] {
        let plan = cavity(gauge, 3.0);
        let firm = Settings::default().firmness;
        let gaps = [3.0, 2.5, 2.0].map(|mesh| {
            let told = with(&plan, firm, mesh);
            let bridge = *inside(&told).expect("a bridge in the cavity");
            assert!(bridge.mold.is_some(), "it is the cavity's: {bridge:?}");
            let (height, contact) = node_at(&told, bridge.at);
            assert_eq!(contact, Contact::Nothing, "{bridge:?}");
            assert!((1.0..15.0).contains(&height), "near the foot: {bridge:?}, {height} mm high");
            bridge.gap.to_mm()
        });
        for fine in &gaps[1..] {
            assert_near!(gaps[0] / fine, 1.0, 0.1, "sheet of {gauge} mm: {gaps:?}");
        }
    }
}

#[test]
fn a_soft_sheet_fills_every_corner_and_a_bare_dome_has_none() {
    let dome = Footprint::Circle { diameter: Length::mm(60.0) };
    let dome = Mold { relief: Relief::Dome, ..Mold::new("Limpet", dome, Length::mm(25.0)) };
    for mesh in [4.0, 3.0, 2.0] {
        for gauge in [0.5, 1.0, 2.0, 4.0] {
            let soft = with(&cavity(gauge, 3.0), 0.01, mesh);
            assert!(soft.bridges.is_empty(), "{gauge} mm on {mesh}: {:?}", soft.bridges);
        }
        for gauge in [0.5, 1.0, 3.0] {
            let mut plan = standing(160.0, 160.0, &[(dome.clone(), (80.0, 80.0, 0.0))]);
            plan.stock.gauge = Length::mm(gauge);
            let bare = formed(&plan, Mode::Rubber, mesh);
            assert!(bare.bridges.is_empty(), "{gauge} mm on {mesh}: {:?}", bare.bridges);
        }
    }
}

/// What the settings say of the firmness: at the foot of a cavity half as deep as wide the radius is 1.2 to 1.3 times the
/// firmness in gauges, and a firmer or a thicker sheet leaves one that is as many times larger.
#[test]
fn a_corner_is_left_with_about_firmness_gauges_as_radius() {
    for (gauge, firmness) in [(2.0, 2.5), (4.0, 2.5), (1.0, 5.0)] {
        let radius = radius_at_the_foot(&with(&cavity(gauge, 0.0), firmness, 2.0));
        let share = radius / (gauge * firmness);
        assert_near!(share, 1.28, 0.1, "{gauge} mm, firmness {firmness}: {radius} mm");
    }
}

/// The radius of the arc that fits a cut through the middle of the cavity's left wall and floor best, in millimetres.
fn radius_at_the_foot(told: &Forecast) -> f64 {
    let (wall, middle) = (LIP + 30.0, LIP + 60.3);
    let cut = told.section(Point::new(wall, middle), Point::new(wall + 30.0, middle));
    let points =
        cut.sheet.iter().flatten().map(|point| (point.along.to_mm(), point.height.to_mm()));
    // Off the wall, which is a slope one cell wide, and off the floor.
    let free: Vec<(f64, f64)> = points.filter(|(x, z)| *x > 0.9 && *z > 0.3).collect();
    let off = |radius: f64| {
        let near = free.iter().filter(|(x, z)| *x < radius && *z < radius);
        let away = near.map(|(x, z)| libm::hypot(x - radius, z - radius) - radius);
        let squares: Vec<f64> = away.map(|away| away * away).collect();
        let mean =
            squares.iter().sum::<f64>() / f64::from(u32::try_from(squares.len()).expect("few"));
        if squares.len() > 5 { mean } else { f64::INFINITY }
    };
    let radii = (10..300).map(|tenth| f64::from(tenth) / 10.0);
    let best = radii.min_by(|a, b| off(*a).total_cmp(&off(*b))).expect("radii");
    assert!(off(best).sqrt() < 0.1, "it is an arc: {best} mm, off by {}", off(best).sqrt());
    best
}

#[test]
fn what_the_usual_sheet_bridges_in_the_sample_is_the_same_on_fine_nets() {
    let bridged = |mesh: f64| {
        let told = formed(&engine::plan::sample(), Mode::Rubber, mesh);
        let mut molds: Vec<_> = told.bridges.iter().filter_map(|bridge| bridge.mold).collect();
        molds.sort();
        molds.dedup();
        molds
    };
    let usual = bridged(3.0);
    assert!(!usual.is_empty());
    assert_eq!(usual, bridged(2.0));
}

//! The forecast against what is printed about formed parts: thickness by place, and its shape down a wall.

mod formed;

use engine::drape::{Forecast, Mode};
use engine::geometry::Point;
use engine::plan::{Mold, MoldKind};
use engine::units::{Angle, Length};

use formed::{block, formed, standing};

/// Means of the thickness over the surface of the triangles whose middles a question picks: nodes lie closer where the net
/// was split.
fn mean(told: &Forecast, is_meant: impl Fn([f64; 3]) -> bool) -> f64 {
    let (mut sum, mut surface) = (0.0, 0.0);
    for nodes in &told.sheet.triangles {
        let nodes = nodes.map(|node| usize::try_from(node).expect("an index"));
        let [a, b, c] = nodes.map(|node| told.sheet.positions[node].map(f64::from));
        if is_meant([0, 1, 2].map(|axis| (a[axis] + b[axis] + c[axis]) / 3.0)) {
            let (u, v) = ([0, 1, 2].map(|i| b[i] - a[i]), [0, 1, 2].map(|i| c[i] - a[i]));
            let cross = [(1, 2), (2, 0), (0, 1)].map(|(i, j)| u[i] * v[j] - u[j] * v[i]);
            let area = cross.iter().map(|part| part * part).sum::<f64>().sqrt() / 2.0;
            let ratios = nodes.map(|node| f64::from(told.sheet.thickness[node]));
            sum += area * ratios.iter().sum::<f64>() / 3.0;
            surface += area;
        }
    }
    sum / surface
}

/// Three zones down the wall of male parts: a steep fall just below the mold's edge, a flat middle, and a second fall
/// further out; deeper draw makes both falls greater, more draft makes them less.
///
/// **Source:** abstract of Studies on the stretching behaviour of medium gauge high impact polystyrene sheets during
/// positive thermoforming (1.5 and 2.5 mm sheet, 130 and 140 degrees).
#[test]
fn the_wall_of_a_male_part_falls_steeply_below_its_edge_and_more_so_when_deeper_or_steeper() {
    let wall = |height: f64, draft: f64| {
        let mold = Mold { draft: Angle::degrees(draft), ..block(80.0, 80.0, height) };
        let plan = standing(200.0, 200.0, &[(mold, (100.0, 100.0, 0.0))]);
        let told = formed(&plan, Mode::Rubber, 4.0);
        let lean = Angle::degrees(draft).tan();
        // Down the middle of the right wall, by the share of its height below the top.
        let at = |from: f64, to: f64| {
            mean(&told, |[x, y, z]| {
                let down = 1.0 - z / height;
                let foot = 110.0 + 40.0 - z * lean;
                (y - 110.0).abs() < 20.0 && (x - foot).abs() < 3.0 && (from..to).contains(&down)
            })
        };
        let top = mean(&told, |[x, y, _]| (x - 110.0).abs() < 25.0 && (y - 110.0).abs() < 25.0);
        [top, at(0.1, 0.4), at(0.4, 0.7), at(0.7, 0.95)]
    };
    let shallow = wall(20.0, 3.0);
    let deep = wall(40.0, 3.0);
    let drafted = wall(40.0, 15.0);
    for wall in [shallow, deep, drafted] {
        let [top, upper, middle, lower] = wall;
        assert!(top > 0.97, "the top keeps its gauge: {wall:?}");
        // The first fall takes a quarter of the height, the next three tenths.
        assert!(
            (top - upper) / 0.25 > 1.5 * (upper - middle) / 0.3,
            "steep, then flatter: {wall:?}"
        );
        assert!(lower < middle + 0.02, "and falls again or stays: {wall:?}");
    }
    for (less, more) in [(shallow, deep), (drafted, deep)] {
        assert!(less[1] > more[1] && less[3] > more[3], "{less:?} {more:?}");
    }
}

/// Rough thickness by place of a rectangular part without a plug, for a depth of half the smallest plan dimension: flange
/// 100 %, upper wall 75, lower wall 60, corner 45, base 55.
///
/// The figures keep more plastic than there is: on this cavity, walls and base of 2.8 times its opening, they come to 1.7
/// times its sheet. So only their order is asked for, and ours between a quarter of them and all of them;
/// the corner keeps least of its share, because the net is split there and the sheet gets right in.
///
/// **Source:** Machinecraft, wall thickness of thermoformed parts; the page calls its figures approximate.
#[test]
fn a_cavity_keeps_about_what_a_rule_of_thumb_says_by_place() {
    let mold = Mold { kind: MoldKind::Female, trim: Length::mm(30.0), ..block(100.0, 120.0, 50.0) };
    let mold = Mold { draft: Angle::degrees(2.0), ..mold };
    let plan = standing(150.0, 170.0, &[(mold, (75.0, 85.0, 0.0))]);
    let told = formed(&plan, Mode::Rubber, 4.0);
    let middle = Point::new(85.0, 95.0);
    let off = |at: [f64; 3]| ((at[0] - middle.x).abs(), (at[1] - middle.y).abs());
    let long_wall = |at: [f64; 3]| off(at).1 < 25.0 && (40.0..50.5).contains(&off(at).0);
    let places = [
        ("flange", 1.00, mean(&told, |at| off(at).0 > 56.0 && at[2] > 49.0)),
        ("upper wall", 0.75, mean(&told, |at| long_wall(at) && (30.0..46.0).contains(&at[2]))),
        ("lower wall", 0.60, mean(&told, |at| long_wall(at) && (6.0..22.0).contains(&at[2]))),
        ("corner", 0.45, mean(&told, |at| off(at).0 > 40.0 && off(at).1 > 50.0 && at[2] < 12.0)),
        ("base", 0.55, mean(&told, |at| off(at).0 < 25.0 && off(at).1 < 30.0)),
    ];
    for (place, printed, ours) in places {
        let share = ours / printed;
        assert!((0.25..=1.02).contains(&share), "{place}: {printed} is printed: {places:?}");
    }
    let ours = places.map(|(_, _, ours)| ours);
    assert!(ours[0] > ours[1] && ours[1] > ours[2] && ours[2] > ours[3], "{places:?}");
    assert!(ours[4] > ours[3], "the base keeps more than its corners: {places:?}");
}

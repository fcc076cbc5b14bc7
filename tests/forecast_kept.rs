//! What a forecast keeps to whatever is asked of it: no node under the ground, and nothing told that its picture hides.

mod formed;

use std::io::Cursor;

use engine::drape::{Contact, Forecast, Mode, Settings, WebKind, forecast};
use engine::geometry::{HeightField, Point};
use engine::plan::{Plan, sample};
use engine::units::Length;

use formed::{PULL, block, formed, standing};

/// The height of the ground between the middles of its cells, in millimetres.
fn height(field: &HeightField, place: Point) -> f64 {
    let (first, step) = (field.middle(0, 0), field.spacing().to_mm());
    let rows = field.heights().len() / field.columns();
    let cell = |along: f64, count: usize| {
        let last = (0..count - 1).rev().find(|cell| cell_number(*cell) <= along).unwrap_or(0);
        (last, (along - cell_number(last)).clamp(0.0, 1.0))
    };
    let (column, right) = cell((place.x - first.x) / step, field.columns());
    let (row, up) = cell((place.y - first.y) / step, rows);
    let at = |column: usize, row: usize| f64::from(field.heights()[row * field.columns() + column]);
    let along = |row: usize| at(column, row) * (1.0 - right) + at(column + 1, row) * right;
    along(row) * (1.0 - up) + along(row + 1) * up
}

fn cell_number(cell: usize) -> f64 {
    f64::from(u32::try_from(cell).expect("few cells"))
}

/// A fin thinner than the net's squares would be jumped by a sheet that is asked only where it comes to lie; and where the net
/// is split, the middle of a side from one of its faces to the other would be inside it.
#[test]
fn no_node_is_under_the_ground_and_no_wall_is_jumped() {
    let fin = |turn: f64| standing(120.0, 120.0, &[(block(3.0, 60.0, 30.0), (60.0, 60.0, turn))]);
    let plans = [("sample", sample()), ("fin", fin(0.0)), ("fin askew", fin(27.0))];
    for (name, plan) in &plans {
        for (mode, friction) in
            [(Mode::Rubber, None), (Mode::Rubber, Some(0.3)), (Mode::Uniform, None)]
        {
            let told = on_net(plan, mode, friction);
            let mut looked_at = 0;
            for (at, contact) in told.sheet.positions.iter().zip(&told.sheet.contact) {
                if *contact == Contact::Clamp {
                    continue;
                }
                looked_at += 1;
                let [x, y, z] = at.map(f64::from);
                let over = z - height(&told.ground, Point::new(x, y));
                assert!(over >= -0.05, "{name} {mode:?} {friction:?}: {over} at {at:?}");
            }
            assert!(looked_at > (told.map.columns - 1) * (told.map.rows - 1), "split, too");
        }
        // The ground that is read has what stands on it.
        let told = on_net(plan, Mode::Rubber, None);
        let pose = plan.pulls[&PULL].placements.values().next().expect("a mold stands").pose;
        assert!(height(&told.ground, pose.at) > 5.0, "{name}");
    }
}

fn on_net(plan: &Plan, mode: Mode, friction: Option<f64>) -> Forecast {
    let settings = Settings { mode, mesh: Length::mm(4.0), friction, ..Settings::default() };
    forecast(plan, PULL, &settings, &mut ()).expect("a forecast")
}

/// Equally thick sheet has no folds, but it hangs over a narrow gap as rubber does: the span is told, and the picture has a cross
/// for it.
#[test]
fn equally_thick_sheet_tells_the_gap_that_it_spans_and_shows_it() {
    let near = |x: f64| (block(40.0, 40.0, 30.0), (80.0 + x, 60.0, 0.0));
    let plan = standing(160.0, 120.0, &[near(-28.0), near(28.0)]);
    let told = formed(&plan, Mode::Uniform, 4.0);
    let kinds: Vec<WebKind> = told.webs.iter().map(|web| web.kind).collect();
    assert_eq!(kinds, [WebKind::Span], "{:#?}", told.webs);
    assert!(told.web_index > 0.5, "16 mm of room for 30 mm of height: {}", told.web_index);
    let at = told.webs[0].at;
    let apart = standing(240.0, 120.0, &[near(-20.0), near(100.0)]);
    assert_eq!(formed(&apart, Mode::Uniform, 4.0).webs, []);

    let file = told.png();
    let mut reader = png::Decoder::new(Cursor::new(file)).read_info().expect("a PNG file");
    let mut dots = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut dots).expect("a picture");
    let bounds = told.map.bounds;
    let per_mm = f64::from(info.width) / bounds.width().to_mm();
    let dot = |right: f64, down: f64| {
        let column = (at.x - bounds.min.x) * per_mm + right;
        let row = (bounds.max.y - at.y) * per_mm + down;
        let whole =
            |at: f64| (0..info.width).rev().find(|dot| f64::from(*dot) <= at).expect("on it");
        let first = usize::try_from(3 * (whole(row) * info.width + whole(column))).expect("a dot");
        [dots[first], dots[first + 1], dots[first + 2]]
    };
    // Black arms with a white rim, and the map between them.
    for arm in -6_i32..=6 {
        let arm = f64::from(arm);
        assert_eq!((dot(arm, arm), dot(arm, -arm)), ([0; 3], [0; 3]), "{arm} along");
    }
    assert_eq!((dot(7.0, 5.0), dot(-5.0, 7.0)), ([255; 3], [255; 3]), "the rim");
    assert!(dot(7.0, 0.0) != [0; 3] && dot(0.0, 7.0) != [0; 3], "it is a cross and no blot");
}

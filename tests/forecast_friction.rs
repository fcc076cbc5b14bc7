//! Friction in the forecast: much of it is sticking, less shares the top's sheet with the wall, and none makes a pole thin.

mod formed;

use std::ops::ControlFlow;

use engine::drape::{DrapeError, Forecast, Mode, OverMold, Progress, Settings, forecast};
use engine::plan::{Footprint, Mold, Plan, Relief};
use engine::units::{Angle, Length};
use onepull_tests::assert_near;

use formed::{PULL, block, formed, standing};

fn slipping(plan: &Plan, mesh: f64, friction: Option<f64>) -> Forecast {
    let settings = Settings { mesh: Length::mm(mesh), friction, ..Settings::default() };
    let mut watch = |progress: &Progress| {
        assert_near!(progress.plastic, 1.0, 1e-3, "{friction:?} at {}", progress.share);
        ControlFlow::Continue(())
    };
    let told = forecast(plan, PULL, &settings, &mut watch).expect("a forecast");
    assert_near!(told.plastic, 1.0, 1e-3, "{friction:?}");
    told
}

/// A mold in the middle of a square opening.
fn alone(mold: &Mold) -> Plan {
    standing(160.0, 160.0, &[(mold.clone(), (80.0, 80.0, 0.0))])
}

fn round(relief: Relief) -> Mold {
    let footprint = Footprint::Circle { diameter: Length::mm(50.0) };
    Mold { relief, ..Mold::new("Limpet", footprint, Length::mm(25.0)) }
}

fn drafted() -> Mold {
    Mold { draft: Angle::degrees(15.0), ..block(50.0, 50.0, 25.0) }
}

fn over(told: &Forecast) -> OverMold {
    *told.molds.values().next().expect("a mold stands")
}

/// What is left of the gauge in the middle of the opening, which has an even number of squares.
fn middle(told: &Forecast) -> f64 {
    let (columns, rows) = (told.map.columns, told.map.rows);
    f64::from(told.sheet.thickness[rows / 2 * (columns + 1) + columns / 2])
}

#[test]
fn much_friction_is_sticking() {
    for mold in [block(50.0, 50.0, 25.0), drafted(), round(Relief::Dome)] {
        for mesh in [8.0, 4.0] {
            let plan = alone(&mold);
            let stick = over(&formed(&plan, Mode::Rubber, mesh));
            let much = over(&slipping(&plan, mesh, Some(100.0)));
            assert_near!(much.thinnest.ratio, stick.thinnest.ratio, 1e-3, "{mold:?} on {mesh}");
            assert_near!(much.mean, stick.mean, 1e-3, "{mold:?} on {mesh}");
        }
    }
}

/// Sheet that slips over a top edge brings the top's plastic to the wall and to the foot, where sticking sheet is thinnest.
#[test]
fn less_friction_thins_a_wide_top_and_never_the_thinnest_place_below_it() {
    for mold in [block(50.0, 50.0, 25.0), drafted()] {
        let plan = alone(&mold);
        let told = [None, Some(1.0), Some(0.3), Some(0.1), Some(0.0)]
            .map(|friction| slipping(&plan, 4.0, friction));
        let stick = over(&told[0]).thinnest.ratio;
        for pair in told.windows(2) {
            assert!(middle(&pair[1]) <= middle(&pair[0]) + 0.005, "{mold:?}");
            // A net of 4 mm tells thicknesses to a hundredth.
            assert!(over(&pair[1]).thinnest.ratio > stick - 0.01, "{mold:?}");
        }
        assert!(middle(&told[4]) < middle(&told[0]) - 0.1, "{mold:?}");
    }
}

/// Over a dome the pole is thinnest without friction; the more there is, the thicker the pole stays, and the thinnest place moves
/// down towards where the sheet comes off.
///
/// **Source:** stretching by a hemispherical punch, common to the texts on sheet forming, as S. P. Keeler and W. A. Backofen,
/// Transactions of the ASM 56, 1963 (from memory).
#[test]
fn without_friction_the_pole_of_a_dome_is_thinnest() {
    let plan = alone(&round(Relief::Dome));
    let told = [Some(0.0), Some(0.1), Some(0.3), None].map(|one| slipping(&plan, 4.0, one));
    let poles = told.each_ref().map(middle);
    assert!(poles.is_sorted_by(|less, more| *less < more - 0.02), "{poles:?}");
    let high = told.each_ref().map(|one| over(one).thinnest.height.to_mm());
    assert!(high[0] > 24.0 && high[3] < 5.0 && high.is_sorted_by(|a, b| a >= b), "{high:?}");
}

/// As `forecast_laws` asks of sheet that sticks.
#[test]
fn what_is_symmetric_slips_symmetrically() {
    let bars = [(block(40.0, 40.0, 25.0), (50.0, 70.0, 0.0)), (drafted(), (130.0, 70.0, 0.0))];
    let mirrored = [(drafted(), (50.0, 70.0, 0.0)), (block(40.0, 40.0, 25.0), (130.0, 70.0, 0.0))];
    for (mesh, friction) in [(4.0, 0.2), (3.0, 0.0)] {
        let [one, other] = [&bars, &mirrored].map(|molds| {
            let told = slipping(&standing(180.0, 140.0, molds), mesh, Some(friction));
            let columns = told.map.columns;
            let shown = told.sheet.thickness[..(columns + 1) * (told.map.rows + 1)].to_vec();
            (columns, shown)
        });
        for (row, twin) in one.1.chunks(one.0 + 1).zip(other.1.chunks(other.0 + 1)) {
            for (here, there) in row.iter().zip(twin.iter().rev()) {
                assert!((here - there).abs() <= 1e-6, "{here} and {there} on {mesh} mm");
            }
        }
    }
}

#[test]
fn friction_that_cannot_be_is_refused_in_words() {
    let plan = alone(&drafted());
    for friction in [-0.1, 100.5, f64::NAN, f64::INFINITY] {
        let settings = Settings { friction: Some(friction), ..Settings::default() };
        let refused = forecast(&plan, PULL, &settings, &mut ()).map(|_| ());
        assert!(matches!(refused, Err(DrapeError::Friction { .. })), "{friction}");
        let words = refused.expect_err("refused").to_string();
        assert!(words.contains("choose 0 to 100"), "{words}");
    }
}

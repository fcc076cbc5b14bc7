//! The stages of a forecast: a sheet that sags before it is drawn, and what a mold stands on.

mod formed;

use engine::drape::{Forecast, Mode, Settings, forecast};
use engine::plan::Mold;
use engine::units::Length;
use onepull_tests::assert_near;

use formed::{PULL, block, formed, standing};

fn sagging(height: f64, mode: Mode, sag: f64) -> Forecast {
    let plan = standing(160.0, 160.0, &[(block(50.0, 50.0, height), (80.0, 80.0, 0.0))]);
    let settings =
        Settings { mode, mesh: Length::mm(4.0), sag: Length::mm(sag), ..Settings::default() };
    forecast(&plan, PULL, &settings, &mut ()).expect("a forecast")
}

/// What is left of the gauge at the nodes over the top, but for its rim, on average.
fn top(told: &Forecast) -> f64 {
    let nodes = told.sheet.positions.iter().zip(&told.sheet.thickness);
    let middle = told.map.bounds.center();
    let on_top = nodes.filter(|([x, y, _], _)| {
        let aside = (f64::from(*x) - middle.x).abs();
        aside.max((f64::from(*y) - middle.y).abs()) < 20.0
    });
    let (mut sum, mut count) = (0.0, 0.0);
    for (_, ratio) in on_top {
        sum += f64::from(*ratio);
        count += 1.0;
    }
    sum / count
}

/// A sheet that sags has been stretched by its bowl before anything holds it. What hangs slack over a top lands there by its weight and
/// stays, so the top keeps what the bowl left it, and the thinnest place loses no more than that. A hundredth of a millimetre is no
/// sag at all.
#[test]
fn sag_takes_no_more_than_its_bowl_does() {
    for height in [25.0, 40.0] {
        let told = [0.0, 0.01, 10.0, 20.0].map(|sag| sagging(height, Mode::Rubber, sag));
        for one in &told {
            assert_near!(one.plastic, 1.0, 1e-3, "{height} mm high");
        }
        let tops = told.each_ref().map(top);
        let thinnest = told.each_ref().map(|one| one.thinnest.ratio);
        assert_near!(tops[0], 1.0, 1e-3, "{height} mm high");
        assert_near!(tops[1], 1.0, 1e-3, "{height} mm high");
        assert_near!(thinnest[1], thinnest[0], 0.005, "{height} mm high");
        // The bowl's surface over the opening's, at 20 mm over 160: a thirtieth more, and less than that in its middle.
        assert!(tops[3] < tops[2] && tops[2] < tops[0], "{height} mm high: {tops:?}");
        assert!(tops[3] > 1.0 / 1.033, "{height} mm high: {tops:?}");
        for sagged in [2, 3] {
            assert!(thinnest[sagged] > thinnest[0] / 1.033, "{height} mm high: {thinnest:?}");
        }
    }
}

/// A film has no shape of its own: pulled flat it forgets that it hung.
#[test]
fn a_film_forgets_that_it_sagged() {
    let told = [0.0, 10.0, 20.0].map(|sag| sagging(25.0, Mode::Uniform, sag));
    for one in &told {
        assert_near!(one.plastic, 1.0, 1e-3);
        assert_near!(top(one), top(&told[0]), 0.01);
        let [mean, flat] =
            [one, &told[0]].map(|told| told.molds.values().next().expect("a mold").mean);
        assert_near!(mean, flat, 0.015);
    }
}

#[test]
fn a_mold_on_a_spacer_forms_as_one_that_is_as_high_as_both() {
    let on_spacer = Mold { spacer: Length::mm(10.0), ..block(50.0, 50.0, 20.0) };
    for mode in [Mode::Rubber, Mode::Uniform] {
        let [on_spacer, whole] = [on_spacer.clone(), block(50.0, 50.0, 30.0)]
            .map(|mold| formed(&standing(160.0, 160.0, &[(mold, (80.0, 80.0, 0.0))]), mode, 4.0));
        assert_eq!(on_spacer.sheet.triangles, whole.sheet.triangles, "{mode:?}");
        assert_eq!(on_spacer.sheet.contact, whole.sheet.contact, "{mode:?}");
        let nodes = on_spacer.sheet.positions.iter().zip(&whole.sheet.positions);
        for (one, other) in nodes {
            let is_same = one.iter().zip(other).all(|(a, b)| (a - b).abs() <= 1e-4);
            assert!(is_same, "{mode:?}: {one:?} and {other:?}");
        }
        let ratios = on_spacer.sheet.thickness.iter().zip(&whole.sheet.thickness);
        assert!(ratios.into_iter().all(|(one, other)| (one - other).abs() <= 1e-6), "{mode:?}");
        // It is the spacer that does it.
        let low = standing(160.0, 160.0, &[(block(50.0, 50.0, 20.0), (80.0, 80.0, 0.0))]);
        assert!(formed(&low, mode, 4.0).thinnest.ratio > whole.thinnest.ratio + 0.01, "{mode:?}");
    }
}

//! Unit tests of photographs: what is refused and told; accuracy is tested on rendered pictures in the test crate.

use super::*;
use crate::geometry::Point;
use crate::units::Length;

/// A grey picture with a light rectangle and a dark disc on it.
fn drawn(width: u32, height: u32, paper: [f64; 4], disc: Option<(f64, f64, f64)>) -> Vec<u8> {
    let mut rgba = Vec::new();
    for index in 0..width * height {
        let (x, y) = (f64::from(index % width) + 0.5, f64::from(index / width) + 0.5);
        let is_paper = paper[0] <= x && x <= paper[2] && paper[1] <= y && y <= paper[3];
        let is_disc =
            disc.is_some_and(|(cx, cy, r)| (x - cx) * (x - cx) + (y - cy) * (y - cy) < r * r);
        let value = if is_disc {
            60
        } else if is_paper {
            220
        } else {
            80
        };
        rgba.extend([value, value, value, 255]);
    }
    rgba
}

#[test]
fn a_disc_on_straight_paper_is_traced() {
    let rgba = drawn(800, 1000, [100.0, 80.0, 730.0, 971.0], Some((400.0, 500.0, 150.0)));
    let picture = Picture::new(800, 1000, &rgba).expect("a picture");
    let found = find_paper(&picture).expect("paper");
    for (corner, (x, y)) in
        found.corners.iter().zip([(100.0, 80.0), (730.0, 80.0), (730.0, 971.0), (100.0, 971.0)])
    {
        assert!(corner.distance(Point::new(x, y)) < 0.6, "{found:?}");
    }
    let traced =
        trace(&picture, Paper::A4, found.corners, &TraceSettings::default()).expect("traces");
    let [outline] = &traced.outlines[..] else { panic!("{traced:?}") };
    let exact = std::f64::consts::PI * 50.0 * 50.0;
    assert!((outline.region.area().to_mm2() / exact - 1.0).abs() < 0.005, "{outline:?}");
    assert_eq!(traced.problems, []);
}

#[test]
fn corners_set_by_hand_and_edges_that_stray_make_the_expected_error_larger() {
    let rgba = drawn(800, 1000, [100.0, 80.0, 730.0, 971.0], Some((400.0, 500.0, 150.0)));
    let picture = Picture::new(800, 1000, &rgba).expect("a picture");
    let corners = find_paper(&picture).expect("paper").corners;
    let error = |stray: Option<f64>| {
        let settings = TraceSettings { stray, ..TraceSettings::default() };
        trace(&picture, Paper::A4, corners, &settings).expect("traces").expected_error.to_mm()
    };
    // Three pixels to the millimetre: half a pixel and what simplifying takes; one pixel of stray more; two of hand.
    assert!((error(Some(0.0)) - (0.5 / 3.0 + 0.1)).abs() < 0.01, "{}", error(Some(0.0)));
    assert!((error(Some(1.0)) - error(Some(0.0)) - 1.0 / 3.0).abs() < 0.01);
    assert!((error(None) - error(Some(0.0)) - 2.0 / 3.0).abs() < 0.02, "{}", error(None));
    assert!((error(Some(f64::NAN)) - error(None)).abs() < 1e-12);
}

#[test]
fn a_mask_takes_a_patch_for_paper_and_the_edge_of_the_paper_is_told() {
    let rgba = drawn(800, 1000, [100.0, 80.0, 730.0, 971.0], Some((400.0, 500.0, 150.0)));
    let picture = Picture::new(800, 1000, &rgba).expect("a picture");
    let corners = find_paper(&picture).expect("paper").corners;
    let half = crate::geometry::Ring::new(vec![
        Point::new(0.0, 0.0),
        Point::new(100.0, 0.0),
        Point::new(100.0, 297.0),
        Point::new(0.0, 297.0),
    ]);
    let settings = TraceSettings { masks: vec![half], ..TraceSettings::default() };
    let traced = trace(&picture, Paper::A4, corners, &settings).expect("traces");
    let area = traced.outlines[0].region.area().to_mm2();
    assert!((area - std::f64::consts::PI * 1250.0).abs() < 60.0, "{area}");
    let rgba = drawn(800, 1000, [100.0, 80.0, 730.0, 971.0], Some((150.0, 500.0, 100.0)));
    let picture = Picture::new(800, 1000, &rgba).expect("a picture");
    let traced = trace(&picture, Paper::A4, corners, &TraceSettings::default()).expect("traces");
    assert!(
        traced.problems.iter().any(|p| p.to_string().contains("edge of the paper")),
        "{traced:?}"
    );
}

#[test]
fn what_cannot_be_traced_is_refused_in_words() {
    assert!(Picture::new(10, 10, &[0; 400]).is_err());
    assert!(Picture::new(100, 100, &[0; 400]).is_err());
    assert!(Picture::new(u32::MAX, u32::MAX, &[]).is_err());
    let dark = vec![30; 4 * 200 * 200];
    let picture = Picture::new(200, 200, &dark).expect("a picture");
    assert_eq!(find_paper(&picture), Err(PaperError::NotFound));
    let line = [0.0, 1.0, 2.0, 3.0].map(|x| Point::new(x, x));
    let settings = TraceSettings::default();
    assert_eq!(trace(&picture, Paper::A4, line, &settings), Err(TraceError::Corners));
    let odd = [Point::new(f64::NAN, 0.0); 4];
    assert!(trace(&picture, Paper::Letter, odd, &settings).is_err());
    for corners in [
        [(0.0, 0.0), (1e300, 0.0), (1e300, 1e300), (0.0, 1e300)],
        [(0.0, 0.0), (200.0, 0.0), (0.0, 200.0), (200.0, 200.0)],
    ] {
        let corners = corners.map(|(x, y)| Point::new(x, y));
        // Whatever it says, it says it.
        let _ = trace(&picture, Paper::A4, corners, &settings);
    }
}

#[test]
fn noise_alone_gives_no_panic_and_no_endless_lines() {
    let mut state = 1_u32;
    let noise: Vec<u8> = (0..4 * 300 * 300)
        .map(|_| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            u8::try_from(state >> 24).expect("a byte")
        })
        .collect();
    let picture = Picture::new(300, 300, &noise).expect("a picture");
    let _ = find_paper(&picture);
    let corners =
        [(5.0, 5.0), (290.0, 10.0), (280.0, 290.0), (3.0, 280.0)].map(|(x, y)| Point::new(x, y));
    for threshold in [None, Some(0.0), Some(0.5), Some(f64::NAN), Some(9.0)] {
        let settings = TraceSettings { threshold, ..TraceSettings::default() };
        let _ = trace(&picture, Paper::A4, corners, &settings);
    }
}

#[test]
fn parallax_grows_with_height_and_reach() {
    let mm = Length::mm;
    assert_eq!(parallax(mm(0.0), mm(100.0), mm(600.0)), mm(0.0));
    assert!((parallax(mm(60.0), mm(90.0), mm(600.0)) - mm(10.0)).abs() < mm(1e-9));
    assert_eq!(parallax(mm(700.0), mm(90.0), mm(600.0)), mm(90.0));
}

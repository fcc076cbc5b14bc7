//! The picture of a forecast, read by a decoder that is not ours.

use engine::drape::{Settings, colour, forecast};
use engine::geometry::Point;
use engine::plan::{PullId, sample};
use engine::units::Length;

/// A decoder of another hand gets the map: about 1000 dots along its longer side, a scale below, and far from every
/// mold and line the scale's colour for what the engine says of that place.
pub(crate) fn check_picture(bytes: &[u8]) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("a PNG");
    let mut dots = vec![0; reader.output_buffer_size().expect("a size")];
    let frame = reader.next_frame(&mut dots).expect("dots");
    assert_eq!((frame.color_type, frame.bit_depth), (png::ColorType::Rgb, png::BitDepth::Eight));
    let opening = sample().machine.opening();
    let longer = opening.width().max(opening.depth());
    let wide = |length: Length| 1000.0 * (length / longer);
    let near = |dots: u32, wanted: f64| (f64::from(dots) - wanted).abs() <= 1.0;
    assert!(near(frame.width, wide(opening.width())), "{frame:?}");
    let depth = wide(opening.depth());
    assert!((10.0..100.0).contains(&(f64::from(frame.height) - depth)), "{frame:?}");
    let settings = Settings { mesh: Length::mm(10.0), ..Settings::default() };
    let told = forecast(&sample(), PullId(1), &settings, &mut ()).expect("a forecast");
    let dot = |column: u32, row: u32| {
        let at = usize::try_from(3 * (row * frame.width + column)).expect("small");
        [dots[at], dots[at + 1], dots[at + 2]]
    };
    // A corner of the opening, where the sheet at the clamp keeps most of its gauge.
    let far = Point::new(opening.min.x + 4.0, opening.max.y - 4.0);
    let (column, row) = (wide(Length::mm(4.0)), wide(Length::mm(4.0)));
    let (own, reading) = (dot(whole(column), whole(row)), told.map.at(far).expect("there"));
    let off = |wanted: [u8; 3], own: [u8; 3]| {
        wanted.iter().zip(own).map(|(a, b)| a.abs_diff(b)).max().expect("three")
    };
    assert!(off(colour(reading.ratio), own) <= 12, "{own:?} for {reading:?}");
    // The scale: halfway between the lines at 0.8 and the whole gauge.
    let below = f64::midpoint(depth, f64::from(frame.height));
    let scale = dot(whole(0.9 * f64::from(frame.width)), whole(below));
    assert!(off(colour(0.9), scale) <= 2, "{scale:?}");
    assert!(off(colour(0.9), colour(0.2)) > 50, "or every dot would do");
}

/// Which dot a place along a side is.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within a picture")]
fn whole(at: f64) -> u32 {
    at.round() as u32
}

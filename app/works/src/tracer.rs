//! Finds the paper in photographs and traces what lies on it.

use std::f64::consts::TAU;

use engine::geometry::{Point, Ring, Vec2, convex_hull};
use engine::intake::photo::{
    self, Card, FoundCard, Paper, PaperCorners, Picture, TraceSettings, find_card, find_paper,
    paper_size, straighten, trace,
};
use engine::intake::{Place, Problem};
use engine::units::Angle;

use super::Answer;
use super::foreign::{Corners, FindPaper, PaperFound, PhotoPaper, PhotoTraced, Stroke, TracePhoto};
use super::shapes::{Picture as Told, sentence, shapes};

/// Pixels to a millimetre of the paper as it is shown: fine enough to see where an edge runs.
const PER_MM: f64 = 3.0;

/// Pieces of all strokes together that are masked, each of which costs some of the tracing.
const MOST_PIECES: usize = 300;

/// The card that a paper is or, for a plain sheet, the one of its size.
pub(super) const fn card_of(paper: PhotoPaper) -> Card {
    match paper {
        PhotoPaper::A4 | PhotoPaper::CardA4 => Card::A4,
        PhotoPaper::Letter | PhotoPaper::CardLetter => Card::Letter,
    }
}

/// What is traced on, and what of it is no mold: the marks of a card.
fn sheet(paper: PhotoPaper, corners: PaperCorners) -> (Paper, Vec<Ring>) {
    match paper {
        PhotoPaper::A4 => (Paper::A4, Vec::new()),
        PhotoPaper::Letter => (Paper::Letter, Vec::new()),
        PhotoPaper::CardA4 | PhotoPaper::CardLetter => {
            let card = FoundCard { card: card_of(paper), corners, stray: 0.0 };
            (card.paper(), card.masks())
        }
    }
}

/// Finds the marks of a card, or else the corners of a sheet.
pub(super) fn find(ask: FindPaper, bytes: &[u8]) -> Result<Answer, String> {
    let picture = Picture::new(ask.width, ask.height, bytes).map_err(|error| error.to_string())?;
    if let Ok(FoundCard { card, corners, stray }) = find_card(&picture) {
        let card = match card {
            Card::A4 => PhotoPaper::CardA4,
            Card::Letter => PhotoPaper::CardLetter,
        };
        return Ok(found(corners, Some(card), stray));
    }
    let sheet = find_paper(&picture).map_err(|error| error.to_string())?;
    Ok(found(sheet.corners, None, sheet.stray))
}

fn found(corners: PaperCorners, card: Option<PhotoPaper>, stray: f64) -> Answer {
    let corners = corners.map(|corner| [corner.x, corner.y]);
    Answer::PaperFound(PaperFound { corners, card, stray })
}

/// Traces what lies on the paper; `tell` hears of progress.
pub(super) fn traced(
    ask: &TracePhoto,
    bytes: &[u8],
    tell: &mut dyn FnMut(Answer),
) -> Result<Answer, String> {
    let picture = Picture::new(ask.width, ask.height, bytes).map_err(|error| error.to_string())?;
    let corners = places(ask.corners);
    let (paper, mut masks) = sheet(ask.paper, corners);
    let straight = ask.has_picture.then(|| straighten(&picture, paper, corners, PER_MM)).flatten();
    tell(Answer::Progress { done: 1, of: 2 });
    masks.extend(pieces(&ask.strokes));
    let settings = TraceSettings { threshold: ask.threshold, masks, stray: ask.stray };
    let traced = trace(&picture, paper, corners, &settings).map_err(|error| error.to_string())?;
    let (width, depth) = paper_size(paper, corners).ok_or("the corners make no picture")?;
    let camera = traced.camera;
    Ok(Answer::PhotoTraced(Box::new(PhotoTraced {
        shapes: shapes(&traced.outlines, Told::Traced).0,
        paper: [width.to_mm(), depth.to_mm()],
        picture: straight.as_ref().map(|straight| [straight.width, straight.height]),
        threshold: traced.threshold,
        error: traced.expected_error.to_mm(),
        simplified: traced.simplified.to_mm(),
        camera: [camera.height.0.to_mm(), camera.height.1.to_mm()],
        below: [camera.below.x, camera.below.y],
        problems: traced.problems.iter().map(told).collect(),
        pixels: straight.map(|straight: photo::Straight| straight.rgba).unwrap_or_default(),
    })))
}

/// A problem as a sentence; what is about the whole picture needs no place.
fn told(problem: &Problem) -> String {
    match problem.at {
        Place::File => sentence(&problem.trouble.to_string()),
        _ => sentence(&problem.to_string()),
    }
}

fn places(corners: Corners) -> PaperCorners {
    corners.map(|[x, y]| Point::new(x, y))
}

/// The strokes as outlines, one for each straight piece.
fn pieces(strokes: &[Stroke]) -> Vec<Ring> {
    let pieces = strokes.iter().flat_map(|stroke| {
        let ends =
            stroke.places.iter().zip(stroke.places.iter().skip(1).chain(stroke.places.last()));
        ends.map(|(from, to)| piece(*from, *to, stroke.radius))
    });
    pieces.take(MOST_PIECES).collect()
}

/// What a round brush covers on its way from one place to another.
fn piece(from: [f64; 2], to: [f64; 2], radius: f64) -> Ring {
    let round = |[x, y]: [f64; 2]| {
        (0..16).map(move |step| {
            Point::new(x, y) + Vec2::unit(Angle::radians(TAU * f64::from(step) / 16.0)) * radius
        })
    };
    convex_hull(round(from).chain(round(to)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sheet that fills most of the picture, seen straight from above at 4 pixels to the millimetre, a dark disc of
    /// 60 mm in its middle and a darker one of 20 mm beside it.
    fn photograph() -> (u32, u32, Vec<u8>) {
        let (width, height) = (940, 1288);
        let mut rgba = Vec::new();
        for y in 0..height {
            for x in 0..width {
                let at = ((f64::from(x) - 50.0) / 4.0, (f64::from(y) - 50.0) / 4.0);
                let is_paper = (0.0..210.0).contains(&at.0) && (0.0..297.0).contains(&at.1);
                let far = |x: f64, y: f64| {
                    let (dx, dy) = (at.0 - x, at.1 - y);
                    (dx * dx + dy * dy).sqrt()
                };
                let is_mold = far(105.0, 148.5) < 30.0 || far(180.0, 40.0) < 10.0;
                let value = if is_mold {
                    60
                } else if is_paper {
                    230
                } else {
                    90
                };
                rgba.extend([value, value, value, 255]);
            }
        }
        (width, height, rgba)
    }

    fn ask(width: u32, height: u32, corners: Corners) -> TracePhoto {
        TracePhoto {
            width,
            height,
            paper: PhotoPaper::A4,
            corners,
            stray: Some(0.1),
            threshold: None,
            strokes: Vec::new(),
            has_picture: true,
        }
    }

    fn trace_of(ask: &TracePhoto, rgba: &[u8]) -> PhotoTraced {
        match traced(ask, rgba, &mut |_| {}).expect("traces") {
            Answer::PhotoTraced(traced) => *traced,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_photograph_is_traced_shown_straight_and_painted_out() {
        let (width, height, rgba) = photograph();
        let found = find(FindPaper { width, height }, &rgba);
        let Ok(Answer::PaperFound(PaperFound { corners, card: None, stray })) = found else {
            panic!("{found:?}")
        };
        for (corner, true_one) in
            corners.iter().zip([[50.0, 50.0], [890.0, 50.0], [890.0, 1238.0], [50.0, 1238.0]])
        {
            let off = (corner[0] - true_one[0]).abs().max((corner[1] - true_one[1]).abs());
            assert!(off < 1.0, "{corner:?} is not {true_one:?}");
        }
        assert!(stray < 0.5, "{stray} pixels");
        let whole = trace_of(&ask(width, height, corners), &rgba);
        let by_hand = TracePhoto { stray: None, ..ask(width, height, corners) };
        assert!(trace_of(&by_hand, &rgba).error > whole.error + 0.3, "{}", whole.error);
        assert!((whole.simplified - 0.1).abs() < 1e-12);
        assert_eq!(whole.picture, Some([630, 891]));
        assert_eq!(whole.pixels.len(), 4 * 630 * 891);
        assert_eq!(whole.shapes.len(), 2);
        assert!((whole.shapes[0].width - 60.0).abs() < 0.5, "{}", whole.shapes[0].width);
        // The small disc lies at 180 mm from the left and 257 mm from the lower edge.
        let stroke = Stroke { places: vec![[170.0, 257.0], [190.0, 257.0]], radius: 14.0 };
        let painted =
            TracePhoto { strokes: vec![stroke], has_picture: false, ..ask(width, height, corners) };
        let painted = trace_of(&painted, &rgba);
        assert_eq!((painted.shapes.len(), painted.picture, painted.pixels.len()), (1, None, 0));
    }

    #[test]
    fn pixels_that_are_no_picture_are_refused_in_words() {
        let refused = find(FindPaper { width: 4000, height: 3000 }, &[0; 16]);
        assert!(refused.expect_err("too few bytes").contains("16 bytes"));
        let dark = vec![20; 4 * 100 * 100];
        assert!(find(FindPaper { width: 100, height: 100 }, &dark).is_err());
        let corners = [[10.0, 10.0], [20.0, 20.0], [30.0, 30.0], [40.0, 40.0]];
        let refused = traced(&ask(100, 100, corners), &dark, &mut |_| {});
        assert!(refused.expect_err("no quadrilateral").contains("corners"));
    }

    #[test]
    fn a_stroke_covers_its_way_and_a_dab_its_round() {
        let stroke = Stroke { places: vec![[0.0, 0.0], [10.0, 0.0]], radius: 2.0 };
        let masks = pieces(&[stroke]);
        assert_eq!(masks.len(), 2);
        let bounds = masks[0].bounds().expect("corners");
        assert!((bounds.width().to_mm() - 14.0).abs() < 1e-9);
        assert!((bounds.depth().to_mm() - 4.0).abs() < 1e-9);
        let dab = pieces(&[Stroke { places: vec![[5.0, 5.0]], radius: 3.0 }]);
        assert!((dab[0].bounds().expect("corners").width().to_mm() - 6.0).abs() < 1e-9);
    }
}

//! Photographs for the verb `import`, and the card that they are best taken on.

use std::io::Cursor;
use std::path::Path;

use engine::export::pdf;
use engine::geometry::Point;
use engine::intake::photo::{
    Card, Paper, PaperCorners, Picture, TraceSettings, Traced, find_card, find_paper,
    parallax_warning, trace,
};
use engine::template::photo_card;
use engine::units::Length;
use serde_json::{Value, json};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::intake::{outline_json, problem_json};
use super::{Done, Given, UNUSABLE, json_lines, name_of, written};
use engine::plan::{Machine, Plan};

/// Pixels along a side at most; the engine takes fewer in all.
const MOST_SIDE: usize = 16_384;

/// A decoded picture.
struct Pixels {
    width: u32,
    height: u32,
    rgba: Vec<u8>,
}

/// How the scale of a picture is known.
struct Sheet {
    name: &'static str,
    paper: Paper,
    corners: PaperCorners,
    stray: Option<f64>,
    settings: TraceSettings,
}

/// True for the first bytes of a PNG or a JPEG file.
pub(super) fn is_picture(bytes: &[u8]) -> bool {
    is_png(bytes) || bytes.starts_with(&[0xff, 0xd8, 0xff])
}

fn is_png(bytes: &[u8]) -> bool {
    bytes.starts_with(b"\x89PNG\r\n\x1a\n")
}

/// Says what was traced in a photograph.
pub(super) fn traced(given: &Given, bytes: &[u8]) -> Result<Done, String> {
    let input = given.input();
    let wrong = |what: String| format!("{}: {what}", name_of(input));
    let pixels = if is_png(bytes) { from_png(bytes) } else { from_jpeg(bytes) }.map_err(wrong)?;
    let picture = Picture::new(pixels.width, pixels.height, &pixels.rgba);
    let picture = picture.map_err(|error| wrong(error.to_string()))?;
    let sheet = sheet(given, &picture)?;
    let settings = TraceSettings { stray: sheet.stray, ..sheet.settings.clone() };
    let traced = trace(&picture, sheet.paper, sheet.corners, &settings);
    let traced = traced.map_err(|error| wrong(error.to_string()))?;
    let height = given.option("height").map(millimetres).transpose()?;
    let output = traced_json(&sheet, &traced, height);
    let (n, n_problems) = (traced.outlines.len(), traced.problems.len());
    let message = format!("{}: {n} outlines, {n_problems} problems\n", name_of(input));
    Ok(Done { output: json_lines(&output), message, status: if n == 0 { UNUSABLE } else { 0 } })
}

fn traced_json(sheet: &Sheet, traced: &Traced, height: Option<Length>) -> Value {
    let plan = Plan::new("Plan", Machine::default());
    let warning = height.and_then(|height| parallax_warning(traced, height));
    json!({
        "kind": "photo",
        "sheet": sheet.name,
        "corners_px": sheet.corners.map(|p| [p.x, p.y]),
        "stray_px": sheet.stray,
        "threshold": traced.threshold,
        "expected_error_mm": traced.expected_error.to_mm(),
        "simplified_to_mm": traced.simplified.to_mm(),
        "camera_mm": [traced.camera.height.0.to_mm(), traced.camera.height.1.to_mm()],
        "parallax": warning.map(|warning| json!({
            "shift_mm": [warning.shift.0.to_mm(), warning.shift.1.to_mm()],
            "what": warning.to_string(),
        })),
        "outlines": traced.outlines.iter().map(|one| outline_json(one, &plan)).collect::<Vec<_>>(),
        "problems": traced.problems.iter().map(problem_json).collect::<Vec<_>>(),
    })
}

/// The sheet with corners that were given, or found: those of the card when nothing else is said and it is there.
fn sheet(given: &Given, picture: &Picture<'_>) -> Result<Sheet, String> {
    let (name, paper) = match given.option("paper") {
        Some("letter") => ("letter", Paper::Letter),
        Some("a4") | None => ("a4", Paper::A4),
        Some("card") => ("card", Paper::A4),
        Some(other) => return Err(format!("--paper {other}: choose a4, letter or card")),
    };
    let settings = TraceSettings::default();
    if let Some(text) = given.option("photo-corners") {
        if name == "card" {
            return Err("--photo-corners are those of paper: say --paper a4 or letter".to_owned());
        }
        return Ok(Sheet { name, paper, corners: corners(text)?, stray: None, settings });
    }
    if name == "card" || given.option("paper").is_none() {
        match find_card(picture) {
            Ok(found) => {
                return Ok(Sheet {
                    name: match found.card {
                        Card::A4 => "card-a4",
                        Card::Letter => "card-letter",
                    },
                    paper: found.paper(),
                    corners: found.corners,
                    stray: Some(found.stray),
                    settings: TraceSettings { masks: found.masks(), ..settings },
                });
            }
            Err(error) if name == "card" => return Err(error.to_string()),
            Err(_) => {}
        }
    }
    let found = find_paper(picture).map_err(|error| error.to_string())?;
    Ok(Sheet { name, paper, corners: found.corners, stray: Some(found.stray), settings })
}

/// Eight numbers: x and y of the corners at the top left, top right, bottom right and bottom left.
fn corners(text: &str) -> Result<PaperCorners, String> {
    let numbers: Option<Vec<f64>> = text
        .split(',')
        .map(|number| number.trim().parse().ok().filter(|n: &f64| n.is_finite()))
        .collect();
    match numbers.as_deref() {
        Some(&[a, b, c, d, e, f, g, h]) => {
            Ok([Point::new(a, b), Point::new(c, d), Point::new(e, f), Point::new(g, h)])
        }
        _ => Err(format!(
            "--photo-corners {text}: give eight numbers, x and y of four corners in pixels"
        )),
    }
}

fn millimetres(text: &str) -> Result<Length, String> {
    let number = text.parse().ok().filter(|mm: &f64| mm.is_finite() && *mm >= 0.0);
    number.map(Length::mm).ok_or_else(|| format!("--height {text}: give millimetres, 0 or more"))
}

fn from_png(bytes: &[u8]) -> Result<Pixels, String> {
    let mut decoder = png::Decoder::new(Cursor::new(bytes));
    decoder.set_transformations(
        png::Transformations::normalize_to_color8() | png::Transformations::ALPHA,
    );
    let mut reader = decoder.read_info().map_err(|error| error.to_string())?;
    let (width, height) = reader.info().size();
    if width.max(height) as usize > MOST_SIDE {
        return Err(format!("{width} x {height} pixels are more than are read"));
    }
    let size = reader.output_buffer_size().ok_or("it has more pixels than are read")?;
    let mut buffer = vec![0; size];
    let frame = reader.next_frame(&mut buffer).map_err(|error| error.to_string())?;
    buffer.truncate(frame.buffer_size());
    let rgba = match frame.color_type {
        png::ColorType::Rgba => buffer,
        png::ColorType::GrayscaleAlpha => buffer
            .as_chunks::<2>()
            .0
            .iter()
            .flat_map(|&[grey, alpha]| [grey, grey, grey, alpha])
            .collect(),
        other => return Err(format!("pixels of kind {other:?} are not read")),
    };
    Ok(Pixels { width, height, rgba })
}

fn from_jpeg(bytes: &[u8]) -> Result<Pixels, String> {
    let options = DecoderOptions::default()
        .set_max_width(MOST_SIDE)
        .set_max_height(MOST_SIDE)
        .jpeg_set_out_colorspace(ColorSpace::RGBA);
    let mut decoder = JpegDecoder::new_with_options(Cursor::new(bytes), options);
    let rgba = decoder.decode().map_err(|error| error.to_string())?;
    let (width, height) = decoder.dimensions().ok_or("it does not say its size")?;
    let side = |n: usize| u32::try_from(n).map_err(|error| error.to_string());
    Ok(Pixels { width: side(width)?, height: side(height)?, rgba })
}

/// Writes the card as a PDF.
pub(super) fn write_card(given: &Given) -> Result<Done, String> {
    let card = match given.option("paper").unwrap_or("letter") {
        "letter" => Card::Letter,
        "a4" => Card::A4,
        other => return Err(format!("--paper {other}: choose letter or a4")),
    };
    let out = given.option("pdf").ok_or("say --pdf OUT")?;
    let pages = [photo_card(card)];
    let (across, up) = card.apart();
    let output = json!({
        "marks_apart_mm": [across.to_mm(), up.to_mm()],
        "files": [written(Path::new(out), &pdf(&pages[0].name, &pages).bytes)?],
    });
    let message = "print at 100 %, and check the bar\n".to_owned();
    Ok(Done { output: json_lines(&output), message, status: 0 })
}

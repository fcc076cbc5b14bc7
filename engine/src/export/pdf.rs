//! Pages as PDF at true size.
//!
//! One transformation a page, 72/25.4, turns millimetres into points; everything after it is written in
//! millimetres. The font is Helvetica in `WinAnsi`, which every viewer supplies, so nothing is embedded.

use std::collections::{BTreeMap, BTreeSet};

use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::types::LineJoinStyle;
use pdf_writer::{
    Content, Filter, Finish as _, Name, Pdf as Writer, Rect as Box, Ref, Str, TextStr,
};

use super::ink::{Ink, ink};
use crate::drawing::{Anchor, Form, Mark, Role, lettering};
use crate::geometry::{Point, Rect, Ring};
use crate::template::{Layer, Page};
use crate::units::Length;

/// Points in a millimetre: 72 to the inch (ISO 32000-1, 8.3.2.3).
const POINTS: f64 = 72.0 / Length::MM_PER_INCH;
/// The name of the font on every page.
const FONT: Name<'static> = Name(b"H");
/// Of ten levels of compression; level 6 gains one part in a hundred here and takes twice as long.
const COMPRESSION: u8 = 4;

/// A PDF file and what it could not spell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pdf {
    /// The file.
    pub bytes: Vec<u8>,
    /// Every line in which a character outside `WinAnsi` was printed as `?`, as it was meant, in order.
    pub replaced: Vec<String>,
}

/// The pages as one PDF file called `title`.
///
/// The same pages give the same bytes: there is no date in the file, and its id comes from its content.
/// **Units**: page boxes and lengths are exact to the 32-bit numbers of the file, under 0.001 mm on a bench
/// and 0.0005 mm at five metres.
#[must_use]
pub fn pdf(title: &str, pages: &[Page]) -> Pdf {
    let mut writer = Writer::new();
    let mut refs = (1..).map(Ref::new);
    let mut next = || refs.next().unwrap_or(Ref::new(1));
    let (catalog, tree, info, font) = (next(), next(), next(), next());
    let mut replaced = BTreeSet::new();
    let mut id = Hash::default();
    let mut kids = Vec::new();
    for page in pages {
        let (page_ref, content_ref) = (next(), next());
        kids.push(page_ref);
        let content = content(page, &mut replaced);
        id.add(&content);
        let packed = compress_to_vec_zlib(&content, COMPRESSION);
        writer.stream(content_ref, &packed).filter(Filter::FlateDecode);
        let mut dict = writer.page(page_ref);
        dict.parent(tree).contents(content_ref);
        dict.media_box(Box::new(0.0, 0.0, points(page.width), points(page.height)));
        dict.resources().fonts().pair(FONT, font);
    }
    id.add(title.as_bytes());
    writer.pages(tree).kids(kids.iter().copied()).count(count(kids.len()));
    let mut root = writer.catalog(catalog);
    root.pages(tree);
    let mut preferences = root.viewer_preferences();
    preferences.display_doc_title(true);
    // Asks a viewer not to preselect fitting the page to the paper (ISO 32000-1, table 150).
    preferences.pair(Name(b"PrintScaling"), Name(b"None"));
    preferences.finish();
    root.finish();
    let title: String = title.chars().filter(|c| !c.is_control()).collect();
    writer.document_info(info).title(TextStr(&title));
    writer
        .type1_font(font)
        .base_font(Name(b"Helvetica"))
        .encoding_predefined(Name(b"WinAnsiEncoding"));
    writer.set_file_id((id.bytes(), id.bytes()));
    Pdf { bytes: writer.finish(), replaced: replaced.into_iter().collect() }
}

fn content(page: &Page, replaced: &mut BTreeSet<String>) -> Vec<u8> {
    let mut content = Content::new();
    content.transform([real_exact(POINTS), 0.0, 0.0, real_exact(POINTS), 0.0, 0.0]);
    content.set_line_join(LineJoinStyle::RoundJoin);
    for layer in &page.layers {
        add_layer(&mut content, layer, replaced);
    }
    content.finish().into_vec()
}

fn add_layer(content: &mut Content, layer: &Layer, replaced: &mut BTreeSet<String>) {
    content.save_state();
    if let Some(window) = layer.window {
        add_rect(content, window);
        content.clip_nonzero().end_path();
    }
    let mut by_role: BTreeMap<Role, Vec<&Mark>> = BTreeMap::new();
    for mark in &layer.marks {
        by_role.entry(mark.role).or_default().push(mark);
    }
    for (role, marks) in by_role {
        let ink = ink(role);
        content.save_state();
        set_ink(content, ink);
        for mark in marks {
            add_form(content, &mark.form, ink, replaced);
        }
        content.restore_state();
    }
    content.restore_state();
}

fn set_ink(content: &mut Content, ink: Ink) {
    if let Some(stroke) = ink.stroke {
        content.set_line_width(real(stroke.width));
        content.set_stroke_gray(real(stroke.grey));
        content.set_dash_pattern(stroke.dash.iter().map(|&d| real(d)), 0.0);
    }
    if let Some(grey) = ink.fill {
        content.set_fill_gray(real(grey));
    }
}

fn add_form(content: &mut Content, form: &Form, ink: Ink, replaced: &mut BTreeSet<String>) {
    match form {
        Form::Region(region) => {
            for ring in region.rings() {
                add_ring(content, ring);
            }
            match (ink.stroke, ink.fill) {
                (Some(_), Some(_)) => content.fill_nonzero_and_stroke(),
                (Some(_), None) => content.stroke(),
                (None, Some(_)) => content.fill_nonzero(),
                (None, None) => content.end_path(),
            };
        }
        Form::Line(a, b) => {
            add_run(content, &[*a, *b]);
            content.stroke();
        }
        Form::Polyline(points) => {
            add_run(content, points);
            content.stroke();
        }
        Form::Text { at, size, anchor, text } => {
            let font_size = lettering::font_size(*size);
            let wide = lettering::width(text, *size).to_mm();
            let left = match anchor {
                Anchor::Start => at.x,
                Anchor::Middle => at.x - wide / 2.0,
                Anchor::End => at.x - wide,
            };
            content.begin_text();
            content.set_font(FONT, real(font_size.to_mm()));
            content.next_line(real(left), real(at.y));
            content.show(Str(&spelled(text, replaced)));
            content.end_text();
        }
    }
}

fn add_rect(content: &mut Content, rect: Rect) {
    let (width, depth) = (rect.width().to_mm(), rect.depth().to_mm());
    content.rect(real(rect.min.x), real(rect.min.y), real(width), real(depth));
}

fn add_ring(content: &mut Content, ring: &Ring) {
    add_run(content, ring.points());
    if !ring.points().is_empty() {
        content.close_path();
    }
}

fn add_run(content: &mut Content, points: &[Point]) {
    for (n, p) in points.iter().enumerate() {
        if n == 0 {
            content.move_to(real(p.x), real(p.y));
        } else {
            content.line_to(real(p.x), real(p.y));
        }
    }
}

/// The text in `WinAnsi`, with `?` for what it lacks; such a text is noted.
fn spelled(text: &str, replaced: &mut BTreeSet<String>) -> Vec<u8> {
    if text.chars().any(|c| lettering::win_ansi(c).is_none()) {
        replaced.insert(text.to_owned());
    }
    text.chars().map(|c| lettering::win_ansi(c).unwrap_or(b'?')).collect()
}

fn points(length: Length) -> f32 {
    real_exact(length.to_mm() * POINTS)
}

/// A number for the file, to 0.001: finer than any printer, and shorter.
fn real(value: f64) -> f32 {
    real_exact(libm::round(value * 1000.0) / 1000.0)
}

fn real_exact(value: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "the numbers of a PDF are 32 bits wide")]
    let narrow = value as f32;
    narrow
}

fn count(n: usize) -> i32 {
    i32::try_from(n).unwrap_or(i32::MAX)
}

/// Two FNV-1a hashes from different beginnings, for a file id that only the content decides.
///
/// **Source**: Fowler, Noll and Vo, as in Eastlake et al., *The FNV Non-Cryptographic Hash Algorithm*, IETF draft.
#[derive(Debug)]
struct Hash([u64; 2]);

impl Default for Hash {
    fn default() -> Self {
        Self([0xcbf2_9ce4_8422_2325, 0x8422_2325_cbf2_9ce4])
    }
}

impl Hash {
    fn add(&mut self, bytes: &[u8]) {
        for state in &mut self.0 {
            for &byte in bytes {
                *state = (*state ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
            }
        }
    }

    fn bytes(&self) -> Vec<u8> {
        self.0.iter().flat_map(|state| state.to_be_bytes()).collect()
    }
}

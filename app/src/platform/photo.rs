//! Photographs: decoded by the browser, held as a canvas and as pixels, and drawn where they are looked at.

use js_sys::{Object, Reflect, Uint8Array};
use leptos::task::spawn_local;
use wasm_bindgen::{Clamped, JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, ImageBitmap, ImageData};

use super::files::PickedFile;
use super::helper::Bytes;

/// The largest file that is decoded: photographs of phones are a fifth of it.
const MOST_BYTES: f64 = 80e6;
/// The most pixels that are decoded; each costs four bytes of memory, and the browser needs them twice.
const MOST_DECODED: f64 = 110e6;
/// The most pixels that are traced; a larger picture is made smaller.
const MOST_TRACED: f64 = 24e6;
/// How much of a file is looked through for its size: thumbnails and colour profiles stand before it.
const HEAD: f64 = 1_048_576.0;
/// The longest side of a photograph as it is shown, in pixels.
const SHOWN: f64 = 1600.0;

/// A decoded photograph.
#[derive(Clone, Debug)]
pub(crate) struct Photo {
    canvas: HtmlCanvasElement,
    /// Four bytes a pixel, row by row from the top.
    pub(crate) pixels: Bytes,
    /// Pixels in a row.
    pub(crate) width: u32,
    /// How many rows.
    pub(crate) height: u32,
    /// How large it was when it was made smaller.
    pub(crate) shrunk_from: Option<(u32, u32)>,
}

/// Decodes a photograph; or says in a sentence why not.
pub(crate) fn open_photo(file: PickedFile, then: impl FnOnce(Result<Photo, String>) + 'static) {
    spawn_local(async move { then(decoded(&file).await) });
}

/// Says in a sentence when a picture is larger than what is decoded, as far as its head tells.
pub(super) async fn check_size(file: &PickedFile) -> Result<(), String> {
    file.within(MOST_BYTES)?;
    let name = file.name();
    let head = file.first(HEAD).await;
    let too_large = |(width, height): (u32, u32)| {
        let is_too_large = f64::from(width) * f64::from(height) > MOST_DECODED;
        is_too_large.then(|| {
            format!("{name} has {width} x {height} pixels, more than this page can open: save it smaller.")
        })
    };
    picture_size(&head).and_then(too_large).map_or(Ok(()), Err)
}

async fn decoded(file: &PickedFile) -> Result<Photo, String> {
    check_size(file).await?;
    let name = file.name();
    let unread =
        || format!("{name} is no picture that this browser can open: use a PNG or a JPEG.");
    let window = web_sys::window().ok_or_else(unread)?;
    let promise = window.create_image_bitmap_with_blob(file.file()).map_err(|_| unread())?;
    let bitmap = JsFuture::from(promise).await.map_err(|_| unread())?;
    let bitmap: ImageBitmap = bitmap.dyn_into().map_err(|_| unread())?;
    let photo = drawn(&bitmap);
    bitmap.close();
    photo.ok_or_else(|| format!("{name} is too large for this browser's memory: save it smaller."))
}

/// The picture on a canvas of its own, smaller when it has too many pixels.
fn drawn(bitmap: &ImageBitmap) -> Option<Photo> {
    let whole = (bitmap.width(), bitmap.height());
    let pixels = f64::from(whole.0) * f64::from(whole.1);
    let share = (MOST_TRACED / pixels.max(1.0)).sqrt().min(1.0);
    let (width, height) = (scaled(whole.0, share), scaled(whole.1, share));
    let canvas = new_canvas(width, height)?;
    let context = context_of(&canvas)?;
    context
        .draw_image_with_image_bitmap_and_dw_and_dh(
            bitmap,
            0.0,
            0.0,
            f64::from(width),
            f64::from(height),
        )
        .ok()?;
    let data = context.get_image_data(0.0, 0.0, f64::from(width), f64::from(height)).ok()?;
    // The bytes of the picture's own buffer, without taking a copy through the module's memory.
    let clamped = Reflect::get(&data, &"data".into()).ok()?;
    let buffer = Reflect::get(&clamped, &"buffer".into()).ok()?;
    let shrunk_from = (share < 1.0).then_some(whole);
    Some(Photo { canvas, pixels: Bytes(Uint8Array::new(&buffer)), width, height, shrunk_from })
}

fn new_canvas(width: u32, height: u32) -> Option<HtmlCanvasElement> {
    let canvas = web_sys::window()?.document()?.create_element("canvas").ok()?;
    let canvas: HtmlCanvasElement = canvas.dyn_into().ok()?;
    canvas.set_width(width);
    canvas.set_height(height);
    Some(canvas)
}

/// The pen of a canvas whose pixels stay in memory, where they are read.
fn context_of(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    let options = Object::new();
    Reflect::set(&options, &"willReadFrequently".into(), &JsValue::TRUE).ok()?;
    let context = canvas.get_context_with_context_options("2d", &options).ok()??;
    context.dyn_into().ok()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of a picture's side, at least one pixel"
)]
fn scaled(side: u32, share: f64) -> u32 {
    (f64::from(side) * share).max(1.0) as u32
}

impl Photo {
    /// Draws the whole of it on a canvas, as large as is looked at.
    pub(crate) fn show(&self, on: &HtmlCanvasElement) {
        let longest = f64::from(self.width.max(self.height));
        let share = (SHOWN / longest).min(1.0);
        let (width, height) = (scaled(self.width, share), scaled(self.height, share));
        on.set_width(width);
        on.set_height(height);
        self.draw(on, (0.0, 0.0, f64::from(self.width), f64::from(self.height)));
    }

    /// Draws what lies round a place, `across` pixels of the photograph wide.
    pub(crate) fn magnify(&self, on: &HtmlCanvasElement, (x, y): (f64, f64), across: f64) {
        self.draw(on, (x - across / 2.0, y - across / 2.0, across, across));
    }

    /// Draws a part over the whole of a canvas; what lies beyond the photograph stays bare.
    fn draw(&self, on: &HtmlCanvasElement, (x, y, width, height): (f64, f64, f64, f64)) {
        let Some(context) = context_of(on) else { return };
        let (across, down) = (f64::from(on.width()), f64::from(on.height()));
        context.clear_rect(0.0, 0.0, across, down);
        // Refused only for a picture without pixels, and then there is nothing to draw.
        let _ = context
            .draw_image_with_html_canvas_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
                &self.canvas,
                x,
                y,
                width,
                height,
                0.0,
                0.0,
                across,
                down,
            );
    }
}

/// Puts pixels on a canvas, which takes their size.
pub(crate) fn put_pixels(on: &HtmlCanvasElement, [width, height]: [u32; 2], pixels: &[u8]) {
    on.set_width(width);
    on.set_height(height);
    let data = ImageData::new_with_u8_clamped_array_and_sh(Clamped(pixels), width, height);
    if let (Some(context), Ok(data)) = (context_of(on), data) {
        // Refused only for a size that does not fit the bytes, and then nothing is drawn.
        let _ = context.put_image_data(&data, 0.0, 0.0);
    }
}

/// The width and the height that a PNG or a JPEG says it has; `None` for what is neither or does not say.
///
/// **Source:** W3C PNG (third edition), section 11.2.1; ITU-T T.81, annex B.2.2.
pub(crate) fn picture_size(head: &[u8]) -> Option<(u32, u32)> {
    if head.starts_with(b"\x89PNG\r\n\x1a\n") {
        let side = |at: usize| {
            let four = head.get(at..at + 4).and_then(|four| <[u8; 4]>::try_from(four).ok());
            four.map(u32::from_be_bytes)
        };
        return Some((side(16)?, side(20)?));
    }
    let mut rest = head.strip_prefix(b"\xff\xd8")?;
    loop {
        let (&[0xff, marker], after) = rest.split_first_chunk::<2>()? else { return None };
        if marker == 0xff {
            rest = &rest[1..];
            continue;
        }
        let length = usize::from(u16::from_be_bytes(*after.first_chunk::<2>()?));
        // Frames are SOF0 to SOF15 without the tables DHT, JPG and DAC.
        if matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc) {
            let side = |at: usize| {
                let two = after.get(at..at + 2).and_then(|two| <[u8; 2]>::try_from(two).ok());
                two.map(|two| u32::from(u16::from_be_bytes(two)))
            };
            return Some((side(5)?, side(3)?));
        }
        rest = after.get(length.max(2)..)?;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_size_of_a_picture_is_read_from_its_head() {
        let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
        png.extend([0, 0, 0x0f, 0xa0, 0, 0, 0x0b, 0xb8]);
        assert_eq!(picture_size(&png), Some((4000, 3000)));
        // SOI, an APP0 of 4 bytes, a fill byte, then a progressive frame of 3000 rows of 4000.
        let jpeg = [
            0xff, 0xd8, 0xff, 0xe0, 0, 4, 1, 2, 0xff, 0xff, 0xc2, 0, 17, 8, 0x0b, 0xb8, 0x0f, 0xa0,
        ];
        assert_eq!(picture_size(&jpeg), Some((4000, 3000)));
    }

    #[test]
    fn what_does_not_say_its_size_has_none() {
        for head in [
            &b""[..],
            b"GIF89a",
            b"\x89PNG\r\n\x1a\n",
            b"\xff\xd8",
            b"\xff\xd8\xff\xe0\xff\xff",
            b"\xff\xd8\x12\x34\x56",
        ] {
            assert_eq!(picture_size(head), None, "{head:?}");
        }
    }
}

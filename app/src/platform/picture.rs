//! Pixels as the address of a picture, for a drawing that shows pictures by their address.

use wasm_bindgen::JsCast;
use web_sys::HtmlCanvasElement;

use super::photo::put_pixels;

/// The address of a picture of these pixels, four bytes each from the top left; `None` where the browser makes none.
pub(crate) fn picture_address(size: [u32; 2], pixels: &[u8]) -> Option<String> {
    let document = web_sys::window()?.document()?;
    let canvas = document.create_element("canvas").ok()?.dyn_into::<HtmlCanvasElement>().ok()?;
    put_pixels(&canvas, size, pixels);
    canvas.to_data_url().ok()
}

//! What is done when the program itself fails: it cannot go on, so the page says so without it (`public/failure.js`).

use std::panic::{PanicHookInfo, set_hook};

use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::console;

#[wasm_bindgen(raw_module = "./failure.js")]
extern "C" {
    #[wasm_bindgen(js_name = showFailure)]
    fn show_failure();
}

/// Shows every failure of the program in the page and in the console.
///
/// After one, nothing of the program may be called again. What breaks off without a word of the program, such as a lack of
/// memory, `failure.js` sees by itself.
pub(crate) fn report_failures() {
    set_hook(Box::new(|failure: &PanicHookInfo<'_>| {
        console::error_1(&failure.to_string().into());
        show_failure();
    }));
}

//! What is shown when the program itself fails: the page cannot go on, and the plan is safe on the shelf.

use std::panic::{PanicHookInfo, set_hook};

use web_sys::console;

const WORDS: &str = "Onepull has failed and cannot go on. Your plan is saved in this browser up to the last \
                     change: reload the page to continue. If it fails again, what the browser's console says helps to mend it.";

/// Shows every failure of the program in the page and in the console.
///
/// After one, nothing of the program may be called again, so the words are put into the page without it.
pub(crate) fn report_failures() {
    set_hook(Box::new(|failure: &PanicHookInfo<'_>| {
        console::error_1(&failure.to_string().into());
        show();
    }));
}

fn show() -> Option<()> {
    let document = web_sys::window()?.document()?;
    let body = document.body()?;
    let words = document.create_element("p").ok()?;
    words.set_text_content(Some(WORDS));
    words.set_attribute("role", "alert").ok()?;
    words.set_attribute("class", "failure").ok()?;
    body.prepend_with_node_1(&words).ok()
}

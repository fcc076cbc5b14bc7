//! Explains a finding by a small drawing, on demand.

use crate::reactive::prelude::*;
use crate::widgets::Disclosure;

/// A button for what is called `title`, and the drawing that it unfolds.
///
/// The drawing is asked for only while it is in sight, so that a finding that nobody asks about costs a drag nothing.
pub(super) fn explain(
    title: Signal<String>,
    picture: impl Fn() -> String + Send + Sync + 'static,
) -> AnyView {
    let disclosure = Disclosure::new();
    let open = disclosure.open;
    let button = disclosure.button("Explain", title);
    view! {
        <div class="explain">
            {button}
            // Drawn by the engine; no word of it was written by a user.
            <div
                class="explained"
                id=disclosure.id
                hidden=move || !open.get()
                inner_html=move || if open.get() { picture() } else { String::new() }
            ></div>
        </div>
    }
    .into_any()
}

//! A dialog: the browser's own, so that focus stays inside it and Escape closes it.

use leptos::html;

use super::Show;
use super::ids;
use super::voice::{Spoken, use_voice};
use crate::platform::{close_dialog, open_dialog};
use crate::reactive::prelude::*;

/// A dialog that is open while `open` is true.
#[component]
pub(crate) fn Dialog(
    /// Its heading.
    #[prop(into)]
    title: Signal<String>,
    /// Whether it is open; set to false by Escape and by its own button.
    open: RwSignal<bool>,
    /// Whether it needs all the room there is, as for a picture.
    #[prop(optional)]
    is_wide: bool,
    /// What it shows.
    children: Children,
) -> impl IntoView {
    let node = NodeRef::<html::Dialog>::new();
    let heading = ids::fresh("dialog");
    Effect::new(move || match (node.get(), open.get()) {
        (Some(dialog), true) => open_dialog(&dialog),
        (Some(dialog), false) => close_dialog(&dialog),
        (None, _) => {}
    });
    let voice = use_voice();
    // What lies under a dialog is out of reach and is not read out, so the voice comes along.
    Effect::watch(move || open.get(), move |open, _, _| voice.speak_in_dialog(*open), false);
    view! {
        <dialog
            node_ref=node
            class=if is_wide { "dialog dialog-wide" } else { "dialog" }
            aria-labelledby=heading.clone()
            on:close=move |_| open.set(false)
        >
            <header class="dialog-head">
                <h2 id=heading.clone()>{title}</h2>
                <button type="button" class="button button-plain" on:click=move |_| open.set(false)>
                    "Close"
                </button>
            </header>
            <div class="dialog-body">{children()}</div>
            <Show when=move || open.get()>
                <Spoken voice/>
            </Show>
        </dialog>
    }
}

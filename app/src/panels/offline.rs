//! The part of the help that tells what works without a network, and keeps it.

use crate::platform::{Copied, ask_what_is_kept, focus, keep_whole};
use crate::reactive::prelude::*;
use crate::widgets::{Button, Show, use_voice};

/// What is told of the copy that the browser keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kept {
    Unknown,
    Now(Copied),
    Coming,
    /// The browser or the network did.
    Refused,
}

impl Kept {
    const fn words(self) -> &'static str {
        match self {
            Self::Unknown => "",
            Self::Now(Copied::Nothing) => {
                "Not kept yet. On a first visit that takes a moment; private windows, and pages not over https, may never be kept."
            }
            Self::Now(Copied::Part) => {
                "Not kept yet: what computes. Keep it now, or it comes with your first change."
            }
            Self::Now(Copied::All) => {
                "All of Onepull is kept in this browser: carry it into the workshop."
            }
            Self::Coming => "It is being loaded.",
            Self::Refused => {
                "It was not kept: the network did not bring it, or this browser keeps no page. Try it again over https."
            }
        }
    }
}

const STATE: &str = "offline-state";

/// What is kept for use without a network, with a button to keep the rest.
#[component]
pub(super) fn Offline(
    /// Whether the help is open: what is kept may have changed since.
    open: RwSignal<bool>,
) -> impl IntoView {
    let kept = RwSignal::new(Kept::Unknown);
    Effect::new(move || {
        if open.get() {
            ask_what_is_kept(move |copied| kept.set(Kept::Now(copied)));
        }
    });
    let voice = use_voice();
    let becomes = move |now: Kept| {
        kept.set(now);
        voice.say(now.words());
    };
    let keep = move |()| {
        becomes(Kept::Coming);
        keep_whole(move |is_whole| {
            becomes(if is_whole { Kept::Now(Copied::All) } else { Kept::Refused });
            // The button goes, and the keyboard would go with it.
            if is_whole {
                focus(STATE);
            }
        });
    };
    let can_ask = move || !matches!(kept.get(), Kept::Unknown | Kept::Now(Copied::All));
    view! {
        <section>
            <h3>"Without a network"</h3>
            <p>
                "Once the page has been open, the board, the rules and your plans work without a network. What computes "
                "(Arrange, the forecast, batches, reading files and printing) is loaded with your first change of a layout."
            </p>
            <p id=STATE tabindex="-1">{move || kept.get().words()}</p>
            <Show when=can_ask>
                <div class="row">
                    <Button
                        label="Keep it now"
                        press=keep
                        disabled=Signal::derive(move || kept.get() == Kept::Coming)
                    />
                </div>
            </Show>
        </section>
    }
}

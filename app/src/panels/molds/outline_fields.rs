//! An outline typed corner by corner, with what is wrong line by line, and drawn beside it.

use engine::geometry::Ring;
use engine::plan::{Footprint, Mold};
use engine::units::LengthStyle;
use leptos::ev::KeyboardEvent;

use super::form::Desired;
use super::outline_board::OutlineBoard;
use super::outline_edit::Rings;
use crate::reactive::prelude::*;
use crate::widgets::{OutlineText, read_outline, use_lengths, write_outline};

/// How many wrong lines are listed; the rest are counted.
const LISTED: usize = 5;

/// The typed and the drawn outline.
#[component]
pub(super) fn OutlineFields(
    /// The mold it belongs to.
    m: Desired,
) -> impl IntoView {
    let style = use_lengths();
    let rings = m.read(|m| rings_of(&m.footprint));
    let commit = m.write(|m: &mut Mold, rings| m.footprint = footprint_of(rings));
    let written = Signal::derive(move || {
        rings.with(|rings| {
            rings
                .split_first()
                .map_or_else(String::new, |(outer, holes)| write_outline(outer, holes, style.get()))
        })
    });
    let draft = RwSignal::new(None::<String>);
    let refused = RwSignal::new(None::<String>);
    let problems = memo(move |_| {
        let text = draft.get()?;
        read_outline(&text, style.get().unit()).err()
    });
    let finish = move || {
        // A list that is taken out of the page while it has the keyboard is left once more, with nothing behind it.
        let Some(text) = draft.try_get_untracked().flatten() else { return };
        if let Ok(OutlineText { outer, mut holes }) =
            read_outline(&text, style.get_untracked().unit())
        {
            holes.insert(0, outer);
            refused.set(commit.run(holes).err());
            if refused.with_untracked(Option::is_none) {
                draft.set(None);
            }
        }
    };
    let key = move |event: KeyboardEvent| match event.key().as_str() {
        "Escape" if draft.with_untracked(Option::is_some) => {
            event.stop_propagation();
            event.prevent_default();
            draft.set(None);
            refused.set(None);
        }
        "Enter" if event.ctrl_key() || event.meta_key() => finish(),
        _ => {}
    };
    let wrong = live(move || {
        let problems = problems.get().unwrap_or_default();
        let lines = listed(&problems).into_iter().chain(refused.get());
        lines.map(|line| view! { <li>{line}</li> }).collect_view()
    });
    let unit = Signal::derive(move || label(style.get()));
    view! {
        <div class="field field-wide">
            <label for="outline-text">{unit}</label>
            <textarea
                id="outline-text"
                rows="8"
                spellcheck="false"
                prop:value=move || draft.get().unwrap_or_else(|| written.get())
                aria-invalid=move || problems.with(Option::is_some).then_some("true")
                aria-describedby="outline-wrong outline-hint"
                on:input=move |event| draft.set(Some(event_target_value(&event)))
                on:blur=move |_| finish()
                on:keydown=key
            ></textarea>
            <ul class="field-error" id="outline-wrong">{wrong}</ul>
            <p class="field-hint" id="outline-hint">
                "x to the right, y away from you. An empty line begins a hole. Taken when you leave the list."
            </p>
        </div>
        <div class="field field-wide">
            <p class="label">"Or tap a side to add a corner, and drag corners"</p>
            <OutlineBoard rings commit/>
        </div>
    }
}

/// What the list of corners is called.
fn label(style: LengthStyle) -> String {
    let unit = style.unit().name();
    format!("Corners, one \"x, y\" a line, in {unit} unless you type another unit")
}

/// The first few problems in words, and how many more there are.
fn listed(problems: &[impl ToString]) -> Vec<String> {
    let more = problems.len().saturating_sub(LISTED);
    let rest = (more > 0).then(|| format!("And {more} more lines."));
    problems.iter().take(LISTED).map(ToString::to_string).chain(rest).collect()
}

/// The outlines of a footprint, the outer one first; none for the kinds that have measures instead.
fn rings_of(footprint: &Footprint) -> Rings {
    match footprint {
        Footprint::Outline { outer, holes } => {
            std::iter::once(outer).chain(holes).cloned().collect()
        }
        _ => Vec::new(),
    }
}

fn footprint_of(rings: Vec<Ring>) -> Footprint {
    let mut rings = rings.into_iter();
    Footprint::Outline { outer: rings.next().unwrap_or_default(), holes: rings.collect() }
}

//! The link, made on demand: copied, or shown as a QR code where it fits.

use std::fmt::Write as _;

use engine::file::{Qr, coarsened, keeps_back, qr};
use engine::plan::Plan;

use super::change::{say_done, say_refused};
use super::link::whole_link;
use super::shelf::save_file;
use crate::platform::copy_text;
use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::Button;

/// Some chat programs cut a link longer than this (experience, not a published limit).
const LONG: usize = 4_000;
/// Beyond this a file is the safer way (experience, not a published limit).
const TOO_LONG: usize = 8_000;
/// The white a reader needs round a QR code, in modules (ISO/IEC 18004).
const QUIET: usize = 4;

/// The link of the pull on the board.
#[component]
pub(crate) fn Share() -> impl IntoView {
    let store = use_store();
    let made = RwSignal::new(None::<Result<String, String>>);
    // A link is of the pull as it was; a change makes it stale, and a stale link must not be copied.
    Effect::new(move |before: Option<()>| {
        store.with(|session| (session.plan().clone(), session.pull));
        if before.is_some() {
            made.set(None);
        }
    });
    let shown = live(move || match made.get() {
        None => ().into_any(),
        Some(Ok(link)) => view! { <MadeLink link/> }.into_any(),
        Some(Err(words)) => view! { <p class="warning">{words}</p> }.into_any(),
    });
    let kept = live(move || {
        store.with(|session| keeps_back(session.plan())).then(|| {
            view! { <p class="panel-note">"Kits, cutting and offcuts are not in the link: send the plan as a file for those."</p> }
        })
    });
    view! {
        <h2>"Share this pull"</h2>
        <p class="panel-note">
            "The link holds the whole pull: whoever opens it sees it as it is now, and their own plans stay as they are. "
            "Nothing goes to a server. The link itself is the pull, so it stays in the history of browsers and wherever you paste it."
        </p>
        {kept}
        <div class="row">
            <Button label="Make the link" kind="main" press=move |()| made.set(Some(whole_link(store)))/>
        </div>
        {shown}
    }
}

#[component]
fn MadeLink(link: String) -> impl IntoView {
    let store = use_store();
    let length = link.chars().count();
    let copied = link.clone();
    let copy = move |()| {
        copy_text(copied.clone(), move |is_copied| {
            if is_copied {
                say_done(store, "The link is copied.");
            } else {
                say_refused(
                    store,
                    "The browser did not let the link be copied: select it and copy it by hand.",
                );
            }
        });
    };
    let coarse = store.peek(|session| coarse_words(session.plan()));
    let coarse = coarse.map(|words| view! { <p class="panel-note">{words}</p> });
    let code = qr(&link).map(|code| view! { <Code code/> });
    let no_code = code.is_none().then(|| {
        view! { <p class="panel-note">"Too long for a QR code that a phone reads off paper."</p> }
    });
    view! {
        <div class="field">
            <label for="share-link">"Link"</label>
            <textarea id="share-link" class="link-text" rows="4" readonly spellcheck="false" prop:value=link></textarea>
            <p class="field-hint">{format!("{length} characters")}</p>
        </div>
        <Length length/>
        {coarse}
        <div class="row">
            <Button label="Copy the link" kind="main" press=copy/>
        </div>
        {code}
        {no_code}
    }
}

/// Which molds a link carries less exactly than a file; nothing when it carries all as they are.
fn coarse_words(plan: &Plan) -> Option<String> {
    let names: Vec<&str> = coarsened(plan)
        .iter()
        .filter_map(|id| plan.molds.get(id))
        .map(|mold| mold.name.as_str())
        .collect();
    let words = || {
        format!(
            "The link carries the heights of {} on a coarser grid, so a forecast from it differs a little. A file carries them whole.",
            names.join(", ")
        )
    };
    (!names.is_empty()).then(words)
}

/// What a long link may run into.
#[component]
fn Length(length: usize) -> impl IntoView {
    let store = use_store();
    let words = match length {
        n if n > TOO_LONG => {
            "Too long for many chat and mail programs, which cut it. Send the plan as a file instead."
        }
        n if n > LONG => {
            "Long: some chat and mail programs cut links like this. Try it before you rely on it."
        }
        _ => return ().into_any(),
    };
    let file = (length > TOO_LONG)
        .then(|| view! { <Button label="Save as a file" press=move |()| save_file(store)/> });
    view! {
        <div class="warning">
            <p>{words}</p>
            {file}
        </div>
    }
    .into_any()
}

/// A QR code, black on white whatever the theme.
#[component]
fn Code(code: Qr) -> impl IntoView {
    let side = code.side() + 2 * QUIET;
    view! {
        <figure class="code">
            <svg viewBox=format!("0 0 {side} {side}") role="img" aria-label="QR code of the link" shape-rendering="crispEdges">
                <rect class="code-paper" width=side height=side/>
                <path class="code-ink" d=modules(&code)/>
            </svg>
            <figcaption>"Opens the same link"</figcaption>
        </figure>
    }
}

/// The dark modules as one path, each run of a row one rectangle.
fn modules(code: &Qr) -> String {
    let mut text = String::new();
    for row in 0..code.side() {
        let mut column = 0;
        while column < code.side() {
            let run = (column..code.side()).take_while(|&at| code.is_dark(at, row)).count();
            if run > 0 {
                // Writing to a string cannot fail.
                let _ = write!(text, "M{} {}h{run}v1h-{run}z", column + QUIET, row + QUIET);
            }
            column += run.max(1);
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use engine::edit::Edit;
    use engine::plan::{HeightGrid, Mold, Relief, sample};

    use super::*;

    #[test]
    fn molds_that_a_link_makes_coarser_are_named() {
        let plan = sample();
        assert_eq!(coarse_words(&plan), None);
        let (id, mold) = plan.molds.first_key_value().expect("a mold");
        let grid = HeightGrid::new(64, 64, mold.height, vec![100; 64 * 64]).expect("a grid");
        let relief = Relief::Heights(Arc::new(grid));
        let mold = Mold { relief, ..Mold::clone(mold) };
        let meshed = plan.apply(&Edit::ChangeMold(*id, Box::new(mold))).expect("a mold");
        let words = coarse_words(&meshed).expect("words");
        assert!(words.contains("heights of Limpet on a coarser grid"), "{words}");
    }

    #[test]
    fn the_path_covers_each_dark_module_once() {
        let code = qr("https://example.org/#1abc").expect("is short");
        let dark = (0..code.side())
            .flat_map(|row| (0..code.side()).map(move |column| (column, row)))
            .filter(|&(column, row)| code.is_dark(column, row))
            .count();
        let text = modules(&code);
        let runs = text
            .split('h')
            .skip(1)
            .filter_map(|part| part.split('v').next()?.parse::<usize>().ok());
        assert_eq!(runs.sum::<usize>(), dark);
        // The finder pattern begins in the corner of the quiet zone with seven dark modules.
        assert!(text.starts_with("M4 4h7v1h-7z"), "{}", &text[..20]);
    }
}

//! The shell of the page: its head, the board, and beside it the findings and the panels.

mod banner;
mod header;
mod opening;
mod search;
mod tour;

use leptos::ev::{DragEvent, MouseEvent};

use crate::board::Board;
use crate::jobs::provide_jobs;
use crate::keys::{self, Anywhere};
use crate::panels::{
    Comparing, FileDialog, Findings, Help, Panels, PhotoDialog, provide_arranger, provide_bench,
    provide_comparer, provide_desk, provide_forecaster, provide_heat, provide_intake,
    provide_keeper, provide_mold_keeper, provide_planner, take_files, use_desk,
};
use crate::platform::{
    apply_theme, chord_of, dropped_files, focus, is_typing, kept_theme, on_key, report_failures,
    welcome_file,
};
use crate::reactive::prelude::*;
use crate::state::{Store, Tone, use_store};
use crate::widgets::{Show, Spoken, provide_lengths, provide_voice, use_voice};
use banner::Banner;
use header::Header;
use opening::{Opening, first_opening, follow_links};
use search::Search;
use tour::{Tour, toured_part};

/// The whole page.
#[component]
pub(crate) fn Page() -> impl IntoView {
    report_failures();
    apply_theme(kept_theme());
    let Opening { session, known } = first_opening();
    let store = Store::new(session);
    provide_context(store);
    let keeper = provide_keeper(store, known);
    follow_links(store, keeper);
    provide_desk();
    provide_jobs();
    let voice = provide_voice();
    provide_arranger(store);
    provide_comparer(store);
    provide_forecaster(store);
    provide_lengths(Signal::derive(move || store.with(|s| s.plan().settings.lengths)));
    provide_mold_keeper(store);
    let bench = provide_bench(store);
    provide_heat(bench);
    provide_planner(store);
    let intake = provide_intake(store, keeper);
    let drop = move |event: DragEvent| {
        take_files(store, keeper, intake, dropped_files(&event));
    };
    hear_keys();
    view! {
        <div class="page" data-tour=toured_part() on:dragover=move |event| welcome_file(&event) on:drop=drop>
            <SkipLink/>
            <Header/>
            <Banner/>
            <main class="desk">
                <section class="board-place" id="board" tabindex="-1" aria-label="Board">
                    <Board><Notices/></Board>
                </section>
                <div class="column">
                    <Comparing/>
                    <Findings/>
                    <Panels/>
                </div>
            </main>
            <Show when=move || !voice.is_in_dialog()>
                <Spoken voice/>
            </Show>
            <Tour/>
            <Help/>
            <Search/>
            <FileDialog/>
            <PhotoDialog/>
        </div>
    }
}

/// Carries out the keys that count wherever the keyboard is.
fn hear_keys() {
    let (desk, voice) = (use_desk(), use_voice());
    on_key(move |event| {
        // What lies over the page has the keys to itself.
        if untrack(|| voice.is_in_dialog()) {
            return;
        }
        let is_typing = is_typing(&event);
        match keys::anywhere(&chord_of(&event), is_typing) {
            Some(Anywhere::Search) => desk.search.set(true),
            Some(Anywhere::Help) => desk.help.set(true),
            None if event.key() == "Escape" && !is_typing => return desk.tour.set(None),
            None => return,
        }
        event.prevent_default();
    });
}

/// Goes past the head of the page; by script, because a fragment in the address would be read as a link.
#[component]
fn SkipLink() -> impl IntoView {
    let skip = move |event: MouseEvent| {
        event.prevent_default();
        focus("board");
    };
    view! { <a class="skip" href="#board" on:click=skip>"Skip to the board"</a> }
}

/// The last thing said, shown and read out.
#[component]
fn Notices() -> impl IntoView {
    let store = use_store();
    let notice = memo(move |_| store.with(|session| session.notice.clone()));
    use_voice().follow(move || notice.get().map(|notice| notice.words).unwrap_or_default());
    let is_refused = Signal::derive(move || {
        notice.with(|n| n.as_ref().is_some_and(|n| n.tone == Tone::Refused))
    });
    let hush = move |_| {
        store.dispatch(crate::state::Action::Say(None));
        // The button that had the keyboard is gone.
        focus("board");
    };
    view! {
        <div class="notice" class:notice-refused=is_refused class:notice-none=move || notice.with(Option::is_none)>
            <p>{move || notice.get().map(|notice| notice.words)}</p>
            <button
                type="button"
                class="button button-quiet"
                hidden=move || notice.with(Option::is_none)
                on:click=hush
            >
                "Dismiss"
            </button>
        </div>
    }
}

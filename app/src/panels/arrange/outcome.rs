//! What came of the search: said, shown beside the layout before, and taken or put away.

use engine::edit::Edit;

use super::arranger::{ACCEPT, END, OUTCOME};
use super::use_arranger;
use crate::reactive::prelude::*;
use crate::widgets::{Button, Show};

/// The outcome of the last search, if there is one.
#[component]
pub(super) fn OutcomeView() -> impl IntoView {
    let arranger = use_arranger();
    let outcome = arranger.outcome;
    let is_there = memo(move |_| outcome.with(Option::is_some));
    let title = memo(move |_| {
        outcome.with(|outcome| outcome.as_ref().map(|one| one.title.clone())).unwrap_or_default()
    });
    let sentences = memo(move |_| {
        outcome
            .with(|outcome| outcome.as_ref().map(|one| one.sentences.clone()))
            .unwrap_or_default()
    });
    let has_offer = memo(move |_| {
        outcome.with(|outcome| outcome.as_ref().is_some_and(|one| one.offer.is_some()))
    });
    view! {
        <Show when=move || is_there.get()>
            <section class="sub outcome" id=END aria-labelledby=OUTCOME>
                <h3 id=OUTCOME tabindex="-1">{title}</h3>
                {move || sentences.get().into_iter().map(|s| view! { <p>{s}</p> }).collect_view()}
                <Show when=move || has_offer.get()>
                    <Offer/>
                </Show>
                <WaysOut/>
                <div class="row">
                    <Show when=move || !has_offer.get()>
                        <Button label="Close" press=move |()| arranger.discard()/>
                    </Show>
                    <Button label="Try another" press=move |()| arranger.another()/>
                </div>
            </section>
        </Show>
    }
}

/// The offered layout is on the board: compared, taken or put away.
#[component]
fn Offer() -> impl IntoView {
    let arranger = use_arranger();
    let is_before_shown = memo(move |_| {
        arranger.outcome.with(|outcome| outcome.as_ref().is_some_and(|one| one.is_before_shown))
    });
    view! {
        <p class="panel-note">
            {move || if is_before_shown.get() {
                "On the board: the layout before. Dotted: the offered one."
            } else {
                "On the board: the offered layout. Dotted: where the molds stood."
            }}
        </p>
        <div class="row">
            <Button label="Take this layout" kind="main" press=move |()| arranger.accept() id=ACCEPT/>
            <button
                type="button"
                class="button button-plain"
                aria-pressed=move || if is_before_shown.get() { "true" } else { "false" }
                on:click=move |_| arranger.compare(!is_before_shown.get_untracked())
            >
                "Show the layout before"
            </button>
            <Button label="Put it away" press=move |()| arranger.discard()/>
        </div>
    }
}

/// What would help when they do not all fit.
#[component]
fn WaysOut() -> impl IntoView {
    let arranger = use_arranger();
    let ways = memo(move |_| {
        arranger
            .outcome
            .with(|outcome| outcome.as_ref().map(|one| one.ways_out.clone()))
            .unwrap_or_default()
    });
    let offered = memo(move |_| {
        arranger.outcome.with(|outcome| outcome.as_ref().and_then(|one| one.offer.clone()))
    });
    let row = move |(words, edit): (String, Edit)| {
        let shown = edit.clone();
        let is_shown = memo(move |_| offered.with(|offer| offer.as_ref() == Some(&shown)));
        let spoken = format!("Show on the board: {words}");
        view! {
            <li class="way-out">
                <p>{words}</p>
                <Button
                    label=Signal::derive(move || {
                        let label = if is_shown.get() { "On the board" } else { "Show on the board" };
                        label.to_owned()
                    })
                    spoken=Signal::stored(spoken)
                    press=move |()| arranger.offer(edit.clone())
                    disabled=is_shown
                />
            </li>
        }
    };
    view! {
        <ul class="ways-out">
            {move || ways.get().into_iter().map(row).collect_view()}
        </ul>
    }
}

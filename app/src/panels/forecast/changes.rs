//! What would help: changes that were tried in the worker, each with before and after, to be taken with a press.

use works::Advised;

use super::advisor::{self, CHANGES, TRY};
use super::use_forecaster;
use crate::reactive::prelude::*;
use crate::widgets::{Button, Show, use_lengths};

/// The button that has changes tried, and those that help.
#[component]
pub(super) fn Changes() -> impl IntoView {
    let forecaster = use_forecaster();
    let advisor = forecaster.advisor;
    let is_stale = forecaster.is_stale();
    let is_running = memo(move |_| advisor.run.with(Option::is_some));
    let cannot =
        Signal::derive(move || is_running.get() || is_stale.get() || !forecaster.has_told());
    view! {
        <section class="sub" aria-labelledby="forecast-help">
            <h3 id="forecast-help">"What would help"</h3>
            <p class="panel-note">
                "Tries small changes of the layout one by one: molds half an inch apart or off the clamp, turned, swapped. \
                 Only changes that the rules allow. They are computed on a coarser net, so compare before with after, not with \
                 the map."
            </p>
            <Show when=move || is_running.get() fallback=move || view! {
                <div class="row">
                    <Button label="Try changes" press=move |()| forecaster.advise() disabled=cannot id=TRY/>
                </div>
            }>
                <Running/>
            </Show>
            <Helping/>
        </section>
    }
}

#[component]
fn Running() -> impl IntoView {
    let advisor = use_forecaster().advisor;
    let done =
        Signal::derive(move || advisor.run.with(|run| run.as_ref().map_or(0, |run| run.done)));
    view! {
        <div class="progress">
            <p>"Trying changes \u{2026}"</p>
            <progress max="100" value=done aria-label="How much of the trying is done"></progress>
            <div class="row">
                <Button label="Cancel" press=move |()| advisor.cancel()/>
            </div>
        </div>
    }
}

/// The changes that help, as long as they are about the layout on the board.
#[component]
fn Helping() -> impl IntoView {
    let forecaster = use_forecaster();
    let advisor = forecaster.advisor;
    let all = memo(move |_| {
        let tried = advisor.tried.get()?;
        let is_of_now = forecaster.is_about(&tried.about);
        is_of_now.then_some(tried.all)
    });
    move || {
        all.get().map(|all| {
            view! {
                <h4 id=CHANGES tabindex="-1">{advisor::count(all.len())}</h4>
                <ul class="ways-out">
                    {all.into_iter().map(|one| view! { <Change one/> }).collect_view()}
                </ul>
            }
        })
    }
}

#[component]
fn Change(one: Advised) -> impl IntoView {
    let forecaster = use_forecaster();
    let style = use_lengths();
    let figures = advisor::figures(&one);
    let spoken = format!("Take this change: {}", one.words);
    let words = one.words.clone();
    view! {
        <li class="way-out">
            <p>{words}</p>
            <p class="before-after">
                {move || {
                    let [before, after] = figures.map(|wall| style.get().show_gauge(wall));
                    format!("Thinnest wall {before} \u{2192} {after}")
                }}
            </p>
            <Button
                label="Take this change"
                spoken=Signal::stored(spoken)
                press=move |()| forecaster.advisor.take(&one)
            />
        </li>
    }
}

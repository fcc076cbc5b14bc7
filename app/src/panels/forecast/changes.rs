//! What would help: changes that were tried in the worker, each with before and after, to be taken with a press.

use engine::drape::Finding;
use works::Advised;

use super::advisor::{self, CHANGES, TRY};
use super::use_forecaster;
use crate::reactive::prelude::*;
use crate::widgets::{Button, Show};

/// The button that has changes of the layout tried, and those that help.
#[component]
pub(super) fn Changes() -> impl IntoView {
    view! {
        <section class="sub" aria-labelledby="forecast-help">
            <h3 id="forecast-help">"What would help"</h3>
            <p class="panel-note">
                "Tries small changes of the layout one by one: molds half an inch apart or off the clamp, turned, swapped. \
                 Only changes that the rules allow. They are computed on a coarser net, so compare before with after, not with \
                 the map."
            </p>
            <Trying of=None label="Try changes" spoken="Try changes".to_owned() id=TRY.to_owned()/>
        </section>
    }
}

/// The button that has changes tried for the layout or for one finding, how far that is, and what came of it.
#[component]
pub(super) fn Trying(
    /// The finding and its place in the list; none for the layout.
    of: Option<(usize, Finding)>,
    /// What the button is called.
    label: &'static str,
    /// What it is called where the label alone is not enough.
    spoken: String,
    /// What it is found by.
    id: String,
) -> impl IntoView {
    let forecaster = use_forecaster();
    let advisor = forecaster.advisor;
    let is_stale = forecaster.is_stale();
    let finding = StoredValue::new(of.as_ref().map(|(_, finding)| finding.clone()));
    let of = StoredValue::new(of);
    let is_own = move |tried: &Option<Finding>| finding.with_value(|own| own == tried);
    let is_running =
        memo(move |_| advisor.run.with(|run| run.as_ref().is_some_and(|run| is_own(&run.of))));
    let cannot = Signal::derive(move || {
        advisor.run.with(Option::is_some) || is_stale.get() || !forecaster.has_told()
    });
    let all = memo(move |_| {
        let tried = advisor.tried.get()?;
        let is_of_now = is_own(&tried.of) && forecaster.is_about(&tried.about);
        is_of_now.then_some(tried.all)
    });
    view! {
        <Show when=move || is_running.get() fallback=move || view! {
            <div class="row">
                <Button
                    label=label
                    spoken=Signal::stored(spoken.clone())
                    press=move |()| forecaster.advise(of.get_value())
                    disabled=cannot
                    id=id.clone()
                />
            </div>
        }>
            <Running/>
        </Show>
        {live(move || {
            all.get().map(|all| {
                view! {
                    <h4 id=CHANGES tabindex="-1">{advisor::count(all.len())}</h4>
                    <ul class="ways-out">
                        {all.into_iter().map(|one| view! { <Change one/> }).collect_view()}
                    </ul>
                }
            })
        })}
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

#[component]
fn Change(one: Advised) -> impl IntoView {
    let forecaster = use_forecaster();
    let spoken = format!("Take this change: {}", one.words);
    view! {
        <li class="way-out">
            <p>{one.words.clone()}</p>
            <p class="before-after">{one.figures.clone()}</p>
            <Button
                label="Take this change"
                spoken=Signal::stored(spoken)
                press=move |()| forecaster.advisor.take(&one)
            />
        </li>
    }
}

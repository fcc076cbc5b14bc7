//! The forecast's panel: how thin the sheet gets, what it warns of, what would help, a section and the sheet itself.

mod advisor;
mod changes;
mod choice;
mod forecaster;
mod habits;
mod molds;
mod orbit;
mod section;
mod solid;
mod told;
mod warnings;
mod words;

use engine::drape::Settings;
use engine::units::Length;

use changes::Changes;
use choice::{Net, sag_over};
pub(crate) use forecaster::{Forecaster, Probe, provide_forecaster, use_forecaster};
pub(crate) use molds::LeastWall;
use molds::{Molds, Wall};
use section::SectionView;
use solid::Solid;
pub(crate) use told::{Line, lines, pixels};
use warnings::Warnings;
use words::summary;
pub(crate) use words::{reading, short};

use crate::reactive::prelude::*;
use crate::widgets::{Button, Choice as List, LengthField, NumberField, Radios, Show, Toggle};

/// Everything about the forecast.
#[component]
pub(crate) fn Forecast() -> impl IntoView {
    let forecaster = use_forecaster();
    // Who opens the panel wants to see the map.
    forecaster.is_mapped.set(true);
    view! {
        <h2>"How the sheet will drape"</h2>
        <Standing/>
        <Wall/>
        <Warnings/>
        <Molds/>
        <Changes/>
        <SectionView/>
        <Solid/>
        <How/>
        <Limits/>
    }
}

/// Whether what is told is of the layout on the board, and how far the next forecast is.
#[component]
fn Standing() -> impl IntoView {
    let forecaster = use_forecaster();
    let is_stale = forecaster.is_stale();
    let words = memo(move |_| {
        if let Some(trouble) = forecaster.trouble.get() {
            return trouble;
        }
        match (forecaster.told(), is_stale.get()) {
            (None, _) => "No forecast yet.".to_owned(),
            (Some(_), true) => "Out of date: the layout was changed since.".to_owned(),
            (Some(told), false) if told.is_fine => {
                let mesh = told.forecast.mesh.to_mm();
                format!("Of the layout on the board, on a net of {mesh:.1} mm.")
            }
            (Some(_), false) => "A first glance; the fine forecast follows.".to_owned(),
        }
    });
    let summary = live(move || summary(forecaster));
    let is_running = memo(move |_| forecaster.progress().is_some());
    view! {
        <p class="forecast-summary">{summary}</p>
        <p class="forecast-standing" class:is-stale=is_stale>{move || words.get()}</p>
        <progress
            class="forecast-progress"
            class:is-idle=move || !is_running.get()
            max="100"
            value=move || forecaster.progress().unwrap_or_default()
            aria-label="How much of the forecast is computed"
        ></progress>
        <div class="row">
            <Toggle
                label="Runs by itself"
                on=forecaster.is_auto
                turn=move |on| forecaster.is_auto.set(on)
                id="forecast-auto"
            />
            <Show when=move || is_running.get() fallback=move || view! {
                <Button label="Forecast now" press=move |()| forecaster.begin()/>
            }>
                <Button label="Stop" press=move |()| forecaster.stop()/>
            </Show>
        </div>
    }
}

/// What the sheet is taken for, how it hangs and lands, and how fine its net is.
#[component]
fn How() -> impl IntoView {
    let forecaster = use_forecaster();
    let choice = forecaster.choice;
    let modes = vec![
        (
            false,
            "Rubber".to_owned(),
            "A skin that stretches where it is pulled and folds where it is pushed together: nearer to real sheet."
                .to_owned(),
        ),
        (
            true,
            "Equally thick".to_owned(),
            "What the formulas of textbooks assume: between two places where it has landed the sheet is equally thick. \
             It knows no folds, only gaps that the sheet spans."
                .to_owned(),
        ),
    ];
    let nets = Net::ALL.map(|net| (net, net.name().to_owned())).to_vec();
    let take = move |net| {
        choice.update(|choice| choice.net = net);
        Ok(())
    };
    let hang = move |sag: Length| {
        let taken = forecaster.store.peek(|session| sag_over(session.plan(), sag));
        let sag = taken.map_err(|most| {
            let most = untrack(|| forecaster.lengths()).show_exact(most);
            format!("Not changed: over this opening a sheet hangs from 0 to {most}, a quarter of its narrower side.")
        })?;
        choice.update(|choice| choice.sag = sag);
        Ok(())
    };
    view! {
        <section class="sub" aria-labelledby="forecast-how">
            <h3 id="forecast-how">"How it is computed"</h3>
            <Radios
                label="The hot sheet is taken for"
                options=modes
                value=Signal::derive(move || choice.get().is_uniform)
                choose=move |is_uniform| choice.update(|choice| choice.is_uniform = is_uniform)
            />
            <Landing/>
            <div class="fields">
                <LengthField
                    label="Sag before forming"
                    value=Signal::derive(move || choice.get().sag)
                    commit=hang
                    hint="Commonly 1/2 to 1 in over 12 in, for HIPS and ABS"
                    given=engine::defaults::Given::Sag
                />
                <List
                    label="Net of the sheet"
                    options=nets
                    value=Signal::derive(move || choice.get().net)
                    commit=take
                    hint="A finer net takes longer and shows smaller details"
                    given=engine::defaults::Given::Net
                />
            </div>
        </section>
    }
}

/// How rubber lands: it sticks, or slides by a friction.
#[component]
fn Landing() -> impl IntoView {
    let choice = use_forecaster().choice;
    let landings = vec![
        (
            false,
            "Sticks".to_owned(),
            "It stays where it first touches: nearest to a hot sheet, which chills on the mold.".to_owned(),
        ),
        (
            true,
            "Slides".to_owned(),
            "It is drawn along the mold where friction does not hold it, so less thins at the foot of a wall.".to_owned(),
        ),
    ];
    let rub = move |friction: f64| {
        let (least, most) = Settings::FRICTION;
        if !(least..=most).contains(&friction) {
            return Err(format!("Not changed: friction goes from {least} to {most}."));
        }
        choice.update(|choice| choice.friction = friction);
        Ok(())
    };
    let is_rubber = move || !choice.get().is_uniform;
    view! {
        <Show when=is_rubber>
            <Radios
                label="How the sheet lands"
                options=landings.clone()
                value=Signal::derive(move || choice.get().slides)
                choose=move |slides| choice.update(|choice| choice.slides = slides)
            />
        </Show>
        <Show when=move || is_rubber() && choice.get().slides>
            <div class="fields">
                <NumberField
                    label="Friction"
                    value=Signal::derive(move || choice.get().friction)
                    commit=rub
                    hint="0 slides freely; the larger, the sooner it holds"
                    given=engine::defaults::Given::Friction
                />
            </div>
        </Show>
    }
}

/// What the forecast does not know.
#[component]
fn Limits() -> impl IntoView {
    view! {
        <section class="sub" aria-labelledby="forecast-limits">
            <h3 id="forecast-limits">"What it does not know"</h3>
            <ul class="limits">
                <li>"It is a guide to rank layouts by, not a promise: the first pull of a layout is a test."</li>
                <li>"The sheet is equally hot everywhere. A cool corner or a hot middle changes where it thins."</li>
                <li>"Real sheet neither sticks at once nor slides alike everywhere: it slides more on a polished mold, and less as it chills."</li>
                <li>"Molds are heights over the platen: undercuts are not seen, and neither are vent holes."</li>
                <li>"No pre-stretch: flat, or hanging by the sag that you give, the sheet comes down over the molds, or the platen rises, which is the same; then the vacuum draws."</li>
            </ul>
        </section>
    }
}

//! The line under the drawing about the forecast: a switch, the scale, and the value at a place.

use engine::drape::colour;

use super::probe::Prober;
use crate::panels::{short, use_forecaster};
use crate::reactive::prelude::*;

/// Shares of the gauge that the scale has a field for.
const FIELDS: [f64; 5] = [0.2, 0.4, 0.6, 0.8, 1.0];

/// One line whatever it says, so that the drawing above it keeps its size.
#[component]
pub(super) fn ForecastBar(prober: Prober) -> impl IntoView {
    let forecaster = use_forecaster();
    let is_mapped = forecaster.is_mapped;
    let is_stale = forecaster.is_stale();
    let words = memo(move |_| {
        if is_stale.get() {
            return "Out of date".to_owned();
        }
        let of_place = if is_mapped.get() { prober.words() } else { None };
        of_place.unwrap_or_else(|| short(forecaster))
    });
    let busy = memo(move |_| forecaster.progress().is_some());
    let is_reading = move || forecaster.probe.with(|probe| probe.is_some_and(|p| p.is_kept));
    view! {
        <div class="forecast-bar" role="group" aria-label="Forecast" class:is-stale=is_stale>
            <button
                type="button"
                id="forecast-map"
                class="forecast-switch"
                aria-pressed=move || if is_mapped.get() { "true" } else { "false" }
                on:click=move |_| is_mapped.update(|is_mapped| *is_mapped = !*is_mapped)
            >
                "Thickness"
            </button>
            <button
                type="button"
                id="forecast-probe"
                class="forecast-switch"
                title="Arrow keys move the place that is read"
                aria-pressed=move || if is_reading() { "true" } else { "false" }
                on:click=move |_| prober.press()
                on:keydown=move |event| prober.key(&event)
            >
                "Read a place"
            </button>
            <Scale/>
            <p class="forecast-words" title=move || words.get()>{move || words.get()}</p>
            <span class="forecast-busy" class:is-idle=move || !busy.get() aria-hidden="true">
                {move || forecaster.progress().map(|done| format!("{done} %"))}
            </span>
        </div>
    }
}

/// The colours with the thickness that each stands for; nothing while the map is off.
#[component]
fn Scale() -> impl IntoView {
    let forecaster = use_forecaster();
    let fields = move || {
        let told = forecaster.is_mapped.get().then(|| forecaster.told()).flatten()?;
        let style = forecaster.lengths();
        let field = |ratio: f64| {
            let [red, green, blue] = colour(ratio - 0.1);
            let words = style.show_gauge(told.forecast.thickness(ratio));
            let figure = words.rsplit_once(' ').map_or(words.as_str(), |(figure, _)| figure);
            let class = if ratio < 0.5 { "scale-figure scale-on-dark" } else { "scale-figure" };
            let x = (ratio - FIELDS[0]) * 190.0;
            view! {
                <rect x=x y="0" width="38" height="20" fill=format!("rgb({red} {green} {blue})")/>
                <text class=class x=x + 35.0 y="14">{figure.to_owned()}</text>
            }
        };
        let fields = FIELDS.map(field).into_iter().collect_view();
        Some(view! {
            <svg class="scale" viewBox="0 0 190 20" role="img" aria-label="The scale: dark is thin, light is thick">
                {fields}
            </svg>
        })
    };
    view! { {fields} }
}

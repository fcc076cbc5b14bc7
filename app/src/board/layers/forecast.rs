//! The forecast over the board: thickness in colours, lines of equal thickness, and the place that is read.

use engine::geometry::Rect;

use super::super::state::BoardState;
use super::super::viewport::Viewport;
use crate::panels::{Forecaster, Line, lines, pixels, use_forecaster};
use crate::platform::picture_address;
use crate::reactive::prelude::*;

/// From one line of the hatching to the next, in pixels.
const HATCH_PX: f64 = 10.0;

/// What is shown while the map is on.
pub(super) fn is_shown(forecaster: Forecaster) -> bool {
    forecaster.is_mapped.get() && forecaster.has_told()
}

/// A picture of the thickness over the opening.
#[derive(Clone, Debug, PartialEq)]
struct Chart {
    address: String,
    bounds: Rect,
}

/// The thickness under the molds. It is drawn when a forecast has come and at no other time: while molds are moved it is
/// only marked.
#[component]
pub(in super::super) fn ForecastMap() -> impl IntoView {
    let forecaster = use_forecaster();
    let is_stale = forecaster.is_stale();
    let chart = memo(move |_| {
        let told = is_shown(forecaster).then(|| forecaster.told()).flatten()?;
        let (size, pixels) = pixels(&told.forecast);
        let address = picture_address(size, &pixels)?;
        Some(Chart { address, bounds: told.forecast.map.bounds })
    });
    let view = move || chart.get().as_ref().map(picture);
    view! {
        <g class="forecast" class:is-stale=is_stale aria-hidden="true">
            {view}
        </g>
    }
}

fn picture(chart: &Chart) -> impl IntoView + use<> {
    let Rect { min, max } = chart.bounds;
    let (width, depth) = (max.x - min.x, max.y - min.y);
    // The board's y runs away from the person, a picture's downwards.
    let flip = format!("matrix(1 0 0 -1 0 {})", min.y + max.y);
    view! {
        <image
            class="forecast-map"
            href=chart.address.clone()
            x=min.x
            y=min.y
            width=width
            height=depth
            preserveAspectRatio="none"
            transform=flip
        />
        <rect class="forecast-stale" x=min.x y=min.y width=width height=depth/>
    }
}

/// The hatching of a map that is out of date.
#[component]
pub(in super::super) fn StaleHatching(board: BoardState) -> impl IntoView {
    let scale = memo(move |_| board.view.with(Viewport::scale));
    view! {
        <pattern
            id="stale-hatch"
            patternUnits="userSpaceOnUse"
            width=HATCH_PX
            height=HATCH_PX
            patternTransform=move || format!("scale({}) rotate(-45)", 1.0 / scale.get())
        >
            <line class="stale-line" x1="0" y1="0" x2="0" y2=HATCH_PX/>
        </pattern>
    }
}

/// The lines of equal thickness of what is shown.
pub(in super::super) fn contour_lines() -> Memo<Vec<Line>> {
    let forecaster = use_forecaster();
    memo(move |_| {
        let told = is_shown(forecaster).then(|| forecaster.told()).flatten();
        told.map_or_else(Vec::new, |told| lines(&told.forecast))
    })
}

/// Lines of equal thickness; under the molds, whose names would be crossed out by them.
#[component]
pub(in super::super) fn ForecastLines(drawn: Memo<Vec<Line>>) -> impl IntoView {
    let is_stale = use_forecaster().is_stale();
    let data = memo(move |_| {
        drawn.with(|lines| lines.iter().map(|line| line.data.as_str()).collect::<String>())
    });
    view! {
        <g class="forecast-signs" class:is-stale=is_stale aria-hidden="true">
            <path class="forecast-line-under" d=data/>
            <path class="forecast-line" d=data/>
        </g>
    }
}

/// The place that is read.
#[component]
pub(super) fn ProbeMark() -> impl IntoView {
    let forecaster = use_forecaster();
    let at = memo(move |_| {
        let probe = forecaster.probe.get().filter(|probe| probe.is_kept)?;
        forecaster.is_mapped.get().then_some(probe.at)
    });
    move || {
        at.get().map(|at| {
            view! {
                <g transform=format!("translate({:.2} {:.2})", at.x, at.y) class="probe" aria-hidden="true">
                    <g class="constant">
                        <path class="probe-under" d="M-12 0H-4M4 0H12M0 -12V-4M0 4V12"/>
                        <path class="probe-line" d="M-12 0H-4M4 0H12M0 -12V-4M0 4V12"/>
                    </g>
                </g>
            }
        })
    }
}

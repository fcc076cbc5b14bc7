//! Tells how long a plan's sheet takes to warm and to cool.

use engine::heat::{
    Calibration, Heater, Logged, Profile, Sides, Span, absorbed_flux, cooling,
    heat_plan as told_plan, heating, window,
};
use engine::units::{Flux, Seconds, Temperature};
use serde_json::{Value, json};

use super::{Done, Given, json_lines};

/// What is added to every answer (common practice).
const WATCH: &str = "watch the sag, not the clock";

/// Ranges of times in seconds, and what they rest on.
pub(super) fn heat_plan(given: &Given) -> Result<Done, String> {
    let plan = given.plan()?;
    let stock = *plan.stock_of_pull(given.pull(&plan)?.0);
    let mut heater = heater(given)?;
    let pulls: Vec<Logged> = numbers(given, "logged")?
        .into_iter()
        .map(|s| Logged { plastic: stock.plastic, gauge: stock.gauge, heated: Seconds::new(s) })
        .collect();
    let known = absorbed_flux(&heater, &pulls);
    if let Some(Calibration { absorbed, .. }) = known {
        heater.absorbed = absorbed;
    } else if !pulls.is_empty() {
        return Err("--logged: no heater brings this sheet to forming in such a time".to_owned());
    }
    let found = heating(stock.plastic, stock.gauge, &heater);
    let cools = cooling(stock.plastic, stock.gauge, heater.room);
    let span = |span: Span| json!([seconds(span.from), seconds(span.to)]);
    let profile = |profile: Option<Profile>| {
        profile.map(|now| {
            json!({ "face_c": tenths(now.face), "middle_c": tenths(now.middle), "back_c": tenths(now.back) })
        })
    };
    let kilowatts = |flux: Flux| flux.to_watts_per_m2() / 1e3;
    let window = window(stock.plastic);
    let told = told_plan(&stock, &heater, known.map_or(0, |known| known.count));
    let output = json!({
        "plastic": stock.plastic.name(),
        "gauge_mm": stock.gauge.to_mm(),
        "absorbed_kw_per_m2": [kilowatts(heater.absorbed.0), kilowatts(heater.absorbed.1)],
        "logged_pulls": known.map_or(0, |known| known.count),
        "window_c": [
            tenths(window.least), tenths(window.usual.0), tenths(window.usual.1), tenths(window.most),
        ],
        "watch_from_s": span(found.watch_from),
        "usual_s": span(found.usual),
        "limit_s": span(found.limit),
        "when_usual": [profile(found.profiles.0), profile(found.profiles.1)],
        "turn_down": found.is_too_fast,
        "how_to_turn_down": told.knob,
        "cooling_s": {
            "on_metal": seconds(cools.on_metal),
            "under_fan": seconds(cools.under_fan),
            "in_still_air": seconds(cools.in_still_air),
        },
    });
    let message = format!(
        "{} is usually ready after {} to {}; {WATCH}\n",
        stock.plastic.name(),
        found.usual.from.show(),
        found.usual.to.show(),
    );
    Ok(Done { output: json_lines(&output), message, status: 0 })
}

/// The heater as far as the options tell it.
pub(super) fn heater(given: &Given) -> Result<Heater, String> {
    let mut heater = Heater { sides: sides(given)?, ..Heater::default() };
    if let Some(flux) = pair(given, "flux")? {
        heater.absorbed = (Flux::watts_per_m2(flux.0 * 1e3), Flux::watts_per_m2(flux.1 * 1e3));
    }
    Ok(heater)
}

fn sides(given: &Given) -> Result<Sides, String> {
    match given.options.get("sides").map(String::as_str) {
        None | Some("one") => Ok(Sides::One),
        Some("both") => Ok(Sides::Both),
        Some(other) => Err(format!("--sides {other}: say one or both")),
    }
}

/// A range such as `5,10`; both above zero.
fn pair(given: &Given, name: &str) -> Result<Option<(f64, f64)>, String> {
    match numbers(given, name)?.as_slice() {
        [] => Ok(None),
        &[low, high] if low <= high => Ok(Some((low, high))),
        _ => Err(format!("--{name}: give two numbers, the lower one first, such as 5,10")),
    }
}

/// Numbers above zero between commas.
fn numbers(given: &Given, name: &str) -> Result<Vec<f64>, String> {
    let Some(text) = given.options.get(name) else { return Ok(Vec::new()) };
    let number = |word: &str| {
        let number = word.trim().parse::<f64>().ok();
        number
            .filter(|number| *number > 0.0 && number.is_finite())
            .ok_or_else(|| format!("--{name} {word}: give numbers above zero"))
    };
    text.split(',').map(number).collect()
}

/// To a tenth; a time that never comes is no number in JSON.
pub(super) fn seconds(time: Seconds) -> Value {
    let tenth = (time.get() * 10.0).round() / 10.0;
    if tenth.is_finite() { json!(tenth) } else { Value::Null }
}

fn tenths(temperature: Temperature) -> f64 {
    (temperature.to_celsius() * 10.0).round() / 10.0
}

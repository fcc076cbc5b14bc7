//! Forecasts how the sheet drapes over a pull of a plan file, and writes the map as a picture.

use std::path::Path;

use engine::drape::{Bridge, Forecast, Mode, Settings, Spot, Web, WebKind, Why, forecast};
use engine::geometry::Point;
use engine::plan::{PlacementId, Plan, Pull};
use engine::units::Length;
use serde_json::{Value, json};

use super::{Done, Given, json_lines, written};

/// The thickness of each mold's sheet, webs and corners not filled, as the sheet comes out of the former.
pub(super) fn forecast_plan(given: &Given) -> Result<Done, String> {
    let plan = given.plan()?;
    let (id, pull) = given.pull(&plan)?;
    let settings = settings(given)?;
    let told = forecast(&plan, id, &settings, &mut ()).map_err(|error| error.to_string())?;
    let map = match given.option("map") {
        Some(out) => Some(written(Path::new(out), &told.png())?),
        None => None,
    };
    let molds = told.molds.iter().map(|(id, over)| {
        let name = name_of(&plan, pull, *id);
        let mean = thickness_json(&told, over.mean);
        json!({ "placement": id.0, "mold": name, "thinnest": spot_json(&told, &over.thinnest), "mean": mean,
                "landed": rounded(over.landed) })
    });
    let output = json!({
        "plan": plan.name,
        "pull": id.0,
        "mode": told.mode.word(),
        "mesh_mm": rounded(told.mesh.to_mm()),
        "gauge_mm": rounded(told.gauge.to_mm()),
        "steps": told.steps,
        "molds": molds.collect::<Vec<_>>(),
        "thinnest": spot_json(&told, &told.thinnest),
        "webs": told.webs.iter().map(web_json).collect::<Vec<_>>(),
        "web_index": rounded(told.web_index),
        "folded_mm2": rounded(told.folded.to_mm2()),
        "bridges": told.bridges.iter().map(bridge_json).collect::<Vec<_>>(),
        "plastic": told.plastic,
        "map": map,
    });
    let message = format!(
        "{}: thinnest {}, {} web places, {} corners not filled\n",
        pull.name,
        plan.settings.lengths.show_gauge(told.thickness(told.thinnest.ratio)),
        told.webs.len(),
        told.bridges.len()
    );
    Ok(Done { output: json_lines(&output), message, status: 0 })
}

fn settings(given: &Given) -> Result<Settings, String> {
    let mode = match given.option("mode").unwrap_or("rubber") {
        "rubber" => Mode::Rubber,
        "uniform" => Mode::Uniform,
        other => return Err(format!("--mode {other}: choose rubber or uniform")),
    };
    let length = |name: &str, usual: Length| match given.option(name) {
        None => Ok(usual),
        Some(text) => {
            let number = text.parse().map(Length::mm);
            number.map_err(|_| format!("--{name} {text}: give millimetres"))
        }
    };
    let friction = match given.option("friction") {
        None => None,
        Some(_) if mode == Mode::Uniform => {
            return Err("--friction goes with --mode rubber: sheet of one thickness everywhere has no use for it".into());
        }
        Some(text) => {
            let number =
                text.parse().map_err(|_| format!("--friction {text}: give a number, 0 or more"))?;
            Some(number)
        }
    };
    let usual = Settings::default();
    Ok(Settings {
        mode,
        mesh: length("mesh", usual.mesh)?,
        sag: length("sag", usual.sag)?,
        friction,
        ..usual
    })
}

fn name_of(plan: &Plan, pull: &Pull, id: PlacementId) -> Option<String> {
    let placement = pull.placements.get(&id)?;
    let mold = plan.molds.get(&placement.mold)?;
    Some(format!("{} #{}", mold.name, placement.copy.0))
}

fn spot_json(told: &Forecast, spot: &Spot) -> Value {
    let why = match spot.why {
        Why::TopEdge => "below the top edge".to_owned(),
        Why::Wall => "on the wall".to_owned(),
        Why::Foot => "at the foot".to_owned(),
        Why::Between(other) => format!("towards {other}"),
        Why::BesideClamp => "beside the clamp".to_owned(),
        Why::Floor => "on the floor".to_owned(),
        Why::Top => "on top".to_owned(),
        Why::Bed => "on the bed".to_owned(),
    };
    let mut value = thickness_json(told, spot.ratio);
    value["at_mm"] = at_json(spot.at);
    value["height_mm"] = json!(rounded(spot.height.to_mm()));
    value["why"] = json!(why);
    value
}

fn thickness_json(told: &Forecast, ratio: f64) -> Value {
    json!({ "ratio": rounded(ratio), "mm": rounded(told.thickness(ratio).to_mm()) })
}

fn web_json(web: &Web) -> Value {
    let molds: Vec<u32> = web.molds.iter().map(|id| id.0).collect();
    let kind = match web.kind {
        WebKind::Fold => "fold",
        WebKind::Span => "span",
    };
    json!({ "kind": kind, "at_mm": at_json(web.at), "extent_mm": rounded(web.extent.to_mm()),
            "measure": rounded(web.measure), "surface_mm2": rounded(web.surface.to_mm2()),
            "severity": web.severity.word(), "placements": molds })
}

fn bridge_json(bridge: &Bridge) -> Value {
    json!({ "at_mm": at_json(bridge.at), "gap_mm": rounded(bridge.gap.to_mm()),
            "covers_mm2": rounded(bridge.covers.to_mm2()), "placement": bridge.mold.map(|id| id.0) })
}

fn at_json(at: Point) -> Value {
    json!([rounded(at.x), rounded(at.y)])
}

/// To a ten-thousandth.
fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

//! Forecasts how the sheet drapes over a pull: how thin it gets, where it folds, what it does not reach.
//!
//! Plan and settings in, forecast out; nothing is changed. The sheet is an isothermal skin of incompressible plastic
//! that the clamp holds along the opening and that stays where it lands; molds are heights over the platen, so there
//! are no undercuts. It is a guide to rank layouts by, not a promise.

mod error;
mod forecast;
mod map;
mod png;
mod settings;
mod watch;

mod ground;
mod net;
mod vector;

mod film;
mod folds;
mod measure;
mod press;
mod regions;
mod rubber;
mod run;

#[doc(hidden)]
pub mod scratch;

pub use error::DrapeError;
pub use forecast::{Bridge, Contact, Forecast, OverMold, Sheet, Spot, Web, Why};
pub use map::{Map, Reading};
pub use png::{LINES, colour};
pub use settings::{Mode, Settings};
pub use watch::{Phase, Progress, Watch};

use crate::plan::{Plan, PullId};
use crate::units::Length;

use ground::Ground;
use measure::{Bench, Formed, Site};
use net::Net;
use run::{Job, formed};

/// The finest and the coarsest cells that molds are read in, in millimetres.
const CELLS: (f64, f64) = (0.2, 1.5);
/// Cells of molds to a square of the net.
const CELLS_TO_SQUARE: f64 = 5.0;

/// How the sheet drapes over a pull.
///
/// Same plan, pull and settings: same answer on every target. Cost: with the third power of the fineness of the net;
/// a blank of 12 x 16 in on a net of 3 mm takes about a second of one core (`benches/drape.rs`).
///
/// # Errors
/// Says what of the request makes no sense, or that `watch` stopped it.
pub fn forecast(
    plan: &Plan,
    pull: PullId,
    settings: &Settings,
    watch: &mut dyn Watch,
) -> Result<Forecast, DrapeError> {
    let layout = plan.pulls.get(&pull).ok_or(DrapeError::NoSuchPull(pull))?;
    let opening = plan.machine.opening();
    settings.check(opening)?;
    let mesh = settings.mesh.to_mm();
    let cell = (mesh / CELLS_TO_SQUARE).clamp(CELLS.0, CELLS.1);
    let ground = Ground::of(plan, layout, Length::mm(cell));
    let net = Net::new(opening, mesh, &ground.brows);
    let (before, rest) = (net.plastic(), net.surfaces());
    let job = Job {
        ground: &ground,
        opening,
        mode: settings.mode,
        sag: settings.sag.to_mm(),
        vacuum: 1.0 / (settings.firmness * plan.stock.gauge.to_mm()),
        patience: 1.0,
    };
    let press = formed(net, &job, watch)?;
    let triangles = measure::triangles(&press, &rest);
    let sheet = measure::sheet(&press, &triangles);
    let sites = Site::all(plan, layout);
    let bench = Bench { sites: &sites, opening, sheet: &sheet, formed: &triangles };
    let over = sites.iter().filter_map(|site| Some((site.id, bench.over(site)?)));
    let thinnest = bench.thinnest().ok_or(DrapeError::Stopped)?;
    let plastic: f64 = triangles.iter().map(|one| one.thickness * (one.area + one.folded())).sum();
    Ok(Forecast {
        mode: settings.mode,
        mesh: Length::mm(press.net.square[0].max(press.net.square[1])),
        gauge: plan.stock.gauge,
        map: Map::of(&sheet, opening, [press.net.columns, press.net.rows]),
        molds: over.collect(),
        thinnest,
        webs: folds::webs(&bench),
        bridges: folds::bridges(&bench, &press),
        plastic: plastic / before,
        web_index: triangles.iter().map(Formed::folded).sum::<f64>() / before,
        steps: press.steps,
        sheet,
        ground: ground.into_field(),
    })
}

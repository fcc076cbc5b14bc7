//! Forecasts how the sheet drapes over a pull: how thin it gets, where it folds, what it does not reach.
//!
//! Plan and settings in, forecast out; nothing is changed. The sheet is an isothermal skin of incompressible plastic
//! that the clamp holds along the opening and that stays where it lands; molds are heights over the platen, so there
//! are no undercuts. It is a guide to rank layouts by, not a promise.

mod advice;
mod change;
mod contours;
mod error;
mod finding;
mod forecast;
mod gauge;
mod map;
mod packed;
mod png;
mod remedy;
mod reshape;
mod section;
mod settings;
mod watch;
mod words;

mod brow;
mod ground;
mod net;
mod vector;

mod film;
mod folds;
mod groups;
mod masses;
mod measure;
mod patch;
mod press;
mod pump;
mod refine;
mod regions;
mod rubber;
mod run;
mod settle;
mod slip;
mod spans;
mod tent;

#[cfg(test)]
mod known;
#[cfg(test)]
mod known_means;
#[cfg(test)]
mod known_plastic;
#[cfg(test)]
mod known_vectors;

pub use advice::{Advice, Measured, advice};
pub use change::Change;
pub use contours::Contour;
pub use error::DrapeError;
pub use finding::{Finding, What, findings};
pub use forecast::{Bridge, Contact, Forecast, OverMold, Sheet, Spot, Web, WebKind, Why};
pub use gauge::{GaugeAdvice, STOCK_GAUGES, suggest_gauge};
pub use map::{Map, Reading};
pub use png::{LINES, colour};
pub use remedy::{Grade, Remedies, Remedy, advice_for};
pub use section::{Section, SheetPoint};
pub use settings::{Mode, Settings};
pub use watch::{Phase, Progress};

use crate::plan::{Plan, PullId};
use crate::units::{Area, Length};
use crate::watch::Watch;

use ground::Ground;
use measure::{Bench, Formed, Site};
use net::Net;
use run::{Job, formed};

/// The finest and the coarsest cells that molds are read in, in millimetres.
const CELLS: (f64, f64) = (0.2, 1.5);
/// Squares of the largest net, so that no opening exhausts a tablet; a finer one is made coarser.
const MOST_SQUARES: f64 = 250_000.0;
/// How many times triangles that cut a corner short are split.
const LEVELS: u32 = 2;
/// Steps from one telling of where a forecast stands to the next.
const TELLING: usize = 64;
/// The radius of the patch of flat sheet that a thickness is told of, in millimetres. What is near its middle counts more, so
/// that it is as much sheet as a disc of 14 mm; our own choice, the smallest that a finer net does not change.
const PATCH: f64 = 10.0;
/// Cells of molds to a square of a fine net and of a coarse one: nets of 2 and of 3 mm see the same molds, and a coarse one no
/// edges that are sharper than it can follow.
const CELLS_TO_SQUARE: (f64, f64) = (5.0, 7.5);
/// The cells between the two, in millimetres.
const USUAL_CELL: f64 = 0.4;

/// The cells that molds are read in for a net, in millimetres.
fn cell_for(mesh: f64) -> f64 {
    let coarse = (mesh / CELLS_TO_SQUARE.1).max(USUAL_CELL);
    (mesh / CELLS_TO_SQUARE.0).min(coarse).clamp(CELLS.0, CELLS.1)
}

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
    watch: &mut dyn Watch<Progress>,
) -> Result<Forecast, DrapeError> {
    let layout = plan.pulls.get(&pull).ok_or(DrapeError::NoSuchPull(pull))?;
    let opening = plan.machine.opening();
    settings.check(opening)?;
    let stock = plan.stock_of_pull(pull);
    let mesh = settings.mesh.to_mm().max((opening.area().to_mm2() / MOST_SQUARES).sqrt());
    let cell = cell_for(mesh);
    let ground = Ground::of(plan, layout, Length::mm(cell));
    let net = Net::new(opening, mesh, &ground.brows);
    let job = Job {
        ground: &ground,
        opening,
        // On the platen, or on a mold that reaches under it.
        rests_at: ground.highest_along(opening),
        mode: settings.mode,
        patience: 1.0,
        sag: settings.sag.to_mm(),
        vacuum: 1.0 / (settings.firmness * stock.gauge.to_mm()),
        levels: LEVELS,
        telling: TELLING,
        friction: settings.friction,
    };
    let press = formed(net, &job, watch)?;
    let triangles = measure::triangles(&press);
    let sheet = measure::sheet(&press, &triangles);
    let patches = patch::patches(&press.net, &triangles, PATCH);
    let sites = Site::all(plan, layout);
    let gauge = stock.gauge.to_mm();
    let bench = Bench {
        sites: &sites,
        opening,
        gauge,
        sheet: &sheet,
        formed: &triangles,
        patches: &patches,
    };
    let over = sites.iter().filter_map(|site| Some((site.id, bench.over(site)?)));
    let thinnest = bench.thinnest().ok_or(DrapeError::Stopped)?;
    let spans = spans::spans(&bench, &press);
    let web_index = spans.iter().map(|web| web.measure).fold(0.0, f64::max);
    Ok(Forecast {
        mode: settings.mode,
        mesh: Length::mm(press.net.square[0].max(press.net.square[1])),
        gauge: stock.gauge,
        map: Map::of(&sheet, opening, [press.net.columns, press.net.rows]),
        molds: over.collect(),
        thinnest,
        webs: folds::webs(&bench, spans),
        bridges: folds::bridges(&bench, &press),
        plastic: measure::kept(&press) / opening.area().to_mm2(),
        web_index,
        folded: Area::mm2(triangles.iter().map(Formed::folded).sum()),
        steps: press.steps,
        sheet,
        ground: ground.into_field(),
    })
}

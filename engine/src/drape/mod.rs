//! Forecasts how the sheet drapes over a pull: how thin it gets, where it folds, what it does not reach.
//!
//! Plan and settings in, forecast out; nothing is changed. The sheet is an isothermal skin of incompressible plastic
//! that the clamp holds along the opening and that stays where it lands; molds are heights over the platen, so there
//! are no undercuts. It is a guide to rank layouts by, not a promise.

mod error;
mod forecast;
mod map;
mod settings;
mod watch;

mod ground;
mod net;
mod vector;

mod film;
mod press;
mod regions;
mod rubber;
mod run;

#[doc(hidden)]
pub mod scratch;

pub use error::DrapeError;
pub use forecast::{Bridge, Contact, Forecast, OverMold, Sheet, Spot, Web, Why};
pub use map::{Map, Reading};
pub use settings::{Mode, Settings};
pub use watch::{Phase, Progress, Watch};

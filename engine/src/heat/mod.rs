//! How a sheet warms under a heater and cools on a mold: times as ranges, never a single figure.
//!
//! The sheet is a slab that conducts in its thickness only, with constant properties. What the heater gives is not
//! known but from the maker's own pulls: a few logged times fix the absorbed flux ([`absorbed_flux`]), and until then it is
//! a wide guess. A time found here is a time to begin to watch the sag, not one to form by.

mod calibrate;
mod forecast;
mod material;
mod sheet;
mod turn_down;
mod window;
mod words;

pub use calibrate::{Calibration, Logged, absorbed_flux, absorbed_flux_of, flux_of};
pub use forecast::{Cooling, Heater, Heating, Sides, Span, cooling, heating};
pub use material::{Material, material};
pub use sheet::{Boundary, Profile, WarmSheet};
pub use turn_down::{TurnDown, turn_down};
pub use window::{Window, window};
pub use words::{
    CAUTIONS, HeatPlan, WATCH, caution, caution_trust, drying, heat_plan, signs, signs_trust,
    window_words,
};

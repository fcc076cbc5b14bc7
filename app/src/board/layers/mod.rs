//! What lies on the board, one layer a file, in drawing order.

mod band;
mod findings;
mod focus;
mod forecast;
mod forecast_section;
mod forecast_signs;
mod ghosts;
mod handle;
mod machine;
mod molds;
mod path;

pub(super) use band::Band;
pub(super) use findings::Findings;
pub(super) use focus::{Gaps, Guides, Zones};
pub(super) use forecast::{ForecastLines, ForecastMap, StaleHatching, contour_lines};
pub(super) use forecast_section::SectionLine;
pub(super) use forecast_signs::ForecastSigns;
pub(super) use ghosts::Ghosts;
pub(super) use handle::Handle;
pub(super) use machine::{Hatching, Machine};
pub(super) use molds::Molds;

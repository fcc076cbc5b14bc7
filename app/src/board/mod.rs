//! The board: shows the drawing of one pull, and turns pointers and keys into edits.

mod view;

mod layers;
mod toolbar;

mod forecast_bar;
mod hands;
mod pointer;
mod probe;
mod state;

// Pure, and tested without a page.
mod gesture;
mod hand;
mod icons;
mod label;
mod lettered;
mod viewport;
mod words;

pub(crate) use toolbar::tools;
pub(crate) use view::Board;

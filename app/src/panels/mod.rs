//! The panels beside the board, one a subject; each shows a part of the plan and turns fields into edits.

mod change;
mod desk;
mod findings;
mod molds;
mod severity;

pub(crate) use desk::{PanelKey, provide_desk, use_desk};
pub(crate) use findings::Findings;
pub(crate) use molds::Molds;

//! What a maker has becomes molds: files and photographs taken in, looked at in a dialog, and added as one step.

mod door;
mod file;
mod file_dialog;
mod mesh;
mod picks;
mod scale;

pub(super) use door::ForeignFiles;
pub(crate) use door::{provide_intake, take_file};
pub(crate) use file_dialog::FileDialog;

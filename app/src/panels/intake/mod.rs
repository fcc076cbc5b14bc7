//! What a maker has becomes molds: files and photographs taken in, looked at in a dialog, and added as one step.

mod coming;
mod corner_board;
mod door;
mod file;
mod file_dialog;
mod mesh;
mod paint_board;
mod photo;
mod photo_dialog;
mod picks;
mod scale;

pub(super) use door::FileButton;
pub(crate) use door::{provide_intake, take_files};
pub(crate) use file_dialog::FileDialog;
pub(crate) use photo_dialog::PhotoDialog;

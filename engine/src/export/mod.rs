//! Pages into the bytes of a file: SVG for one page, PDF for any number; a drawing into DXF, or SVG for a cutter.

mod cutter;
mod dxf;
mod ink;
mod pdf;
mod svg;

pub use cutter::cutter;
pub use dxf::dxf;
pub use pdf::{Pdf, pdf};
pub use svg::svg;

//! Pages, drawings and rows into the bytes of a file: SVG for one page, PDF for any number; DXF, or SVG for a cutter, for a
//! drawing; CSV for a table.

mod csv;
mod cutter;
mod dxf;
mod ink;
mod pdf;
mod svg;

pub use csv::csv;
pub use cutter::cutter;
pub use dxf::dxf;
pub use pdf::{Pdf, pdf};
pub use svg::svg;

//! Pages and rows into the bytes of a file: SVG for one page, PDF for any number, CSV for a table.

mod csv;
mod ink;
mod pdf;
mod svg;

pub use csv::csv;
pub use pdf::{Pdf, pdf};
pub use svg::svg;

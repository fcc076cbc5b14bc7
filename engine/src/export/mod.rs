//! Pages into the bytes of a file: SVG for one page, PDF for any number.

mod ink;
mod pdf;
mod svg;

pub use pdf::{Pdf, pdf};
pub use svg::svg;

//! Quantities: one newtype a file, so that no bare number with a unit crosses a module boundary.

mod angle;
mod area;
mod length;
mod parse;
mod price;
mod style;

pub use angle::Angle;
pub use area::Area;
pub use length::Length;
pub use parse::{LengthError, Unit, parse_length};
pub use price::Price;
pub use style::LengthStyle;

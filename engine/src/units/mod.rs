//! Quantities: one newtype a file, so that no bare number with a unit crosses a module boundary.

mod amount;
mod angle;
mod area;
mod decimal;
mod flux;
mod length;
mod parse;
mod price;
mod seconds;
mod style;
mod temperature;

pub use amount::Amount;
pub use angle::Angle;
pub use area::Area;
pub use decimal::read_decimal;
pub use flux::Flux;
pub use length::Length;
pub use parse::{LengthError, Unit, parse_length};
pub use price::Price;
pub use seconds::Seconds;
pub use style::LengthStyle;
pub use temperature::Temperature;

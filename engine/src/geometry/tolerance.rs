//! Every tolerance of the engine, each with its reason; nothing else may nudge a number.

use crate::units::{Area, Length};

/// How far a flattened curve may stray from the true one when distances are measured.
///
/// Two curved footprints meet with twice this, so distances are within 0.01 mm of the true value.
pub const MEASURE: Length = Length::mm(0.004);

/// How far a flattened curve may stray when it is drawn: a tenth of a printer's finest line.
pub const DRAW: Length = Length::mm(0.02);

/// Lengths closer than this are the same: rounding of sums of millimetre values, far below any tool.
pub const SAME: Length = Length::mm(1e-6);

/// A surface up to this is nothing: a square of a hundredth of a millimetre, less than a footprint can show.
pub const SPECK: Area = Area::mm2(1e-4);

/// Two sides whose directions differ by a sine up to this run straight on: a millionth of a millimetre in a metre.
pub const STRAIGHT: f64 = 1e-9;

/// How far a curve of a foreign drawing may stray when it is read: below what a knife or a printer can follow.
pub const IMPORT: Length = Length::mm(0.01);

/// Ends of foreign lines up to this are at one place: a drawing program's snap missed, or numbers were rounded.
pub const JOIN: Length = Length::mm(0.1);

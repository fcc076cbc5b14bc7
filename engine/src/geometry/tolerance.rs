//! Every tolerance of the engine, each with its reason; nothing else may nudge a number.

use crate::units::Length;

/// How far a flattened curve may stray from the true one when distances are measured.
///
/// Two curved footprints meet with twice this, so distances are within 0.01 mm of the true value.
pub const MEASURE: Length = Length::mm(0.004);

/// How far a flattened curve may stray when it is drawn: a tenth of a printer's finest line.
pub const DRAW: Length = Length::mm(0.02);

/// Lengths closer than this are the same: rounding of sums of millimetre values, far below any tool.
pub const SAME: Length = Length::mm(1e-6);

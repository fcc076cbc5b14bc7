//! How the sheet is thought to behave, and how finely it is computed.

use super::DrapeError;
use crate::geometry::Rect;
use crate::units::Length;

/// What the hot sheet is taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// A rubber skin: it stretches where it is pulled, and folds where it is pushed together.
    Rubber,
    /// Between two places where it has landed, the sheet is everywhere equally thick: what the closed forms of the
    /// textbooks assume. What is equally thick everywhere has no width to lose: it tells no folds, only gaps between molds
    /// that the sheet hangs over.
    Uniform,
}

impl Mode {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rubber => "rubber",
            Self::Uniform => "uniform",
        }
    }
}

/// How the sheet is thought to behave, and how finely it is computed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// What the hot sheet is taken for.
    pub mode: Mode,
    /// The width of the sheet's net before it is drawn; [`Settings::MESH`] holds what is allowed. Cost grows with the
    /// third power of its fineness.
    pub mesh: Length,
    /// How far the middle of the hot sheet hangs when the frame comes down; from nothing to a quarter of the narrower
    /// side of the opening. Common practice: 1/2 to 1 in over an opening of 12 in when HIPS or ABS is ready.
    pub sag: Length,
    /// The shear modulus of the hot sheet over the pull of the vacuum, [`Settings::FIRMNESS`] at most: a firm sheet
    /// stays off sharp inner corners. The wall that bridges a corner has about this times its own thickness as radius.
    ///
    /// **Source:** plateau modulus of polystyrene, 0.2 megapascals (L. J. Fetters and others, Macromolecules 27, 1994;
    /// from memory), over the 0.08 that a bench pump reaches (common practice). Practice says that inner corners come out
    /// with one to two gauges as radius.
    pub firmness: f64,
}

impl Settings {
    /// The finest and the coarsest net.
    pub const MESH: (Length, Length) = (Length::mm(0.25), Length::mm(50.0));
    /// The softest and the firmest sheet.
    pub const FIRMNESS: (f64, f64) = (0.01, 50.0);
}

impl Settings {
    /// Refuses what makes no sense over this opening.
    pub(super) fn check(&self, opening: Rect) -> Result<(), DrapeError> {
        let (width, depth) = (opening.width(), opening.depth());
        let narrower = width.min(depth);
        if narrower < LEAST_OPENING {
            return Err(DrapeError::NoOpening { width, depth });
        }
        let is_within = |value: f64, least: f64, most: f64| (least..=most).contains(&value);
        let (least, most) = Self::MESH;
        if !is_within(self.mesh.to_mm(), least.to_mm(), most.to_mm()) {
            return Err(DrapeError::Mesh { mesh: self.mesh });
        }
        let most = narrower / 4.0;
        if !is_within(self.sag.to_mm(), 0.0, most.to_mm()) {
            return Err(DrapeError::Sag { sag: self.sag, most });
        }
        if !is_within(self.firmness, Self::FIRMNESS.0, Self::FIRMNESS.1) {
            return Err(DrapeError::Firmness { firmness: self.firmness });
        }
        Ok(())
    }
}

/// The narrowest opening that a sheet is formed in.
const LEAST_OPENING: Length = Length::mm(10.0);

impl Default for Settings {
    /// Rubber on a net of 3 mm, no sag, polystyrene.
    fn default() -> Self {
        Self { mode: Mode::Rubber, mesh: Length::mm(3.0), sag: Length::ZERO, firmness: 2.5 }
    }
}

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
    /// stays off sharp inner corners. It bridges them with a radius of about this many gauges: by the relation of a balloon, of
    /// `firmness * (a / b - t^3)` gauges where it is stretched `a` times across the corner and `b` times along it and `t` of the
    /// gauge is left. At the foot of a cavity half as deep as wide that is 1.2 to 1.3 times the firmness
    /// (`tests/forecast_bridges.rs`).
    ///
    /// **Source:** plateau modulus of polystyrene, 0.2 megapascals (L. J. Fetters and others, Macromolecules 27, 1994;
    /// from memory), over the 0.08 that a bench pump reaches (common practice). Practice says that inner corners come out
    /// with one to two gauges as radius; this leaves about three, so it warns early.
    pub firmness: f64,
    /// How rough what the sheet touches is: the largest pull along a surface that holds the sheet there, over what presses it
    /// on. None, the default, where it chills on touch and stays; [`Settings::FRICTION`] holds what is allowed. Of rubber
    /// alone: what is equally thick everywhere has no use for it.
    ///
    /// **Source:** 0.1 to 0.3 between sheet and tool, rising sharply towards forming heat (P. Collins, E. Harkin-Jones and
    /// P. Martin, International Polymer Processing 17, 2002, abstract; the same of polystyrene near 95 degrees in P. Martin
    /// and others, Polymer Engineering and Science 52, 2012, abstract), so that sticking is the better guess for a hot sheet.
    pub friction: Option<f64>,
}

impl Settings {
    /// The finest and the coarsest net.
    pub const MESH: (Length, Length) = (Length::mm(0.25), Length::mm(50.0));
    /// The softest and the firmest sheet.
    pub const FIRMNESS: (f64, f64) = (0.01, 50.0);
    /// From what holds nothing to what holds as good as all.
    pub const FRICTION: (f64, f64) = (0.0, 100.0);
}

impl Settings {
    /// How far a sheet over this opening hangs at most: a quarter of its narrower side.
    #[must_use]
    pub fn most_sag(opening: Rect) -> Length {
        opening.width().min(opening.depth()) / 4.0
    }

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
        let most = Self::most_sag(opening);
        if !is_within(self.sag.to_mm(), 0.0, most.to_mm()) {
            return Err(DrapeError::Sag { sag: self.sag, most });
        }
        if !is_within(self.firmness, Self::FIRMNESS.0, Self::FIRMNESS.1) {
            return Err(DrapeError::Firmness { firmness: self.firmness });
        }
        let (least, most) = Self::FRICTION;
        match self.friction {
            Some(friction) if !is_within(friction, least, most) => {
                Err(DrapeError::Friction { friction })
            }
            _ => Ok(()),
        }
    }
}

/// The narrowest opening that a sheet is formed in.
const LEAST_OPENING: Length = Length::mm(10.0);

impl Default for Settings {
    /// Rubber on a net of 3 mm, no sag, polystyrene that stays where it lands.
    fn default() -> Self {
        let (mesh, sag) = (Length::mm(3.0), Length::ZERO);
        Self { mode: Mode::Rubber, mesh, sag, firmness: 2.5, friction: None }
    }
}

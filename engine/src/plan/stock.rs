//! The sheet that blanks are cut from.

use super::Size;
use crate::units::{Length, Price};

/// A plastic sold as sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Plastic {
    /// High-impact polystyrene.
    Hips,
    /// Acrylonitrile butadiene styrene.
    Abs,
    /// Glycol-modified PET.
    Petg,
    /// Cast acrylic.
    AcrylicCast,
    /// Extruded acrylic.
    AcrylicExtruded,
    /// Polycarbonate.
    Polycarbonate,
    /// Rigid PVC.
    Pvc,
    /// High-density polyethylene.
    Hdpe,
    /// Polypropylene.
    Polypropylene,
}

impl Plastic {
    /// All plastics, in the order they are offered.
    pub const ALL: [Self; 9] = [
        Self::Hips,
        Self::Abs,
        Self::Petg,
        Self::AcrylicCast,
        Self::AcrylicExtruded,
        Self::Polycarbonate,
        Self::Pvc,
        Self::Hdpe,
        Self::Polypropylene,
    ];

    /// The trade's short name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Hips => "HIPS",
            Self::Abs => "ABS",
            Self::Petg => "PETG",
            Self::AcrylicCast => "Acrylic, cast",
            Self::AcrylicExtruded => "Acrylic, extruded",
            Self::Polycarbonate => "Polycarbonate",
            Self::Pvc => "PVC, rigid",
            Self::Hdpe => "HDPE",
            Self::Polypropylene => "Polypropylene",
        }
    }

    /// True for the plastics that crystallise: they shrink more and want more draft.
    #[must_use]
    pub const fn is_crystalline(self) -> bool {
        matches!(self, Self::Hdpe | Self::Polypropylene)
    }
}

/// Which face of the sheet has a grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Texture {
    /// Both faces are smooth.
    Smooth,
    /// The grain lies away from the mold, where it shows on a male pull.
    AwayFromMold,
    /// The grain lies against the mold.
    AgainstMold,
}

impl Texture {
    /// All choices, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Smooth, Self::AwayFromMold, Self::AgainstMold];
}

/// The protective film on the sheet as bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Film {
    /// No film.
    None,
    /// Film on one face.
    OneFace,
    /// Film on both faces.
    BothFaces,
}

impl Film {
    /// All choices, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::None, Self::OneFace, Self::BothFaces];
}

/// One plastic in one gauge, as whole sheets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// What the sheet is made of.
    pub plastic: Plastic,
    /// How thick it is.
    pub gauge: Length,
    /// The whole sheet as bought.
    pub sheet: Size,
    /// The grain, if any.
    pub texture: Texture,
    /// The protective film.
    pub film: Film,
    /// What a whole sheet costs, when known.
    pub price: Option<Price>,
}

impl Default for Stock {
    /// HIPS .060 in, in the usual 48 x 96 in sheet (common practice for prop shells).
    fn default() -> Self {
        Self {
            plastic: Plastic::Hips,
            gauge: Length::inches(0.060),
            sheet: Size::new(Length::inches(48.0), Length::inches(96.0)),
            texture: Texture::Smooth,
            film: Film::None,
            price: None,
        }
    }
}

//! How far a mold draws the sheet: the three draw ratios of its simple relief, and the mean thickness left.
//!
//! **Source:** SPE Thermoforming Division, Thermoforming 101, The Ubiquitous Draw Ratio, Thermoforming
//! Quarterly 24(4), 2005. A female mold is measured by the same definitions, its cavity for its height.

use super::formed_surface::formed_surface;
use super::scribed_line::linear_ratio;
use crate::geometry::{Shape, min_width, tolerance};
use crate::plan::Mold;
use crate::units::{Area, Length};

/// The draw of one mold; see the definitions of this room for what each ratio means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Formed surface over the footprint.
    pub areal: f64,
    /// The surface of walls and top, or of walls and floor.
    pub formed: Area,
    /// The footprint that feeds it.
    pub fed: Area,
    /// A line across the narrower width after over before; only where its walls stand square to it.
    pub linear: Option<f64>,
    /// Mold height over the narrower footprint width.
    pub height_to_width: f64,
}

impl Draw {
    /// The draw of a mold; `None` when its footprint has no surface.
    #[must_use]
    pub fn of(mold: &Mold) -> Option<Self> {
        Self::over(mold, &Shape::new(mold.footprint.region(tolerance::MEASURE)))
    }

    /// The same with the mold's footprint at hand as a shape about its own centre.
    ///
    /// The footprint must be without `problems`; of another the figures mean nothing. Cost: linear, except that
    /// a flat top over an outline with notches is offset inwards.
    #[must_use]
    pub fn over(mold: &Mold, footprint: &Shape) -> Option<Self> {
        let (fed, width) = (footprint.area(), min_width(footprint));
        if fed <= Area::ZERO || width <= Length::ZERO {
            return None;
        }
        let formed = formed_surface(mold, footprint);
        Some(Self {
            areal: formed / fed,
            formed,
            fed,
            linear: linear_ratio(mold),
            height_to_width: mold.height / width,
        })
    }
}

/// The mean thickness of a sheet of this gauge after an areal draw.
///
/// ```
/// use engine::{physics::mean_thickness, units::Length};
/// assert_eq!(mean_thickness(Length::mm(2.0), 4.0), Length::mm(0.5));
/// ```
#[must_use]
pub fn mean_thickness(gauge: Length, areal: f64) -> Length {
    gauge / areal
}

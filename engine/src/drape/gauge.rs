//! Which gauge leaves the wall that a maker wants.

use super::Forecast;
use crate::units::Length;

/// Gauges that sheet is sold in, in inches; common practice for styrene, ABS and PETG.
pub const STOCK_GAUGES: [Length; 11] = [
    Length::inches(0.010),
    Length::inches(0.015),
    Length::inches(0.020),
    Length::inches(0.030),
    Length::inches(0.040),
    Length::inches(0.060),
    Length::inches(0.080),
    Length::inches(0.093),
    Length::inches(0.125),
    Length::inches(0.187),
    Length::inches(0.250),
];

/// The gauge for a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeAdvice {
    /// The gauge that leaves just that wall where the sheet is thinnest over a mold.
    pub least: Length,
    /// The next gauge that is sold; none when the thickest is too thin.
    pub sold: Option<Length>,
    /// What is left of the gauge there.
    pub ratio: f64,
}

/// The gauge that leaves `least_wall` everywhere over the molds; none where no mold stands.
///
/// What is left of the gauge hardly depends on the gauge, but for how well thick sheet gets into corners.
#[must_use]
pub fn suggest_gauge(forecast: &Forecast, least_wall: Length) -> Option<GaugeAdvice> {
    let (_, spot) = forecast.thinnest_kept()?;
    if spot.ratio <= 0.0 || !least_wall.is_finite() || least_wall <= Length::ZERO {
        return None;
    }
    let least = least_wall / spot.ratio;
    let sold = STOCK_GAUGES.into_iter().find(|gauge| *gauge >= least);
    Some(GaugeAdvice { least, sold, ratio: spot.ratio })
}

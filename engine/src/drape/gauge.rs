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

/// Gauges that differ by less are the same.
const SAME_GAUGE: Length = Length::mm(0.01);
/// What a gauge thinner leaves at least of what the one before left: thin sheet gets farther into corners and so thinner there. Of
/// the sample a gauge costs up to 9 % (`tests/forecast_advice.rs`).
const THINNER: f64 = 0.9;

/// The gauge for a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeAdvice {
    /// The gauge that leaves just that wall where the sheet is thinnest over a mold.
    pub least: Length,
    /// A gauge that is sold and leaves it: the next thicker one that does, or where the sheet chosen is thick enough, the next
    /// thinner one if that does too; none when there is no such gauge.
    pub sold: Option<Length>,
    /// What is left of the gauge there.
    pub ratio: f64,
}

impl GaugeAdvice {
    /// Whether sheet of this gauge leaves the wall, as was forecast of it.
    #[must_use]
    pub fn is_enough(&self, gauge: Length) -> bool {
        gauge >= self.least
    }
}

/// The gauge that leaves `least_wall` everywhere over the molds; none where no mold stands.
///
/// What is left of the gauge depends on it a little, since thick sheet does not get as far into corners: of thicker sheet more
/// is left than is reckoned with, of thinner sheet less. So a thinner one is suggested a gauge at a time.
#[must_use]
pub fn suggest_gauge(forecast: &Forecast, least_wall: Length) -> Option<GaugeAdvice> {
    let (_, spot) = forecast.thinnest_kept()?;
    if spot.ratio <= 0.0 || !least_wall.is_finite() || least_wall <= Length::ZERO {
        return None;
    }
    let (own, least) = (forecast.gauge, least_wall / spot.ratio);
    let sold = if own >= least {
        let thinner = STOCK_GAUGES.into_iter().rfind(|gauge| *gauge < own - SAME_GAUGE);
        thinner.filter(|gauge| *gauge * THINNER >= least)
    } else {
        STOCK_GAUGES.into_iter().find(|gauge| *gauge >= least)
    };
    Some(GaugeAdvice { least, sold, ratio: spot.ratio })
}

//! The gauges and whole sheets that each plastic is commonly sold in.

use engine::plan::{Plastic, Size};
use engine::units::Length;

/// The gauges a plastic is commonly sold in, thinnest first.
///
/// **Source:** suppliers' stock lists, from memory; no list for rigid PVC, HDPE and polypropylene is at hand, so
/// those are offered what shops that buy by the millimetre keep.
pub(super) fn common_gauges(plastic: Plastic) -> Vec<Length> {
    let mils: &[f64] = match plastic {
        Plastic::Hips | Plastic::Abs => &[30.0, 40.0, 60.0, 80.0, 93.0, 125.0, 187.0, 250.0],
        Plastic::Petg => &[20.0, 30.0, 40.0, 60.0, 80.0, 93.0, 118.0, 177.0, 236.0],
        Plastic::AcrylicCast | Plastic::AcrylicExtruded => &[60.0, 80.0, 118.0, 177.0, 236.0],
        Plastic::Polycarbonate => &[30.0, 60.0, 93.0, 118.0, 177.0, 236.0],
        Plastic::Pvc | Plastic::Hdpe | Plastic::Polypropylene => {
            let metric = [0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0];
            return metric.map(Length::mm).to_vec();
        }
    };
    mils.iter().map(|mil| Length::inches(mil / 1000.0)).collect()
}

/// The whole sheets commonly sold: inch sizes first, then metric ones.
///
/// **Source:** suppliers' stock lists, from memory.
pub(super) fn common_sheets() -> Vec<Size> {
    let inches =
        [(48.0, 96.0), (40.0, 72.0), (48.0, 48.0), (24.0, 48.0), (20.0, 40.0), (12.0, 12.0)];
    let mm = [(1000.0, 2000.0), (1220.0, 2440.0), (2050.0, 3050.0)];
    let inches = inches.map(|(w, d)| Size::new(Length::inches(w), Length::inches(d)));
    let mm = mm.map(|(w, d)| Size::new(Length::mm(w), Length::mm(d)));
    inches.into_iter().chain(mm).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_plastic_has_gauges_in_order_within_what_a_plan_accepts() {
        let (least, most) = engine::plan::limits::GAUGE;
        for plastic in Plastic::ALL {
            let gauges = common_gauges(plastic);
            assert!(gauges.windows(2).all(|pair| pair[0] < pair[1]), "{plastic:?}");
            assert!(gauges.iter().all(|g| *g >= least && *g <= most), "{plastic:?}");
            assert!(gauges.len() > 4, "{plastic:?}");
        }
    }
}

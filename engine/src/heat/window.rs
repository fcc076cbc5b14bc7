//! The forming window of each plastic: below what it cannot be formed, where it usually is, and what spoils it.
//!
//! **Source**: a much-reprinted guideline table of mold, lower, normal and upper temperatures (from memory), and where
//! named Eastman, Spectar thermoforming questions; US Plastic Corp., knowledge base article 583. Below `set` a part may
//! be taken off (the same table, from memory).

use crate::plan::Plastic;
use crate::rules::Trust;
use crate::units::Temperature;

/// Temperatures of the sheet that matter in forming.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Below this the part is stiff enough to be taken off.
    pub set: Temperature,
    /// Below this the sheet cannot be formed.
    pub least: Temperature,
    /// Where it is usually formed, from and to.
    pub usual: (Temperature, Temperature),
    /// Above this the surface is spoilt.
    pub most: Temperature,
    /// How far the figures can be trusted; `set` is always from memory.
    pub trust: Trust,
    /// Where they come from.
    pub source: &'static str,
}

const TABLE: &str = "guideline table of forming temperatures";
const US_PLASTIC: &str = "US Plastic Corp., article 583; limits from memory";
const EASTMAN: &str = "Eastman, Spectar thermoforming questions; limits from memory";

/// Set, least, from, to and most in degrees Celsius.
const fn recalled(figures: [f64; 5]) -> Window {
    read(figures, Trust::Memory, TABLE)
}

const fn read(figures: [f64; 5], trust: Trust, source: &'static str) -> Window {
    let [set, least, from, to, most] = figures;
    Window {
        set: Temperature::celsius(set),
        least: Temperature::celsius(least),
        usual: (Temperature::celsius(from), Temperature::celsius(to)),
        most: Temperature::celsius(most),
        trust,
        source,
    }
}

/// The forming window of a plastic; its data sheet goes first.
#[must_use]
pub const fn window(plastic: Plastic) -> Window {
    match plastic {
        Plastic::Hips => recalled([85.0, 127.0, 149.0, 149.0, 182.0]),
        Plastic::Abs => recalled([85.0, 127.0, 149.0, 154.0, 182.0]),
        Plastic::Petg => read([71.0, 121.0, 135.0, 154.0, 166.0], Trust::Read, EASTMAN),
        Plastic::AcrylicCast => read([85.0, 149.0, 171.0, 193.0, 193.0], Trust::Read, US_PLASTIC),
        Plastic::AcrylicExtruded => {
            read([80.0, 140.0, 143.0, 160.0, 170.0], Trust::Read, US_PLASTIC)
        }
        Plastic::Polycarbonate => recalled([138.0, 168.0, 191.0, 191.0, 204.0]),
        Plastic::Pvc => recalled([60.0, 104.0, 138.0, 140.0, 154.0]),
        Plastic::Hdpe => recalled([82.0, 127.0, 138.0, 146.0, 166.0]),
        Plastic::Polypropylene => recalled([88.0, 143.0, 160.0, 166.0, 166.0]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // The rows of the table in degrees Fahrenheit, as it prints them; of extruded acrylic it has only degrees Celsius, and the
    // usual range of PETG and both acrylics is that of the source that is named.
    #[test]
    fn every_window_is_that_of_its_row() {
        for (plastic, [set, least, from, to, most], trust) in [
            (Plastic::Abs, [185.0, 260.0, 300.0, 310.0, 360.0], Trust::Memory),
            (Plastic::Hips, [185.0, 260.0, 300.0, 300.0, 360.0], Trust::Memory),
            (Plastic::Petg, [160.0, 250.0, 275.0, 310.0, 330.0], Trust::Read),
            (Plastic::AcrylicCast, [185.0, 300.0, 340.0, 380.0, 380.0], Trust::Read),
            (Plastic::AcrylicExtruded, [176.0, 284.0, 290.0, 320.0, 338.0], Trust::Read),
            (Plastic::Polycarbonate, [280.0, 335.0, 375.0, 375.0, 400.0], Trust::Memory),
            (Plastic::Pvc, [140.0, 220.0, 280.0, 284.0, 310.0], Trust::Memory),
            (Plastic::Hdpe, [180.0, 260.0, 280.0, 295.0, 330.0], Trust::Memory),
            (Plastic::Polypropylene, [190.0, 290.0, 320.0, 331.0, 331.0], Trust::Memory),
        ] {
            let found = window(plastic);
            let ends = [found.set, found.least, found.usual.0, found.usual.1, found.most];
            for (end, fahrenheit) in ends.into_iter().zip([set, least, from, to, most]) {
                let celsius = (fahrenheit - 32.0) / 1.8;
                assert!(
                    (end.to_celsius() - celsius).abs() < 1.0,
                    "{plastic:?}: {end:?}, {celsius}"
                );
            }
            assert_eq!(found.trust, trust, "{plastic:?}");
        }
    }

    #[test]
    fn every_window_rises_from_set_through_least_and_usual_to_most() {
        for plastic in Plastic::ALL {
            let Window { set, least, usual, most, .. } = window(plastic);
            assert!(set < least && least < usual.0, "{plastic:?}");
            assert!(usual.0 <= usual.1 && usual.1 <= most, "{plastic:?}");
        }
    }
}

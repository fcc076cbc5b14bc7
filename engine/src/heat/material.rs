//! How each plastic takes up and conducts heat.
//!
//! **Source:** R. J. Crawford, Plastics Engineering, table 1.8 (book p. 31): density, specific heat and conductivity. The
//! diffusivity printed there disagrees with its own three figures for some rows, so it is computed here. PETG is not in
//! the table (from memory). The heat from 23 °C to the forming temperature, which counts that the specific heat rises
//! and that crystals melt, is an estimate from memory.

use crate::plan::Plastic;
use crate::rules::Trust;

/// How a plastic takes up and conducts heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// In kg/m³.
    pub density: f64,
    /// Specific heat at room temperature, in J/kgK.
    pub specific_heat: f64,
    /// In W/mK.
    pub conductivity: f64,
    /// The heat from 23 °C to where it is formed, low and high, in J/kg.
    pub forming_heat: (f64, f64),
    /// How far density, specific heat and conductivity can be trusted; `forming_heat` is always from memory.
    pub trust: Trust,
}

impl Material {
    /// The heat that a volume takes up, in J/m³K.
    #[must_use]
    pub const fn capacity(&self) -> f64 {
        self.density * self.specific_heat
    }

    /// In m²/s.
    #[must_use]
    pub const fn diffusivity(&self) -> f64 {
        self.conductivity / self.capacity()
    }

    /// The same with the specific heat that takes up `forming_heat` over so many kelvin.
    #[must_use]
    pub const fn with_forming_heat(self, forming_heat: f64, kelvin: f64) -> Self {
        Self { specific_heat: forming_heat / kelvin, ..self }
    }
}

const fn row(
    density: f64,
    specific_heat: f64,
    conductivity: f64,
    kilojoules: [f64; 2],
) -> Material {
    let forming_heat = (kilojoules[0] * 1e3, kilojoules[1] * 1e3);
    Material { density, specific_heat, conductivity, forming_heat, trust: Trust::Read }
}

/// How a plastic takes up and conducts heat.
#[must_use]
pub const fn material(plastic: Plastic) -> Material {
    match plastic {
        Plastic::Hips => row(1050.0, 1300.0, 0.15, [210.0, 230.0]),
        Plastic::Abs => row(1040.0, 1300.0, 0.25, [210.0, 230.0]),
        Plastic::Petg => {
            Material { trust: Trust::Memory, ..row(1270.0, 1200.0, 0.20, [150.0, 200.0]) }
        }
        Plastic::AcrylicCast | Plastic::AcrylicExtruded => {
            row(1180.0, 1500.0, 0.20, [250.0, 280.0])
        }
        Plastic::Polycarbonate => row(1150.0, 1200.0, 0.20, [240.0, 260.0]),
        Plastic::Pvc => row(1400.0, 900.0, 0.16, [130.0, 150.0]),
        Plastic::Hdpe => row(950.0, 2200.0, 0.25, [480.0, 520.0]),
        Plastic::Polypropylene => row(905.0, 2000.0, 0.20, [430.0, 470.0]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat::window;
    use crate::units::Temperature;

    // Diffusivities computed by hand from Crawford's three columns, in 1e-7 m²/s.
    #[test]
    fn diffusivities_follow_from_the_three_columns() {
        for (plastic, tenths_of_square_micrometres) in [
            (Plastic::Hips, 1.10),
            (Plastic::Abs, 1.85),
            (Plastic::AcrylicCast, 1.13),
            (Plastic::Polycarbonate, 1.45),
            (Plastic::Pvc, 1.27),
            (Plastic::Hdpe, 1.20),
            (Plastic::Polypropylene, 1.10),
        ] {
            let found = material(plastic).diffusivity() * 1e7;
            assert!((found - tenths_of_square_micrometres).abs() < 0.006, "{plastic:?}: {found}");
        }
    }

    /// Specific heats rise with temperature, so the heat to forming is at least that of the one at room temperature.
    #[test]
    fn no_plastic_takes_up_less_than_its_cold_specific_heat_says() {
        for plastic in Plastic::ALL {
            let rise = window(plastic).usual.0 - Temperature::celsius(23.0);
            let cold = material(plastic).specific_heat * rise;
            let (low, high) = material(plastic).forming_heat;
            assert!(low <= high && high > cold * 0.99, "{plastic:?}: {cold}, {high}");
        }
    }
}

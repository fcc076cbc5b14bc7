//! The temperature through a sheet as it warms: finite volumes, stepped explicitly.
//!
//! A step is a sixth of the square of a cell over the diffusivity, at which the leading error of the scheme in the inside
//! vanishes. What comes in at the faces is counted, so that the balance of energy can be looked at.

use super::Material;
use crate::units::{Flux, Length, Seconds, Temperature};

/// Cells through the thickness.
const CELLS: usize = 40;

/// The step as a share of the square of a cell over the diffusivity.
const STEP: f64 = 1.0 / 6.0;

/// Stefan and Boltzmann's constant, in W/m²K⁴ (CODATA 2018).
const SIGMA: f64 = 5.670_374_419e-8;

/// What reaches one face of the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boundary {
    /// What is absorbed whatever the sheet's temperature.
    pub flux: Flux,
    /// The coefficient of moving air, in W/m²K.
    pub film: f64,
    /// The air's temperature.
    pub air: Temperature,
    /// A grey heater: its temperature, and the share that reaches the sheet and is taken up (both emissivities and the
    /// view of the sheet in one), from 0 to 1.
    pub heater: Option<(Temperature, f64)>,
}

impl Boundary {
    /// Nothing comes or goes.
    pub const INSULATED: Self =
        Self { flux: Flux::ZERO, film: 0.0, air: Temperature::celsius(23.0), heater: None };

    /// A constant absorbed flux.
    #[must_use]
    pub const fn flux(flux: Flux) -> Self {
        Self { flux, ..Self::INSULATED }
    }

    /// Air of a temperature that moves past, with a film coefficient in W/m²K.
    #[must_use]
    pub const fn air(air: Temperature, film: f64) -> Self {
        Self { air, film, ..Self::INSULATED }
    }

    /// What comes in at a face of this temperature, in W/m².
    fn inflow(&self, face: f64) -> f64 {
        let radiant = self.heater.map_or(0.0, |(heater, share)| {
            let fourth = |kelvin: f64| kelvin * kelvin * kelvin * kelvin;
            let here = Temperature::celsius(face).to_kelvin();
            share * SIGMA * (fourth(heater.to_kelvin()) - fourth(here))
        });
        self.flux.to_watts_per_m2() + self.film * (self.air.to_celsius() - face) + radiant
    }
}

/// The temperatures through a sheet at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Profile {
    /// The face towards the heater, or the upper one.
    pub face: Temperature,
    /// The mean through the thickness.
    pub mean: Temperature,
    /// In the middle.
    pub middle: Temperature,
    /// The other face.
    pub back: Temperature,
}

impl Profile {
    /// The hottest face.
    #[must_use]
    pub fn hottest(&self) -> Temperature {
        if self.face > self.back { self.face } else { self.back }
    }

    /// The coldest of what is known.
    #[must_use]
    pub fn coldest(&self) -> Temperature {
        [self.face, self.middle, self.back]
            .into_iter()
            .fold(self.mean, |a, b| if b < a { b } else { a })
    }
}

/// A sheet that warms or cools.
#[derive(Clone, Debug)]
pub struct WarmSheet {
    /// In degrees Celsius, from the face to the back.
    cells: [f64; CELLS],
    /// A cell in metres.
    cell: f64,
    material: Material,
    time: f64,
    /// What has come in, in J/m².
    taken_up: f64,
    start: f64,
}

impl WarmSheet {
    /// A sheet of this gauge, all at one temperature.
    #[must_use]
    pub fn new(gauge: Length, material: Material, start: Temperature) -> Self {
        let start = start.to_celsius();
        let cell = gauge.to_mm() / 1e3 / cells();
        Self { cells: [start; CELLS], cell, material, time: 0.0, taken_up: 0.0, start }
    }

    /// The time since the start.
    #[must_use]
    pub const fn time(&self) -> Seconds {
        Seconds::new(self.time)
    }

    /// One step; gives the temperatures after it. `face` and `back` are what reaches the two sides.
    ///
    /// With a film coefficient far above that of any air (thousands of W/m²K) on a thick sheet the step is not stable.
    pub fn step(&mut self, face: &Boundary, back: &Boundary) -> Profile {
        let (half, capacity) =
            (2.0 * self.material.conductivity / self.cell, self.material.capacity());
        let step = STEP * self.cell * self.cell / self.material.diffusivity();
        let top = face.inflow(face_of(self.cells[0], face, half));
        let low = back.inflow(face_of(self.cells[CELLS - 1], back, half));
        let old = self.cells;
        let share = step / (capacity * self.cell);
        for k in 0..CELLS {
            let above = if k == 0 { top } else { half / 2.0 * (old[k - 1] - old[k]) };
            let below = if k == CELLS - 1 { low } else { half / 2.0 * (old[k + 1] - old[k]) };
            self.cells[k] = old[k] + share * (above + below);
        }
        self.taken_up += step * (top + low);
        self.time += step;
        self.profile(face, back)
    }

    /// The temperatures now.
    fn profile(&self, face: &Boundary, back: &Boundary) -> Profile {
        let half = 2.0 * self.material.conductivity / self.cell;
        let mean = self.cells.iter().sum::<f64>() / cells();
        Profile {
            face: Temperature::celsius(face_of(self.cells[0], face, half)),
            mean: Temperature::celsius(mean),
            middle: Temperature::celsius(self.cells[CELLS / 2 - 1].midpoint(self.cells[CELLS / 2])),
            back: Temperature::celsius(face_of(self.cells[CELLS - 1], back, half)),
        }
    }

    /// What has come in less what the sheet holds more than at the start, as a share of the former.
    #[must_use]
    pub fn imbalance(&self) -> f64 {
        let held: f64 = self.cells.iter().map(|cell| cell - self.start).sum::<f64>()
            * self.cell
            * self.material.capacity();
        (self.taken_up - held) / self.taken_up.abs().max(f64::MIN_POSITIVE)
    }
}

/// The temperature of a face before a cell: what comes in is what is conducted from the face to the cell's middle.
///
/// Radiation bends the balance a little; three rounds settle it far below any other error.
fn face_of(cell: f64, boundary: &Boundary, half: f64) -> f64 {
    let mut face = cell;
    for _ in 0..3 {
        let held = boundary.inflow(face) + boundary.film * face;
        face = (half * cell + held) / (half + boundary.film);
    }
    face
}

/// The number of cells as a coordinate.
fn cells() -> f64 {
    u32::try_from(CELLS).map_or(f64::NAN, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat::material;
    use crate::physics::{slab_in_environment, slab_under_flux};
    use crate::plan::Plastic;

    const START: Temperature = Temperature::celsius(23.0);

    /// Steps a sheet until a time has passed and gives the temperatures then.
    fn at(sheet: &mut WarmSheet, seconds: f64, face: &Boundary, back: &Boundary) -> Profile {
        let mut before = (0.0, sheet.profile(face, back));
        loop {
            let now = sheet.step(face, back);
            let time = sheet.time().get();
            if time >= seconds {
                let share = (seconds - before.0) / (time - before.0);
                let mix = |a: Temperature, b: Temperature| {
                    Temperature::celsius(a.to_celsius() + (b - a) * share)
                };
                return Profile {
                    face: mix(before.1.face, now.face),
                    mean: mix(before.1.mean, now.mean),
                    middle: mix(before.1.middle, now.middle),
                    back: mix(before.1.back, now.back),
                };
            }
            before = (time, now);
        }
    }

    // Carslaw & Jaeger, section 3.8, by way of `physics::slab_under_flux`.
    #[test]
    fn under_a_constant_flux_the_sheet_follows_the_series() {
        let hips = material(Plastic::Hips);
        for (mm, flux) in [(0.75, 5e3), (1.5, 10e3), (3.0, 5e3), (6.0, 10e3)] {
            let thick = mm / 1e3;
            for fourier in [0.05, 0.2, 0.5, 1.0] {
                let mut sheet = WarmSheet::new(Length::mm(mm), hips, START);
                let heated = Boundary::flux(Flux::watts_per_m2(flux));
                let seconds = fourier * thick * thick / hips.diffusivity();
                let found = at(&mut sheet, seconds, &heated, &Boundary::INSULATED);
                let scale = flux * thick / hips.conductivity;
                for (got, place) in [(found.face, 1.0), (found.middle, 0.5), (found.back, 0.0)] {
                    let want = scale * slab_under_flux(fourier, place);
                    let rise = got - START;
                    assert!(
                        (rise - want).abs() < 0.003 * scale,
                        "{mm} {fourier}: {rise} for {want}"
                    );
                }
                assert!(sheet.imbalance().abs() < 1e-9, "{}", sheet.imbalance());
            }
        }
    }

    // Incropera & DeWitt, section 5.5, by way of `physics::slab_in_environment`: acrylic of 6 mm in an oven of 180 °C
    // with 30 W/m²K on both sides is at 141.5 °C in the middle and 148.8 °C at the face after 300 s.
    #[test]
    fn in_an_oven_the_sheet_follows_the_series() {
        let acrylic = material(Plastic::AcrylicCast);
        let oven = Boundary::air(Temperature::celsius(180.0), 30.0);
        for (seconds, middle, face) in
            [(60.0, 55.5, 78.9), (120.0, 87.1, 104.7), (300.0, 141.5, 148.8), (600.0, 171.1, 172.8)]
        {
            let mut sheet = WarmSheet::new(Length::mm(6.0), acrylic, START);
            let found = at(&mut sheet, seconds, &oven, &oven);
            assert!((found.middle.to_celsius() - middle).abs() < 0.15, "{seconds}: {found:?}");
            assert!((found.face.to_celsius() - face).abs() < 0.15, "{seconds}: {found:?}");
            let fourier = acrylic.diffusivity() * seconds / 9e-6;
            let left = slab_in_environment(0.45, fourier, 0.0) * (23.0 - 180.0) + 180.0;
            assert!((found.middle.to_celsius() - left).abs() < 0.1, "{seconds}: {left}");
            assert!(sheet.imbalance().abs() < 1e-9, "{}", sheet.imbalance());
        }
    }

    // Closed form of Carslaw & Jaeger, section 3.8, for HIPS (table 1.8 of Crawford) from 23 °C to a mean of 150 °C: gauge
    // in mm, kW/m² a face, then from one side seconds, face and back, and from both seconds, face and middle. ABS of k 0.25
    // at 8 kW/m²: 1.5 mm from one side takes 32.2 s and is at 166 and 142 °C, and 3 mm from both the same.
    #[test]
    fn heating_times_and_faces_are_those_of_the_closed_form() {
        type Row = (Plastic, f64, f64, [f64; 3], [f64; 3]);
        const HIPS: Plastic = Plastic::Hips;
        let rows: [Row; 12] = [
            (HIPS, 0.75, 5.0, [26.0, 158.0, 146.0], [13.0, 154.0, 148.0]),
            (HIPS, 0.75, 10.0, [13.0, 167.0, 142.0], [6.5, 158.0, 146.0]),
            (HIPS, 1.5, 5.0, [52.0, 167.0, 142.0], [26.0, 158.0, 146.0]),
            (HIPS, 1.5, 10.0, [26.0, 183.0, 133.0], [13.0, 167.0, 142.0]),
            (HIPS, 2.0, 5.0, [69.3, 172.0, 139.0], [34.7, 161.0, 144.0]),
            (HIPS, 2.0, 10.0, [34.7, 194.0, 128.0], [17.3, 172.0, 139.0]),
            (HIPS, 3.0, 5.0, [104.0, 183.0, 133.0], [52.0, 167.0, 142.0]),
            (HIPS, 3.0, 10.0, [52.0, 217.0, 117.0], [26.0, 183.0, 133.0]),
            (HIPS, 6.0, 5.0, [208.0, 217.0, 117.0], [104.0, 183.0, 133.0]),
            (HIPS, 6.0, 10.0, [104.0, 280.0, 87.0], [52.0, 217.0, 117.0]),
            (Plastic::Abs, 1.5, 8.0, [32.2, 166.0, 142.0], [16.1, 158.0, 146.0]),
            (Plastic::Abs, 3.0, 8.0, [64.4, 182.0, 134.0], [32.2, 166.0, 142.0]),
        ];
        for (plastic, mm, kilowatts, one, both) in rows {
            let heated = Boundary::flux(Flux::watts_per_m2(kilowatts * 1e3));
            for (back, want) in [(Boundary::INSULATED, one), (heated, both)] {
                let mut sheet = WarmSheet::new(Length::mm(mm), material(plastic), START);
                let mut now = sheet.profile(&heated, &back);
                while now.mean < Temperature::celsius(150.0) {
                    now = sheet.step(&heated, &back);
                }
                let far = if back == heated { now.middle } else { now.back };
                let found = [sheet.time().get(), now.face.to_celsius(), far.to_celsius()];
                let case = format!("{plastic:?} {mm} mm {kilowatts}: {found:?} for {want:?}");
                assert!((found[0] / want[0] - 1.0).abs() < 0.01, "{case}");
                assert!((found[1] - want[1]).abs() < 1.0, "{case}");
                assert!((found[2] - want[2]).abs() < 1.0, "{case}");
            }
        }
    }

    // First terms of the series of a slab with fixed faces (Carslaw & Jaeger, section 3.3): HIPS from 150 to 80 °C on metal
    // at 40 °C; gauge in mm, then seconds of mean and middle with both faces held, of mean and far face with one.
    #[test]
    fn on_cold_metal_the_sheet_cools_as_the_series_says() {
        let metal = Boundary::air(Temperature::celsius(40.0), 1e6);
        for (mm, [both, middle, one, far]) in [
            (0.5, [0.18, 0.29, 0.74, 1.16]),
            (1.0, [0.74, 1.16, 2.96, 4.62]),
            (2.0, [2.96, 4.62, 11.8, 18.5]),
            (3.0, [6.65, 10.4, 26.6, 41.6]),
        ] {
            for (back, mean_s, far_s) in [(metal, both, middle), (Boundary::INSULATED, one, far)] {
                let hips = material(Plastic::Hips);
                let mut sheet = WarmSheet::new(Length::mm(mm), hips, Temperature::celsius(150.0));
                let cold = Temperature::celsius(80.0);
                let (mut of_mean, mut of_far) = (None, None);
                while of_far.is_none() {
                    let now = sheet.step(&metal, &back);
                    let place = if back == metal { now.middle } else { now.back };
                    of_mean = of_mean.or((now.mean <= cold).then(|| sheet.time().get()));
                    of_far = of_far.or((place <= cold).then(|| sheet.time().get()));
                }
                for (found, want) in [(of_mean, mean_s), (of_far, far_s)] {
                    let found = found.unwrap_or(f64::NAN);
                    // Two digits are printed of the shortest.
                    assert!(
                        (found - want).abs() < 0.012 * want + 0.005,
                        "{mm}: {found} for {want}"
                    );
                }
            }
        }
    }

    // Net flux between large grey faces of emissivity 0.9, sigma (Th^4 - Ts^4) / (2/0.9 - 1), in kW/m²: from first
    // principles, so 400 °C against 25, 100 and 150 °C.
    #[test]
    fn a_grey_heater_gives_less_to_a_warmer_sheet() {
        let share = 1.0 / (2.0 / 0.9 - 1.0);
        let heater =
            Boundary { heater: Some((Temperature::celsius(400.0), share)), ..Boundary::INSULATED };
        for (face, kilowatts) in [(25.0, 9.16), (100.0, 8.63), (150.0, 8.04)] {
            let found = heater.inflow(face) / 1e3;
            assert!((found - kilowatts).abs() < 0.006, "{face}: {found}");
        }
    }
}

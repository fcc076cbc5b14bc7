//! How long a sheet takes to its forming window, as a range, and how long to cool.

use super::{Boundary, Material, Profile, WarmSheet, material, window};
use crate::physics::{contact_time, lumped_time};
use crate::plan::Plastic;
use crate::units::{Flux, Length, Seconds, Temperature};

/// The longest heat that is looked at, in seconds.
pub(super) const LONGEST: f64 = 3600.0;

/// Steps of one heat at most, so that no gauge takes long.
const MOST_STEPS: u32 = 400_000;

/// Still air under a sheet, in W/m²K, radiation to the room included (common practice).
const BACK: f64 = 12.0;

/// Which sides a heater reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// One side; the other loses heat to the air.
    One,
    /// Both sides alike.
    Both,
}

/// What is known of a heater.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heater {
    /// Which sides it reaches.
    pub sides: Sides,
    /// What a side of the sheet takes up, at least and at most.
    pub absorbed: (Flux, Flux),
    /// The air of the room, and the sheet at the start.
    pub room: Temperature,
}

impl Default for Heater {
    /// One side, 5 to 10 kW/m² (what common bench heaters give; our own choice until pulls are logged), 23 °C.
    fn default() -> Self {
        let absorbed = (Flux::watts_per_m2(5e3), Flux::watts_per_m2(10e3));
        Self { sides: Sides::One, absorbed, room: Temperature::celsius(23.0) }
    }
}

/// A time from and to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// At the earliest.
    pub from: Seconds,
    /// At the latest; infinite when it may never be.
    pub to: Seconds,
}

/// How a sheet of one gauge warms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heating {
    /// When its coldest place can be formed at all: begin to watch.
    pub watch_from: Span,
    /// When its mean comes to where it is usually formed.
    pub usual: Span,
    /// When its hottest face comes to the limit.
    pub limit: Span,
    /// The temperatures when the mean is where it is usually formed, with the strongest and the weakest heat.
    pub profiles: (Option<Profile>, Option<Profile>),
    /// True when with the strongest heat the face is spoilt before the mean is where it should be: turn the heater down,
    /// pause, or turn the sheet.
    pub is_too_fast: bool,
}

/// The times of one heat.
#[derive(Clone, Copy, Debug, Default)]
struct Times {
    watch_from: Option<f64>,
    usual: Option<(f64, Profile)>,
    limit: Option<f64>,
}

/// How a sheet of this plastic and gauge warms under a heater.
///
/// The range is that of the absorbed flux and of the heat that the plastic takes up. Left out: that the specific heat
/// rises by degrees, that the edges stay colder, and what thin clear sheet lets through. Cost: a few milliseconds.
#[must_use]
pub fn heating(plastic: Plastic, gauge: Length, heater: &Heater) -> Heating {
    let [light, heavy] = extremes(plastic, heater.room);
    let fast = heat(plastic, (gauge, light), heater.absorbed.1, heater);
    let slow = heat(plastic, (gauge, heavy), heater.absorbed.0, heater);
    let span = |of: &dyn Fn(&Times) -> Option<f64>| {
        let time = |times: &Times| Seconds::new(of(times).unwrap_or(f64::INFINITY));
        Span { from: time(&fast), to: time(&slow) }
    };
    let usual = |times: &Times| times.usual.map(|(time, _)| time);
    let is_too_fast = match (fast.limit, usual(&fast)) {
        (Some(limit), Some(usual)) => limit < usual,
        (Some(_), None) => true,
        (None, _) => false,
    };
    let profile = |times: &Times| times.usual.map(|(_, profile)| profile);
    Heating {
        watch_from: span(&|times| times.watch_from),
        usual: span(&usual),
        limit: span(&|times| times.limit),
        profiles: (profile(&fast), profile(&slow)),
        is_too_fast,
    }
}

/// By how many kelvin the mean rises in that time for each W/m² that is taken up, with all the heat that the plastic may
/// take up.
///
/// The sheet conducts heat and loses it in proportion to its temperatures, and the room is where it begins, so the rise
/// goes with the flux. A sheet too thin for so many steps is taken for equally warm throughout.
pub(super) fn rise_for_flux(
    plastic: Plastic,
    gauge: Length,
    heater: &Heater,
    time: Seconds,
) -> f64 {
    /// Steps that are still taken: some milliseconds.
    const MOST: f64 = 1e5;
    const UNIT: f64 = 1e3;
    let [_, heavy] = extremes(plastic, heater.room);
    let (face, back) = faces(Flux::watts_per_m2(UNIT), heater);
    let mut sheet = WarmSheet::new(gauge, heavy, heater.room);
    let (mut before, mut mean) = (0.0, sheet.step(&face, &back).mean - heater.room);
    let (mut earlier, first) = (0.0, sheet.time().get());
    if !(first > 0.0 && time.get() < LONGEST * 2.0) {
        return 0.0;
    }
    if time.get() > MOST * first {
        return even_rise(gauge, heavy, heater.sides, time);
    }
    while sheet.time() < time {
        earlier = sheet.time().get();
        before = mean;
        mean = sheet.step(&face, &back).mean - heater.room;
    }
    let share = (time.get() - earlier) / (sheet.time().get() - earlier);
    (before + (mean - before) * share) / UNIT
}

/// The same of a sheet that is equally warm throughout.
fn even_rise(gauge: Length, material: Material, sides: Sides, time: Seconds) -> f64 {
    let holds = material.capacity() * gauge.to_mm() / 1e3;
    match sides {
        Sides::Both => 2.0 * time.get() / holds,
        Sides::One => -libm::expm1(-BACK * time.get() / holds) / BACK,
    }
}

/// What reaches the two faces of a sheet under a heater.
pub(super) const fn faces(flux: Flux, heater: &Heater) -> (Boundary, Boundary) {
    let face = Boundary::flux(flux);
    match heater.sides {
        Sides::Both => (face, face),
        Sides::One => (face, Boundary::air(heater.room, BACK)),
    }
}

/// The plastic as it takes up least heat to forming, and as it takes up most.
pub(super) fn extremes(plastic: Plastic, room: Temperature) -> [Material; 2] {
    let (cold, rise) = (material(plastic), window(plastic).usual.0 - room);
    let filled = cold.with_forming_heat(cold.forming_heat.1, rise.max(1.0));
    if cold.specific_heat < filled.specific_heat { [cold, filled] } else { [filled, cold] }
}

/// One heat, until all that is asked for has happened, or an hour is over.
fn heat(
    plastic: Plastic,
    (gauge, material): (Length, Material),
    flux: Flux,
    heater: &Heater,
) -> Times {
    let window = window(plastic);
    let (face, back) = faces(flux, heater);
    let mut sheet = WarmSheet::new(gauge, material, heater.room);
    let mut times = Times::default();
    // What is no sheet at all takes no heat.
    if !(gauge > Length::ZERO && gauge.to_mm().is_finite()) {
        return times;
    }
    for _ in 0..MOST_STEPS {
        let now = sheet.step(&face, &back);
        let time = sheet.time().get();
        if now.coldest() >= window.least {
            times.watch_from.get_or_insert(time);
        }
        if now.mean >= window.usual.0 {
            times.usual.get_or_insert((time, now));
        }
        if now.hottest() >= window.most {
            times.limit.get_or_insert(time);
        }
        let is_done = times.watch_from.is_some() && times.usual.is_some() && times.limit.is_some();
        if is_done || time > LONGEST {
            break;
        }
    }
    times
}

/// How long a formed sheet cools until it can be taken off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cooling {
    /// On metal that stays at 40 °C: at the least.
    pub on_metal: Seconds,
    /// In still air, on a mold that keeps its heat.
    pub in_still_air: Seconds,
    /// Under a fan.
    pub under_fan: Seconds,
}

/// How long a sheet of this plastic cools from forming until it is set; `thickness` is what the draw has left of it.
#[must_use]
pub fn cooling(plastic: Plastic, thickness: Length, room: Temperature) -> Cooling {
    /// Film coefficients in W/m²K (common practice).
    const STILL: f64 = 10.0;
    const FAN: f64 = 30.0;
    let (window, material) = (window(plastic), material(plastic));
    let metal = Temperature::celsius(40.0);
    let range = |cold: Temperature| (window.usual.1, window.set, cold);
    let in_air = |film: f64| lumped_time(thickness, (material.capacity(), film), range(room));
    Cooling {
        on_metal: contact_time(thickness, material.diffusivity(), range(metal)),
        in_still_air: in_air(STILL),
        under_fan: in_air(FAN),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn constant(flux: f64, sides: Sides) -> Heater {
        let flux = Flux::watts_per_m2(flux);
        Heater { sides, absorbed: (flux, flux), room: Temperature::celsius(23.0) }
    }

    // Closed form of Carslaw & Jaeger, section 3.8, for HIPS with the properties of Crawford's table 1.8, from 23 °C to a
    // mean of 149 °C: t = rho c L 126 K / q, both sides at 5 and 10 kW/m² each.
    #[test]
    fn times_on_both_sides_are_those_of_the_closed_form() {
        for (mm, flux) in [(0.75, 5e3), (1.5, 5e3), (1.5, 10e3), (3.0, 10e3), (6.0, 5e3)] {
            let found = heating(Plastic::Hips, Length::mm(mm), &constant(flux, Sides::Both));
            let want = 1050.0 * 1300.0 * mm / 2e3 * 126.0 / flux;
            assert!((found.usual.from.get() / want - 1.0).abs() < 0.005, "{mm}: {found:?}");
            assert!(found.usual.to.get() > want * 1.2, "the heat to forming is larger: {found:?}");
        }
    }

    // Thin enough for both ways: at 0.5 mm the Biot number is 0.04, so an equally warm sheet is a per cent off at most.
    #[test]
    fn a_sheet_taken_for_equally_warm_rises_as_the_stepped_one() {
        for sides in [Sides::One, Sides::Both] {
            let heater = constant(1e3, sides);
            let (gauge, time) = (Length::mm(0.5), Seconds::new(20.0));
            let stepped = rise_for_flux(Plastic::Hips, gauge, &heater, time);
            let [_, heavy] = extremes(Plastic::Hips, heater.room);
            let even = even_rise(gauge, heavy, sides, time);
            assert!((stepped / even - 1.0).abs() < 0.01, "{sides:?}: {stepped} {even}");
        }
    }

    // The reading of the table of such times: a face of 217 °C at 3 mm and 10 kW/m² from one side is over HIPS' limit of
    // 182 °C, one of 158 °C at 0.75 mm and 5 kW/m² is not.
    #[test]
    fn a_thick_sheet_under_a_strong_heater_is_spoilt_before_it_is_ready() {
        let thick = heating(Plastic::Hips, Length::mm(3.0), &constant(10e3, Sides::One));
        assert!(thick.is_too_fast, "{thick:?}");
        let thin = heating(Plastic::Hips, Length::mm(0.75), &constant(5e3, Sides::One));
        assert!(!thin.is_too_fast && thin.watch_from.from < thin.limit.from, "{thin:?}");
    }

    #[test]
    fn more_gauge_takes_longer_and_more_heat_less_and_odd_input_ends() {
        let time = |mm: f64, flux: f64| {
            heating(Plastic::Abs, Length::mm(mm), &constant(flux, Sides::One)).usual.from
        };
        assert!(time(1.0, 8e3) < time(2.0, 8e3) && time(2.0, 12e3) < time(2.0, 8e3));
        // Too weak to come anywhere against the air at the back.
        assert!(time(2.0, 200.0).get().is_infinite());
        for (mm, flux) in [(0.0, 5e3), (-1.0, 5e3), (f64::NAN, 5e3), (1e6, 1.0), (1.0, f64::NAN)] {
            let _ = time(mm, flux);
        }
    }

    // Shop times of HIPS of 1, 1.5, 2 and 3 mm from one side are 20-40, 40-70, 60-110 and 110-200 s (common practice);
    // the default range must meet each.
    #[test]
    fn the_default_range_meets_what_shops_do() {
        for (mm, low, high) in
            [(1.0, 20.0, 40.0), (1.5, 40.0, 70.0), (2.0, 60.0, 110.0), (3.0, 110.0, 200.0)]
        {
            let Span { from, to } =
                heating(Plastic::Hips, Length::mm(mm), &Heater::default()).usual;
            assert!(from.get() < high && to.get() > low, "{mm}: {from:?} to {to:?}");
        }
    }

    #[test]
    fn a_formed_sheet_cools_soonest_on_metal_and_last_in_still_air() {
        for plastic in Plastic::ALL {
            let room = Temperature::celsius(23.0);
            let Cooling { on_metal, in_still_air, under_fan } =
                cooling(plastic, Length::mm(1.0), room);
            assert!(Seconds::ZERO < on_metal && on_metal < under_fan, "{plastic:?}");
            assert!(under_fan < in_still_air, "{plastic:?}");
        }
    }
}

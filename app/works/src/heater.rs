//! Tells how a plan's sheet is heated and cooled, in words.

use engine::file::load;
use engine::heat::{
    CAUTIONS, Heater, Sides, WATCH, caution, drying, heat_plan, signs, window_words,
};
use engine::units::Flux;
use serde::{Deserialize, Serialize};

use super::Answer;

/// A heater, as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct HeaterSaid {
    /// Whether it heats both sides of the sheet.
    pub is_both: bool,
    /// What each side takes up, at least and at most, in kW/m².
    pub flux: [f64; 2],
    /// How many logged pulls that is known from.
    pub logged: u32,
}

/// How a sheet is heated and cooled.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HeatTold {
    /// Times as ranges, each with its name.
    pub times: Vec<[String; 2]>,
    /// What the times rest on.
    pub basis: String,
    /// That the heat is too strong for the gauge, and what to do.
    pub turn_down: Option<String>,
    /// Everything else, each with its name.
    pub told: Vec<[String; 2]>,
}

impl Default for HeaterSaid {
    fn default() -> Self {
        let Heater { sides, absorbed, .. } = Heater::default();
        let kilowatts = |flux: Flux| flux.to_watts_per_m2() / 1e3;
        Self {
            is_both: sides == Sides::Both,
            flux: [kilowatts(absorbed.0), kilowatts(absorbed.1)],
            logged: 0,
        }
    }
}

impl HeaterSaid {
    /// The engine's heater; no heater gives less than nothing or more than one that glows.
    pub(super) fn heater(&self) -> Heater {
        let flux = |kilowatts: f64| Flux::watts_per_m2(kilowatts.clamp(0.1, 120.0) * 1e3);
        let [low, high] = self.flux;
        Heater {
            sides: if self.is_both { Sides::Both } else { Sides::One },
            absorbed: (flux(low.min(high)), flux(low.max(high))),
            ..Heater::default()
        }
    }
}

/// The heat of the plan's sheet.
pub(super) fn heated(plan: &str, heater: &HeaterSaid) -> Result<Answer, String> {
    let stock = load(plan).map_err(|error| error.to_string())?.stock;
    let logged = usize::try_from(heater.logged).unwrap_or(usize::MAX);
    let plan = heat_plan(&stock, &heater.heater(), logged);
    let told = |name: &str, words: &str| [name.to_owned(), words.to_owned()];
    let ready = plan.faces.map(|faces| told("When it is ready", &faces));
    let mut rest = vec![told("What to watch", &format!("{WATCH} {}", signs(stock.plastic)))];
    rest.extend(ready);
    rest.push(told("Forming window", &window_words(stock.plastic)));
    rest.push(told("Drying", &drying(stock.plastic, stock.gauge)));
    rest.push(told("Cooling", &plan.cooling));
    rest.push(told("Beware", &format!("{} {}", caution(stock.plastic), CAUTIONS.join(" "))));
    Ok(Answer::Heated(Box::new(HeatTold {
        times: plan.times.map(|(name, words)| told(name, &words)).to_vec(),
        basis: plan.basis,
        turn_down: plan.turn_down,
        told: rest,
    })))
}

#[cfg(test)]
mod tests {
    use engine::file::save;
    use engine::plan::sample;

    use super::*;

    #[test]
    fn a_heat_is_told_as_ranges_with_what_they_rest_on() {
        let Ok(Answer::Heated(told)) = heated(&save(&sample()), &HeaterSaid::default()) else {
            panic!("no heat");
        };
        assert_eq!(told.times.len(), 3);
        assert!(told.times.iter().all(|[_, words]| words.contains(" to ")), "{told:?}");
        let known = HeaterSaid { logged: 4, flux: [9.0, f64::NAN], is_both: true };
        let Ok(Answer::Heated(told)) = heated(&save(&sample()), &known) else { panic!("no heat") };
        assert!(told.basis.contains("4 logged pulls"), "{}", told.basis);
    }
}

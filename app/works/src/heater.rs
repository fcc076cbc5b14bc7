//! Tells how the sheet of a pull is heated and cooled, in words.

use engine::file::load;
use engine::heat::{
    CAUTIONS, Heater, Sides, WATCH, caution, caution_trust, drying, heat_plan, signs, signs_trust,
    window_words,
};
use engine::plan::PullId;
use engine::units::{Flux, read_decimal};
use serde::{Deserialize, Serialize};

use super::Answer;
use super::cutter::Told;
use super::pictures::element;

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
    /// What was said as one line, to be remembered: `both 5 7.5`.
    #[must_use]
    pub fn to_words(&self) -> String {
        let sides = if self.is_both { "both" } else { "one" };
        format!("{sides} {} {}", self.flux[0], self.flux[1])
    }

    /// What such a line says; `None` for what is none, or no heater.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        let parts: Vec<&str> = words.split(' ').collect();
        let [sides, low, high] = parts[..] else { return None };
        let flux = |text| read_decimal(text).filter(|flux| (0.1..=120.0).contains(flux));
        let is_both = match sides {
            "both" => true,
            "one" => false,
            _ => return None,
        };
        Some(Self { is_both, flux: [flux(low)?, flux(high)?], logged: 0 })
    }

    /// The engine's heater; no heater gives less than nothing or more than one that glows.
    pub fn heater(&self) -> Heater {
        let flux = |kilowatts: f64| Flux::watts_per_m2(kilowatts.clamp(0.1, 120.0) * 1e3);
        let [low, high] = self.flux;
        Heater {
            sides: if self.is_both { Sides::Both } else { Sides::One },
            absorbed: (flux(low.min(high)), flux(low.max(high))),
            ..Heater::default()
        }
    }
}

/// The heat of the sheet of a pull.
pub(super) fn heated(plan: &str, pull: u32, heater: &HeaterSaid) -> Result<Answer, String> {
    let plan = load(plan).map_err(|error| error.to_string())?;
    let stock = *plan.stock_of_pull(PullId(pull));
    let logged = usize::try_from(heater.logged).unwrap_or(usize::MAX);
    let plan = heat_plan(&stock, &heater.heater(), logged);
    let row = |(name, words): &(&str, String)| element("dt", "", name) + &element("dd", "", words);
    let times: String = plan.times.iter().map(row).collect();
    let mut markup = format!("<dl class=\"heat-times\">{times}</dl>");
    markup += &element("p", "panel-note", &plan.basis);
    let too_fast = plan.turn_down.map(|words| match plan.knob {
        Some(knob) => format!("{words} {knob}"),
        None => words,
    });
    markup += &too_fast.map_or_else(String::new, |words| element("p", "warning", &words));
    let rest = [
        (
            "What to watch",
            format!("{WATCH} {} ({})", signs(stock.plastic), signs_trust(stock.plastic).words()),
        ),
        ("When it is ready", plan.faces.unwrap_or_default()),
        ("Forming window", window_words(stock.plastic)),
        ("Drying", drying(stock.plastic, stock.gauge)),
        ("Cooling", plan.cooling),
        ("Beware", {
            let (own, trust) = (caution(stock.plastic), caution_trust(stock.plastic));
            format!("{own} ({}) {}", trust.words(), CAUTIONS.join(" "))
        }),
    ];
    for (name, words) in rest.iter().filter(|(_, words)| !words.is_empty()) {
        markup += &(element("h3", "", name) + &element("p", "", words));
    }
    let (name, words) = &plan.times[1];
    let summary = format!("{name}: {words}.");
    Ok(Answer::Told(Box::new(Told { summary, markup, pieces: Vec::new(), used: Vec::new() })))
}

#[cfg(test)]
mod tests {
    use engine::file::save;
    use engine::plan::sample;

    use super::*;

    #[test]
    fn what_was_said_of_a_heater_is_remembered_as_a_line() {
        let said = HeaterSaid { is_both: true, flux: [4.0, 6.25], logged: 0 };
        assert_eq!(said.to_words(), "both 4 6.25");
        assert_eq!(HeaterSaid::from_words(&said.to_words()), Some(said));
        let default = HeaterSaid::default();
        assert_eq!(HeaterSaid::from_words(&default.to_words()), Some(default));
        for words in ["", "both 4", "both 4 0", "both 4 NaN", "none 4 5", "one 4 5 6"] {
            assert_eq!(HeaterSaid::from_words(words), None, "{words:?}");
        }
    }

    #[test]
    fn a_heat_is_told_as_ranges_with_what_they_rest_on() {
        let Ok(Answer::Told(told)) = heated(&save(&sample()), 1, &HeaterSaid::default()) else {
            panic!("no heat");
        };
        assert_eq!(told.markup.matches("<dd").count(), 3);
        assert!(told.summary.starts_with("Usually ready: ") && told.summary.contains(" to "));
        // HIPS: what it sags is common practice, what it gives off is read.
        assert!(told.markup.contains("1 in. (common practice)"), "{}", told.markup);
        assert!(told.markup.contains("air the room. (read in the source)"), "{}", told.markup);
        let known = HeaterSaid { logged: 4, flux: [9.0, f64::NAN], is_both: true };
        let Ok(Answer::Told(told)) = heated(&save(&sample()), 1, &known) else { panic!("no heat") };
        assert!(told.markup.contains("4 logged pulls"), "{}", told.markup);
    }
}

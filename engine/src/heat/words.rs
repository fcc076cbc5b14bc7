//! What to watch for while a sheet heats, and what to beware of: forming windows and cautions by plastic.
//!
//! **Source** of drying: Palram, Palsun manual, p. 32; Eastman, Spectar thermoforming questions; suppliers' data sheets of
//! HIPS and acrylic; the rest from memory. Cautions: HSE, Plastics Processing Sheet 13, *Controlling fume during plastics
//! processing*, 2002, table 1; the rest is common practice.

use super::{
    Cooling, Heater, Heating, Profile, Sides, Span, TurnDown, Window, cooling, heating, turn_down,
    window,
};
use crate::plan::{Plastic, Stock};
use crate::rules::Trust;
use crate::units::{Flux, Length, Seconds, Temperature};

/// The window in words: never a promise, always with how far it can be trusted.
#[must_use]
pub fn window_words(plastic: Plastic) -> String {
    let Window { least, usual, most, trust, source, .. } = window(plastic);
    let usual = if usual.0 < usual.1 {
        format!("between {} and {}", usual.0.show(), usual.1.show())
    } else {
        format!("at about {}", usual.0.show())
    };
    format!(
        "{} is usually formed {usual}, not below {} and not above {} ({}: {source}). \
         Your sheet's data sheet goes first.",
        plastic.name(),
        least.show(),
        most.show(),
        trust.words(),
    )
}

/// What every sheet does on its way (common practice).
pub const WATCH: &str = "Watch the sheet, not the clock: it ripples, lies flat again, then sags. Form when it \
     sags evenly, and quickly: it stays soft for a few seconds only. The first pull of a layout is a test.";

/// What this plastic shows when it is ready or too hot (common practice unless the source is named).
#[must_use]
pub const fn signs(plastic: Plastic) -> &'static str {
    match plastic {
        Plastic::Hips => {
            "HIPS has a wide window; over a 12 in opening it usually sags 1/2 to 1 in."
        }
        Plastic::Abs => {
            "Over a 12 in opening ABS usually sags 1/2 to 1 in. Bubbles mean damp sheet: dry it first."
        }
        Plastic::Petg => "PETG sags less than HIPS and turns frosty when it is too hot.",
        Plastic::AcrylicCast | Plastic::AcrylicExtruded => {
            "Ask which acrylic you have: cast is formed hotter than extruded."
        }
        Plastic::Polycarbonate => "Polycarbonate bubbles when it is damp.",
        Plastic::Pvc => "PVC discolours when it is too hot.",
        Plastic::Hdpe => "HDPE turns clear when it is ready, and falls quickly after that.",
        Plastic::Polypropylene => {
            "Polypropylene turns glossy when it is ready, and falls quickly after that; its window is a few degrees."
        }
    }
}

/// Whether the sheet is dried before it is heated, and how.
#[must_use]
pub fn drying(plastic: Plastic, gauge: Length) -> String {
    match plastic {
        Plastic::Polycarbonate => {
            // Hours at 125 °C by gauge in mm.
            const HOURS: [(f64, f64); 7] =
                [(1.0, 1.5), (2.0, 4.0), (3.0, 7.0), (4.0, 12.0), (5.0, 18.0), (6.0, 26.0), (8.0, 45.0)];
            let row = HOURS.iter().find(|(mm, _)| gauge.to_mm() <= mm + 0.05).unwrap_or(&HOURS[6]);
            format!(
                "Dry it first: {} h at 125 \u{b0}C (257 \u{b0}F) for sheet of up to {} mm, film off, air all round, and form it \
                 within hours (Palram, Palsun manual, p. 32).",
                row.1, row.0
            )
        }
        Plastic::Petg => "Needs no drying as a rule (Eastman, Spectar thermoforming questions).".to_owned(),
        Plastic::Hips => "Seldom needs drying (suppliers' data sheets).".to_owned(),
        Plastic::AcrylicCast | Plastic::AcrylicExtruded => {
            "Rarely needs drying; if it bubbles, 24 h at 80 \u{b0}C (176 \u{b0}F) (a sheet maker's manual).".to_owned()
        }
        Plastic::Abs => {
            "If it bubbles, dry it at 70 to 80 \u{b0}C (158 to 176 \u{b0}F), about an hour for each mm (from memory)."
                .to_owned()
        }
        Plastic::Pvc | Plastic::Hdpe | Plastic::Polypropylene => {
            "Needs no drying (from memory).".to_owned()
        }
    }
}

/// How a sheet is heated and cooled, in words.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatPlan {
    /// Times as ranges: when to begin to watch, when it is usually ready, when the hot face is at the limit.
    pub times: [(&'static str, String); 3],
    /// What the times rest on, and how far they can be trusted.
    pub basis: String,
    /// How hot both faces are when the sheet is usually ready.
    pub faces: Option<String>,
    /// What to do when the face is spoilt before the sheet is through.
    pub turn_down: Option<String>,
    /// How far to turn the heater down for that, when, and when the sheet is then ready; nothing where that does not help.
    pub knob: Option<String>,
    /// How long to cool.
    pub cooling: String,
}

/// The plan of a heat; `logged` is the number of logged pulls that the heater is known from.
#[must_use]
pub fn heat_plan(stock: &Stock, heater: &Heater, logged: usize) -> HeatPlan {
    let found = heating(stock.plastic, stock.gauge, heater);
    let turned = found.is_too_fast.then(|| turn_down(stock.plastic, stock.gauge, heater)).flatten();
    HeatPlan {
        times: [
            ("Begin to watch", span_words(found.watch_from)),
            ("Usually ready", span_words(found.usual)),
            ("Hot face at the limit", span_words(found.limit)),
        ],
        basis: basis(heater, logged),
        faces: faces(&found),
        turn_down: found.is_too_fast.then(|| too_fast(heater.sides, &found)),
        knob: turned.as_ref().map(turn_words),
        cooling: cooling_words(stock, heater.room),
    }
}

/// `26 s to 52 s`; what never comes is said.
fn span_words(span: Span) -> String {
    let Span { from, to } = span;
    match (from.get().is_finite(), to.get().is_finite()) {
        (true, true) => format!("{} to {}", round(from).show(), round(to).show()),
        (true, false) => format!("{} at the soonest, perhaps never", round(from).show()),
        (false, _) => "not within an hour".to_owned(),
    }
}

/// To 5 s above 30 s: nobody's heater is more exact.
fn round(time: Seconds) -> Seconds {
    let step = if time.get() > 30.0 { 5.0 } else { 1.0 };
    Seconds::new(libm::round(time.get() / step) * step)
}

fn basis(heater: &Heater, logged: usize) -> String {
    let kilowatts = |flux: Flux| libm::round(flux.to_watts_per_m2() / 100.0) / 10.0;
    let (low, high) = (kilowatts(heater.absorbed.0), kilowatts(heater.absorbed.1));
    let sides = match heater.sides {
        Sides::One => "one side",
        Sides::Both => "both sides",
    };
    let known = match logged {
        0 => "a guess until pulls are logged".to_owned(),
        1 => "from 1 logged pull".to_owned(),
        n => format!("from {n} logged pulls"),
    };
    format!(
        "Heat on {sides}, {low} to {high} kW/m\u{b2} taken up on each ({known}); a cool bench takes longer."
    )
}

fn faces(found: &Heating) -> Option<String> {
    let (Some(fast), Some(slow)) = found.profiles else { return None };
    let span = |of: fn(&Profile) -> Temperature| {
        let (one, other) = (of(&fast).to_celsius(), of(&slow).to_celsius());
        let show = |celsius: f64| Temperature::celsius(celsius).show();
        format!("{} to {}", show(one.min(other)), show(one.max(other)))
    };
    Some(format!(
        "The heated face is then at {}, the back at {}.",
        span(|p| p.face),
        span(|p| p.back)
    ))
}

fn too_fast(sides: Sides, found: &Heating) -> String {
    let side = match sides {
        Sides::One => " or turn the sheet over",
        Sides::Both => "",
    };
    let when = found.limit.from.get();
    let when = if when.is_finite() {
        format!(" after {}", round(found.limit.from).show())
    } else {
        String::new()
    };
    format!(
        "With the strongest of this heat the face is spoilt{when}, before the sheet is through: turn the heater down when \
         the sheet begins to ripple, pause{side}."
    )
}

/// `Turn the heater down to about 40 to 70 % after 25 s, and the sheet is usually ready after 60 s to 110 s.`
fn turn_words(TurnDown { at, share, ready }: &TurnDown) -> String {
    // Rounded to the safe side: sooner, and less.
    let percent = |share: f64| libm::floor(share * 20.0) * 5.0;
    let early = |time: Seconds| {
        let step = if time.get() > 30.0 { 5.0 } else { 1.0 };
        Seconds::new(libm::floor(time.get() / step) * step).show()
    };
    let (low, high) = (percent(share.0), percent(share.1));
    let far = if high > low { format!("{low} to {high} %") } else { format!("{low} %") };
    let after = if at.to.get().is_finite() && early(at.from) != early(at.to) {
        format!("{} to {}", early(at.from), early(at.to))
    } else {
        early(at.from)
    };
    format!(
        "Turn the heater down to about {far} after {after}, and the sheet is usually ready after {}.",
        span_words(*ready)
    )
}

fn cooling_words(stock: &Stock, room: Temperature) -> String {
    let Cooling { on_metal, in_still_air, under_fan } = cooling(stock.plastic, stock.gauge, room);
    let set = window(stock.plastic).set;
    format!(
        "Lift it below {} (from memory). At full gauge that takes about {} on cold metal, {} under a fan, {} in still air; \
         thin walls are sooner stiff, warm molds later.",
        set.show(),
        round(on_metal).show(),
        round(under_fan).show(),
        round(in_still_air).show(),
    )
}

/// What to beware of with this plastic.
#[must_use]
pub const fn caution(plastic: Plastic) -> &'static str {
    match plastic {
        Plastic::Hips | Plastic::Abs => {
            "A strong sweet smell means too hot: styrene among other fume. Turn the heater down and air the room."
        }
        Plastic::Petg => "Smoke means far too hot: heater off, air the room.",
        Plastic::AcrylicCast | Plastic::AcrylicExtruded => {
            "The vapour of acrylic is flammable: never in a kitchen oven, never near a flame."
        }
        Plastic::Polycarbonate => {
            "Never needs more than 215 \u{b0}C (419 \u{b0}F); smoke means heater off."
        }
        Plastic::Pvc => {
            "If PVC smokes, stop, heater off, everybody out: the fume is hydrogen chloride, an acid gas."
        }
        Plastic::Hdpe | Plastic::Polypropylene => {
            "Overheated it gives off irritant fume and drips when it falls: smoke means heater off, air the room."
        }
    }
}

/// How far to trust what [`signs`] says.
#[must_use]
pub const fn signs_trust(plastic: Plastic) -> Trust {
    match plastic {
        // US Plastic Corp., knowledge base article 583, has a range for each.
        Plastic::AcrylicCast | Plastic::AcrylicExtruded => Trust::Read,
        _ => Trust::CommonPractice,
    }
}

/// How far to trust what [`caution`] says.
#[must_use]
pub const fn caution_trust(plastic: Plastic) -> Trust {
    match plastic {
        // HSE, sheet 13, table 1; of acrylic US Plastic Corp., knowledge base article 583.
        Plastic::Hips
        | Plastic::Abs
        | Plastic::Pvc
        | Plastic::Polypropylene
        | Plastic::AcrylicCast
        | Plastic::AcrylicExtruded => Trust::Read,
        Plastic::Polycarbonate => Trust::Memory,
        Plastic::Petg | Plastic::Hdpe => Trust::CommonPractice,
    }
}

/// What to beware of with any sheet (common practice).
pub const CAUTIONS: [&str; 2] = [
    "Extraction on or the door open. An extinguisher at hand. Nobody leaves a heater that is on. Gloves for the \
     frame and the part; eyes covered; cut away from the hand.",
    "This card is a note to yourself, not a safety instruction. The sheet's data sheet, the machine's manual and \
     your local codes go first; wiring is for a licensed electrician.",
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample;

    #[test]
    fn a_heat_plan_tells_ranges_and_what_they_rest_on() {
        let stock = Stock { gauge: Length::mm(1.5), plastic: Plastic::Hips, ..sample().stock };
        let plan = heat_plan(&stock, &Heater::default(), 0);
        for (name, words) in &plan.times {
            assert!(words.contains(" to "), "{name}: {words}");
        }
        assert!(
            plan.basis.contains("5 to 10 kW/m\u{b2}") && plan.basis.contains("guess"),
            "{plan:?}"
        );
        assert!(heat_plan(&stock, &Heater::default(), 3).basis.contains("3 logged pulls"));
        // A thick sheet from one side: Carslaw & Jaeger, section 3.8, gives its face 217 °C at 3 mm and 10 kW/m².
        let thick = heat_plan(&Stock { gauge: Length::mm(3.0), ..stock }, &Heater::default(), 0);
        let words = thick.turn_down.expect("too fast");
        assert!(words.contains("turn the sheet over"), "{words}");
        let knob = thick.knob.expect("it helps");
        assert!(
            knob.starts_with("Turn the heater down to about") && knob.contains(" % after"),
            "{knob}"
        );
        assert!(knob.contains("usually ready after"), "{knob}");
        let gentle = (Flux::watts_per_m2(4e3), Flux::watts_per_m2(5e3));
        let gentle = Heater { absorbed: gentle, ..Heater::default() };
        let thin = heat_plan(&Stock { gauge: Length::mm(0.75), ..stock }, &gentle, 0);
        assert!(thin.turn_down.is_none() && thin.knob.is_none(), "{thin:?}");
        let weak = (Flux::watts_per_m2(100.0), Flux::watts_per_m2(200.0));
        let never = heat_plan(&stock, &Heater { absorbed: weak, ..Heater::default() }, 0);
        assert_eq!(never.times[1].1, "not within an hour");
    }

    // Palram, Palsun manual, p. 32: 1 mm 1.5 h, 3 mm 7 h, 8 mm 45 h.
    #[test]
    fn drying_goes_by_the_gauge() {
        for (mm, hours) in [(0.8, "1.5 h"), (1.02, "1.5 h"), (2.4, "7 h"), (12.0, "45 h")] {
            let words = drying(Plastic::Polycarbonate, Length::mm(mm));
            assert!(words.contains(hours), "{mm}: {words}");
        }
    }

    #[test]
    fn a_window_is_said_in_both_scales_with_its_trust() {
        assert_eq!(
            window_words(Plastic::Hips),
            "HIPS is usually formed at about 149 \u{b0}C (300 \u{b0}F), not below 127 \u{b0}C (261 \u{b0}F) and not \
             above 182 \u{b0}C (360 \u{b0}F) (from memory: guideline table of forming temperatures). Your sheet's \
             data sheet goes first."
        );
        for plastic in Plastic::ALL {
            assert!(window_words(plastic).contains("data sheet"));
        }
    }
}

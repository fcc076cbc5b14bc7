//! What to watch for while a sheet heats, and what to beware of: forming windows and cautions by plastic.
//!
//! The windows and their sources are those of `heat`. **Source** of drying: Palram, Palsun manual, p. 32. Cautions: HSE, Plastics Processing Sheet 13, *Controlling fume
//! during plastics processing*, 2002, table 1; the rest is common practice.

use crate::heat::{Window, window};
use crate::plan::Plastic;

/// The window in words: never a promise, always with how far it can be trusted.
pub(super) fn window_words(plastic: Plastic) -> String {
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
pub(super) const WATCH: &str = "Watch the sheet, not the clock: it ripples, lies flat again, then sags. Form when it \
     sags evenly, and quickly: it stays soft for a few seconds only. The first pull of a layout is a test.";

/// What this plastic shows when it is ready or too hot (common practice unless the source is named).
pub(super) const fn signs(plastic: Plastic) -> &'static str {
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
        Plastic::Polycarbonate => {
            "Polycarbonate bubbles when it is damp. Dry it at 125 \u{b0}C first: 1.5 h for 1 mm, 4 h for 2 mm, \
             7 h for 3 mm, film off (Palram, Palsun manual, p. 32)."
        }
        Plastic::Pvc => "PVC discolours when it is too hot.",
        Plastic::Hdpe => "HDPE turns clear when it is ready, and falls quickly after that.",
        Plastic::Polypropylene => {
            "Polypropylene turns glossy when it is ready, and falls quickly after that; its window is a few degrees."
        }
    }
}

/// What to beware of with this plastic.
pub(super) const fn caution(plastic: Plastic) -> &'static str {
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

/// What to beware of with any sheet (common practice).
pub(super) const CAUTIONS: [&str; 2] = [
    "Extraction on or the door open. An extinguisher at hand. Nobody leaves a heater that is on. Gloves for the \
     frame and the part; eyes covered; cut away from the hand.",
    "This card is a note to yourself, not a safety instruction. The sheet's data sheet, the machine's manual and \
     your local codes go first; wiring is for a licensed electrician.",
];

#[cfg(test)]
mod tests {
    use super::*;

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

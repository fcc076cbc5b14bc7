//! How the maker has forecasts made, as words that this browser remembers: the next visit begins with what was set last.

use engine::drape::Settings;
use engine::units::{Length, read_decimal};

use super::choice::{Choice, Net};

/// What stands before the friction of a sheet that slides.
const SLIDES: &str = "slides=";
/// What stands before the sag of a sheet that hangs, in millimetres.
const HANGS: &str = "hangs=";

/// A friction that a forecast takes.
fn friction_in(text: &str) -> Option<f64> {
    let (least, most) = Settings::FRICTION;
    read_decimal(text).filter(|friction| (least..=most).contains(friction))
}

/// A sag that some opening takes; which one it is for is known later.
fn sag_in(text: &str) -> Option<Length> {
    read_decimal(text).filter(|sag| *sag >= 0.0 && sag.is_finite()).map(Length::mm)
}

/// What is remembered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Habits {
    /// What the sheet is taken for, how far it hangs, how it lands, and how fine its net is.
    pub(super) choice: Choice,
    /// Whether a forecast runs by itself.
    pub(super) is_auto: bool,
}

impl Default for Habits {
    fn default() -> Self {
        Self { choice: Choice::default(), is_auto: true }
    }
}

impl Habits {
    /// A word for each thing that is not as it is at first.
    pub(super) fn to_words(self) -> String {
        let usual = Self::default();
        let mut words = Vec::new();
        if !self.is_auto {
            words.push("asked".to_owned());
        }
        if self.choice.is_uniform {
            words.push("film".to_owned());
        }
        if self.choice.slides {
            words.push(format!("{SLIDES}{}", self.choice.friction));
        }
        if self.choice.sag != usual.choice.sag {
            words.push(format!("{HANGS}{}", self.choice.sag.to_mm()));
        }
        if self.choice.net != usual.choice.net {
            words.push(self.choice.net.key().to_owned());
        }
        words.join(" ")
    }

    /// Words that nobody knows, an older or a newer page's, say nothing.
    pub(super) fn from_words(words: &str) -> Self {
        let mut habits = Self::default();
        for word in words.split(' ') {
            match word {
                "asked" => habits.is_auto = false,
                "film" => habits.choice.is_uniform = true,
                _ => {
                    let friction = word.strip_prefix(SLIDES).and_then(friction_in);
                    habits.choice.slides |= friction.is_some();
                    habits.choice.friction = friction.unwrap_or(habits.choice.friction);
                    let sag = word.strip_prefix(HANGS).and_then(sag_in);
                    habits.choice.sag = sag.unwrap_or(habits.choice.sag);
                    let net = Net::ALL.into_iter().find(|net| net.key() == word);
                    habits.choice.net = net.unwrap_or(habits.choice.net);
                }
            }
        }
        habits
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_choice_reads_back_as_it_was_set() {
        for is_auto in [false, true] {
            for is_uniform in [false, true] {
                for net in Net::ALL {
                    let choice = Choice { is_uniform, net, ..Choice::default() };
                    let sliding = Choice { slides: true, friction: 0.125, ..choice };
                    let hanging = Choice { sag: Length::mm(12.7), ..sliding };
                    for choice in [choice, sliding, hanging] {
                        let habits = Habits { choice, is_auto };
                        assert_eq!(Habits::from_words(&habits.to_words()), habits);
                    }
                }
            }
        }
    }

    #[test]
    fn what_was_never_set_is_not_written_and_what_is_not_known_is_passed_over() {
        assert_eq!(Habits::default().to_words(), "");
        let endless = format!("hangs={}", "9".repeat(400));
        let words =
            ["", "   ", "\u{1f41a} later=7", "asked-for", "slides=NaN", "slides=-1", &endless];
        for words in words.into_iter().chain(["hangs=", "hangs=-1", "hangs=NaN", "hangs=0.5in"]) {
            assert_eq!(Habits::from_words(words), Habits::default(), "{words:?}");
        }
        assert!(!Habits::from_words("later asked").is_auto);
        let hanging = Choice { sag: Length::inches(0.5), ..Choice::default() };
        let habits = Habits { choice: hanging, is_auto: true };
        assert_eq!(habits.to_words(), "hangs=12.7");
    }
}

//! Where the grain of a textured sheet ends up; said once a pull.
//!
//! **Source:** common practice: textured side away from the mold for a male pull if the texture is to show,
//! against it to hide.

use super::bench::Bench;
use super::draft::grain_words;
use super::voice::{Voice, Words};
use super::{Finding, Rule, Severity, Subject};
use crate::plan::{MoldKind, Texture};

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let is_textured = bench.stock().texture != Texture::Smooth;
    if is_textured && bench.molds().next().is_some() {
        found.push(Finding {
            rule: Rule::Texture,
            severity: Severity::Note,
            subjects: vec![Subject::Stock],
            place: None,
            measured: None,
            allowed: None,
        });
    }
}

pub(super) fn words(_: &Finding, voice: &Voice<'_>) -> Words {
    let is_against = voice.stock().texture == Texture::AgainstMold;
    let (lies, male, female) = if is_against {
        ("against", "inside of parts from male molds", "outside of parts from female molds")
    } else {
        ("away from", "outside of parts from male molds", "inside of parts from female molds")
    };
    let kinds = [(MoldKind::Male, male), (MoldKind::Female, female)];
    let faces: Vec<&str> =
        kinds.iter().filter(|(kind, _)| voice.has_kind(*kind)).map(|(_, face)| *face).collect();
    let draft =
        if is_against { format!(" Walls ask {}.", grain_words(voice)) } else { String::new() };
    Words {
        title: format!("The grain lies {lies} the mold"),
        reason: format!("It ends up on the {}.{draft}", faces.join(" and on the ")),
        next_step: "Turn the sheet over in the frame if you want it on the other face.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, check_words, layout};
    use super::*;
    use crate::plan::{Mold, Plan};

    fn standing(texture: Texture) -> Plan {
        let male = block("Limpet", 10.0);
        let female = Mold { kind: MoldKind::Female, ..male.clone() };
        let mut plan = layout(&[(&male, &[(80.0, 150.0, 0.0)]), (&female, &[(250.0, 150.0, 0.0)])]);
        plan.stock.texture = texture;
        plan
    }

    #[test]
    fn a_grain_against_the_mold_is_noted_once_a_pull() {
        check_words(
            &standing(Texture::AgainstMold),
            Rule::Texture,
            &[[
                "note",
                "The grain lies against the mold",
                "It ends up on the inside of parts from male molds and on the outside of parts from female molds. \
                 Walls ask 1 degree more draft for each 0.025 mm of grain.",
                "Turn the sheet over in the frame if you want it on the other face.",
            ]],
        );
    }

    #[test]
    fn only_the_kinds_that_stand_there_are_spoken_of() {
        let mut plan = layout(&[(&block("Limpet", 10.0), &[(80.0, 150.0, 0.0)])]);
        plan.stock.texture = Texture::AwayFromMold;
        check_words(
            &plan,
            Rule::Texture,
            &[[
                "note",
                "The grain lies away from the mold",
                "It ends up on the outside of parts from male molds.",
                "Turn the sheet over in the frame if you want it on the other face.",
            ]],
        );
    }

    #[test]
    fn smooth_sheet_and_an_empty_blank_pass() {
        check_words(&standing(Texture::Smooth), Rule::Texture, &[]);
        let mut empty = layout(&[]);
        empty.stock.texture = Texture::AgainstMold;
        check_words(&empty, Rule::Texture, &[]);
    }
}

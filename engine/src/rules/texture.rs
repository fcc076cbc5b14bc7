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
    let is_textured = bench.plan.stock.texture != Texture::Smooth;
    if is_textured && !bench.molds().is_empty() {
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
    let is_against = voice.plan.stock.texture == Texture::AgainstMold;
    let (lies, male, female) = if is_against {
        ("against", "inside of parts from male molds", "outside of parts from female molds")
    } else {
        ("away from", "outside of parts from male molds", "inside of parts from female molds")
    };
    let kinds = [(MoldKind::Male, male), (MoldKind::Female, female)];
    let faces: Vec<&str> =
        kinds.iter().filter(|(kind, _)| voice.has_kind(*kind)).map(|(_, face)| *face).collect();
    let draft = if is_against {
        format!(" Walls ask {} more draft.", grain_words(voice))
    } else {
        String::new()
    };
    Words {
        title: format!("The grain lies {lies} the mold"),
        reason: format!("It ends up on the {}.{draft}", faces.join(" and on the ")),
        next_step: "Turn the sheet over in the frame if you want it on the other face.".to_owned(),
    }
}

//! Walls steeper than the plastic releases from.
//!
//! A dome is never spoken of: its wall is vertical at the rim only and leans more at every level above, so
//! the part is free as soon as it moves.
//!
//! **Source:** SPE Thermoforming Division, Thermoforming 101, draft angles, Thermoforming Quarterly 25(1), 2006:
//! female 0 to 2 degrees, male 2 to 3 for amorphous and over 5 for crystalline plastics. Eleven design guides
//! ask between 1.5 and 10 degrees of male molds; the values here are our middle of them.

use super::bench::Bench;
use super::voice::{Voice, Words, degrees, kind_word};
use super::{Finding, Measure, Rule, Severity, Subject};
use crate::geometry::tolerance;
use crate::physics::least_wall_angle;
use crate::plan::{MoldKind, Plastic, Texture};
use crate::units::{Angle, Length};

/// What an amorphous plastic asks of a male mold.
pub(super) const MALE_AMORPHOUS: Angle = Angle::degrees(3.0);
/// What a crystalline plastic asks of a male mold.
pub(super) const MALE_CRYSTALLINE: Angle = Angle::degrees(5.0);
/// What an amorphous plastic asks of a female mold.
pub(super) const FEMALE_AMORPHOUS: Angle = Angle::degrees(1.0);
/// What a crystalline plastic asks of a female mold.
pub(super) const FEMALE_CRYSTALLINE: Angle = Angle::degrees(2.0);
/// What a grain against the mold asks for besides, for each depth of [`GRAIN_STEP`].
pub(super) const GRAIN: Angle = Angle::degrees(1.0);
/// The depth of grain that asks for one more [`GRAIN`].
pub(super) const GRAIN_STEP: Length = Length::inches(0.001);

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    for (id, ready) in bench.sound_molds() {
        let mold = ready.mold();
        let least = least_draft(mold.kind, bench.stock().plastic);
        let Some(angle) = least_wall_angle(mold, ready.shape().region()) else { continue };
        // Compared at the top of the wall, where the two angles are a length apart.
        if mold.height * (least.tan() - angle.tan()) > tolerance::SAME {
            found.push(Finding {
                rule: Rule::Draft,
                severity: Severity::Caution,
                subjects: vec![Subject::Mold(id)],
                place: None,
                measured: Some(Measure::Angle(angle)),
                allowed: Some(Measure::Angle(least)),
            });
        }
    }
}

/// The least draft that a plastic asks of a mold, a grain left out because its depth is not known.
#[must_use]
pub const fn least_draft(kind: MoldKind, plastic: Plastic) -> Angle {
    match (kind, plastic.is_crystalline()) {
        (MoldKind::Male, false) => MALE_AMORPHOUS,
        (MoldKind::Male, true) => MALE_CRYSTALLINE,
        (MoldKind::Female, false) => FEMALE_AMORPHOUS,
        (MoldKind::Female, true) => FEMALE_CRYSTALLINE,
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let (angle, least) = (angle(finding.measured), angle(finding.allowed));
    let stock = voice.stock();
    let kind = voice.first_mold(finding).map_or(MoldKind::Male, |mold| mold.kind);
    let grain = match stock.texture {
        Texture::AgainstMold => format!(", and {}", grain_words(voice)),
        Texture::Smooth | Texture::AwayFromMold => String::new(),
    };
    let is_undercut = angle < Angle::ZERO;
    let (title, lean) = if is_undercut {
        ("is undercut", format!("lean {} inwards", degrees(-angle)))
    } else {
        ("has too little draft", format!("stand {} from vertical", degrees(angle)))
    };
    Words {
        title: format!("{name} {title}"),
        reason: format!(
            "Its steepest walls {lean}; {plastic} asks {least} of a {kind} mold{grain}.",
            plastic = stock.plastic.name(),
            least = degrees(least),
            kind = kind_word(kind),
        ),
        next_step: if is_undercut {
            "Change its shape, or make it of loose pieces: the part may have to be cut off."
                .to_owned()
        } else {
            format!(
                "Give the walls {} more, or expect to work the part off with air and a release agent.",
                degrees(least - angle)
            )
        },
    }
}

/// What a grain against the mold asks for.
pub(super) fn grain_words(voice: &Voice<'_>) -> String {
    format!("{} more draft for each {} of grain", degrees(GRAIN), voice.exact(GRAIN_STEP))
}

const fn angle(measure: Option<Measure>) -> Angle {
    match measure {
        Some(Measure::Angle(angle)) => angle,
        _ => Angle::ZERO,
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, check_words, found, layout, outlined};
    use super::*;
    use crate::plan::{Footprint, Mold, Plan, Relief};

    fn standing(mold: &Mold) -> Plan {
        layout(&[(mold, &[(200.0, 150.0, 0.0)])])
    }

    fn drafted(kind: MoldKind, degrees: f64) -> Mold {
        Mold { kind, draft: Angle::degrees(degrees), ..block("Crab shell", 20.0) }
    }

    #[test]
    fn a_male_wall_under_three_degrees_is_told() {
        check_words(
            &standing(&drafted(MoldKind::Male, 1.0)),
            Rule::Draft,
            &[[
                "caution",
                "Crab shell has too little draft",
                "Its steepest walls stand 1 degree from vertical; HIPS asks 3 degrees of a male mold.",
                "Give the walls 2 degrees more, or expect to work the part off with air and a release agent.",
            ]],
        );
    }

    #[test]
    fn each_kind_and_plastic_has_its_own_limit() {
        for (kind, plastic, degrees) in [
            (MoldKind::Male, Plastic::Abs, 3.0),
            (MoldKind::Male, Plastic::Polypropylene, 5.0),
            (MoldKind::Female, Plastic::Petg, 1.0),
            (MoldKind::Female, Plastic::Hdpe, 2.0),
        ] {
            for (draft, n_told) in [(degrees, 0), (degrees - 0.1, 1)] {
                let mut plan = standing(&drafted(kind, draft));
                plan.stock.plastic = plastic;
                assert_eq!(found(&plan, Rule::Draft).len(), n_told, "{plastic:?} {draft}");
            }
        }
    }

    #[test]
    fn what_is_asked_for_is_what_the_rule_allows() {
        for plastic in Plastic::ALL {
            let mut plan = standing(&drafted(MoldKind::Male, 0.1));
            plan.stock.plastic = plastic;
            let allowed = found(&plan, Rule::Draft)[0].allowed;
            assert_eq!(allowed, Some(Measure::Angle(least_draft(MoldKind::Male, plastic))));
        }
        assert!(
            least_draft(MoldKind::Male, Plastic::Hdpe) > least_draft(MoldKind::Male, Plastic::Abs)
        );
    }

    #[test]
    fn a_grain_against_the_mold_asks_for_more_in_words() {
        let mut plan = standing(&drafted(MoldKind::Male, 1.0));
        plan.stock.texture = Texture::AgainstMold;
        let reason = found(&plan, Rule::Draft)[0].reason(&plan, PULL);
        assert!(
            reason.ends_with("and 1 degree more draft for each 0.025 mm of grain."),
            "{reason}"
        );
    }

    #[test]
    fn a_taper_is_judged_by_its_own_walls_and_a_dome_not_at_all() {
        let steep = Mold { relief: Relief::Taper { top: 0.98 }, ..drafted(MoldKind::Male, 9.0) };
        assert_eq!(found(&standing(&steep), Rule::Draft).len(), 1);
        let slack = Mold { relief: Relief::Taper { top: 0.5 }, ..drafted(MoldKind::Male, 0.0) };
        check_words(&standing(&slack), Rule::Draft, &[]);
        let dome = Mold { relief: Relief::Dome, ..drafted(MoldKind::Male, 0.0) };
        check_words(&standing(&dome), Rule::Draft, &[]);
    }

    #[test]
    fn a_taper_whose_centre_is_outside_a_side_is_undercut() {
        let mut ell = outlined(&[
            (0.0, 0.0),
            (40.0, 0.0),
            (40.0, 10.0),
            (10.0, 10.0),
            (10.0, 40.0),
            (0.0, 40.0),
        ]);
        ell.relief = Relief::Taper { top: 0.5 };
        assert!(matches!(ell.footprint, Footprint::Outline { .. }));
        check_words(
            &standing(&ell),
            Rule::Draft,
            &[[
                "caution",
                "Kelp is undercut",
                "Its steepest walls lean 45 degrees inwards; HIPS asks 3 degrees of a male mold.",
                "Change its shape, or make it of loose pieces: the part may have to be cut off.",
            ]],
        );
    }
}

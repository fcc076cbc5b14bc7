//! What the board says of a mold and of what a hand did to it, for eyes and for screen readers.

use std::collections::BTreeSet;
use std::sync::Arc;

use engine::drawing::{height_words, name_words};
use engine::moves::Move;
use engine::plan::{Placement, PlacementId, Plan, PullId};
use engine::rules::{Finding, Measure, Rule, Subject};

use crate::state::{Session, placement_name, placement_names};

/// One mold as a screen reader names it: first what is seen written on it, so that it can be asked for by what is seen
/// (WCAG 2.2, success criterion 2.5.3), then what did not fit there, where it is, how turned, and whether the rules
/// are content.
pub(super) fn mold_label(
    plan: &Plan,
    pull: PullId,
    id: PlacementId,
    findings: &[Finding],
    seen: &str,
) -> String {
    let Some(placement) = placement(plan, pull, id) else { return id.to_string() };
    let unseen = plan.molds.get(&placement.mold).map_or_else(Vec::new, |mold| {
        vec![name_words(mold, placement.copy.0), height_words(mold, plan.settings.lengths)]
    });
    let unseen = unseen.into_iter().filter(|words| !seen.contains(words.as_str()));
    let at = place_words(plan, placement);
    let lock = placement.locked.then(|| "locked".to_owned());
    let state = worst(placement, id, findings).map_or_else(
        || "clear".to_owned(),
        |finding| format!("{}: {}", finding.severity.word(), finding.title(plan, pull)),
    );
    let parts = [seen.to_owned()].into_iter().chain(unseen).chain([at]).chain(lock);
    parts.chain([state]).filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// What was done to `ids`, and what the rules say of it now: "Limpet moved to …. Limpet is clear."
pub(super) fn moved_words(
    plan: &Plan,
    pull: PullId,
    ids: &BTreeSet<PlacementId>,
    findings: &[Finding],
) -> String {
    let names = placement_names(plan, pull, ids);
    let one = ids.first().filter(|_| ids.len() == 1);
    let place = one.and_then(|id| placement(plan, pull, *id)).map_or_else(
        || format!("{names} moved."),
        |placement| format!("{names} moved to {}.", place_words(plan, placement)),
    );
    let worst = ids
        .iter()
        .filter_map(|id| worst(placement(plan, pull, *id)?, *id, findings).map(|f| (*id, f)))
        .reduce(|a, b| if b.1.severity > a.1.severity { b } else { a });
    match worst {
        None => format!("{place} Clear."),
        Some((id, finding)) => format!("{place} {}.", finding_words(plan, pull, id, finding)),
    }
}

/// What a hand move led to; `None` when nothing was done, or when the session has said something of its own.
pub(super) fn done(
    before: &Session,
    after: &Session,
    hand: Move,
    findings: &[Finding],
) -> Option<String> {
    if after.notice.is_some() || Arc::ptr_eq(before.plan(), after.plan()) {
        return None;
    }
    let names =
        |session: &Session| placement_names(session.plan(), session.pull, &session.selection);
    Some(match hand {
        Move::TakeOff => format!("{} taken off the blank.", names(before)),
        Move::Lock(true) => format!("{} locked.", names(after)),
        Move::Lock(false) => format!("{} free to move.", names(after)),
        Move::Duplicate => format!("{} now on the blank as well.", names(after)),
        _ => moved_words(after.plan(), after.pull, &after.selection, findings),
    })
}

/// "x 95.0 mm, y 226.0 mm, turned 15 degrees".
fn place_words(plan: &Plan, placement: &Placement) -> String {
    let show = |mm: f64| plan.settings.lengths.show(engine::units::Length::mm(mm));
    let (x, y) = (show(placement.pose.at.x), show(placement.pose.at.y));
    format!("x {x}, y {y}, turned {} degrees", degrees(placement))
}

/// A turn in degrees to a tenth, without a needless `.0`.
pub(super) fn degrees(placement: &Placement) -> f64 {
    (placement.pose.turn.normalized().to_degrees() * 10.0).round() / 10.0
}

/// "4.0 mm from Anemone base: too close", or the rule's own title.
fn finding_words(plan: &Plan, pull: PullId, id: PlacementId, finding: &Finding) -> String {
    let other = finding.subjects.iter().find_map(|subject| match subject {
        Subject::Placement(other) if *other != id => Some(*other),
        _ => None,
    });
    match (finding.rule, other, finding.measured) {
        (Rule::Clearance, Some(other), Some(Measure::Length(gap))) => {
            let gap = plan.settings.lengths.show(gap);
            format!("{gap} from {}: {}", placement_name(plan, pull, other), short(finding.rule))
        }
        _ => finding.title(plan, pull),
    }
}

/// The worst finding about a placed mold: about where it stands, or about the mold itself.
fn worst<'a>(
    placement: &Placement,
    id: PlacementId,
    findings: &'a [Finding],
) -> Option<&'a Finding> {
    let is_about = |subject: &Subject| match *subject {
        Subject::Placement(other) => other == id,
        Subject::Mold(mold) => mold == placement.mold,
        Subject::Stock => false,
    };
    let about = findings.iter().filter(|finding| finding.subjects.iter().any(is_about));
    about.reduce(|a, b| if b.severity > a.severity { b } else { a })
}

/// What a rule has against a place, in as few words as fit beside a mark.
pub(super) const fn short(rule: Rule) -> &'static str {
    match rule {
        Rule::Footprint => "no outline",
        Rule::Overlap => "overlap",
        Rule::Clearance => "too close",
        Rule::Opening => "under the clamp",
        Rule::Platen => "off the platen",
        Rule::Edge => "near the clamp",
        Rule::Tall => "too tall",
        Rule::Copies => "one too many",
        Rule::Draft => "little draft",
        Rule::HeightToWidth => "deep for its width",
        Rule::Texture => "grain",
        Rule::Gauge => "drawn thin",
    }
}

/// The blank and how many molds stand on it, for the board as a whole.
pub(super) fn board_label(plan: &Plan, pull: PullId) -> String {
    let show = |length| plan.settings.lengths.show(length);
    let blank = plan.machine.blank;
    let standing = plan.pulls.get(&pull).map_or(0, |pull| pull.placements.len());
    let molds = if standing == 1 { "1 mold".to_owned() } else { format!("{standing} molds") };
    format!("Blank {} by {}, {molds}", show(blank.width), show(blank.depth))
}

fn placement(plan: &Plan, pull: PullId, id: PlacementId) -> Option<&Placement> {
    plan.pulls.get(&pull)?.placements.get(&id)
}

#[cfg(test)]
mod tests {
    use engine::plan::sample;
    use engine::rules::check;

    use super::*;

    const PULL: PullId = PullId(1);

    #[test]
    fn a_mold_is_named_with_its_place_and_what_the_rules_say() {
        let plan = sample();
        let findings = check(&plan, PULL);
        assert_eq!(
            mold_label(&plan, PULL, PlacementId(6), &[], "6 Clam half, copy 2 18 mm tall"),
            "6 Clam half, copy 2 18 mm tall, x 326.0 mm, y 90.0 mm, turned 180 degrees, clear"
        );
        assert_eq!(
            mold_label(&plan, PULL, PlacementId(6), &[], "6"),
            "6, Clam half, copy 2, 18 mm tall, x 326.0 mm, y 90.0 mm, turned 180 degrees, clear",
            "what does not fit on it is said all the same"
        );
        let close = findings.iter().find(|f| f.rule == Rule::Clearance).expect("a gap too small");
        let Subject::Placement(id) = close.subjects[0] else { panic!("{close:?}") };
        let label = mold_label(&plan, PULL, id, std::slice::from_ref(close), "");
        assert!(label.ends_with(&format!("caution: {}", close.title(&plan, PULL))), "{label}");
    }

    #[test]
    fn what_was_moved_is_told_with_the_gap_that_is_too_small() {
        let plan = sample();
        let findings = check(&plan, PULL);
        let close = findings.iter().find(|f| f.rule == Rule::Clearance).expect("a gap too small");
        let [Subject::Placement(one), Subject::Placement(other)] = close.subjects[..] else {
            panic!("{close:?}")
        };
        let ids = BTreeSet::from([one]);
        let words = moved_words(&plan, PULL, &ids, std::slice::from_ref(close));
        let other = placement_name(&plan, PULL, other);
        assert!(words.ends_with(&format!("mm from {other}: too close.")), "{words}");
        let clear = moved_words(&plan, PULL, &BTreeSet::from([PlacementId(2)]), &[]);
        assert_eq!(clear, "Limpet moved to x 232.0 mm, y 222.0 mm, turned 0 degrees. Clear.");
    }

    #[test]
    fn several_are_told_without_their_places() {
        let ids = [1, 2, 3].map(PlacementId).into();
        assert_eq!(moved_words(&sample(), PULL, &ids, &[]), "3 molds moved. Clear.");
    }

    #[test]
    fn the_board_says_how_large_the_blank_is() {
        assert_eq!(board_label(&sample(), PULL), "Blank 406.4 mm by 304.8 mm, 6 molds");
    }
}

//! How the rules speak: names of molds, lengths in the user's style, and figures that do not contradict.

use super::{Finding, Measure, Place, Side, Subject};
use crate::geometry::{Rect, Shape, extent, tolerance};
use crate::plan::{Mold, MoldKind, Placement, PlacementId, Plan, Pull, PullId, Stock};
use crate::units::{Angle, Length, LengthStyle};

/// What a finding says.
pub(super) struct Words {
    /// A few words for a list.
    pub(super) title: String,
    /// Why, with the figures, in whole sentences.
    pub(super) reason: String,
    /// What to do, in whole sentences.
    pub(super) next_step: String,
}

/// The plan and the pull that a finding is spoken about.
pub(super) struct Voice<'a> {
    pub(super) plan: &'a Plan,
    pull: Option<&'a Pull>,
}

impl<'a> Voice<'a> {
    pub(super) fn new(plan: &'a Plan, pull: PullId) -> Self {
        Self { plan, pull: plan.pulls.get(&pull).map(AsRef::as_ref) }
    }

    /// The sheet that the pull is formed in.
    pub(super) fn stock(&self) -> &'a Stock {
        let id = self.pull.and_then(|pull| pull.stock);
        self.plan.stock_of(id).unwrap_or(&self.plan.stock)
    }

    /// The name of the mold, with its copy number when several stand in the pull or exist.
    pub(super) fn name(&self, subject: Subject) -> String {
        match (subject, self.mold(subject)) {
            (Subject::Stock, _) => self.stock().plastic.name().to_owned(),
            (Subject::Mold(id), None) => id.to_string(),
            (Subject::Placement(id), None) => id.to_string(),
            (Subject::Mold(_), Some(mold)) => mold.name.clone(),
            (Subject::Placement(id), Some(mold)) => match self.placement(id) {
                Some(placement) if mold.copies > 1 || self.is_repeated(placement) => {
                    format!("{} #{}", mold.name, placement.copy.0)
                }
                _ => mold.name.clone(),
            },
        }
    }

    /// The name of what the finding is about first.
    pub(super) fn first_name(&self, finding: &Finding) -> String {
        finding.subjects.first().map_or_else(String::new, |&subject| self.name(subject))
    }

    /// The names of both molds of a pair.
    pub(super) fn both_names(&self, finding: &Finding) -> String {
        let names: Vec<String> = finding.subjects.iter().map(|&s| self.name(s)).collect();
        names.join(" and ")
    }

    fn is_repeated(&self, placement: &Placement) -> bool {
        let same = |other: &&Placement| other.mold == placement.mold;
        self.pull.is_some_and(|pull| pull.placements.values().filter(same).count() > 1)
    }

    pub(super) fn placement(&self, id: PlacementId) -> Option<&'a Placement> {
        self.pull?.placements.get(&id)
    }

    /// The mold that is meant; `None` for the sheet.
    pub(super) fn mold(&self, subject: Subject) -> Option<&'a Mold> {
        let id = match subject {
            Subject::Mold(id) => id,
            Subject::Placement(id) => self.placement(id)?.mold,
            Subject::Stock => return None,
        };
        self.plan.molds.get(&id).map(AsRef::as_ref)
    }

    /// The mold that the finding is about first.
    pub(super) fn first_mold(&self, finding: &Finding) -> Option<&'a Mold> {
        finding.subjects.first().and_then(|&subject| self.mold(subject))
    }

    /// The kinds of the molds that stand in the pull.
    pub(super) fn has_kind(&self, kind: MoldKind) -> bool {
        let standing = self.pull.into_iter().flat_map(|pull| pull.placements.keys());
        standing.filter_map(|&id| self.mold(Subject::Placement(id))).any(|mold| mold.kind == kind)
    }

    /// The upright rectangle round a placed mold.
    pub(super) fn extent(&self, finding: &Finding) -> Option<Rect> {
        let &Subject::Placement(id) = finding.subjects.first()? else { return None };
        let footprint = self.mold(Subject::Placement(id))?.footprint.region(tolerance::MEASURE);
        Some(extent(&Shape::new(footprint), self.placement(id)?.pose))
    }

    const fn style(&self) -> LengthStyle {
        self.plan.settings.lengths
    }

    pub(super) fn length(&self, length: Length) -> String {
        self.style().show(length)
    }

    /// A length with as many digits as it needs.
    pub(super) fn exact(&self, length: Length) -> String {
        self.style().show_exact(length)
    }

    pub(super) fn gauge(&self, gauge: Length) -> String {
        self.style().show_gauge(gauge)
    }

    /// What was measured and what is allowed, with enough digits to differ.
    pub(super) fn figures(&self, finding: &Finding) -> [String; 2] {
        let values = [measured_length(finding), allowed_length(finding)];
        let shown = values.map(|value| self.length(value));
        if shown[0] == shown[1] { values.map(|value| self.exact(value)) } else { shown }
    }

    /// A distance to move by, rounded up to the last digit shown so that moving by it is enough.
    pub(super) fn enough(&self, distance: Length) -> String {
        let digit = match self.style() {
            LengthStyle::Millimetres => Length::mm(0.1),
            LengthStyle::DecimalInches => Length::inches(0.001),
            LengthStyle::FractionInches => Length::inches(1.0 / 64.0),
        };
        let n_digits = libm::ceil((distance - tolerance::SAME) / digit);
        self.length(digit * n_digits.max(1.0))
    }
}

/// A measured length; nothing when something else was measured.
pub(super) const fn measured_length(finding: &Finding) -> Length {
    as_length(finding.measured)
}

/// An allowed length; nothing when something else is allowed.
pub(super) const fn allowed_length(finding: &Finding) -> Length {
    as_length(finding.allowed)
}

const fn as_length(measure: Option<Measure>) -> Length {
    match measure {
        Some(Measure::Length(length)) => length,
        _ => Length::ZERO,
    }
}

/// An angle to a tenth of a degree.
pub(super) fn degrees(angle: Angle) -> String {
    let tenths = libm::round(angle.to_degrees() * 10.0);
    let unit = if (tenths - 10.0).abs() < 0.5 { "degree" } else { "degrees" };
    format!("{} {unit}", tenths / 10.0)
}

/// The word for the kind.
pub(super) const fn kind_word(kind: MoldKind) -> &'static str {
    match kind {
        MoldKind::Male => "male",
        MoldKind::Female => "female",
    }
}

/// The side of a rectangle that the place of a finding is nearest to or farthest beyond.
pub(super) fn side_of(finding: &Finding, rect: Rect) -> Side {
    let at = match finding.place {
        Some(Place::Point(at) | Place::Gap(at, _)) => at,
        None => rect.center(),
    };
    Side::tightest(Rect::new(at, at), rect).0
}

/// The way to move a mold that is too near a side.
pub(super) const fn away_from(side: Side) -> &'static str {
    match side {
        Side::Front => "to the back",
        Side::Back => "to the front",
        Side::Left => "to the right",
        Side::Right => "to the left",
    }
}

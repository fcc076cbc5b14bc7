//! What the forecast warns of: data first, words on demand.

use super::forecast::WebKind;
use super::{Forecast, Spot, Why};
use crate::order;
use crate::plan::{Placement, PlacementId, Plan, PullId};
use crate::rules::{Measure, Place, Severity, Subject};
use crate::units::Length;

/// Below this share of its gauge sheet is likely to split (our own choice).
pub(super) const SPLITS: f64 = 0.1;

/// What the forecast warns of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// The sheet is drawn so thin that it may split.
    Split,
    /// The sheet over a mold is thinner than is wanted.
    Thin,
    /// The sheet spans from mold to mold.
    Span,
    /// Surplus sheet folds.
    Fold,
    /// A corner is not filled.
    Bridge,
}

impl What {
    /// What the page calls it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Split => "split",
            Self::Thin => "thin wall",
            Self::Span | Self::Fold => "web",
            Self::Bridge => "corner not filled",
        }
    }
}

/// One thing that the forecast warns of.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What it warns of.
    pub what: What,
    /// How much it matters.
    pub severity: Severity,
    /// What it is about, the most important first.
    pub subjects: Vec<Subject>,
    /// Where on the blank.
    pub place: Place,
    /// What was computed: a thickness, a share or a distance.
    pub measured: Measure,
    /// What is wanted or taken for harmless, in the same measure.
    pub allowed: Option<Measure>,
    /// Why the sheet is thin there; only of what is thin.
    pub why: Option<Why>,
}

/// All that a forecast warns of, the worst first.
///
/// `least_wall` is the thinnest wall that the maker wants over any mold; a wall below half of it stops, one below it is
/// a caution.
#[must_use]
pub fn findings(forecast: &Forecast, least_wall: Length) -> Vec<Finding> {
    let mut found = Vec::new();
    if forecast.thinnest.ratio < SPLITS {
        found.push(split(forecast));
    }
    for (&id, over) in &forecast.molds {
        found.extend(thin(forecast, (id, over.thinnest), least_wall));
    }
    found.extend(webs(forecast));
    found.extend(bridges(forecast));
    order::by(&mut found, |a, b| {
        let order = b.severity.cmp(&a.severity).then(a.what.cmp(&b.what));
        order.then_with(|| a.subjects.cmp(&b.subjects))
    });
    found
}

fn split(forecast: &Forecast) -> Finding {
    let subjects = match forecast.thinnest.why {
        Why::Between(other) => vec![Subject::Placement(other)],
        _ => vec![Subject::Stock],
    };
    Finding {
        what: What::Split,
        severity: Severity::Stop,
        subjects,
        place: Place::Point(forecast.thinnest.at),
        measured: Measure::Length(forecast.thickness(forecast.thinnest.ratio)),
        allowed: Some(Measure::Length(forecast.thickness(SPLITS))),
        why: Some(forecast.thinnest.why),
    }
}

fn thin(forecast: &Forecast, (id, spot): (PlacementId, Spot), least: Length) -> Option<Finding> {
    let thickness = forecast.thickness(spot.ratio);
    let mut subjects = vec![Subject::Placement(id)];
    if let Why::Between(other) = spot.why {
        subjects.push(Subject::Placement(other));
    }
    (thickness < least).then(|| Finding {
        what: What::Thin,
        severity: if thickness < least / 2.0 { Severity::Stop } else { Severity::Caution },
        subjects,
        place: Place::Point(spot.at),
        measured: Measure::Length(thickness),
        allowed: Some(Measure::Length(least)),
        why: Some(spot.why),
    })
}

fn webs(forecast: &Forecast) -> impl Iterator<Item = Finding> {
    forecast.webs.iter().map(|web| Finding {
        what: match web.kind {
            WebKind::Fold => What::Fold,
            WebKind::Span => What::Span,
        },
        severity: web.severity,
        subjects: web.molds.iter().map(|id| Subject::Placement(*id)).collect(),
        place: Place::Point(web.at),
        measured: Measure::Ratio(web.measure),
        allowed: None,
        why: None,
    })
}

/// The widest corner of each mold; there may be many.
fn bridges(forecast: &Forecast) -> Vec<Finding> {
    let mut told = Vec::new();
    let mut found = Vec::new();
    for bridge in &forecast.bridges {
        let Some(mold) = bridge.mold.filter(|mold| !told.contains(mold)) else { continue };
        told.push(mold);
        found.push(Finding {
            what: What::Bridge,
            severity: Severity::Note,
            subjects: vec![Subject::Placement(mold)],
            place: Place::Point(bridge.at),
            measured: Measure::Length(bridge.gap),
            allowed: None,
            why: None,
        });
    }
    found
}

impl Finding {
    /// A few words for a list, without a full stop.
    ///
    /// `plan` and `pull` must be those of the forecast; of others, names may be missing.
    #[must_use]
    pub fn title(&self, plan: &Plan, pull: PullId) -> String {
        let names = self.names(plan, pull);
        match self.what {
            What::Split => "The sheet may split".to_owned(),
            What::Thin => format!("The sheet gets too thin on {names}"),
            What::Span => format!("The sheet spans between {names}"),
            What::Fold if names.is_empty() => "The sheet may fold on the bed".to_owned(),
            What::Fold if self.severity == Severity::Caution => {
                format!("A web is likely at {names}")
            }
            What::Fold => format!("The sheet may web at {names}"),
            What::Bridge => format!("The sheet does not reach into a corner of {names}"),
        }
    }

    /// Why, with the figures, in whole sentences.
    #[must_use]
    pub fn reason(&self, plan: &Plan, pull: PullId) -> String {
        let style = plan.settings.lengths;
        let shown = |measure: Option<Measure>| match measure {
            Some(Measure::Length(length)) => style.show_gauge(length),
            Some(Measure::Ratio(ratio)) => format!("{:.0} %", ratio * 100.0),
            Some(Measure::Angle(_) | Measure::Count(_)) | None => String::new(),
        };
        let (measured, allowed) = (shown(Some(self.measured)), shown(self.allowed));
        let place =
            self.why.map_or_else(String::new, |why| format!(" {}", where_words(why, plan, pull)));
        match self.what {
            What::Split => format!(
                "About {measured} is left{place}. Below {allowed} hot sheet is likely to split, and then the vacuum is gone."
            ),
            What::Thin => format!("About {measured} is left{place}; you want {allowed}."),
            What::Span => format!(
                "It hangs high over the gap when the frame is down. Twice that height is room enough; {measured} of it is missing, so what comes down there folds or gets thin."
            ),
            What::Fold => format!(
                "Sheet that was stretched to the clamp has to lose {measured} of its width on the way down and folds."
            ),
            What::Bridge => {
                let gap = match self.measured {
                    Measure::Length(length) => style.show(length),
                    Measure::Angle(_) | Measure::Ratio(_) | Measure::Count(_) => measured,
                };
                format!("It stays {gap} off. Details there will not show.")
            }
        }
    }

    /// What to do about it, in whole sentences.
    #[must_use]
    pub const fn next_step(&self) -> &'static str {
        match self.what {
            What::Split => "Set the molds farther apart, or take a tall one off.",
            What::Thin => "Take thicker sheet, give the mold more room, more draft or less height.",
            What::Span => "Move the molds apart, or lower the taller one.",
            What::Fold => {
                "Round or chamfer the upright corner, bring the clamp closer, or stand a small block off the corner to \
                 catch the fold in the waste."
            }
            What::Bridge => {
                "Round the corner, heat the sheet a little longer, or add vent holes there."
            }
        }
    }

    /// The names of what it is about.
    pub(super) fn names(&self, plan: &Plan, pull: PullId) -> String {
        let names = self.subjects.iter().filter_map(|subject| match subject {
            Subject::Placement(id) => Some(name(plan, pull, *id)),
            Subject::Mold(id) => plan.molds.get(id).map(|mold| mold.name.clone()),
            Subject::Stock => None,
        });
        let names: Vec<String> = names.collect();
        match self.what {
            What::Thin | What::Bridge => names.into_iter().take(1).collect(),
            What::Split | What::Span | What::Fold => names.join(" and "),
        }
    }
}

/// The name of a standing mold, with its copy number when several exist.
pub(super) fn name(plan: &Plan, pull: PullId, id: PlacementId) -> String {
    let placement: Option<&Placement> =
        plan.pulls.get(&pull).and_then(|pull| pull.placements.get(&id));
    let mold = placement.and_then(|placement| plan.molds.get(&placement.mold));
    match (placement, mold) {
        (Some(placement), Some(mold)) if mold.copies > 1 => {
            format!("{} #{}", mold.name, placement.copy.0)
        }
        (_, Some(mold)) => mold.name.clone(),
        _ => id.to_string(),
    }
}

/// Where on a mold, as the end of a sentence about what is left.
pub(super) fn where_words(why: Why, plan: &Plan, pull: PullId) -> String {
    match why {
        Why::TopEdge => {
            "just below the top edge, which holds the sheet while the wall is drawn".to_owned()
        }
        Why::Wall => "on the wall".to_owned(),
        Why::Foot => "at the foot of the wall, which the sheet reaches last".to_owned(),
        Why::Between(other) => format!("at the foot towards {}", name(plan, pull, other)),
        Why::BesideClamp => "at the foot towards the clamp".to_owned(),
        Why::Floor => "on the floor of the cavity, which the sheet reaches last".to_owned(),
        Why::Top => "on top".to_owned(),
        Why::Bed => "on the open bed".to_owned(),
    }
}

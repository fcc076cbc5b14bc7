//! What helps against one finding: changes that were tried, each with the finding's own figure before and after.

use std::cmp::Ordering;
use std::ops::ControlFlow;

use super::advice::{BETTER, COARSER, STEP, apart, from_clamp, nearest, troubles, turn};
use super::change::Change;
use super::{DrapeError, Finding, Forecast, Progress, Settings, Web, WebKind, What, Why, forecast};
use super::{finding, folds, reshape};
use crate::edit::Edit;
use crate::plan::{MoldKind, PlacementId, Plan, Pull, PullId};
use crate::rules::{Measure, Place, Severity, Subject};
use crate::units::Length;
use crate::watch::Watch;

/// Changes tried at most against one finding.
const MOST: usize = 4;
/// What all else may get worse by, as a share or a part of it: less than the net of the trying can tell.
const SLACK: f64 = 0.03;
/// A gap, or the height of a fold, counts as less from this share on, and a gap as more from this part of the gauge on; nets differ by more.
const GAP: (f64, f64) = (0.1, 0.3);
/// All surplus sheet may rise by this share, reckoned of so many square millimetres at least.
const FOLDED: (f64, f64) = (0.1, 100.0);

/// What was tried against a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedies {
    /// How many changes were tried.
    pub tried: usize,
    /// The net that they were tried on: a coarser one where that shows the finding too.
    pub mesh: Length,
    /// Those that help, the best first.
    pub helping: Vec<Remedy>,
}

/// A change that was tried and helps against a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What it does.
    pub change: Change,
    /// The same as an edit: one step to undo.
    pub edit: Edit,
    /// How bad the finding is now, on the net that the change was tried on.
    pub before: Grade,
    /// How bad it would be.
    pub after: Grade,
}

/// How bad what a finding warns of is in a forecast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// Of a thin wall its thickness, of sheet that spans the share of room that is missing, of folds how high the highest one
    /// stands, which nets tell more alike than the share of width that it loses, of corners not filled the widest gap; nothing where there is none.
    pub measure: Measure,
    /// How many such places are likely; of a thin wall one.
    pub likely: usize,
}

impl Remedy {
    /// What it does and what it would bring, in a sentence: "1/2 in farther apart raises …".
    #[must_use]
    pub fn words(&self, of: &Finding, plan: &Plan, pull: PullId) -> String {
        let [before, after] = self.figures(plan);
        let names = of.names(plan, pull);
        let at = if names.is_empty() { String::new() } else { format!(" at {names}") };
        let gain = match of.what {
            What::Split => format!("raises the thinnest place from {before} to {after}"),
            What::Thin => format!("raises the thinnest wall{at} from {before} to {after}"),
            What::Span => format!("brings the room that is missing{at} from {before} to {after}"),
            What::Fold => {
                let likely = if self.after.likely == self.before.likely {
                    String::new()
                } else {
                    format!(
                        ", and likely webs there from {} to {}",
                        self.before.likely, self.after.likely
                    )
                };
                format!(
                    "brings the height of the highest fold{at} from {before} to {after}{likely}"
                )
            }
            What::Bridge => format!("brings the widest gap{at} from {before} to {after}"),
        };
        format!("{} {gain}.", self.change.words(plan, pull))
    }

    /// Before and after as the plan shows lengths.
    #[must_use]
    pub fn figures(&self, plan: &Plan) -> [String; 2] {
        let style = plan.settings.lengths;
        [self.before, self.after].map(|grade| match grade.measure {
            Measure::Length(length) if length > Length::ZERO => style.show_gauge(length),
            Measure::Length(_) => "less than can be told".to_owned(),
            Measure::Ratio(ratio) => format!("{:.0} %", ratio * 100.0),
            Measure::Angle(_) | Measure::Count(_) => String::new(),
        })
    }
}

impl What {
    /// What its figure is called where before and after are compared.
    #[must_use]
    pub const fn figure_name(self) -> &'static str {
        match self {
            Self::Split => "Thinnest place",
            Self::Thin => "Thinnest wall",
            Self::Span => "Missing room",
            Self::Fold => "Highest fold",
            Self::Bridge => "Widest gap",
        }
    }
}

/// Changes that help against one finding, the best first; never a change of what is locked.
///
/// Up to four are tried that suit it, of the layout, of a mold's shape or of the gauge. A change is given when the same
/// solver found it to help that finding, to make none of another kind worse, and the rules have no more against it than
/// now. Cost: up to six forecasts, on a net 1.6 times coarser where that shows the finding.
///
/// # Errors
/// As for [`forecast()`].
pub fn advice_for(
    plan: &Plan,
    pull: PullId,
    of: &Finding,
    settings: &Settings,
    watch: &mut dyn Watch<Progress>,
) -> Result<Remedies, DrapeError> {
    let layout = plan.pulls.get(&pull).ok_or(DrapeError::NoSuchPull(pull))?;
    let tries = tries((plan, pull, layout), of);
    let coarse = Settings { mesh: (settings.mesh * COARSER).min(Settings::MESH.1), ..*settings };
    if tries.is_empty() {
        return Ok(Remedies { tried: 0, mesh: coarse.mesh, helping: Vec::new() });
    }
    // The layout as it is, twice where the coarse net does not show the finding, and with each change.
    let count = f64::from(u32::try_from(tries.len() + 2).unwrap_or(u32::MAX));
    let mut done = 0.0;
    let mut formed = |plan: &Plan, settings: &Settings| {
        let mut part = |progress: &Progress| -> ControlFlow<()> {
            watch.tell(&Progress { share: (done + progress.share) / count, ..*progress })
        };
        let told = forecast(plan, pull, settings, &mut part);
        done += 1.0;
        told
    };
    let (mut net, mut told) = (coarse, formed(plan, &coarse)?);
    if !is_bad(graded(of, &told).measure) {
        net = *settings;
        told = formed(plan, &net)?;
    }
    let (before, own) = (graded(of, &told), Overall::of(&told, of));
    let mut helping = Vec::new();
    let tried = tries.len();
    for (change, edit, after) in tries {
        let told = formed(&after, &net)?;
        let after = graded(of, &told);
        let is_worse = Overall::of(&told, of).is_worse(&own, of.what, plan.settings.least_wall);
        if gain(of.what, before, after) > 0.0 && !is_worse {
            helping.push(Remedy { change, edit, before, after });
        }
    }
    let by = |one: &Remedy| gain(of.what, one.before, one.after);
    helping.sort_by(|a, b| by(b).total_cmp(&by(a)));
    Ok(Remedies { tried, mesh: net.mesh, helping })
}

/// Whether there is anything at all to be made better.
fn is_bad(measure: Measure) -> bool {
    match measure {
        Measure::Length(length) => length > Length::ZERO,
        Measure::Ratio(ratio) => ratio > 0.0,
        Measure::Angle(_) | Measure::Count(_) => false,
    }
}

/// By what share a change helps, 0 and less when it does not; fewer places that are likely count as much as all of it.
fn gain(what: What, before: Grade, after: Grade) -> f64 {
    let with_likely = |gain: f64, is_less: bool| match after.likely.cmp(&before.likely) {
        Ordering::Greater => 0.0,
        Ordering::Less if is_less => gain + 1.0,
        _ => gain,
    };
    match (before.measure, after.measure) {
        (Measure::Length(from), Measure::Length(to)) if from > Length::ZERO => match what {
            What::Split | What::Thin => to / from - 1.0 - BETTER,
            What::Fold => with_likely(1.0 - to / from - GAP.0, to <= from),
            What::Span | What::Bridge => 1.0 - to / from - GAP.0,
        },
        (Measure::Ratio(from), Measure::Ratio(to)) if from > 0.0 => {
            with_likely((from - to - BETTER) / from, to <= from)
        }
        _ => 0.0,
    }
}

/// The finding's own figure in a forecast.
fn graded(of: &Finding, told: &Forecast) -> Grade {
    let ids = placements(of);
    let first = ids.first();
    let wall = |thickness| Grade { measure: Measure::Length(thickness), likely: 1 };
    match of.what {
        What::Split => wall(told.thickness(told.thinnest.ratio)),
        What::Thin => {
            let over = first.and_then(|id| told.molds.get(id));
            wall(over.map_or(Length::ZERO, |over| told.thickness(over.thinnest.ratio)))
        }
        What::Span => webs(told, |web| {
            web.kind == WebKind::Span && ids.iter().all(|id| web.molds.contains(id))
        }),
        What::Fold => {
            let meant = |web: &Web| web.kind == WebKind::Fold && web.molds.first() == first;
            let heights = told.webs.iter().filter(|web| meant(web)).map(Web::stands);
            let highest = heights.fold(Length::ZERO, Length::max);
            Grade { measure: Measure::Length(highest), ..webs(told, meant) }
        }
        What::Bridge => {
            let at = told.bridges.iter().filter(|bridge| bridge.mold.as_ref() == first);
            let gaps: Vec<Length> = at.map(|bridge| bridge.gap).collect();
            let widest = gaps.iter().copied().fold(Length::ZERO, Length::max);
            Grade { measure: Measure::Length(widest), likely: gaps.len() }
        }
    }
}

/// The worst of some webs, and how many of them are likely.
fn webs(told: &Forecast, is_meant: impl Fn(&Web) -> bool) -> Grade {
    let meant: Vec<&Web> = told.webs.iter().filter(|web| is_meant(web)).collect();
    let worst = meant.iter().map(|web| web.measure).fold(0.0, f64::max);
    let likely = meant.iter().filter(|web| web.severity >= Severity::Caution).count();
    Grade { measure: Measure::Ratio(worst), likely }
}

/// How a whole layout does, to see that nothing gets worse.
struct Overall {
    thinnest: Length,
    kept: f64,
    least: f64,
    web_index: f64,
    /// All surplus sheet in square millimetres, and how many likely folds it makes.
    folded: (f64, usize),
    /// The widest gap in gauges, at least what is told of. Not those at molds that the sheet spans between: there it stays
    /// off both, and off the bed, by half of their room at most, so more room lets it be farther off.
    gap: f64,
    /// A square of the net in gauges: gaps are not told to half of it.
    square: f64,
}

impl Overall {
    fn of(told: &Forecast, finding: &Finding) -> Self {
        let kept = told.thinnest_kept().map_or(told.thinnest.ratio, |(_, spot)| spot.ratio);
        let gauge = told.gauge.to_mm();
        let molds = placements(finding);
        let is_own = |mold: &PlacementId| finding.what == What::Span && molds.contains(mold);
        let other = |mold: PlacementId| Some(mold).filter(|mold| !is_own(mold));
        let gaps = told.bridges.iter().filter(|bridge| bridge.mold.and_then(other).is_some());
        let gaps = gaps.map(|bridge| bridge.gap.to_mm());
        Self {
            thinnest: told.thickness(kept),
            kept,
            least: told.thinnest.ratio,
            web_index: told.web_index,
            folded: (told.folded.to_mm2(), webs(told, |web| web.kind == WebKind::Fold).likely),
            gap: gaps.fold(folds::seen_gap(gauge), f64::max) / gauge,
            square: told.mesh / told.gauge,
        }
    }

    /// Whether something that a finding of this kind does not warn of is worse than before by more than a little.
    ///
    /// Where a least wall is wanted, what is above it is thick enough; where none is, how much is left of the gauge counts,
    /// and not which gauge it is.
    fn is_worse(&self, before: &Self, what: What, least_wall: Option<Length>) -> bool {
        let thinner = match least_wall {
            Some(least) => self.thinnest < least.min(before.thinnest * (1.0 - SLACK)),
            None => self.kept < before.kept * (1.0 - SLACK),
        };
        let splits = self.least < finding::SPLITS.min(before.least * (1.0 - SLACK));
        // A fold in the reach of a span is told as part of it: told apart once there is room, it was there before.
        let rise = self.folded.0 / before.folded.0.max(FOLDED.1) - 1.0;
        let folds = rise > FOLDED.0 || (self.folded.1 > before.folded.1 && rise > SLACK);
        thinner
            || splits
            || (what != What::Fold && folds)
            || self.web_index > before.web_index + SLACK
            || (what != What::Bridge && self.gap > before.gap + (GAP.1).max(self.square / 2.0))
    }
}

type Try = (Change, Edit, Plan);

/// Changes that suit a finding, with the plan as it would be; of those that the rules have no more against than now.
fn tries((plan, pull, layout): (&Plan, PullId, &Pull), of: &Finding) -> Vec<Try> {
    let against =
        |plan: &Plan| [Severity::Stop, Severity::Caution].map(|least| troubles(plan, pull, least));
    let most = against(plan);
    let mut tries = Vec::new();
    for (change, edit) in changes((plan, pull, layout), of) {
        let Ok(after) = plan.apply(&edit) else { continue };
        let found = against(&after);
        if tries.len() < MOST && found[0] <= most[0] && found[1] <= most[1] {
            tries.push((change, edit, after));
        }
    }
    tries
}

/// What may be done about a finding, the likeliest to help first.
fn changes((plan, pull, layout): (&Plan, PullId, &Pull), of: &Finding) -> Vec<(Change, Edit)> {
    let Some(one) = subject(layout, of) else { return Vec::new() };
    let Some(mold) = layout.placements.get(&one).map(|placement| placement.mold) else {
        return Vec::new();
    };
    let is_cavity = plan.molds.get(&mold).is_some_and(|mold| mold.kind == MoldKind::Female);
    let moves = |moved: Option<_>| moved.map(|(change, poses)| (change, Edit::Move(pull, poses)));
    let other = placements(of).into_iter().find(|id| *id != one).or_else(|| nearest(layout, one));
    let off = |by| moves(other.and_then(|other| apart(layout, (one, other), by)));
    let off_clamp = || moves(from_clamp(plan, layout, one));
    let (draft, lower) = (reshape::draft(plan, mold), reshape::lower(plan, mold));
    let corners = || reshape::corners(plan, mold);
    let changes = match (of.what, of.why) {
        (What::Split, _) => [off(STEP), off_clamp(), draft, lower],
        (What::Thin, Some(Why::Between(_))) => {
            [reshape::gauge(plan, pull, true), off(STEP), draft, lower]
        }
        (What::Thin, Some(Why::BesideClamp)) => {
            [reshape::gauge(plan, pull, true), off_clamp(), draft, lower]
        }
        (What::Thin, _) => [reshape::gauge(plan, pull, true), draft, lower, corners()],
        (What::Span, _) => {
            let taller = [Some(one), other].into_iter().flatten().max_by(|a, b| {
                let height = |id: &PlacementId| standing(plan, layout, *id);
                height(a).to_mm().total_cmp(&height(b).to_mm()).then(b.cmp(a))
            });
            let taller = taller.and_then(|id| layout.placements.get(&id)).map(|p| p.mold);
            let lower = taller.and_then(|mold| reshape::lower(plan, mold));
            [off(STEP), off(STEP * 2.0), lower, moves(turn(plan, layout, one))]
        }
        (What::Fold, _) => [corners(), draft, off_clamp(), lower],
        (What::Bridge, _) => {
            let gap = if let Measure::Length(gap) = of.measured { gap } else { Length::ZERO };
            let thinner = reshape::gauge(plan, pull, false);
            if is_cavity {
                [reshape::edge(plan, mold, gap), corners(), draft, thinner]
            } else {
                [draft, off(STEP), lower, thinner]
            }
        }
    };
    changes.into_iter().flatten().collect()
}

/// The standing molds of a finding, the most important first.
fn placements(of: &Finding) -> Vec<PlacementId> {
    let id = |subject: &Subject| match subject {
        Subject::Placement(id) => Some(*id),
        Subject::Mold(_) | Subject::Stock => None,
    };
    of.subjects.iter().filter_map(id).collect()
}

/// The mold that a finding is about, or the nearest to where it is.
fn subject(layout: &Pull, of: &Finding) -> Option<PlacementId> {
    let Place::Point(at) = of.place else { return placements(of).first().copied() };
    let far = |id: &PlacementId| layout.placements[id].pose.at.distance(at);
    let nearest = layout.placements.keys().min_by(|a, b| far(a).total_cmp(&far(b)));
    placements(of).first().or(nearest).copied()
}

fn standing(plan: &Plan, layout: &Pull, id: PlacementId) -> Length {
    let mold = layout.placements.get(&id).and_then(|placement| plan.molds.get(&placement.mold));
    mold.map_or(Length::ZERO, |mold| mold.standing_height())
}

//! One pull as marks: the machine first, then what stands on the blank, then what the rules say about it.

use std::collections::BTreeMap;

use super::label::{self, Obstacles};
use super::{Anchor, Drawing, Form, Mark, Role, machine};
use crate::geometry::{Point, Rect, Region, Ring, Vec2, flatten, offset, tolerance};
use crate::plan::{Mold, MoldId, Placement, PlacementId, Plan, PullId};
use crate::rules::{Finding, Measure, Place, Subject};
use crate::units::{Angle, Length, LengthStyle};

/// Half of each line of a centre cross.
const CROSS: f64 = 4.0;
/// How far the turn mark reaches inside and outside the outline.
const TURN_MARK: (f64, f64) = (3.0, 7.0);
/// Length and half width of the turn mark's head.
const TURN_HEAD: (f64, f64) = (3.0, 1.4);
/// Across the ring round a place that a rule speaks of.
const FINDING_RING: Length = Length::mm(10.0);
/// Capitals of a figure on a gap and of the word at the front.
pub(super) const FIGURE: Length = Length::mm(2.5);

/// The drawing of one pull with what the rules say about it; an unknown pull is a bare blank.
///
/// **Units**: millimetres on the blank, x to the right, y away from the person. **Shapes**: curves within
/// [`tolerance::DRAW`]. **Cost**: linear in the corners of what stands on the blank, quadratic in the
/// placements for names that do not fit inside their mold.
#[must_use]
pub fn draw(plan: &Plan, pull: PullId, findings: &[Finding]) -> Drawing {
    let standing = standing(plan, pull);
    let style = plan.settings.lengths;
    let mut obstacles = Obstacles::new(plan.machine.blank.rect(), &standing);
    let labels: Vec<Mark> =
        standing.iter().flat_map(|one| label::marks(one, style, &mut obstacles)).collect();
    let mut marks = machine::marks(&plan.machine, obstacles.taken());
    marks.extend(standing.iter().flat_map(Standing::marks));
    marks.extend(labels);
    marks.extend(findings.iter().flat_map(|finding| finding_marks(finding, style)));
    let bounds = standing
        .iter()
        .filter_map(|one| one.region.bounds())
        .fold(plan.machine.blank.rect(), Rect::union);
    Drawing { bounds, marks }
}

/// One mold where it stands.
#[derive(Debug)]
pub(super) struct Standing<'a> {
    pub(super) id: PlacementId,
    pub(super) mold: &'a Mold,
    pub(super) placement: &'a Placement,
    /// The footprint on the blank.
    pub(super) region: Region,
    /// The footprint grown by the trim allowance.
    trim: Vec<Region>,
}

/// What stands on the blank of `pull`, in the order of the ids.
pub(super) fn standing(plan: &Plan, pull: PullId) -> Vec<Standing<'_>> {
    let placements = plan.pulls.get(&pull).into_iter().flat_map(|pull| &pull.placements);
    let mut ready: BTreeMap<MoldId, (Region, Vec<Region>)> = BTreeMap::new();
    placements
        .filter_map(|(&id, placement)| {
            let mold = plan.molds.get(&placement.mold)?;
            let (region, trim) = ready.entry(placement.mold).or_insert_with(|| outlines(mold));
            let region = region.placed(placement.pose);
            let trim = trim.iter().map(|line| line.placed(placement.pose)).collect();
            Some(Standing { id, mold, placement, region, trim })
        })
        .collect()
}

/// The footprint and the trim lines round it, about the mold's own centre.
fn outlines(mold: &Mold) -> (Region, Vec<Region>) {
    let region = mold.footprint.region(tolerance::DRAW);
    let trim = if mold.trim > tolerance::SAME {
        offset(&region, mold.trim, tolerance::DRAW)
    } else {
        Vec::new()
    };
    (region, trim)
}

impl Standing<'_> {
    /// The subject of every mark of this placement.
    pub(super) const fn subject(&self) -> Subject {
        Subject::Placement(self.id)
    }

    /// The direction of the mold's front: towards the person when it is not turned.
    fn front(&self) -> Vec2 {
        Vec2::unit(self.placement.pose.turn - Angle::degrees(90.0))
    }

    fn marks(&self) -> Vec<Mark> {
        let at = self.placement.pose.at;
        let along = Vec2::unit(self.placement.pose.turn) * CROSS;
        let trim = self.trim.iter().cloned();
        let mut marks: Vec<Mark> =
            trim.map(|line| Mark::new(Role::TrimLine, Form::Region(line))).collect();
        marks.extend([
            Mark::new(Role::Mold, Form::Region(self.region.clone())),
            Mark::new(Role::CentreCross, Form::Line(at - along, at + along)),
            Mark::new(Role::CentreCross, Form::Line(at - along.left(), at + along.left())),
        ]);
        marks.extend(self.turn_marks());
        marks.into_iter().map(|mark| mark.of(self.subject())).collect()
    }

    /// An arrow across the outline where the front leaves it: it stays in sight when the mold stands on it.
    fn turn_marks(&self) -> Vec<Mark> {
        let Some(edge) = farthest(&self.region.outer, self.placement.pose.at, self.front()) else {
            return Vec::new();
        };
        let (front, side) = (self.front(), self.front().left());
        let tip = edge + front * TURN_MARK.1;
        let neck = tip - front * TURN_HEAD.0;
        let head = Ring::new(vec![tip, neck + side * TURN_HEAD.1, neck - side * TURN_HEAD.1]);
        vec![
            Mark::new(Role::TurnMark, Form::Line(edge - front * TURN_MARK.0, neck)),
            Mark::new(Role::TurnMark, Form::Region(Region::new(head, Vec::new()))),
        ]
    }

    /// What the turn mark covers, for lettering to keep clear of.
    pub(super) fn turn_mark_bounds(&self) -> Option<Rect> {
        self.turn_marks().iter().filter_map(|mark| mark.form.bounds()).reduce(Rect::union)
    }
}

/// Where the ray from `from` along the unit vector `direction` last crosses `ring`.
fn farthest(ring: &Ring, from: Point, direction: Vec2) -> Option<Point> {
    let crossings = ring.sides().filter_map(|(a, b)| {
        let (to_a, to_b) = (direction.cross(a - from), direction.cross(b - from));
        let is_crossing = (to_a <= 0.0) != (to_b <= 0.0);
        is_crossing.then(|| {
            let share = to_a / (to_a - to_b);
            direction.dot(a + (b - a) * share - from)
        })
    });
    let reach = crossings.filter(|reach| *reach > 0.0).max_by(f64::total_cmp)?;
    Some(from + direction * reach)
}

fn finding_marks(finding: &Finding, style: LengthStyle) -> Vec<Mark> {
    let role = Role::FindingMark(finding.severity);
    let own = |form| Mark { role, subject: finding.subjects.first().copied(), form };
    match finding.place {
        None => Vec::new(),
        Some(Place::Point(at)) => {
            let ring = flatten::circle(FINDING_RING, tolerance::DRAW);
            let outer = Ring::new(ring.points().iter().map(|&p| p + at.to_vec2()).collect());
            vec![own(Form::Region(Region::new(outer, Vec::new())))]
        }
        Some(Place::Gap(a, b)) => {
            let mut marks = vec![own(Form::Line(a, b))];
            if let (Some(Measure::Length(is)), Some(Measure::Length(needs))) =
                (finding.measured, finding.allowed)
            {
                let words = format!("{} of {}", style.show(is), style.show(needs));
                marks.push(own(Form::text(a.midpoint(b), FIGURE, Anchor::Middle, words)));
            }
            marks
        }
    }
}

//! One pull as marks: the machine first, then what stands on the blank, then what the rules say about it.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::label::{self, Obstacles};
use super::ready::{Grown, ReadyOutlines};
use super::{Anchor, Drawing, Form, Mark, Role, machine};
use crate::geometry::{Point, Rect, Region, Ring, Vec2, flatten, tolerance};
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
    draw_with(plan, pull, findings, &ReadyOutlines::default())
}

/// As [`draw`], with the trim lines grown before; a drag asks for sixty drawings a second, and growing outlines is most
/// of what one costs.
#[must_use]
pub fn draw_with(
    plan: &Plan,
    pull: PullId,
    findings: &[Finding],
    ready: &ReadyOutlines,
) -> Drawing {
    let standing = standing(plan, pull);
    let style = plan.settings.lengths;
    let mut obstacles = Obstacles::new(plan.machine.blank.rect(), &standing);
    let labels: Vec<Mark> =
        standing.iter().flat_map(|one| label::marks(one, style, &mut obstacles)).collect();
    let mut marks = machine::marks(&plan.machine, obstacles.taken());
    marks.extend(trim_lines(plan, &standing, ready));
    marks.extend(standing.iter().flat_map(Standing::marks));
    marks.extend(labels);
    marks.extend(findings.iter().flat_map(|finding| finding_marks(finding, style)));
    let bounds = standing
        .iter()
        .filter_map(|one| one.region.bounds())
        .fold(plan.machine.blank.rect(), Rect::union);
    Drawing { bounds, marks }
}

/// Nothing but the footprints of what stands on the blank, for a picture of another layout over this one.
///
/// **Units**: millimetres on the blank. **Shapes**: curves within [`tolerance::DRAW`].
#[must_use]
pub fn outlines(plan: &Plan, pull: PullId) -> Vec<Mark> {
    let standing = standing(plan, pull);
    let mark = |one: Standing<'_>| {
        Mark::new(Role::Mold, Form::Region(one.region.clone())).of(one.subject())
    };
    standing.into_iter().map(mark).collect()
}

/// One mold where it stands.
#[derive(Debug)]
pub(super) struct Standing<'a> {
    pub(super) id: PlacementId,
    pub(super) mold: &'a Mold,
    pub(super) placement: &'a Placement,
    /// The footprint on the blank.
    pub(super) region: Region,
}

/// What stands on the blank of `pull`, in the order of the ids.
pub(super) fn standing(plan: &Plan, pull: PullId) -> Vec<Standing<'_>> {
    standing_within(plan, pull, tolerance::DRAW)
}

/// As [`standing`], with curves as true as `within`.
pub(super) fn standing_within(plan: &Plan, pull: PullId, within: Length) -> Vec<Standing<'_>> {
    let placements = plan.pulls.get(&pull).into_iter().flat_map(|pull| &pull.placements);
    let mut ready: BTreeMap<MoldId, Region> = BTreeMap::new();
    placements
        .filter_map(|(&id, placement)| {
            let mold = plan.molds.get(&placement.mold)?;
            let own = ready.entry(placement.mold).or_insert_with(|| mold.footprint.region(within));
            let region = own.placed(placement.pose);
            Some(Standing { id, mold, placement, region })
        })
        .collect()
}

/// The footprints grown by their trim allowance; each mold is grown once, however many copies stand.
fn trim_lines(plan: &Plan, standing: &[Standing<'_>], ready: &ReadyOutlines) -> Vec<Mark> {
    let mut own: BTreeMap<MoldId, Arc<Grown>> = BTreeMap::new();
    let mut marks = Vec::new();
    for one in standing.iter().filter(|one| one.mold.trim > tolerance::SAME) {
        let id = one.placement.mold;
        let Some(mold) = plan.molds.get(&id) else { continue };
        let grown = own.entry(id).or_insert_with(|| ready.trim(id, mold));
        let lines = grown.regions().iter().map(|line| line.placed(one.placement.pose));
        marks.extend(
            lines.map(|line| Mark::new(Role::TrimLine, Form::Region(line)).of(one.subject())),
        );
    }
    marks
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
        let mut marks = vec![
            Mark::new(Role::Mold, Form::Region(self.region.clone())),
            Mark::new(Role::CentreCross, Form::Line(at - along, at + along)),
            Mark::new(Role::CentreCross, Form::Line(at - along.left(), at + along.left())),
        ];
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

    /// The footprint's bounds with the trim allowance round them.
    pub(super) fn trimmed_bounds(&self) -> Option<Rect> {
        self.region.bounds().map(|bounds| bounds.grown(self.mold.trim))
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

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::geometry::Pose;
    use crate::plan::{CopyNumber, Footprint, sample};

    const PULL: PullId = PullId(1);

    /// The sample with only one mold of this footprint standing, turned by `degrees`.
    fn alone(footprint: Footprint, degrees: f64) -> Plan {
        let mut plan = sample();
        let mold = Mold::new("Limpet of the upper shore", footprint, Length::mm(10.0));
        plan.molds.insert(MoldId(1), Arc::new(mold));
        let pose = Pose::new(Point::new(200.0, 150.0), Angle::degrees(degrees));
        let placement = Placement { mold: MoldId(1), copy: CopyNumber(1), pose, locked: false };
        if let Some(pull) = plan.pulls.get_mut(&PULL) {
            Arc::make_mut(pull).placements = BTreeMap::from([(PlacementId(1), placement)]);
        }
        plan
    }

    fn square(mm: f64) -> Footprint {
        Footprint::Rectangle { width: Length::mm(mm), depth: Length::mm(mm) }
    }

    fn text_bounds(drawing: &Drawing, role: Role) -> Option<Rect> {
        let mark = drawing.marks.iter().find(|mark| mark.role == role)?;
        mark.form.bounds()
    }

    #[test]
    fn a_name_stands_inside_its_mold_when_it_fits_and_beside_it_when_not() {
        for (side, is_inside) in [(80.0, true), (30.0, false)] {
            let plan = alone(square(side), 0.0);
            let drawing = draw(&plan, PULL, &[]);
            let mold = standing(&plan, PULL)[0].region.bounds().expect("a square");
            let name = text_bounds(&drawing, Role::Name).expect("a name");
            assert_eq!(mold.contains(name.min) && mold.contains(name.max), is_inside, "{side} mm");
            assert_eq!(mold.distance(name) > 0.0, !is_inside, "{side} mm");
        }
    }

    #[test]
    fn a_mold_hemmed_in_by_the_edge_carries_its_number_alone() {
        let mut plan = alone(square(20.0), 0.0);
        plan.machine.blank.width = Length::mm(22.0);
        plan.machine.blank.depth = Length::mm(22.0);
        let drawing = draw(&plan, PULL, &[]);
        assert!(text_bounds(&drawing, Role::Number).is_some());
        assert_eq!(text_bounds(&drawing, Role::Name), None);
    }

    #[test]
    fn the_turn_mark_points_out_of_the_front_and_the_turn_is_written() {
        for (degrees, tip, words) in [
            (0.0, Point::new(200.0, 150.0 - 47.0), None),
            (90.0, Point::new(247.0, 150.0), Some("turned 90\u{b0}")),
            (180.0, Point::new(200.0, 197.0), Some("turned 180\u{b0}")),
        ] {
            let drawing = draw(&alone(square(80.0), degrees), PULL, &[]);
            let head = drawing.marks.iter().find_map(|mark| match &mark.form {
                Form::Region(head) if mark.role == Role::TurnMark => Some(head),
                _ => None,
            });
            let corners = head.expect("an arrow's head").outer.points().to_vec();
            assert!(corners.iter().any(|p| p.distance(tip) < 1e-9), "{corners:?}");
            let turn = drawing.marks.iter().find(|mark| mark.role == Role::Turn);
            let written = turn.map(|mark| match &mark.form {
                Form::Text { text, .. } => text.as_str(),
                _ => "",
            });
            assert_eq!(written, words);
        }
    }

    #[test]
    fn an_unknown_pull_is_a_bare_blank() {
        let plan = sample();
        let drawing = draw(&plan, PullId(7), &[]);
        assert_eq!(drawing.bounds, plan.machine.blank.rect());
        assert!(drawing.marks.iter().all(|mark| mark.subject.is_none()));
    }

    #[test]
    fn an_outline_that_bounds_nothing_is_drawn_as_it_is() {
        for corners in [vec![], vec![Point::ORIGIN], vec![Point::ORIGIN, Point::new(9.0, 0.0)]] {
            let footprint = Footprint::Outline { outer: Ring::new(corners), holes: Vec::new() };
            let drawing = draw(&alone(footprint, 30.0), PULL, &[]);
            assert!(drawing.marks.iter().any(|mark| mark.role == Role::Number));
        }
    }

    #[test]
    fn a_gap_that_a_rule_speaks_of_has_its_line_and_its_figures() {
        let plan = sample();
        let drawing = draw(&plan, PULL, &crate::rules::check(&plan, PULL));
        let caution = Role::FindingMark(crate::rules::Severity::Caution);
        let marks: Vec<&Mark> = drawing.marks.iter().filter(|mark| mark.role == caution).collect();
        assert_eq!(marks.len(), 2, "{marks:?}");
        assert!(matches!(&marks[1].form, Form::Text { text, .. } if text == "38.0 mm of 45.5 mm"));
    }
}

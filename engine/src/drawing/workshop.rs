//! A pull as other programs and machines take it: outlines as true as they are measured, and few words.

use super::layout::{Standing, standing_within};
use super::{Anchor, Corners, Drawing, Form, Mark, Role, corners, height_words, label};
use crate::geometry::{Point, Rect, Vec2, offset, tolerance};
use crate::plan::{Machine, Plan, PullId};
use crate::units::{Angle, Length};

/// Capitals of a mold's words.
const CAPITALS: Length = Length::mm(4.0);
/// From baseline to baseline.
const LINE: f64 = 6.0;
/// How far the line at a mold's front reaches from its centre cross.
const FRONT: f64 = 8.0;

/// The outlines of one pull for machines that cut: curves within [`tolerance::MEASURE`], no shading, no arrowheads.
///
/// With `has_corners` the locating corners are among them. An unknown pull is a bare blank. **Units**: millimetres on
/// the blank. **Cost**: as [`super::draw`], with more corners; see [`corners()`].
#[must_use]
pub fn draw_workshop(plan: &Plan, pull: PullId, has_corners: bool) -> Drawing {
    let standing = standing_within(plan, pull, tolerance::MEASURE);
    let mut marks = machine(&plan.machine);
    marks.extend(standing.iter().flat_map(trim_lines));
    if has_corners {
        let Corners { marks: pieces, without: _ } = corners(plan, pull);
        marks.extend(pieces);
    }
    for one in &standing {
        marks.extend(outline(one).into_iter().chain(words(one, plan)));
    }
    let bounds = standing
        .iter()
        .filter_map(|one| one.region.bounds())
        .fold(plan.machine.blank.rect(), Rect::union);
    Drawing { bounds, marks }
}

fn machine(machine: &Machine) -> Vec<Mark> {
    let blank = machine.blank.rect();
    let middle = blank.center();
    let line = |a, b| Mark::new(Role::CentreLine, Form::Line(a, b));
    vec![
        Mark::new(Role::Platen, Form::rect(machine.platen)),
        line(Point::new(blank.min.x, middle.y), Point::new(blank.max.x, middle.y)),
        line(Point::new(middle.x, blank.min.y), Point::new(middle.x, blank.max.y)),
        Mark::new(Role::Opening, Form::rect(machine.opening())),
        Mark::new(Role::Blank, Form::rect(blank)),
    ]
}

fn trim_lines(one: &Standing<'_>) -> Vec<Mark> {
    if one.mold.trim <= tolerance::SAME {
        return Vec::new();
    }
    let lines = offset(&one.region, one.mold.trim, tolerance::MEASURE);
    lines
        .into_iter()
        .map(|line| Mark::new(Role::TrimLine, Form::Region(line)).of(one.subject()))
        .collect()
}

/// Footprint, centre cross, and a line from the centre towards the mold's front.
fn outline(one: &Standing<'_>) -> Vec<Mark> {
    let pose = one.placement.pose;
    let along = Vec2::unit(pose.turn) * (FRONT / 2.0);
    let front = Vec2::unit(pose.turn - Angle::degrees(90.0)) * FRONT;
    let marks = [
        Mark::new(Role::Mold, Form::Region(one.region.clone())),
        Mark::new(Role::CentreCross, Form::Line(pose.at - along, pose.at + along)),
        Mark::new(Role::CentreCross, Form::Line(pose.at + along.left(), pose.at + front)),
    ];
    marks.into_iter().map(|mark| mark.of(one.subject())).collect()
}

/// Number and name above the centre cross, the height below it.
fn words(one: &Standing<'_>, plan: &Plan) -> Vec<Mark> {
    let at = one.placement.pose.at;
    let name = label::name_words(one.mold, one.placement.copy.0);
    let height = height_words(one.mold, plan.settings.lengths);
    let below = FRONT + CAPITALS.to_mm() + 2.0;
    let lines = [
        (Role::Number, FRONT / 2.0 + 2.0 + LINE, one.id.0.to_string()),
        (Role::Name, FRONT / 2.0 + 2.0, name),
        (Role::Height, -below, height),
    ];
    let mark = |(role, up, text): (Role, f64, String)| {
        let form = Form::text(at + Vec2::new(0.0, up), CAPITALS, Anchor::Middle, text);
        Mark::new(role, form).of(one.subject())
    };
    lines.into_iter().map(mark).collect()
}

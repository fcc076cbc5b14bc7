//! Snapping: the small displacement that brings what is dragged into line, to equal gaps or to its clearance.

use std::collections::BTreeMap;

use crate::geometry::{Gap, Point, Pose, Rect, Shape, Vec2, extent, gap, tolerance};
use crate::order;
use crate::plan::{Mold, PlacementId, Plan, PullId};
use crate::units::Length;

/// What a guide line stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GuideKind {
    /// In line with the middle of the opening or with another mold's centre.
    CentreLine,
    /// As far from one neighbour as from the other.
    EqualGap,
    /// Exactly at the clearance from another mold, or at the margin from the clamp.
    Clearance,
}

/// A line on the blank that shows what was snapped to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guide {
    /// What it stands for.
    pub kind: GuideKind,
    /// Where it starts.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

/// The displacement to add to a drag, and the lines that say why.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Snapped {
    /// To add to every dragged pose; zero when nothing is within reach.
    pub by: Vec2,
    /// At most two, one for each direction that was held.
    pub guides: Vec<Guide>,
}

/// Where the dragged placements, moved as one to `poses`, snap to within `reach`.
///
/// Two conditions at most are met at once, the nearest first. Clearances are met exactly (to
/// [`tolerance::SAME`]), so that a snapped mold is a clean one.
///
/// Cost: the distances from the dragged molds to all others, about 3 microseconds a pair.
#[must_use]
pub fn snap(
    plan: &Plan,
    pull: PullId,
    poses: &BTreeMap<PlacementId, Pose>,
    reach: Length,
) -> Snapped {
    let Some(scene) = Scene::new(plan, pull, poses) else { return Snapped::default() };
    let reach = reach.to_mm();
    let mut wishes = scene.wishes(Vec2::ZERO);
    wishes.retain(|w| w.short.abs() <= reach);
    order::by(&mut wishes, |a, b| {
        a.short.abs().total_cmp(&b.short.abs()).then(a.what.cmp(&b.what))
    });
    let Some(first) = wishes.first().copied() else { return Snapped::default() };
    let pairs = wishes.iter().skip(1).filter(|w| w.normal.cross(first.normal).abs() > 0.2);
    for second in pairs {
        if let Some(by) = scene.meet(&[first.what, second.what], reach) {
            return scene.snapped(by, &[first.what, second.what]);
        }
    }
    scene
        .meet(&[first.what], reach)
        .map_or_else(Snapped::default, |by| scene.snapped(by, &[first.what]))
}

/// What a wish is about; also the order among wishes that are equally near.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum What {
    /// Distance of a dragged mold to a standing one.
    Clearance(usize, usize),
    /// Distance of the dragged bounds to a side of the opening: left, front, right, back.
    Margin(usize),
    /// The dragged centre on a centre line: which, and along which axis (0 is x).
    Centre(usize, usize),
    /// Equal gaps to the neighbours before and after along an axis.
    EqualGap(usize),
}

/// One condition: moving by `short` along `normal` would meet it, as far as its first derivative tells.
#[derive(Clone, Copy, Debug)]
struct Wish {
    what: What,
    normal: Vec2,
    short: f64,
}

struct Body<'a> {
    mold: &'a Mold,
    shape: Shape,
    pose: Pose,
    extent: Rect,
}

struct Scene<'a> {
    plan: &'a Plan,
    opening: Rect,
    dragged: Vec<Body<'a>>,
    standing: Vec<Body<'a>>,
    bounds: Rect,
    centre: Point,
}

impl<'a> Scene<'a> {
    fn new(plan: &'a Plan, pull: PullId, poses: &BTreeMap<PlacementId, Pose>) -> Option<Self> {
        let layout = plan.pulls.get(&pull)?;
        let body = |id: &PlacementId, pose: Pose| {
            let mold = &**plan.molds.get(&layout.placements.get(id)?.mold)?;
            let shape = Shape::new(mold.footprint.region(tolerance::MEASURE));
            let extent = extent(&shape, pose);
            Some(Body { mold, shape, pose, extent })
        };
        let dragged: Vec<_> = poses.iter().filter_map(|(id, pose)| body(id, *pose)).collect();
        let others = layout.placements.iter().filter(|(id, _)| !poses.contains_key(id));
        let standing: Vec<_> = others.filter_map(|(id, p)| body(id, p.pose)).collect();
        let bounds = dragged.iter().map(|b| b.extent).reduce(Rect::union)?;
        let centre = match dragged.as_slice() {
            [one] => one.pose.at,
            _ => bounds.center(),
        };
        Some(Self { plan, opening: plan.machine.opening(), dragged, standing, bounds, centre })
    }

    fn wishes(&self, by: Vec2) -> Vec<Wish> {
        let pairs = (0..self.dragged.len())
            .flat_map(|d| (0..self.standing.len()).map(move |s| What::Clearance(d, s)));
        let lines = (0..=self.standing.len())
            .flat_map(|line| [What::Centre(line, 0), What::Centre(line, 1)]);
        pairs
            .chain((0..4).map(What::Margin))
            .chain(lines)
            .chain([What::EqualGap(0), What::EqualGap(1)])
            .filter_map(|what| self.wish(what, by))
            .collect()
    }

    /// The condition as it stands when the dragged molds are moved by `by`; `None` where it has no meaning.
    fn wish(&self, what: What, by: Vec2) -> Option<Wish> {
        let (normal, short) = match what {
            What::Clearance(d, s) => self.clearance(d, s, by)?,
            What::Margin(side) => self.margin(side, by),
            What::Centre(line, axis) => {
                let target =
                    line.checked_sub(1).map_or(self.opening.center(), |i| self.standing[i].pose.at);
                let (normal, off) = (along(axis), target - (self.centre + by));
                (normal, off.dot(normal))
            }
            What::EqualGap(axis) => self.equal_gap(axis, by)?,
        };
        Some(Wish { what, normal, short })
    }

    fn gap(&self, d: usize, s: usize, by: Vec2) -> Gap {
        let (a, b) = (&self.dragged[d], &self.standing[s]);
        gap(&a.shape, a.pose.moved(by), &b.shape, b.pose)
    }

    /// Away from the standing mold, by how much the gap is short of the clearance.
    fn clearance(&self, d: usize, s: usize, by: Vec2) -> Option<(Vec2, f64)> {
        let gap = self.gap(d, s, by);
        let apart = gap.from - gap.to;
        let distance = apart.length();
        if distance < tolerance::SAME.to_mm() || !distance.is_finite() {
            return None;
        }
        let (a, b) = (self.dragged[d].mold, self.standing[s].mold);
        let heights = [a.standing_height(), b.standing_height()];
        let asked = self.plan.settings.clearance.between(heights, [a.trim, b.trim]);
        Some((apart / distance, asked.to_mm() - distance))
    }

    /// Away from a side of the opening, by how much the nearest dragged mold is short of its margin.
    fn margin(&self, side: usize, by: Vec2) -> (Vec2, f64) {
        let inward = along(side % 2) * if side < 2 { 1.0 } else { -1.0 };
        let edge = if side < 2 { self.opening.min } else { self.opening.max };
        let short = |body: &Body<'_>| {
            let near = if side < 2 { body.extent.min } else { body.extent.max };
            let asked = self.plan.settings.edge.margin(body.mold.standing_height(), body.mold.trim);
            asked.to_mm() - (near + by - edge).dot(inward)
        };
        (inward, self.dragged.iter().map(short).fold(f64::NEG_INFINITY, f64::max))
    }

    /// Along an axis, by how much the dragged bounds are off the middle between the neighbours on either side.
    fn equal_gap(&self, axis: usize, by: Vec2) -> Option<(Vec2, f64)> {
        let (before, after) = self.neighbours(axis)?;
        let (normal, bounds) = (along(axis), self.bounds.moved(by));
        let gap_before = bounds.min.to_vec2().dot(normal) - before;
        let gap_after = after - bounds.max.to_vec2().dot(normal);
        Some((normal, (gap_after - gap_before) / 2.0))
    }

    /// Where the neighbours before and after end and start along an axis; the opening is nobody's neighbour.
    fn neighbours(&self, axis: usize) -> Option<(f64, f64)> {
        let (line, across) = (along(axis), along(1 - axis));
        let span = |r: Rect, n: Vec2| (r.min.to_vec2().dot(n), r.max.to_vec2().dot(n));
        let own = span(self.bounds, across);
        let middle = self.bounds.center().to_vec2().dot(line);
        let mut found = (f64::NEG_INFINITY, f64::INFINITY);
        for body in &self.standing {
            let other = span(body.extent, across);
            if other.0 > own.1 || other.1 < own.0 {
                continue;
            }
            let (start, end) = span(body.extent, line);
            if end <= middle {
                found.0 = found.0.max(end);
            } else if start >= middle {
                found.1 = found.1.min(start);
            }
        }
        (found.0.is_finite() && found.1.is_finite()).then_some(found)
    }

    /// The displacement that meets one or two conditions, by Newton's method; `None` when it is out of reach.
    ///
    /// Distances between outlines are piecewise smooth, so a handful of steps settles or never will.
    fn meet(&self, whats: &[What], reach: f64) -> Option<Vec2> {
        const STEPS: usize = 12;
        let mut by = Vec2::ZERO;
        for _ in 0..STEPS {
            let wishes: Option<Vec<Wish>> = whats.iter().map(|&w| self.wish(w, by)).collect();
            let wishes = wishes?;
            if wishes.iter().all(|w| w.short.abs() < tolerance::SAME.to_mm() / 4.0) {
                return Some(by);
            }
            by = by + step(&wishes)?;
            if by.length() > reach * 2.0 {
                return None;
            }
        }
        None
    }

    fn snapped(&self, by: Vec2, whats: &[What]) -> Snapped {
        Snapped { by, guides: whats.iter().map(|&what| self.guide(what, by)).collect() }
    }

    fn guide(&self, what: What, by: Vec2) -> Guide {
        let bounds = self.bounds.moved(by);
        match what {
            What::Clearance(d, s) => {
                let gap = self.gap(d, s, by);
                Guide { kind: GuideKind::Clearance, from: gap.from, to: gap.to }
            }
            What::Margin(side) => {
                let (from, edge) = (bounds.center(), self.opening);
                let to = match side {
                    0 => Point::new(edge.min.x, from.y),
                    1 => Point::new(from.x, edge.min.y),
                    2 => Point::new(edge.max.x, from.y),
                    _ => Point::new(from.x, edge.max.y),
                };
                let from = Point::new(
                    to.x.clamp(bounds.min.x, bounds.max.x),
                    to.y.clamp(bounds.min.y, bounds.max.y),
                );
                Guide { kind: GuideKind::Clearance, from, to }
            }
            What::Centre(_, axis) => {
                let at = self.centre + by;
                let (from, to) = if axis == 0 {
                    (Point::new(at.x, self.opening.min.y), Point::new(at.x, self.opening.max.y))
                } else {
                    (Point::new(self.opening.min.x, at.y), Point::new(self.opening.max.x, at.y))
                };
                Guide { kind: GuideKind::CentreLine, from, to }
            }
            What::EqualGap(axis) => {
                let (before, after) = self.neighbours(axis).unwrap_or_default();
                let at = bounds.center();
                let (from, to) = if axis == 0 {
                    (Point::new(before, at.y), Point::new(after, at.y))
                } else {
                    (Point::new(at.x, before), Point::new(at.x, after))
                };
                Guide { kind: GuideKind::EqualGap, from, to }
            }
        }
    }
}

fn along(axis: usize) -> Vec2 {
    if axis == 0 { Vec2::new(1.0, 0.0) } else { Vec2::new(0.0, 1.0) }
}

/// One Newton step for one or two conditions; `None` when two of them pull along the same line.
fn step(wishes: &[Wish]) -> Option<Vec2> {
    match wishes {
        [one] => Some(one.normal * one.short),
        [a, b] => {
            let det = a.normal.cross(b.normal);
            if det.abs() < 1e-3 {
                return None;
            }
            Some(Vec2::new(
                (a.short * b.normal.y - b.short * a.normal.y) / det,
                (b.short * a.normal.x - a.short * b.normal.x) / det,
            ))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::Edit;
    use crate::plan::sample;

    const PULL: PullId = PullId(1);

    fn dragged(plan: &Plan, id: u32, by: Vec2) -> BTreeMap<PlacementId, Pose> {
        let key = PlacementId(id);
        BTreeMap::from([(key, plan.pulls[&PULL].placements[&key].pose.moved(by))])
    }

    fn clearance_short(plan: &Plan, poses: &BTreeMap<PlacementId, Pose>, by: Vec2) -> f64 {
        let scene = Scene::new(plan, PULL, poses).expect("the sample's pull");
        let all = (0..scene.standing.len()).filter_map(|s| scene.wish(What::Clearance(0, s), by));
        all.map(|w| w.short).fold(f64::NEG_INFINITY, f64::max)
    }

    #[test]
    fn a_mold_near_its_clearance_snaps_to_it_exactly() {
        let plan =
            sample().apply(&Edit::TakeOff(PULL, (3..=6).map(PlacementId).collect())).expect("room");
        let mut met = 0;
        for tenths in -60..20 {
            let poses = dragged(&plan, 2, Vec2::new(f64::from(tenths) / 2.0, 7.3));
            let before = clearance_short(&plan, &poses, Vec2::ZERO);
            let snapped = snap(&plan, PULL, &poses, Length::mm(3.0));
            assert!(snapped.by.length() <= 6.0, "{snapped:?}");
            if snapped.guides.iter().any(|g| g.kind == GuideKind::Clearance) && before.abs() < 3.0 {
                let short = clearance_short(&plan, &poses, snapped.by);
                assert!(short.abs() < 1e-6, "{before} became {short}: {snapped:?}");
                met += 1;
            }
        }
        assert!(met > 5, "clearances met: {met}");
    }

    #[test]
    fn the_centre_line_of_the_opening_catches_a_mold() {
        let plan =
            sample().apply(&Edit::TakeOff(PULL, (2..=6).map(PlacementId).collect())).expect("room");
        let opening = plan.machine.opening().center();
        let start = plan.pulls[&PULL].placements[&PlacementId(1)].pose.at;
        let poses = dragged(&plan, 1, opening - start + Vec2::new(1.5, -1.0));
        let snapped = snap(&plan, PULL, &poses, Length::mm(3.0));
        assert_eq!(snapped.by, Vec2::new(-1.5, 1.0));
        assert!(snapped.guides.iter().all(|g| g.kind == GuideKind::CentreLine));
    }

    #[test]
    fn equal_gaps_are_equal() {
        let plan = sample();
        let poses = dragged(&plan, 5, Vec2::ZERO);
        let scene = Scene::new(&plan, PULL, &poses).expect("the sample's pull");
        let by = scene.meet(&[What::EqualGap(0)], 50.0).expect("in reach");
        let (before, after) = scene.neighbours(0).expect("two neighbours");
        let bounds = scene.bounds.moved(by);
        assert!(((bounds.min.x - before) - (after - bounds.max.x)).abs() < 1e-6);
    }

    #[test]
    fn nothing_within_reach_means_no_move() {
        let plan = sample();
        let poses = dragged(&plan, 2, Vec2::ZERO);
        let free = (0..400)
            .map(|n| Vec2::new(f64::from(n % 20) * 1.7 - 17.0, f64::from(n / 20) * 1.3 - 13.0))
            .filter(|by| {
                let moved = poses.iter().map(|(id, pose)| (*id, pose.moved(*by))).collect();
                snap(&plan, PULL, &moved, Length::mm(0.05)) == Snapped::default()
            });
        assert!(free.count() > 300);
        assert_eq!(snap(&plan, PullId(9), &poses, Length::mm(5.0)), Snapped::default());
    }
}

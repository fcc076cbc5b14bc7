//! Looks for all that keeps a region from bounding a surface, each problem with its place.

use std::collections::BTreeSet;
use std::ops::ControlFlow;

use super::overlap::{Lie, runs};
use super::problem::{Outline, Problem};
use super::side::Side;
use super::tree::SideTree;
use super::{Point, Pose, Region, Ring, tolerance};
use crate::order;
use crate::units::Area;

/// Problems listed of one outline or one pair of outlines; a scribble has far more, and one would do.
const MOST_LISTED: usize = 32;

/// Meetings looked at in one outline: many sides through one place are one problem found over and over.
const MOST_LOOKED_AT: usize = 1000;

/// Lengths up to this are the same, in millimetres.
const SAME: f64 = tolerance::SAME.to_mm();

/// All that is wrong with a region; none for one that bounds a surface in one piece.
///
/// Outlines may touch each other at single places, but not themselves. Contact is judged with the tolerance
/// `SAME`. Cost: `n log n` for `n` corners, and quadratic in the count of holes; a scribble costs no more,
/// because only so many problems of one kind are listed.
#[must_use]
pub fn problems(region: &Region) -> Vec<Problem> {
    let mut found = Vec::new();
    let outer = checked(&region.outer, Outline::Outer, &mut found);
    let holes: Vec<Checked> = (region.holes.iter().enumerate())
        .filter_map(|(index, hole)| checked(hole, Outline::Hole(index), &mut found))
        .collect();
    let mut touches = Vec::new();
    for (index, hole) in holes.iter().enumerate() {
        if let Some(outer) = &outer {
            found.extend(hole.misplaced(outer, Lie::Outside, &mut touches));
        }
        for earlier in &holes[..index] {
            found.extend(hole.misplaced(earlier, Lie::Inside, &mut touches));
        }
    }
    found.extend(cut_apart(touches));
    found
}

/// An outline without problems of its own, ready to be compared with others.
struct Checked {
    outline: Outline,
    tree: SideTree,
    ring: Ring,
}

/// A place where two outlines touch.
struct Touch {
    outlines: [Outline; 2],
    at: Point,
}

/// The outline when it bounds a surface; otherwise its problems are added to those found.
fn checked(ring: &Ring, outline: Outline, found: &mut Vec<Problem>) -> Option<Checked> {
    if !ring.points().iter().all(|p| p.is_finite()) {
        found.push(Problem::NotFinite { outline });
        return None;
    }
    let (ring, repeated) = without_repeats(ring);
    found.extend(repeated.into_iter().map(|at| Problem::RepeatedCorner { outline, at }));
    let n_corners = ring.points().len();
    if n_corners < 3 {
        found.push(Problem::TooFewCorners { outline, n_corners });
        return None;
    }
    let tree = SideTree::new(std::iter::once(&ring));
    let meets = meets_itself(&tree, outline);
    let area = Area::mm2(ring.signed_area().abs());
    let is_crossing = meets.iter().any(|p| matches!(p, Problem::SelfCrossing { .. }));
    if !is_crossing && area <= tolerance::SPECK {
        found.push(Problem::NoArea { outline, area });
        return None;
    }
    let is_sound = meets.is_empty();
    found.extend(meets);
    is_sound.then_some(Checked { outline, tree, ring })
}

/// The outline with corners that repeat the one before left out, and the places of those.
fn without_repeats(ring: &Ring) -> (Ring, Vec<Point>) {
    let is_same = |a: Point, b: Point| a.distance(b) <= SAME;
    let mut kept: Vec<Point> = Vec::new();
    let mut repeated = Vec::new();
    for &corner in ring.points() {
        match kept.last() {
            Some(&last) if is_same(last, corner) => repeated.push(corner),
            _ => kept.push(corner),
        }
    }
    while let [first, .., last] = kept[..]
        && is_same(first, last)
    {
        repeated.extend(kept.pop());
    }
    repeated.truncate(MOST_LISTED);
    (Ring::new(kept), repeated)
}

/// The spikes and the places where sides that are no neighbours meet.
fn meets_itself(tree: &SideTree, outline: Outline) -> Vec<Problem> {
    let sides = tree.sides();
    let mut found: Vec<Problem> = Vec::new();
    let mut n_met = 0;
    let same = Pose::default().map();
    let _ = tree.visit_near(tree, &same, SAME, &mut |i, j| {
        if i < j
            && let Some(problem) = meeting(sides, i, j, outline)
        {
            n_met += 1;
            if !found.contains(&problem) {
                found.push(problem);
            }
        }
        let is_enough = found.len() >= MOST_LISTED || n_met >= MOST_LOOKED_AT;
        if is_enough { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    });
    found
}

/// How two sides of one outline meet where they should not.
fn meeting(sides: &[Side], i: usize, j: usize, outline: Outline) -> Option<Problem> {
    let is_last = i == 0 && j + 1 == sides.len();
    if j == i + 1 || is_last {
        let (before, after) = if is_last { (j, i) } else { (i, j) };
        return fold(sides[before], sides[after]).map(|at| Problem::Spike { outline, at });
    }
    let at = sides[i].crossing(sides[j]).or_else(|| sides[i].touch(sides[j], SAME))?;
    Some(Problem::SelfCrossing { outline, at })
}

/// The corner between two sides when the second runs back along the first.
fn fold(before: Side, after: Side) -> Option<Point> {
    let is_back = (before.to - before.from).dot(after.to - after.from) < 0.0;
    let is_on = before.distance(after.to) <= SAME || after.distance(before.from) <= SAME;
    (is_back && is_on).then_some(before.to)
}

impl Checked {
    /// How this hole lies wrongly to another outline, where `wrong` is the side of it that it must not be on.
    fn misplaced(&self, other: &Self, wrong: Lie, touches: &mut Vec<Touch>) -> Option<Problem> {
        let contacts = self.contacts(other);
        if contacts.is_empty() {
            return self
                .apart(other, wrong)
                .map(|at| Problem::HoleOutside { hole: self.outline, at });
        }
        let swapped: Vec<(usize, usize)> = contacts.iter().map(|&(i, j)| (j, i)).collect();
        let theirs = || other.first_wrong(self, &swapped, wrong);
        let mine = self.first_wrong(other, &contacts, wrong);
        let problem = if wrong == Lie::Inside { mine.or_else(theirs) } else { mine };
        if problem.is_none() {
            touches.extend(self.touches(other, &contacts));
        }
        problem
    }

    /// The first run of this outline that crosses the other, lies along it or on the wrong side of it.
    fn first_wrong(
        &self,
        other: &Self,
        contacts: &[(usize, usize)],
        wrong: Lie,
    ) -> Option<Problem> {
        let crossed =
            |at| Problem::OutlinesCrossing { one: self.outline, other: other.outline, at };
        let crossing = |&(i, j): &(usize, usize)| self.side(i).crossing(other.side(j));
        if let Some(at) = contacts.iter().find_map(crossing) {
            return Some(crossed(at));
        }
        let same = Pose::default().map();
        runs(&self.tree, &other.tree, same, contacts).find_map(|(piece, lie)| {
            let at = piece.from.midpoint(piece.to);
            match lie {
                Lie::AlongSameWay | Lie::AlongOtherWay => Some(crossed(at)),
                lie if lie == wrong => Some(Problem::HoleOutside { hole: self.outline, at }),
                Lie::Inside | Lie::Outside => None,
            }
        })
    }

    fn side(&self, index: usize) -> Side {
        self.tree.sides()[index]
    }

    /// All pairs of sides of the two outlines that meet.
    fn contacts(&self, other: &Self) -> Vec<(usize, usize)> {
        let mut contacts = Vec::new();
        let same = Pose::default().map();
        let _ = self.tree.visit_near(&other.tree, &same, SAME, &mut |i, j| {
            let (one, two) = (self.side(i), other.side(j));
            let is_crossing = one.crossing(two).is_some();
            if is_crossing || one.touch(two, SAME).is_some() {
                contacts.push((i, j));
            }
            if is_crossing { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        });
        contacts
    }

    /// A corner on the wrong side of an outline that this one does not meet.
    fn apart(&self, other: &Self, wrong: Lie) -> Option<Point> {
        let (mine, theirs) = (self.ring.points()[0], other.ring.points()[0]);
        let is_inside = other.tree.is_inside(mine);
        match wrong {
            Lie::Inside => {
                is_inside.then_some(mine).or_else(|| self.tree.is_inside(theirs).then_some(theirs))
            }
            _ => (!is_inside).then_some(mine),
        }
    }

    /// The places where the two outlines touch, each once for every pair of sides.
    fn touches(&self, other: &Self, contacts: &[(usize, usize)]) -> Vec<Touch> {
        let outlines = [self.outline, other.outline];
        let touch = |&(i, j): &(usize, usize)| self.side(i).touch(other.side(j), SAME);
        contacts.iter().filter_map(touch).map(|at| Touch { outlines, at }).collect()
    }
}

/// A place that closes a ring of touching outlines, within which the surface is cut off from the rest.
///
/// Outlines and places of touch make a graph, an outline joined to each place it touches at: a ring in it
/// encloses a piece of the surface.
fn cut_apart(mut touches: Vec<Touch>) -> Option<Problem> {
    order::by(&mut touches, |a, b| a.at.x.total_cmp(&b.at.x).then(a.at.y.total_cmp(&b.at.y)));
    let mut places: Vec<Point> = Vec::new();
    let mut joins = BTreeSet::new();
    for Touch { outlines, at } in touches {
        let recent = places.iter().enumerate().rev();
        let mut near = recent.take_while(|(_, p)| at.x - p.x <= 2.0 * SAME);
        let known = near.find(|(_, p)| p.distance(at) <= 2.0 * SAME).map(|(number, _)| number);
        let number = known.unwrap_or(places.len());
        if known.is_none() {
            places.push(at);
        }
        joins.extend(outlines.map(|outline| (outline, number)));
    }
    first_ring(&joins, places.len()).map(|number| Problem::CutApart { at: places[number] })
}

/// The place of the first join between an outline and a place that are linked already.
fn first_ring(joins: &BTreeSet<(Outline, usize)>, n_places: usize) -> Option<usize> {
    let node = |outline: Outline| match outline {
        Outline::Outer => n_places,
        Outline::Hole(index) => n_places + 1 + index,
    };
    let n_nodes = joins.iter().map(|&(outline, _)| node(outline) + 1).max().unwrap_or(0);
    let mut above: Vec<usize> = (0..n_nodes).collect();
    let mut is_linked = |outline, number| {
        let (one, other) = (top(&above, node(outline)), top(&above, number));
        above[one] = other;
        one == other
    };
    joins.iter().find(|&&(outline, number)| is_linked(outline, number)).map(|&(_, number)| number)
}

/// The topmost of the linked nodes.
fn top(above: &[usize], node: usize) -> usize {
    let mut node = node;
    while above[node] != node {
        node = above[node];
    }
    node
}

#[cfg(test)]
mod tests {
    use super::*;

    type Corners<'a> = &'a [(f64, f64)];

    fn ring(corners: Corners<'_>) -> Ring {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    fn block(x: f64, y: f64, side: f64) -> Vec<(f64, f64)> {
        vec![(x, y), (x + side, y), (x + side, y + side), (x, y + side)]
    }

    #[track_caller]
    fn check(outer: Corners<'_>, holes: &[Corners<'_>], expected: &[&str]) {
        let region = Region::new(ring(outer), holes.iter().copied().map(ring).collect());
        let told: Vec<String> = problems(&region).iter().map(ToString::to_string).collect();
        assert_eq!(told, expected);
    }

    const SQUARE: Corners<'static> = &[(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)];

    #[test]
    fn a_square_with_holes_inside_is_sound() {
        check(SQUARE, &[], &[]);
        check(SQUARE, &[&block(2.0, 2.0, 5.0), &block(9.0, 9.0, 5.0)], &[]);
    }

    #[test]
    fn holes_may_touch_each_other_and_the_outer_outline_at_single_places() {
        check(SQUARE, &[&block(2.0, 2.0, 5.0), &block(7.0, 7.0, 5.0)], &[]);
        check(SQUARE, &[&[(0.0, 10.0), (5.0, 8.0), (5.0, 12.0)]], &[]);
        check(SQUARE, &[&[(0.0, 0.0), (5.0, 3.0), (3.0, 5.0)]], &[]);
    }

    #[test]
    fn too_few_corners_and_too_little_area_are_told() {
        let needs = "and a surface needs 3: add corners or remove it";
        check(&[], &[], &[&format!("the outer outline has 0 corners that differ, {needs}")]);
        check(
            &[(1.0, 1.0), (2.0, 2.0)],
            &[],
            &[&format!("the outer outline has 2 corners that differ, {needs}")],
        );
        let little = "too little for a mold: check the units or remove it";
        check(
            &[(0.0, 0.0), (5.0, 5.0), (9.0, 9.0)],
            &[],
            &[&format!("the outer outline bounds 0.000000 mm², {little}")],
        );
        check(
            SQUARE,
            &[&block(3.0, 3.0, 0.001)],
            &[&format!("hole 1 bounds 0.000001 mm², {little}")],
        );
    }

    #[test]
    fn corners_without_a_place_are_told() {
        check(
            &[(0.0, 0.0), (5.0, f64::NAN), (9.0, 0.0), (3.0, f64::INFINITY)],
            &[],
            &["the outer outline has a corner whose coordinates are no numbers: remove it"],
        );
    }

    #[test]
    fn a_bow_tie_crosses_itself_in_the_middle() {
        check(
            &[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)],
            &[],
            &["the outer outline meets itself at (5.000, 5.000) mm: move the corners apart there"],
        );
    }

    #[test]
    fn a_corner_on_another_side_or_corner_meets_the_outline() {
        let told = "move the corners apart there";
        check(
            &[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 0.0), (0.0, 10.0)],
            &[],
            &[&format!("the outer outline meets itself at (5.000, 0.000) mm: {told}")],
        );
        check(
            &[(0.0, 0.0), (5.0, 5.0), (10.0, 0.0), (10.0, 10.0), (5.0, 5.0), (0.0, 10.0)],
            &[],
            &[&format!("the outer outline meets itself at (5.000, 5.000) mm: {told}")],
        );
    }

    #[test]
    fn repeated_corners_and_spikes_are_told_apart() {
        check(
            &[(0.0, 0.0), (10.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, 5e-7)],
            &[],
            &[
                "the outer outline has a corner twice at (10.000, 0.000) mm: remove one",
                "the outer outline has a corner twice at (0.000, 0.000) mm: remove one",
            ],
        );
        check(
            &[(0.0, 0.0), (10.0, 0.0), (15.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)],
            &[],
            &[
                "the outer outline meets itself at (10.000, 0.000) mm: move the corners apart there",
                "the outer outline turns back on itself at (15.000, 0.000) mm: remove that corner",
            ],
        );
    }

    #[test]
    fn holes_outside_across_within_and_along_are_told() {
        let outside = "is outside the surface at";
        let remedy = "move or remove it";
        check(
            SQUARE,
            &[&block(30.0, 2.0, 5.0)],
            &[&format!("hole 1 {outside} (30.000, 7.000) mm: {remedy}")],
        );
        check(
            SQUARE,
            &[&block(5.0, 5.0, 10.0), &block(8.0, 8.0, 2.0)],
            &[&format!("hole 2 {outside} (8.000, 10.000) mm: {remedy}")],
        );
        check(
            SQUARE,
            &[&block(17.0, 5.0, 8.0)],
            &[
                "hole 1 and the outer outline cross at (20.000, 13.000) mm: move them apart or join them",
            ],
        );
        check(
            SQUARE,
            &[&block(2.0, 2.0, 5.0), &block(7.0, 3.0, 3.0)],
            &["hole 2 and hole 1 cross at (7.000, 4.500) mm: move them apart or join them"],
        );
        check(
            SQUARE,
            &[&block(5.0, 5.0, 5.0), &block(5.0, 5.0, 5.0)],
            &["hole 2 and hole 1 cross at (7.500, 10.000) mm: move them apart or join them"],
        );
    }

    #[test]
    fn a_hole_that_touches_at_both_ends_cuts_the_surface_apart() {
        check(
            SQUARE,
            &[&[(0.0, 10.0), (10.0, 8.0), (20.0, 10.0), (10.0, 12.0)]],
            &[
                "the outlines touch and cut the surface apart at (20.000, 10.000) mm: move them apart",
            ],
        );
        // Two holes and the outer outline at one place enclose nothing.
        let at_corner =
            [&[(0.0, 0.0), (9.0, 1.0), (9.0, 3.0)][..], &[(0.0, 0.0), (3.0, 9.0), (1.0, 9.0)]];
        check(SQUARE, &at_corner, &[]);
    }

    #[test]
    fn a_scribble_lists_only_so_many_problems() {
        let corners: Vec<(f64, f64)> = (0..4000_u32)
            .map(|i| {
                let spin = f64::from(i) * 2.5;
                (100.0 * libm::cos(spin), 100.0 * libm::sin(spin))
            })
            .collect();
        let region = Region::new(ring(&corners), vec![]);
        assert_eq!(problems(&region).len(), MOST_LISTED);
    }
}

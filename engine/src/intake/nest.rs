//! Sorts closed lines into outlines and their holes: even depth is plastic, odd depth a hole.

use super::Place;
use super::found::FoundOutline;
use super::pen::Line;
use super::problem::{Counted, Problems, Trouble, shortened};
use crate::geometry::{self, Point, Pose, Region, Ring, Shape, tolerance};
use crate::units::Area;

/// Closed lines sorted out at most; comparing each with each is quadratic.
pub(super) const MOST_LOOPS: usize = 2000;

/// Corners of one outline up to which it is looked at for crossings.
const MOST_JUDGED: usize = 50_000;

/// Corners of one outline asked whether another holds it.
const ASKED: usize = 9;

/// A closed line ready to be compared.
struct Loop {
    name: String,
    at: Place,
    shape: Shape,
    depth: usize,
    parent: Option<usize>,
}

/// The outlines with their holes, the largest first. Cost: quadratic in the count of lines, each pair cheap.
pub(super) fn nest(lines: Vec<Line>, problems: &mut Problems) -> Vec<FoundOutline> {
    let mut loops = loops(lines, problems);
    for index in 0..loops.len() {
        let (larger, rest) = loops.split_at(index);
        let parent = parent(larger, &rest[0], problems);
        loops[index].depth = parent.map_or(0, |parent| larger_depth(&loops, parent) + 1);
        loops[index].parent = parent;
    }
    let mut holes: Vec<Vec<Ring>> = vec![Vec::new(); loops.len()];
    for one in loops.iter().filter(|one| one.depth % 2 == 1) {
        if let Some(parent) = one.parent {
            holes[parent].push(one.shape.region().outer.clone());
        }
    }
    let outer = loops.into_iter().zip(holes).filter(|(one, _)| one.depth % 2 == 0);
    let named = outer.enumerate().map(|(index, (one, holes))| FoundOutline {
        name: if one.name.is_empty() { format!("Outline {}", index + 1) } else { one.name },
        region: Region::new(one.shape.region().outer.clone(), holes),
        at: one.at,
    });
    named.collect()
}

fn larger_depth(loops: &[Loop], parent: usize) -> usize {
    loops.get(parent).map_or(0, |one| one.depth)
}

/// Lines with a surface, each once, the largest first.
fn loops(lines: Vec<Line>, problems: &mut Problems) -> Vec<Loop> {
    let mut rings: Vec<(f64, usize, Ring, Line)> = Vec::new();
    for (index, mut line) in lines.into_iter().enumerate() {
        let ring = without_repeats(std::mem::take(&mut line.points));
        let area = ring.signed_area();
        if Area::mm2(area.abs()) <= tolerance::SPECK || ring.points().len() < 3 {
            problems.count(Counted::NoSurface, "", &line.at);
            continue;
        }
        let ring = if area < 0.0 { ring.reversed() } else { ring };
        rings.push((area.abs(), index, ring, line));
    }
    rings.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut kept: Vec<(f64, Ring, Line, usize)> = Vec::new();
    for (area, _, ring, line) in rings {
        if kept.len() >= MOST_LOOPS {
            let trouble = Trouble::TooMany { what: "closed lines", most: MOST_LOOPS };
            problems.push(Place::File, trouble);
            break;
        }
        let near = kept.iter_mut().rev().take_while(|one| one.0 - area <= area * 1e-6);
        match near.into_iter().find_map(|one| is_same(&one.1, &ring).then_some(&mut one.3)) {
            Some(n) => *n += 1,
            None => kept.push((area, ring, line, 0)),
        }
    }
    kept.into_iter().map(|(_, ring, line, n)| judged(ring, line, n, problems)).collect()
}

/// The line as a loop, with what is wrong with it told.
fn judged(ring: Ring, line: Line, n_more: usize, problems: &mut Problems) -> Loop {
    if n_more > 0 {
        problems.push(line.at.clone(), Trouble::Doubled { n: n_more });
    }
    let region = Region { outer: ring, holes: Vec::new() };
    let crosses = |problem: &geometry::Problem| {
        matches!(problem, geometry::Problem::SelfCrossing { .. } | geometry::Problem::Spike { .. })
    };
    if region.outer.points().len() <= MOST_JUDGED && geometry::problems(&region).iter().any(crosses)
    {
        problems.push(line.at.clone(), Trouble::SelfCrossing);
    }
    Loop {
        name: shortened(line.name.trim()),
        at: line.at,
        shape: Shape::new(region),
        depth: 0,
        parent: None,
    }
}

/// The smallest of the larger loops that holds this one.
fn parent(larger: &[Loop], one: &Loop, problems: &mut Problems) -> Option<usize> {
    let bounds = one.shape.bounds();
    for (index, other) in larger.iter().enumerate().rev() {
        let around = other.shape.bounds();
        let Some(common) = around.intersection(bounds) else { continue };
        if common != bounds {
            continue;
        }
        let (n_inside, n_asked) = n_inside(other, one);
        if 2 * n_inside > n_asked {
            if n_inside < n_asked && is_crossing(other, one) {
                problems.push(one.at.clone(), Trouble::Crossing { other: other.at.clone() });
            }
            return Some(index);
        }
    }
    None
}

fn n_inside(other: &Loop, one: &Loop) -> (usize, usize) {
    let points = one.shape.region().outer.points();
    let step = points.len().div_ceil(ASKED).max(1);
    let asked = points.iter().step_by(step);
    let is_inside = |p: &&Point| other.shape.contains(Pose::default(), **p);
    (asked.clone().filter(is_inside).count(), asked.count())
}

fn is_crossing(other: &Loop, one: &Loop) -> bool {
    let region =
        Region::new(other.shape.region().outer.clone(), vec![one.shape.region().outer.clone()]);
    region.rings().map(|ring| ring.points().len()).sum::<usize>() <= MOST_JUDGED
        && geometry::problems(&region)
            .iter()
            .any(|p| matches!(p, geometry::Problem::OutlinesCrossing { .. }))
}

fn without_repeats(mut points: Vec<Point>) -> Ring {
    let same = tolerance::SAME.to_mm();
    points.dedup_by(|a, b| a.distance(*b) <= same);
    while points.len() > 1
        && let [first, .., last] = points[..]
        && first.distance(last) <= tolerance::JOIN.to_mm()
    {
        points.pop();
    }
    Ring::new(points)
}

/// True when both go through the same corners, wherever they begin.
fn is_same(a: &Ring, b: &Ring) -> bool {
    let (a, b) = (a.points(), b.points());
    let near = |p: Point, q: Point| p.distance(q) <= tolerance::IMPORT.to_mm();
    let Some(&first) = a.first().filter(|_| a.len() == b.len()) else { return false };
    let mut starts = (0..b.len()).filter(|&index| near(b[index], first)).take(4);
    starts.any(|start| {
        let turned = b.iter().cycle().skip(start);
        a.iter().zip(turned).all(|(&p, &q)| near(p, q))
    })
}

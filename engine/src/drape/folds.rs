//! Webs, where surplus sheet must fold or sheet spans from mold to mold, and corners that the sheet bridges.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::forecast::{Bridge, Contact, Web, WebKind};
use super::groups::Groups;
use super::measure::{Bench, Formed, Site};
use super::press::Press;
use crate::geometry::{Point, Rect};
use crate::plan::MoldKind;
use crate::rules::Severity;
use crate::units::{Area, Length};

/// Triangles that lose less than this share of their width fold nowhere: hot sheet shrinks so far by itself (our own
/// choice).
const SHRINKS: f64 = 0.04;
/// From this share on a web is likely; below, it may come (our own choice).
const LIKELY: f64 = 0.15;
/// Folds that stand up less than this part of the sheet's thickness nobody sees, and from the other on they stay: hot
/// sheet that is pushed together by less than it is thick gets thicker instead (our own choice; see DEVELOPERS.md).
const STANDS: (f64, f64) = (0.5, 1.0);
/// Folds that come or begin nearer to each other than this are one web, in millimetres: as near as the patch that a thickness is told
/// of (our own choice).
const TOGETHER: f64 = 10.0;
/// What sheet stays off a corner by before it is told of: in gauges, because guides ask two gauges or more as the radius of an
/// inner corner, and round such a radius it stays 0.6 gauges off two walls and 0.8 off three; and in millimetres, which is what
/// the usual net can tell of thin sheet (our own choice).
const GAP_SEEN: (f64, f64) = (1.0, 1.5);
/// Squares of its gap that bridged sheet covers at least: round three walls it covers 5.6 of them, round two more, and less is a
/// node that stopped short of its neighbours.
const COVERS: f64 = 5.6;

/// Groups of triangles, each of which shares a node with another of its group.
fn groups(bench: &Bench<'_>, is_meant: impl Fn(&Formed) -> bool) -> Vec<Vec<usize>> {
    let mut nodes = Groups::new(bench.sheet.positions.len());
    let meant: Vec<usize> =
        (0..bench.formed.len()).filter(|index| is_meant(&bench.formed[*index])).collect();
    for index in &meant {
        let [a, b, c] = bench.formed[*index].nodes;
        nodes.join(a, b);
        nodes.join(b, c);
    }
    let mut groups: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for index in meant {
        groups.entry(nodes.first(bench.formed[index].nodes[0])).or_default().push(index);
    }
    groups.into_values().collect()
}

/// Folds and spans, the worst first.
///
/// What one web is made of is told once, or their number would be the net's: folds of a mold that come near each other or run out
/// from one place of it are one, and a fold in the reach of a span between its molds is part of that.
pub(super) fn webs(bench: &Bench<'_>, mut spans: Vec<Web>) -> Vec<Web> {
    let folded = groups(bench, |one| one.surplus > SHRINKS);
    let folds: Vec<Web> = folded.iter().filter_map(|group| fold(bench, group)).collect();
    let mut webs = Vec::new();
    for fold in together(bench, &folds) {
        let is_part = |span: &&mut Web| {
            let is_its_own = fold.molds.iter().any(|mold| span.molds.contains(mold));
            is_its_own && apart(span, &fold) <= span.extent.to_mm() / 2.0
        };
        match spans.iter_mut().find(is_part) {
            Some(span) => span.severity = span.severity.max(fold.severity),
            None => webs.push(fold),
        }
    }
    webs.extend(spans);
    webs.sort_by(worse);
    webs
}

fn worse(a: &Web, b: &Web) -> Ordering {
    let larger = b.surface.to_mm2().total_cmp(&a.surface.to_mm2());
    let order = b.severity.cmp(&a.severity).then(larger);
    order.then(a.at.x.total_cmp(&b.at.x)).then(a.at.y.total_cmp(&b.at.y))
}

/// How far two webs are from each other, taken for round; in millimetres, less than 0 when one reaches into the other.
fn apart(one: &Web, other: &Web) -> f64 {
    one.at.distance(other.at) - (one.extent + other.extent).to_mm() / 2.0
}

/// Folds at the same mold that come near each other as one: its place is that of the worst of them. So are those that are nearest
/// to one place of its outline: a web runs from a corner outwards, and the net may leave a stretch of it smooth.
fn together(bench: &Bench<'_>, folds: &[Web]) -> Vec<Web> {
    let feet: Vec<Option<Point>> = folds.iter().map(|fold| foot(bench, fold)).collect();
    let mut near = Groups::new(folds.len());
    for (i, one) in (0_u32..).zip(folds) {
        for (j, other) in (0_u32..i).zip(folds) {
            let begin_together = match (feet[i as usize], feet[j as usize]) {
                (Some(one), Some(other)) => one.distance(other) < TOGETHER,
                _ => false,
            };
            let is_one = begin_together || apart(one, other) < TOGETHER;
            if is_one && one.molds.first() == other.molds.first() {
                near.join(i, j);
            }
        }
    }
    let mut groups: BTreeMap<u32, Vec<&Web>> = BTreeMap::new();
    for (i, one) in (0_u32..).zip(folds) {
        groups.entry(near.first(i)).or_default().push(one);
    }
    let joined = |mut group: Vec<&Web>| {
        group.sort_by(|a, b| worse(a, b));
        let mut web = Web::clone(group.first()?);
        for part in &group[1..] {
            let reach = Length::mm(web.at.distance(part.at)) + part.extent / 2.0;
            web.extent = web.extent.max(reach);
            web.surface = web.surface + part.surface;
        }
        Some(web)
    };
    groups.into_values().filter_map(joined).collect()
}

/// The place of its mold's outline that a fold is nearest to.
fn foot(bench: &Bench<'_>, fold: &Web) -> Option<Point> {
    let first = fold.molds.first()?;
    let site = bench.sites.iter().find(|site| site.id == *first)?;
    Some(site.nearest(fold.at)?.0)
}

fn hanging(bench: &Bench<'_>) -> Vec<Vec<usize>> {
    groups(bench, |one| one.nodes.iter().any(|node| is_free(bench, *node as usize)))
}

fn is_free(bench: &Bench<'_>, node: usize) -> bool {
    bench.sheet.contact[node] == Contact::Nothing
}

fn fold(bench: &Bench<'_>, group: &[usize]) -> Option<Web> {
    let all = || group.iter().map(|index| &bench.formed[*index]);
    let folded: f64 = all().map(Formed::folded).sum();
    let area: f64 = all().map(|one| one.area).sum();
    let measure = folded / (area + folded);
    let worst = all().max_by(|a, b| a.folded().total_cmp(&b.folded()))?;
    let (extent, plastic) = (extent(bench, group), all().map(|one| one.plastic).sum::<f64>());
    // All in one fold along the whole of it, against the sheet there with its folds laid flat.
    let stands_up = folded / (2.0 * extent.to_mm());
    let thickness = bench.gauge * plastic / (area + folded);
    let is_likely = measure >= LIKELY && stands_up >= STANDS.1 * thickness;
    let severity = if is_likely { Severity::Caution } else { Severity::Note };
    (stands_up >= STANDS.0 * thickness).then(|| Web {
        kind: WebKind::Fold,
        at: middle(bench, worst),
        extent,
        measure,
        surface: Area::mm2(folded),
        severity,
        molds: near(bench, middle(bench, worst)).into_iter().map(|site| site.id).take(2).collect(),
    })
}

fn near<'b>(bench: &'b Bench<'_>, at: Point) -> Vec<&'b Site<'b>> {
    let all = bench.sites.iter().map(|site| (site.distance(at), site));
    let mut near: Vec<(f64, &Site<'_>)> =
        all.filter(|(distance, site)| *distance < 1.5 * site.standing()).collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.id.cmp(&b.1.id)));
    near.into_iter().map(|(_, site)| site).collect()
}

fn middle(bench: &Bench<'_>, one: &Formed) -> Point {
    let [a, b, c] = one.nodes.map(|node| bench.place(node as usize).to_vec2());
    let sum = a + b + c;
    Point::new(sum.x / 3.0, sum.y / 3.0)
}

fn extent(bench: &Bench<'_>, group: &[usize]) -> Length {
    let nodes = group.iter().flat_map(|index| bench.formed[*index].nodes);
    let bounds = Rect::around(nodes.map(|node| bench.place(node as usize)));
    bounds.map_or(Length::ZERO, |bounds| Length::mm((bounds.max - bounds.min).length()))
}

/// Corners not filled, the widest first.
pub(super) fn bridges(bench: &Bench<'_>, press: &Press<'_>) -> Vec<Bridge> {
    let hanging = hanging(bench);
    let mut bridges: Vec<Bridge> =
        hanging.iter().filter_map(|group| bridge(bench, press, group)).collect();
    bridges.sort_by(|a, b| {
        let wider = b.gap.to_mm().total_cmp(&a.gap.to_mm());
        wider.then(a.at.x.total_cmp(&b.at.x)).then(a.at.y.total_cmp(&b.at.y))
    });
    bridges
}

fn bridge(bench: &Bench<'_>, press: &Press<'_>, group: &[usize]) -> Option<Bridge> {
    let nodes = group.iter().flat_map(|index| bench.formed[*index].nodes);
    let free = nodes.map(|node| node as usize).filter(|node| is_free(bench, *node));
    let gaps = free.map(|node| (node, press.ground.clearance(press.places[node])));
    let (node, gap) = gaps.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
    let at = bench.place(node);
    let covers = group.iter().map(|index| {
        let [a, b, c] = bench.formed[*index].nodes.map(|node| bench.place(node as usize));
        0.5 * (b - a).cross(c - a).abs()
    });
    let covers: f64 = covers.sum();
    // Outside of a cavity there is its block, and what is drawn over that is waste.
    let is_kept = |site: &&&Site<'_>| site.mold.kind == MoldKind::Male || site.distance(at) <= 0.0;
    (gap > seen_gap(bench.gauge) && covers > COVERS * gap * gap).then(|| Bridge {
        at,
        gap: Length::mm(gap),
        covers: Area::mm2(covers),
        mold: near(bench, at).first().filter(is_kept).map(|site| site.id),
    })
}

/// The gap that is told of with sheet of this gauge, in millimetres both.
pub(super) fn seen_gap(gauge: f64) -> f64 {
    (GAP_SEEN.0 * gauge).max(GAP_SEEN.1)
}

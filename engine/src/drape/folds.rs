//! Places where surplus sheet must fold, and corners that it bridges.

use super::forecast::{Bridge, Contact, Web};
use super::measure::{Bench, Formed};
use super::press::Press;
use crate::geometry::{Point, Rect};
use crate::plan::PlacementId;
use crate::rules::Severity;
use crate::units::{Area, Length};

/// Triangles that lose less than this share of their width fold nowhere: the sheet shrinks so far by itself (our own
/// choice).
const SHRINKS: f64 = 0.04;
/// From this share on a web is likely; below, it may come (our own choice).
const LIKELY: f64 = 0.15;
/// Less surface than this must fold: nobody sees it (our own choice).
const SEEN: f64 = 2.0;
/// A gap below the sheet of less than this share of a square of the net cannot be told from a filled corner.
const GAP_SEEN: f64 = 0.35;

/// Groups of triangles, each of which shares a node with another of its group.
fn groups(formed: &[Formed], nodes: usize, is_meant: impl Fn(&Formed) -> bool) -> Vec<Vec<usize>> {
    let mut first_of: Vec<usize> = (0..nodes).collect();
    fn root(first_of: &mut [usize], mut node: usize) -> usize {
        while first_of[node] != node {
            first_of[node] = first_of[first_of[node]];
            node = first_of[node];
        }
        node
    }
    for one in formed.iter().filter(|one| is_meant(one)) {
        let [a, b, c] = one.nodes.map(|node| root(&mut first_of, node as usize));
        let least = a.min(b).min(c);
        for node in [a, b, c] {
            first_of[node] = least;
        }
        let [a, b, c] = one.nodes.map(|node| root(&mut first_of, node as usize));
        let least = a.min(b).min(c);
        for node in [a, b, c] {
            first_of[node] = least;
        }
    }
    let mut groups: std::collections::BTreeMap<usize, Vec<usize>> =
        std::collections::BTreeMap::new();
    for (index, one) in formed.iter().enumerate().filter(|(_, one)| is_meant(one)) {
        groups.entry(root(&mut first_of, one.nodes[0] as usize)).or_default().push(index);
    }
    groups.into_values().collect()
}

/// Surplus sheet, the worst first.
pub(super) fn webs(bench: &Bench<'_>) -> Vec<Web> {
    let is_folded = |one: &Formed| one.surplus > SHRINKS;
    let groups = groups(bench.formed, bench.sheet.positions.len(), is_folded);
    let mut webs: Vec<Web> = groups.iter().filter_map(|group| web(bench, group)).collect();
    webs.sort_by(|a, b| {
        b.folded
            .to_mm2()
            .total_cmp(&a.folded.to_mm2())
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
    });
    webs
}

fn web(bench: &Bench<'_>, group: &[usize]) -> Option<Web> {
    let all = || group.iter().map(|index| &bench.formed[*index]);
    let folded: f64 = all().map(Formed::folded).sum();
    let area: f64 = all().map(|one| one.area).sum();
    let mean = folded / (area + folded);
    let worst = all().max_by(|a, b| a.folded().total_cmp(&b.folded()))?;
    let at = middle(bench, worst);
    let bounds = Rect::around(all().map(|one| middle(bench, one)))?;
    let extent = (bounds.max - bounds.min).length();
    if folded < SEEN {
        return None;
    }
    let mut near: Vec<(f64, PlacementId)> = bench
        .sites
        .iter()
        .map(|site| (site.distance(at), site.id, site.mold.standing_height().to_mm()))
        .filter(|(distance, _, height)| *distance < 1.5 * height)
        .map(|(distance, id, _)| (distance, id))
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    Some(Web {
        at,
        extent: Length::mm(extent),
        surplus: mean,
        folded: Area::mm2(folded),
        severity: if mean >= LIKELY { Severity::Caution } else { Severity::Note },
        molds: near.into_iter().map(|(_, id)| id).take(2).collect(),
    })
}

fn middle(bench: &Bench<'_>, one: &Formed) -> Point {
    let [a, b, c] = one.nodes.map(|node| bench.place(node as usize).to_vec2());
    let sum = a + b + c;
    Point::new(sum.x / 3.0, sum.y / 3.0)
}

/// Corners not filled, the widest first.
pub(super) fn bridges(bench: &Bench<'_>, press: &Press<'_>) -> Vec<Bridge> {
    let is_free = |one: &Formed| {
        one.nodes.iter().any(|node| bench.sheet.contact[*node as usize] == Contact::Nothing)
    };
    let groups = groups(bench.formed, bench.sheet.positions.len(), is_free);
    let mut bridges: Vec<Bridge> =
        groups.iter().filter_map(|group| bridge(bench, press, group)).collect();
    bridges.sort_by(|a, b| {
        b.gap
            .to_mm()
            .total_cmp(&a.gap.to_mm())
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
    });
    bridges
}

fn bridge(bench: &Bench<'_>, press: &Press<'_>, group: &[usize]) -> Option<Bridge> {
    let nodes = group.iter().flat_map(|index| bench.formed[*index].nodes.map(|node| node as usize));
    let gap = |node: usize| {
        let [x, y, z] = press.places[node];
        z - press.ground.height(x, y)
    };
    let free = nodes.filter(|node| bench.sheet.contact[*node] == Contact::Nothing);
    let worst = free.max_by(|a, b| gap(*a).total_cmp(&gap(*b)).then(b.cmp(a)))?;
    let at = bench.place(worst);
    let covers: f64 = group
        .iter()
        .map(|index| {
            let [a, b, c] = bench.formed[*index].nodes.map(|node| bench.place(node as usize));
            0.5 * (b - a).cross(c - a).abs()
        })
        .sum();
    let near =
        bench.sites.iter().filter(|site| site.distance(at) < site.mold.standing_height().to_mm());
    let near = near.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)));
    let seen = GAP_SEEN * press.net.square[0].min(press.net.square[1]);
    (gap(worst) > seen).then(|| Bridge {
        at,
        gap: Length::mm(gap(worst)),
        covers: Area::mm2(covers),
        mold: near.map(|site| site.id),
    })
}

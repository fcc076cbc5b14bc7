//! Reads the formed sheet: thickness and folds at each node, what it has landed on, and what that means for each mold.

use super::forecast::{Contact, Sheet, Spot, Why};
use super::ground::to_f32;
use super::net::Triangle;
use super::press::Press;
use super::rubber::{self, sides};
use super::vector::{coarsely, cross, length};
use super::{Mode, OverMold};
use crate::geometry::{Point, Pose, Rect, Shape, tolerance};
use crate::plan::{Mold, MoldKind, Placement, PlacementId, Plan, Pull};
use crate::units::Length;

/// One triangle of the formed sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Formed {
    pub(super) nodes: [u32; 3],
    /// Plastic: surface of the flat sheet times gauge, the gauge being 1.
    pub(super) plastic: f64,
    /// The surface that shows, in square millimetres.
    pub(super) area: f64,
    /// The surface with folds laid flat: read off places and rest alone, and neither off the plastic nor off the thickness.
    pub(super) unfolded: f64,
    /// What is left of the gauge, folds laid flat.
    pub(super) thickness: f64,
    /// The share of its width that it loses in folds.
    pub(super) surplus: f64,
}

impl Formed {
    /// The surface that must fold away.
    pub(super) fn folded(&self) -> f64 {
        (self.unfolded - self.area).max(0.0)
    }
}

/// Every triangle of the formed sheet.
pub(super) fn triangles(press: &Press<'_>) -> Vec<Formed> {
    press.net.triangles.iter().map(|triangle| formed(press, triangle)).collect()
}

fn formed(press: &Press<'_>, triangle: &Triangle) -> Formed {
    let at = sides(triangle.nodes, &press.places);
    let area = 0.5 * length(cross(at[0], at[1]));
    let state = match press.mode {
        Mode::Rubber => rubber::state(triangle, at),
        Mode::Uniform => {
            rubber::State { thickness: triangle.plastic / area.max(1e-9), surplus: 0.0 }
        }
    };
    Formed {
        nodes: triangle.nodes,
        plastic: triangle.plastic,
        area,
        unfolded: rubber::unfolded(triangle, at, state.surplus),
        thickness: state.thickness,
        surplus: state.surplus,
    }
}

/// The plastic found in the sheet as it lies: the thickness that is told of each triangle, over its surface.
///
/// What the net carries as plastic does not come in but by the thickness. So a thickness that is wrong is seen here, and so
/// is a fold that is.
pub(super) fn kept(press: &Press<'_>) -> f64 {
    let all = press.net.triangles.iter().map(|triangle| formed(press, triangle));
    all.map(|one| coarsely(one.thickness * one.unfolded)).sum()
}

/// The sheet as it is shown: at each node the plastic of the triangles around it over their surface.
pub(super) fn sheet(press: &Press<'_>, formed: &[Formed]) -> Sheet {
    let count = press.places.len();
    let (mut plastic, mut unfolded) = (vec![0.0; count], vec![0.0; count]);
    let (mut area, mut folded) = (vec![0.0; count], vec![0.0; count]);
    for one in formed {
        for node in one.nodes.map(|node| node as usize) {
            plastic[node] += one.plastic;
            unfolded[node] += one.plastic / one.thickness.max(1e-9);
            area[node] += one.area;
            folded[node] += one.area * one.surplus;
        }
    }
    let share = |(part, whole): (&f64, &f64)| to_f32(part / whole.max(1e-9));
    let contact = |(node, place): (usize, &[f64; 3])| {
        if press.net.is_clamped[node] {
            Contact::Clamp
        } else if press.is_stuck[node] {
            press.ground.contact(place[0], place[1])
        } else {
            Contact::Nothing
        }
    };
    let middle = press.net.middle;
    let on_blank = |[x, y, z]: &[f64; 3]| [x + middle.x, y + middle.y, *z];
    Sheet {
        positions: press.places.iter().map(|place| on_blank(place).map(to_f32)).collect(),
        triangles: formed.iter().map(|one| one.nodes).collect(),
        thickness: plastic.iter().zip(&unfolded).map(share).collect(),
        surplus: folded.iter().zip(&area).map(share).collect(),
        contact: press.places.iter().enumerate().map(contact).collect(),
    }
}

/// A mold where it stands, ready to be asked what is near it.
pub(super) struct Site<'a> {
    pub(super) id: PlacementId,
    pub(super) mold: &'a Mold,
    pub(super) pose: Pose,
    pub(super) shape: Shape,
}

impl<'a> Site<'a> {
    /// All molds of a pull.
    pub(super) fn all(plan: &'a Plan, pull: &'a Pull) -> Vec<Self> {
        let site = |(&id, placement): (&PlacementId, &Placement)| {
            let mold = plan.molds.get(&placement.mold)?;
            let shape = Shape::new(mold.footprint.region(tolerance::DRAW));
            Some(Self { id, mold, pose: placement.pose, shape })
        };
        pull.placements.iter().filter_map(site).collect()
    }

    /// How far a place of the blank is from its footprint, in millimetres; negative inside.
    pub(super) fn distance(&self, place: Point) -> f64 {
        let own = self.pose.map().invert(place);
        self.shape.nearest_outline(own).map_or(f64::MAX, |(_, distance)| distance)
    }

    /// The place of its outline nearest to a place of the blank, and how far it is, negative inside.
    pub(super) fn nearest(&self, place: Point) -> Option<(Point, f64)> {
        let map = self.pose.map();
        let (foot, distance) = self.shape.nearest_outline(map.invert(place))?;
        Some((map.apply(foot), distance))
    }

    /// Places along its outlines on the blank, no farther apart than `step` millimetres.
    pub(super) fn outline(&self, step: f64) -> Vec<Point> {
        let map = self.pose.map();
        let region = self.shape.region();
        let mut places = Vec::new();
        for ring in std::iter::once(&region.outer).chain(&region.holes) {
            let points = ring.points();
            for (from, to) in points.iter().zip(points.iter().cycle().skip(1)) {
                let count = libm::ceil((*to - *from).length() / step).clamp(1.0, 1e4);
                let mut part = 0.0;
                while part < count {
                    places.push(map.apply(*from + (*to - *from) * (part / count)));
                    part += 1.0;
                }
            }
        }
        places
    }

    /// A circle round it that holds it with its trim allowance: middle and radius.
    fn reach(&self) -> f64 {
        let corners = self.shape.bounds().corners();
        let far = corners.iter().map(|c| c.to_vec2().length()).fold(0.0, f64::max);
        far + self.mold.trim.to_mm()
    }

    pub(super) fn standing(&self) -> f64 {
        self.mold.standing_height().to_mm()
    }
}

/// The molds, the opening and the sheet over them.
pub(super) struct Bench<'a> {
    pub(super) sites: &'a [Site<'a>],
    pub(super) opening: Rect,
    /// The gauge in millimetres.
    pub(super) gauge: f64,
    pub(super) sheet: &'a Sheet,
    pub(super) formed: &'a [Formed],
    /// What is left of the gauge over the patch round each node.
    pub(super) patches: &'a [f64],
}

impl Bench<'_> {
    /// What the sheet does over one mold; none where no sheet is over it.
    pub(super) fn over(&self, site: &Site<'_>) -> Option<OverMold> {
        let (reach, trim) = (site.reach(), site.mold.trim.to_mm());
        let is_kept: Vec<bool> = (0..self.sheet.positions.len())
            .map(|node| {
                let place = self.place(node);
                self.sheet.contact[node] == Contact::Mold(site.id)
                    || (place.distance(site.pose.at) <= reach && site.distance(place) <= trim)
            })
            .collect();
        let kept = |one: &&Formed| one.nodes.iter().all(|node| is_kept[*node as usize]);
        let (mut plastic, mut unfolded, mut area, mut landed) = (0.0, 0.0, 0.0, 0.0);
        for one in self.formed.iter().filter(kept) {
            plastic += one.plastic;
            unfolded += one.plastic / one.thickness.max(1e-9);
            area += one.area;
            let is_down =
                one.nodes.iter().all(|n| self.sheet.contact[*n as usize] != Contact::Nothing);
            landed += if is_down { one.area } else { 0.0 };
        }
        let node = self.thinnest_of(|node| is_kept[node])?;
        let (mean, spot) = (plastic / unfolded, self.spot(node, Some(site)));
        (area > 0.0).then(|| OverMold {
            // A patch reaches over the edge of a mold that is smaller than it.
            thinnest: Spot { ratio: spot.ratio.min(mean), ..spot },
            mean,
            landed: landed / area,
        })
    }

    /// The thinnest place of all.
    pub(super) fn thinnest(&self) -> Option<Spot> {
        let node = self.thinnest_of(|_| true)?;
        let place = self.place(node);
        let height = |site: &&Site<'_>| site.distance(place) <= site.standing();
        let near = self.sites.iter().filter(height);
        let site = near.min_by(|a, b| a.distance(place).total_cmp(&b.distance(place)));
        Some(self.spot(node, site))
    }

    fn thinnest_of(&self, is_meant: impl Fn(usize) -> bool) -> Option<usize> {
        let nodes = (0..self.sheet.positions.len()).filter(|node| is_meant(*node));
        let thickness = |node: &usize| self.patches[*node];
        nodes.min_by(|a, b| thickness(a).total_cmp(&thickness(b)).then(a.cmp(b)))
    }

    pub(super) fn place(&self, node: usize) -> Point {
        let [x, y, _] = self.sheet.positions[node];
        Point::new(f64::from(x), f64::from(y))
    }

    fn spot(&self, node: usize, site: Option<&Site<'_>>) -> Spot {
        let height = f64::from(self.sheet.positions[node][2]);
        Spot {
            at: self.place(node),
            height: Length::mm(height),
            ratio: self.patches[node],
            why: site.map_or(Why::Bed, |site| self.why(node, site)),
        }
    }

    /// Where on a mold a node is, and what pulls there.
    fn why(&self, node: usize, site: &Site<'_>) -> Why {
        let place = self.place(node);
        let height = f64::from(self.sheet.positions[node][2]);
        let (foot, top) = (site.mold.spacer.to_mm(), site.standing());
        let up = (height - foot) / (top - foot).max(1e-9);
        match site.mold.kind {
            MoldKind::Female if up < 0.15 => Why::Floor,
            MoldKind::Female if up > 0.97 => Why::Top,
            MoldKind::Female if up > 0.7 => Why::TopEdge,
            MoldKind::Female => Why::Wall,
            MoldKind::Male if up > 0.97 => Why::Top,
            MoldKind::Male if up > 0.6 => Why::TopEdge,
            MoldKind::Male if up > 0.2 => Why::Wall,
            MoldKind::Male => self.below(place, site),
        }
    }

    /// What stretches the sheet at the foot of a mold: a neighbour, the clamp, or the mold alone.
    fn below(&self, place: Point, site: &Site<'_>) -> Why {
        let to_clamp = [
            place.x - self.opening.min.x,
            self.opening.max.x - place.x,
            place.y - self.opening.min.y,
            self.opening.max.y - place.y,
        ];
        let to_clamp = to_clamp.into_iter().fold(f64::MAX, f64::min);
        let others = self.sites.iter().filter(|other| other.id != site.id);
        let near = others.map(|other| (other.distance(place), other));
        let near = near.min_by(|a, b| a.0.total_cmp(&b.0));
        match near {
            Some((distance, other))
                if distance < 1.5 * site.standing().max(other.standing())
                    && distance < to_clamp =>
            {
                Why::Between(other.id)
            }
            _ if to_clamp < 1.2 * site.standing() => Why::BesideClamp,
            _ => Why::Foot,
        }
    }
}

//! A look at a packed strip before it is printed, by boolean operations that share nothing with the search.

use engine::geometry::{Pose, Region};
use engine::search::{Packed, Strip};
use geo::algorithm::Area;
use geo::algorithm::bool_ops::BooleanOps;
use geo::{BoundingRect, Coord, LineString, Polygon, Rect, coord};

/// How far pieces may reach into each other or out of the strip, as a share of its height.
const TOLERANCE: f64 = 1e-6;

/// An overlap test that shares nothing with the search: the surface common to two pieces by boolean operations.
///
/// Pieces may share as much as a touching of `TOLERANCE` times the height along their whole outline.
pub(crate) fn verify(strip: &Strip, packed: &Packed) -> Result<(), String> {
    let within = TOLERANCE * strip.height.to_mm();
    let shapes = strip.items.iter().flat_map(|item| std::iter::repeat_n(&item.shape, item.count));
    let placed: Vec<Polygon> =
        shapes.zip(&packed.poses).map(|(s, &p)| polygon(s.region(), p)).collect();
    let inside = Rect::new(
        coord! { x: -within, y: -within },
        coord! { x: packed.length.to_mm() + within, y: strip.height.to_mm() + within },
    );
    let is_in = |p: &Coord| {
        (inside.min().x..=inside.max().x).contains(&p.x)
            && (inside.min().y..=inside.max().y).contains(&p.y)
    };
    for (i, one) in placed.iter().enumerate() {
        if !one.exterior().coords().all(is_in) {
            return Err(format!(
                "piece {i} reaches out of the strip: this is a mistake of the search"
            ));
        }
        for (j, other) in placed[..i].iter().enumerate() {
            if !is_near(one, other) {
                continue;
            }
            let outline: f64 = one.exterior().lines().map(|side| length(side.delta())).sum();
            let common = one.intersection(other).unsigned_area();
            if common > within * outline {
                return Err(format!(
                    "pieces {j} and {i} overlap by {common:e} mm²: this is a mistake of the search"
                ));
            }
        }
    }
    Ok(())
}

fn length(way: Coord) -> f64 {
    way.x.mul_add(way.x, way.y * way.y).sqrt()
}

fn is_near(one: &Polygon, other: &Polygon) -> bool {
    let (Some(a), Some(b)) = (one.bounding_rect(), other.bounding_rect()) else { return true };
    a.min().x <= b.max().x
        && b.min().x <= a.max().x
        && a.min().y <= b.max().y
        && b.min().y <= a.max().y
}

fn polygon(region: &Region, pose: Pose) -> Polygon {
    let corners = region.placed(pose);
    let corners = corners.outer.points().iter().map(|p| coord! { x: p.x, y: p.y });
    Polygon::new(LineString::new(corners.collect()), Vec::new())
}

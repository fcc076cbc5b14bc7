//! Webs between molds: where the frame leaves the sheet hanging high over a narrow gap.
//!
//! ```text
//! index = 1 - gap / (ROOM times the height at which the sheet hangs midway)
//! ```
//!
//! Read off the sheet when the frame has come down and before the vacuum draws: what hangs there was stretched over
//! the molds and has to shrink back along the gap while it is stretched across it. The hanging sheet is smooth, so this is
//! the same on every net, and it can only rise with height and fall with room. That of the drawn sheet is neither: how
//! far it stays off the bed between molds is what the net leaves it.

use super::forecast::{Web, WebKind};
use super::map::index_to_f64;
use super::measure::{Bench, Site};
use super::press::Press;
use crate::geometry::Point;
use crate::rules::Severity;
use crate::units::{Area, Length};

/// Heights of room that sheet between molds wants: the safe figure of the trade (from memory).
const ROOM: f64 = 2.0;
/// From this share of missing room on a web is likely. Sheet hangs a little lower than the molds are high, so it comes near to
/// the usual rule of 1.75 heights.
const LIKELY: f64 = 0.15;
/// Less than this share nobody is told of (our own choice).
const TOLD: f64 = 0.02;
/// Steps along an outline between places where the gap is looked at, in millimetres.
const STEP: f64 = 1.5;
/// A place is in the gap when it is as near to one mold as to the other, but for this share.
const MIDWAY: f64 = 0.1;

/// A place midway between two molds.
#[derive(Clone, Copy, Debug)]
struct Midway {
    at: Point,
    index: f64,
    gap: f64,
}

/// All pairs of molds with too little room for the height at which the sheet hangs between them, the worst first.
pub(super) fn spans(bench: &Bench<'_>, press: &Press<'_>) -> Vec<Web> {
    let mut spans = Vec::new();
    for (number, one) in bench.sites.iter().enumerate() {
        for other in &bench.sites[number + 1..] {
            spans.extend(span(press, one, other));
        }
    }
    spans.sort_by(|a, b| b.measure.total_cmp(&a.measure).then(a.molds.cmp(&b.molds)));
    spans
}

fn span(press: &Press<'_>, one: &Site<'_>, other: &Site<'_>) -> Option<Web> {
    let places = midways(press, one, other);
    let worst = places.iter().copied().max_by(|a, b| a.index.total_cmp(&b.index))?;
    let near = places.iter().map(|place| (place.at - worst.at).length());
    let (reach, long) = (near.fold(0.0, f64::max), index_to_f64(places.len()) * STEP);
    (worst.index > TOLD).then(|| Web {
        kind: WebKind::Span,
        at: worst.at,
        extent: Length::mm(reach.max(worst.gap)),
        measure: worst.index,
        surface: Area::mm2(long * worst.gap),
        severity: if worst.index >= LIKELY { Severity::Caution } else { Severity::Note },
        molds: vec![one.id, other.id],
    })
}

/// Places along the gap where the sheet hangs too high for it.
fn midways(press: &Press<'_>, one: &Site<'_>, other: &Site<'_>) -> Vec<Midway> {
    // Sheet hangs no higher than the higher of the two, or what it rests on.
    let most = ROOM * one.standing().max(other.standing());
    let mut places = Vec::new();
    for at in one.outline(STEP) {
        let Some((there, distance)) =
            other.nearest(at).filter(|found| (0.0..most).contains(&found.1))
        else {
            continue;
        };
        let middle = at + (there - at) * 0.5;
        let (near, far) = (one.distance(middle), other.distance(middle));
        let gap = near + far;
        if distance <= 0.0 || near <= 0.0 || far <= 0.0 || (near - far).abs() > MIDWAY * gap {
            continue;
        }
        let Some(height) = press.tent.height(middle) else { continue };
        let high = height - press.ground.height_at(middle);
        let index = 1.0 - gap / (ROOM * high).max(1e-9);
        if index > 0.0 {
            places.push(Midway { at: middle, index, gap });
        }
    }
    places
}

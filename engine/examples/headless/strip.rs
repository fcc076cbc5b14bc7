//! Packs a strip instance of the literature: the placement search measured where others have measured theirs.

use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use engine::geometry::{Pose, Region};
use engine::search::{Budget, Packed, Seed, Strip, StripProgress, pack, read_strip};
use engine::units::Length;
use geo::algorithm::Area;
use geo::algorithm::bool_ops::BooleanOps;
use geo::{BoundingRect, Coord, LineString, Polygon, Rect, coord};
use serde_json::{Value, json};

use super::{Done, Given, json_lines, name_of, text_of};

/// Seconds when neither seconds nor steps are given.
const SECONDS: f64 = 10.0;
/// The most seconds, so that a time can be counted.
const MOST_SECONDS: f64 = 1e6;
/// How far pieces may reach into each other or out of the strip, as a share of its height.
const TOLERANCE: f64 = 1e-6;

/// Packs and says where everything lies, after a test of its own that nothing overlaps.
pub(super) fn pack_strip(given: &Given) -> Result<Done, String> {
    let input = given.input();
    let (strip, scale) =
        read_strip(&text_of(input)?).map_err(|error| format!("{}: {error}", name_of(input)))?;
    let seed = Seed(number(given, "seed")?.unwrap_or(1));
    let steps: Option<u64> = number(given, "steps")?;
    let seconds: Option<f64> = number(given, "seconds")?;
    if let Some(seconds) = seconds.filter(|s| !(0.0..=MOST_SECONDS).contains(s)) {
        return Err(format!("--seconds {seconds}: give a number from 0 to {MOST_SECONDS}"));
    }
    let usual = if steps.is_none() { SECONDS } else { MOST_SECONDS };
    let limit = Duration::from_secs_f64(seconds.unwrap_or(usual));
    let mut clock = Clock::new(limit);
    let budget = Budget { steps: steps.unwrap_or(u64::MAX) };
    let packed = pack(&strip, seed, budget, &mut |news| clock.hear(news));
    if packed.poses.is_empty() {
        return Err("no layout was found in this time: give more of it".to_owned());
    }
    verify(&strip, &packed)?;
    let density = strip.density(packed.length);
    let output = json!({
        "name": strip.name,
        "length": packed.length.to_mm() / scale,
        "density": density,
        "seconds_to_best": clock.note(packed.length),
        "steps": packed.steps,
        "seed": seed.0,
        "placements": placements(&strip, &packed, scale),
    });
    let message = format!(
        "{}: length {:.3}, density {:.2} %\n",
        strip.name,
        packed.length.to_mm() / scale,
        density * 100.0
    );
    Ok(Done { output: json_lines(&output), message, status: 0 })
}

fn number<T: std::str::FromStr>(given: &Given, name: &str) -> Result<Option<T>, String> {
    let text = given.option(name);
    let parsed =
        text.map(|text| text.parse().map_err(|_| format!("--{name} {text}: give a number")));
    parsed.transpose()
}

/// Which copy lies where: the corners of its polygon turned about the origin and then moved.
fn placements(strip: &Strip, packed: &Packed, scale: f64) -> Vec<Value> {
    let numbers =
        strip.items.iter().enumerate().flat_map(|(i, item)| std::iter::repeat_n(i, item.count));
    let placement = |(item, pose): (usize, &Pose)| {
        json!({
            "item": item,
            "rotation": pose.turn.to_degrees(),
            "x": pose.at.x / scale,
            "y": pose.at.y / scale,
        })
    };
    numbers.zip(&packed.poses).map(placement).collect()
}

/// The time so far, and when the best layout was first told of.
struct Clock {
    begin: Instant,
    limit: Duration,
    best: Option<(Length, Duration)>,
}

impl Clock {
    fn new(limit: Duration) -> Self {
        Self { begin: Instant::now(), limit, best: None }
    }

    fn hear(&mut self, news: &StripProgress) -> ControlFlow<()> {
        self.note(news.length);
        if self.begin.elapsed() < self.limit {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    }

    /// Seconds until a layout of this length was there.
    fn note(&mut self, length: Length) -> f64 {
        let now = self.begin.elapsed();
        let is_news = self.best.is_none_or(|(best, _)| length < best);
        if is_news {
            self.best = Some((length, now));
        }
        self.best.map_or(now, |(_, at)| at).as_secs_f64()
    }
}

/// An overlap test that shares nothing with the search: the surface common to two pieces by boolean operations.
///
/// Pieces may share as much as a touching of `TOLERANCE` times the height along their whole outline.
fn verify(strip: &Strip, packed: &Packed) -> Result<(), String> {
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

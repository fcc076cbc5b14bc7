//! Packs a strip instance of the literature: the placement search measured where others have measured theirs.

use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use engine::geometry::Pose;
use engine::search::{Budget, Packed, Seed, Strip, StripProgress, pack, read_strip};
use engine::units::Length;
use serde_json::{Value, json};

use super::strip_check::verify;
use super::{Done, Given, json_lines, name_of, text_of};

/// Seconds when neither seconds nor steps are given.
const SECONDS: f64 = 10.0;
/// The most seconds, so that a time can be counted.
const MOST_SECONDS: f64 = 1e6;

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

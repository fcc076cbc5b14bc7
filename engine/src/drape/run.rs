//! The two stages of forming, told as they go: the frame comes down, then the vacuum draws.

use super::ground::Ground;
use super::map::index_to_f64;
use super::net::Net;
use super::press::{Load, Press};
use super::{DrapeError, Mode, Phase, Progress, Watch};
use crate::geometry::Rect;

/// Steps that the frame takes to come down, for each square across the opening.
const DRAPING: f64 = 4.0;
/// Steps that the air takes to be drawn off, likewise.
const DRAWING: f64 = 8.0;
/// Steps at the full vacuum at most, likewise.
const HOLDING: f64 = 8.0;
/// The sheet is at rest when no node goes farther in a step than this share of a square.
const AT_REST: f64 = 2e-5;
/// The share of the air to be drawn that the pump may be behind at its full pull.
const BEHIND: f64 = 0.05;
/// Millimetres between the highest mold and the sheet at first.
const ABOVE: f64 = 0.5;

/// What is formed, on what, and who is told.
pub(super) struct Job<'a> {
    pub(super) ground: &'a Ground,
    pub(super) opening: Rect,
    pub(super) mode: Mode,
    /// How far the middle hangs, in millimetres.
    pub(super) sag: f64,
    /// The full vacuum in shear moduli times gauge over millimetres.
    pub(super) vacuum: f64,
    /// How many times slower than usual.
    pub(super) patience: f64,
}

/// The sheet formed.
pub(super) fn formed<'a>(
    net: Net,
    job: &Job<'a>,
    watch: &mut dyn Watch,
) -> Result<Press<'a>, DrapeError> {
    let across = index_to_f64(net.columns.max(net.rows)) * job.patience;
    let whole = net.plastic();
    let start = job.ground.highest() + ABOVE + job.sag;
    let mut press = Press::new(net, job.ground, job.mode, start);
    let mut tell = |press: &Press<'_>, phase: Phase, share: f64| {
        let progress = Progress { phase, share, plastic: press.net.plastic() / whole };
        if watch.tell(&progress).is_break() { Err(DrapeError::Stopped) } else { Ok(()) }
    };
    let end = job.ground.highest_along(job.opening);
    let n_down = whole_steps(DRAPING * across);
    let frame = (end - start) / index_to_f64(n_down);
    let idle = Load { frame, target: f64::MAX, yielding: 0.0, most: 0.0 };
    for step in 0..n_down {
        press.step(&idle);
        if step % 64 == 0 {
            tell(&press, Phase::Draping, 0.25 * index_to_f64(step) / index_to_f64(n_down))?;
        }
    }
    let (air, floor) = (press.volume, job.ground.volume(job.opening));
    let drawn = (air - floor).max(1e-6);
    let yielding = press.steady_yielding();
    let n_drawing = whole_steps(DRAWING * across);
    let n_all = n_drawing + whole_steps(HOLDING * across);
    for step in 0..n_all {
        let share = (index_to_f64(step) / index_to_f64(n_drawing)).min(1.0);
        let target = air - drawn * (1.0 + BEHIND) * share;
        let held = if step < n_drawing { target } else { f64::MIN };
        press.step(&Load { frame: 0.0, target: held, yielding, most: job.vacuum });
        if step % 64 == 0 {
            let share = index_to_f64(step) / index_to_f64(n_all);
            tell(&press, Phase::Drawing, 0.25 + 0.7 * share)?;
        }
        let is_at_rest = step > n_drawing && press.fastest < AT_REST * press.net.square[0];
        if press.is_all_landed() || is_at_rest {
            break;
        }
        if std::env::var("TRACE").is_ok() && step % 20 == 0 {
            eprintln!(
                "{step}/{n_drawing} pull {:.4} behind {:.1} of {drawn:.0} fastest {:.4}",
                yielding * (press.volume - held),
                press.volume - held,
                press.fastest
            );
        }
        if let Ok(v) = std::env::var("STOP") {
            let v: f64 = v.parse().unwrap_or(1.0);
            if index_to_f64(step) >= v * index_to_f64(n_drawing) {
                let pull = yielding * (press.volume - target);
                let n = press.net.columns + 1;
                let row = press.net.rows / 2;
                let c = press.places[row * n + n / 2];
                let e = (0..n)
                    .map(|i| press.places[row * n + i])
                    .filter(|p| p[2] < start - 0.6)
                    .next()
                    .unwrap_or(c);
                eprintln!(
                    "pull {pull} centre {c:?} first {e:?} volume {} start {start}",
                    press.volume
                );
                for i in 0..=n / 2 {
                    let p = press.places[row * n + i];
                    eprintln!("{:.3} {:.3} {}", c[0] - p[0], p[2], press.is_stuck[row * n + i]);
                }
                break;
            }
        }
    }
    tell(&press, Phase::Measuring, 0.95)?;
    Ok(press)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn whole_steps(steps: f64) -> usize {
    steps.clamp(1.0, 1e6) as usize
}

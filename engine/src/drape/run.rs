//! The two stages of forming, told as they go: the frame comes down, then the vacuum draws.
//!
//! On many machines the platen rises instead. It is the same motion: all that is reckoned is how high the frame is over the
//! platen. Nothing has weight but slack sheet, which goes down with the frame.

use super::ground::Ground;
use super::map::index_to_f64;
use super::net::Net;
use super::press::{Load, Press};
use super::pump::Pump;
use super::{DrapeError, Mode, Phase, Progress, measure};
use crate::geometry::Rect;
use crate::watch::Watch;

/// Steps that the frame takes to come down, for each square across the opening.
///
/// Four times as many steps change the thinnest hundredth of the sample's sheet by less than a hundredth.
const DRAPING: f64 = 3.0;
/// Steps that a copy takes at most to come to rest, likewise, and to slip until friction holds it.
const RESTING: f64 = 3.0;
const SLIPPING: f64 = 3.0;
/// The share of the full vacuum that presses on what has landed, even before the pump draws or where the sheet is pulled off: hot
/// sheet is heavy and tacky enough not to glide as if on ice. Our own choice; it does not show below a friction of about 3.
const LEAST_PRESSED: f64 = 0.02;
/// Steps between looks at what slips while the vacuum draws, likewise.
const BETWEEN: f64 = 1.0;
/// Steps that the air takes to be drawn off, likewise.
const DRAWING: f64 = 6.0;
/// Steps at the full vacuum at most, likewise.
const HOLDING: f64 = 4.8;
/// A film keeps to the closed forms when it is drawn so many times slower than rubber.
const FILM_SLOWER: f64 = 4.0;
/// Sides that are free are split when they are longer than this share of the radius that the pull bends sheet of its first gauge with.
const BENT: f64 = 0.25;
/// Steps between looks at that.
const LOOK_AT_FILM: usize = 16;
/// Steps for each square across that what was split takes to get into its corner.
const FILLING: f64 = 0.4;
/// Sides shorter than this many squares of the split net are not split.
const WORTH_SPLITTING: f64 = 1.4;
/// Shear moduli times gauge over a square of the net: the most that is pulled with.
const SHARPEST: f64 = 2.0;
/// The sheet is at rest when no node goes farther in a step than this share of a square.
const AT_REST: f64 = 2e-5;
/// The share of the whole that is done when corners are filled.
const FILLED: f64 = 0.95;
/// A film may be drawn so many times longer yet where its nodes cannot follow.
const MOST_SLOWER: usize = 4;

/// What is formed, on what, and who is told.
pub(super) struct Job<'a> {
    pub(super) ground: &'a Ground,
    pub(super) opening: Rect,
    /// Where the frame comes to rest, in millimetres over the platen.
    pub(super) rests_at: f64,
    pub(super) mode: Mode,
    /// How rough the ground is; nothing slips where there is none, and a film never does.
    pub(super) friction: Option<f64>,
    /// How far the middle hangs, in millimetres.
    pub(super) sag: f64,
    /// How many times slower than usual.
    pub(super) patience: f64,
    /// The full vacuum in shear moduli times gauge over millimetres.
    pub(super) vacuum: f64,
    /// How many times triangles that cut a corner short are split.
    pub(super) levels: u32,
    /// Steps from one telling to the next.
    pub(super) telling: usize,
}

/// Where the plastic that the sheet began with is, and who is told of it.
struct Teller<'w> {
    watch: &'w mut dyn Watch<Progress>,
    whole: f64,
}

impl Teller<'_> {
    fn tell(&mut self, press: &Press<'_>, phase: Phase, share: f64) -> Result<(), DrapeError> {
        let progress = Progress { phase, share, plastic: measure::kept(press) / self.whole };
        if self.watch.tell(&progress).is_break() { Err(DrapeError::Stopped) } else { Ok(()) }
    }
}

/// The sheet formed.
pub(super) fn formed<'a>(
    net: Net,
    job: &Job<'a>,
    watch: &mut dyn Watch<Progress>,
) -> Result<Press<'a>, DrapeError> {
    let slower = if job.mode == Mode::Uniform { FILM_SLOWER } else { 1.0 };
    let across = index_to_f64(net.columns.max(net.rows)) * slower * job.patience;
    let start = job.ground.highest() + job.sag;
    let mut press = Press::new(net, job.ground, job.mode, start);
    press.hang(job.opening, job.sag);
    press.land();
    let mut teller = Teller { watch, whole: job.opening.area().to_mm2() };
    let n_down = whole_steps(DRAPING * across);
    let frame = (job.rests_at - start) / index_to_f64(n_down);
    let idle = Load { frame, ..Load::NONE };
    for step in 0..n_down {
        press.step(&idle);
        if step % job.telling == 0 {
            teller.tell(
                &press,
                Phase::Draping,
                0.25 * index_to_f64(step) / index_to_f64(n_down),
            )?;
        }
    }
    press.keep_tent();
    // A pull that bends the sheet closer than the net's squares would only crumple them.
    let most = job.vacuum.min(SHARPEST / press.net.square[0].max(press.net.square[1]));
    let friction = job.friction.filter(|_| job.mode == Mode::Rubber);
    let slip = |press: &mut Press<'_>, load: &Load| {
        if let Some(friction) = friction {
            slipped(press, load, (friction, LEAST_PRESSED * most), across);
        }
    };
    let n_drawing = whole_steps(DRAWING * across);
    let is_film = job.mode == Mode::Uniform;
    let more = if is_film { MOST_SLOWER } else { 1 };
    let n_all = more * (n_drawing + whole_steps(HOLDING * across));
    let n_between = whole_steps(BETWEEN * across);
    let mut pump = Pump::new(&press, job.ground.volume(job.opening), most, n_drawing);
    for step in 0..n_all {
        let load = pump.load(step, &press);
        press.step(&load);
        if is_film && !pump.is_full(step) && step.is_multiple_of(LOOK_AT_FILM) {
            press.refine_film(BENT);
        }
        if step % n_between == n_between - 1 {
            slip(&mut press, &load);
        }
        if step % job.telling == 0 {
            let share = index_to_f64(step) / index_to_f64(n_all);
            teller.tell(&press, Phase::Drawing, 0.25 + 0.7 * share)?;
        }
        let is_at_rest = pump.is_full(step)
            && press.fastest < AT_REST * press.net.square[0].max(press.net.square[1]);
        if press.is_all_landed() || is_at_rest || pump.is_spent() {
            break;
        }
    }
    fill(&mut press, job, whole_steps(FILLING * across), &mut teller)?;
    teller.tell(&press, Phase::Measuring, FILLED)?;
    Ok(press)
}

/// Lets what has landed slip until friction holds it everywhere.
///
/// Sheet in motion lags behind its rest: over an edge that it will press on it still lies level, and would slip as on ice. So
/// a copy is brought to rest first and slips there, and what has landed follows it. What friction holds at rest is
/// where it would be if it stuck.
fn slipped(press: &mut Press<'_>, load: &Load, (friction, least): (f64, f64), across: f64) {
    let at_rest = AT_REST * press.net.square[0].max(press.net.square[1]);
    let mut copy = press.clone();
    for (n_most, slips) in [(RESTING, false), (SLIPPING, true)] {
        if slips {
            copy.slips(friction, least);
        }
        for _ in 0..whole_steps(n_most * across) {
            copy.step(load);
            if copy.fastest < at_rest {
                break;
            }
        }
    }
    press.follow(&copy);
}

/// Draws the sheet into the corners that the net was too coarse for.
fn fill(
    press: &mut Press<'_>,
    job: &Job<'_>,
    n_steps: usize,
    teller: &mut Teller<'_>,
) -> Result<(), DrapeError> {
    let mut square = press.net.square[0].max(press.net.square[1]);
    for _ in 0..job.levels {
        square *= 0.5;
        let load = Load {
            most: job.vacuum.min(SHARPEST / square),
            target: f64::MIN,
            yielding: 1.0,
            frame: 0.0,
        };
        if !press.refine(WORTH_SPLITTING * square, BENT / load.most) {
            break;
        }
        for step in 0..n_steps {
            press.step(&load);
            if step % job.telling == 0 {
                teller.tell(press, Phase::Drawing, FILLED)?;
            }
            if press.is_all_landed() || press.fastest < AT_REST * square {
                break;
            }
        }
    }
    Ok(())
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn whole_steps(steps: f64) -> usize {
    steps.clamp(1.0, 1e6) as usize
}

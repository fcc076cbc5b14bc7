//! How far to turn a heater down, and when, so that the hot face stays under its limit while the heat goes through.

use super::forecast::{LONGEST, Span, extremes, faces};
use super::{Heater, Material, WarmSheet, Window, window};
use crate::plan::Plastic;
use crate::units::{Flux, Length, Seconds};

/// The hot face is held so many kelvin under its limit (our own choice: a sheet has warmer places).
const MARGIN: f64 = 2.0;
/// Steps of one heat at most.
const MOST_STEPS: u32 = 200_000;
/// Halvings of the share: finer than any knob.
const HALVINGS: u32 = 8;

/// One turn of the knob in a heat that would spoil the face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnDown {
    /// When the hot face comes near its limit; infinite where the weakest heat never spoils it.
    pub at: Span,
    /// The share of the heat that is left from then on, with the strongest heat and with the weakest.
    pub share: (f64, f64),
    /// When the mean is then where it is usually formed.
    pub ready: Span,
}

/// One heat with the knob turned once.
#[derive(Clone, Copy, Debug)]
struct Turned {
    at: f64,
    share: f64,
    ready: f64,
}

/// When and how far to turn the heater down; nothing where the strongest heat is not too fast, or where what the face bears
/// never takes the mean to where it is formed.
///
/// The share is the largest with which the face stays under its limit until the mean is ready. Cost: some ten milliseconds.
#[must_use]
pub fn turn_down(plastic: Plastic, gauge: Length, heater: &Heater) -> Option<TurnDown> {
    if !(gauge > Length::ZERO && gauge.to_mm().is_finite()) {
        return None;
    }
    let [light, heavy] = extremes(plastic, heater.room);
    let one = |material, flux| turned((plastic, gauge, material), flux, heater);
    let fast = one(light, heater.absorbed.1).filter(|fast| fast.at.is_finite())?;
    let never = Turned { at: f64::INFINITY, share: fast.share, ready: f64::INFINITY };
    let slow = one(heavy, heater.absorbed.0).unwrap_or(never);
    let span = |from, to| Span { from: Seconds::new(from), to: Seconds::new(to) };
    Some(TurnDown {
        at: span(fast.at, slow.at),
        share: (fast.share, slow.share),
        ready: span(fast.ready, slow.ready),
    })
}

/// How a heat goes on from some time.
enum End {
    /// The mean is where it is formed after so many seconds.
    Ready(f64),
    /// The face is spoilt first; as the sheet was when it came near.
    Spoilt(Box<WarmSheet>),
    /// Neither comes.
    Never,
}

/// One heat; all of it with the knob as it was where the face bears it.
fn turned(
    (plastic, gauge, material): (Plastic, Length, Material),
    flux: Flux,
    heater: &Heater,
) -> Option<Turned> {
    let window = window(plastic);
    let cold = WarmSheet::new(gauge, material, heater.room);
    let near = match run(cold, flux, heater, &window) {
        End::Ready(ready) => return Some(Turned { at: f64::INFINITY, share: 1.0, ready }),
        End::Spoilt(near) => near,
        End::Never => return None,
    };
    let (mut low, mut high, mut ready) = (0.0, 1.0_f64, None);
    for _ in 0..HALVINGS {
        let share = f64::midpoint(low, high);
        match run(WarmSheet::clone(&near), flux * share, heater, &window) {
            End::Spoilt(_) => high = share,
            End::Ready(time) => (low, ready) = (share, Some(time)),
            End::Never => (low, ready) = (share, None),
        }
    }
    Some(Turned { at: near.time().get(), share: low, ready: ready? })
}

/// Goes on until the mean is ready or the face passes its margin, having been under it.
fn run(mut sheet: WarmSheet, flux: Flux, heater: &Heater, window: &Window) -> End {
    /// Steps after which a mean that has hardly risen is taken never to.
    const PATIENT: u32 = 2000;
    let (face, back) = faces(flux, heater);
    let (mut near, mut mark) = (None, f64::NEG_INFINITY);
    for step in 0..MOST_STEPS {
        let before = sheet.clone();
        let now = sheet.step(&face, &back);
        if now.hottest() >= window.most {
            return End::Spoilt(Box::new(near.unwrap_or(before)));
        }
        if now.mean >= window.usual.0 {
            return End::Ready(sheet.time().get());
        }
        if near.is_none() && window.most - now.hottest() <= MARGIN {
            near = Some(before);
        }
        if step % PATIENT == 0 {
            let mean = now.mean.to_celsius();
            if mean - mark < 0.01 {
                return End::Never;
            }
            mark = mean;
        }
        if sheet.time().get() > LONGEST {
            break;
        }
    }
    End::Never
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat::{Sides, heating};

    fn constant(flux: f64, sides: Sides) -> Heater {
        let flux = Flux::watts_per_m2(flux);
        Heater { sides, absorbed: (flux, flux), ..Heater::default() }
    }

    #[test]
    fn the_face_stays_under_its_limit_and_the_mean_gets_ready() {
        let mut n_turned = 0;
        for (mm, flux, sides) in [
            (2.0, 10e3, Sides::One),
            (3.0, 8e3, Sides::One),
            (3.0, 10e3, Sides::One),
            (3.0, 20e3, Sides::Both),
            (6.0, 10e3, Sides::Both),
        ] {
            for plastic in [Plastic::Hips, Plastic::Abs, Plastic::Petg, Plastic::AcrylicCast] {
                let (gauge, heater) = (Length::mm(mm), constant(flux, sides));
                let found = turn_down(plastic, gauge, &heater);
                let is_too_fast = heating(plastic, gauge, &heater).is_too_fast;
                assert!(is_too_fast || found.is_none(), "{plastic:?} {mm}: {found:?}");
                let Some(TurnDown { at, share, ready }) = found else { continue };
                assert!(at.from < ready.from && share.0 > 0.0 && share.0 < 1.0, "{found:?}");
                // The heat once more, step by step, the knob turned at the time told.
                let [light, _] = extremes(plastic, heater.room);
                let mut sheet = WarmSheet::new(gauge, light, heater.room);
                let mut mean = heater.room;
                while sheet.time() < ready.from {
                    let is_turned = sheet.time() >= at.from;
                    let now = heater.absorbed.1 * if is_turned { share.0 } else { 1.0 };
                    let (face, back) = faces(now, &heater);
                    let profile = sheet.step(&face, &back);
                    assert!(profile.hottest() < window(plastic).most, "{plastic:?} {mm}");
                    mean = profile.mean;
                }
                assert!((mean - window(plastic).usual.0).abs() < 0.5, "{plastic:?} {mm}: {mean:?}");
                n_turned += 1;
            }
        }
        assert!(n_turned > 8, "{n_turned}");
    }

    // Once settled the face leads the mean by q L / 3k (Carslaw & Jaeger, section 3.8), so that both sides of 6 mm of HIPS may
    // take up (182 - 149) K x 3 x 0.15 W/mK / 3 mm = 4.95 kW/m2, half of 10.
    #[test]
    fn the_share_is_that_of_the_settled_sheet() {
        let heater = constant(10e3, Sides::Both);
        let found = turn_down(Plastic::Hips, Length::mm(6.0), &heater).expect("too fast");
        assert!((found.share.0 - 0.495).abs() < 0.02, "{found:?}");
    }

    #[test]
    fn what_is_not_too_fast_or_no_sheet_is_not_turned_down() {
        let gentle = constant(5e3, Sides::One);
        assert_eq!(turn_down(Plastic::Hips, Length::mm(0.75), &gentle), None);
        for (mm, flux) in [(0.0, 5e3), (f64::NAN, 5e3), (3.0, f64::NAN), (3.0, 0.0)] {
            assert_eq!(turn_down(Plastic::Hips, Length::mm(mm), &constant(flux, Sides::One)), None);
        }
    }
}

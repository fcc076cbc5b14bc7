//! What the log says of spacing: how often layouts webbed, and how near molds may stand on this machine.

use super::{Logbook, Outcome, PullRecord, wilson_95};
use crate::plan::limits::CLEARANCE_FACTOR;
use crate::plan::{ClearanceRule, HeightBasis};

/// Pulls without a web that a factor must have before it is suggested. Our own choice: after five of five a web in every
/// second pull is out of the question (its Wilson interval ends at 43 %), after two it is not.
pub const NEEDED: usize = 5;

/// How far above a factor a pull may stand and still speak for it, in hundredths. Our own choice: a quarter of a height, the
/// step between the factors that the trade names. Pulls laid out wider do not web, and say nothing of narrower ones.
pub const NEAR: u32 = 25;

/// So many of so many pulls webbed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// How many webbed.
    pub webbed: usize,
    /// How many there were.
    pub pulls: usize,
}

impl Tally {
    fn of(pulls: &[Seen], is_meant: impl Fn(u32) -> bool) -> Self {
        let meant = || pulls.iter().filter(|pull| is_meant(pull.hundredths));
        Self { webbed: meant().filter(|pull| pull.is_webbed).count(), pulls: meant().count() }
    }

    /// How often such pulls web, from and to, with 95 % confidence ([`wilson_95`]).
    #[must_use]
    pub fn share(self) -> (f64, f64) {
        wilson_95(self.webbed, self.pulls)
    }
}

/// A clearance factor that the pulls speak for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// The factor, in whole hundredths: that of the tightest layout from which on none webbed.
    pub factor: f64,
    /// The pulls at it or up to [`NEAR`] above it, none of which webbed; at least [`NEEDED`].
    pub near: Tally,
    /// All pulls below it.
    pub below: Tally,
}

/// What pulls say of the clearance factor in force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learned {
    /// The factor that they are parted at, which is the one in force.
    pub at: f64,
    /// The pulls with less spacing.
    pub under: Tally,
    /// The pulls with as much, or more.
    pub at_or_above: Tally,
    /// A factor to use in place of the one in force, when the pulls carry one.
    pub advice: Option<Advice>,
}

/// What the log says of a clearance rule: pulls that somebody judged, whose heat was right, of two molds or more, with
/// their spacing over the same height as the rule's.
///
/// A smaller factor is suggested when none of [`NEEDED`] pulls or more at it and up to [`NEAR`] above it webbed, and none that
/// were wider; a larger one only when a pull at the present factor or above it did web.
#[must_use]
pub fn learned_clearance(book: &Logbook, rule: &ClearanceRule) -> Learned {
    let pulls: Vec<Seen> =
        book.iter().filter_map(|(_, record)| Seen::of(record, rule.basis)).collect();
    let now = hundredths(rule.factor);
    Learned {
        at: rule.factor,
        under: Tally::of(&pulls, |factor| factor < now),
        at_or_above: Tally::of(&pulls, |factor| factor >= now),
        advice: advice(&pulls, now),
    }
}

/// The factors that the trade names, from the shop minimum to the safe figure, and a step between two of them.
pub const NAMED: [f64; 5] = [1.0, 1.25, 1.5, 1.75, 2.0];

/// How often pulls webbed that were laid out with less spacing than a factor, and with as much or more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parted {
    /// The factor that they are parted at.
    pub at: f64,
    /// The pulls with less spacing.
    pub under: Tally,
    /// The pulls with as much, or more.
    pub at_or_above: Tally,
}

/// The pulls that [`learned_clearance`] counts, parted at each of [`NAMED`]; spacing is over the height of `basis`.
#[must_use]
pub fn parted(book: &Logbook, basis: HeightBasis) -> [Parted; 5] {
    let pulls: Vec<Seen> = book.iter().filter_map(|(_, record)| Seen::of(record, basis)).collect();
    NAMED.map(|at| {
        let now = hundredths(at);
        Parted {
            at,
            under: Tally::of(&pulls, |factor| factor < now),
            at_or_above: Tally::of(&pulls, |factor| factor >= now),
        }
    })
}

/// A pull as far as spacing goes: hands place molds no more exactly than to a hundredth of their height.
#[derive(Clone, Copy, Debug)]
struct Seen {
    hundredths: u32,
    is_webbed: bool,
}

impl Seen {
    fn of(record: &PullRecord, basis: HeightBasis) -> Option<Self> {
        let spacing = record.spacing.filter(|spacing| spacing.basis == basis)?;
        let is_webbed = record.is(Outcome::Web);
        record
            .is_heated_well()
            .then_some(Self { hundredths: hundredths(spacing.factor), is_webbed })
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "factors of a log and of a plan lie between 0 and 99"
)]
fn hundredths(factor: f64) -> u32 {
    libm::round(factor * 100.0) as u32
}

fn advice(pulls: &[Seen], now: u32) -> Option<Advice> {
    let mut factors: Vec<u32> = pulls.iter().map(|pull| pull.hundredths).collect();
    factors.sort_unstable();
    factors.dedup();
    let carries = |&factor: &u32| {
        let near = Tally::of(pulls, |other| (factor..=factor + NEAR).contains(&other));
        near.pulls >= NEEDED && Tally::of(pulls, |other| other >= factor).webbed == 0
    };
    let (least, most) = (hundredths(CLEARANCE_FACTOR.0), hundredths(CLEARANCE_FACTOR.1));
    let factor =
        factors.into_iter().filter(|factor| (least..=most).contains(factor)).find(carries)?;
    let is_wanted = factor < now || Tally::of(pulls, |other| other >= now).webbed > 0;
    (is_wanted && factor != now).then(|| Advice {
        factor: f64::from(factor) / 100.0,
        near: Tally::of(pulls, |other| (factor..=factor + NEAR).contains(&other)),
        below: Tally::of(pulls, |other| other < factor),
    })
}

#[cfg(test)]
mod tests {
    use super::super::RecordId;
    use super::super::logbook::fixture::come_out;
    use super::*;
    use crate::plan::Settings;

    fn rule(factor: f64) -> ClearanceRule {
        ClearanceRule { factor, ..Settings::default().clearance }
    }

    /// Pulls with a web, and without.
    fn book(webbed: &[f64], good: &[f64]) -> Logbook {
        let all = webbed.iter().map(|f| (Outcome::Web, *f));
        let all = all.chain(good.iter().map(|f| (Outcome::Good, *f)));
        (1..).zip(all).fold(Logbook::default(), |book, (id, (outcome, factor))| {
            book.add(RecordId(id), &come_out(outcome, factor)).expect("fits")
        })
    }

    #[test]
    fn webs_are_counted_under_the_factor_in_force_and_from_it_on() {
        let good = [1.2, 1.4, 1.5, 1.5, 1.55, 1.6, 1.6, 1.7, 2.0, 2.0, 3.0];
        let learned = learned_clearance(&book(&[0.9, 1.1, 1.2, 1.3], &good), &rule(1.5));
        assert_eq!(learned.under, Tally { webbed: 4, pulls: 6 });
        assert_eq!(learned.at_or_above, Tally { webbed: 0, pulls: 9 });
        // From 1.4 on none webbed: 1.4, 1.5, 1.5, 1.55, 1.6, 1.6.
        let advice = learned.advice.expect("the counts carry it");
        assert_eq!(advice.near, Tally { webbed: 0, pulls: 6 });
        assert_eq!(advice.below, Tally { webbed: 4, pulls: 5 });
        assert!((advice.factor - 1.4).abs() < 1e-12, "{advice:?}");
    }

    #[test]
    fn pulls_are_counted_on_both_sides_of_each_factor_that_the_trade_names() {
        let good = [1.2, 1.4, 1.5, 1.5, 1.55, 1.6, 1.6, 1.7, 2.0, 2.0, 3.0];
        let rows = parted(&book(&[0.9, 1.1, 1.2, 1.3], &good), rule(1.0).basis);
        let told = rows.map(|row| {
            let of = |tally: Tally| (tally.webbed, tally.pulls);
            (hundredths(row.at), of(row.under), of(row.at_or_above))
        });
        // Counted by hand in the two lists above.
        let want = [
            (100, (1, 1), (3, 14)),
            (125, (3, 4), (1, 11)),
            (150, (4, 6), (0, 9)),
            (175, (4, 12), (0, 3)),
            (200, (4, 12), (0, 3)),
        ];
        assert_eq!(told, want);
    }

    #[test]
    fn one_pull_and_four_suggest_nothing_and_wide_ones_do_not_speak_for_narrow_ones() {
        for good in [&[1.2][..], &[1.2, 1.2, 1.3, 1.4], &[1.2, 2.0, 2.3, 2.6, 2.9, 3.0]] {
            assert_eq!(learned_clearance(&book(&[], good), &rule(1.75)).advice, None, "{good:?}");
        }
        let five = [1.2, 1.2, 1.3, 1.4, 1.45];
        assert!(learned_clearance(&book(&[], &five), &rule(1.75)).advice.is_some());
        // A single web at a wider spacing takes it back.
        assert_eq!(learned_clearance(&book(&[1.6], &five), &rule(1.75)).advice, None);
    }

    #[test]
    fn more_spacing_is_suggested_only_where_the_present_factor_webbed() {
        let wide = [2.0, 2.0, 2.1, 2.1, 2.2];
        assert_eq!(learned_clearance(&book(&[1.0], &wide), &rule(1.5)).advice, None);
        let advice = learned_clearance(&book(&[1.6], &wide), &rule(1.5)).advice.expect("it webbed");
        assert!((advice.factor - 2.0).abs() < 1e-12, "{advice:?}");
        assert_eq!(
            learned_clearance(&book(&[1.6], &wide), &rule(2.0)).advice,
            None,
            "it is in force"
        );
    }

    #[test]
    fn other_heights_and_spoilt_pulls_are_left_out() {
        let cold = book(&[], &[1.2; 9]);
        let cold = cold.iter().fold(Logbook::default(), |book, (id, _)| {
            book.add(id, &come_out(Outcome::Cold, 1.2)).expect("fits")
        });
        let nothing = Tally::default();
        assert_eq!(learned_clearance(&cold, &rule(1.5)).under, nothing);
        let mean = ClearanceRule { basis: HeightBasis::Mean, ..rule(1.5) };
        assert_eq!(learned_clearance(&book(&[1.0], &[1.2; 9]), &mean).under, nothing);
    }
}

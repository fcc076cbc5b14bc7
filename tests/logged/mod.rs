//! Logs of pulls for the tests: with every field and choice, the same ones each time.

use engine::heat::Sides;
use engine::plan::{HeightBasis, Plastic, PullId, sample};
use engine::record::{Logbook, Outcome, PhotoId, PullRecord, RecordId, Spacing};
use engine::units::{Length, Seconds, Temperature};

/// A log of so many pulls; every pull differs, and each field is left out now and then.
pub(crate) fn logbook(count: u32) -> Logbook {
    (0..count).fold(Logbook::default(), |book, n| {
        book.add(RecordId(1_785_593_100_000 + 3_600_000 * u64::from(n)), &pull(n)).expect("fits")
    })
}

/// Pull number `n`.
pub(crate) fn pull(n: u32) -> PullRecord {
    let at = format!("2026-{:02}-{:02} {:02}:{:02}", 1 + n % 12, 1 + n % 28, n % 24, n % 60);
    let sides = if n.is_multiple_of(2) { Sides::One } else { Sides::Both };
    let mut record = PullRecord::begun(&at, &sample(), PullId(1), sides);
    let number = f64::from(n);
    let choice = usize::try_from(n).expect("small");
    record.plastic = Plastic::ALL[choice % Plastic::ALL.len()];
    record.gauge = Length::mm(0.75 + number / 8.0 % 4.0);
    record.room = (!n.is_multiple_of(3)).then(|| Temperature::celsius(15.0 + number / 7.0 % 20.0));
    record.heated = (!n.is_multiple_of(5)).then(|| Seconds::new(30.0 + number / 3.0));
    record.cooled = (!n.is_multiple_of(4)).then(|| Seconds::new(45.0 + number / 9.0));
    record.sag = n.is_multiple_of(2).then(|| Length::inches(0.1 + number / 16.0 % 2.0));
    let outcome = Outcome::ALL[choice % Outcome::ALL.len()];
    let molds: &[&str] = if outcome.has_place() { &["Limpet", "Crab \"shell\""] } else { &[] };
    record.outcomes.insert(outcome, molds.iter().map(|&name| name.to_owned()).collect());
    if outcome == Outcome::Web {
        record.outcomes.insert(Outcome::Thin, ["Starfish".to_owned()].into());
    }
    let basis = if n % 7 == 6 { HeightBasis::Mean } else { HeightBasis::Taller };
    record.spacing = (n % 6 < 5).then(|| Spacing { factor: 0.9 + number / 11.0 % 1.6, basis });
    record.notes = if n.is_multiple_of(2) { format!("fan {n} \u{1f41a}") } else { String::new() };
    record.photo = n.is_multiple_of(3).then(|| PhotoId(u64::from(n)));
    record
}

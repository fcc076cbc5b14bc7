//! Laws of the log of pulls: what is added and removed, saved and loaded, merged and merged again.

mod logged;

use std::collections::BTreeSet;

use engine::file::{LogError, load_log, save_log};
use engine::plan::Settings;
use engine::record::{Logbook, Outcome, PullRecord, RecordId, learned_clearance, limits};
use logged::{logbook, pull};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// A log whose numbers are few, so that two of them share some and differ in others; some pulls were changed.
fn books() -> impl Strategy<Value = Logbook> {
    prop::collection::btree_map(0_u64..12, (0_u32..60, 0_u32..3), 0..9).prop_map(|pulls| {
        pulls.into_iter().fold(Logbook::default(), |book, (id, (n, changes))| {
            let id = RecordId(id);
            let book = book.add(id, &pull(n)).expect("fits");
            (0..changes).fold(book, |book, change| {
                let notes = format!("changed {change} {n}");
                book.change(id, &PullRecord { notes, ..pull(n) }).expect("fits")
            })
        })
    })
}

fn merged(one: &Logbook, other: &Logbook) -> Logbook {
    one.merge(other).expect("few").book
}

/// So many cases, the same ones each time, without a file or a clock.
fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(1),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config(200))]

    #[test]
    fn what_is_added_and_removed_again_leaves_the_log_as_it_was(book in books(), n in 0_u32..60) {
        let id = RecordId(100);
        let more = book.add(id, &pull(n)).expect("fits");
        let (less, removed) = more.remove(id).expect("it is there");
        prop_assert_eq!((less, removed), (book, pull(n)));
    }

    #[test]
    fn a_log_comes_back_from_its_file_to_the_last_bit(book in books()) {
        let text = save_log(&book);
        let loaded = load_log(&text).expect("opens");
        prop_assert_eq!(&loaded, &book);
        prop_assert_eq!(save_log(&loaded), text);
    }

    #[test]
    fn merging_knows_no_order_and_no_doubles(a in books(), b in books(), c in books()) {
        prop_assert_eq!(merged(&a, &a), a.clone());
        prop_assert_eq!(merged(&a, &Logbook::default()), a.clone());
        prop_assert_eq!(merged(&a, &b), merged(&b, &a));
        prop_assert_eq!(merged(&merged(&a, &b), &c), merged(&a, &merged(&b, &c)));
        let both = a.merge(&b).expect("few");
        prop_assert_eq!(both.added + both.newer + both.there, b.len());
        prop_assert_eq!(both.book.len(), a.len() + both.added);
        prop_assert_eq!(merged(&both.book, &b), both.book);
    }

    #[test]
    fn every_pull_that_counts_is_counted_once_and_advice_rests_on_five(book in books(), hundredths in 50_u32..300) {
        let factor = f64::from(hundredths) / 100.0;
        let rule = engine::plan::ClearanceRule { factor, ..Settings::default().clearance };
        let learned = learned_clearance(&book, &rule);
        let counts = |record: &PullRecord| {
            record.is_heated_well() && record.spacing.is_some_and(|s| s.basis == rule.basis)
        };
        let counted = book.iter().filter(|(_, record)| counts(record)).count();
        prop_assert_eq!(learned.under.pulls + learned.at_or_above.pulls, counted);
        if let Some(advice) = learned.advice {
            prop_assert!(advice.near.webbed == 0 && advice.near.pulls >= 5);
            let webs_from_there = book.iter().filter(|(_, record)| {
                counts(record) && record.is(Outcome::Web)
                    && record.spacing.is_some_and(|s| s.factor >= advice.factor + 0.005)
            });
            prop_assert_eq!(webs_from_there.count(), 0);
        }
    }
}

#[test]
fn the_largest_log_opens() {
    let names: BTreeSet<String> =
        (0..limits::MOLDS).map(|n| format!("{:\u{1f41a}<80}", format!("{n}"))).collect();
    let book = (0..limits::RECORDS as u64).zip((0..60).cycle()).fold(
        Logbook::default(),
        |mut book, (id, n)| {
            let outcomes = [(Outcome::Web, names.clone())].into();
            let notes = "\u{1f41a}".repeat(limits::NOTE_CHARS);
            book.take(RecordId(id), &PullRecord { outcomes, notes, ..pull(n) }).expect("fits");
            book
        },
    );
    let text = save_log(&book);
    assert!(text.len() < 16 << 20, "{} bytes", text.len());
    assert_eq!(load_log(&text), Ok(book));
}

#[test]
fn hostile_logs_are_refused_in_words() {
    let good = save_log(&logbook(4));
    let many = "9".repeat(400);
    for (text, words) in [
        (good.replacen("\"gauge_mm\": 0.75", "\"gauge_mm\": 1e999", 1), "number out of range"),
        (good.replacen("\"gauge_mm\": 0.75", "\"gauge_mm\": -0.1", 1), "pulls[0]: a gauge of"),
        (
            good.replacen("\"revision\": 0", &format!("\"revision\": {many}"), 1),
            "pulls[0].revision",
        ),
        (
            good.replacen("\"revision\": 0", "\"revision\": 0, \"revision\": 0", 1),
            "duplicate field",
        ),
        (good.replacen("\"what\": \"good\"", "\"what\": \"great\"", 1), "unknown variant"),
        (good.replacen("2026-01-01", "2026-99-01", 1), "is no date and time"),
        ("[".repeat(200_000), "no log"),
        (format!("{{\"onepull_log\": 1, \"pulls\": {}", "[".repeat(200_000)), "cut short"),
        (
            format!("{{\"onepull_log\": 1, \"pulls\": {}{}}}", "[".repeat(999), "]".repeat(999)),
            "expected an object",
        ),
        ("{\"onepull_log\": 1}".into(), "missing field `pulls`"),
        ("{\"onepull_log\": 0}".into(), "onepull_log (line 1, column 17): invalid value"),
        ("{\"onepull\": 1}".into(), "no log"),
    ] {
        let told = load_log(&text).expect_err(words).to_string();
        assert!(told.contains(words), "{words}: {told}");
    }
    let doubled = good.replacen(
        "{ \"what\": \"good\", \"where\": [] }",
        "{ \"what\": \"cold\", \"where\": [] }, { \"what\": \"cold\", \"where\": [] }",
        1,
    );
    let told = load_log(&doubled).expect_err("twice").to_string();
    assert!(told.contains("pulls[0]: \"cold\" stands twice"), "{told}");
}

#[test]
fn many_problems_are_told_as_far_as_anybody_reads_and_the_rest_counted() {
    let text = save_log(&logbook(30));
    let mut value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    for pull in value["pulls"].as_array_mut().expect("pulls") {
        pull["photo"] = 9_007_199_254_740_993_u64.into();
    }
    match load_log(&value.to_string()) {
        Err(LogError::Refused { problems, count }) => assert_eq!((problems.len(), count), (12, 30)),
        other => panic!("{other:?}"),
    }
}

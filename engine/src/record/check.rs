//! Checks a pull before it enters a log: finite, within limits, texts clean.

use std::collections::BTreeSet;

use super::limits;
use super::{Outcome, Outcomes, PhotoId, PullRecord, RecordError, Spacing};
use crate::edit::is_unwelcome;
use crate::order;
use crate::plan::limits::{GAUGE, NAME_CHARS};
use crate::units::{Length, Seconds, Temperature};

/// The pull with its texts clean.
pub(super) fn record(record: &PullRecord) -> Result<PullRecord, RecordError> {
    length("a gauge", record.gauge, GAUGE)?;
    if let Some(sag) = record.sag {
        length("a sag", sag, (Length::ZERO, limits::SAG_MOST))?;
    }
    for (what, time) in [
        ("a time to forming, in seconds,", record.heated),
        ("a time to cool, in seconds,", record.cooled),
    ] {
        let most = limits::LONGEST.get();
        number(what, time.map_or(0.0, Seconds::get), (0.0, most))?;
    }
    if let Some(room) = record.room {
        let (least, most) = limits::ROOM;
        let range = (least.to_celsius(), most.to_celsius());
        number("a room temperature, in degrees Celsius,", Temperature::to_celsius(room), range)?;
    }
    if let Some(Spacing { factor, .. }) = record.spacing {
        number("a spacing over height", factor, (0.0, limits::SPACING_MOST))?;
    }
    if let Some(PhotoId(value)) = record.photo.filter(|photo| photo.0 > limits::ID_MOST) {
        return Err(RecordError::IdTooLarge { what: "photo", value });
    }
    if !is_moment(&record.at) {
        let shown = record.at.chars().take(NAME_CHARS).collect();
        return Err(RecordError::NotAMoment(shown));
    }
    Ok(PullRecord {
        plan: text("the plan's name", &record.plan, NAME_CHARS)?,
        pull: text("the pull's name", &record.pull, NAME_CHARS)?,
        notes: text("the note", &record.notes, limits::NOTE_CHARS)?,
        outcomes: outcomes(&record.outcomes)?,
        ..record.clone()
    })
}

fn outcomes(given: &Outcomes) -> Result<Outcomes, RecordError> {
    if given.len() > 1 && given.contains_key(&Outcome::Good) {
        return Err(RecordError::GoodAndBad);
    }
    let count = given.values().map(BTreeSet::len).sum();
    if count > limits::MOLDS {
        return Err(RecordError::TooManyMolds { count });
    }
    let clean = |(outcome, molds): (&Outcome, &BTreeSet<String>)| {
        let named = |name: &String| match text("a mold's name", name, NAME_CHARS) {
            Ok(name) if name.is_empty() => Err(RecordError::Nameless { what: "a mold" }),
            named => named,
        };
        Ok((*outcome, order::set(molds.iter().map(named).collect::<Result<Vec<_>, _>>()?)))
    };
    Ok(order::map(given.iter().map(clean).collect::<Result<Vec<_>, _>>()?))
}

/// The text without control and direction-override characters and without space at its ends; it may be empty.
fn text(what: &'static str, given: &str, most: usize) -> Result<String, RecordError> {
    let clean: String = given.chars().filter(|c| !is_unwelcome(*c)).collect();
    let clean = clean.trim();
    match clean.chars().count() {
        chars if chars > most => Err(RecordError::TooLong { what, chars, most }),
        _ => Ok(clean.to_owned()),
    }
}

fn length(
    what: &'static str,
    value: Length,
    (least, most): (Length, Length),
) -> Result<(), RecordError> {
    let is_inside = value >= least && value <= most;
    if is_inside { Ok(()) } else { Err(RecordError::LengthOutside { what, value, least, most }) }
}

fn number(what: &'static str, value: f64, (least, most): (f64, f64)) -> Result<(), RecordError> {
    let is_inside = value >= least && value <= most;
    if is_inside { Ok(()) } else { Err(RecordError::Outside { what, value, least, most }) }
}

/// `2026-08-01 14:05`: sorts as it follows, and nothing else fits in.
fn is_moment(text: &str) -> bool {
    const FORM: &[u8; 16] = b"0000-00-00 00:00";
    let is_form = text.len() == FORM.len()
        && text.bytes().zip(FORM).all(|(byte, form)| match form {
            b'0' => byte.is_ascii_digit(),
            _ => byte == *form,
        });
    let within = |range: std::ops::Range<usize>, least: u32, most: u32| {
        let number = text.get(range).and_then(|part| part.parse::<u32>().ok());
        number.is_some_and(|number| (least..=most).contains(&number))
    };
    is_form
        && within(5..7, 1, 12)
        && within(8..10, 1, 31)
        && within(11..13, 0, 23)
        && within(14..16, 0, 59)
}

#[cfg(test)]
mod tests {
    use super::super::logbook::fixture::pull;
    use super::*;

    #[test]
    fn moments_are_told_from_other_texts() {
        assert!(is_moment("2026-08-01 14:05") && is_moment("0001-12-31 23:59"));
        for text in [
            "",
            "2026-08-01",
            "2026-08-01T14:05",
            "2026-13-01 14:05",
            "2026-08-01 24:05",
            "é026-08-01 1:05",
        ] {
            assert!(!is_moment(text), "{text}");
        }
    }

    #[test]
    fn what_makes_no_sense_is_refused_with_the_value_and_the_limit() {
        let refused = |with: fn(&mut PullRecord), words: &str| {
            let mut given = pull();
            with(&mut given);
            let told = record(&given).expect_err(words).to_string();
            assert!(told.contains(words), "{told}");
        };
        refused(|r| r.gauge = Length::mm(f64::NAN), "a gauge of");
        refused(|r| r.sag = Some(Length::mm(-1.0)), "a sag of -1 mm is outside 0 mm to 500 mm");
        refused(
            |r| r.heated = Some(Seconds::new(1e9)),
            "in seconds, of 1000000000 is outside 0 to 3600",
        );
        refused(|r| r.cooled = Some(Seconds::new(f64::NAN)), "a time to cool");
        refused(|r| r.room = Some(Temperature::celsius(99.0)), "of 99 is outside -20 to 60");
        refused(|r| r.at = "yesterday".into(), "\"yesterday\" is no date and time");
        refused(|r| r.notes = "x".repeat(501), "501 characters, more than the 500");
        refused(|r| r.photo = Some(PhotoId(u64::MAX)), "photo 18446744073709551615 is more than");
        refused(
            |r| drop(r.outcomes.insert(Outcome::Good, BTreeSet::new())),
            "either good or has something wrong",
        );
        refused(
            |r| drop(r.outcomes.insert(Outcome::Web, BTreeSet::from([" ".into()]))),
            "a mold is empty; name it",
        );
    }

    #[test]
    fn texts_lose_what_does_not_show() {
        let given = PullRecord { notes: "hot\u{202e} left\n side ".into(), ..pull() };
        assert_eq!(record(&given).expect("fits").notes, "hot left side");
    }
}

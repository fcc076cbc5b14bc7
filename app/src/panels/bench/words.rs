//! What the bench says: times, pulls as they were, and what they carry.

use engine::heat::{self, Calibration, Heater, Heating, Sides, Span};
use engine::record::{Advice, Learned, Merged, NEEDED, Outcome, PullRecord, Tally};
use engine::units::{LengthStyle, read_decimal};

use crate::widgets::quoted;

/// `HIPS 1.5 mm, heater on one side`.
pub(super) fn sheet(record: &PullRecord, style: LengthStyle) -> String {
    let sides = match record.sides {
        Sides::One => "one side",
        Sides::Both => "both sides",
    };
    format!("{} {}, heater on {sides}", record.plastic.name(), style.show(record.gauge))
}

/// What was measured of a pull, and where it was: `62 s to forming, sag 20.0 mm, molds 1.2 x apart`.
pub(super) fn measures(record: &PullRecord, style: LengthStyle) -> String {
    let heated = record.heated.map(|time| format!("{} to forming", time.show()));
    let cooled = record.cooled.map(|time| format!("{} to cool", time.show()));
    let sag = record.sag.map(|sag| format!("sag {}", style.show(sag)));
    let room = record.room.map(|room| format!("room {}", room.show()));
    let spacing = record.spacing.map(|spacing| format!("molds {} x apart", factor(spacing.factor)));
    let all: Vec<String> = [heated, cooled, sag, room, spacing].into_iter().flatten().collect();
    if all.is_empty() { "Nothing measured".to_owned() } else { all.join(", ") }
}

/// `Web at Limpet and Starfish; thin`.
pub(super) fn outcomes(record: &PullRecord) -> String {
    let one = |(outcome, molds): (&Outcome, &std::collections::BTreeSet<String>)| {
        let molds: Vec<&str> = molds.iter().map(String::as_str).collect();
        match molds.split_last() {
            None => outcome.word().to_owned(),
            Some((last, [])) => format!("{} at {last}", outcome.word()),
            Some((last, rest)) => format!("{} at {} and {last}", outcome.word(), rest.join(", ")),
        }
    };
    let words: Vec<String> = record.outcomes.iter().map(one).collect();
    if words.is_empty() {
        "Nobody said how it came out".to_owned()
    } else {
        capital(&words.join("; "))
    }
}

/// The word with a capital.
pub(super) fn capital(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// A factor without trailing zeros.
pub(super) fn factor(factor: f64) -> String {
    let text = format!("{factor:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// `34 s to 67 s`, or that it never comes.
pub(super) fn span(span: Span) -> String {
    if !span.from.get().is_finite() {
        return "never at this heat".to_owned();
    }
    if span.to.get().is_finite() {
        format!("{} to {}", span.from.show(), span.to.show())
    } else {
        format!("{} or later", span.from.show())
    }
}

/// What the times rest on.
pub(super) fn basis(found: Option<Calibration>, is_said: bool) -> String {
    match found {
        None if is_said => "From what you said under Heat: log pulls, and it narrows.".to_owned(),
        None => "From a guess of what bench heaters give: log pulls, and it narrows.".to_owned(),
        Some(found) => format!("From {} of yours under this heater.", pulls(found.count)),
    }
}

/// What to do at this moment of the heat, given in seconds.
pub(super) fn now(times: &Heating, seconds: f64) -> &'static str {
    if seconds >= times.limit.from.get() {
        "It may be at its limit: form it, or take the heat away."
    } else if seconds >= times.watch_from.from.get() {
        "Watch the sag now."
    } else {
        "Not yet. Stay with it."
    }
}

/// How long a formed sheet takes at most: the draw leaves less of it than the gauge.
pub(super) fn cooling(record: &PullRecord) -> String {
    let room = record.room.unwrap_or(Heater::default().room);
    let cools = heat::cooling(record.plastic, record.gauge, room);
    format!(
        "Formed. It cools in about {} under a fan, {} in still air; take it off when it is stiff.",
        cools.under_fan.show(),
        cools.in_still_air.show()
    )
}

/// What the pulls say of the heater.
pub(super) fn heater(found: Option<Calibration>) -> String {
    let Some(Calibration { absorbed: (low, high), count }) = found else {
        return "Nothing yet: log a pull that was timed and came out neither cold nor scorched."
            .to_owned();
    };
    format!(
        "{} under this heater: a side of the sheet takes up {} to {}.",
        capital(&pulls(count)),
        low.show(),
        high.show()
    )
}

/// `Under 1.5 x: 4 of 6 pulls webbed. At or above 1.5 x: 0 of 9.`
pub(super) fn clearance(learned: &Learned) -> String {
    let Learned { at, under, at_or_above, .. } = learned;
    if under.pulls + at_or_above.pulls == 0 {
        return "Nothing yet: log pulls of two molds or more, and say how they came out."
            .to_owned();
    }
    let at = factor(*at);
    let of = |tally: &Tally| format!("{} of {} webbed", tally.webbed, pulls(tally.pulls));
    let side = |words: String, tally: &Tally| match tally.pulls {
        0 => format!("{words}: no pull yet."),
        _ => format!("{words}: {}.", of(tally)),
    };
    format!(
        "{} {}",
        side(format!("Under {at} x"), under),
        side(format!("At or above {at} x"), at_or_above)
    )
}

/// `4 of 6`, or that there was none to count.
pub(super) fn counted(tally: Tally) -> String {
    match tally.pulls {
        0 => "no pull".to_owned(),
        n => format!("{} of {n}", tally.webbed),
    }
}

/// What the counts carry, or how many more it takes.
pub(super) fn advice(advice: Option<&Advice>) -> String {
    let Some(Advice { factor: at, near, below }) = advice else {
        return format!(
            "No other factor is suggested: that takes {NEEDED} pulls or more close to each other in spacing without a web, \
             and none wider that webbed."
        );
    };
    let most = near.share().1 * 100.0;
    let beneath = match below.pulls {
        0 => String::new(),
        _ => format!(" Below it {} of {} did.", below.webbed, below.pulls),
    };
    format!(
        "From {at} x on no pull webbed, {near} of them close to it.{beneath} With so few it could still be up to \
         {most:.0} % of pulls (95 % interval, Wilson 1927).",
        at = factor(*at),
        near = near.pulls,
    )
}

/// What came of an import.
pub(super) fn merged(name: &str, merged: &Merged, unkept: usize) -> String {
    let mut words = match merged.added {
        0 => format!("No new pull from {name}."),
        n => format!("{} from {name} {} now in the log.", capital(&pulls(n)), is(n)),
    };
    if merged.newer > 0 {
        words +=
            &format!(" {} {} brought up to date.", capital(&pulls(merged.newer)), is(merged.newer));
    }
    if merged.there > 0 {
        words += &format!(" {} {} there already.", capital(&pulls(merged.there)), is(merged.there));
    }
    if unkept > 0 {
        words += " The browser's storage took no more: export the log before you close the page.";
    }
    words
}

fn pulls(count: usize) -> String {
    match count {
        1 => "1 pull".to_owned(),
        n => format!("{n} pulls"),
    }
}

const fn is(count: usize) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

/// A number that may be left out.
pub(super) fn maybe_number(text: &str) -> Result<Option<f64>, String> {
    let plain = text.trim().replace(',', ".");
    if plain.is_empty() {
        return Ok(None);
    }
    read_decimal(&plain)
        .map(Some)
        .ok_or_else(|| format!("{} is not a number; type for example 62.", quoted(text)))
}

#[cfg(test)]
mod tests {
    use engine::plan::{PullId, sample};
    use engine::record::learned_clearance;
    use engine::record::{Logbook, RecordId, Spacing};
    use engine::units::Seconds;

    use super::*;

    fn pull(outcome: Outcome, at: f64) -> PullRecord {
        let mut record = PullRecord::begun("2026-08-01 14:05", &sample(), PullId(1), Sides::One);
        record.outcomes.insert(outcome, ["Limpet".to_owned()].into());
        let basis = sample().settings.clearance.basis;
        record.spacing = Some(Spacing { factor: at, basis });
        record.heated = Some(Seconds::new(62.0));
        record
    }

    #[test]
    fn a_pull_is_told_as_it_was() {
        let style = LengthStyle::Millimetres;
        let mut record = pull(Outcome::Web, 1.2);
        assert_eq!(sheet(&record, style), "HIPS 1.5 mm, heater on one side");
        assert_eq!(measures(&record, style), "62 s to forming, molds 1.2 x apart");
        assert_eq!(outcomes(&record), "Web at Limpet");
        assert!(cooling(&record).contains(" under a fan, "), "{}", cooling(&record));
        record.outcomes.insert(Outcome::Thin, ["Crab", "Limpet", "Star"].map(str::to_owned).into());
        assert_eq!(outcomes(&record), "Web at Limpet; thin at Crab, Limpet and Star");
    }

    #[test]
    fn counts_stand_behind_what_is_suggested() {
        let all = [
            pull(Outcome::Web, 1.1),
            pull(Outcome::Good, 1.4),
            pull(Outcome::Good, 1.4),
            pull(Outcome::Good, 1.5),
            pull(Outcome::Thin, 1.5),
            pull(Outcome::Good, 1.6),
        ];
        let book = (1..).zip(&all).fold(Logbook::default(), |book, (id, record)| {
            book.add(RecordId(id), record).expect("fits")
        });
        let learned = learned_clearance(&book, &sample().settings.clearance);
        assert_eq!(
            clearance(&learned),
            "Under 1.75 x: 1 of 6 pulls webbed. At or above 1.75 x: no pull yet."
        );
        // 0 of 5: the interval ends at 43.4 %.
        assert_eq!(
            advice(learned.advice.as_ref()),
            "From 1.4 x on no pull webbed, 5 of them close to it. Below it 1 of 1 did. With so few it could still be up to \
             43 % of pulls (95 % interval, Wilson 1927)."
        );
        assert!(advice(None).starts_with("No other factor is suggested: that takes 5 pulls"));
    }

    #[test]
    fn an_import_says_what_became_of_every_pull() {
        let found = Merged { book: Logbook::default(), added: 2, newer: 0, there: 1 };
        assert_eq!(
            merged("log.json", &found, 0),
            "2 pulls from log.json are now in the log. 1 pull is there already."
        );
    }

    #[test]
    fn numbers_may_be_left_out() {
        assert_eq!(maybe_number(" "), Ok(None));
        assert_eq!(maybe_number("61,5"), Ok(Some(61.5)));
        assert!(maybe_number("soon").is_err() && maybe_number("1e9").is_err());
    }
}

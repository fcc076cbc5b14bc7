//! The pull that is going on, as plain data: it is stored at each press and found again when the tab has died.

use engine::file::{load_log, save_log};
use engine::record::{Logbook, PullRecord, RecordId};
use engine::units::Seconds;

/// How often it is stored that the clock was looked at, in milliseconds.
const STORE_EVERY: u64 = 5000;

/// The pull that is going on. Moments are milliseconds since 1970, by the clock of the device.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::panels) struct Running {
    /// When it began; also its number in the log.
    pub(super) id: u64,
    /// Whether it is timed, rather than noted afterwards.
    pub(super) is_timed: bool,
    /// When the sheet was drawn.
    pub(super) drawn: Option<u64>,
    /// When it had cooled.
    pub(super) cooled: Option<u64>,
    /// When the clock was last looked at.
    seen: u64,
    /// Whether the clock was set back meanwhile, so that no time of this pull can be trusted.
    pub(super) is_clock_back: bool,
    /// What is known of it so far.
    pub(super) record: PullRecord,
}

/// Where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Phase {
    /// The sheet is under the heater.
    Heating,
    /// It is formed, and cools.
    Cooling,
    /// It can be logged.
    Done,
}

impl Running {
    /// A pull that begins at this moment.
    pub(super) const fn begin(now: u64, record: PullRecord, is_timed: bool) -> Self {
        Self {
            id: now,
            is_timed,
            drawn: None,
            cooled: None,
            seen: now,
            is_clock_back: false,
            record,
        }
    }

    /// Where it stands.
    pub(super) const fn phase(&self) -> Phase {
        match (self.is_timed, self.drawn, self.cooled) {
            (true, None, _) => Phase::Heating,
            (true, Some(_), None) => Phase::Cooling,
            _ => Phase::Done,
        }
    }

    /// Looks at the clock; remembers when it was set back.
    pub(super) const fn see(&mut self, now: u64) {
        self.is_clock_back |= now < self.seen;
        self.seen = now;
    }

    /// Whether a look at the clock has to be stored: now and then, and when it was set back.
    pub(super) const fn is_due(&self, now: u64) -> bool {
        now < self.seen || now - self.seen > STORE_EVERY
    }

    /// The time since the present phase began; `None` when the clock was set back and it cannot be known.
    pub(super) fn elapsed(&self, now: u64) -> Option<Seconds> {
        let since = self.drawn.unwrap_or(self.id);
        (!self.is_clock_back).then(|| between(since, now))
    }

    /// The sheet is drawn now.
    pub(super) fn draw(&mut self, now: u64) {
        self.see(now);
        self.record.heated = self.elapsed(now);
        self.drawn = Some(now);
    }

    /// The sheet has cooled now.
    pub(super) fn cool(&mut self, now: u64) {
        self.see(now);
        self.record.cooled = self.elapsed(now);
        self.cooled = Some(now);
    }

    /// As a text: the moments on the first line, then the record as a log of one pull.
    pub(super) fn to_text(&self) -> String {
        let moment = |at: Option<u64>| at.map_or_else(|| "-".to_owned(), |at| at.to_string());
        let flag = |on: bool| u8::from(on);
        let record = Logbook::default().add(RecordId(self.id), &self.record).unwrap_or_default();
        format!(
            "{} {} {} {} {}\n{}",
            flag(self.is_timed),
            moment(self.drawn),
            moment(self.cooled),
            self.seen,
            flag(self.is_clock_back),
            save_log(&record)
        )
    }

    /// What a text says; `None` for what is none of ours.
    pub(super) fn from_text(text: &str) -> Option<Self> {
        let (head, log) = text.split_once('\n')?;
        let words: Vec<&str> = head.split(' ').collect();
        let [timed, drawn, cooled, seen, back] = words[..] else { return None };
        let moment = |word: &str| match word {
            "-" => Some(None),
            word => word.parse().ok().map(Some),
        };
        let (id, record) = load_log(log).ok()?.iter().next().map(|(id, r)| (id.0, r.clone()))?;
        Some(Self {
            id,
            is_timed: timed == "1",
            drawn: moment(drawn)?,
            cooled: moment(cooled)?,
            seen: seen.parse().ok()?,
            is_clock_back: back == "1",
            record,
        })
    }
}

/// From one moment to a later one, to a tenth of a second; no longer than a log takes.
#[expect(clippy::cast_precision_loss, reason = "milliseconds between two moments, far below 2^53")]
fn between(from: u64, to: u64) -> Seconds {
    let tenths = to.saturating_sub(from) / 100;
    Seconds::new((tenths as f64 / 10.0).min(engine::record::limits::LONGEST.get()))
}

#[cfg(test)]
mod tests {
    use engine::heat::Sides;
    use engine::plan::{PullId, sample};

    use super::*;

    const START: u64 = 1_785_593_100_000;

    fn begun() -> Running {
        let record = PullRecord::begun("2026-08-01 14:05", &sample(), PullId(1), Sides::One);
        Running::begin(START, record, true)
    }

    #[test]
    fn a_pull_is_timed_from_press_to_press_and_comes_back_from_its_text_in_between() {
        let mut running = begun();
        for (phase, press, at) in [
            (Phase::Heating, Running::draw as fn(&mut Running, u64), START + 62_340),
            (Phase::Cooling, Running::cool, START + 150_000),
        ] {
            assert_eq!(running.phase(), phase);
            assert_eq!(Running::from_text(&running.to_text()), Some(running.clone()));
            press(&mut running, at);
        }
        assert_eq!(running.phase(), Phase::Done);
        assert_eq!(running.record.heated, Some(Seconds::new(62.3)));
        assert_eq!(running.record.cooled, Some(Seconds::new(87.6)));
        assert_eq!(Running::from_text(&running.to_text()), Some(running));
    }

    #[test]
    fn a_clock_that_was_set_back_is_told_even_if_it_is_past_the_start_again() {
        let mut running = begun();
        running.see(START + 50_000);
        let mut found = Running::from_text(&running.to_text()).expect("ours");
        assert_eq!(found.elapsed(START + 51_000), Some(Seconds::new(51.0)));
        found.see(START + 20_000);
        found.see(START + 60_000);
        assert!(found.is_clock_back);
        found.draw(START + 61_000);
        assert_eq!((found.record.heated, found.phase()), (None, Phase::Cooling));
    }

    #[test]
    fn a_heat_forgotten_overnight_is_no_longer_than_a_log_takes() {
        let mut running = begun();
        running.draw(START + 40_000_000);
        assert_eq!(running.record.heated, Some(engine::record::limits::LONGEST));
        assert!(Running::from_text(&running.to_text()).is_some());
    }

    #[test]
    fn what_is_no_running_pull_is_not_read_as_one() {
        for text in ["", "1 - - 5 0", "1 - - 5 0\n{}", "1 - -\n", "1 x - 5 0\n"] {
            assert_eq!(Running::from_text(text), None, "{text:?}");
        }
    }
}

//! What the log says of the heater: the flux that the sheet takes up.

use super::{Logbook, PullRecord};
use crate::heat::{Calibration, Heater, Logged, Sides, absorbed_flux_of, flux_of};

/// The pulls that are asked, the last ones: a heater ages, and its place is changed.
pub const MOST_HEATS: usize = 30;

/// What a heater of these sides gives by the last pulls under it that were timed and neither cold nor scorched; `None`
/// when no pull says anything.
///
/// Plastics and gauges are mixed: each pull counts with its own, and with its room's temperature where that is known.
/// Cost: some milliseconds a pull.
#[must_use]
pub fn learned_heat(book: &Logbook, sides: Sides) -> Option<Calibration> {
    let told = book.iter().rev().map(|(_, record)| record);
    let fluxes = told.filter(|record| record.sides == sides && record.is_heated_well()).filter_map(
        |record| {
            let (heater, pull) = heat_of(record)?;
            flux_of(&heater, &pull)
        },
    );
    absorbed_flux_of(fluxes.take(MOST_HEATS))
}

fn heat_of(record: &PullRecord) -> Option<(Heater, Logged)> {
    let heater = Heater { sides: record.sides, ..Heater::default() };
    let room = record.room.unwrap_or(heater.room);
    let (plastic, gauge) = (record.plastic, record.gauge);
    Some((Heater { room, ..heater }, Logged { plastic, gauge, heated: record.heated? }))
}

#[cfg(test)]
mod tests {
    use super::super::logbook::fixture::{come_out, pull};
    use super::super::{Outcome, RecordId};
    use super::*;
    use crate::heat::absorbed_flux;
    use crate::plan::Plastic;
    use crate::units::{Length, Seconds, Temperature};

    fn book(records: &[PullRecord]) -> Logbook {
        (1..).zip(records).fold(Logbook::default(), |book, (id, record)| {
            book.add(RecordId(id), record).expect("fits")
        })
    }

    #[test]
    fn the_log_says_of_the_heater_what_the_same_pulls_say_by_themselves() {
        let thick = PullRecord {
            plastic: Plastic::Abs,
            gauge: Length::mm(3.0),
            heated: Some(Seconds::new(150.0)),
            ..pull()
        };
        let logged = |record: &PullRecord| Logged {
            plastic: record.plastic,
            gauge: record.gauge,
            heated: record.heated.expect("timed"),
        };
        let records = [pull(), thick];
        let alone = absorbed_flux(&Heater::default(), &records.each_ref().map(logged));
        assert_eq!(learned_heat(&book(&records), Sides::One), alone);
        assert_eq!(alone.map(|found| found.count), Some(2));
        assert_eq!(learned_heat(&book(&records), Sides::Both), None);
    }

    #[test]
    fn spoilt_untimed_and_impossible_pulls_say_nothing() {
        let cold = come_out(Outcome::Cold, 1.5);
        let scorched = come_out(Outcome::Scorched, 1.5);
        let untimed = PullRecord { heated: None, ..pull() };
        let unsaid = PullRecord { outcomes: super::super::Outcomes::new(), ..pull() };
        let instant = PullRecord { heated: Some(Seconds::ZERO), ..pull() };
        assert_eq!(
            learned_heat(&book(&[cold, scorched, untimed, unsaid, instant]), Sides::One),
            None
        );
    }

    #[test]
    fn a_warm_room_counts_and_only_the_last_pulls_do() {
        let warm = PullRecord { room: Some(Temperature::celsius(40.0)), ..pull() };
        let flux = |record: PullRecord| {
            learned_heat(&book(&[record]), Sides::One).expect("says something").absorbed.0
        };
        assert!(flux(warm) < flux(pull()), "less heat does from a warmer start");
        let mut records = vec![PullRecord { heated: Some(Seconds::new(20.0)), ..pull() }];
        records.extend(vec![pull(); MOST_HEATS]);
        let found = learned_heat(&book(&records), Sides::One).expect("says something");
        let last = learned_heat(&book(&[pull()]), Sides::One).expect("says something");
        assert_eq!((found.count, found.absorbed), (MOST_HEATS, last.absorbed));
    }
}

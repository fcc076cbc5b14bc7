//! Version 1 of a saved log: the shapes of its JSON, apart from the model so that the model can change.
//!
//! Released; never change what it writes or accepts. A new key is a new version.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::file::object::objects;
use crate::file::words;
use crate::record::{Logbook, Outcomes, PhotoId, PullRecord, RecordError, RecordId};
use crate::units::{Length, Seconds, Temperature};

/// A log of pulls. Lengths are millimetres (`_mm`), times seconds (`_s`), temperatures degrees Celsius (`_c`).
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, remote = "Self")]
pub(super) struct Log {
    /// The version of this form.
    onepull_log: u32,
    /// The pulls; each id stands once.
    pulls: Vec<Pull>,
}

/// One pull as it happened. What is not known is left out.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, remote = "Self")]
struct Pull {
    /// Names the pull: the moment it began, in milliseconds since 1970.
    id: u64,
    /// When, in local time: `2026-08-01 14:05`.
    at: String,
    /// What the plan was called.
    plan: String,
    /// What the pull was called.
    pull: String,
    /// What the sheet was made of.
    plastic: words::Plastic,
    /// How thick it was.
    gauge_mm: f64,
    /// Which of its sides were heated.
    heated_sides: words::Sides,
    /// The air of the room.
    #[serde(skip_serializing_if = "Option::is_none")]
    room_c: Option<f64>,
    /// From the heater to forming.
    #[serde(skip_serializing_if = "Option::is_none")]
    heated_s: Option<f64>,
    /// From forming until it was taken off.
    #[serde(skip_serializing_if = "Option::is_none")]
    cooled_s: Option<f64>,
    /// How far the sheet sagged.
    #[serde(skip_serializing_if = "Option::is_none")]
    sag_mm: Option<f64>,
    /// How it came out.
    outcomes: Vec<Outcome>,
    /// How near the molds stood.
    #[serde(skip_serializing_if = "Option::is_none")]
    spacing: Option<Spacing>,
    /// What else there is to say; may be empty.
    notes: String,
    /// Names a photo, which is kept apart.
    #[serde(skip_serializing_if = "Option::is_none")]
    photo: Option<u64>,
    /// How often the pull was changed since it was logged.
    revision: u32,
}

/// How a pull came out, and where.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, remote = "Self")]
struct Outcome {
    /// How.
    what: words::Outcome,
    /// The names of the molds where; may be empty.
    r#where: BTreeSet<String>,
}

/// The least spacing over height of a layout.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, remote = "Self")]
struct Spacing {
    /// Spacing over height.
    factor: f64,
    /// Over which height of two.
    basis: words::HeightBasis,
}

objects! { Log, Pull, Outcome, Spacing }

impl Log {
    /// The form of a log.
    pub(super) fn of(book: &Logbook, version: u32) -> Self {
        Self { onepull_log: version, pulls: book.iter().map(Pull::of).collect() }
    }

    /// Its pulls, whose values are not checked yet.
    pub(super) fn into_pulls(self) -> Vec<Result<(RecordId, PullRecord), RecordError>> {
        self.pulls.into_iter().map(Pull::into_record).collect()
    }
}

impl Pull {
    fn of((id, record): (RecordId, &PullRecord)) -> Self {
        let outcome = |(what, molds): (&crate::record::Outcome, &BTreeSet<String>)| Outcome {
            what: (*what).into(),
            r#where: molds.clone(),
        };
        let spacing =
            record.spacing.map(|given| Spacing { factor: given.factor, basis: given.basis.into() });
        Self {
            id: id.0,
            at: record.at.clone(),
            plan: record.plan.clone(),
            pull: record.pull.clone(),
            plastic: record.plastic.into(),
            gauge_mm: record.gauge.to_mm(),
            heated_sides: record.sides.into(),
            room_c: record.room.map(Temperature::to_celsius),
            heated_s: record.heated.map(Seconds::get),
            cooled_s: record.cooled.map(Seconds::get),
            sag_mm: record.sag.map(Length::to_mm),
            outcomes: record.outcomes.iter().map(outcome).collect(),
            spacing,
            notes: record.notes.clone(),
            photo: record.photo.map(|photo| photo.0),
            revision: record.revision,
        }
    }

    fn into_record(self) -> Result<(RecordId, PullRecord), RecordError> {
        let mut outcomes = Outcomes::new();
        for Outcome { what, r#where } in self.outcomes {
            let what = what.into();
            if outcomes.insert(what, r#where).is_some() {
                return Err(RecordError::SaidTwice(what));
            }
        }
        let spacing = self.spacing.map(|given| crate::record::Spacing {
            factor: given.factor,
            basis: given.basis.into(),
        });
        let record = PullRecord {
            at: self.at,
            plan: self.plan,
            pull: self.pull,
            plastic: self.plastic.into(),
            gauge: Length::mm(self.gauge_mm),
            sides: self.heated_sides.into(),
            room: self.room_c.map(Temperature::celsius),
            heated: self.heated_s.map(Seconds::new),
            cooled: self.cooled_s.map(Seconds::new),
            sag: self.sag_mm.map(Length::mm),
            outcomes,
            spacing,
            notes: self.notes,
            photo: self.photo.map(PhotoId),
            revision: self.revision,
        };
        Ok((RecordId(self.id), record))
    }
}

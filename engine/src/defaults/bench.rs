//! The reasons behind what the bench is reckoned with: batches, cutting, heat, the forecast's net and paper.

use super::{Amount, Given, Reason};
use crate::drape;
use crate::heat::Heater;
use crate::plan::{Batch, CuttingHabits, PullTimes};
use crate::rules::{Measure, Trust};
use crate::template::{Paper, TemplateSettings};
use crate::units::{Flux, Seconds};

/// Our own times say all the same of where they come from.
const MEASURE: &str = "our own choice; nobody publishes such times, so measure yours";

/// The reason, when the field is one of these.
pub(super) fn reason(given: Given) -> Option<Reason> {
    batch(given).or_else(|| time(given)).or_else(|| cutting(given)).or_else(|| shop(given))
}

fn batch(given: Given) -> Option<Reason> {
    let Batch { kits, spares_percent, labour, .. } = Batch::default();
    Some(match given {
        Given::Worth => Reason::ours(
            Amount::Measure(Measure::Ratio(1.0)),
            "All molds are worth the same until you say otherwise, so as many as fit go on.",
        ),
        Given::Kits => {
            Reason::ours(Amount::count(kits), "One kit, until you say how many are ordered.")
        }
        Given::Spares => Reason::ours(
            Amount::count(spares_percent),
            "None are added behind your back. How many parts web, tear or are trimmed amiss, your own log knows best.",
        ),
        Given::Labour => Reason::ours(
            labour.map_or(Amount::Empty, |_| Amount::Follows),
            "What an hour is worth is yours to say. Without it time is told and not priced.",
        ),
        _ => return None,
    })
}

fn time(given: Given) -> Option<Reason> {
    let PullTimes { load, heat, draw, cool, unload, change_over } = PullTimes::default();
    let seconds = |time: Option<Seconds>| time.map_or(Amount::Empty, Amount::Seconds);
    let (time, why) = match given {
        Given::Load => {
            (Some(load), "A minute to peel the film, lay the blank in and clamp it, by hand.")
        }
        Given::HeatTime => (
            heat,
            "Left empty, the usual time of this plastic and gauge is taken, as told under Heat.",
        ),
        Given::DrawTime => (Some(draw), "A quarter of a minute to bring the frame down and draw."),
        Given::CoolTime => (
            cool,
            "Left empty, the usual time of this plastic and gauge is taken, as told under Heat.",
        ),
        Given::Unload => (Some(unload), "A minute to unclamp the sheet and work the molds free."),
        Given::ChangeOver => (
            Some(change_over),
            "Five minutes to lay another template, set the molds and look again.",
        ),
        _ => return None,
    };
    let source = MEASURE;
    Some(Reason { source, ..Reason::ours(seconds(time), why) })
}

fn cutting(given: Given) -> Option<Reason> {
    let CuttingHabits { kerf, wander, least_strip, blanks_wanted, .. } = CuttingHabits::default();
    Some(match given {
        Given::BlanksWanted => Reason::ours(
            blanks_wanted.map_or(Amount::Empty, Amount::count),
            "Left empty, one whole sheet is cut into as many blanks as it gives.",
        ),
        Given::Kerf => Reason::practice(
            Amount::length(kerf),
            "A circular saw takes 3 to 4 mm with each cut. Measure a cut of yours.",
        ),
        Given::Wander => Reason::ours(
            Amount::length(wander),
            "None: a scored line along a rule strays by less than a clamp lip forgives. A free hand asks for 0.5 to 1 mm.",
        ),
        Given::LeastStrip => Reason::practice(
            least_strip.map_or(Amount::Empty, Amount::length),
            "Left empty, it is 20 mm or ten gauges, whichever is more: what fingers can hold and bend.",
        ),
        _ => return None,
    })
}

fn shop(given: Given) -> Option<Reason> {
    let (least, most) = Heater::default().absorbed;
    let kilowatts = |flux: Flux| Amount::Kilowatts(flux.to_watts_per_m2() / 1e3);
    let print = TemplateSettings::new(Paper::A4, "");
    let flux = "What bench heaters of bars or quartz tubes give to a sheet, as a range. A few logged pulls narrow it to \
                your heater.";
    Some(match given {
        Given::FluxLeast => Reason::ours(kilowatts(least), flux),
        Given::FluxMost => Reason::ours(kilowatts(most), flux),
        Given::Net => Reason {
            source: "derived: the sample on nets of 2, 3, 4 and 6 mm",
            trust: Trust::Derived,
            ..Reason::ours(
                Amount::Word("Usual (3 mm)"),
                "Fine enough to rank layouts by, in about a second. On the sample means agree with the finer net within \
                 three in a hundred; sharp corners come out up to a fifth thicker.",
            )
        },
        Given::Friction => Reason::ours(
            Amount::Measure(Measure::Ratio(0.3)),
            "The most of the 0.1 to 0.3 that Collins, Harkin-Jones and Martin (2002) measured between sheet and tool. It rises \
             sharply towards forming heat, which is why a sheet is taken to stick unless you say otherwise.",
        ),
        Given::Sag => Reason {
            source: "our own choice; what is usual is common practice",
            ..Reason::ours(
                Amount::length(drape::Settings::default().sag),
                "A flat sheet, until you say how far yours hangs. Over an opening of 12 in HIPS and ABS commonly hang 1/2 to 1 in \
                 when they are ready to form; every heater and sheet differs, so measure yours.",
            )
        },
        Given::Overlap => Reason::ours(
            Amount::length(print.overlap),
            "Enough to tape on and to lay two marks over each other.",
        ),
        Given::PrinterMargin => Reason::ours(
            Amount::length(print.margin),
            "More than most printers leave white, so that nothing is cut off. A smaller margin takes fewer sheets.",
        ),
        _ => return None,
    })
}

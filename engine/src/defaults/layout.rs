//! The reasons behind what a layout is judged by: the rules, the machine, the sheet and the molds.

use super::{Amount, Given, Reason};
use crate::geometry::Rect;
use crate::plan::{Footprint, HeightBasis, Machine, Mold, Plastic, Relief, Settings, Stock};
use crate::rules::{Fact, Facts, Measure, facts};
use crate::units::Length;

/// The reason, when the field is one of these.
pub(super) fn reason(given: Given) -> Option<Reason> {
    rule(given).or_else(|| machine(given)).or_else(|| sheet(given)).or_else(|| mold(given))
}

fn rule(given: Given) -> Option<Reason> {
    let told = facts();
    let Facts { clearance_factor, height_basis, least_gap, edge_factor, least_margin, .. } = told;
    let settings = Settings::default();
    let fact: Fact = match given {
        Given::ClearanceFactor => clearance_factor,
        Given::HeightBasis => height_basis,
        Given::LeastGap => least_gap,
        Given::EdgeFactor => edge_factor,
        Given::LeastMargin => least_margin,
        Given::MaleHeightToWidth => told.male_height_to_width,
        Given::FemaleHeightToWidth => told.female_height_to_width,
        Given::LeastWall => {
            let wall = settings.least_wall.map_or(Amount::Empty, Amount::length);
            return Some(Reason::practice(
                wall,
                "What a part must bear is known to its maker only: published walls run from 0.1 mm for a blister to \
                 2 mm for a housing.",
            ));
        }
        _ => return None,
    };
    let basis = match settings.clearance.basis {
        HeightBasis::Taller => "The taller of the two",
        HeightBasis::Mean => "The mean of the two",
    };
    let amount = fact.default.map_or(Amount::Word(basis), Amount::Measure);
    Some(Reason::from_fact(fact, amount))
}

fn machine(given: Given) -> Option<Reason> {
    let Machine { blank, lip, clears, platen } = Machine::default();
    let opening: Rect = Machine::default().opening();
    Some(match given {
        Given::BlankWidth => Reason::ours(
            Amount::length(blank.width),
            "16 in is a blank that a bench former takes, and a 4 x 8 ft sheet gives 24 of 16 x 12 in without waste. \
             Yours is what your frame holds.",
        ),
        Given::BlankDepth => Reason::ours(
            Amount::length(blank.depth),
            "12 in is a blank that a bench former takes, and a 4 x 8 ft sheet gives 24 of 16 x 12 in without waste. \
             Yours is what your frame holds.",
        ),
        Given::ClampLip => Reason::practice(
            Amount::length(lip.front),
            "Frames bite 12 to 25 mm of the sheet on each side. Measure what yours covers: nothing can stand there.",
        ),
        Given::Platen => Reason::ours(
            if platen == opening { Amount::Follows } else { Amount::Empty },
            "It is taken to be as large as the opening, and to lie under it. Where yours is smaller, the sheet beyond it \
             is not drawn down.",
        ),
        Given::Clears => Reason::ours(
            Amount::length(clears),
            "A guess, so that something can be said of tall molds. Measure yours from the platen to the sheet before it comes \
             down, less what it sags.",
        ),
        _ => return None,
    })
}

fn sheet(given: Given) -> Option<Reason> {
    let Stock { plastic, gauge, sheet, price, .. } = Stock::default();
    Some(match given {
        Given::Plastic => Reason::practice(
            Amount::Word(Plastic::name(plastic)),
            "The first choice of most bench formers: cheap, soft over a wide range of heat, and it needs no drying.",
        ),
        Given::Gauge => Reason::practice(
            Amount::length(gauge),
            ".060 in is usual for prop shells and model kits: stiff enough for a part the size of a hand.",
        ),
        Given::SheetWidth => Reason::practice(
            Amount::length(sheet.width),
            "48 x 96 in is the whole sheet that most suppliers keep, here with its short side across.",
        ),
        Given::SheetDepth => Reason::practice(
            Amount::length(sheet.depth),
            "48 x 96 in is the whole sheet that most suppliers keep, here with its short side across.",
        ),
        Given::SheetPrice => Reason::ours(
            if price.is_none() { Amount::Empty } else { Amount::Follows },
            "Prices differ by place and month, so none is made up. Without one no cost is reckoned.",
        ),
        _ => return None,
    })
}

fn mold(given: Given) -> Option<Reason> {
    let side = Length::mm(1.0);
    let plain = Mold::new("", Footprint::Rectangle { width: side, depth: side }, side);
    Some(match given {
        Given::Spacer => Reason::practice(
            Amount::length(plain.spacer),
            "Raise a mold where the trim line must clear the platen. The sheet falls from its top to the platen, so a \
             spacer counts as height for clearance.",
        ),
        Given::Draft => Reason {
            amount: Amount::Measure(Measure::Angle(plain.draft)),
            ..Reason::from_fact(facts().draft[0], Amount::Empty)
        },
        Given::EdgeRadius => Reason::ours(
            Amount::length(edge(&plain.relief)),
            "Sharp is the worst case: sheet thins most just below a sharp edge. Give the radius you sanded.",
        ),
        Given::TaperTop => Reason::ours(
            Amount::Measure(Measure::Ratio(Relief::TAPER_TOP)),
            "Half way between a block and a cone, to begin with. Measure the top and divide by the foot.",
        ),
        Given::Copies => Reason::ours(
            Amount::count(plain.copies),
            "A mold is one until you say that you cast or printed more.",
        ),
        Given::Trim => Reason::ours(
            Amount::length(plain.trim),
            "Room for a scribed line and a blade round the part. A router or a flange asks for more.",
        ),
        _ => return None,
    })
}

const fn edge(relief: &Relief) -> Length {
    if let Relief::FlatTop { edge } = relief { *edge } else { Length::ZERO }
}

//! Checks values before they enter a plan: finite, within limits, names clean.

use super::EditError;
use crate::geometry::{Pose, Ring};
use crate::plan::{
    CopyNumber, Footprint, Machine, Mold, Plan, Relief, Settings, Size, Step, Stock, edge_most,
    limits, wall_run,
};
use crate::units::{Angle, Length, Price};

/// As [`name`], but it may be empty.
pub(super) fn name_if_any(text: &str) -> Result<String, EditError> {
    match name(text) {
        Err(EditError::NameEmpty) => Ok(String::new()),
        checked => checked,
    }
}

/// The name without control and direction-override characters and without space at its ends.
pub(super) fn name(text: &str) -> Result<String, EditError> {
    let clean: String = text.chars().filter(|c| !is_unwelcome(*c)).collect();
    let clean = clean.trim();
    match clean.chars().count() {
        0 => Err(EditError::NameEmpty),
        n if n > limits::NAME_CHARS => Err(EditError::NameTooLong(n)),
        _ => Ok(clean.to_owned()),
    }
}

/// Control characters, and those that change the direction of the text round them.
pub(crate) fn is_unwelcome(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

pub(super) fn machine(machine: Machine) -> Result<Machine, EditError> {
    sheet_size(machine.blank, ["blank width", "blank depth"])?;
    let lips = [machine.lip.front, machine.lip.back, machine.lip.left, machine.lip.right];
    for lip in lips {
        length("clamp lip", lip, Length::ZERO, limits::SHEET_MOST)?;
    }
    let width = machine.blank.width - machine.lip.left - machine.lip.right;
    let depth = machine.blank.depth - machine.lip.front - machine.lip.back;
    if width < limits::SHEET_LEAST || depth < limits::SHEET_LEAST {
        return Err(EditError::NoOpening { width, depth });
    }
    let corners = [machine.platen.min, machine.platen.max];
    for value in corners.into_iter().flat_map(|p| [p.x, p.y]) {
        coordinate("platen corner", Length::mm(value))?;
    }
    let platen = Size::new(machine.platen.width(), machine.platen.depth());
    sheet_size(platen, ["platen width", "platen depth"])?;
    length("height the machine clears", machine.clears, Length::mm(1.0), limits::HEIGHT_MOST)?;
    Ok(machine)
}

pub(super) fn stock(stock: Stock) -> Result<Stock, EditError> {
    length("gauge", stock.gauge, limits::GAUGE.0, limits::GAUGE.1)?;
    sheet_size(stock.sheet, ["sheet width", "sheet depth"])?;
    let whole = |price: Price| f64::from(price.to_hundredths()) / 100.0;
    let price = stock.price.map_or(0.0, whole);
    number("price", price, (0.0, whole(Price::MAX)))?;
    Ok(stock)
}

pub(super) fn settings(settings: Settings) -> Result<Settings, EditError> {
    number("clearance factor", settings.clearance.factor, limits::CLEARANCE_FACTOR)?;
    length("least gap", settings.clearance.least, Length::ZERO, limits::GAP_MOST)?;
    number("edge factor", settings.edge.factor, limits::EDGE_FACTOR)?;
    length("least edge margin", settings.edge.least, Length::ZERO, limits::GAP_MOST)?;
    number("male height-to-width limit", settings.male_height_to_width, limits::HEIGHT_TO_WIDTH)?;
    number(
        "female height-to-width limit",
        settings.female_height_to_width,
        limits::HEIGHT_TO_WIDTH,
    )?;
    if let Some(wall) = settings.least_wall {
        length("least wall", wall, limits::GAUGE.0, limits::GAUGE.1)?;
    }
    Ok(settings)
}

pub(super) fn mold(mold: &Mold) -> Result<Mold, EditError> {
    footprint(&mold.footprint)?;
    length("mold height", mold.height, limits::FOOTPRINT_LEAST, limits::HEIGHT_MOST)?;
    length("spacer", mold.spacer, Length::ZERO, limits::HEIGHT_MOST)?;
    length("trim allowance", mold.trim, Length::ZERO, limits::GAP_MOST)?;
    if !mold.draft.is_finite() {
        return Err(EditError::NotANumber { what: "draft" });
    }
    if mold.draft < Angle::ZERO || mold.draft > limits::DRAFT_MOST {
        return Err(EditError::AngleOutside {
            what: "draft",
            value: mold.draft,
            most: limits::DRAFT_MOST,
        });
    }
    relief(mold)?;
    copy(CopyNumber(mold.copies))?;
    Ok(Mold { name: name(&mold.name)?, ..mold.clone() })
}

/// Height and draft of the mold are within their limits already.
fn relief(mold: &Mold) -> Result<(), EditError> {
    match &mold.relief {
        Relief::Dome => Ok(()),
        Relief::Taper { top } => number("taper's top scale", *top, (0.0, 1.0)),
        Relief::FlatTop { edge } => {
            length("rounded edge's radius", *edge, Length::ZERO, limits::FOOTPRINT_MOST)?;
            let most = edge_most(mold.height, mold.draft);
            if *edge > most { Err(EditError::EdgeTooLarge { edge: *edge, most }) } else { Ok(()) }
        }
        Relief::Stepped { steps: list } => steps(mold, list),
        Relief::Heights(grid) => length(
            "height of the grid",
            grid.height(),
            limits::FOOTPRINT_LEAST,
            limits::HEIGHT_MOST,
        ),
    }
}

/// Every wall rises by something, and ends before the next begins.
fn steps(mold: &Mold, steps: &[Step]) -> Result<(), EditError> {
    count("steps", steps.len(), limits::STEPS)?;
    if steps.is_empty() {
        return Err(EditError::NoStep);
    }
    let (mut below, mut begins) = (Length::ZERO, Length::ZERO);
    for (number, step) in (1..).zip(steps) {
        length("step height", step.height, Length::ZERO, limits::HEIGHT_MOST)?;
        length("step inset", step.inset, Length::ZERO, limits::FOOTPRINT_MOST)?;
        if step.height <= below || step.height >= mold.height {
            let (height, above) = (step.height, mold.height);
            return Err(EditError::StepHeight { number, height, below, above });
        }
        let least = begins + wall_run(step.height - below, mold.draft);
        if step.inset < least {
            return Err(EditError::StepInset { number, inset: step.inset, least });
        }
        (below, begins) = (step.height, step.inset);
    }
    Ok(())
}

fn footprint(footprint: &Footprint) -> Result<(), EditError> {
    let side = |what, value| length(what, value, limits::FOOTPRINT_LEAST, limits::FOOTPRINT_MOST);
    match footprint {
        Footprint::Rectangle { width, depth } | Footprint::Ellipse { width, depth } => {
            side("footprint width", *width)?;
            side("footprint depth", *depth)
        }
        Footprint::RoundedRectangle { width, depth, radius } => {
            side("footprint width", *width)?;
            side("footprint depth", *depth)?;
            length("corner radius", *radius, Length::ZERO, limits::FOOTPRINT_MOST)?;
            let most = width.min(*depth) / 2.0;
            if *radius > most {
                Err(EditError::RadiusTooLarge { radius: *radius, most })
            } else {
                Ok(())
            }
        }
        Footprint::Circle { diameter } => side("diameter", *diameter),
        Footprint::Polygon { sides, diameter } => {
            let range = (3.0, f64::from(limits::POLYGON_SIDES));
            number("number of sides", f64::from(*sides), range)?;
            side("diameter", *diameter)
        }
        Footprint::Outline { outer, holes } => {
            count("holes", holes.len(), limits::HOLES)?;
            count("corners", footprint.n_corners(), limits::OUTLINE_CORNERS)?;
            std::iter::once(outer).chain(holes).try_for_each(corners)
        }
    }
}

fn corners(ring: &Ring) -> Result<(), EditError> {
    ring.points()
        .iter()
        .flat_map(|p| [p.x, p.y])
        .try_for_each(|value| coordinate("corner", Length::mm(value)))
}

/// All outlines and heights together must stay within what a tablet can draw and keep.
pub(super) fn plan_size(plan: &Plan) -> Result<(), EditError> {
    let corners = plan.molds.values().map(|mold| mold.footprint.n_corners()).sum();
    count("corners", corners, limits::PLAN_CORNERS)?;
    let cells = plan.molds.values().map(|mold| mold.relief.n_cells()).sum();
    count("cells of heights", cells, limits::PLAN_CELLS)
}

pub(super) fn pose(pose: Pose) -> Result<Pose, EditError> {
    coordinate("position", Length::mm(pose.at.x))?;
    coordinate("position", Length::mm(pose.at.y))?;
    if !pose.turn.is_finite() {
        return Err(EditError::NotANumber { what: "turn" });
    }
    Ok(Pose { turn: pose.turn.normalized(), ..pose })
}

pub(super) fn copy(copy: CopyNumber) -> Result<(), EditError> {
    if (1..=limits::COPIES).contains(&copy.0) {
        Ok(())
    } else {
        Err(EditError::CopyOutside(copy.0))
    }
}

pub(super) fn count(what: &'static str, value: usize, most: usize) -> Result<(), EditError> {
    if value <= most { Ok(()) } else { Err(EditError::TooMany { what, value, most }) }
}

pub(super) fn sheet_size(size: Size, names: [&'static str; 2]) -> Result<(), EditError> {
    length(names[0], size.width, limits::SHEET_LEAST, limits::SHEET_MOST)?;
    length(names[1], size.depth, limits::SHEET_LEAST, limits::SHEET_MOST)
}

fn coordinate(what: &'static str, value: Length) -> Result<(), EditError> {
    length(what, value, -limits::COORDINATE, limits::COORDINATE)
}

pub(super) fn length(
    what: &'static str,
    value: Length,
    least: Length,
    most: Length,
) -> Result<(), EditError> {
    if !value.is_finite() {
        return Err(EditError::NotANumber { what });
    }
    if value < least || value > most {
        return Err(EditError::LengthOutside { what, value, least, most });
    }
    Ok(())
}

pub(super) fn number(
    what: &'static str,
    value: f64,
    (least, most): (f64, f64),
) -> Result<(), EditError> {
    if (least..=most).contains(&value) {
        Ok(())
    } else {
        Err(EditError::NumberOutside { what, value, least, most })
    }
}

//! A difference in a maker's words.

use super::change::{Change, What};
use super::turned;
use crate::plan::{Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Settings, Stock};
use crate::units::Length;

impl Change {
    /// `Limpet moved by 12.0 mm and turned by 15°`, as of my plan and their pull.
    #[must_use]
    pub fn words(&self, mine: &Plan, pull: PullId) -> String {
        let standing = |id: &PlacementId| {
            let placement = mine.pulls.get(&pull).and_then(|pull| pull.placements.get(id));
            placement.map_or_else(|| id.to_string(), |placement| named(mine, placement))
        };
        match &self.what {
            What::Name(name) => format!("The plan is called {name}"),
            What::Machine(machine) => listed("Machine", &machine_parts(&mine.machine, machine)),
            What::Stock(stock) => {
                listed("Stock sheet", &stock_parts(mine.stock_of_pull(pull), stock))
            }
            What::Settings(settings) => listed("Rules", &rule_parts(&mine.settings, settings)),
            What::MoldAdded(_, mold) => format!("{} is a new mold", mold.name),
            What::MoldChanged(id, mold) => {
                let parts = mine.molds.get(id).map(|own| mold_parts(own, mold)).unwrap_or_default();
                listed(&mold.name, &parts)
            }
            What::MoldRemoved(id) => {
                format!(
                    "{} is not among their molds: removed there, or new here",
                    mold_name(mine, *id)
                )
            }
            What::PullAdded(pull) => {
                format!(
                    "{} is a pull you do not have, with {} molds on it",
                    pull.name,
                    pull.placements.len()
                )
            }
            What::PullName(name) => format!("The pull is called {name}"),
            What::Added(_, placement) => format!("{} is put on the blank", named(mine, placement)),
            What::Removed(id) => format!("{} is taken off the blank", standing(id)),
            What::Moved { id, from, to } => {
                let (far, turn) = (from.at.distance(to.at), turned(*from, *to));
                let by = mine.settings.lengths.show(Length::mm(far));
                let how = match (far > 0.05, turn > 0.05) {
                    (false, true) => format!("turned by {turn:.1}\u{b0}"),
                    (true, true) => format!("moved by {by} and turned by {turn:.1}\u{b0}"),
                    (_, false) => format!("moved by {by}"),
                };
                format!("{} is {how}", standing(id))
            }
            What::Locked(id, true) => format!("{} is locked", standing(id)),
            What::Locked(id, false) => format!("{} is free to move again", standing(id)),
        }
    }
}

fn listed(what: &str, parts: &[&str]) -> String {
    match parts {
        [] => format!("{what} changed"),
        parts => format!("{what} changed: {}", parts.join(", ")),
    }
}

fn mold_name(mine: &Plan, id: MoldId) -> String {
    mine.molds.get(&id).map_or_else(|| id.to_string(), |mold| mold.name.clone())
}

fn named(mine: &Plan, placement: &Placement) -> String {
    let name = mine.molds.get(&placement.mold).map_or("A new mold", |mold| mold.name.as_str());
    let copies = mine.molds.get(&placement.mold).map_or(1, |mold| mold.copies);
    if copies > 1 { format!("{name} #{}", placement.copy.0) } else { name.to_owned() }
}

/// The names of what differs, told with the right words beside them.
fn differing(pairs: &[(bool, &'static str)]) -> Vec<&'static str> {
    pairs.iter().filter(|(differs, _)| *differs).map(|(_, name)| *name).collect()
}

fn mold_parts(own: &Mold, theirs: &Mold) -> Vec<&'static str> {
    differing(&[
        (own.name != theirs.name, "name"),
        (own.footprint != theirs.footprint, "outline"),
        (own.kind != theirs.kind, "male or female"),
        (own.height != theirs.height, "height"),
        (own.spacer != theirs.spacer, "spacer"),
        (own.relief != theirs.relief, "shape above the outline"),
        (own.draft != theirs.draft, "draft"),
        (own.turns != theirs.turns, "turns allowed"),
        (own.copies != theirs.copies, "copies"),
        (own.trim != theirs.trim, "trim"),
    ])
}

fn machine_parts(own: &Machine, theirs: &Machine) -> Vec<&'static str> {
    differing(&[
        (own.blank != theirs.blank, "blank"),
        (own.lip != theirs.lip, "clamp lip"),
        (own.platen != theirs.platen, "platen"),
        (own.clears != theirs.clears, "height it clears"),
    ])
}

fn stock_parts(own: &Stock, theirs: &Stock) -> Vec<&'static str> {
    differing(&[
        (own.plastic != theirs.plastic, "plastic"),
        (own.gauge != theirs.gauge, "gauge"),
        (own.sheet != theirs.sheet, "sheet size"),
        (own.texture != theirs.texture, "texture"),
        (own.film != theirs.film, "film"),
        (own.price != theirs.price, "price"),
    ])
}

fn rule_parts(own: &Settings, theirs: &Settings) -> Vec<&'static str> {
    let ratios =
        |of: &Settings| [of.male_height_to_width, of.female_height_to_width].map(f64::to_bits);
    differing(&[
        (own.clearance != theirs.clearance, "clearance"),
        (own.edge != theirs.edge, "edge"),
        (ratios(own) != ratios(theirs), "height to width"),
        (own.least_wall != theirs.least_wall, "least wall"),
    ])
}

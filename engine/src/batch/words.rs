//! A planned batch in whole sentences: what to pull, whether it is the best there is, where the time goes.

use super::{
    BatchCost, BatchPlan, Bottleneck, Bounds, Cut, LayoutPlan, PullSteps, SheetPlan, sheet_name,
};
use crate::heat::Span;
use crate::plan::{MoldId, Plan};
use crate::units::{Amount, Seconds};

impl BatchPlan {
    /// A few words: how many pulls of how many layouts.
    #[must_use]
    pub fn title(&self) -> String {
        let (pulls, layouts) = (self.pulls(), self.n_layouts());
        let is_proved = self.sheets.iter().all(SheetPlan::is_proved);
        let proof = if is_proved { "; no way takes fewer pulls" } else { "" };
        match pulls {
            0 if self.is_stopped => "Nothing planned yet".to_owned(),
            0 => "No part of the kit finds a place on the blank".to_owned(),
            1 => "1 pull".to_owned(),
            _ if layouts == 1 => format!("{pulls} pulls of one layout{proof}"),
            _ => format!("{pulls} pulls of {layouts} layouts{proof}"),
        }
    }

    /// What there is to say beside the layouts, each a sentence.
    #[must_use]
    pub fn sentences(&self, plan: &Plan) -> Vec<String> {
        let mut said = Vec::new();
        for mold in &self.unplaceable {
            said.push(format!(
                "{} finds no place on the blank even alone, so it is not in the plan: look at its size, the margins and the platen.",
                name(plan, *mold)
            ));
        }
        for mold in &self.untried {
            said.push(format!("{} was not got to, so it is not in the plan.", name(plan, *mold)));
        }
        if self.is_stopped {
            said.push("It was stopped, so there may be better.".to_owned());
        }
        for sheet in &self.sheets {
            said.extend(sheet.sentences(plan, self.sheets.len() > 1));
        }
        said
    }
}

impl SheetPlan {
    /// What there is to say of the pulls of one sheet.
    fn sentences(&self, plan: &Plan, is_named: bool) -> Vec<String> {
        let head =
            if is_named { format!("{}: ", sheet_name(plan, self.stock)) } else { String::new() };
        let mut said = vec![format!("{head}{}", self.proof(plan))];
        if self.layouts.len() > 1 {
            said.push(if self.is_fewest_layouts {
                format!("No way of so few pulls takes fewer than {} layouts.", self.layouts.len())
            } else {
                format!(
                    "Whether so few pulls could do with fewer than {} layouts is not known.",
                    self.layouts.len()
                )
            });
        }
        let helps = |one: &&Bottleneck| one.saves > 0;
        for one in self.bottlenecks.iter().filter(helps) {
            let copies = plan.molds.get(&one.mold).map_or(0, |mold| mold.copies);
            said.push(format!(
                "One more {} mold ({} in all) saves {} of {} pulls.",
                name(plan, one.mold),
                copies.saturating_add(1),
                one.saves,
                self.pulls
            ));
        }
        if !self.bottlenecks.is_empty() && !self.bottlenecks.iter().any(|one| one.saves > 0) {
            said.push(if self.bottlenecks.iter().all(|one| one.at_best == 0) {
                "One more copy of any single mold saves no pull.".to_owned()
            } else {
                "No single further copy was found to save a pull.".to_owned()
            });
        }
        said
    }

    /// Whether fewer pulls are possible, and why not.
    fn proof(&self, plan: &Plan) -> String {
        let Bounds { mold, surface, .. } = self.bounds;
        let least = self.bounds.least();
        let pulls = self.pulls;
        if !self.is_proved() {
            return format!(
                "{pulls} pulls were found; at least {least} are needed, and whether fewer than {pulls} do is not known."
            );
        }
        match mold {
            Some((mold, alone)) if alone == least => {
                let copies = plan.molds.get(&mold).map_or(0, |mold| mold.copies);
                let wanted = self.parts.get(&mold).map_or(0, |parts| parts.wanted);
                format!(
                    "{pulls} pulls are the fewest: {wanted} of {} are wanted, and {copies} can stand in a pull.",
                    name(plan, mold)
                )
            }
            _ if surface == least => format!(
                "{pulls} pulls are the fewest: the parts with their clearances cover that many blanks."
            ),
            _ => format!(
                "{pulls} pulls are the fewest: all sets of molds that might share a blank were weighed against each other."
            ),
        }
    }
}

fn name(plan: &Plan, mold: MoldId) -> &str {
    plan.molds.get(&mold).map_or("", |mold| &mold.name)
}

impl LayoutPlan {
    /// What stands on it: `2 x Limpet, 1 x Crab shell`.
    #[must_use]
    pub fn molds_in_words(&self, plan: &Plan) -> String {
        let each = self.molds.iter().map(|(mold, n)| format!("{n} x {}", name(plan, *mold)));
        each.collect::<Vec<_>>().join(", ")
    }
}

impl BatchCost {
    /// What it costs, line by line: what, and how much.
    #[must_use]
    pub fn lines(&self, plan: &Plan) -> Vec<(String, String)> {
        let mut lines = Vec::new();
        for sheet in &self.sheets {
            let name = sheet_name(plan, sheet.stock);
            let bought = match &sheet.cut {
                Ok(cut) => bought(cut),
                Err(error) => format!("none: {error}"),
            };
            lines.push((format!("Whole sheets to buy, {name}"), bought));
            let worth = sheet.cut.as_ref().ok().and_then(|cut| cut.left_worth);
            lines.extend(
                worth.map(|worth| (format!("Worth of what is left, {name}"), worth.to_string())),
            );
            lines.push((format!("One pull, {name}"), steps(&sheet.pull)));
        }
        let each = |amount: Amount| format!("{amount}, {} a kit", amount.each(self.kits));
        lines.extend(self.plastic.map(|sum| ("Plastic".to_owned(), each(sum))));
        lines.push(("Time at the bench".to_owned(), span(self.time)));
        lines.push(("Time a kit".to_owned(), span(self.time_per_kit())));
        let range = |(least, most): (Amount, Amount)| {
            let kit = [least.each(self.kits), most.each(self.kits)];
            format!("{}, {} a kit", from_to(least, most), from_to(kit[0], kit[1]))
        };
        lines.extend(self.labour.map(|labour| ("Labour".to_owned(), range(labour))));
        lines.extend(self.total().map(|sum| ("Plastic and labour".to_owned(), range(sum))));
        lines
    }
}

/// `68.33`, or from one sum to the other.
fn from_to(least: Amount, most: Amount) -> String {
    if least == most { least.to_string() } else { format!("{least} to {most}") }
}

/// `4 min: load 60 s, heat 90 s, draw 15 s, cool 45 s, unload 30 s`.
fn steps(pull: &PullSteps) -> String {
    let each = pull.named().map(|(name, time)| format!("{name} {}", span(time)));
    format!("{}: {}", span(pull.whole()), each.join(", "))
}

/// `3 (50 blanks, 24 out of each)`.
fn bought(cut: &Cut) -> String {
    let Cut { blanks, from_offcuts, a_sheet, sheets, .. } = *cut;
    match from_offcuts {
        0 => format!("{sheets} ({blanks} blanks, {a_sheet} out of each)"),
        n => format!(
            "{sheets} ({blanks} blanks, {n} of them from offcuts, {a_sheet} out of each sheet)"
        ),
    }
}

/// `3 h 20 min`, `4 min 5 s`, or from one to the other.
fn span(Span { from, to }: Span) -> String {
    let words = |time: Seconds| {
        let minutes = libm::round(time.get() / 60.0);
        if !minutes.is_finite() {
            return "no end".to_owned();
        }
        if minutes < 60.0 {
            return time.show();
        }
        let hours = libm::floor(minutes / 60.0);
        format!("{hours} h {} min", minutes - hours * 60.0)
    };
    let (from, to) = (words(from), words(to));
    if from == to { from } else { format!("{from} to {to}") }
}

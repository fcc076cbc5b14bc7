//! Turns what a field commits into an edit, and a refusal into words in the page's own unit.

use engine::edit::{Edit, EditError, article};
use engine::moves::{self, Move};
use engine::plan::{CuttingHabits, Machine, Settings, Stock};
use engine::units::LengthStyle;

use crate::state::{Action, Notice, Store, Tone};
use crate::widgets::Committed;

/// Carries out an edit, or says under its field why not.
pub(crate) fn change(store: Store, edit: Edit) -> Committed {
    let refused = store.peek(|session| {
        let plan = session.plan();
        plan.apply(&edit).err().map(|error| refusal(&error, plan.settings.lengths))
    });
    match refused {
        Some(words) => Err(words),
        None => {
            store.dispatch(Action::Edit(edit));
            Ok(())
        }
    }
}

/// Carries out a hand move of the selection, or says under its field why not.
pub(super) fn hand(store: Store, hand: Move) -> Committed {
    store.peek(|session| {
        let plan = session.plan();
        let edit = moves::edit(plan, session.pull, &session.selection, &hand)
            .map_err(|error| format!("Not changed: {error}."))?;
        let refused = plan.apply(&edit).err();
        refused.map_or(Ok(()), |error| Err(refusal(&error, plan.settings.lengths)))
    })?;
    store.dispatch(Action::Hand(hand));
    Ok(())
}

/// Changes something of the machine.
pub(super) fn change_machine(store: Store, with: impl FnOnce(&mut Machine)) -> Committed {
    let before = store.peek(|session| session.plan().machine);
    let mut machine = before;
    with(&mut machine);
    // A platen that was as large as the opening stays so; one that was set by itself stays where it is.
    if machine.platen == before.platen && before.platen == before.opening() {
        machine.platen = machine.opening();
    }
    change(store, Edit::SetMachine(machine))
}

/// Changes something of the stock.
pub(super) fn change_stock(store: Store, with: impl FnOnce(&mut Stock)) -> Committed {
    let mut stock = store.peek(|session| session.plan().stock);
    with(&mut stock);
    change(store, Edit::SetStock(stock))
}

/// Changes something of how sheets are cut.
pub(super) fn change_cutting(store: Store, with: impl FnOnce(&mut CuttingHabits)) -> Committed {
    let mut habits = store.peek(|session| CuttingHabits::clone(&session.plan().cutting));
    with(&mut habits);
    change(store, Edit::SetCutting(Box::new(habits)))
}

/// Changes something of the rules.
pub(super) fn change_settings(store: Store, with: impl FnOnce(&mut Settings)) -> Committed {
    let mut settings = store.peek(|session| session.plan().settings);
    with(&mut settings);
    change(store, Edit::SetSettings(settings))
}

/// Tells the user that something was done.
pub(super) fn say_done(store: Store, words: impl Into<String>) {
    say(store, Tone::Done, words.into());
}

/// Tells the user that something could not be done, and that nothing was lost.
pub(super) fn say_refused(store: Store, words: impl Into<String>) {
    say(store, Tone::Refused, words.into());
}

fn say(store: Store, tone: Tone, words: String) {
    store.dispatch(Action::Say(Some(Notice { tone, words })));
}

/// Why an edit was refused, with its lengths as the page shows them.
pub(super) fn refusal(error: &EditError, style: LengthStyle) -> String {
    let show = |length| style.show_exact(length);
    let words = match *error {
        EditError::LengthOutside { what, value, least, most } => {
            let [value, least, most] = [value, least, most].map(show);
            format!("{} {what} of {value} is outside {least} to {most}", article(what))
        }
        EditError::NoOpening { width, depth } => format!(
            "the clamp lips leave {} x {} of the blank open; make them narrower",
            show(width),
            show(depth)
        ),
        EditError::RadiusTooLarge { radius, most } => format!(
            "a corner radius of {} is more than half the shorter side ({})",
            show(radius),
            show(most)
        ),
        _ => error.to_string(),
    };
    format!("Not changed: {words}.")
}

#[cfg(test)]
mod tests {
    use engine::plan::sample;
    use engine::units::Length;

    use super::*;

    #[test]
    fn a_refusal_speaks_the_unit_of_the_page() {
        let mut machine = sample().machine;
        machine.clears = Length::inches(200.0);
        let error = sample().apply(&Edit::SetMachine(machine)).expect_err("too tall");
        assert_eq!(
            refusal(&error, LengthStyle::DecimalInches),
            "Not changed: a height the machine clears of 200 in is outside 0.03937 in to 78.74016 in."
        );
        let last = EditError::CopyOutside(0);
        assert_eq!(
            refusal(&last, LengthStyle::DecimalInches),
            "Not changed: copies are numbered from 1 to 100, not 0."
        );
    }
}

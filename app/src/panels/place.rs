//! What stands on the blank, as a list, and exact numbers for what is selected.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use engine::edit::Edit;
use engine::moves::{Align, Along, Move};
use engine::order;
use engine::plan::{CopyNumber, MoldId, Placement, PlacementId, Plan, Pull, PullId};
use engine::units::{Length, LengthStyle};

use super::change::{change, hand, say_refused};
use super::pulls::Pulls;
use crate::platform::focus_next;
use crate::reactive::prelude::*;
use crate::state::{Action, Store, use_store};
use crate::widgets::{AngleField, Button, Choice, LengthField, Show, Toggle, use_lengths};

/// What the heading of the list is found by.
const HEADING: &str = "standing-title";
/// What the button is found by that stands another copy beside the selection.
const DUPLICATE: &str = "place-duplicate";

/// The list of placements, the numbers of the selected ones, and the pulls.
#[component]
pub(crate) fn Place() -> impl IntoView {
    let store = use_store();
    let selection = memo(move |_| store.with(|session| session.selection.clone()));
    let numbers = live(move || match selection.with(|s| (s.len(), s.first().copied())) {
        (0, _) | (_, None) => view! {
            <p class="panel-note">"Select a mold here or on the board to give it exact numbers."</p>
        }
        .into_any(),
        (1, Some(id)) => view! { <Numbers id/> <MoveButtons count=1/> }.into_any(),
        (count, Some(_)) => view! { <TurnAll/> <MoveButtons count/> }.into_any(),
    });
    view! {
        <div class="panel-head">
            <h2 id=HEADING tabindex="-1">"On this blank"</h2>
            <Button label="Select all" kind="quiet" press=move |()| store.dispatch(Action::SelectAll)/>
            <Button
                label="Select none"
                kind="quiet"
                press=move |()| store.dispatch(Action::Select(BTreeSet::new()))
            />
        </div>
        <Standing/>
        {numbers}
        <Pulls/>
    }
}

/// Everything that stands on the blank, each to be selected.
#[component]
fn Standing() -> impl IntoView {
    let store = use_store();
    let style = use_lengths();
    let ids = memo(move |_| {
        store.with(|session| {
            let standing = session.shown_pull().map(|pull| pull.placements.keys().copied());
            standing.into_iter().flatten().collect::<Vec<_>>()
        })
    });
    let row = move |id: PlacementId| {
        let is_selected = Signal::derive(move || store.with(|s| s.selection.contains(&id)));
        let words = Signal::derive(move || {
            store.with(|s| described(s.plan(), s.pull, id, style.get())).unwrap_or_default()
        });
        view! {
            <li>
                <Toggle
                    label=words
                    on=is_selected
                    turn=move |_| store.dispatch(Action::Toggle(id))
                    id=row_id(id)
                />
            </li>
        }
    };
    view! {
        <ul class="standing">
            <For each=move || ids.get() key=|id| *id children=row/>
        </ul>
        <p class="panel-note" hidden=move || ids.with(|ids| !ids.is_empty())>
            "Nothing stands on the blank yet. Add molds from the list of molds."
        </p>
    }
}

/// What the row of a placement is found by.
fn row_id(id: PlacementId) -> String {
    format!("standing-{}", id.0)
}

/// `3 Clam half, copy 2: 221.0 mm, 90.0 mm, turned 180.0 degrees, locked`.
fn described(plan: &Plan, pull: PullId, id: PlacementId, style: LengthStyle) -> Option<String> {
    let placement = plan.pulls.get(&pull)?.placements.get(&id)?;
    let mold = plan.molds.get(&placement.mold)?;
    let copy = if mold.copies > 1 { format!(", {}", placement.copy) } else { String::new() };
    let turn = placement.pose.turn.to_degrees();
    let turned =
        if turn.abs() < 0.05 { String::new() } else { format!(", turned {turn:.1}\u{b0}") };
    let locked = if placement.locked { ", locked" } else { "" };
    let (x, y) =
        (style.show(Length::mm(placement.pose.at.x)), style.show(Length::mm(placement.pose.at.y)));
    Some(format!("{} {}{copy}: {x}, {y}{turned}{locked}", id.0, mold.name))
}

/// The placement with this id, followed as it changes; what it was last once it is gone.
fn follow(store: Store, id: PlacementId) -> Memo<Option<Placement>> {
    memo(move |before: Option<&Option<Placement>>| {
        let now = store.with(|s| s.shown_pull().and_then(|pull| pull.placements.get(&id).copied()));
        now.or_else(|| before.copied().flatten())
    })
}

#[component]
fn Numbers(id: PlacementId) -> impl IntoView {
    let store = use_store();
    let placement = follow(store, id);
    let pose = move || placement.get().map(|p| p.pose).unwrap_or_default();
    let x = Signal::derive(move || Length::mm(pose().at.x));
    let y = Signal::derive(move || Length::mm(pose().at.y));
    let turn = Signal::derive(move || pose().turn);
    view! {
        <div class="fields">
            <LengthField
                label="From the left edge"
                value=x
                commit=move |x| hand(store, Move::To { x: Some(x), y: None })
                hint="Of the blank, to the mold's centre"
            />
            <LengthField
                label="From the front edge"
                value=y
                commit=move |y| hand(store, Move::To { x: None, y: Some(y) })
                hint="Of the blank, to the mold's centre"
            />
            <AngleField
                label="Turn"
                value=turn
                commit=move |angle| hand(store, Move::TurnTo(angle))
                hint="Counter-clockwise"
            />
            <CopyChoice id placement/>
        </div>
    }
}

/// Which of a mold's equal copies stands here; nothing for a mold of one copy.
#[component]
fn CopyChoice(id: PlacementId, placement: Memo<Option<Placement>>) -> impl IntoView {
    let store = use_store();
    let options = memo(move |_| {
        let Some(placement) = placement.get() else { return Vec::new() };
        let copies = store.with(|s| s.plan().molds.get(&placement.mold).map_or(1, |m| m.copies));
        let taken = store.with(|s| s.shown_pull().map(|pull| taken(pull, placement.mold)));
        let is_free = |copy: &CopyNumber| {
            *copy == placement.copy || !taken.as_ref().is_some_and(|taken| taken.contains(copy))
        };
        let all = (1..=copies.max(placement.copy.0)).map(CopyNumber).filter(is_free);
        all.map(|copy| (copy, copy.to_string())).collect::<Vec<_>>()
    });
    let value = Signal::derive(move || placement.get().map_or(CopyNumber(1), |p| p.copy));
    view! {
        <Show when=move || options.with(|all| all.len() > 1)>
            <Choice
                label="Copy"
                options=options
                value
                commit=move |copy| set_copy(store, id, copy)
            />
        </Show>
    }
}

fn taken(pull: &Arc<Pull>, mold: MoldId) -> BTreeSet<CopyNumber> {
    order::set(pull.placements.values().filter(|p| p.mold == mold).map(|p| p.copy))
}

/// A copy is part of what stands there, so the placement leaves and comes back as one step.
fn set_copy(store: Store, id: PlacementId, copy: CopyNumber) -> Result<(), String> {
    let edit = store.peek(|session| {
        let placement = session.shown_pull()?.placements.get(&id).copied()?;
        let back = BTreeMap::from([(id, Placement { copy, ..placement })]);
        Some(Edit::All(vec![
            Edit::TakeOff(session.pull, BTreeSet::from([id])),
            Edit::Place(session.pull, back),
        ]))
    });
    edit.map_or(Ok(()), |edit| change(store, edit))
}

#[component]
fn TurnAll() -> impl IntoView {
    let store = use_store();
    let turn = Signal::derive(move || {
        store
            .with(|session| {
                let first = session.selection.first()?;
                session.shown_pull()?.placements.get(first).map(|p| p.pose.turn)
            })
            .unwrap_or_default()
    });
    view! {
        <div class="fields">
            <AngleField
                label="Turn each to"
                value=turn
                commit=move |angle| hand(store, Move::TurnTo(angle))
                hint="About its own centre, counter-clockwise"
            />
        </div>
    }
}

/// What can be done to the selection with a press.
#[component]
fn MoveButtons(
    /// How many are selected.
    count: usize,
) -> impl IntoView {
    let store = use_store();
    let press = move |label: &'static str, what: Move| {
        let act = move |()| {
            if let Err(words) = hand(store, what) {
                say_refused(store, words);
            }
        };
        view! { <Button label press=act/> }
    };
    let is_locked = Signal::derive(move || {
        store.with(|session| {
            let pull = session.shown_pull();
            let mut selected = session.selection.iter();
            selected.all(|id| pull.is_some_and(|p| p.placements.get(id).is_some_and(|p| p.locked)))
        })
    });
    let lock = move |on| {
        if let Err(words) = hand(store, Move::Lock(on)) {
            say_refused(store, words);
        }
    };
    let spread = (count > 2).then(|| {
        view! {
            {press("Equal gaps across", Move::Spread(Along::Width))}
            {press("Equal gaps in depth", Move::Spread(Along::Depth))}
        }
    });
    let against = if count > 1 { "Line them up" } else { "Line up with the opening" };
    view! {
        <Toggle label="Locked: nothing moves it" on=is_locked turn=lock/>
        <fieldset class="moves">
            <legend>{against}</legend>
            {press("Left", Move::Align(Align::Left))}
            {press("Middle", Move::Align(Align::Middle))}
            {press("Right", Move::Align(Align::Right))}
            {press("Back", Move::Align(Align::Back))}
            {press("Centre", Move::Align(Align::Center))}
            {press("Front", Move::Align(Align::Front))}
            {spread}
        </fieldset>
        <div class="row">
            {press("Middle of the opening", Move::Centre)}
            <Button label="Duplicate" press=move |()| duplicate(store) id=DUPLICATE/>
            <Button label="Take off the blank" press=move |()| take_off(store)/>
        </div>
    }
}

/// Stands another copy beside each; the button comes back for what is selected then.
fn duplicate(store: Store) {
    match hand(store, Move::Duplicate) {
        Ok(()) => focus_next(vec![DUPLICATE.to_owned()]),
        Err(words) => say_refused(store, words),
    }
}

/// Takes the selection off the blank; the keyboard goes to the row after it, which is no row when it was the last.
fn take_off(store: Store) {
    let rows = store.peek(|session| {
        let last = session.selection.last().copied();
        let all = session.shown_pull().into_iter().flat_map(|pull| pull.placements.keys());
        let rest = all.filter(|id| !session.selection.contains(id)).copied();
        let (before, after): (Vec<_>, Vec<_>) = rest.partition(|id| Some(*id) < last);
        after.into_iter().chain(before.into_iter().rev()).map(row_id).collect::<Vec<_>>()
    });
    match hand(store, Move::TakeOff) {
        Ok(()) => focus_next(rows.into_iter().take(1).chain([HEADING.to_owned()]).collect()),
        Err(words) => say_refused(store, words),
    }
}

#[cfg(test)]
mod tests {
    use engine::plan::sample;

    use super::*;

    #[test]
    fn a_placement_is_described_by_number_name_and_place() {
        let style = LengthStyle::Millimetres;
        assert_eq!(
            described(&sample(), PullId(1), PlacementId(6), style).expect("stands there"),
            "6 Clam half, copy 2: 326.0 mm, 90.0 mm, turned 180.0\u{b0}"
        );
        assert_eq!(described(&sample(), PullId(1), PlacementId(60), style), None);
    }
}

//! What is cut and how: the sheet and the blank as they stand elsewhere, the count, snap or saw, what a cut takes.

use std::sync::Arc;

use engine::defaults::Given;
use engine::plan::{CutBy, CuttingHabits};
use engine::units::Length;

use crate::panels::change::{change_cutting, say_refused};
use crate::panels::desk::{PanelKey, use_desk};
use crate::platform::{focus, keep_further_blanks};
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::{
    Button, Committed, LengthField, MaybeLengthField, Radios, TextField, Toggle, read_count,
    use_lengths,
};

/// The fields of a cutting plan.
pub(super) fn fields(store: Store, further: RwSignal<String>) -> AnyView {
    let habits = memo(move |_| store.with(|session| session.plan().cutting.clone()));
    let style = use_lengths();
    let desk = use_desk();
    let sizes = Signal::derive(move || {
        let (sheet, blank) = store.with(|s| (s.plan().stock.sheet, s.plan().machine.blank));
        let show = |length: Length| style.get().show_exact(length);
        format!(
            "Sheet {} x {}, blank {} x {}.",
            show(sheet.width),
            show(sheet.depth),
            show(blank.width),
            show(blank.depth)
        )
    });
    let ways = vec![
        (
            false,
            "Score and snap".to_owned(),
            "Knife, shears or a scored line: nothing is lost.".to_owned(),
        ),
        (true, "Saw".to_owned(), "Each cut takes its kerf; strips may be narrow.".to_owned()),
    ];
    let is_saw = memo(move |_| habits.with(|habits| habits.by == CutBy::Saw));
    let choose = move |is_saw: bool| {
        let by = if is_saw { CutBy::Saw } else { CutBy::Snap };
        say(store, change_cutting(store, |habits| habits.by = by));
    };
    let by_way = live(move || by_way(store, habits, is_saw.get()));
    view! {
        <div class="row">
            <p>{sizes}</p>
            <Button label="Change them" press=move |()| {
                    desk.panel.set(PanelKey::Machine);
                    focus("tab-machine");
                }/>
        </div>
        <Radios label="Sheets are parted by" options=ways value=is_saw choose/>
        <div class="fields">
            <TextField
                label="Blanks wanted"
                value=Signal::derive(move || {
                    habits.with(|habits| habits.blanks_wanted).map_or_else(String::new, |n| n.to_string())
                })
                commit=move |text: String| wanted(store, &text)
                hint="Empty: as many as one sheet gives"
                given=Given::BlanksWanted
            />
            <TextField
                label="Further blanks"
                value=further
                commit=move |text: String| {
                    keep_further_blanks(&text);
                    further.set(text);
                    Ok(())
                }
                hint="From the same sheets: 8 x 10 in * 6; 5 x 7 in * 20. Kept in this browser, not in the plan"
            />
            {by_way}
            <LengthField
                label="A cut may stray by"
                value=Signal::derive(move || habits.with(|habits| habits.wander))
                commit=move |wander| change_cutting(store, |habits| habits.wander = wander)
                hint="Blanks are laid out larger by it; 0.5 to 1 mm is common practice"
                given=Given::Wander
            />
        </div>
        <Toggle
            label="Blanks may lie either way (no grain to keep to)"
            on=Signal::derive(move || habits.with(|habits| habits.may_turn))
            turn=move |may| say(store, change_cutting(store, |habits| habits.may_turn = may))
        />
    }
    .into_any()
}

/// What counts of a saw, or of a scored line.
fn by_way(store: Store, habits: Memo<Arc<CuttingHabits>>, is_saw: bool) -> AnyView {
    if is_saw {
        view! {
            <LengthField
                label="Kerf of the saw"
                value=Signal::derive(move || habits.with(|habits| habits.kerf))
                commit=move |kerf| change_cutting(store, |habits| habits.kerf = kerf)
                hint="3 to 4 mm is common"
                given=Given::Kerf
            />
        }
        .into_any()
    } else {
        view! {
            <MaybeLengthField
                label="Narrowest strip that snaps"
                value=Signal::derive(move || habits.with(|habits| habits.least_strip))
                commit=move |strip| change_cutting(store, |habits| habits.least_strip = strip)
                hint="Empty: 20 mm or ten gauges, whichever is more"
                given=Given::LeastStrip
            />
        }
        .into_any()
    }
}

fn wanted(store: Store, text: &str) -> Committed {
    let text = text.trim();
    let count = if text.is_empty() { None } else { Some(read_count(text, "40, or nothing")?) };
    change_cutting(store, |habits| habits.blanks_wanted = count)
}

fn say(store: Store, committed: Committed) {
    if let Err(words) = committed {
        say_refused(store, words);
    }
}

//! The plans of this browser: opened, named, copied and removed; new plans; and plans as files.

use engine::defaults::Given;
use engine::file::{load, save};
use engine::plan::{Machine, Plan, Size};
use engine::units::{Length, LengthStyle};

use super::change::{say_done, say_refused};
use super::intake::FileButton;
use super::keeping::{Keeper, use_keeper};
use crate::platform::{Record, download, focus_if_lost, focus_next};
use crate::reactive::prelude::*;
use crate::state::{Origin, ShelfId, Store, use_store};
use crate::widgets::{Button, Committed, LengthField, Show, TextField, use_lengths, use_voice};

/// What the heading of the list is found by.
const HEADING: &str = "plans-title";

/// The plans in this browser.
#[component]
pub(super) fn Shelf() -> impl IntoView {
    let store = use_store();
    let removed = RwSignal::new(None::<(ShelfId, Record)>);
    view! {
        <h2 id=HEADING tabindex="-1">"Plans in this browser"</h2>
        <p class="panel-note">
            "Every change is saved here at once. Nothing leaves this browser, and clearing its data clears the plans: "
            "save a file of what you would miss."
        </p>
        <PlanList removed/>
        <PutBack removed/>
        <section class="sub">
            <h2>"Files"</h2>
            <div class="row">
                <Button label="Save this plan as a file" kind="main" press=move |()| save_file(store)/>
                <FileButton label="Open a file" id="file-of-plan" accept=".json,.onepull,application/json"/>
            </div>
            <p class="panel-note">"Or drop a file anywhere on the page. A plan opens as a plan of its own; drawings, meshes and photographs become molds of this one."</p>
        </section>
        <NewPlan/>
    }
}

type Plans = Vec<(ShelfId, Record)>;

#[component]
fn PlanList(removed: RwSignal<Option<(ShelfId, Record)>>) -> impl IntoView {
    let keeper = use_keeper();
    let plans = memo(move |_| keeper.list());
    let ids = memo(move |_| {
        plans.with(|plans| plans.iter().map(|(id, _)| id.clone()).collect::<Vec<_>>())
    });
    view! {
        <ul class="plans">
            <For each=move || ids.get() key=ShelfId::clone let:id>
                <PlanRow id plans removed/>
            </For>
        </ul>
        <p class="panel-note" hidden=move || plans.with(|plans| !plans.is_empty())>
            "None yet. The sample is saved as your own plan as soon as you change something."
        </p>
    }
}

/// What a button of a plan's row is found by.
fn button_id(what: &str, id: &ShelfId) -> String {
    format!("plan-{what}-{}", id.0)
}

/// Where the keyboard goes when a plan is taken off the list: to the next, or the one before, or the heading.
fn after_removal(plans: &Plans, id: &ShelfId) -> Vec<String> {
    let at = plans.iter().position(|(other, _)| other == id);
    let next = at.and_then(|at| plans.get(at + 1).or_else(|| plans.get(at.checked_sub(1)?)));
    let next = next.map(|(id, _)| button_id("open", id));
    next.into_iter().chain([HEADING.to_owned()]).collect()
}

#[component]
fn PlanRow(
    id: ShelfId,
    plans: Memo<Plans>,
    removed: RwSignal<Option<(ShelfId, Record)>>,
) -> impl IntoView {
    let store = use_store();
    let own = id.clone();
    // What it was last, once it is taken off.
    let record = memo(move |before: Option<&Option<Record>>| {
        let now = plans.with(|all| all.iter().find(|(id, _)| *id == own).map(|(_, r)| r.clone()));
        now.or_else(|| before.cloned().flatten())
    });
    let name = Signal::derive(move || record.get().map(|record| record.name).unwrap_or_default());
    let changed = Signal::derive(move || record.get().map(|record| record.changed.day_and_time()));
    let id = StoredValue::new(id);
    let is_open = memo(move |_| {
        store.with(|s| id.with_value(|id| matches!(&s.origin, Origin::Shelf(open) if open == id)))
    });
    view! {
        <li class="plan" class:plan-open=is_open>
            <div class="plan-words">
                <h3>{name}</h3>
                <p>
                    {changed}
                    {move || is_open.get().then_some(", open")}
                </p>
            </div>
            <PlanButtons id name is_open plans removed/>
        </li>
    }
}

#[component]
fn PlanButtons(
    id: StoredValue<ShelfId>,
    #[prop(into)] name: Signal<String>,
    is_open: Memo<bool>,
    plans: Memo<Plans>,
    removed: RwSignal<Option<(ShelfId, Record)>>,
) -> impl IntoView {
    let keeper = use_keeper();
    let is_renaming = RwSignal::new(false);
    let button = move |what| id.with_value(|id| button_id(what, id));
    let rename = move |name: String| -> Committed {
        id.with_value(|id| keeper.rename(id, name))?;
        is_renaming.set(false);
        focus_if_lost(button("rename"));
        Ok(())
    };
    let remove = move |()| {
        let id = id.get_value();
        let next = plans.with_untracked(|plans| after_removal(plans, &id));
        if let Some(record) = keeper.remove(&id) {
            focus_next(next);
            removed.set(Some((id, record)));
        }
    };
    let spoken = move |verb: &'static str| Signal::derive(move || format!("{verb} {}", name.get()));
    view! {
        <div class="row">
            <Button
                label="Open"
                spoken=spoken("Open")
                press=move |()| id.with_value(|id| keeper.open(id))
                disabled=is_open
                id=button("open")
            />
            <Button
                label="Rename"
                spoken=spoken("Rename")
                press=move |()| is_renaming.update(|on| *on = !*on)
                id=button("rename")
            />
            <Button
                label="Duplicate"
                spoken=spoken("Duplicate")
                press=move |()| id.with_value(|id| keeper.duplicate(id))
            />
            <Button label="Delete" spoken=spoken("Delete") press=remove/>
        </div>
        <Show when=move || is_renaming.get()>
            <TextField label="New name" value=name commit=rename/>
        </Show>
    }
}

/// Brings back what was deleted last, as long as the panel is open.
#[component]
fn PutBack(removed: RwSignal<Option<(ShelfId, Record)>>) -> impl IntoView {
    let keeper = use_keeper();
    let words = Signal::derive(move || {
        let name = removed.with(|r| r.as_ref().map(|(_, record)| record.name.clone()));
        name.map(|name| format!("{name} is deleted.")).unwrap_or_default()
    });
    use_voice().follow(move || words.get());
    let undo = move |()| {
        if let Some((id, record)) = removed.get_untracked() {
            keeper.put_back(&id, &record);
            removed.set(None);
            focus_next(vec![button_id("open", &id)]);
        }
    };
    view! {
        <div class="warning row" hidden=move || removed.with(Option::is_none)>
            <p>{words}</p>
            <Button label="Bring it back" press=undo/>
        </div>
    }
}

/// Opens the text of a file as a plan of its own; one that does not open changes nothing.
pub(super) fn open_text(store: Store, keeper: Keeper, name: &str, text: Result<String, String>) {
    let plan =
        text.and_then(|text| load(&text).map_err(|e| format!("{name} was not opened: {e}.")));
    match plan {
        Ok(plan) => {
            let words = format!("{} is open, from {name}.", plan.name);
            keeper.open_new(plan);
            say_done(store, words);
        }
        Err(words) => say_refused(store, words),
    }
}

/// Hands the open plan to the user as a file.
pub(crate) fn save_file(store: Store) {
    let (name, text) = store.peek(|s| (format!("{}.onepull.json", s.plan().name), save(s.plan())));
    match download(&name, "application/json", text.as_bytes()) {
        Ok(()) => say_done(store, format!("{name} is saved with your downloads.")),
        Err(words) => say_refused(store, words),
    }
}

/// What a new plan is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Wanted {
    width: Length,
    depth: Length,
    lip: Length,
}

/// A new plan, from three lengths.
#[component]
fn NewPlan() -> impl IntoView {
    let store = use_store();
    let keeper = use_keeper();
    let style = use_lengths();
    let usual = Machine::default();
    let wanted = RwSignal::new(Wanted {
        width: usual.blank.width,
        depth: usual.blank.depth,
        lip: usual.lip.front,
    });
    let set = move |with: fn(&mut Wanted, Length)| {
        move |length: Length| {
            let mut next = wanted.get_untracked();
            with(&mut next, length);
            new_plan(next, style.get_untracked())?;
            wanted.set(next);
            Ok(())
        }
    };
    let make = move |()| match new_plan(wanted.get_untracked(), style.get_untracked()) {
        Ok(plan) => {
            keeper.open_new(plan);
            say_done(store, "A new plan is open. Add your molds under Molds.");
        }
        Err(words) => say_refused(store, words),
    };
    view! {
        <section class="sub">
            <h2>"New plan"</h2>
            <p class="panel-note">"Three lengths of your machine are enough to begin; the rest is under Machine."</p>
            <div class="fields">
                <LengthField
                    label="Blank width, left to right"
                    value=Signal::derive(move || wanted.get().width)
                    commit=set(|wanted, length| wanted.width = length)
                    given=Given::BlankWidth
                />
                <LengthField
                    label="Blank depth, front to back"
                    value=Signal::derive(move || wanted.get().depth)
                    commit=set(|wanted, length| wanted.depth = length)
                    given=Given::BlankDepth
                />
                <LengthField
                    label="Clamp lip"
                    value=Signal::derive(move || wanted.get().lip)
                    commit=set(|wanted, length| wanted.lip = length)
                    hint="What the frame covers on each side"
                    given=Given::ClampLip
                />
            </div>
            <div class="row">
                <Button label="Start a new plan" press=make/>
            </div>
        </section>
    }
}

/// An empty plan for the machine asked for, checked like any other edit.
fn new_plan(wanted: Wanted, style: LengthStyle) -> Result<Plan, String> {
    let clears = Machine::default().clears;
    let blank = Size::new(wanted.width, wanted.depth);
    let machine = Machine::with_lip(blank, wanted.lip, clears);
    let mut plan = Plan::new("New plan", Machine::default());
    plan.settings.lengths = style;
    plan.apply(&engine::edit::Edit::SetMachine(machine))
        .map_err(|error| super::change::refusal(&error, style))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_lengths_make_a_plan() {
        let wanted =
            Wanted { width: Length::mm(400.0), depth: Length::mm(300.0), lip: Length::mm(20.0) };
        let plan = new_plan(wanted, LengthStyle::DecimalInches).expect("makes sense");
        assert_eq!(plan.machine.opening().width(), Length::mm(360.0));
        assert_eq!(plan.machine.platen, plan.machine.opening());
        assert_eq!(plan.settings.lengths, LengthStyle::DecimalInches);
        assert!(plan.molds.is_empty());
    }

    #[test]
    fn lips_that_leave_no_opening_are_refused() {
        let wanted =
            Wanted { width: Length::mm(100.0), depth: Length::mm(100.0), lip: Length::mm(50.0) };
        let words = new_plan(wanted, LengthStyle::Millimetres).expect_err("no opening");
        assert!(words.contains("clamp lips leave 0 mm x 0 mm"), "{words}");
    }
}

//! The mold shelf: molds kept in this browser, at hand in every plan.

mod keeper;

pub(super) use keeper::use_mold_keeper;
pub(crate) use keeper::{MoldKeeper, provide_mold_keeper};

use crate::panels::intake::FileButton;
use crate::panels::molds::{RegionPicture, measures, region_for_picture};
use crate::platform::{KeptId, focus_if_lost, focus_next};
use crate::reactive::prelude::*;
use crate::widgets::{Button, Committed, Show, TextField, use_lengths, use_voice};
use keeper::Kept;

/// What the heading of the shelf is found by.
const HEADING: &str = "mold-shelf-title";

/// The molds on the shelf.
#[component]
pub(super) fn MoldShelf() -> impl IntoView {
    let keeper = use_mold_keeper();
    let molds = memo(move |_| keeper.list());
    let removed = RwSignal::new(None::<Kept>);
    let ids =
        memo(move |_| molds.with(|all| all.iter().map(|kept| kept.id.clone()).collect::<Vec<_>>()));
    let is_empty = Signal::derive(move || molds.with(Vec::is_empty));
    view! {
        <section class="sub mold-shelf" aria-labelledby=HEADING>
            <h2 id=HEADING tabindex="-1">"Mold shelf"</h2>
            <p class="panel-note">
                "Molds kept here are at hand in every plan of this browser. A mold of this plan is put here by "
                <strong>"Keep on the shelf"</strong> ", under Change."
            </p>
            <ul class="molds">
                <For each=move || ids.get() key=KeptId::clone let:id>
                    <ShelfRow id molds removed/>
                </For>
            </ul>
            <PutBack removed/>
            <div class="row">
                <Button label="Export the shelf" press=move |()| keeper.export() disabled=is_empty/>
                <FileButton label="Import molds" id="molds-from-shelf" accept=".json,application/json"/>
            </div>
        </section>
    }
}

/// What a button of a mold's row is found by.
fn button_id(what: &str, id: &KeptId) -> String {
    format!("kept-{what}-{}", id.0)
}

/// Where the keyboard goes when a mold is taken off: to the next, or the one before, or the heading.
fn after_removal(molds: &[Kept], id: &KeptId) -> Vec<String> {
    let at = molds.iter().position(|kept| kept.id == *id);
    let next = at.and_then(|at| molds.get(at + 1).or_else(|| molds.get(at.checked_sub(1)?)));
    let next = next.map(|kept| button_id("put", &kept.id));
    next.into_iter().chain([HEADING.to_owned()]).collect()
}

#[component]
fn ShelfRow(id: KeptId, molds: Memo<Vec<Kept>>, removed: RwSignal<Option<Kept>>) -> impl IntoView {
    let style = use_lengths();
    let own = id.clone();
    // What it was last, once it is taken off.
    let kept = memo(move |before: Option<&Option<Kept>>| {
        let now = molds.with(|all| all.iter().find(|kept| kept.id == own).cloned());
        now.or_else(|| before.cloned().flatten())
    });
    let read = move |with: fn(&Kept) -> String| {
        Signal::derive(move || kept.with(|kept| kept.as_ref().map(with).unwrap_or_default()))
    };
    let name = read(|kept| kept.mold.name.clone());
    let region = memo(move |_| {
        kept.with(|kept| kept.as_ref().map(|kept| region_for_picture(&kept.mold)))
            .unwrap_or_default()
    });
    let size =
        move || kept.with(|kept| kept.as_ref().map(|kept| measures(&kept.mold, style.get())));
    let from = read(|kept| format!("From {}, {}", kept.record.source, kept.record.kept.day()));
    view! {
        <li class="mold">
            <div class="mold-row">
                <RegionPicture region/>
                <div class="mold-words">
                    <h3>{name}</h3>
                    <p>{size}</p>
                    <p>{from}</p>
                </div>
                <RowButtons id kept name molds removed/>
            </div>
        </li>
    }
}

#[component]
fn RowButtons(
    id: KeptId,
    kept: Memo<Option<Kept>>,
    #[prop(into)] name: Signal<String>,
    molds: Memo<Vec<Kept>>,
    removed: RwSignal<Option<Kept>>,
) -> impl IntoView {
    let keeper = use_mold_keeper();
    let id = StoredValue::new(id);
    let is_renaming = RwSignal::new(false);
    let button = move |what| id.with_value(|id| button_id(what, id));
    let spoken = move |verb: &'static str| Signal::derive(move || format!("{verb} {}", name.get()));
    let put = move |()| {
        if let Some(kept) = kept.get_untracked() {
            keeper.put_into_plan(&kept.mold);
        }
    };
    let rename = move |name: String| -> Committed {
        if let Some(kept) = kept.get_untracked() {
            keeper.rename(&kept, &name)?;
        }
        is_renaming.set(false);
        focus_if_lost(button("rename"));
        Ok(())
    };
    let remove = move |()| {
        let next = molds.with_untracked(|all| id.with_value(|id| after_removal(all, id)));
        if let Some(kept) = kept.get_untracked() {
            keeper.remove(&kept.id);
            removed.set(Some(kept));
            focus_next(next);
        }
    };
    view! {
        <div class="mold-buttons">
            <Button
                label="Put into this plan"
                spoken=Signal::derive(move || format!("Put into this plan: {}", name.get()))
                press=put
                id=button("put")
            />
            <div class="row">
                <Button
                    label="Rename"
                    spoken=spoken("Rename")
                    press=move |()| is_renaming.update(|on| *on = !*on)
                    id=button("rename")
                />
                <Button label="Remove" spoken=spoken("Remove") press=remove/>
            </div>
        </div>
        <Show when=move || is_renaming.get()>
            <div class="kept-rename">
                <TextField label="New name" value=name commit=rename/>
            </div>
        </Show>
    }
}

/// Brings back what was removed last, as long as the panel is open.
#[component]
fn PutBack(removed: RwSignal<Option<Kept>>) -> impl IntoView {
    let keeper = use_mold_keeper();
    let words = Signal::derive(move || {
        let name = removed.with(|kept| kept.as_ref().map(|kept| kept.mold.name.clone()));
        name.map(|name| format!("{name} is taken off the shelf.")).unwrap_or_default()
    });
    use_voice().follow(move || words.get());
    let undo = move |()| {
        if let Some(kept) = removed.get_untracked() {
            keeper.put_back(&kept);
            removed.set(None);
            focus_next(vec![button_id("put", &kept.id)]);
        }
    };
    view! {
        <div class="warning row" hidden=move || removed.with(Option::is_none)>
            <p>{words}</p>
            <Button label="Put it back" press=undo/>
        </div>
    }
}

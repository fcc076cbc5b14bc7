//! The molds at hand: a list, each with its figures, and the form of the one that is being changed.

mod figures;
mod footprint_fields;
mod form;
mod free_place;
mod kinds;
mod outline_board;
mod outline_edit;
mod outline_fields;
mod picture;
mod relief_fields;
mod steady;

use std::collections::BTreeMap;
use std::ops::Bound;
use std::sync::Arc;

use engine::edit::Edit;
use engine::geometry::Pose;
use engine::plan::{Footprint, Mold, MoldId, Placement, Plan, PullId};
use engine::units::{Angle, Length, LengthStyle};

use super::change::{change, say_done, say_refused};
use super::desk::use_desk;
use super::intake::FileButton;
use super::mold_shelf::{MoldShelf, use_mold_keeper};
use crate::platform::focus_next;
use crate::reactive::prelude::*;
use crate::state::{Store, use_store};
use crate::widgets::{Button, Show, Voice, use_lengths, use_voice};
use form::MoldForm;
use free_place::free_place;
use kinds::size_of;
use picture::MoldPicture;
pub(super) use picture::{RegionPicture, box_of, path, region_for_picture};

/// What the heading of the list is found by.
const HEADING: &str = "molds-title";

/// The files that drawings and meshes come in.
const DRAWINGS: &str = ".svg,.dxf,.stl,.obj,.3mf,image/svg+xml,model/stl,model/obj,model/3mf";

/// The list of molds.
#[component]
pub(crate) fn Molds() -> impl IntoView {
    let store = use_store();
    let ids = memo(move |_| {
        store.with(|session| session.plan().molds.keys().copied().collect::<Vec<_>>())
    });
    view! {
        <div class="panel-head molds-head">
            <h2 id=HEADING tabindex="-1">"Molds"</h2>
            <Button label="Add a mold" press=move |()| add_mold(store)/>
            <FileButton label="Add molds from a file" id="molds-from-file" accept=DRAWINGS/>
            <FileButton label="Trace a photo" id="molds-from-photo" accept="image/*"/>
        </div>
        <p class="panel-note" hidden=move || ids.with(|ids| !ids.is_empty())>
            "No molds yet. Add one, give it its measures, then add it to the blank."
        </p>
        <ul class="molds">
            <For each=move || ids.get() key=|id| *id let:id>
                <MoldRow id/>
            </For>
        </ul>
        <MoldShelf/>
    }
}

/// The mold with this id, followed as it changes; what it was last once it is removed.
fn follow(store: Store, id: MoldId) -> Memo<Arc<Mold>> {
    memo(move |before: Option<&Arc<Mold>>| {
        let now = store.with(|session| session.plan().molds.get(&id).map(Arc::clone));
        now.or_else(|| before.map(Arc::clone)).unwrap_or_else(|| Arc::new(new_mold("Mold")))
    })
}

#[component]
fn MoldRow(id: MoldId) -> impl IntoView {
    let store = use_store();
    let desk = use_desk();
    let keeper = use_mold_keeper();
    let voice = use_voice();
    let style = use_lengths();
    let mold = follow(store, id);
    let is_open = memo(move |_| desk.mold.get() == Some(id));
    let standing = move || store.with(|s| standing(s.plan(), s.pull, id));
    let name = Signal::derive(move || mold.with(|mold| mold.name.clone()));
    let spoken = Signal::derive(move || format!("Add to blank: {}", name.get()));
    let form_id = format!("mold-form-{}", id.0);
    let controls = form_id.clone();
    view! {
        <li class="mold" class:mold-open=is_open>
            <div class="mold-row">
                <MoldPicture mold/>
                <div class="mold-words">
                    <h3>{name}</h3>
                    <p>{move || mold.with(|mold| measures(mold, style.get()))}</p>
                    <p>{move || mold.with(|mold| counted(standing(), mold.copies))}</p>
                </div>
                <div class="mold-buttons">
                    <Button label="Add to blank" spoken=spoken press=move |()| stand(store, voice, id)/>
                    <button
                        type="button"
                        id=change_id(id)
                        class="button button-plain"
                        aria-expanded=move || if is_open.get() { "true" } else { "false" }
                        aria-controls=controls
                        on:click=move |_| desk.mold.set((!is_open.get_untracked()).then_some(id))
                    >
                        {move || if is_open.get() { "Done" } else { "Change" }}
                        <span class="unseen">{move || format!(" {}", name.get())}</span>
                    </button>
                </div>
            </div>
            <div id=form_id>
                <Show when=move || is_open.get()>
                    <MoldForm id mold/>
                    <div class="row">
                        <Button label="Duplicate" press=move |()| duplicate(store, id)/>
                        <Button
                            label="Keep on the shelf"
                            press=move |()| keeper.keep(&mold.get_untracked())
                        />
                        <Button label="Remove" press=move |()| remove(store, id)/>
                    </div>
                </Show>
            </div>
        </li>
    }
}

/// What the button is found by that opens and closes the form of a mold.
pub(super) fn change_id(id: MoldId) -> String {
    format!("mold-change-{}", id.0)
}

/// How many copies of a mold stand on the blank.
fn standing(plan: &Plan, pull: PullId, mold: MoldId) -> usize {
    let placements = plan.pulls.get(&pull).into_iter().flat_map(|pull| pull.placements.values());
    placements.filter(|placement| placement.mold == mold).count()
}

fn counted(standing: usize, copies: u32) -> String {
    format!("{standing} of {copies} on the blank")
}

/// `ellipse 64 x 52 mm, 22 mm tall`.
pub(super) fn measures(mold: &Mold, style: LengthStyle) -> String {
    let size = size_of(&mold.footprint);
    // A line never ends between a figure and its unit.
    let [width, depth, height] =
        [size.width, size.depth, mold.height].map(|l| style.show(l).replace(' ', "\u{a0}"));
    format!("{}, {width}\u{a0}x {depth}, {height}\u{a0}tall", mold.footprint.kind_name())
}

fn new_mold(name: &str) -> Mold {
    let footprint = Footprint::Rectangle { width: Length::mm(60.0), depth: Length::mm(40.0) };
    Mold::new(name, footprint, Length::mm(20.0))
}

fn add_mold(store: Store) {
    let id = store.peek(|session| session.plan().free_mold_id());
    add(store, id, new_mold(&format!("Mold {}", id.0)));
}

fn duplicate(store: Store, id: MoldId) {
    let twin = store.peek(|session| {
        let plan = session.plan();
        let name = |mold: &Mold| shortened(&format!("{} copy", mold.name));
        let twin = plan.molds.get(&id).map(|mold| Mold { name: name(mold), ..(**mold).clone() });
        twin.map(|twin| (plan.free_mold_id(), twin))
    });
    if let Some((free, twin)) = twin {
        add(store, free, twin);
    }
}

/// A name within its limit; a copy of a copy of a long name would be refused otherwise.
fn shortened(name: &str) -> String {
    name.chars().take(engine::plan::limits::NAME_CHARS).collect()
}

fn add(store: Store, id: MoldId, mold: Mold) {
    let name = mold.name.clone();
    match change(store, Edit::AddMold(id, Box::new(mold))) {
        Ok(()) => {
            use_desk().mold.set(Some(id));
            focus_next(vec![change_id(id)]);
            say_done(store, format!("{name} is added to the list. Give it its measures."));
        }
        Err(words) => say_refused(store, words),
    }
}

fn remove(store: Store, id: MoldId) {
    let name = store.peek(|s| s.plan().molds.get(&id).map(|mold| mold.name.clone()));
    let neighbour = store.peek(|session| {
        let molds = &session.plan().molds;
        let next = molds.range((Bound::Excluded(id), Bound::Unbounded)).next();
        next.or_else(|| molds.range(..id).next_back()).map(|(neighbour, _)| change_id(*neighbour))
    });
    match change(store, Edit::RemoveMold(id)) {
        Ok(()) => {
            focus_next(neighbour.into_iter().chain([HEADING.to_owned()]).collect());
            say_done(
                store,
                format!("{} is removed. Undo brings it back.", name.unwrap_or_default()),
            );
        }
        Err(words) => say_refused(store, words),
    }
}

/// Stands another copy of a mold on the blank.
fn stand(store: Store, voice: Voice, id: MoldId) {
    let edit = store.peek(|session| {
        let (plan, pull) = (session.plan(), session.pull);
        let (mold, on) = (plan.molds.get(&id)?, plan.pulls.get(&pull)?);
        let at = free_place(plan, on, mold);
        let copy = plan.free_copy(pull, id);
        let pose = Pose::new(at, Angle::ZERO);
        let placement = Placement { mold: id, copy, pose, locked: false };
        Some(Edit::Place(pull, BTreeMap::from([(on.free_placement_id(), placement)])))
    });
    match edit.map(|edit| change(store, edit)) {
        Some(Ok(())) => {
            let name = store.peek(|s| s.plan().molds.get(&id).map(|mold| mold.name.clone()));
            // The board shows it; whoever does not see that hears it.
            voice.say(&format!("{} is on the blank.", name.unwrap_or_default()));
        }
        Some(Err(words)) => say_refused(store, words),
        None => {}
    }
}

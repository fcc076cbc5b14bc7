//! The dialog of a foreign file: how far it is, what was found, and which of it is to be added.

use works::FileRead;

use super::coming::Stage;
use super::door::{Waiting, use_intake};
use super::file::{FileIntake, found_words};
use super::mesh::MeshFields;
use super::picks::PickList;
use super::scale::ScaleFields;
use crate::reactive::prelude::*;
use crate::widgets::{Button, Dialog, Show};

/// Molds from a drawing or a mesh.
#[component]
pub(crate) fn FileDialog() -> impl IntoView {
    let intake = use_intake().files;
    let is_read = memo(move |_| intake.read.with(Option::is_some));
    let has_some = memo(move |_| intake.coming.picks.0.with(|picks| !picks.is_empty()));
    let is_drawing = memo(move |_| {
        intake.read.with(|read| read.as_ref().is_some_and(|read| read.mesh.is_none()))
    });
    view! {
        <Dialog title="Molds from a file" open=intake.coming.is_open>
            <p class="intake-name">{move || heading(intake)}</p>
            <Waiting/>
            <Working intake/>
            <Failed intake/>
            <Show when=move || is_read.get()>
                <Problems intake/>
                <Show when=move || has_some.get()>
                    <ScaleFields intake/>
                    <Show when=move || !is_drawing.get()>
                        <MeshFields intake/>
                    </Show>
                    <PickList picks=intake.coming.picks has_heights=is_drawing/>
                    <AddRow intake/>
                </Show>
            </Show>
        </Dialog>
    }
}

/// `shells.svg: an SVG drawing. 3 outlines found.`
fn heading(intake: FileIntake) -> String {
    let name = intake.coming.name.get();
    let says = |read: &FileRead| {
        let found = found_words(read.shapes.len(), read.mesh.is_some());
        let more = match read.n_more {
            0 => String::new(),
            n => format!(" {n} smaller ones are left out: a plan holds 200 molds."),
        };
        format!("{name}: {}. {found}{more}", read.kind)
    };
    intake.read.with(|read| read.as_deref().map_or_else(|| name.clone(), says))
}

#[component]
fn Working(intake: FileIntake) -> impl IntoView {
    let words = move || match intake.coming.stage.get() {
        Stage::Working(words) => Some(words),
        Stage::Failed(_) | Stage::Open => None,
    };
    let is_working = memo(move |_| words().is_some());
    view! {
        <Show when=move || is_working.get()>
            <div class="progress">
                <p>{words} "\u{2026}"</p>
                <progress aria-label="At work"></progress>
                <div class="row">
                    <Button label="Cancel" press=move |()| intake.coming.is_open.set(false)/>
                </div>
            </div>
        </Show>
    }
}

#[component]
fn Failed(intake: FileIntake) -> impl IntoView {
    let words = move || match intake.coming.stage.get() {
        Stage::Failed(words) => Some(words),
        Stage::Working(_) | Stage::Open => None,
    };
    let has_failed = memo(move |_| words().is_some());
    view! {
        <Show when=move || has_failed.get()>
            <div class="warning">
                <p>{words}</p>
                <p>"Nothing was changed. Close this and choose another file."</p>
            </div>
        </Show>
    }
}

/// What was wrong with the file, each with its place.
#[component]
fn Problems(intake: FileIntake) -> impl IntoView {
    let problems = memo(move |_| {
        intake.read.with(|read| read.as_ref().map(|read| read.problems.clone()).unwrap_or_default())
    });
    let count = Signal::derive(move || match problems.with(Vec::len) {
        1 => "One thing to know about the file".to_owned(),
        n => format!("{n} things to know about the file"),
    });
    let line = |words| view! { <li>{words}</li> };
    view! {
        <div class="warning problems" hidden=move || problems.with(Vec::is_empty)>
            <p><strong>{count}</strong></p>
            <ul tabindex="0" aria-label="What is to know">{move || problems.get().into_iter().map(line).collect_view()}</ul>
        </div>
    }
}

#[component]
fn AddRow(intake: FileIntake) -> impl IntoView {
    let label = Signal::derive(move || match intake.coming.picks.n_chosen() {
        1 => "Add one mold".to_owned(),
        n => format!("Add {n} molds"),
    });
    let is_working = move || matches!(intake.coming.stage.get(), Stage::Working(_));
    let cannot = Signal::derive(move || is_working() || intake.coming.picks.n_chosen() == 0);
    view! {
        <div class="dialog-foot">
            <p class="field-error" hidden=move || intake.coming.refused.with(Option::is_none)>
                {move || intake.coming.refused.get()}
            </p>
            <div class="row">
                <Button label kind="main" press=move |()| intake.add() disabled=cannot/>
                <p class="panel-note">"One step: Undo takes all of them back."</p>
            </div>
        </div>
    }
}

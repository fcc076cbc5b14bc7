//! The head of the page: the plan's name, the pull on the board, undo, and how the plan is kept.

use engine::edit::Edit;

use crate::panels::{Kept, PullChoice, change, save_file, use_desk, use_keeper};
use crate::platform::StorageTrouble;
use crate::reactive::prelude::*;
use crate::state::{Action, use_store};
use crate::widgets::{Button, Show, TextField, use_voice};

/// The head of the page.
#[component]
pub(super) fn Header() -> impl IntoView {
    let store = use_store();
    let desk = use_desk();
    let name = memo(move |_| store.with(|session| session.plan().name.clone()));
    let cannot_undo = move || !store.with(|session| session.history.can_undo());
    let cannot_redo = move || !store.with(|session| session.history.can_redo());
    let voice = use_voice();
    let step = move |action, words| {
        store.dispatch(action);
        voice.say(words);
    };
    view! {
        <header class="head" id="head">
            <h1 class="brand"><Mark/> "Onepull"</h1>
            <TextField label="Plan" value=name commit=move |name| change(store, Edit::Rename(name))/>
            <PullChoice/>
            <div class="head-steps">
                <Button
                    label="Undo"
                    press=move |()| step(Action::Undo, "One step back.")
                    disabled=Signal::derive(cannot_undo)
                />
                <Button
                    label="Redo"
                    press=move |()| step(Action::Redo, "One step forward again.")
                    disabled=Signal::derive(cannot_redo)
                />
            </div>
            <SaveState/>
            <div class="head-help">
                <Button label="Search" press=move |()| desk.search.set(true)/>
                <Button label="Help" press=move |()| desk.help.set(true)/>
            </div>
        </header>
    }
}

/// The sign of the page: a mold under a drawn sheet.
#[component]
fn Mark() -> impl IntoView {
    view! {
        <svg class="brand-mark" viewBox="0 0 24 24" aria-hidden="true">
            <path class="brand-mold" d="M8 19V12a4 4 0 0 1 8 0v7z"/>
            <path class="brand-sheet" d="M2 19h2.5c1.6 0 1.5-2 1.5-4v-3a6 6 0 0 1 12 0v3c0 2-.1 4 1.5 4H22"/>
        </svg>
    }
}

/// How the open plan is kept, in words.
#[component]
fn SaveState() -> impl IntoView {
    let keeper = use_keeper();
    let words = Signal::derive(move || match keeper.kept() {
        Kept::Sample => "Sample: saved once changed".to_owned(),
        Kept::Saved => "Saved in this browser".to_owned(),
        Kept::Shared => "Shared pull: not saved".to_owned(),
        Kept::Trouble(StorageTrouble::Full) => "Not saved: storage is full".to_owned(),
        Kept::Trouble(StorageTrouble::Unavailable) => "Not saved: no storage".to_owned(),
    });
    let is_trouble = Signal::derive(move || matches!(keeper.kept(), Kept::Trouble(_)));
    let store = use_store();
    view! {
        <p class="save-state" class:save-trouble=is_trouble>
            {words} " "
            <Show when=is_trouble>
                <Button label="Save as a file" press=move |()| save_file(store)/>
            </Show>
        </p>
    }
}

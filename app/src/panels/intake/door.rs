//! The one door for files: told apart by name and by how they begin, and sent to who can read them.

use std::collections::VecDeque;

use engine::file::{is_log, is_shelf};
use engine::intake::Kind;
use leptos::ev::Event;

use super::file::FileIntake;
use super::photo::PhotoIntake;
use crate::panels::bench::{Bench, use_bench};
use crate::panels::change::say_refused;
use crate::panels::keeping::{Keeper, use_keeper};
use crate::panels::mold_shelf::{MoldKeeper, use_mold_keeper};
use crate::panels::shelf::open_text;
use crate::platform::{PickedFile, chosen_files};
use crate::reactive::prelude::*;
use crate::state::{Store, use_store};

/// What can be taken in; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Intake {
    /// Drawings and meshes.
    pub(in crate::panels) files: FileIntake,
    /// Photographs.
    pub(in crate::panels) photos: PhotoIntake,
    /// The mold shelf.
    shelf: MoldKeeper,
    /// The log of pulls.
    bench: Bench,
    /// Files that wait until the dialog before them is closed.
    waiting: RwSignal<Local<VecDeque<PickedFile>>>,
}

impl Intake {
    /// Whether a dialog lies open.
    fn is_busy(self) -> bool {
        self.files.coming.is_open.get_untracked() || self.photos.coming.is_open.get_untracked()
    }
}

/// Puts the door in reach of the page and its panels.
pub(crate) fn provide_intake(store: Store, keeper: Keeper) -> Intake {
    let intake = Intake {
        files: FileIntake::new(store),
        photos: PhotoIntake::new(store),
        shelf: use_mold_keeper(),
        bench: use_bench(),
        waiting: RwSignal::new(Local::new(VecDeque::new())),
    };
    provide_context(intake);
    Effect::watch(
        move || intake.files.coming.is_open.get() || intake.photos.coming.is_open.get(),
        move |is_open, _, _| {
            if !is_open {
                take_next(store, keeper, intake);
            }
        },
        false,
    );
    intake
}

/// The door of the page; a page without one is a bug with this name.
pub(super) fn use_intake() -> Intake {
    expect_context::<Intake>()
}

/// Who reads a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reader {
    /// It is a plan of our own.
    Plan,
    /// It is a drawing or a mesh.
    Foreign,
    /// It is a photograph.
    Photo,
    /// Nobody reads it.
    Nobody,
}

/// Who reads a file of this name that begins like this; what it is comes before what it is called.
fn reader(name: &str, media: &str, beginning: &[u8]) -> Reader {
    let is_webp = beginning.starts_with(b"RIFF") && beginning.get(8..12) == Some(b"WEBP");
    let is_picture = beginning.starts_with(b"\x89PNG") || beginning.starts_with(b"\xff\xd8\xff");
    let text = beginning.strip_prefix(b"\xef\xbb\xbf").unwrap_or(beginning);
    let first = text.iter().find(|byte| !byte.is_ascii_whitespace());
    let end = name.rsplit_once('.').map(|(_, end)| end.to_ascii_lowercase());
    let is_named_plan = matches!(end.as_deref(), Some("json" | "onepull"));
    if is_picture || is_webp {
        Reader::Photo
    } else if first == Some(&b'{') || is_named_plan {
        Reader::Plan
    } else if Kind::of(name, beginning).is_some() {
        Reader::Foreign
    } else if media.starts_with("image/") {
        Reader::Photo
    } else {
        Reader::Nobody
    }
}

/// Takes files in, one after another: a plan is opened, anything else shown in a dialog first, and the next file waits
/// until that is closed. What cannot be read is told.
pub(crate) fn take_files(store: Store, keeper: Keeper, intake: Intake, files: Vec<PickedFile>) {
    intake.waiting.update(|waiting| waiting.extend(files));
    take_next(store, keeper, intake);
}

fn take_next(store: Store, keeper: Keeper, intake: Intake) {
    if intake.is_busy() {
        return;
    }
    let Some(file) = intake.waiting.try_update(|waiting| waiting.pop_front()).flatten() else {
        return;
    };
    let known = file.clone();
    known.beginning(move |beginning| {
        let name = file.name();
        match reader(&name, &file.media(), &beginning) {
            Reader::Plan => file.text(move |text| {
                match text {
                    Ok(text) if is_log(&text) => intake.bench.import(&name, &text),
                    Ok(text) if is_shelf(&text) => intake.shelf.import(&name, &text),
                    text => open_text(store, keeper, &name, text),
                }
                take_next(store, keeper, intake);
            }),
            Reader::Foreign => intake.files.begin(file),
            Reader::Photo => intake.photos.begin(file),
            Reader::Nobody => {
                let words = format!(
                    "{name} was not opened: it is no saved plan, no SVG or DXF drawing, no STL, OBJ or 3MF mesh and no picture."
                );
                say_refused(store, words);
                take_next(store, keeper, intake);
            }
        }
    });
}

/// How many files wait behind the one in the dialog, in words; nothing when none does.
#[component]
pub(super) fn Waiting() -> impl IntoView {
    let waiting = use_intake().waiting;
    let words = Signal::derive(move || match waiting.with(|waiting| waiting.len()) {
        0 => String::new(),
        1 => "One more file comes after this one.".to_owned(),
        n => format!("{n} more files come after this one."),
    });
    view! { <p class="panel-note" hidden=move || waiting.with(|waiting| waiting.is_empty())>{words}</p> }
}

/// A button that opens the browser's list of files; what is chosen comes in by the one door.
#[component]
pub(in crate::panels) fn FileButton(
    label: &'static str,
    id: &'static str,
    /// Which files the list shows; what they are is found out by how they begin.
    accept: &'static str,
) -> impl IntoView {
    let (store, keeper, intake) = (use_store(), use_keeper(), use_intake());
    let choose = move |event: Event| take_files(store, keeper, intake, chosen_files(&event));
    view! {
        <label class="button button-plain file-button">
            {label}
            <input type="file" id=id class="unseen" accept=accept multiple on:change=choose/>
        </label>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_file_is_comes_before_what_it_is_called() {
        for (name, media, beginning, expected) in [
            ("plan.json", "application/json", &b"{}"[..], Reader::Plan),
            ("plan.onepull", "", b"", Reader::Plan),
            ("plan.txt", "text/plain", b"\xef\xbb\xbf \n{", Reader::Plan),
            ("shells.svg", "image/svg+xml", b"<svg", Reader::Foreign),
            ("shells", "", b"<?xml version='1.0'?><svg", Reader::Foreign),
            ("crab.stl", "model/stl", b"solid", Reader::Foreign),
            ("crab.svg", "image/svg+xml", b"\x89PNG\r\n", Reader::Photo),
            ("crab.jpg", "image/jpeg", b"\xff\xd8\xff\xe1", Reader::Photo),
            ("crab.webp", "", b"RIFF\0\0\0\0WEBP", Reader::Photo),
            ("crab.heic", "image/heic", b"\0\0\0\x18ftyp", Reader::Photo),
            ("notes.pdf", "application/pdf", b"%PDF", Reader::Nobody),
            ("", "", b"", Reader::Nobody),
        ] {
            assert_eq!(reader(name, media, beginning), expected, "{name}");
        }
    }
}

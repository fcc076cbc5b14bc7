//! The one door for files: told apart by name and by how they begin, and sent to who can read them.

use engine::file::is_log;
use engine::intake::Kind;
use leptos::ev::Event;
use leptos::prelude::*;

use super::file::FileIntake;
use super::photo::PhotoIntake;
use crate::panels::bench::{Bench, use_bench};
use crate::panels::change::say_refused;
use crate::panels::keeping::{Keeper, use_keeper};
use crate::panels::mold_shelf::{MoldKeeper, is_shelf, use_mold_keeper};
use crate::panels::shelf::open_text;
use crate::platform::{PickedFile, chosen_file};
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
}

/// Puts the door in reach of the page and its panels.
pub(crate) fn provide_intake(store: Store) -> Intake {
    let intake = Intake {
        files: FileIntake::new(store),
        photos: PhotoIntake::new(store),
        shelf: use_mold_keeper(),
        bench: use_bench(),
    };
    provide_context(intake);
    intake
}

/// The door of the page; a page without one is a bug with this name.
pub(in crate::panels) fn use_intake() -> Intake {
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

/// Takes in a file: a plan is opened, anything else shown in a dialog first. What cannot be read is told.
pub(crate) fn take_file(store: Store, keeper: Keeper, intake: Intake, file: PickedFile) {
    let known = file.clone();
    known.beginning(move |beginning| {
        let name = file.name();
        match reader(&name, &file.media(), &beginning) {
            Reader::Plan => file.text(move |text| match text {
                Ok(text) if is_log(&text) => intake.bench.import(&name, &text),
                Ok(text) if is_shelf(&text) => intake.shelf.import(&name, &text),
                text => open_text(store, keeper, &name, text),
            }),
            Reader::Foreign => intake.files.begin(file),
            Reader::Photo => intake.photos.begin(file),
            Reader::Nobody => {
                let words = format!(
                    "{name} was not opened: it is no saved plan, no SVG or DXF drawing, no STL, OBJ or 3MF mesh and no picture."
                );
                say_refused(store, words);
            }
        }
    });
}

/// The button that opens the browser's list of files for drawings and meshes.
#[component]
pub(in crate::panels) fn ForeignFiles() -> impl IntoView {
    let (store, keeper, intake) = (use_store(), use_keeper(), use_intake());
    let choose = move |event: Event| {
        if let Some(file) = chosen_file(&event) {
            take_file(store, keeper, intake, file);
        }
    };
    view! {
        <label class="button button-plain file-button">
            "Add molds from a file"
            <input
                type="file"
                id="molds-from-file"
                class="unseen"
                accept=".svg,.dxf,.stl,.obj,.3mf,image/svg+xml,model/stl,model/obj,model/3mf"
                on:change=choose
            />
        </label>
    }
}

/// The button that opens the browser's list of files, or the camera, for a photograph.
#[component]
pub(in crate::panels) fn Photographs() -> impl IntoView {
    let (store, keeper, intake) = (use_store(), use_keeper(), use_intake());
    let choose = move |event: Event| {
        if let Some(file) = chosen_file(&event) {
            take_file(store, keeper, intake, file);
        }
    };
    view! {
        <label class="button button-plain file-button">
            "Trace a photo"
            <input type="file" id="molds-from-photo" class="unseen" accept="image/*" on:change=choose/>
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

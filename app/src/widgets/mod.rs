//! Fields, choices, tabs and dialogs: they know units and nothing of molds.

mod angle_field;
mod button;
mod choice;
mod dialog;
mod disclosure;
mod entry;
mod ids;
mod length_field;
mod number_field;
mod outline_text;
mod progress;
mod quoted;
mod radios;
mod show;
mod tabs;
mod text_field;
mod voice;
mod why;

pub(crate) use angle_field::AngleField;
pub(crate) use button::{Button, Toggle};
pub(crate) use choice::Choice;
pub(crate) use dialog::Dialog;
pub(crate) use disclosure::Disclosure;
pub(crate) use entry::Committed;
pub(crate) use length_field::{LengthField, MaybeLengthField, provide_lengths, use_lengths};
pub(crate) use number_field::{CountField, NumberField, read_count};
pub(crate) use outline_text::{OutlineText, read_outline, write_outline};
pub(crate) use progress::progress;
pub(crate) use quoted::quoted;
pub(crate) use radios::Radios;
pub(crate) use show::Show;
pub(crate) use tabs::{Tab, Tabs};
pub(crate) use text_field::TextField;
pub(crate) use voice::{Spoken, Voice, provide_voice, use_voice};

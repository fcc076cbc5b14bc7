//! Where the page meets the browser: storage, files, the address bar, the clipboard, the clock and the theme.

mod address;
mod bench;
mod clipboard;
mod clock;
mod elements;
mod failure;
mod files;
mod guide;
mod habits;
mod helper;
mod mold_shelf;
mod offline;
mod photo;
mod picture;
mod printers;
mod shelf;
mod solid;
mod sound;
mod storage;
mod theme;

pub(crate) use address::{clear_fragment, fragment, on_fragment, page_address};
pub(crate) use bench::{LogShelf, find_photo, keep_awake, keep_photo, keep_photos_only, let_sleep};
pub(crate) use clipboard::copy_text;
pub(crate) use clock::{Moment, now};
pub(crate) use elements::{
    close_dialog, focus, focus_if_lost, focus_next, hold_pointer, open_dialog, place_in_drawing,
    reveal, to_top,
};
pub(crate) use failure::report_failures;
pub(crate) use files::{PickedFile, chosen_files, download, dropped_files, welcome_file};
pub(crate) use guide::{
    chord_of, forget_offer, go_to, is_offer_open, is_typing, on_key, print_page, show_part,
};
pub(crate) use habits::{
    keep_forecast_habits, keep_further_blanks, keep_heater, kept_forecast_habits,
    kept_further_blanks, kept_heater,
};
pub(crate) use helper::{Bytes, Helper, are_works_near, work_here};
pub(crate) use mold_shelf::{KeptId, KeptMold, MoldShelf};
pub(crate) use offline::{Copied, ask_what_is_kept, keep_whole};
pub(crate) use photo::{Photo, open_photo, put_pixels};
pub(crate) use picture::picture_address;
pub(crate) use printers::{
    Bars, choose_printer, chosen_printer, forget_printer, keep_printer, printers,
};
pub(crate) use shelf::{Record, Shelf};
pub(crate) use solid::{Canvas3d, Look, Surface};
pub(crate) use sound::{allow_sound, beep};
pub(crate) use storage::{StorageTrouble, on_other_tab};
pub(crate) use theme::{Theme, apply_theme, kept_theme};

//! The band that a mouse draws over the molds to select.

use crate::reactive::prelude::*;
use engine::drawing::Form;

use super::super::state::BoardState;
use super::path;

/// The band, while there is one.
#[component]
pub(in super::super) fn Band(board: BoardState) -> impl IntoView {
    let data = move || board.band.get().map(|band| path::of_form(&Form::rect(band)));
    view! { <path class="band" d=move || data().unwrap_or_default()/> }
}

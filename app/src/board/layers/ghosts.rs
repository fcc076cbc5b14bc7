//! The outlines of a layout that is not on the board: what is being looked for, or what an offer is compared with.

use engine::drawing::Role;

use super::path;
use crate::panels::{GhostKind, Ghosts as Outlines, use_arranger, use_comparer};
use crate::reactive::prelude::*;

/// The ghosts, which lie over the molds; told apart by their dashes.
#[component]
pub(in super::super) fn Ghosts() -> impl IntoView {
    let arranger = use_arranger();
    let comparer = use_comparer();
    let ghosts = memo(move |_| {
        let compared =
            || comparer.outlines().map(|marks| Outlines { kind: GhostKind::Other, marks });
        arranger.ghosts().or_else(compared)
    });
    let class = move || {
        ghosts.with(|ghosts| match ghosts.as_ref().map(|ghosts| ghosts.kind) {
            Some(GhostKind::Try) => "ghost ghost-try",
            Some(GhostKind::Good) => "ghost ghost-good",
            Some(GhostKind::Other) => "ghost ghost-other",
            None => "ghost",
        })
    };
    let data = memo(move |_| {
        ghosts.with(|ghosts| {
            ghosts
                .as_ref()
                .map_or_else(String::new, |ghosts| path::of_role(&ghosts.marks, Role::Mold))
        })
    });
    view! { <path class=class d=data aria-hidden="true"/> }
}

//! What stands above the board when the open plan is not simply the reader's own.

use crate::panels::{Keeper, use_comparer, use_desk, use_keeper};
use crate::platform::{focus, forget_offer, is_offer_open};
use crate::reactive::prelude::*;
use crate::state::{Origin, use_store};
use crate::widgets::{Button, Show};

/// The banner of a shared pull, of a plan changed elsewhere, or of a first visit; nothing otherwise.
#[component]
pub(super) fn Banner() -> impl IntoView {
    let store = use_store();
    let keeper = use_keeper();
    let comparer = use_comparer();
    let compare = move |()| comparer.begin(keeper);
    let origin = memo(move |_| store.with(|session| session.origin.clone()));
    // The banner goes with what its buttons do, and the keyboard would go with them.
    let done = move |what: fn(Keeper)| {
        what(keeper);
        focus("board");
    };
    let is_offered = RwSignal::new(is_offer_open());
    let desk = use_desk();
    // Taken from here or from the help, it is not offered again.
    Effect::new(move |_| {
        if desk.tour.with(Option::is_some) {
            is_offered.set(false);
        }
    });
    let decline = move |()| {
        forget_offer();
        is_offered.set(false);
        focus("board");
    };
    let banner = live(move || {
        match origin.get() {
        Origin::Link => view! {
            <p><strong>"You are looking at a shared pull."</strong> " Nothing you do here is saved until you keep it."</p>
            <Button label="Compare with my plan" press=compare/>
            <Button label="Keep a copy" kind="main" press=move |()| done(Keeper::keep_copy)/>
            <Button label="Back to my plan" press=move |()| done(Keeper::open_own)/>
        }
        .into_any(),
        Origin::Shelf(_) if keeper.is_behind() => view! {
            <p><strong>"This plan was changed in another tab."</strong> " Nothing is written over."</p>
            <Button label="Show the other version" kind="main" press=move |()| done(Keeper::catch_up)/>
            <Button label="Keep this one as a second plan" press=move |()| done(Keeper::part_ways)/>
        }
        .into_any(),
        Origin::Sample => view! {
            <p>"This is a sample pull: drag a mold until its findings are gone, or start your own under Plans."</p>
            <Show when=move || is_offered.get()>
                <Button label="Show me around" kind="main" press=move |()| desk.tour.set(Some(0))/>
                <Button label="No, thanks" press=decline/>
            </Show>
        }
        .into_any(),
        Origin::Shelf(_) => ().into_any(),
    }
    });
    let has_banner = move || !matches!(origin.get(), Origin::Shelf(_)) || keeper.is_behind();
    view! {
        <aside class="banner" aria-label="About this plan" hidden=move || !has_banner()>{banner}</aside>
    }
}

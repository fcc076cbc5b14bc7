//! The offcuts that lie about: used first, added, removed, and put right once a plan has been cut.

use engine::plan::{CuttingHabits, Offcut, Size};
use engine::units::Length;
use works::Piece;

use crate::panels::change::{change_cutting, say_done, say_refused};
use crate::panels::told::Told;
use crate::platform::focus;
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::{Button, LengthField, use_lengths};

/// The button that keeps the keyboard when a row goes.
const ADD: &str = "offcut-add";
/// Sizes nearer than this are one.
const SAME: Length = Length::mm(0.01);

/// The list, and fields to add to it.
pub(super) fn offcuts(store: Store) -> AnyView {
    let offcuts = memo(move |_| store.with(|session| session.plan().cutting.offcuts.clone()));
    let rows = live(move || {
        let rows = offcuts.get().into_iter().enumerate();
        rows.map(|(n, offcut)| row(store, n, offcut)).collect_view()
    });
    let half = store.peek(|session| session.plan().stock.sheet);
    let size = RwSignal::new(Size::new(half.width, half.depth / 4.0));
    let add = move |()| {
        let size = size.get_untracked();
        let added = change_cutting(store, |habits| put(habits, size, 1));
        match added {
            Ok(()) => {
                say_done(store, "The offcut is on the list; it is used before a sheet is cut up.");
            }
            Err(words) => say_refused(store, words),
        }
    };
    view! {
        <section class="sub">
            <h3>"Offcuts"</h3>
            <p class="panel-note">"Used first, the smallest first, once you say how many blanks you want."</p>
            <ul class="offcuts">{rows}</ul>
            <div class="fields">
                <LengthField
                    label="Offcut width"
                    value=Signal::derive(move || size.get().width)
                    commit=move |width| {
                        size.update(|size| size.width = width);
                        Ok(())
                    }
                />
                <LengthField
                    label="Offcut depth"
                    value=Signal::derive(move || size.get().depth)
                    commit=move |depth| {
                        size.update(|size| size.depth = depth);
                        Ok(())
                    }
                />
            </div>
            <div class="row"><Button label="Add the offcut" press=add id=ADD/></div>
        </section>
    }
    .into_any()
}

fn row(store: Store, n: usize, offcut: Offcut) -> AnyView {
    let style = use_lengths();
    let words = Signal::derive(move || {
        let show = |length| style.get().show_exact(length);
        let size = format!("{} x {}", show(offcut.size.width), show(offcut.size.depth));
        if offcut.count > 1 { format!("{} of {size}", offcut.count) } else { size }
    });
    let remove = move |()| {
        let removed = change_cutting(store, |habits| {
            if n < habits.offcuts.len() {
                habits.offcuts.remove(n);
            }
        });
        match removed {
            Ok(()) => focus(ADD),
            Err(words) => say_refused(store, words),
        }
    };
    view! {
        <li>
            <span>{words}</span>
            <Button
                label="Remove"
                spoken=Signal::derive(move || format!("Remove the offcut of {}", words.get()))
                press=remove
            />
        </li>
    }
    .into_any()
}

/// Once it is cut: what was used goes off the list, what is left over comes on to it.
pub(super) fn after_cutting(store: Store, told: Told) -> AnyView {
    let changes = move |told: &works::Told| !(told.used.is_empty() && told.pieces.is_empty());
    let is_idle =
        Signal::derive(move || told.shown.with(|shown| !shown.as_ref().is_some_and(changes)));
    let press = move |()| {
        let Some((used, left)) = told.shown.with_untracked(|shown| {
            shown.as_ref().map(|told| (told.used.clone(), told.pieces.clone()))
        }) else {
            return;
        };
        let kept = change_cutting(store, |habits| {
            used.iter().for_each(|piece| take(habits, size_of(piece)));
            left.iter().for_each(|piece| put(habits, size_of(piece), piece.count));
        });
        match kept {
            Ok(()) => say_done(
                store,
                "The offcuts are as they will be once this is cut. Undo brings the old ones back.",
            ),
            Err(words) => say_refused(store, words),
        }
    };
    view! { <Button label="I have cut it: keep what is left" press disabled=is_idle/> }.into_any()
}

const fn size_of(piece: &Piece) -> Size {
    Size::new(Length::mm(piece.width), Length::mm(piece.depth))
}

fn is_same(offcut: &Offcut, size: Size) -> bool {
    let off = (offcut.size.width - size.width).abs().max((offcut.size.depth - size.depth).abs());
    offcut.stock.is_none() && off < SAME
}

fn put(habits: &mut CuttingHabits, size: Size, count: u32) {
    match habits.offcuts.iter_mut().find(|offcut| is_same(offcut, size)) {
        Some(offcut) => offcut.count = offcut.count.saturating_add(count),
        None => habits.offcuts.push(Offcut { size, count, stock: None }),
    }
}

fn take(habits: &mut CuttingHabits, size: Size) {
    if let Some(offcut) = habits.offcuts.iter_mut().find(|offcut| is_same(offcut, size)) {
        offcut.count = offcut.count.saturating_sub(1);
    }
    habits.offcuts.retain(|offcut| offcut.count > 0);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offcuts_of_one_size_are_counted_together_and_go_one_by_one() {
        let mut habits = CuttingHabits::default();
        let size = Size::new(Length::mm(300.0), Length::mm(400.0));
        put(&mut habits, size, 2);
        put(&mut habits, size, 1);
        assert_eq!((habits.offcuts.len(), habits.offcuts[0].count), (1, 3));
        take(&mut habits, size);
        assert_eq!(habits.offcuts[0].count, 2);
        take(&mut habits, size);
        take(&mut habits, size);
        take(&mut habits, size);
        assert!(habits.offcuts.is_empty());
    }
}

//! The log as a list: the last pull first, each with what was measured, taken out and put back; and as a file.

use engine::record::{PullRecord, RecordId};

use super::form::picture;
use super::keeper::Bench;
use super::words;
use crate::panels::intake::FileButton;
use crate::platform::focus_next;
use crate::reactive::prelude::*;
use crate::widgets::{Button, use_lengths};

/// Pulls shown at first, and more at each press.
const SHOWN: usize = 20;

/// What the heading of the list is found by.
const HEADING: &str = "bench-pulls-title";

/// The log.
pub(super) fn pulls(bench: Bench) -> AnyView {
    let most = RwSignal::new(SHOWN);
    let count = memo(move |_| bench.book.with(|book| book.len()));
    let ids = memo(move |_| {
        bench
            .book
            .with(|book| book.iter().rev().take(most.get()).map(|(id, _)| id).collect::<Vec<_>>())
    });
    let head = Signal::derive(move || match count.get() {
        0 => "No pull is logged yet.".to_owned(),
        1 => "1 pull, kept in this browser.".to_owned(),
        n => format!("{n} pulls, kept in this browser; the last one first."),
    });
    let unread = Signal::derive(move || match bench.unread.get() {
        0 => None,
        n => Some(format!(
            "{n} kept in this browser could not be read, perhaps by this older page: they are left where they are."
        )),
    });
    view! {
        <section class="sub" aria-labelledby=HEADING>
            <h3 id=HEADING tabindex="-1">"Pulls logged"</h3>
            <p class="panel-note">{head}</p>
            <p class="panel-note">{unread}</p>
            <ul class="bench-pulls">
                <For each=move || ids.get() key=|id| *id let:id>
                    {row(bench, id, ids)}
                </For>
            </ul>
            <div class="row" hidden=move || { count.get() <= most.get() }>
                <Button label="Show older pulls" press=move |()| most.update(|most| *most += SHOWN)/>
            </div>
            {files(bench, count)}
        </section>
    }
    .into_any()
}

fn button_id(id: RecordId) -> String {
    format!("bench-remove-{}", id.0)
}

fn row(bench: Bench, id: RecordId, ids: Memo<Vec<RecordId>>) -> AnyView {
    let style = use_lengths();
    let Some(record) = bench.book.with_untracked(|book| book.get(id).cloned()) else {
        return ().into_any();
    };
    let PullRecord { at, plan, pull, notes, photo, .. } = record.clone();
    let title = format!("{at}, {pull}");
    let spoken = format!("Remove the pull of {at}");
    let says = format!("{pull} of {plan}, {at}");
    let remove = move |()| {
        let next = ids.with_untracked(|ids| after(ids, id));
        bench.remove(id);
        focus_next(next);
    };
    let told = record.clone();
    view! {
        <li class="bench-pull">
            <div class="bench-pull-words">
                <h4>{title}</h4>
                <p><strong>{words::outcomes(&record)}</strong></p>
                <p>{move || format!("{plan}; {}", words::sheet(&record, style.get()))}</p>
                <p>{move || words::measures(&told, style.get())}</p>
                {(!notes.is_empty()).then(|| view! { <p>{notes}</p> })}
                {photo.map(|photo| picture(photo.0, says))}
            </div>
            <Button
                label="Remove"
                kind="quiet"
                spoken=Signal::derive(move || spoken.clone())
                press=remove
                id=button_id(id)
            />
        </li>
    }
    .into_any()
}

/// Where the keyboard goes when a pull is taken out: to the next, or the one before, or the heading.
fn after(ids: &[RecordId], id: RecordId) -> Vec<String> {
    let at = ids.iter().position(|other| *other == id);
    let next = at.and_then(|at| ids.get(at + 1).or_else(|| ids.get(at.checked_sub(1)?)));
    next.map(|next| button_id(*next)).into_iter().chain([HEADING.to_owned()]).collect()
}

fn files(bench: Bench, count: Memo<usize>) -> AnyView {
    view! {
        <div class="row">
            <Button
                label="Export the log"
                press=move |()| bench.export()
                disabled=Signal::derive(move || count.get() == 0)
            />
            <FileButton label="Import pulls" id="bench-import" accept=".json,application/json"/>
        </div>
        <p class="panel-note">
            "The file holds everything but the photos, which stay in this browser. A pull that is in both is taken once."
        </p>
    }
    .into_any()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_keyboard_goes_to_the_next_pull_or_the_one_before_or_the_heading() {
        let ids = [RecordId(3), RecordId(2), RecordId(1)];
        assert_eq!(after(&ids, RecordId(3))[0], "bench-remove-2");
        assert_eq!(after(&ids, RecordId(1))[0], "bench-remove-2");
        assert_eq!(after(&ids[..1], RecordId(3)), [HEADING]);
    }
}

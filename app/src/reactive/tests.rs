//! What the room promises, asked of its handles.

use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use allocation_counter::measure;
use leptos::prelude::Owner;

use super::handle::{Handle, Source};
use super::rows::Rows;
use super::{Callback, Memo, RwSignal, Signal, StoredValue, memo};

/// Runs `test` with an owner for what it makes, and drops it then.
fn owned<T>(test: impl FnOnce() -> T) -> T {
    Owner::new().with(test)
}

/// A memo of `of`, and how often it was computed.
fn counted<T: PartialEq + Send + Sync + 'static>(
    of: impl Fn() -> T + Send + Sync + 'static,
) -> (Memo<T>, impl Fn() -> u32) {
    let runs = Arc::new(AtomicU32::new(0));
    let counter = Arc::clone(&runs);
    let counted = memo(move |_| {
        counter.fetch_add(1, Ordering::Relaxed);
        of()
    });
    (counted, move || runs.load(Ordering::Relaxed))
}

#[test]
fn a_signal_gives_back_what_was_put_in() {
    owned(|| {
        let words = RwSignal::new(String::from("limpet"));
        assert_eq!(words.get_untracked(), "limpet");
        words.set(String::from("starfish"));
        words.update(|words| words.push('!'));
        assert_eq!(words.with_untracked(String::len), 9);
        assert_eq!(words.try_update(std::mem::take), Some(String::from("starfish!")));
        assert_eq!(words.get_untracked(), "");
        assert_eq!(RwSignal::<Vec<u8>>::default().get_untracked(), Vec::<u8>::new());
    });
}

#[test]
fn a_change_tells_once_and_only_who_has_read() {
    owned(|| {
        let (read, unread) = (RwSignal::new(1), RwSignal::new(10));
        let (sum, runs) = counted(move || read.get() + unread.get_untracked());
        assert_eq!((sum.get_untracked(), runs()), (11, 1));
        unread.set(20);
        assert_eq!((sum.get_untracked(), runs()), (11, 1), "nobody tracks it");
        read.update(|value| {
            *value += 1;
            *value += 1;
        });
        assert_eq!((sum.get_untracked(), runs()), (23, 2));
        assert_eq!((sum.get_untracked(), runs()), (23, 2));
    });
}

#[test]
fn a_memo_does_not_tell_of_what_is_equal() {
    owned(|| {
        let number = RwSignal::new(3);
        let is_even = memo(move |_| number.get() % 2 == 0);
        let (words, runs) = counted(move || if is_even.get() { "even" } else { "odd" });
        assert_eq!((words.get_untracked(), runs()), ("odd", 1));
        number.set(5);
        assert_eq!((words.get_untracked(), runs()), ("odd", 1));
        number.set(6);
        assert_eq!((words.get_untracked(), runs()), ("even", 2));
    });
}

#[test]
fn a_memo_sees_what_it_gave_before() {
    owned(|| {
        let number = RwSignal::new(3);
        let most = memo(move |before: Option<&i32>| number.get().max(*before.unwrap_or(&0)));
        assert_eq!(most.get_untracked(), 3);
        number.set(1);
        assert_eq!(most.get_untracked(), 3);
        number.set(4);
        assert_eq!(most.get_untracked(), 4);
    });
}

#[test]
fn whatever_reads_like_a_signal_is_tracked() {
    owned(|| {
        let number = RwSignal::new(2);
        let halves: [Signal<i32>; 3] = [
            Signal::derive(move || number.get() / 2),
            Signal::from(memo(move |_| number.get() / 2)),
            Signal::from(move || number.with(|number| number / 2)),
        ];
        let (sum, runs) = counted(move || halves.iter().map(|half| half.get()).sum::<i32>());
        assert_eq!((sum.get_untracked(), runs()), (3, 1));
        number.set(4);
        assert_eq!((sum.get_untracked(), runs()), (6, 2));
        let (same, tracked) = counted(move || Signal::from(number).get());
        assert_eq!((same.get_untracked(), tracked()), (4, 1));
        let still = [Signal::from("limpet"), Signal::from(String::from("limpet"))];
        assert!(still.iter().all(|words| words.get() == "limpet"));
    });
}

#[test]
fn tracking_needs_no_reading() {
    owned(|| {
        let changes = RwSignal::new(0);
        let (made, runs) = counted(move || changes.track());
        made.get_untracked();
        changes.set(1);
        made.get_untracked();
        assert_eq!(runs(), 2);
    });
}

#[test]
fn what_is_stored_tells_nobody() {
    owned(|| {
        let kept = StoredValue::new(vec![1, 2]);
        let (length, runs) = counted(move || kept.with_value(Vec::len));
        assert_eq!((length.get_untracked(), runs()), (2, 1));
        kept.update_value(|kept| kept.push(3));
        assert_eq!((length.get_untracked(), runs()), (2, 1));
        assert_eq!(kept.get_value(), [1, 2, 3]);
        assert_eq!(kept.try_update_value(Vec::pop), Some(Some(3)));
        kept.set_value(Vec::new());
        assert_eq!(kept.try_get_value(), Some(Vec::new()));
    });
}

#[test]
fn a_callback_may_run_one_of_its_kind() {
    owned(|| {
        let twice = Callback::new(|number: i32| 2 * number);
        let outer: Callback<i32, i32> = (move |number| twice.run(number) + 1).into();
        assert_eq!(outer.run(20), 41);
    });
}

#[test]
fn values_go_with_their_owner() {
    let token = Arc::new(());
    let owner = Owner::new();
    let (kept, stored, computed) = owner.with(|| {
        let kept = RwSignal::new(Arc::clone(&token));
        let computed = memo(move |_| kept.get());
        computed.with_untracked(|_| ());
        (kept, StoredValue::new(Arc::clone(&token)), computed)
    });
    assert!(Arc::strong_count(&token) > 3);
    owner.cleanup();
    assert_eq!(Arc::strong_count(&token), 1, "all are dropped");
    assert!(kept.try_get_untracked().is_none() && computed.try_get_untracked().is_none());
    assert!(stored.try_get_value().is_none());
    // Writing to what is gone does nothing.
    kept.set(Arc::clone(&token));
    stored.set_value(Arc::clone(&token));
    assert!(kept.try_update(|_| ()).is_none() && kept.try_set(Arc::clone(&token)).is_some());
    assert_eq!(Arc::strong_count(&token), 1);
}

#[test]
fn who_lives_is_told_though_a_row_it_read_for_is_gone() {
    owned(|| {
        let number = RwSignal::new(1);
        let (read, runs) = counted(move || Owner::new().with(|| number.get()));
        for value in 1..5_u32 {
            number.set(value);
            assert_eq!((read.get_untracked(), runs()), (value, value));
        }
    });
}

/// What a thousand rows leave allocated that come, read `source`, and go; `tell` has something change in between.
fn left_by_rows<L: Source + Sync>(source: Handle<L, u32>, tell: impl Fn(u32)) -> i64 {
    let (rows, last_words) = (Rows::here(), RwSignal::new(0));
    let come_and_go = |number| {
        let row = rows.owner();
        let seen = row.with(|| {
            // Said when its memos have been cleaned up and are still there.
            Owner::on_cleanup(move || last_words.set(number));
            let doubled = memo(move |_| 2 * source.get());
            memo(move |_| doubled.get() + source.get()).get_untracked()
        });
        assert_eq!(seen, 3 * source.get_untracked());
        drop(row);
        tell(number);
    };
    // What is made once, as the room for a list of readers, is made.
    (0..10).for_each(come_and_go);
    measure(|| (0..1_000).for_each(come_and_go)).count_current
}

#[test]
fn rows_that_are_gone_leave_nothing_behind() {
    owned(|| {
        let number = RwSignal::new(0);
        let left = left_by_rows(number, move |value| number.set(value));
        assert!(left < 10, "{left} pieces of memory, below a signal");
        let left =
            left_by_rows(memo(move |_| number.get()), move |value| number.update(|n| *n = value));
        assert!(left < 10, "{left} pieces of memory, below a memo");
        let left = left_by_rows(Signal::from(number), move |value| number.set(value));
        assert!(left < 10, "{left} pieces of memory, below what reads like a signal");
    });
}

#[test]
fn who_runs_again_takes_no_more_room() {
    owned(|| {
        let number = RwSignal::new(0);
        let (doubled, runs) = counted(move || 2 * number.get());
        let run = |value| {
            number.set(value);
            assert_eq!(doubled.get_untracked(), 2 * value);
        };
        (0..10).for_each(run);
        let grown = measure(|| (10..1_010).for_each(run)).bytes_current;
        assert!(grown < 1_000, "{grown} bytes in {} runs", runs());
    });
}

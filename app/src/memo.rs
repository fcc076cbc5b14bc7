//! Memos with little code for each closure.

use leptos::prelude::*;

/// Memoises what `of` gives, which may look at what it gave before.
///
/// As `Memo::new`, but that is compiled anew for every closure, and this once for every type.
pub(crate) fn memo<T: PartialEq + Send + Sync + 'static>(
    of: impl Fn(Option<&T>) -> T + Send + Sync + 'static,
) -> Memo<T> {
    boxed(Box::new(of))
}

type Boxed<T> = Box<dyn Fn(Option<&T>) -> T + Send + Sync>;

fn boxed<T: PartialEq + Send + Sync + 'static>(of: Boxed<T>) -> Memo<T> {
    Memo::new(of)
}

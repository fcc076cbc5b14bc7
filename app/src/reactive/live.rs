//! Parts of a view, each in a box of one type: one that follows what it reads, and many in a row.

use std::sync::{Arc, Mutex};

use leptos::prelude::{AnyView, IntoAny};
use leptos::tachys::reactive_graph::SharedReactiveFunction;

/// What `view` gives, made anew whenever what it read has changed.
///
/// As the bare closure in a view, but that is compiled anew for every closure unless it stands in the view itself.
pub(crate) fn live<V: IntoAny>(
    view: impl Fn() -> V + Send + 'static,
) -> SharedReactiveFunction<AnyView> {
    Arc::new(Mutex::new(move || view().into_any()))
}

/// `collect_view`, in place of the library's, whose lists are compiled anew for every kind of part.
pub(crate) trait CollectView {
    /// The parts, one after the other.
    fn collect_view(self) -> Vec<AnyView>;
}

impl<I: IntoIterator<Item: IntoAny>> CollectView for I {
    fn collect_view(self) -> Vec<AnyView> {
        self.into_iter().map(IntoAny::into_any).collect()
    }
}

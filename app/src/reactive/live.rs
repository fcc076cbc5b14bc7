//! Parts of a view that follow what they read.

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

//! Shows one thing or another, with little code for each place that does.

use leptos::either::Either;

use crate::reactive::prelude::*;

/// Shows its children while `when` says so, and else the fallback; made anew only when the answer changes.
///
/// It does what the component of the same name in the library does, but that is compiled anew for every closure.
#[component(transparent)]
pub(crate) fn Show(
    /// What is shown.
    children: ChildrenFn,
    /// Whether it is.
    #[prop(into)]
    when: Signal<bool>,
    /// What is shown in its place.
    #[prop(optional, into)]
    fallback: ViewFn,
) -> impl IntoView {
    let is_shown = memo(move |_| when.get());
    move || match is_shown.get() {
        true => Either::Left(children()),
        false => Either::Right(fallback.run()),
    }
}

//! How far a long piece of work is, in words and as a bar, with the ways to end it under it.

use super::use_voice;
use crate::reactive::prelude::*;

/// How far it is: what is being done, what was found so far, and the steps done of those there are. What is being done is
/// spoken when it changes.
pub(crate) fn progress(
    id: &'static str,
    phase: impl Fn() -> Option<String> + Send + Sync + 'static,
    steps: impl Fn() -> Option<(u64, u64)> + Send + Sync + 'static,
    found: impl Fn() -> String + Send + Sync + 'static,
    ways_to_end: AnyView,
) -> AnyView {
    let phase = memo(move |_| phase().unwrap_or_else(|| "Beginning".to_owned()));
    use_voice().follow(move || format!("{}.", phase.get()));
    let per_cent =
        memo(move |_| steps().map_or(0, |(done, of)| done.saturating_mul(100) / of.max(1)));
    view! {
        <div class="progress" id=id>
            <p>{phase} "\u{2026}"</p>
            <progress max="100" value=move || per_cent.get() aria-label="How much of the time is used"></progress>
            <p class="panel-note">{found}</p>
            <div class="row">{ways_to_end}</div>
        </div>
    }
    .into_any()
}

//! Callbacks: closures that are handed from component to component.

use std::sync::Arc;

use super::closure::Ask;
use super::stored::StoredValue;

type Run<In, Out> = Arc<dyn Ask<In, Out>>;

/// A closure that is kept for its owner; cheap to copy.
pub(crate) struct Callback<In: 'static, Out: 'static = ()>(StoredValue<Run<In, Out>>);

impl<In, Out> Callback<In, Out> {
    /// Keeps `run`.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn new(run: impl Fn(In) -> Out + Send + Sync + 'static) -> Self {
        Self::shared(Arc::new(run))
    }

    #[cfg_attr(debug_assertions, track_caller)]
    fn shared(run: Run<In, Out>) -> Self {
        Self(StoredValue::new(run))
    }

    /// Runs it.
    #[cfg_attr(debug_assertions, track_caller)]
    pub(crate) fn run(self, input: In) -> Out {
        self.0.get_value().ask(input)
    }
}

impl<In, Out> Clone for Callback<In, Out> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<In, Out> Copy for Callback<In, Out> {}

impl<In, Out, F: Fn(In) -> Out + Send + Sync + 'static> From<F> for Callback<In, Out> {
    #[cfg_attr(debug_assertions, track_caller)]
    fn from(run: F) -> Self {
        Self::new(run)
    }
}

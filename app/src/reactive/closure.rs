//! Closures in boxes that carry one function each, where the library's `dyn Fn` carry three.

/// A closure that is asked again and again.
pub(super) trait Ask<In, Out>: Send + Sync {
    /// What it gives.
    fn ask(&self, input: In) -> Out;
}

impl<In, Out, F: Fn(In) -> Out + Send + Sync> Ask<In, Out> for F {
    fn ask(&self, input: In) -> Out {
        self(input)
    }
}

/// A closure without input that is asked again and again.
pub(super) trait Give<Out>: Send + Sync {
    /// What it gives.
    fn give(&self) -> Out;
}

impl<Out, F: Fn() -> Out + Send + Sync> Give<Out> for F {
    fn give(&self) -> Out {
        self()
    }
}

/// A closure that may look at what it gave before.
pub(super) trait Renew<T>: Send + Sync {
    /// What it gives.
    fn renew(&self, before: Option<&T>) -> T;
}

impl<T, F: Fn(Option<&T>) -> T + Send + Sync> Renew<T> for F {
    fn renew(&self, before: Option<&T>) -> T {
        self(before)
    }
}

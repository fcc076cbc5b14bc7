//! The page's side of the worker: starts it when there is work, cancels by ending it, tells what comes back.

use std::fmt;
use std::rc::Rc;

use leptos::prelude::*;
use works::{Answer, Ask, Parcel};

use super::ledger::{JobId, Ledger, Message};
use crate::platform::{Bytes, Helper, work_here};

/// Is told of an answer, and of progress before it.
type Tell = Rc<dyn Fn(Answer)>;

/// The worker and what it has been asked; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Jobs(StoredValue<Bench, LocalStorage>);

/// The worker, while there is one, and the jobs that it owes.
#[derive(Default)]
struct Bench {
    helper: Option<Helper>,
    ledger: Ledger<Tell, Bytes>,
}

impl fmt::Debug for Bench {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Bench").field("helper", &self.helper).finish_non_exhaustive()
    }
}

/// Puts a worker in reach of all panels; it is started with the first job.
pub(crate) fn provide_jobs() {
    provide_context(Jobs::new());
}

/// The worker of the page; a page without one is a bug with this name.
pub(crate) fn use_jobs() -> Jobs {
    expect_context::<Jobs>()
}

impl Jobs {
    /// A worker of its own, for who must not wait for others; it is started with the first job.
    pub(crate) fn new() -> Self {
        Self(StoredValue::new_local(Bench::default()))
    }

    /// Starts the worker ahead of the first job, so that this does not wait for the module to be compiled and made fast.
    ///
    /// A browser that starts no worker is left alone: there the page would be held up.
    pub(crate) fn warm_up(self) {
        let is_cold = self.0.try_with_value(|bench| bench.helper.is_none()).unwrap_or_default();
        if is_cold && self.is_beside() {
            self.start(Ask::WarmUp, |_| {});
        }
    }

    /// Asks for something; `tell` hears of progress and then once of the answer, never before this returns.
    ///
    /// In a browser that starts no worker the page does the work itself. `None` while the page is being taken
    /// down.
    pub(crate) fn start(self, ask: Ask, tell: impl Fn(Answer) + 'static) -> Option<JobId> {
        self.start_with(ask, None, tell)
    }

    /// As [`Jobs::start`], with the bytes that it is about; they are copied on their way.
    pub(crate) fn start_with(
        self,
        ask: Ask,
        bytes: Option<Bytes>,
        tell: impl Fn(Answer) + 'static,
    ) -> Option<JobId> {
        let entered =
            self.0.try_update_value(|bench| bench.ledger.enter(ask, bytes, Rc::new(tell)));
        let (job, message) = entered?;
        self.post(message);
        Some(job)
    }

    /// Gives a job up; its answer, should it come after all, is dropped.
    ///
    /// The worker is ended, because it hears nothing while it works; the jobs behind this one are asked again.
    pub(crate) fn cancel(self, job: JobId) {
        let again = self.0.try_update_value(|bench| {
            if !bench.ledger.strike(job) {
                return Vec::new();
            }
            if let Some(helper) = bench.helper.take() {
                helper.end();
            }
            bench.ledger.requests()
        });
        again.unwrap_or_default().into_iter().for_each(|message| self.post(message));
    }

    /// Whether the work is done beside the page; where no worker starts, the page is held up by it.
    pub(crate) fn is_beside(self) -> bool {
        let is_beside = self.0.try_update_value(|bench| {
            self.ready(bench);
            bench.helper.is_some()
        });
        is_beside.unwrap_or_default()
    }

    /// Starts the worker, unless it is there or none can be started.
    fn ready(self, bench: &mut Bench) {
        if bench.helper.is_none() {
            let hear = move |words, bytes| self.heard(Parcel { words, bytes });
            bench.helper = Helper::start(hear, move |trouble: String| self.failed(&trouble));
        }
    }

    fn post(self, message: Message<Bytes>) {
        let is_posted = self.0.try_update_value(|bench| {
            self.ready(bench);
            bench
                .helper
                .as_ref()
                .is_some_and(|helper| helper.post(&message.words, message.bytes.as_ref()))
        });
        if is_posted == Some(false) {
            let hear = move |words, bytes| self.heard(Parcel { words, bytes });
            let Message { words, bytes } = message;
            work_here(words, bytes, hear, move |trouble: String| self.failed(&trouble));
        }
    }

    fn heard(self, reply: Parcel) {
        let taken = self.0.try_update_value(|bench| bench.ledger.take(reply));
        if let Some((tell, answer)) = taken.flatten() {
            tell(answer);
        }
    }

    /// The worker has failed: all that it owed comes to nothing, and the next job gets a new one.
    fn failed(self, trouble: &str) {
        let waiting = self.0.try_update_value(|bench| {
            if let Some(helper) = bench.helper.take() {
                helper.end();
            }
            bench.ledger.close()
        });
        for tell in waiting.unwrap_or_default() {
            let words = format!(
                "the work beside the page broke off, try it again; your plan is as it was ({trouble})"
            );
            tell(Answer::Refused(words));
        }
    }
}

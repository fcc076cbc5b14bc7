//! Which jobs the worker still owes an answer: numbers them, and drops answers that nobody waits for any more.

use std::collections::BTreeMap;

use works::{Answer, Ask, Parcel, Reply, Request};

/// The number of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct JobId(u32);

/// The jobs that are waited for, each with who is to be told of it.
///
/// `B` are the bytes beside a request, which the browser holds.
#[derive(Debug)]
pub(super) struct Ledger<T, B> {
    last: u32,
    open: BTreeMap<u32, Entry<T, B>>,
}

#[derive(Debug)]
struct Entry<T, B> {
    message: Message<B>,
    tell: T,
}

/// What is sent to the worker.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Message<B> {
    /// The request as JSON.
    pub(super) words: String,
    /// The bytes that it is about.
    pub(super) bytes: Option<B>,
}

impl<T, B> Default for Ledger<T, B> {
    fn default() -> Self {
        Self { last: 0, open: BTreeMap::new() }
    }
}

impl<T: Clone, B: Clone> Ledger<T, B> {
    /// Enters a job; its number and the message that asks for it.
    pub(super) fn enter(&mut self, ask: Ask, bytes: Option<B>, tell: T) -> (JobId, Message<B>) {
        // 0 is the job of a request that could not be read.
        self.last = self.last.wrapping_add(1).max(1);
        let job = self.last;
        // Plain data with text keys always becomes JSON.
        let words = serde_json::to_string(&Request { job, ask }).unwrap_or_default();
        let message = Message { words, bytes };
        self.open.insert(job, Entry { message: message.clone(), tell });
        (JobId(job), message)
    }

    /// Whom to tell of a reply, and what; `None` when nobody waits for it. A final answer closes the job.
    pub(super) fn take(&mut self, reply: Parcel) -> Option<(T, Answer)> {
        let Reply { job, answer } = reply.opened()?;
        let tell = if answer.is_final() {
            self.open.remove(&job)?.tell
        } else {
            self.open.get(&job)?.tell.clone()
        };
        Some((tell, answer))
    }

    /// Strikes a job out; false when it was not open.
    pub(super) fn strike(&mut self, job: JobId) -> bool {
        self.open.remove(&job.0).is_some()
    }

    /// The messages of all open jobs, to ask again.
    pub(super) fn requests(&self) -> Vec<Message<B>> {
        self.open.values().map(|entry| entry.message.clone()).collect()
    }

    /// Closes all jobs; whom to tell that they came to nothing.
    pub(super) fn close(&mut self) -> Vec<T> {
        std::mem::take(&mut self.open).into_values().map(|entry| entry.tell).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn link() -> Ask {
        Ask::Link { plan: String::new() }
    }

    fn reply(job: JobId, answer: Answer) -> Parcel {
        Parcel::of(job.0, answer)
    }

    #[test]
    fn an_answer_goes_to_who_asked_and_only_once() {
        let mut ledger = Ledger::<_, ()>::default();
        let (first, _) = ledger.enter(link(), None, "first");
        let (second, _) = ledger.enter(link(), None, "second");
        assert_ne!(first, second);
        let answer = Answer::Link("text".into());
        assert_eq!(ledger.take(reply(second, answer.clone())), Some(("second", answer.clone())));
        assert_eq!(ledger.take(reply(second, answer)), None);
        assert_eq!(ledger.requests().len(), 1);
    }

    #[test]
    fn progress_leaves_a_job_open() {
        let mut ledger = Ledger::<_, ()>::default();
        let (job, _) = ledger.enter(link(), None, ());
        let progress = Answer::Progress { done: 1, of: 2 };
        assert_eq!(ledger.take(reply(job, progress.clone())), Some(((), progress)));
        assert_eq!(ledger.requests().len(), 1);
    }

    #[test]
    fn a_late_answer_and_one_that_cannot_be_read_are_dropped() {
        let mut ledger = Ledger::<_, ()>::default();
        let (job, _) = ledger.enter(link(), None, ());
        assert!(ledger.strike(job));
        assert!(!ledger.strike(job));
        assert_eq!(ledger.take(reply(job, Answer::Link("late".into()))), None);
        assert_eq!(ledger.take(Parcel { words: "not a reply".into(), bytes: None }), None);
    }

    #[test]
    fn the_jobs_behind_a_cancelled_one_are_asked_again_under_their_numbers() {
        let mut ledger = Ledger::<_, ()>::default();
        let (first, _) = ledger.enter(link(), None, ());
        let (second, message) = ledger.enter(link(), None, ());
        ledger.strike(first);
        assert_eq!(ledger.requests(), std::slice::from_ref(&message));
        let request: Request = serde_json::from_str(&message.words).expect("a request");
        assert_eq!(request, Request { job: second.0, ask: link() });
    }

    #[test]
    fn when_the_worker_fails_all_who_wait_are_told() {
        let mut ledger = Ledger::<_, ()>::default();
        ledger.enter(link(), None, "first");
        ledger.enter(link(), None, "second");
        assert_eq!(ledger.close(), ["first", "second"]);
        assert!(ledger.requests().is_empty());
    }
}

//! Which jobs the worker still owes an answer: numbers them, and drops answers that nobody waits for any more.

use std::collections::BTreeMap;

use works::{Answer, Ask, Parcel, Reply, Request};

/// The number of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct JobId(u32);

/// The jobs that are waited for, each with who is to be told of it.
#[derive(Debug)]
pub(super) struct Ledger<T> {
    last: u32,
    open: BTreeMap<u32, Entry<T>>,
}

#[derive(Debug)]
struct Entry<T> {
    request: String,
    tell: T,
}

impl<T> Default for Ledger<T> {
    fn default() -> Self {
        Self { last: 0, open: BTreeMap::new() }
    }
}

impl<T: Clone> Ledger<T> {
    /// Enters a job; its number and the message that asks for it.
    pub(super) fn enter(&mut self, ask: Ask, tell: T) -> (JobId, String) {
        // 0 is the job of a request that could not be read.
        self.last = self.last.wrapping_add(1).max(1);
        let job = self.last;
        // Plain data with text keys always becomes JSON.
        let request = serde_json::to_string(&Request { job, ask }).unwrap_or_default();
        self.open.insert(job, Entry { request: request.clone(), tell });
        (JobId(job), request)
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
    pub(super) fn requests(&self) -> Vec<String> {
        self.open.values().map(|entry| entry.request.clone()).collect()
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
        let mut ledger = Ledger::default();
        let (first, _) = ledger.enter(link(), "first");
        let (second, _) = ledger.enter(link(), "second");
        assert_ne!(first, second);
        let answer = Answer::Link("text".into());
        assert_eq!(ledger.take(reply(second, answer.clone())), Some(("second", answer.clone())));
        assert_eq!(ledger.take(reply(second, answer)), None);
        assert_eq!(ledger.requests().len(), 1);
    }

    #[test]
    fn progress_leaves_a_job_open() {
        let mut ledger = Ledger::default();
        let (job, _) = ledger.enter(link(), ());
        let progress = Answer::Progress { done: 1, of: 2 };
        assert_eq!(ledger.take(reply(job, progress.clone())), Some(((), progress)));
        assert_eq!(ledger.requests().len(), 1);
    }

    #[test]
    fn a_late_answer_and_one_that_cannot_be_read_are_dropped() {
        let mut ledger = Ledger::default();
        let (job, _) = ledger.enter(link(), ());
        assert!(ledger.strike(job));
        assert!(!ledger.strike(job));
        assert_eq!(ledger.take(reply(job, Answer::Link("late".into()))), None);
        assert_eq!(ledger.take(Parcel { words: "not a reply".into(), bytes: None }), None);
    }

    #[test]
    fn the_jobs_behind_a_cancelled_one_are_asked_again_under_their_numbers() {
        let mut ledger = Ledger::default();
        let (first, _) = ledger.enter(link(), ());
        let (second, message) = ledger.enter(link(), ());
        ledger.strike(first);
        assert_eq!(ledger.requests(), std::slice::from_ref(&message));
        let request: Request = serde_json::from_str(&message).expect("a request");
        assert_eq!(request, Request { job: second.0, ask: link() });
    }

    #[test]
    fn when_the_worker_fails_all_who_wait_are_told() {
        let mut ledger = Ledger::default();
        ledger.enter(link(), "first");
        ledger.enter(link(), "second");
        assert_eq!(ledger.close(), ["first", "second"]);
        assert!(ledger.requests().is_empty());
    }
}

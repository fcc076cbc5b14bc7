//! Times the stages of a command, so that a slow one shows.

use std::time::{Duration, Instant};

use crate::failure::Failure;
use crate::say;

/// The stages done so far, with the time each took.
#[derive(Debug, Default)]
pub(crate) struct Stages {
    done: Vec<(&'static str, Duration)>,
}

impl Stages {
    /// Does one stage, saying that it begins and how long it took.
    pub(crate) fn run<T>(
        &mut self,
        name: &'static str,
        work: impl FnOnce() -> Result<T, Failure>,
    ) -> Result<T, Failure> {
        say::note(&format!("xtask: {name} ..."));
        let started = Instant::now();
        let outcome = work()?;
        let took = started.elapsed();
        self.done.push((name, took));
        say::note(&format!("xtask: {name}: {:.1} s", took.as_secs_f64()));
        Ok(outcome)
    }

    /// All stages and their times, one a line.
    pub(crate) fn summary(&self) -> String {
        let line =
            |(name, took): &(&str, Duration)| format!("{:8.1} s  {name}\n", took.as_secs_f64());
        self.done.iter().map(line).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_summary_names_each_stage_that_was_finished_in_order() {
        let mut stages = Stages::default();
        stages.run("first", || Ok(())).expect("nothing to fail");
        stages
            .run("second", || Err::<(), _>(Failure::OutsideRepository("there".into())))
            .unwrap_err();
        stages.run("third", || Ok(())).expect("nothing to fail");
        let names: Vec<String> = stages
            .summary()
            .lines()
            .map(|line| line.rsplit("  ").next().unwrap_or_default().to_owned())
            .collect();
        assert_eq!(names, ["first", "third"]);
    }
}

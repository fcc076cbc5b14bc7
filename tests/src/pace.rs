//! What is asked of the page's speed, told by every run and held to in full only on a quiet machine.

use std::env;

/// How many times the asked figure a run may take on a machine of which nothing is known. Neighbours, an older
/// processor and a hot one make half as much again of every figure; a slip that a person would feel makes more than three
/// times of it.
const UNKNOWN_MACHINE: f64 = 3.0;

/// Set on a machine that does nothing else: the asked figures themselves are the limits then.
const QUIET: &str = "ONEPULL_QUIET";

/// Prints what was measured beside what is asked, both in `unit`, and fails a run that is far off, or, with
/// `ONEPULL_QUIET` set, one that is off at all.
///
/// # Panics
/// When `took` is over its limit.
#[expect(clippy::print_stdout, reason = "the figures are what such a test is run for")]
pub fn keeps_pace(what: &str, took: f64, asked: f64, unit: &str) {
    println!("{what}: {took:.2} {unit}, asked {asked} {unit}");
    let limit = limit(asked, env::var_os(QUIET).is_some());
    assert!(
        took < limit,
        "{what}: {took:.2} {unit}, asked {asked} {unit}, limit here {limit} {unit}"
    );
}

fn limit(asked: f64, is_quiet: bool) -> f64 {
    if is_quiet { asked } else { asked * UNKNOWN_MACHINE }
}

#[cfg(test)]
mod tests {
    use super::limit;

    #[test]
    fn a_quiet_machine_is_held_to_what_is_asked() {
        assert!((limit(16.0, true) - 16.0).abs() < 1e-12);
        assert!((limit(16.0, false) - 48.0).abs() < 1e-12);
    }
}

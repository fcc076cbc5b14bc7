//! The range that a share may lie in when so many of so many came out one way.
//!
//! **Source:** E. B. Wilson 1927, Probable inference, the law of succession, and statistical inference, Journal of the
//! American Statistical Association 22, 209-212: the score interval, without correction for continuity.

/// The share of which `hits` of `trials` speak, from and to, with 95 % confidence; from 0 to 1 without a trial.
#[must_use]
pub fn wilson_95(hits: usize, trials: usize) -> (f64, f64) {
    /// The normal deviate that 2.5 % lie beyond.
    const Z: f64 = 1.959_963_984_540_054;
    if trials == 0 {
        return (0.0, 1.0);
    }
    #[expect(clippy::cast_precision_loss, reason = "counts of pulls, far below 2^53")]
    let (hits, n) = (hits.min(trials) as f64, trials as f64);
    let share = hits / n;
    let middle = share + Z * Z / (2.0 * n);
    let reach = Z * (share * (1.0 - share) / n + Z * Z / (4.0 * n * n)).sqrt();
    let scale = 1.0 + Z * Z / n;
    (((middle - reach) / scale).max(0.0), ((middle + reach) / scale).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    // R. G. Newcombe 1998, Two-sided confidence intervals for the single proportion, Statistics in Medicine 17, 857-872,
    // table I, method 3.
    #[test]
    fn intervals_are_those_that_were_published() {
        for (hits, trials, from, to) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let (low, high) = wilson_95(hits, trials);
            assert!((low - from).abs() < 5.1e-5 && (high - to).abs() < 5.1e-5, "{low} {high}");
        }
    }

    #[test]
    fn few_trials_say_little_and_none_says_nothing() {
        assert_eq!(wilson_95(0, 0), (0.0, 1.0));
        assert!(wilson_95(0, 1).1 > 0.75 && wilson_95(1, 1).0 < 0.25);
        assert!((wilson_95(3, 10).0 - (1.0 - wilson_95(7, 10).1)).abs() < 1e-12);
    }
}

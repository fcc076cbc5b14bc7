//! The one way that tests compare numbers: two-sided, with a tolerance, and showing all three when they differ.

/// Asserts that a number lies within a tolerance of another: `assert_near!(got, want, within)`.
///
/// Words after the tolerance are added to the message, as in `assert!`. A number that is not finite is near
/// nothing, and nothing is near it.
#[macro_export]
macro_rules! assert_near {
    ($got:expr, $want:expr, $within:expr $(,)?) => {
        $crate::assert_near!($got, $want, $within, "{}", stringify!($got))
    };
    ($got:expr, $want:expr, $within:expr, $($words:tt)+) => {{
        let (got, want, within): (f64, f64, f64) = ($got, $want, $within);
        let off = (got - want).abs();
        assert!(
            off <= within,
            "{}: got {got}, want {want} within {within}, but it is off by {off}",
            format_args!($($words)+),
        );
    }};
}

#[cfg(test)]
mod tests {
    use std::panic::catch_unwind;

    fn refusal(got: f64, want: f64, within: f64) -> Option<String> {
        let outcome = catch_unwind(|| assert_near!(got, want, within, "gauge of {}", "styrene"));
        outcome.err().map(|words| *words.downcast::<String>().expect("the words of a message"))
    }

    #[test]
    fn a_number_within_the_tolerance_on_either_side_passes() {
        assert_near!(0.76, 0.75, 0.011);
        assert_near!(0.74, 0.75, 0.011, "the {} side", "other");
        assert_near!(0.75, 0.75, 0.0);
    }

    #[test]
    fn a_number_outside_on_either_side_is_refused_with_all_three_shown() {
        for got in [0.5, 1.0] {
            let words = refusal(got, 0.75, 0.125).expect("it is too far");
            let shown = format!(
                "gauge of styrene: got {got}, want 0.75 within 0.125, but it is off by 0.25"
            );
            assert_eq!(words, shown);
        }
    }

    #[test]
    fn what_is_not_finite_is_near_nothing() {
        for (got, want, within) in [
            (f64::NAN, 0.0, 1.0),
            (0.0, f64::NAN, 1.0),
            (0.0, 0.0, f64::NAN),
            (f64::INFINITY, f64::INFINITY, 1.0),
            (f64::INFINITY, 0.0, f64::MAX),
        ] {
            assert!(refusal(got, want, within).is_some(), "{got} near {want} within {within}");
        }
    }
}

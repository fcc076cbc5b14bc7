//! Reading decimal numbers, to the nearest `f64`.

/// The number that a text says in digits, with a point and a sign or without: `2`, `1.75`, `.03`, `-5.`, and no other way.
///
/// It is the number that the standard library reads. That has a table of ten thousand bytes for it, and so has the reader
/// of JSON, which the page cannot do without.
#[must_use]
pub fn read_decimal(text: &str) -> Option<f64> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => ("-", digits),
        None => ("", text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let is_plain = [whole, part].iter().all(|text| text.bytes().all(|b| b.is_ascii_digit()));
    if !is_plain || (whole.is_empty() && part.is_empty()) {
        return None;
    }
    // JSON wants a digit on both sides of the point, and no zero before the others.
    let json = format!("{sign}{:0>1}.{part:0<1}", whole.trim_start_matches('0'));
    let too_large = if sign.is_empty() { f64::INFINITY } else { f64::NEG_INFINITY };
    Some(serde_json::from_str(&json).unwrap_or(too_large))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// What the standard library reads of a text, to the bit.
    fn theirs(text: &str) -> Option<u64> {
        text.parse::<f64>().ok().map(f64::to_bits)
    }

    fn ours(text: &str) -> Option<u64> {
        read_decimal(text).map(f64::to_bits)
    }

    #[test]
    fn what_can_be_typed_is_read_as_the_standard_library_reads_it() {
        let least = format!("{:.400}", f64::from_bits(1));
        let (many, large) = ("9".repeat(40), "1".repeat(400));
        let texts =
            ["2", "1.75", ".03", "-5.", "+3", "007.50", "-0", "0", "000", &least, &many, &large];
        for text in texts {
            assert!(ours(text).is_some(), "{text}");
            assert_eq!(ours(text), theirs(text), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_not_read() {
        for text in [
            "", ".", "-", "+", "-.", "1.2.3", "1,5", " 1", "1 ", "--1", "+-1", "one", "1e5", "inf",
            "NaN",
        ] {
            assert_eq!(ours(text), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn any_digits_are_read_as_the_standard_library_reads_them(text in "[-+]?[0-9]{0,25}\\.?[0-9]{0,25}") {
            prop_assert_eq!(ours(&text), theirs(&text));
        }

        #[test]
        fn every_number_comes_back_from_its_digits(bits in any::<u64>()) {
            let number = f64::from_bits(bits);
            prop_assume!(number.is_finite());
            prop_assert_eq!(read_decimal(&number.to_string()).map(f64::to_bits), Some(bits));
        }
    }
}

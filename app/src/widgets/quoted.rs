//! What was typed, quoted in a refusal.

/// More characters than this of a text are left out.
const MOST: usize = 30;

/// A text in quotation marks, without the spaces about it and no longer than one can take in.
pub(crate) fn quoted(text: &str) -> String {
    let text = text.trim();
    let shown: String = text.chars().take(MOST).collect();
    let rest = if shown.len() < text.len() { "…" } else { "" };
    format!("\"{shown}{rest}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_quoted_without_its_spaces_and_cut_where_it_is_long() {
        assert_eq!(quoted(" wide "), "\"wide\"");
        assert_eq!(quoted(&"ü".repeat(30)), format!("\"{}\"", "ü".repeat(30)));
        assert_eq!(quoted(&"ü".repeat(5_000_000)), format!("\"{}…\"", "ü".repeat(30)));
    }
}

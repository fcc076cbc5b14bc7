//! Rows as CSV that a spreadsheet opens without running anything.

/// Rows as the text of a CSV file.
///
/// Fields with commas, quotes or line breaks are quoted, quotes doubled, and rows end with CR LF (RFC 4180, section 2). A field
/// that a spreadsheet would take for a formula, because it begins with `=`, `+`, `-`, `@`, a tab or a carriage return, gets an
/// apostrophe before it (OWASP, "CSV Injection"); plain numbers below zero are none and stay numbers.
#[must_use]
pub fn csv(rows: &[Vec<String>]) -> String {
    let mut text = String::new();
    for row in rows {
        for (n, field) in row.iter().enumerate() {
            if n > 0 {
                text.push(',');
            }
            push_field(&mut text, field);
        }
        text.push_str("\r\n");
    }
    text
}

fn push_field(text: &mut String, field: &str) {
    let is_formula = field.starts_with(['=', '+', '-', '@', '\t', '\r']) && !is_number(field);
    let guard = if is_formula { "'" } else { "" };
    if field.contains(['"', ',', '\r', '\n']) {
        text.push('"');
        text.push_str(guard);
        text.push_str(&field.replace('"', "\"\""));
        text.push('"');
    } else {
        text.push_str(guard);
        text.push_str(field);
    }
}

/// A sign at most, digits, and a point at most: nothing that a spreadsheet could reckon with.
fn is_number(field: &str) -> bool {
    let digits = field.strip_prefix('-').unwrap_or(field);
    let is_plain = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    is_plain && digits.parse::<f64>().is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_quoted_and_formulas_are_made_text() {
        let rows = [
            vec!["Limpet", "a \"large\" one", "3,5"],
            vec!["=1+1", "-2.5", "+1"],
            vec!["@SUM(A1)", "two\nlines", "-2-3"],
            vec!["\tx", "=\"a\",b", ""],
        ];
        let rows: Vec<Vec<String>> =
            rows.map(|row| row.into_iter().map(str::to_owned).collect()).into();
        let want = "Limpet,\"a \"\"large\"\" one\",\"3,5\"\r\n'=1+1,-2.5,'+1\r\n\
            '@SUM(A1),\"two\nlines\",'-2-3\r\n'\tx,\"'=\"\"a\"\",b\",\r\n";
        assert_eq!(csv(&rows), want);
    }
}

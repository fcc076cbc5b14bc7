//! Lays JSON out for reading: what fits on a line stands on one line.

/// The longest line, unless a single value is longer.
const WIDTH: usize = 120;

/// `json`, which has no space outside its strings, over lines of [`WIDTH`] characters, with a final newline.
///
/// Cost: linear in the length times the nesting.
pub(super) fn pretty(json: &str) -> String {
    let mut laid = String::with_capacity(json.len() * 2);
    lay(json, Line { indent: 0, used: 0 }, &mut laid);
    laid.push('\n');
    laid
}

/// Where a value is put: how far its line is indented, and how much stands on it before and after the value.
#[derive(Clone, Copy)]
struct Line {
    indent: usize,
    used: usize,
}

fn lay(value: &str, line: Line, laid: &mut String) {
    let is_container = value.len() > 2 && value.starts_with(['{', '[']);
    match one_line(value, WIDTH.saturating_sub(line.used)) {
        Some(text) => laid.push_str(&text),
        None if is_container => lay_members(value, line, laid),
        None => laid.push_str(value),
    }
}

/// A container over several lines, one member a line or more.
fn lay_members(value: &str, line: Line, laid: &mut String) {
    let (open, inner, close) = (&value[..1], &value[1..value.len() - 1], &value[value.len() - 1..]);
    laid.push_str(open);
    let indent = line.indent + 2;
    for (n, member) in members(inner).enumerate() {
        laid.push_str(if n == 0 { "\n" } else { ",\n" });
        laid.extend(std::iter::repeat_n(' ', indent));
        let (key, value) = match member.split_once("\":") {
            Some((key, value)) if open == "{" => (format!("{key}\": "), value),
            _ => (String::new(), member),
        };
        laid.push_str(&key);
        lay(value, Line { indent, used: indent + key.len() + 1 }, laid);
    }
    laid.push('\n');
    laid.extend(std::iter::repeat_n(' ', line.indent));
    laid.push_str(close);
}

/// The members of a list or an object: the text between the commas that are in no string and no container.
fn members(inner: &str) -> impl Iterator<Item = &str> {
    let (mut depth, mut quoted) = (0_usize, Quoted::default());
    inner.split(move |c: char| {
        if !quoted.covers(c) {
            match c {
                '{' | '[' => depth += 1,
                '}' | ']' => depth -= 1,
                _ => {}
            }
        }
        c == ',' && depth == 0 && !quoted.is_open
    })
}

/// The value on one line, with a space after commas and colons and inside braces, when that fits `width`.
fn one_line(value: &str, width: usize) -> Option<String> {
    const MOST_BYTES_A_CHARACTER: usize = 4;
    if value.len() > width * MOST_BYTES_A_CHARACTER {
        return None;
    }
    let mut quoted = Quoted::default();
    let mut line = String::with_capacity(value.len() * 5 / 4);
    for c in value.chars() {
        if quoted.covers(c) {
            line.push(c);
            continue;
        }
        match c {
            ',' | ':' | '{' => line.extend([c, ' ']),
            '}' => line.extend([' ', c]),
            _ => line.push(c),
        }
    }
    (line.chars().count() <= width).then_some(line)
}

/// Follows a text character by character and knows which of them belong to a string.
#[derive(Default)]
struct Quoted {
    is_open: bool,
    is_escaped: bool,
}

impl Quoted {
    /// True when `c`, which comes next, belongs to a string, its quotes included.
    fn covers(&mut self, c: char) -> bool {
        let was_open = self.is_open;
        if self.is_escaped {
            self.is_escaped = false;
        } else if c == '\\' {
            self.is_escaped = was_open;
        } else if c == '"' {
            self.is_open = !was_open;
        }
        was_open || self.is_open
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_values_stand_on_one_line_and_long_ones_are_broken() {
        let short = r#"{"name":"a, \"b\": {c}\\","at":[1.0,-2.5],"none":[],"deep":{"x":{"y":0}}}"#;
        let line = r#"{ "name": "a, \"b\": {c}\\", "at": [1.0, -2.5], "none": [], "deep": { "x": { "y": 0 } } }"#;
        assert_eq!(pretty(short), format!("{line}\n"));
        let long = format!(r#"{{"name":"{}","at":[[1,2],[3,4]]}}"#, "x,".repeat(60));
        let lines =
            format!("{{\n  \"name\": \"{}\",\n  \"at\": [[1, 2], [3, 4]]\n}}\n", "x,".repeat(60));
        assert_eq!(pretty(&long), lines);
    }

    #[test]
    fn laying_out_changes_spaces_only() {
        let json =
            serde_json::to_string(&("\u{1f41a}\"\\,{".repeat(9), [[0.1; 9]; 9], ())).expect("JSON");
        let back: serde_json::Value = serde_json::from_str(&pretty(&json)).expect("still JSON");
        assert_eq!(back, serde_json::from_str::<serde_json::Value>(&json).expect("JSON"));
    }
}

//! Group codes: a DXF file as pairs of a number and a value, gathered into records that begin with code 0.

use super::super::problem::{Place, Problems, Trouble, shortened};
use super::MOST_CODES;
use crate::geometry::{Point, Vec2};

/// A number that says what a value means, and the value.
#[derive(Clone, Copy, Debug)]
pub(super) struct Code<'a> {
    pub(super) code: i32,
    pub(super) value: &'a str,
}

/// What begins with code 0: an entity, a table entry, the mark of a section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Record<'a, 'codes> {
    /// The value of code 0.
    pub(super) kind: &'a str,
    /// Its line in the file, from 1.
    pub(super) line: usize,
    /// The codes up to the next record.
    pub(super) codes: &'codes [Code<'a>],
}

/// All codes of a file, and where records begin among them.
#[derive(Debug, Default)]
pub(super) struct Codes<'a> {
    codes: Vec<Code<'a>>,
    /// The index of each code 0, with its line.
    starts: Vec<(usize, usize)>,
}

/// A code whose value is missing or no number.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bad<'a> {
    pub(super) code: i32,
    pub(super) text: &'a str,
}

/// The codes up to the first that is no number, which is told.
pub(super) fn read<'a>(text: &'a str, problems: &mut Problems) -> Codes<'a> {
    let mut found = Codes::default();
    let mut lines = (1..).zip(text.lines());
    while let Some((number, line)) = lines.next() {
        let Ok(code) = line.trim().parse::<i32>() else {
            if !line.trim().is_empty() || lines.any(|(_, rest)| !rest.trim().is_empty()) {
                let what =
                    format!("a group code was expected instead of \"{}\"", shortened(line.trim()));
                let trouble = Trouble::Unreadable { kind: "DXF", what };
                problems.push(Place::Line(number), trouble);
            }
            break;
        };
        let Some((number, value)) = lines.next() else { break };
        if found.codes.len() >= MOST_CODES {
            let trouble = Trouble::TooMany { what: "group codes", most: MOST_CODES };
            problems.push(Place::Line(number), trouble);
            break;
        }
        let value = value.trim();
        if code == 0 {
            found.starts.push((found.codes.len(), number));
        }
        // 999 is a comment.
        if code != 999 {
            found.codes.push(Code { code, value });
        }
    }
    found
}

impl<'a> Codes<'a> {
    /// How many records there are.
    pub(super) fn len(&self) -> usize {
        self.starts.len()
    }

    /// The record at an index.
    pub(super) fn record(&self, index: usize) -> Option<Record<'a, '_>> {
        let &(start, line) = self.starts.get(index)?;
        let end = self.starts.get(index + 1).map_or(self.codes.len(), |&(end, _)| end);
        let kind = self.codes.get(start)?.value;
        Some(Record { kind, line, codes: self.codes.get(start + 1..end)? })
    }
}

impl<'a> Record<'a, '_> {
    /// Where it stands.
    pub(super) fn place(&self) -> Place {
        Place::Element { name: shortened(self.kind), line: self.line }
    }

    /// The first value of a code.
    pub(super) fn text(&self, code: i32) -> Option<&'a str> {
        self.codes.iter().find(|one| one.code == code).map(|one| one.value)
    }

    /// The whole number of a code; zero without it or when it is none.
    pub(super) fn whole(&self, code: i32) -> i64 {
        self.text(code).and_then(|text| text.parse().ok()).unwrap_or(0)
    }

    /// The number of a code, or `default` when the code is not there.
    pub(super) fn number(&self, code: i32, default: f64) -> Result<f64, Bad<'a>> {
        self.text(code).map_or(Ok(default), |text| number(code, text))
    }

    /// All numbers of a code, in order.
    pub(super) fn numbers(&self, code: i32) -> Result<Vec<f64>, Bad<'a>> {
        let values = self.codes.iter().filter(|one| one.code == code);
        values.map(|one| number(code, one.value)).collect()
    }

    /// The place given by two codes ten apart; both are needed.
    pub(super) fn point(&self, code: i32) -> Result<Point, Bad<'a>> {
        let one = |code| match self.text(code) {
            Some(text) => number(code, text),
            None => Err(Bad { code, text: "" }),
        };
        Ok(Point::new(one(code)?, one(code + 10)?))
    }

    /// All places of a code, in order: each `code` begins one and the next `code + 10` ends it.
    pub(super) fn points(&self, code: i32) -> Result<Vec<Point>, Bad<'a>> {
        let mut points: Vec<Point> = Vec::new();
        for one in self.codes {
            if one.code == code {
                points.push(Point::new(number(code, one.value)?, 0.0));
            } else if one.code == code + 10
                && let Some(last) = points.last_mut()
            {
                last.y = number(code + 10, one.value)?;
            }
        }
        Ok(points)
    }

    /// The direction that the entity's plane faces, as its three parts.
    pub(super) fn normal(&self) -> Result<(Vec2, f64), Bad<'a>> {
        let [x, y] = [self.number(210, 0.0)?, self.number(220, 0.0)?];
        Ok((Vec2::new(x, y), self.number(230, 1.0)?))
    }
}

/// A finite number.
pub(super) fn number(code: i32, text: &str) -> Result<f64, Bad<'_>> {
    let value = text.parse().ok().filter(|value: &f64| value.is_finite());
    value.ok_or(Bad { code, text })
}

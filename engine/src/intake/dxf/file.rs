//! The parts of a DXF file that are looked up: units, layers, blocks and where entities stand.

use std::collections::BTreeMap;
use std::ops::Range;

use super::super::found::{Scale, SourceUnit};
use super::super::problem::{Place, Problems, Trouble, shortened};
use super::codes::{Codes, Record};
use crate::geometry::Point;

/// A block: its base point and its entities.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub(super) base: Point,
    pub(super) records: Range<usize>,
}

/// A file made ready to be drawn.
#[derive(Debug)]
pub(super) struct File<'a, 'codes> {
    pub(super) codes: &'codes Codes<'a>,
    pub(super) scale: Scale,
    /// The layers that do not show, and why.
    pub(super) hidden: BTreeMap<&'a str, &'static str>,
    pub(super) blocks: BTreeMap<&'a str, Block>,
    pub(super) entities: Range<usize>,
}

impl<'a, 'codes> File<'a, 'codes> {
    /// Looks up the parts; a file without sections is taken to be entities all through, as some programs write it.
    pub(super) fn of(codes: &'codes Codes<'a>, problems: &mut Problems) -> Self {
        let mut file = Self {
            codes,
            scale: Scale::Asked(SourceUnit::Millimetre),
            hidden: BTreeMap::new(),
            blocks: BTreeMap::new(),
            entities: 0..0,
        };
        let sections = sections(codes);
        if sections.is_empty() {
            file.entities = 0..codes.len();
        }
        for (name, records) in sections {
            match name {
                "HEADER" => file.header(records.start, problems),
                "TABLES" => file.tables(records),
                "BLOCKS" => file.blocks(records),
                "ENTITIES" => file.entities = records,
                _ => {}
            }
        }
        file
    }

    fn records(
        &self,
        range: Range<usize>,
    ) -> impl Iterator<Item = (usize, Record<'a, 'codes>)> + use<'a, 'codes> {
        let codes = self.codes;
        range.filter_map(move |index| codes.record(index).map(|record| (index, record)))
    }

    /// The header's variables are codes of the record that opens the section, which stands before `first`.
    fn header(&mut self, first: usize, problems: &mut Problems) {
        let Some(record) = first.checked_sub(1).and_then(|index| self.codes.record(index)) else {
            return;
        };
        let variable = |name: &str| {
            let mut rest = record.codes.iter().skip_while(|one| one.code != 9 || one.value != name);
            rest.next();
            rest.next().filter(|one| one.code == 70).and_then(|one| one.value.parse::<i64>().ok())
        };
        if variable("$MEASUREMENT") == Some(0) {
            self.scale = Scale::Asked(SourceUnit::Inch);
        }
        match variable("$INSUNITS") {
            None | Some(0) => {}
            Some(code) => match unit(code) {
                Some(unit) => self.scale = Scale::Known(unit),
                None => {
                    let trouble = Trouble::BadValue {
                        what: "$INSUNITS".to_owned(),
                        text: shortened(&code.to_string()),
                        done: "the unit is asked for",
                    };
                    problems.push(Place::Line(record.line), trouble);
                }
            },
        }
    }

    fn tables(&mut self, records: Range<usize>) {
        for (_, record) in self.records(records) {
            if record.kind != "LAYER" {
                continue;
            }
            let Some(name) = record.text(2) else { continue };
            if record.whole(70) & 1 == 1 {
                self.hidden.insert(name, "frozen layer");
            } else if record.whole(62) < 0 {
                self.hidden.insert(name, "layer switched off");
            }
        }
    }

    fn blocks(&mut self, records: Range<usize>) {
        let end_of_section = records.end;
        let mut open: Option<(&str, Point, usize)> = None;
        for (index, record) in self.records(records) {
            match record.kind {
                "BLOCK" => {
                    let base = record.point(10).unwrap_or(Point::ORIGIN);
                    open = record.text(2).map(|name| (name, base, index + 1));
                }
                "ENDBLK" => {
                    if let Some((name, base, start)) = open.take() {
                        self.blocks.insert(name, Block { base, records: start..index });
                    }
                }
                _ => {}
            }
        }
        if let Some((name, base, start)) = open {
            self.blocks.insert(name, Block { base, records: start..end_of_section });
        }
    }
}

/// The sections by name, with the records in each.
fn sections<'a>(codes: &Codes<'a>) -> Vec<(&'a str, Range<usize>)> {
    let mut found: Vec<(&str, Range<usize>)> = Vec::new();
    let mut open: Option<(&str, usize)> = None;
    for index in 0..codes.len() {
        let Some(record) = codes.record(index) else { continue };
        match record.kind {
            "SECTION" => {
                found.extend(open.take().map(|(name, start)| (name, start..index)));
                open = record.text(2).map(|name| (name, index + 1));
            }
            "ENDSEC" | "EOF" => found.extend(open.take().map(|(name, start)| (name, start..index))),
            _ => {}
        }
    }
    found.extend(open.map(|(name, start)| (name, start..codes.len())));
    found
}

/// The unit of a value of `$INSUNITS`; those that no mold is drawn in are left out.
const fn unit(code: i64) -> Option<SourceUnit> {
    Some(match code {
        1 => SourceUnit::Inch,
        2 => SourceUnit::Foot,
        4 => SourceUnit::Millimetre,
        5 => SourceUnit::Centimetre,
        6 => SourceUnit::Metre,
        9 => SourceUnit::Mil,
        10 => SourceUnit::Yard,
        13 => SourceUnit::Micrometre,
        14 => SourceUnit::Decimetre,
        _ => return None,
    })
}

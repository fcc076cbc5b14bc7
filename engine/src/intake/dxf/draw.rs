//! Draws the entities of a DXF file, blocks inserted, layers that do not show left out.

use std::ops::Range;

use super::super::affine::Affine;
use super::super::found::SourceUnit;
use super::super::pen::{Line, Pen};
use super::super::problem::{Counted, Place, Problems, Trouble, shortened};
use super::codes::{Bad, Record};
use super::curves::{self, Drawn};
use super::file::File;
use super::{MOST_CORNERS, MOST_ENTITIES};
use crate::plan::limits;

/// What the entities of a block inherit.
#[derive(Clone, Copy)]
pub(super) struct State<'a> {
    pub(super) map: Affine,
    /// The layer of the insertion, which is that of entities on layer 0 of the block.
    pub(super) layer: Option<&'a str>,
    pub(super) n_nested: usize,
}

/// A drawing in progress.
pub(super) struct Draw<'a, 'codes, 'file> {
    pub(super) file: &'file File<'a, 'codes>,
    pub(super) problems: Problems,
    pen: Pen,
    lines: Vec<Line>,
    /// What was drawn so far, see [`weight`].
    pub(super) n_entities: usize,
}

/// All lines of the drawing, in millimetres.
pub(super) fn draw(
    file: &File<'_, '_>,
    unit: SourceUnit,
    problems: Problems,
) -> (Vec<Line>, Problems) {
    let pen = Pen::new(MOST_CORNERS);
    let mut draw = Draw { file, problems, pen, lines: Vec::new(), n_entities: 0 };
    let mm = unit.length().to_mm();
    let state = State { map: Affine::scale(mm, mm), layer: None, n_nested: 0 };
    draw.entities(file.entities.clone(), state);
    for (is_spent, what, most) in [
        (draw.pen.is_spent(), "corners", MOST_CORNERS),
        (draw.n_entities >= MOST_ENTITIES, "entities", MOST_ENTITIES),
    ] {
        if is_spent {
            draw.problems.push(Place::File, Trouble::TooMany { what, most });
        }
    }
    (draw.lines, draw.problems)
}

/// For how many an entity counts, since one of very many codes costs as much as many.
const fn weight(record: &Record<'_, '_>) -> usize {
    1 + record.codes.len() / 64
}

impl<'a> Draw<'a, '_, '_> {
    /// Draws the entities among these records.
    pub(super) fn entities(&mut self, records: Range<usize>, state: State<'a>) {
        let mut index = records.start;
        while index < records.end && self.n_entities < MOST_ENTITIES && !self.pen.is_spent() {
            let Some(record) = self.file.codes.record(index) else { return };
            index += 1;
            if record.kind == "POLYLINE" {
                let first = index;
                let is_part = |index| {
                    let next = self.file.codes.record(index);
                    next.is_some_and(|next| next.kind == "VERTEX")
                };
                while index < records.end && is_part(index) {
                    index += 1;
                }
                let parts = (first..index).filter_map(|index| self.file.codes.record(index));
                self.n_entities += parts.map(|part| weight(&part)).sum::<usize>();
                self.entity(record, first..index, state);
            } else {
                self.entity(record, 0..0, state);
            }
        }
    }

    /// The layer that decides whether an entity shows.
    fn layer(record: &Record<'a, '_>, state: State<'a>) -> &'a str {
        match record.text(8).unwrap_or("0") {
            "0" => state.layer.unwrap_or("0"),
            layer => layer,
        }
    }

    fn entity(&mut self, record: Record<'a, '_>, vertices: Range<usize>, state: State<'a>) {
        self.n_entities += weight(&record);
        if matches!(record.kind, "SEQEND" | "ATTRIB" | "VIEWPORT" | "EOF" | "ENDSEC" | "VERTEX") {
            return;
        }
        let at = record.place();
        let layer = Self::layer(&record, state);
        // 67 puts it on a sheet of paper instead of in the model, 60 makes it invisible.
        let is_on_paper = record.whole(67) == 1;
        let hidden = match self.file.hidden.get(layer) {
            Some(why) => Some(format!("{why} {}", shortened(layer))),
            None if is_on_paper => Some("on a paper sheet".to_owned()),
            None => (record.whole(60) == 1).then(|| "invisible".to_owned()),
        };
        if let Some(why) = hidden {
            return self.problems.count(Counted::Hidden, &why, &at);
        }
        if record.kind == "INSERT" {
            if let Err(bad) = self.insert(&record, layer, state) {
                self.bad(at, bad);
            }
            return;
        }
        self.pen.map = state.map;
        let vertices = vertices.filter_map(|index| self.file.codes.record(index));
        let drawn = curves::draw(&record, vertices, &mut self.pen);
        self.finish(&record, layer, &drawn);
    }

    fn finish(&mut self, record: &Record<'a, '_>, layer: &str, drawn: &Result<Drawn, Bad<'a>>) {
        let (at, points) = (record.place(), self.pen.take());
        let is_closed = match drawn {
            Ok(Drawn::Closed) => true,
            Ok(Drawn::Open) => false,
            Ok(Drawn::Straightened(n)) => {
                self.problems.push(at.clone(), Trouble::Straightened { n: *n });
                false
            }
            Ok(Drawn::Unknown) => {
                return self.problems.count(Counted::Skipped, record.kind, &at);
            }
            Err(bad) => return self.bad(at, *bad),
        };
        let Some(points) = points else {
            return self.problems.push(at, Trouble::OutOfRange { most: limits::COORDINATE });
        };
        if curves::is_tilted(record) {
            self.problems.count(Counted::NotApplied, "tilted planes", &at);
        }
        let name = if layer == "0" { String::new() } else { layer.to_owned() };
        self.lines.push(Line { points, is_closed, is_filled: false, name, at });
    }

    fn bad(&mut self, at: Place, bad: Bad<'_>) {
        let trouble = Trouble::BadValue {
            what: format!("group code {}", bad.code),
            text: shortened(bad.text),
            done: "the entity was left out",
        };
        self.problems.push(at, trouble);
    }
}

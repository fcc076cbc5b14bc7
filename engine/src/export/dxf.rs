//! A drawing as DXF: the exchange format that cutters, routers and drawing programs read.
//!
//! The version is that of the year 2000, the first to say its unit ($INSUNITS) and to have polylines of one piece;
//! every later program reads it. What a reader of that version must find stands in it: tables with their records,
//! the two spaces, a dictionary, a handle and an owner on everything. Source: DXF reference, chapters HEADER, TABLES,
//! BLOCKS, ENTITIES and OBJECTS (from memory); held against two independent readers.

use std::fmt::{Display, Write as _};

use crate::drawing::{Anchor, Drawing, Form, Mark, Role};
use crate::geometry::{Point, Ring};
use crate::units::Length;

/// The layers, in the order of their handles.
const LAYERS: [&str; 8] =
    ["BLANK", "OPENING", "PLATEN", "CENTRE", "TRIM", "CORNER", "MOLD", "TEXT"];

/// Handles that others refer to; what nobody refers to is numbered from [`FIRST_FREE`].
mod handle {
    pub(super) const BLOCK_RECORDS: u32 = 0x1;
    pub(super) const LAYERS: u32 = 0x2;
    pub(super) const STYLES: u32 = 0x3;
    pub(super) const LINE_TYPES: u32 = 0x5;
    pub(super) const VIEWS: u32 = 0x6;
    pub(super) const SYSTEMS: u32 = 0x7;
    pub(super) const VIEWPORTS: u32 = 0x8;
    pub(super) const APPLICATIONS: u32 = 0x9;
    pub(super) const DIMENSION_STYLES: u32 = 0xa;
    pub(super) const DICTIONARY: u32 = 0xc;
    pub(super) const GROUPS: u32 = 0xd;
    pub(super) const MODEL: u32 = 0x1f;
    pub(super) const PAPER: u32 = 0x1b;
}

/// The first handle that is nobody's.
const FIRST_FREE: u32 = 0x30;

/// The drawing as the text of a DXF file.
///
/// Outlines are closed polylines, a hole one of its own, each on a layer that says what it is; what has no layer is
/// left out. **Units**: millimetres, to a millionth. **Words**: lettering holds no control character and no code of the
/// format, so a name stays a name; letters beyond the first 65,536 become `?`.
#[must_use]
pub fn dxf(drawing: &Drawing) -> String {
    let mut entities = Codes::new(FIRST_FREE);
    for (mark, layer) in drawing.marks.iter().filter_map(|mark| Some((mark, layer(mark.role)?))) {
        entities.mark(mark, layer);
    }
    let mut rest = Codes::new(entities.next);
    rest.tables();
    rest.blocks();
    let mut head = Codes::new(0);
    head.header(drawing, rest.next);
    let mut text = head.text;
    text.push_str(&rest.text);
    text.push_str("0\nSECTION\n2\nENTITIES\n");
    text.push_str(&entities.text);
    text.push_str("0\nENDSEC\n");
    let mut objects = Codes::new(0);
    objects.objects();
    text.push_str(&objects.text);
    text
}

/// The layer of a role; `None` for what is drawn for eyes only.
const fn layer(role: Role) -> Option<&'static str> {
    match role {
        Role::Blank => Some("BLANK"),
        Role::Opening => Some("OPENING"),
        Role::Platen => Some("PLATEN"),
        Role::CentreLine | Role::CentreCross => Some("CENTRE"),
        Role::TrimLine => Some("TRIM"),
        Role::Corner => Some("CORNER"),
        Role::Mold => Some("MOLD"),
        Role::Number | Role::Name | Role::Height => Some("TEXT"),
        _ => None,
    }
}

/// Group codes with their values, line by line.
#[derive(Debug)]
struct Codes {
    text: String,
    /// The next free handle.
    next: u32,
}

impl Codes {
    const fn new(next: u32) -> Self {
        Self { text: String::new(), next }
    }

    fn put(&mut self, code: u16, value: impl Display) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.text, "{code}\n{value}");
    }

    fn all(&mut self, codes: &[(u16, &str)]) {
        for (code, value) in codes {
            self.put(*code, value);
        }
    }

    fn handle(&mut self, code: u16, handle: u32) {
        self.put(code, format_args!("{handle:X}"));
    }

    fn fresh(&mut self) -> u32 {
        self.next += 1;
        self.next - 1
    }

    fn point(&mut self, [x, y]: [u16; 2], at: Point) {
        self.put(x, number(at.x));
        self.put(y, number(at.y));
    }

    fn header(&mut self, drawing: &Drawing, seed: u32) {
        self.all(&[(0, "SECTION"), (2, "HEADER")]);
        let variables = [
            ("$ACADVER", 1, "AC1015"),
            ("$DWGCODEPAGE", 3, "ANSI_1252"),
            ("$INSUNITS", 70, "4"),
            ("$MEASUREMENT", 70, "1"),
            ("$LUNITS", 70, "2"),
        ];
        for (name, code, value) in variables {
            self.all(&[(9, name), (code, value)]);
        }
        for (name, at) in [("$EXTMIN", drawing.bounds.min), ("$EXTMAX", drawing.bounds.max)] {
            self.put(9, name);
            self.point([10, 20], at);
            self.put(30, "0");
        }
        self.put(9, "$HANDSEED");
        self.handle(5, seed);
        self.all(&[(0, "ENDSEC"), (0, "SECTION"), (2, "CLASSES"), (0, "ENDSEC")]);
    }

    fn tables(&mut self) {
        self.all(&[(0, "SECTION"), (2, "TABLES")]);
        self.table("VPORT", handle::VIEWPORTS, 0);
        self.end_table();
        let types = ["ByBlock", "ByLayer", "Continuous"];
        self.table("LTYPE", handle::LINE_TYPES, types.len());
        for name in types {
            self.record("LTYPE", "AcDbLinetypeTableRecord", name, handle::LINE_TYPES);
            self.all(&[(3, ""), (72, "65"), (73, "0"), (40, "0")]);
        }
        self.end_table();
        self.table("LAYER", handle::LAYERS, LAYERS.len() + 1);
        for name in ["0"].into_iter().chain(LAYERS) {
            self.record("LAYER", "AcDbLayerTableRecord", name, handle::LAYERS);
            self.all(&[(62, "7"), (6, "Continuous"), (370, "-3")]);
        }
        self.end_table();
        self.table("STYLE", handle::STYLES, 1);
        self.record("STYLE", "AcDbTextStyleTableRecord", "Standard", handle::STYLES);
        self.all(&[(40, "0"), (41, "1"), (50, "0"), (71, "0"), (42, "2.5"), (3, "txt"), (4, "")]);
        self.end_table();
        for (name, handle) in [("VIEW", handle::VIEWS), ("UCS", handle::SYSTEMS)] {
            self.table(name, handle, 0);
            self.end_table();
        }
        self.table("APPID", handle::APPLICATIONS, 1);
        self.record("APPID", "AcDbRegAppTableRecord", "ACAD", handle::APPLICATIONS);
        self.end_table();
        self.table("DIMSTYLE", handle::DIMENSION_STYLES, 0);
        self.all(&[(100, "AcDbDimStyleTable"), (71, "0")]);
        self.end_table();
        self.table("BLOCK_RECORD", handle::BLOCK_RECORDS, 2);
        for (name, own) in [("*Model_Space", handle::MODEL), ("*Paper_Space", handle::PAPER)] {
            self.put(0, "BLOCK_RECORD");
            self.handle(5, own);
            self.handle(330, handle::BLOCK_RECORDS);
            self.all(&[(100, "AcDbSymbolTableRecord"), (100, "AcDbBlockTableRecord"), (2, name)]);
            self.put(340, 0);
        }
        self.end_table();
        self.put(0, "ENDSEC");
    }

    fn table(&mut self, name: &str, own: u32, n_records: usize) {
        self.all(&[(0, "TABLE"), (2, name)]);
        self.handle(5, own);
        self.all(&[(330, "0"), (100, "AcDbSymbolTable")]);
        self.put(70, n_records);
    }

    fn end_table(&mut self) {
        self.put(0, "ENDTAB");
    }

    fn record(&mut self, kind: &str, class: &str, name: &str, table: u32) {
        let own = self.fresh();
        self.put(0, kind);
        self.handle(5, own);
        self.handle(330, table);
        self.all(&[(100, "AcDbSymbolTableRecord"), (100, class), (2, name), (70, "0")]);
    }

    fn blocks(&mut self) {
        self.all(&[(0, "SECTION"), (2, "BLOCKS")]);
        for (name, owner) in [("*Model_Space", handle::MODEL), ("*Paper_Space", handle::PAPER)] {
            self.entity("BLOCK", "0", owner);
            self.all(&[(100, "AcDbBlockBegin"), (2, name), (70, "0")]);
            self.all(&[(10, "0"), (20, "0"), (30, "0"), (3, name), (1, "")]);
            self.entity("ENDBLK", "0", owner);
            self.put(100, "AcDbBlockEnd");
        }
        self.put(0, "ENDSEC");
    }

    fn objects(&mut self) {
        self.all(&[(0, "SECTION"), (2, "OBJECTS"), (0, "DICTIONARY")]);
        self.handle(5, handle::DICTIONARY);
        self.all(&[(330, "0"), (100, "AcDbDictionary"), (281, "1"), (3, "ACAD_GROUP")]);
        self.handle(350, handle::GROUPS);
        self.put(0, "DICTIONARY");
        self.handle(5, handle::GROUPS);
        self.handle(330, handle::DICTIONARY);
        self.all(&[(100, "AcDbDictionary"), (281, "1"), (0, "ENDSEC"), (0, "EOF")]);
    }

    fn entity(&mut self, kind: &str, layer: &str, owner: u32) {
        let own = self.fresh();
        self.put(0, kind);
        self.handle(5, own);
        self.handle(330, owner);
        self.all(&[(100, "AcDbEntity"), (8, layer)]);
    }

    fn mark(&mut self, mark: &Mark, layer: &str) {
        match &mark.form {
            Form::Region(region) => {
                for ring in region.rings() {
                    self.polyline(ring, layer);
                }
            }
            Form::Line(a, b) => self.line(*a, *b, layer),
            Form::Polyline(points) => {
                for ab in points.windows(2) {
                    self.line(ab[0], ab[1], layer);
                }
            }
            Form::Text { at, size, anchor, text } => {
                self.lettering((*at, *size, *anchor), &plain(text), layer);
            }
        }
    }

    fn polyline(&mut self, ring: &Ring, layer: &str) {
        self.entity("LWPOLYLINE", layer, handle::MODEL);
        self.put(100, "AcDbPolyline");
        self.put(90, ring.points().len());
        self.put(70, 1);
        for point in ring.points() {
            self.point([10, 20], *point);
        }
    }

    fn line(&mut self, a: Point, b: Point, layer: &str) {
        self.entity("LINE", layer, handle::MODEL);
        self.put(100, "AcDbLine");
        self.point([10, 20], a);
        self.put(30, 0);
        self.point([11, 21], b);
        self.put(31, 0);
    }

    fn lettering(&mut self, (at, size, anchor): (Point, Length, Anchor), text: &str, layer: &str) {
        let side = match anchor {
            Anchor::Start => 0,
            Anchor::Middle => 1,
            Anchor::End => 2,
        };
        self.entity("TEXT", layer, handle::MODEL);
        self.put(100, "AcDbText");
        self.point([10, 20], at);
        self.put(30, 0);
        self.put(40, number(size.to_mm()));
        self.put(1, text);
        self.put(72, side);
        self.point([11, 21], at);
        self.put(31, 0);
        self.put(100, "AcDbText");
    }
}

/// A text without control characters and without the codes of the format: `^`, `%%` and `\`; other than ASCII as
/// the format's own escape, which the readers of 2000 know.
fn plain(text: &str) -> String {
    let mut plain = String::new();
    for c in text.chars().filter(|c| !c.is_control() && *c != '^') {
        match c {
            '%' if plain.ends_with('%') => {}
            '\\' => plain.push('/'),
            ' '..='~' => plain.push(c),
            '\u{80}'..='\u{ffff}' => {
                let _ = write!(plain, "\\U+{:04X}", u32::from(c));
            }
            _ => plain.push('?'),
        }
    }
    plain
}

/// A number to a millionth, without trailing zeros.
fn number(value: f64) -> String {
    let rounded = libm::round(value * 1e6) / 1e6;
    // Adding zero turns minus zero into zero.
    format!("{}", rounded + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_never_becomes_code() {
        for (name, text) in [
            ("Crab \u{0}\r\n0\nEOF", "Crab 0EOF"),
            ("50%% %%u", "50% %u"),
            ("%%%%d", "%d"),
            ("a^Jb^^", "aJb"),
            ("\\U+0041 \\P", "/U+0041 /P"),
            ("M\u{fc}schel \u{1f41a}", "M\\U+00FCschel ?"),
        ] {
            assert_eq!(plain(name), text, "{name:?}");
        }
    }

    #[test]
    fn numbers_are_plain_and_have_no_minus_zero() {
        for (value, text) in
            [(-0.0, "0"), (1.5, "1.5"), (-1e-9, "0"), (123.456_789_12, "123.456789")]
        {
            assert_eq!(number(value), text);
        }
    }
}

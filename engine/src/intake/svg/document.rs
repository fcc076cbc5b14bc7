//! From bytes to an XML tree, within bounds on its size and on what it may cost.

use std::borrow::Cow;

use roxmltree::{Document, ParsingOptions};

use super::super::problem::{Place, Problems, Trouble, shortened};
use super::super::xml;
use super::MOST_BYTES;

/// Nodes of the tree: elements, texts and comments.
const MOST_NODES: u32 = 1_000_000;

/// The text of the file, in UTF-8 or UTF-16; `None` when it is too large, which is told.
pub(super) fn text<'bytes>(
    bytes: &'bytes [u8],
    problems: &mut Problems,
) -> Option<Cow<'bytes, str>> {
    if bytes.len() > MOST_BYTES {
        let trouble = Trouble::TooLarge { bytes: bytes.len(), most: MOST_BYTES };
        problems.push(Place::File, trouble);
        return None;
    }
    let wide = |rest: &[u8], read: fn([u8; 2]) -> u16| -> String {
        let units = rest.chunks_exact(2).map(|pair| read([pair[0], pair[1]]));
        char::decode_utf16(units).map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER)).collect()
    };
    Some(match bytes {
        [0xff, 0xfe, rest @ ..] => Cow::Owned(wide(rest, u16::from_le_bytes)),
        [0xfe, 0xff, rest @ ..] => Cow::Owned(wide(rest, u16::from_be_bytes)),
        [0xef, 0xbb, 0xbf, rest @ ..] => utf8(rest, problems),
        _ => utf8(bytes, problems),
    })
}

fn utf8<'bytes>(bytes: &'bytes [u8], problems: &mut Problems) -> Cow<'bytes, str> {
    let text = String::from_utf8_lossy(bytes);
    if matches!(text, Cow::Owned(_)) {
        problems.push(Place::File, Trouble::Encoding);
    }
    text
}

/// The tree, or the line and the words of what is wrong.
pub(super) fn parse(text: &str) -> Result<Document<'_>, (usize, String)> {
    if text.as_bytes().starts_with(&[0x1f, 0x8b]) || text.starts_with("\u{1f}\u{fffd}") {
        return Err((1, "the file is compressed: save it as plain SVG".to_owned()));
    }
    xml::guard(text).map_err(|(line, what)| (line, format!("{what}: save it as plain SVG")))?;
    let options =
        ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, entity_resolver: None };
    let document = Document::parse_with_options(text, options)
        .map_err(|error| (line_number(error.pos().row), shortened(&error.to_string())))?;
    if document.root_element().tag_name().name() == "svg" {
        Ok(document)
    } else {
        let name = shortened(document.root_element().tag_name().name());
        Err((1, format!("its outermost element is `{name}` and not `svg`")))
    }
}

fn line_number(row: u32) -> usize {
    usize::try_from(row).unwrap_or(usize::MAX)
}

/// The lines of a text, to say where a byte stands.
pub(super) struct Lines(Vec<usize>);

impl Lines {
    pub(super) fn of(text: &str) -> Self {
        Self(
            text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect(),
        )
    }

    /// The line of a byte, from 1.
    pub(super) fn line(&self, byte: usize) -> usize {
        self.0.partition_point(|&end| end < byte) + 1
    }
}

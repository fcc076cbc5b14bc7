//! Which kind of foreign file something is, by its name or by how it begins.

/// A kind of file that can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A drawing for the web.
    Svg,
    /// A drawing of a CAD program.
    Dxf,
    /// A mesh of loose triangles.
    Stl,
    /// A mesh as text.
    Obj,
    /// A mesh for printing, packed.
    ThreeMf,
}

/// How much of a file is looked at.
const LOOKED_AT: usize = 4096;

impl Kind {
    /// The kind that a file's name ends in, or that its first bytes look like; `None` when neither says.
    #[must_use]
    pub fn of(name: &str, bytes: &[u8]) -> Option<Self> {
        let end = name.rsplit_once('.').map(|(_, end)| end.to_ascii_lowercase());
        match end.as_deref() {
            Some("svg") => Some(Self::Svg),
            Some("dxf") => Some(Self::Dxf),
            Some("stl") => Some(Self::Stl),
            Some("obj") => Some(Self::Obj),
            Some("3mf") => Some(Self::ThreeMf),
            _ => Self::of_content(bytes),
        }
    }

    /// What the content looks like, or else what the name says, as files are often misnamed; true when the two are at
    /// odds. `None` when neither says.
    #[must_use]
    pub fn seen(name: &str, bytes: &[u8]) -> Option<(Self, bool)> {
        let by_name = Self::of(name, &[]);
        let by_content = Self::of_content(bytes);
        let kind = by_content.or(by_name)?;
        Some((kind, by_name.is_some_and(|name| name != kind)))
    }

    /// The kind in words, such as `an SVG drawing`.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Svg => "an SVG drawing",
            Self::Dxf => "a DXF drawing",
            Self::Stl => "an STL mesh",
            Self::Obj => "an OBJ mesh",
            Self::ThreeMf => "a 3MF mesh",
        }
    }

    fn of_content(bytes: &[u8]) -> Option<Self> {
        let head = String::from_utf8_lossy(&bytes[..bytes.len().min(LOOKED_AT)]);
        let first = head.trim_start_matches('\u{feff}').trim_start();
        let second = first.lines().nth(1).map(str::trim);
        if bytes.starts_with(b"PK\x03\x04") {
            Some(Self::ThreeMf)
        } else if head.contains("<svg") {
            Some(Self::Svg)
        } else if first.starts_with("999") || (first.starts_with('0') && second == Some("SECTION"))
        {
            Some(Self::Dxf)
        } else if first.starts_with("solid") || is_binary_stl(bytes) {
            Some(Self::Stl)
        } else if first.lines().any(|line| line.starts_with("v ") || line.starts_with("o ")) {
            Some(Self::Obj)
        } else {
            None
        }
    }
}

/// True when the length is that of the count of triangles at byte 80.
pub(super) fn is_binary_stl(bytes: &[u8]) -> bool {
    let count = bytes.get(80..84).and_then(|four| <[u8; 4]>::try_from(four).ok());
    let count = count.map(|four| u64::from(u32::from_le_bytes(four)));
    count.is_some_and(|count| 84 + 50 * count == bytes.len() as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_file_holds_is_heeded_before_its_name() {
        for (name, content, seen) in [
            ("limpet.svg", "solid limpet\nfacet", Some((Kind::Stl, true))),
            ("limpet.stl", "<svg xmlns='x'/>", Some((Kind::Svg, true))),
            ("limpet.stl", "solid limpet\nfacet", Some((Kind::Stl, false))),
            ("limpet", "solid limpet\nfacet", Some((Kind::Stl, false))),
            ("limpet.obj", "?", Some((Kind::Obj, false))),
            ("limpet", "?", None),
        ] {
            assert_eq!(Kind::seen(name, content.as_bytes()), seen, "{name} {content}");
        }
    }

    #[test]
    fn the_name_decides_and_then_the_content() {
        for (name, content, kind) in [
            ("a.SVG", "", Some(Kind::Svg)),
            ("crab.3mf", "solid", Some(Kind::ThreeMf)),
            ("", "<?xml version='1.0'?>\n<svg/>", Some(Kind::Svg)),
            ("drawing", "  0\nSECTION\n  2\nHEADER\n", Some(Kind::Dxf)),
            ("x.txt", "solid limpet\nfacet", Some(Kind::Stl)),
            ("x", "# mesh\nv 0 0 0\n", Some(Kind::Obj)),
            ("x", "PK\u{3}\u{4}", Some(Kind::ThreeMf)),
            ("x.pdf", "%PDF", None),
            ("", "", None),
        ] {
            assert_eq!(Kind::of(name, content.as_bytes()), kind, "{name} {content}");
        }
        let mut binary = vec![0; 84];
        assert_eq!(Kind::of("", &binary), Some(Kind::Stl));
        binary.push(0);
        assert_eq!(Kind::of("", &binary), None);
    }
}

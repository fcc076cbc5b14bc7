//! Looks an XML text over before it is read as a tree, and refuses what would cost far more than its size.
//!
//! One linear pass that knows comments, character data, instructions, quotes and declarations as the tree's reader
//! does. A tree compares the attributes of an element pair by pair, copies namespaces to each element that declares
//! one, looks entities up one by one and puts their values in; each of these is counted here, in steps and in bytes.

/// Attributes of one element; drawing programs write some dozens.
const MOST_ATTRIBUTES: usize = 256;

/// Different prefixes of namespaces; drawing programs declare a dozen.
const MOST_PREFIXES: usize = 256;

/// Steps that namespaces and attributes may cost in all: less than a second.
const MOST_STEPS: u64 = 200_000_000;

/// Entities declared; drawing programs declare some ten.
const MOST_ENTITIES: usize = 256;

/// What all references to entities may grow to, in bytes.
const MOST_GROWTH: usize = 4 << 20;

/// Why a text is not read as a tree: the line where that was seen, and what it is.
pub(super) type Refused = (usize, &'static str);

const GROWING: &str = "it declares entities that could grow without bound";
const DECLARATION: &str = "a declaration before its first element is not closed";
const CROWDED: &str = "an element has more than 256 attributes";
const PREFIXES: &str = "it declares more than 256 prefixes of namespaces";
const WORK: &str = "its attributes and namespaces would take too long to read";

/// Refuses a text whose tree would cost far more than its size. Cost: linear.
///
/// A text that is not well formed passes: the tree's reader says better what is wrong with it, and stops there too.
pub(super) fn guard(text: &str) -> Result<(), Refused> {
    let bytes = text.as_bytes();
    let told = |(at, what): (usize, &'static str)| {
        (bytes[..at].iter().filter(|&&byte| byte == b'\n').count() + 1, what)
    };
    entities(bytes).map_err(told)?;
    let mut costs = Costs::default();
    let mut at = 0;
    while let Some(start) = find(bytes, at, b"<") {
        at = match skipped(bytes, start).map_err(told)? {
            Some(after) => after,
            None => match costs.tag(bytes, start).map_err(told)? {
                Some(after) => after,
                None => return Ok(()),
            },
        };
        costs.is_bearable().map_err(|what| told((start, what)))?;
    }
    Ok(())
}

/// Where a piece of text stands from some place on.
fn find(bytes: &[u8], from: usize, what: &[u8]) -> Option<usize> {
    let mut at = from;
    loop {
        at += bytes.get(at..)?.iter().position(|byte| *byte == what[0])?;
        if bytes[at..].starts_with(what) {
            return Some(at);
        }
        at += 1;
    }
}

/// Every declaration of an entity, wherever it stands: values are plain and short for how many references there are.
fn entities(bytes: &[u8]) -> Result<(), (usize, &'static str)> {
    let (mut longest, mut n_entities, mut at) = (0, 0, 0);
    let mut last = 0;
    while let Some(start) = find(bytes, at, b"<!ENTITY") {
        at = start + 8;
        last = start;
        n_entities += 1;
        let Some(open) = bytes[at..].iter().position(|byte| matches!(byte, b'"' | b'\'')) else {
            break;
        };
        let value = at + open + 1;
        let quote = bytes[value - 1];
        let length = bytes[value..].iter().position(|&byte| byte == quote);
        let length = length.unwrap_or(bytes.len() - value);
        let is_plain =
            !bytes[value..value + length].iter().any(|b| matches!(b, b'&' | b'%' | b'<'));
        if !is_plain || n_entities > MOST_ENTITIES {
            return Err((start, GROWING));
        }
        longest = longest.max(length);
    }
    if longest > 0 {
        let n_references = bytes.iter().filter(|&&byte| byte == b'&').count();
        if n_references.saturating_mul(longest) > MOST_GROWTH {
            return Err((last, GROWING));
        }
    }
    Ok(())
}

/// Where the comment, character data, instruction or declaration that begins here ends; `None` for a tag.
fn skipped(bytes: &[u8], start: usize) -> Result<Option<usize>, (usize, &'static str)> {
    let rest = &bytes[start..];
    let end = bytes.len();
    for (open, close) in [(&b"<!--"[..], &b"-->"[..]), (b"<![CDATA[", b"]]>"), (b"<?", b"?>")] {
        if rest.starts_with(open) {
            let after = find(bytes, start + open.len(), close).map(|at| at + close.len());
            return Ok(Some(after.unwrap_or(end)));
        }
    }
    if !rest.starts_with(b"<!") {
        return Ok(None);
    }
    // What lies within the brackets of a document type is looked at piece by piece, like all else. Of declarations
    // that the tree's reader passes over, it takes no heed of quotes; of these two it does.
    let has_quotes = rest.starts_with(b"<!DOCTYPE") || rest.starts_with(b"<!ENTITY");
    let mut quote = None;
    for (at, &byte) in bytes.iter().enumerate().skip(start + 2) {
        match (byte, quote) {
            // Else what is quoted could hide what follows.
            (b'<', _) => return Err((start, DECLARATION)),
            (_, Some(open)) if byte == open => quote = None,
            (_, Some(_)) => {}
            (b'"' | b'\'', None) if has_quotes => quote = Some(byte),
            (b'>' | b'[', None) => return Ok(Some(at + 1)),
            _ => {}
        }
    }
    Ok(Some(end))
}

/// What the tree will cost.
#[derive(Debug, Default)]
struct Costs<'a> {
    prefixes: std::collections::BTreeSet<&'a [u8]>,
    /// Declarations of namespaces.
    n_declared: u64,
    /// Names with a prefix, and elements, each of which is looked up among the namespaces.
    n_looked_up: u64,
    /// Pairs of attributes of one element.
    n_pairs: u64,
}

impl<'a> Costs<'a> {
    /// Counts a tag and says where it ends; `None` when it does not, so that the tree's reader stops there too.
    fn tag(
        &mut self,
        bytes: &'a [u8],
        start: usize,
    ) -> Result<Option<usize>, (usize, &'static str)> {
        let mut n_attributes = 0;
        let mut quote = None;
        self.n_looked_up += 1;
        for (at, &byte) in bytes.iter().enumerate().skip(start + 1) {
            match (byte, quote) {
                (b'<', _) => return Ok(None),
                (_, Some(open)) if byte == open => quote = None,
                (_, Some(_)) => {}
                (b'"' | b'\'', None) => {
                    quote = Some(byte);
                    self.attribute(name_before(&bytes[start + 1..at]));
                    self.n_pairs += n_attributes as u64;
                    n_attributes += 1;
                    if n_attributes > MOST_ATTRIBUTES {
                        return Err((start, CROWDED));
                    }
                }
                (b'>', None) => return Ok(Some(at + 1)),
                _ => {}
            }
        }
        Ok(None)
    }

    /// An attribute by its name.
    fn attribute(&mut self, name: &'a [u8]) {
        if let Some(prefix) = name.strip_prefix(b"xmlns") {
            self.n_declared += 1;
            self.prefixes.insert(prefix);
        } else if name.contains(&b':') {
            self.n_looked_up += 1;
        }
    }

    fn is_bearable(&self) -> Result<(), &'static str> {
        if self.prefixes.len() > MOST_PREFIXES {
            return Err(PREFIXES);
        }
        let n_in_scope = self.prefixes.len() as u64 + 1;
        let copied = self.n_declared * n_in_scope * n_in_scope;
        let steps = self.n_pairs + self.n_looked_up * n_in_scope + copied;
        if steps > MOST_STEPS { Err(WORK) } else { Ok(()) }
    }
}

/// The name that ends a piece of a tag, before a sign of equality and the white space round it.
fn name_before(part: &[u8]) -> &[u8] {
    let part = part.trim_ascii_end();
    let name = part.strip_suffix(b"=").unwrap_or(part).trim_ascii_end();
    let is_border = |byte: &u8| byte.is_ascii_whitespace() || matches!(byte, b'"' | b'\'');
    let start = name.iter().rposition(is_border).map_or(0, |at| at + 1);
    &name[start..]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(text: &str) -> Option<&'static str> {
        guard(text).err().map(|(_, what)| what)
    }

    /// A document with this before its root and this within it.
    fn document(before: &str, within: &str) -> String {
        format!("<!DOCTYPE svg [{before}]>\n<svg>{within}</svg>")
    }

    #[test]
    fn what_drawing_programs_write_passes() {
        let namespaces = "<!ENTITY ns_svg 'http://www.w3.org/2000/svg'>\n\
                          <!ENTITY ns_xlink \"http://www.w3.org/1999/xlink\">";
        let head = "<?xml version='1.0'?><!-- made > here's one --><!DOCTYPE svg PUBLIC \
                    \"-//W3C//DTD SVG 1.1//EN\" \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\" [";
        let rest = "<!ATTLIST svg version CDATA #FIXED '1.1'>]><svg xmlns = \"&ns_svg;\" xmlns:xlink='&ns_xlink;'>\
                    <style><![CDATA[a > b { fill: '<x' }]]></style><g a='1>2' b = '3'/></svg>";
        assert_eq!(guard(&format!("{head}{namespaces}{rest}")), Ok(()));
        // One declaration on each element, as some programs write.
        let each =
            "<g xmlns='http://www.w3.org/2000/svg' xmlns:xlink='x'><use xlink:href='#a'/></g>";
        assert_eq!(guard(&format!("<svg>{}</svg>", each.repeat(20_000))), Ok(()));
        let usual =
            "<path id='p1' style='fill:none' d='M0 0' inkscape:label='x' transform='scale(2)'/>";
        assert_eq!(guard(&format!("<svg>{}</svg>", usual.repeat(50_000))), Ok(()));
    }

    #[test]
    fn entities_cannot_be_hidden_behind_comments_quotes_or_a_second_document_type() {
        let bomb = format!("<!ENTITY a '{}'>", "x".repeat(1000));
        let uses = "&a;".repeat(5000);
        for before in [
            String::new(),
            "<!-- ]> -->".to_owned(),
            "<!ENTITY z ']>'>".to_owned(),
            "<!ATTLIST a b CDATA ']>'>".to_owned(),
            "<?x ]>?>".to_owned(),
        ] {
            let text = document(&format!("{before}{bomb}"), &uses);
            assert_eq!(refused(&text), Some(GROWING), "{before}");
            assert_eq!(guard(&document(&format!("{before}{bomb}"), "&a;")), Ok(()), "{before}");
        }
        let second = format!("<!-- <!DOCTYPE x> -->{}", document(&bomb, &uses));
        assert_eq!(refused(&second), Some(GROWING));
        for value in ["&b;&b;", "%b;", "<g/>"] {
            let text = document(&format!("<!ENTITY b 'x'><!ENTITY a \"{value}\">"), "&a;");
            assert_eq!(guard(&text), Err((1, GROWING)), "{value}");
        }
        let many: String = (0..300).map(|k| format!("<!ENTITY e{k} 'x'>")).collect();
        assert_eq!(refused(&document(&many, "&e7;")), Some(GROWING));
    }

    #[test]
    fn attributes_are_counted_whatever_stands_before_them() {
        let crowd = |n: usize| (0..n).map(|k| format!(" a{k}='1>'")).collect::<String>();
        assert_eq!(guard(&format!("<svg><g{}/></svg>", crowd(256))), Ok(()));
        for before in [
            "",
            "<!-- ' -->",
            "<![CDATA[<g a=\"]]>",
            "<?x ' ?>",
            "text isn't quoted",
            "<g a='\"'/>",
        ] {
            let text = format!("<svg>\n{before}<g{}/></svg>", crowd(257));
            assert_eq!(guard(&text), Err((2, CROWDED)), "{before}");
        }
        for hidden in ["<!ATTLIST a b CDATA \"<!-- \">", "<!ELEMENT a '<x \"'>"] {
            let text = document(hidden, &format!("<g{}/>", crowd(257)));
            assert_eq!(refused(&text), Some(DECLARATION), "{hidden}");
        }
        let doctype = format!("<!DOCTYPE a SYSTEM 'x> <!-- '><svg><g{}/></svg>", crowd(257));
        assert_eq!(refused(&doctype), Some(DECLARATION));
        let many = format!("<g{}/>", crowd(250)).repeat(7000);
        assert_eq!(refused(&many), Some(WORK), "7000 elements of 250 attributes");
    }

    #[test]
    fn namespaces_are_counted_by_their_prefixes_and_by_what_copying_costs() {
        let root = |n: usize| {
            let names: String = (0..n).map(|k| format!(" xmlns:p{k}='u{k}'")).collect();
            format!("<svg{names}>")
        };
        let split = format!("{}{}</svg></svg>", root(200), root(200).replace("p", "q"));
        assert_eq!(refused(&split), Some(PREFIXES));
        let children = "<g xmlns='x'/>".repeat(10_000);
        assert_eq!(refused(&format!("{}{children}</svg>", root(200))), Some(WORK));
        assert_eq!(guard(&format!("{}{children}</svg>", root(20))), Ok(()));
        let spaced = format!("<svg{}/>", " xmlns:a \n = 'x'".repeat(2));
        let mut costs = Costs::default();
        assert_eq!(costs.tag(spaced.as_bytes(), 0), Ok(Some(spaced.len())));
        assert_eq!((costs.n_declared, costs.prefixes.len()), (2, 1));
    }
}

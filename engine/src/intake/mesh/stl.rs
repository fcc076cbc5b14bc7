//! STL, binary and text: loose triangles without a unit.

use super::super::kind::is_binary_stl;
use super::super::problem::{Place, Problems, Trouble, shortened};
use super::solid::{Corner, Gather};

/// Bytes before the first triangle of the binary form.
const HEAD: usize = 84;
/// Bytes of a triangle of the binary form.
const TRIANGLE: usize = 50;

/// Takes the triangles of either form; the binary one is known by its length, or by not being text.
pub(super) fn read(bytes: &[u8], gather: &mut Gather, problems: &mut Problems) {
    let head = bytes.trim_ascii_start();
    let looks_like_text =
        head.starts_with(b"solid") && contains(&bytes[..bytes.len().min(1000)], b"facet");
    if !is_binary_stl(bytes) && (looks_like_text || bytes.len() < HEAD) {
        read_text(&String::from_utf8_lossy(bytes), gather, problems);
    } else {
        read_binary(bytes, gather, problems);
    }
}

fn contains(bytes: &[u8], word: &[u8]) -> bool {
    bytes.windows(word.len()).any(|window| window == word)
}

fn read_binary(bytes: &[u8], gather: &mut Gather, problems: &mut Problems) {
    if !is_binary_stl(bytes) {
        let told = bytes.get(80..HEAD).and_then(|four| <[u8; 4]>::try_from(four).ok());
        let told = u32::from_le_bytes(told.unwrap_or_default());
        let there = bytes.len().saturating_sub(HEAD) / TRIANGLE;
        let what = format!("it says {told} triangles and has room for {there}");
        problems.push(Place::File, Trouble::Miscounted { what });
    }
    let body = bytes.get(HEAD..).unwrap_or_default();
    for (number, one) in (1..).zip(body.chunks_exact(TRIANGLE)) {
        if gather.is_full() {
            return;
        }
        let value = |at: usize| -> f64 {
            let four = <[u8; 4]>::try_from(&one[at..at + 4]).unwrap_or_default();
            f64::from(f32::from_le_bytes(four))
        };
        let corner = |at: usize| [value(at), value(at + 4), value(at + 8)];
        let corners = [corner(12), corner(24), corner(36)];
        gather.add(corners, || Place::Triangle(number), problems);
    }
}

fn read_text(text: &str, gather: &mut Gather, problems: &mut Problems) {
    let mut waiting: Vec<Corner> = Vec::with_capacity(3);
    for (number, line) in (1..).zip(text.lines()) {
        let line = line.trim();
        let Some(rest) = line.strip_prefix("vertex") else {
            if line.starts_with("endfacet") || line.starts_with("facet") {
                waiting.clear();
            }
            continue;
        };
        let Some(corner) = corner(rest) else {
            let trouble = Trouble::BadValue {
                what: "vertex".to_owned(),
                text: shortened(rest.trim()),
                done: "its triangle was left out",
            };
            problems.push(Place::Line(number), trouble);
            waiting.clear();
            continue;
        };
        waiting.push(corner);
        if let [a, b, c] = waiting[..] {
            gather.add([a, b, c], || Place::Line(number), problems);
            waiting.clear();
        }
        if gather.is_full() {
            return;
        }
    }
}

/// Three numbers in a row; more may follow.
pub(super) fn corner(text: &str) -> Option<Corner> {
    let mut words = text.split_ascii_whitespace().map(|word| word.parse::<f64>().ok());
    Some([words.next()??, words.next()??, words.next()??])
}

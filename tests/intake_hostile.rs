//! Foreign files broken by chance: no reader panics, takes long or returns more than its bounds.

#![expect(clippy::unwrap_used, reason = "a test that cannot read its reference has to fail")]

use std::time::{Duration, Instant};

use engine::intake::{Found, read_dxf, read_svg};
use serde_json::Value;

const SVG: &str = include_str!("data/svg_reference.json");
const DXF: &str = include_str!("data/dxf_reference.json");

/// What one small broken file may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(5);

/// A source of chance with a known course: xorshift64* (Vigna, ACM TOMS 42(4), 2016; from memory).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % (n.max(1) as u64)).unwrap()
    }
}

/// Pieces that break readers: signs, limits, numbers that are none.
const PIECES: [&str; 16] = [
    "<",
    "\"",
    "\0",
    "-",
    "1e309",
    "NaN",
    "inf",
    "99999999999",
    "0",
    "\n",
    "M",
    "z",
    "&",
    "1e-320",
    "#",
    "\u{fffd}",
];

/// A file with a few changes: pieces put in, bytes changed, stretches doubled or cut.
fn broken(bytes: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut broken = bytes.to_vec();
    for _ in 0..=chance.below(6) {
        let at = chance.below(broken.len());
        let end = (at + chance.below(40)).min(broken.len());
        match chance.below(5) {
            0 => {
                let piece = PIECES[chance.below(PIECES.len())];
                broken.splice(at..at, piece.bytes());
            }
            1 => {
                let piece = PIECES[chance.below(PIECES.len())];
                broken.splice(at..end, piece.bytes());
            }
            2 if at < broken.len() => broken[at] = u8::try_from(chance.below(256)).unwrap(),
            3 => {
                let stretch = broken[at..end].to_vec();
                broken.splice(at..at, stretch);
            }
            _ => drop(broken.drain(at..end)),
        }
    }
    broken
}

/// Reads thousands of broken files; some have to be refused and some read, or chance was too kind or too cruel.
fn survives(reference: &str, column: usize, read: impl Fn(&[u8]) -> Found) {
    let rows: Vec<Value> = serde_json::from_str(reference).unwrap();
    let mut chance = Chance(20_260_804);
    let (mut n_read, mut n_told) = (0, 0);
    for _ in 0..4000 {
        let row = &rows[chance.below(rows.len())];
        let bytes = broken(row[column].as_str().unwrap().as_bytes(), &mut chance);
        let started = Instant::now();
        let found = read(&bytes);
        let text = String::from_utf8_lossy(&bytes);
        assert!(started.elapsed() < PATIENCE, "{:?} for {text}", started.elapsed());
        let points =
            found.outlines.iter().flat_map(|one| one.region.rings()).flat_map(|r| r.points());
        assert!(points.into_iter().all(|p| p.is_finite()), "{text}");
        assert!(found.problems.len() <= 250, "{} problems of {text}", found.problems.len());
        n_read += u32::from(!found.outlines.is_empty());
        n_told += u32::from(!found.problems.is_empty());
    }
    assert!(n_read > 400 && n_told > 400, "{n_read} read, {n_told} told");
}

#[test]
fn broken_svg_is_read_as_far_as_it_goes() {
    survives(SVG, 1, |bytes| read_svg(bytes, None));
}

#[test]
fn broken_dxf_is_read_as_far_as_it_goes() {
    survives(DXF, 2, |bytes| read_dxf(bytes, None));
}

//! A bounded run through the doors that the fuzz targets have, on files broken by their structure.
//!
//! Numbers become extreme, words change places, stretches are repeated, nested and taken from other files; meshes are
//! broken number by number and packed anew, links behind their check sum. The same rounds in every run.

#![expect(clippy::print_stdout, reason = "how many rounds there were, shown with --nocapture")]

mod archive;
#[path = "../engine/fuzz/edits.rs"]
mod edits;
#[path = "../engine/fuzz/entries.rs"]
mod entries;
mod every_choice;
mod logged;
#[allow(dead_code, reason = "edits are drawn here, and no plans")]
mod random_plan;

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::{Duration, Instant};

use archive::archive;
use base64::Engine;
use base64::prelude::{BASE64_STANDARD, BASE64_URL_SAFE_NO_PAD};
use engine::file::{link, save, save_log, save_mold, save_shelf};
use engine::intake::{Kind, read_mesh};
use engine::plan::{Mold, Plan, sample};
use entries::{Came, DOORS};
use every_choice::{every_batch, every_choice, every_relief, every_turn};
use logged::logbook;
use miniz_oxide::inflate::decompress_to_vec;
use onepull_tests::chance::Chance;
use serde_json::Value;

/// What one round may take on a busy machine, without optimisation.
const PATIENCE: Duration = Duration::from_secs(20);

/// Numbers that readers trip over.
const EXTREMES: [&str; 18] = [
    "0",
    "-0",
    "1e308",
    "-1e308",
    "1e309",
    "NaN",
    "inf",
    "-inf",
    "1e-320",
    "2147483648",
    "-1",
    "65536",
    "99999999999999999999",
    "0.1e",
    ".",
    "--5",
    "1e9",
    "4294967295",
];

/// The same for single precision.
const EXTREME_BITS: [u32; 9] = [
    0x7f80_0000,
    0xff80_0000,
    0x7fc0_0000,
    0x7f7f_ffff,
    0x0000_0001,
    0x8000_0000,
    0x4e6e_6b28,
    0,
    0x3f80_0000,
];

/// A text as numbers, words, white space and single signs.
fn tokens(text: &str) -> Vec<&str> {
    let class = |c: char| match c {
        '0'..='9' | '.' | '-' | '+' => 0,
        _ if c.is_alphabetic() || c == '_' || c == '$' => 1,
        _ if c.is_whitespace() => 2,
        _ => 3,
    };
    let mut tokens = Vec::new();
    let mut start = 0;
    let mut before = None;
    for (at, c) in text.char_indices() {
        if before.is_some_and(|before| before != class(c) || class(c) == 3) {
            tokens.push(&text[start..at]);
            start = at;
        }
        before = Some(class(c));
    }
    tokens.push(&text[start..]);
    tokens
}

fn is_number(token: &str) -> bool {
    token.starts_with(|c: char| c.is_ascii_digit() || "-.+".contains(c))
}

/// An element without content, such as `<rect/>`, from somewhere on.
fn element(words: &[&str], chance: &mut Chance) -> Option<std::ops::Range<usize>> {
    let from = chance.below(words.len());
    let start = (from..words.len()).find(|&at| words[at] == "<")?;
    let end = (start..words.len()).find(|&at| words[at] == ">")?;
    (words[end - 1] == "/").then_some(start..end + 1)
}

/// A text with one to three changes of its structure; most leave it well formed.
fn broken(text: &str, other: &str, chance: &mut Chance) -> String {
    let mut words = tokens(text);
    let others = tokens(other);
    for _ in 0..=chance.below(3) {
        change(&mut words, &others, chance);
        if words.is_empty() {
            words.push("0");
        }
    }
    words.concat()
}

fn change<'a>(words: &mut Vec<&'a str>, others: &[&'a str], chance: &mut Chance) {
    let n = words.len();
    match chance.below(16) {
        0..7 => {
            let from = chance.below(n);
            if let Some(at) = (from..n).find(|&at| is_number(words[at])) {
                words[at] = chance.of(&EXTREMES);
            }
        }
        7 | 8 => {
            let (from, to) = (chance.below(n), chance.below(n));
            let numbers = [from, to].map(|from| (from..n).find(|&at| is_number(words[at])));
            if let [Some(one), Some(other)] = numbers {
                words.swap(one, other);
            }
        }
        9 | 10 => {
            if let Some(taken) = element(others, chance) {
                let at = element(words, chance).map_or(0, |range| range.start);
                let taken = &others[taken];
                for _ in 0..=chance.below(6) {
                    words.splice(at..at, taken.iter().copied());
                }
            }
        }
        11 => drop(element(words, chance).map(|range| words.drain(range).count())),
        12 => {
            let stretch = words[chance.stretch(n, 60)].to_vec();
            let at = chance.below(n);
            words.splice(at..at, stretch);
        }
        13 => drop(words.drain(chance.stretch(n, 30))),
        14 => {
            let stretch = others[chance.stretch(others.len(), 60)].to_vec();
            words.splice(chance.stretch(n, 8), stretch);
        }
        _ => words.truncate(n - chance.below(n / 4 + 1)),
    }
}

/// Bytes with one to six of them, or four in a row, made extreme.
fn broken_bytes(bytes: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut broken = bytes.to_vec();
    for _ in 0..=chance.below(6) {
        let n = broken.len();
        match chance.below(5) {
            0 if n > 88 => {
                // A number of a triangle, as binary STL aligns them.
                let at = 84 + 50 * chance.below((n - 84) / 50) + 4 * chance.below(12);
                let value = chance.of(&EXTREME_BITS).to_le_bytes();
                broken.splice(at..(at + 4).min(n), value);
            }
            1 if n > 84 => broken[80 + chance.below(4)] = chance.byte(),
            2 => {
                let stretch = broken[chance.stretch(n, 100)].to_vec();
                let at = chance.below(n);
                broken.splice(at..at, stretch);
            }
            3 => drop(broken.drain(chance.stretch(n, 60))),
            _ => {
                let at = chance.below(n);
                broken[at] = if chance.below(3) == 0 { 0xff } else { chance.byte() };
            }
        }
        if broken.is_empty() {
            broken.push(0);
        }
    }
    broken
}

/// Files of every kind that are whole.
struct Corpus {
    texts: BTreeMap<&'static str, Vec<String>>,
    meshes: Vec<Vec<u8>>,
    contents: Vec<Vec<u8>>,
}

impl Corpus {
    fn new() -> Self {
        let column = |reference: &str, column: usize| -> Vec<String> {
            let rows: Vec<Value> = serde_json::from_str(reference).expect("a reference");
            rows.iter().map(|row| row[column].as_str().expect("text").to_owned()).collect()
        };
        let mut svg = column(include_str!("data/svg_reference.json"), 1);
        svg.push(include_str!("../public/samples/clam-halves.svg").to_owned());
        svg.extend(walked_round());
        let mut dxf = column(include_str!("data/dxf_reference.json"), 2);
        dxf.push(include_str!("../public/samples/starfish.dxf").to_owned());
        let meshes = column(include_str!("data/mesh_reference.json"), 1);
        let meshes = meshes.iter().map(|text| BASE64_STANDARD.decode(text).expect("base64"));
        let meshes: Vec<Vec<u8>> = meshes.filter(|bytes| bytes.len() < 8000).collect();
        let (obj, mut models): (Vec<_>, Vec<_>) = meshes.iter().map(|bytes| as_text(bytes)).unzip();
        models.extend(walked_round());
        let plans = [sample(), every_choice(), every_relief(), every_batch(), every_turn()];
        let links = plans
            .each_ref()
            .map(|plan| link(plan, plan.first_pull().expect("a pull")).expect("links"));
        let content = |link: &String| {
            let bytes = BASE64_URL_SAFE_NO_PAD.decode(&link[2..]).expect("base64url");
            decompress_to_vec(&bytes[2..bytes.len() - 4]).expect("deflate")
        };
        let contents = links.iter().map(content).collect();
        let saved = plans.iter().map(save).collect();
        let texts = BTreeMap::from([
            ("svg", svg),
            ("dxf", dxf),
            ("obj", obj),
            ("threemf", models),
            ("saved", saved),
            ("link", links.to_vec()),
            ("shelf", plans.iter().map(shelf_of).collect()),
            ("log", vec![save_log(&logbook(3)), save_log(&logbook(40))]),
        ]);
        Self { texts, meshes, contents }
    }

    /// The next broken file for a door.
    fn next(&self, door: &str, chance: &mut Chance) -> Vec<u8> {
        match door {
            "stl" => broken_bytes(&chance.of(&self.meshes), chance),
            "photo" => photo(chance),
            "link" if chance.below(4) > 0 => broken_bytes(&chance.of(&self.contents), chance),
            _ => {
                let texts = &self.texts[door];
                let text = broken(&chance.of(texts), &chance.of(texts), chance);
                match door {
                    "threemf" => packed(&text, chance),
                    _ => text.into_bytes(),
                }
            }
        }
    }
}

/// XML that walks round a guard which looks at its beginning only, or costs the square of its size.
fn walked_round() -> [String; 4] {
    let bomb = format!("<!ENTITY a '{}'>", "x".repeat(400));
    let uses = "&a;".repeat(400);
    let crowd: String = (0..300).map(|k| format!(" a{k}='1'")).collect();
    let names: String = (0..200).map(|k| format!(" xmlns:n{k}='u'")).collect();
    [
        format!("<!DOCTYPE svg [<!-- ]> -->{bomb}]><svg><text>{uses}</text></svg>"),
        format!("<!DOCTYPE svg [<!ENTITY z ']>'>{bomb}]><svg><text>{uses}</text></svg>"),
        format!("<svg><!-- ' --><g{crowd}/><rect width='9' height='9'/></svg>"),
        format!("<svg{names}>{}</svg>", "<g xmlns='x'><rect width='9' height='9'/></g>".repeat(40)),
    ]
}

/// All molds of a plan on a shelf.
fn shelf_of(plan: &Plan) -> String {
    let kept = |mold: &Arc<Mold>| (1_754_000_000_000, "a sketch".to_owned(), save_mold(mold));
    save_shelf(&plan.molds.values().map(kept).collect::<Vec<_>>())
}

/// A mesh as OBJ and as a model of 3MF.
fn as_text(stl: &[u8]) -> (String, String) {
    let mesh = read_mesh(stl, Kind::Stl, None).mesh;
    let (mut obj, mut vertices, mut triangles) = (String::new(), String::new(), String::new());
    for [x, y, z] in &mesh.corners {
        obj.push_str(&format!("v {x:.3} {y:.3} {z:.3}\n"));
        vertices.push_str(&format!("<vertex x='{x:.3}' y='{y:.3}' z='{z:.3}'/>"));
    }
    for [a, b, c] in &mesh.triangles {
        obj.push_str(&format!("f {} {} {}\n", a + 1, b + 1, c + 1));
        triangles.push_str(&format!("<triangle v1='{a}' v2='{b}' v3='{c}'/>"));
    }
    let model = format!(
        "<model unit='millimeter' xmlns='http://schemas.microsoft.com/3dmanufacturing/core/2015/02'><resources>\
         <object id='1'><mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh></object>\
         <object id='2'><components><component objectid='1' transform='1 0 0 0 1 0 0 0 1 5 6 7'/></components></object>\
         </resources><build><item objectid='2'/></build></model>"
    );
    (obj, model)
}

fn packed(model: &str, chance: &mut Chance) -> Vec<u8> {
    let bytes = archive(model.as_bytes(), chance.below(2) == 0);
    if chance.below(4) == 0 { broken_bytes(&bytes, chance) } else { bytes }
}

/// Light paper on a dark ground with a dark patch, and corners anywhere: the head of the door `photo`, then pixels.
fn photo(chance: &mut Chance) -> Vec<u8> {
    let mut bytes: Vec<u8> = (0..20).map(|_| chance.byte()).collect();
    if chance.below(2) == 0 {
        // Corners in order, as a person sets them.
        bytes[4..12].copy_from_slice(&[20, 25, 180, 15, 175, 190, 10, 170]);
    }
    let (width, height) = (64 + usize::from(bytes[0]) / 8, 64 + usize::from(bytes[1]) / 8);
    let noise = chance.below(80);
    let patch = (chance.below(width), chance.below(height), 5 + chance.below(20));
    for y in 0..height {
        for x in 0..width {
            let is_paper =
                8 * x > width && 8 * x < 7 * width && 8 * y > height && 8 * y < 7 * height;
            let is_patch = x.abs_diff(patch.0).max(y.abs_diff(patch.1)) < patch.2;
            let light = if is_paper && !is_patch { 170 } else { 40 };
            let value = u8::try_from(light + chance.below(noise)).unwrap_or(u8::MAX);
            bytes.extend([value, value, value, 255]);
        }
    }
    // A multiple of sixteen now and then, which is what the slow part of the door is entered by.
    let extra = bytes.len() % 16;
    bytes.truncate(bytes.len() - if chance.below(8) == 0 { extra } else { 0 });
    bytes
}

/// Rounds for each door: some seconds in all.
const ROUNDS: [(&str, usize); 10] = [
    ("svg", 3000),
    ("dxf", 3000),
    ("stl", 1200),
    ("obj", 1200),
    ("threemf", 1200),
    ("photo", 160),
    ("saved", 3000),
    ("link", 6000),
    ("log", 3000),
    ("shelf", 600),
];

#[test]
fn files_broken_by_their_structure_raise_no_panic_and_take_no_time() {
    let corpus = Corpus::new();
    for ((name, n), (door_name, door)) in ROUNDS.into_iter().zip(DOORS) {
        assert_eq!(name, door_name);
        let mut chance = Chance::new(0x5eed_0000 + n as u64);
        let mut tally: BTreeMap<Came, usize> = BTreeMap::new();
        let begun = Instant::now();
        for round in 0..n {
            let bytes = corpus.next(name, &mut chance);
            let started = Instant::now();
            *tally.entry(door(&bytes)).or_default() += 1;
            let took = started.elapsed();
            assert!(took < PATIENCE, "{name}, round {round}: {took:?}");
        }
        println!("{name}: {n} rounds in {:?}: {tally:?}", begun.elapsed());
        let is_read = tally.keys().any(|came| *came != Came::Refused);
        let is_told = tally.keys().any(|came| *came != Came::Whole);
        assert!(is_read && is_told, "{name}: too kind or too cruel: {tally:?}");
    }
}

/// Rows of edits: some seconds, the bytes that draw them the same in every run.
const EDIT_ROUNDS: usize = 600;

/// Rows that a longer search found to be slow or worse.
const FOUND_EDITS: [(&str, &[u8]); 1] = [(
    "a rounded edge inset many times",
    &[216, 91, 63, 105, 105, 105, 105, 105, 105, 105, 105, 142],
)];

#[test]
fn rows_of_random_edits_raise_no_panic_and_each_step_comes_off_again() {
    let mut chance = Chance::new(0x5eed_ed17);
    let mut tally: BTreeMap<Came, usize> = BTreeMap::new();
    for _ in 0..EDIT_ROUNDS {
        let n = 1 + 4 * chance.below(60);
        let bytes: Vec<u8> = (0..n).map(|_| chance.byte()).collect();
        *tally.entry(edits::edited(&bytes)).or_default() += 1;
    }
    println!("edits: {EDIT_ROUNDS} rounds: {tally:?}");
    for (what, bytes) in FOUND_EDITS {
        let begun = Instant::now();
        let came = edits::edited(bytes);
        println!("edits, {what}: {came:?} in {:?}", begun.elapsed());
        assert!(begun.elapsed() < PATIENCE, "{what}: {:?}", begun.elapsed());
    }
    let most = tally.get(&Came::Partly).copied().unwrap_or_default();
    assert!(most > EDIT_ROUNDS / 2, "too kind or too cruel: {tally:?}");
}

//! The link: it comes back rounded, stays short, opens for ever, and no text makes the reader panic.

#![expect(clippy::print_stdout, reason = "measured figures, shown with --nocapture")]

mod every_choice;
mod random_plan;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use engine::edit::{Edit, EditError};
use engine::file::{LinkError, coarsened, keeps_back, link, load, qr, save, unlink};
use engine::plan::{
    Footprint, HeightGrid, Machine, Mold, MoldId, Plan, PullId, Relief, Stock, StockId, Turn,
    sample,
};
use engine::units::Length;
use every_choice::{every_batch, every_choice, every_relief, every_turn};
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::decompress_to_vec;
use onepull_tests::assert_near;
use random_plan::{plan, runner};
use serde_json::Value;

const BASE: &str = "https://host.example/onepull/#";

fn linked(plan: &Plan) -> String {
    link(plan, plan.first_pull().expect("a pull")).expect("links")
}

#[test]
fn the_link_of_the_sample_plan_is_short_and_fits_a_code_that_a_phone_reads() {
    let address = format!("{BASE}{}", linked(&sample()));
    println!("the sample plan's link has {} characters", address.len());
    assert!(address.len() < 1_500, "{} characters", address.len());
    let code = qr(&address).expect("fits");
    println!("its code has {} modules a side", code.side());
    // Read back by an independent reader, drawn at three pixels a module with a quiet zone of four modules.
    let pixels = (code.side() + 8) * 3;
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(pixels, pixels, |x, y| {
        let inside = |pixel: usize| (pixel / 3).checked_sub(4);
        let is_dark = inside(x).zip(inside(y)).is_some_and(|(x, y)| code.is_dark(x, y));
        if is_dark { 0 } else { 255 }
    });
    let grids = image.detect_grids();
    let (_, text) = grids.first().expect("one code").decode().expect("reads");
    assert_eq!(text, address);
}

/// Files in `data/links` stand in pairs: the link as it was shared, and the plan it opened to as a saved file.
#[test]
fn links_of_every_version_open_for_ever() {
    let room = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/links");
    let read = |path: &Path| fs::read_to_string(path).expect("reads");
    let files = fs::read_dir(&room).expect("the room is there");
    let paths: Vec<_> = files.map(|file| file.expect("readable").path()).collect();
    let links: Vec<_> =
        paths.iter().filter(|path| path.extension().is_some_and(|e| e == "txt")).collect();
    assert!(links.len() >= 2 && links.len() * 2 == paths.len(), "{paths:?}");
    for path in links {
        let plan = unlink(&read(path)).unwrap_or_else(|error| panic!("{path:?}: {error}"));
        assert_eq!(plan, load(&read(&path.with_extension("json"))).expect("loads"), "{path:?}");
    }
}

#[test]
fn a_plan_comes_back_rounded_and_links_to_the_same_text() {
    let refused = std::cell::Cell::new(0);
    let law = |plan: Plan| {
        for &id in plan.pulls.keys() {
            let text = match link(&plan, id) {
                Ok(text) => text,
                Err(LinkError::Refused(_)) => {
                    refused.set(refused.get() + 1);
                    continue;
                }
                Err(error) => panic!("{error}"),
            };
            let back = unlink(&text).expect("opens");
            assert_eq!(link(&back, id).expect("links again"), text);
            let mut pull = plan.pulls[&id].clone();
            Arc::make_mut(&mut pull).stock = None;
            let pulls = BTreeMap::from([(id, pull)]);
            let (batch, cutting, order) = Default::default();
            let stock = *plan.stock_of_pull(id);
            let shared = coarse(&Plan { pulls, stock, batch, cutting, order, ..plan.clone() });
            assert_rounded("", &saved(&shared), &saved(&back));
        }
        Ok(())
    };
    runner(500).run(&plan(), law).expect("holds");
    // What stands on the very limit may be rounded beyond it, and is refused as `link` says; but hardly ever.
    assert!(refused.get() <= 4, "{} plans whose rounding goes beyond a limit", refused.get());
}

/// The plan with every grid of heights as a link keeps it.
fn coarse(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    for id in coarsened(&plan) {
        let mold = plan.molds.get_mut(&id).map(Arc::make_mut).expect("a mold of the plan");
        let Relief::Heights(grid) = &mold.relief else { panic!("{:?}", mold.relief) };
        mold.relief = Relief::Heights(Arc::new(grid.coarser(24)));
    }
    plan
}

#[test]
fn heights_are_shared_on_a_coarser_grid_of_few_characters() {
    let n = 96_u16;
    let tenths = |k: u16| {
        let (x, y) = (f64::from(k % n) - 47.5, f64::from(k / n) - 47.5);
        let left = 1.0 - (x * x + y * y) / (48.0 * 48.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few hundred tenths"
        )]
        let tenths = (300.0 * left.max(0.0).sqrt()) as u16;
        tenths
    };
    let grid = HeightGrid::new(96, 96, Length::mm(30.0), (0..n * n).map(tenths).collect());
    let footprint = Footprint::Circle { diameter: Length::mm(60.0) };
    let mold = Mold::new("Limpet", footprint, Length::mm(30.0));
    let with = |relief| {
        let edit = Edit::AddMold(MoldId(9), Box::new(Mold { relief, ..mold.clone() }));
        sample().apply(&edit).expect("adds")
    };
    let (plan, plain) = (with(Relief::Heights(Arc::new(grid.expect("whole")))), with(Relief::Dome));
    assert_eq!(coarsened(&plan), [MoldId(9)]);
    let text = linked(&plan);
    let more = text.len() - linked(&plain).len();
    println!("heights of a half ball take {more} characters of a link");
    assert!(more < 800 && text.starts_with("2p") && linked(&plain).starts_with("1p"), "{more}");
    let back = unlink(&text).expect("opens");
    assert_eq!(back, coarse(&plan));
    assert_eq!(coarsened(&back), []);
}

#[test]
fn kits_and_cutting_stay_behind() {
    assert_eq!([&every_relief(), &every_batch()].map(keeps_back), [false, true]);
    assert_eq!(linked(&every_batch()), linked(&every_relief()));
}

#[test]
fn a_link_has_the_sheet_that_its_pull_is_formed_in() {
    let plan = every_turn();
    // To the micrometre that a link keeps.
    let red = Stock { gauge: Length::mm(2.997), ..plan.batch.stocks[&StockId(9)].stock };
    assert_ne!(red, plan.stock);
    let back = unlink(&link(&plan, PullId(4)).expect("links")).expect("opens");
    assert_eq!((back.stock, back.pulls[&PullId(4)].stock), (red, None));
    assert_eq!(unlink(&linked(&plan)).expect("opens").stock, plan.stock);
    // The sheet is the only thing that such a link says otherwise.
    let own = plan.apply(&Edit::SetPullStock(PullId(4), None)).expect("sets");
    let own = unlink(&link(&own, PullId(4)).expect("links")).expect("opens");
    assert_eq!(Plan { stock: plan.stock, ..back }, own);
    let ordered = every_choice().apply(&Edit::SetOrder(vec![Turn { pull: PullId(4), times: 2 }]));
    assert!(keeps_back(&ordered.expect("sets")));
}

#[test]
fn the_link_says_one_pull_and_all_molds() {
    let plan = every_choice();
    let back = unlink(&link(&plan, PullId(4)).expect("links")).expect("opens");
    assert_eq!(back.pulls.keys().copied().collect::<Vec<_>>(), [PullId(4)]);
    assert_eq!(back.molds.len(), plan.molds.len());
    assert_eq!(link(&plan, PullId(2)), Err(LinkError::Refused(EditError::NoSuchPull(PullId(2)))));
}

fn saved(plan: &Plan) -> Value {
    serde_json::from_str(&save(plan)).expect("JSON")
}

/// The same values but for the rounding of a link: 0.5 micrometres, 5 for corners, 0.0005 degrees and parts.
fn assert_rounded(at: &str, was: &Value, is: &Value) {
    match (was, is) {
        (Value::Object(was), Value::Object(is)) => {
            let keys = |o: &serde_json::Map<String, Value>| {
                o.keys().filter(|key| !key.ends_with("_rad")).cloned().collect::<Vec<_>>()
            };
            assert_eq!(keys(was), keys(is), "{at}");
            keys(was)
                .iter()
                .for_each(|key| assert_rounded(&format!("{at}/{key}"), &was[key], &is[key]));
        }
        (Value::Array(was), Value::Array(is)) => {
            assert_eq!(was.len(), is.len(), "{at}");
            was.iter().zip(is).for_each(|(was, is)| assert_rounded(at, was, is));
        }
        (Value::Number(was), Value::Number(is)) => {
            let (was, is) = (was.as_f64().expect("a number"), is.as_f64().expect("a number"));
            let key = at.rsplit('/').next().unwrap_or_default();
            let within = match key {
                "outer_mm" | "holes_mm" => 0.005,
                // Half an odd number of micrometres rounds down, so that a slot stays one.
                "radius_mm" => 0.001,
                _ => 0.0005,
            };
            let mut off = (was - is).abs();
            if key == "turn_deg" {
                off = off.min(360.0 - off);
            }
            assert_near!(off, 0.0, within + 1e-9, "{at}: {was} became {is}");
        }
        _ => assert_eq!(was, is, "{at}"),
    }
}

#[test]
fn what_is_wrong_with_a_link_is_said() {
    let good = linked(&sample());
    for end in 0..good.len() {
        let error = unlink(&good[..end]).expect_err("cut short");
        match end {
            0 | 1 => assert_eq!(error, LinkError::NotALink),
            _ => assert!(
                matches!(error, LinkError::CutShort { has, .. } if has <= end.max(3)),
                "{end}: {error:?}"
            ),
        }
    }
    let cut = unlink(&good[..402]).expect_err("cut short").to_string();
    let words = format!("the link is cut short: 402 of its {} characters are here", good.len());
    assert!(cut.starts_with(&words), "{cut}");
    let cases = [
        (
            "",
            "this is no link of Onepull; copy the whole link, from https:// to its last character",
        ),
        (
            BASE,
            "this is no link of Onepull; copy the whole link, from https:// to its last character",
        ),
        (
            "#5pAbC",
            "the link was made by a newer Onepull (version 5); this one reads up to 2: reload the page to get the newest",
        ),
        (
            &good.replacen(&good[300..304], "AAAA", 1),
            "the link was damaged on its way; copy it again, or ask for the saved file",
        ),
        (
            &format!("{good}AAAA"),
            "the link was damaged on its way; copy it again, or ask for the saved file",
        ),
        (
            &"1p".repeat(40_000),
            "the link has 80000 characters, more than the 65536 a link may have; share the saved file instead",
        ),
    ];
    for (text, words) in cases {
        assert_eq!(unlink(text).expect_err(words).to_string(), words);
    }
}

#[test]
fn one_wrong_character_never_opens_another_plan() {
    let (plan, good) = (unlink(&linked(&sample())).expect("opens"), linked(&sample()));
    for at in 2..good.len() {
        for with in ["A", "b", "7", "-", "_"] {
            let mut text = good.clone();
            text.replace_range(at..=at, with);
            match unlink(&text) {
                // The last character may carry bits that belong to no byte.
                Ok(opened) => assert!(opened == plan && (text == good || at == good.len() - 1)),
                Err(LinkError::Damaged | LinkError::CutShort { .. }) => {}
                Err(error) => panic!("{at}: {error}"),
            }
        }
    }
}

#[test]
fn a_plan_too_large_for_a_link_is_told_to_be_saved() {
    use engine::geometry::{Point, Ring};
    let mut random = Random(1);
    let mut number = || f64::from(random.below(1_000_000)) / 100.0;
    let mut plan = Plan::new("Whole shore", Machine::default());
    for n in 1..=20 {
        let outer = Ring::new((0..1000).map(|_| Point::new(number(), number())).collect());
        let mold = Mold::new("Rock", Footprint::Outline { outer, holes: vec![] }, Length::mm(9.0));
        plan = plan.apply(&Edit::AddMold(MoldId(n), Box::new(mold))).expect("within the limits");
    }
    let error = link(&plan, PullId(1)).expect_err("too long");
    assert!(matches!(error, LinkError::TooLong { characters: 65_537.., .. }), "{error:?}");
    assert!(error.to_string().ends_with("share the saved file instead"));
}

#[test]
fn a_bomb_is_refused_soon() {
    let bomb = compress_to_vec(&vec![0; 100_000_000], 9);
    let begun = Instant::now();
    let whole = unlink(&wrapped('1', &bomb, bomb.len() % 65_536));
    assert!(matches!(whole, Err(LinkError::TooLong { .. })), "{whole:?}");
    // As much of it as a link has room for.
    let part = &bomb[..48_000];
    assert_eq!(unlink(&wrapped('2', part, part.len())), Err(LinkError::TooLarge { most: 262_144 }));
    println!("a bomb of 100 MB is refused after {:?}", begun.elapsed());
    assert!(begun.elapsed() < Duration::from_secs(2), "{:?}", begun.elapsed());
}

/// A link around any deflated bytes, as the format says it, with the right check sum.
fn wrapped(version: char, deflated: &[u8], length: usize) -> String {
    let length = u16::try_from(length).expect("short").to_le_bytes();
    let check = crc32fast::hash(deflated).to_le_bytes();
    format!("{version}p{}", BASE64_URL_SAFE_NO_PAD.encode([&length[..], deflated, &check].concat()))
}

/// Bytes as one stored block of deflate (RFC 1951, section 3.2.4): valid, and quick to make.
fn stored(bytes: &[u8]) -> Vec<u8> {
    let length = u16::try_from(bytes.len()).expect("short");
    [&[1], &length.to_le_bytes()[..], &(!length).to_le_bytes(), bytes].concat()
}

/// What a link packs, before deflate.
fn content(link: &str) -> Vec<u8> {
    let bytes = BASE64_URL_SAFE_NO_PAD.decode(&link[2..]).expect("base64url");
    decompress_to_vec(&bytes[2..bytes.len() - 4]).expect("deflate")
}

/// Marsaglia's xorshift (G. Marsaglia, Xorshift RNGs, 2003), shifts 13, 7, 17.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, end: usize) -> u32 {
        u32::try_from((self.next() >> 16) % end as u64).expect("small")
    }

    fn index(&mut self, end: usize) -> usize {
        self.below(end.max(1)) as usize
    }

    fn byte(&mut self) -> u8 {
        self.next().to_le_bytes()[3]
    }

    /// One to four changes: a byte set, turned, doubled, taken out or put in, a piece repeated, an end cut off.
    fn mutate(&mut self, bytes: &mut Vec<u8>, alphabet: &[u8]) {
        for _ in 0..=self.index(4) {
            let at = self.index(bytes.len());
            let letter = alphabet[self.index(alphabet.len())];
            match self.index(16) {
                0 => bytes.truncate(at),
                1 => bytes.insert(at, letter),
                2 if at < bytes.len() => drop(bytes.remove(at)),
                3 => {
                    let piece = bytes[at..(at + self.index(40)).min(bytes.len())].to_vec();
                    let to = self.index(bytes.len());
                    bytes.splice(to..to, piece);
                }
                4..8 if at < bytes.len() => bytes[at] ^= 1 << self.index(8),
                _ if at < bytes.len() => bytes[at] = letter,
                _ => {}
            }
        }
    }
}

/// How often each kind of answer was given.
type Tally = BTreeMap<&'static str, u32>;

const fn answer(opened: &Result<Plan, LinkError>) -> &'static str {
    match opened {
        Ok(_) => "opened",
        Err(LinkError::NotALink) => "no link",
        Err(LinkError::Newer { .. }) => "newer",
        Err(LinkError::CutShort { .. }) => "cut short",
        Err(LinkError::Damaged) => "damaged",
        Err(LinkError::TooLong { .. }) => "too long",
        Err(LinkError::TooLarge { .. }) => "too large",
        Err(LinkError::Refused(_)) => "refused",
    }
}

/// `n` texts that were links before characters of them were changed.
fn mutated_texts(seed: u64, n: u32) -> Tally {
    let alphabet = b"ABCDefgh0123456789-_p#%=. \n\r<>)&?/";
    let links = [sample(), every_choice(), every_relief()].map(|plan| linked(&plan));
    let (mut random, mut tally) = (Random(seed), Tally::new());
    for n in 0..n {
        let mut bytes = links[n as usize % links.len()].clone().into_bytes();
        random.mutate(&mut bytes, alphabet);
        let text = String::from_utf8_lossy(&bytes);
        *tally.entry(answer(&unlink(&text))).or_default() += 1;
    }
    tally
}

/// `n` links with the right check sum around changed content, so that everything behind it is reached.
fn mutated_contents(seed: u64, n: u32) -> Tally {
    let alphabet: Vec<u8> = (0..=255).collect();
    let contents = [sample(), every_choice(), every_relief()].map(|plan| {
        let link = linked(&plan);
        (if link.starts_with('2') { '2' } else { '1' }, content(&link))
    });
    let (mut random, mut tally) = (Random(seed), Tally::new());
    for n in 0..n {
        let (version, mut bytes) = contents[n as usize % contents.len()].clone();
        random.mutate(&mut bytes, &alphabet);
        let mut deflated = stored(&bytes);
        if random.byte() < 16 {
            random.mutate(&mut deflated, &alphabet);
        }
        let opened = unlink(&wrapped(version, &deflated, deflated.len()));
        *tally.entry(answer(&opened)).or_default() += 1;
        // Whatever opens is a plan like any other; linking is slower, so one in sixteen shows it.
        if let (Ok(plan), 0) = (&opened, n % 16) {
            linked(plan);
        }
    }
    tally
}

#[test]
fn a_million_mutated_links_raise_no_panic() {
    let begun = Instant::now();
    let run = |seed| move || [mutated_texts(seed, 250_000), mutated_contents(seed + 1, 250_000)];
    let (one, two) = std::thread::scope(|scope| {
        let (one, two) =
            (scope.spawn(run(88_172_645_463_325_252)), scope.spawn(run(2_463_534_242)));
        (one.join().expect("no panic"), two.join().expect("no panic"))
    });
    println!("a million mutated links in {:?}: {one:?} {two:?}", begun.elapsed());
    for [texts, contents] in [one, two] {
        let has = |tally: &Tally, answers: &[&str]| answers.iter().all(|a| tally.contains_key(a));
        assert!(has(&texts, &["opened", "no link", "newer", "cut short", "damaged"]), "{texts:?}");
        assert!(has(&contents, &["opened", "damaged", "refused"]), "{contents:?}");
    }
}

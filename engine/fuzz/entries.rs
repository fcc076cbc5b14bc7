//! What is done with bytes from nowhere: each door of the engine, and what must hold behind it whatever came in.
//!
//! The fuzz targets and the smoke run in the tests call the same functions, so what one finds the other keeps.

use engine::edit::{Edit, EditError};
use engine::file::{
    link, load, load_log, load_shelf, save, save_log, save_mold, save_shelf, unlink,
};
use engine::geometry::Point;
use engine::heat::Sides;
use engine::intake::photo::{
    Paper, Picture, TraceSettings, find_card, find_paper, parallax_warning, trace,
};
use engine::intake::{
    AddError, Found, Kind, Problem, SourceUnit, Standing, Up, add_mold, add_mold_from_mesh,
    read_dxf, read_mesh, read_svg, survey,
};
use engine::physics::Draw;
use engine::plan::{ClearanceRule, Machine, Plan, Settings};
use engine::record::{Logbook, learned_clearance, learned_heat};
use engine::rules::check;
use engine::units::{Angle, Length};

/// What came of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Came {
    /// Something to work with, without a word of trouble.
    Whole,
    /// Something, and problems told.
    Partly,
    /// Nothing, and told why.
    Refused,
}

/// A door: bytes in, invariants held, what came of it out.
pub(crate) type Door = fn(&[u8]) -> Came;

/// All doors by name.
pub(crate) const DOORS: [(&str, Door); 10] = [
    ("svg", svg),
    ("dxf", dxf),
    ("stl", stl),
    ("obj", obj),
    ("threemf", threemf),
    ("photo", photo),
    ("saved", saved),
    ("link", shared),
    ("log", logged),
    ("shelf", shelf),
];

/// Triangles of which a survey is made; more are only read, so that no round takes long.
const MOST_SURVEYED: usize = 400;

/// A survey or a traced sheet takes hundreds of times as long as reading: one in so many rounds, by the bytes' count.
const ONE_IN: usize = 16;

/// Outlines that are made molds of.
const MOST_ADDED: usize = 4;

/// A drawing for the web.
pub(crate) fn svg(bytes: &[u8]) -> Came {
    drawing(&read_svg(bytes, None))
}

/// A drawing of a CAD program.
pub(crate) fn dxf(bytes: &[u8]) -> Came {
    drawing(&read_dxf(bytes, None))
}

/// A mesh of loose triangles.
pub(crate) fn stl(bytes: &[u8]) -> Came {
    mesh(bytes, Kind::Stl)
}

/// A mesh as text.
pub(crate) fn obj(bytes: &[u8]) -> Came {
    mesh(bytes, Kind::Obj)
}

/// A packed mesh.
pub(crate) fn threemf(bytes: &[u8]) -> Came {
    mesh(bytes, Kind::ThreeMf)
}

fn came(is_something: bool, problems: &[Problem]) -> Came {
    assert!(problems.len() <= 250, "{} problems", problems.len());
    for problem in problems {
        let words = problem.to_string();
        assert!(words.len() < 1000 && !words.contains(char::is_control), "{words:?}");
    }
    match (is_something, problems.is_empty()) {
        (true, true) => Came::Whole,
        (true, false) => Came::Partly,
        (false, is_silent) => {
            assert!(!is_silent, "nothing was read, and nothing was said");
            Came::Refused
        }
    }
}

fn drawing(found: &Found) -> Came {
    let plan = Plan::new("Plan", Machine::default());
    for one in &found.outlines {
        let mut corners = one.region.rings().flat_map(|ring| ring.points());
        assert!(corners.all(|p| p.x.is_finite() && p.y.is_finite()), "{one:?}");
    }
    for one in found.outlines.iter().take(MOST_ADDED) {
        added(&plan, add_mold(&plan, one, "Limpet", Length::mm(12.0)).map(|added| added.edit));
    }
    came(!found.outlines.is_empty(), &found.problems)
}

/// What was added applies, is measured, and comes back from a saved file.
fn added(plan: &Plan, edit: Result<Edit, AddError>) {
    match edit {
        Ok(edit) => {
            let plan = plan.apply(&edit).expect("what was offered is accepted");
            for mold in plan.molds.values() {
                let draw = Draw::of(mold);
                assert!(draw.is_none_or(|draw| !draw.areal.is_nan()), "{mold:?}");
                assert!(!mold.heights(Length::mm(20.0)).heights().iter().any(|h| h.is_nan()));
            }
            assert_eq!(load(&save(&plan)).as_ref(), Ok(&plan));
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
}

fn mesh(bytes: &[u8], kind: Kind) -> Came {
    let found = read_mesh(bytes, kind, Some(SourceUnit::Millimetre));
    let n_triangles = found.mesh.triangles.len();
    assert!(found.mesh.corners.iter().flatten().all(|value| value.is_finite()));
    if n_triangles <= MOST_SURVEYED && bytes.len().is_multiple_of(ONE_IN) {
        let up = Up::ALL[bytes.len() / ONE_IN % Up::ALL.len()];
        let standing = Standing::new(found.mesh, up, SourceUnit::Millimetre);
        let survey = survey(&standing, Angle::degrees(3.0));
        assert!(survey.formed.to_mm2().is_finite() && survey.undercut.plan.to_mm2().is_finite());
        let cells = survey.by_place.cells();
        assert!(
            cells.iter().all(|cell| cell.undercut >= Length::ZERO && cell.undercut.is_finite())
        );
        let plan = Plan::new("Plan", Machine::default());
        added(&plan, add_mold_from_mesh(&plan, &survey, "Limpet").map(|added| added.edit));
    }
    came(n_triangles > 0, &found.problems)
}

/// A picture: its size, the corners and the threshold from the first bytes, its pixels from the others, repeated.
pub(crate) fn photo(bytes: &[u8]) -> Came {
    let (head, pixels) = bytes.split_at(bytes.len().min(20));
    let at = |index: usize| head.get(index).copied().unwrap_or(0);
    let (width, height) = (64 + u32::from(at(0)) / 8, 64 + u32::from(at(1)) / 8);
    let n = 4 * (width * height) as usize;
    let rgba: Vec<u8> = if pixels.is_empty() {
        vec![at(2); n]
    } else {
        pixels.iter().copied().cycle().take(n).collect()
    };
    let Ok(picture) = Picture::new(width, height, &rgba) else { return Came::Refused };
    let card = find_card(&picture).map(|found| (found.paper(), found.corners));
    let paper = find_paper(&picture).map(|found| (Paper::A4, found.corners));
    // Corners a person could have set: anywhere in the picture and somewhat beyond it.
    let place = |k: usize| {
        let part = |index: usize, side: u32| f64::from(at(index)) / 200.0 * f64::from(side);
        Point::new(part(4 + 2 * k, width), part(5 + 2 * k, height))
    };
    let small = Paper::Other { short: Length::mm(24.0), long: Length::mm(31.0) };
    let set = (small, [0, 1, 2, 3].map(place));
    let threshold = (at(3) > 100).then(|| f64::from(at(3)) / 200.0);
    let settings = TraceSettings { threshold, ..TraceSettings::default() };
    let mut is_something = false;
    let found =
        card.into_iter().chain(paper).take(if bytes.len().is_multiple_of(ONE_IN) { 2 } else { 0 });
    for (paper, corners) in found.chain([set]) {
        assert!(corners.iter().all(|p| p.x.is_finite() && p.y.is_finite()), "{corners:?}");
        match trace(&picture, paper, corners, &settings) {
            Ok(traced) => {
                assert!(traced.expected_error.is_finite());
                let warning = parallax_warning(&traced, Length::mm(30.0));
                assert!(warning.is_none_or(|warning| !warning.to_string().contains("NaN")));
                is_something |= !traced.outlines.is_empty();
                let points = traced.outlines.iter().flat_map(|one| one.region.outer.points());
                assert!(points.into_iter().all(|p| p.x.is_finite() && p.y.is_finite()));
            }
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
    if is_something { Came::Whole } else { Came::Refused }
}

/// A saved file; what opens is a plan like any other.
pub(crate) fn saved(bytes: &[u8]) -> Came {
    let text = String::from_utf8_lossy(bytes);
    match load(&text) {
        Ok(plan) => {
            whole(&plan);
            Came::Whole
        }
        Err(error) => {
            assert!(!error.to_string().is_empty());
            Came::Refused
        }
    }
}

/// A link, as text or, to get behind its check sum, as what it packs.
pub(crate) fn shared(bytes: &[u8]) -> Came {
    let text = String::from_utf8_lossy(bytes);
    let texts = [text.into_owned(), wrapped('1', bytes), wrapped('2', bytes)];
    let opened: Vec<Plan> = texts.iter().filter_map(|text| unlink(text).ok()).collect();
    for plan in &opened {
        whole(plan);
        let pull = plan.first_pull().expect("every plan has a pull");
        match link(plan, pull) {
            Ok(text) => assert_eq!(unlink(&text).and_then(|plan| link(&plan, pull)), Ok(text)),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
    if opened.is_empty() { Came::Refused } else { Came::Whole }
}

/// A log of pulls; what opens saves, merges with itself to itself, and says something or nothing.
pub(crate) fn logged(bytes: &[u8]) -> Came {
    match load_log(&String::from_utf8_lossy(bytes)) {
        Ok(book) => {
            assert_eq!(load_log(&save_log(&book)).as_ref(), Ok(&book));
            let both = [book.merge(&book), book.merge(&Logbook::default())];
            assert!(both.iter().all(|both| both.as_ref().is_ok_and(|both| both.book == book)));
            let rule: ClearanceRule = Settings::default().clearance;
            let learned = learned_clearance(&book, &rule);
            assert!(learned.under.pulls + learned.at_or_above.pulls <= book.len());
            assert!(learned.advice.is_none_or(|advice| (0.5..=3.0).contains(&advice.factor)));
            if bytes.len().is_multiple_of(ONE_IN) {
                for sides in [Sides::One, Sides::Both] {
                    let found = learned_heat(&book, sides);
                    assert!(found.is_none_or(|found| found.absorbed.0 <= found.absorbed.1));
                }
            }
            Came::Whole
        }
        Err(error) => {
            assert!(!error.to_string().is_empty());
            Came::Refused
        }
    }
}

/// A shelf; what opens saves, and opens again as the same.
pub(crate) fn shelf(bytes: &[u8]) -> Came {
    match load_shelf(&String::from_utf8_lossy(bytes)) {
        Ok((molds, n_unread)) => {
            let entries: Vec<_> = molds
                .iter()
                .map(|one| (one.kept.unwrap_or(0), one.source.clone(), save_mold(&one.mold)))
                .collect();
            let (again, n_lost) = load_shelf(&save_shelf(&entries)).expect("what was saved opens");
            assert_eq!(n_lost, 0);
            for (one, other) in molds.iter().zip(&again) {
                assert_eq!((&one.mold, &one.source), (&other.mold, &other.source));
            }
            if n_unread == 0 { Came::Whole } else { Came::Partly }
        }
        Err(error) => {
            assert!(!error.to_string().is_empty());
            Came::Refused
        }
    }
}

/// The plan saves and opens, is checked and measured, and says so when it is not accepted.
pub(crate) fn whole(plan: &Plan) {
    assert_eq!(load(&save(plan)).as_ref(), Ok(plan));
    for mold in plan.molds.values().take(MOST_ADDED) {
        let edit = Edit::AddMold(plan.free_mold_id(), Box::new((**mold).clone()));
        let again = plan.apply(&edit);
        assert!(
            matches!(again, Ok(_) | Err(EditError::TooMany { .. } | EditError::MoldExists(_))),
            "{again:?}"
        );
        let n_corners = mold.footprint.n_corners();
        if n_corners < 100 {
            let _draw = Draw::of(mold);
        }
    }
    if plan.molds.len() < 20 && plan.pulls.len() < 4 {
        let findings = plan.pulls.keys().take(1).flat_map(|&pull| check(plan, pull));
        assert!(findings.count() < 100_000);
    }
}

/// A link around any content, with its length and the right check sum (`file/link` says the form).
fn wrapped(version: char, content: &[u8]) -> String {
    // One stored block of deflate (RFC 1951, section 3.2.4).
    let length = u16::try_from(content.len().min(60_000)).expect("short");
    let content = &content[..usize::from(length)];
    let deflated = [&[1], &length.to_le_bytes()[..], &(!length).to_le_bytes(), content].concat();
    let n = u16::try_from(deflated.len()).expect("short").to_le_bytes();
    let wire = [&n[..], &deflated, &crc32(&deflated).to_le_bytes()].concat();
    let alphabet = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let mut text = String::from_iter([version, 'p']);
    for three in wire.chunks(3) {
        let bits = three.iter().fold(0_u32, |bits, byte| bits << 8 | u32::from(*byte));
        let bits = bits << (8 * (3 - three.len()));
        for k in 0..=three.len() {
            let index = bits >> (18 - 6 * k) & 63;
            text.push(char::from(alphabet[index as usize]));
        }
    }
    text
}

/// The check sum of gzip (RFC 1952, section 8).
fn crc32(bytes: &[u8]) -> u32 {
    let step = |sum: u32| if sum & 1 == 1 { (sum >> 1) ^ 0xedb8_8320 } else { sum >> 1 };
    !bytes.iter().fold(u32::MAX, |sum, &byte| (0..8).fold(sum ^ u32::from(byte), |s, _| step(s)))
}

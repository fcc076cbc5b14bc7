//! Files that are known to break readers, each by its name: what is told, and how much memory it takes at its height.
//!
//! Every reader meets the same list: nothing at all, numbers that are none, shapes that are open, counts of a thousand
//! million, what is made to grow, and the content of another kind of file.

#![expect(clippy::print_stdout, reason = "the memory that each took, shown with --nocapture")]

mod archive;

use allocation_counter::measure;
use archive::archive;
use engine::intake::{
    Kind, Problem, SourceUnit, Standing, Up, read_dxf, read_mesh, read_svg, survey,
};
use engine::units::Angle;

/// Bytes that a small file may take at its height, as the caps on elements drawn and on cells of heights let it: a few per
/// cent of what a tab has.
const SMALL: u64 = 32 << 20;

/// What an archive that unpacks to all that is read may take: that, once more while it grows, and some.
const UNPACKED: u64 = 260 << 20;

/// A file by the reader it is for and by what is wrong with it.
struct Case {
    kind: Kind,
    what: &'static str,
    bytes: Vec<u8>,
    /// What has to be among the words that are told.
    told: &'static str,
    most: u64,
}

fn case(kind: Kind, what: &'static str, bytes: impl Into<Vec<u8>>, told: &'static str) -> Case {
    Case { kind, what, bytes: bytes.into(), told, most: SMALL }
}

/// All problems in reading, and in measuring what was read of a mesh.
fn problems(kind: Kind, bytes: &[u8]) -> Vec<Problem> {
    match kind {
        Kind::Svg => read_svg(bytes, None).problems,
        Kind::Dxf => read_dxf(bytes, None).problems,
        Kind::Stl | Kind::Obj | Kind::ThreeMf => {
            let found = read_mesh(bytes, kind, Some(SourceUnit::Millimetre));
            let mut told = found.problems;
            if !found.mesh.triangles.is_empty() {
                let standing = Standing::new(found.mesh, Up::PlusZ, SourceUnit::Millimetre);
                told.extend(survey(&standing, Angle::degrees(3.0)).problems);
            }
            told
        }
    }
}

fn hold(cases: Vec<Case>) {
    for Case { kind, what, bytes, told, most } in cases {
        let mut words = Vec::new();
        let taken = measure(|| {
            words = problems(kind, &bytes).iter().map(Problem::to_string).collect();
        });
        println!("{kind:?}, {what}: {} bytes, {} at its height", bytes.len(), taken.bytes_max);
        assert!(words.iter().any(|one| one.contains(told)), "{kind:?}, {what}: {words:#?}");
        assert!(taken.bytes_max <= most, "{kind:?}, {what}: {} bytes", taken.bytes_max);
    }
}

const LAUGHS: &str = "<!DOCTYPE svg [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;'>\
    <!ENTITY c '&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;'><!ENTITY d '&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;'>\
    <!ENTITY e '&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;'><!ENTITY f '&e;&e;&e;&e;&e;&e;&e;&e;&e;&e;'>]>";

const TRIANGLE: &str = "solid limpet\nfacet normal 0 0 0\nouter loop\nvertex 0 0 0\nvertex 9 0 0\nvertex 0 9 5\n\
    endloop\nendfacet\nendsolid\n";

const SVG: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' viewBox='0 0 9 9'>";

#[test]
fn drawings_for_the_web() {
    let drawn = |within: &str| format!("{SVG}{within}</svg>");
    let copies = |level: u32| {
        format!("<g id='u{level}'>{}</g>", format!("<use href='#u{}'/>", level - 1).repeat(10))
    };
    // Ten to the power of nine squares.
    let squares: String = (1..=9).map(copies).collect();
    let squares =
        format!("<defs><rect id='u0' width='1' height='1'/>{squares}</defs><use href='#u9'/>");
    hold(vec![
        case(Kind::Svg, "empty", "", "it cannot be read as SVG"),
        case(Kind::Svg, "NaN", drawn("<rect width='NaN' height='5'/>"), "the value of width"),
        case(Kind::Svg, "open", drawn("<path fill='none' d='M0 0H5V5'/>"), "the line is open by"),
        case(Kind::Svg, "a thousand million", drawn(&squares), "more than 100000 elements"),
        case(
            Kind::Svg,
            "billion laughs",
            format!("{LAUGHS}{}", drawn("<text>&f;</text>")),
            "grow without bound",
        ),
        case(
            Kind::Svg,
            "billion laughs behind a comment",
            format!("{}{}", LAUGHS.replace('[', "[<!-- ]> -->"), drawn("<text>&f;</text>")),
            "grow without bound",
        ),
        case(Kind::Svg, "a mesh", TRIANGLE, "it cannot be read as SVG"),
    ]);
}

#[test]
fn drawings_of_cad_programs() {
    let drawn = |entities: &str| {
        let lines = entities.split_whitespace().map(|word| format!("{word}\n"));
        format!("0\nSECTION\n2\nENTITIES\n{}0\nENDSEC\n0\nEOF\n", lines.collect::<String>())
    };
    let block = "0 SECTION 2 BLOCKS 0 BLOCK 2 A 10 0 20 0 0 POINT 10 0 20 0 0 ENDBLK 0 ENDSEC \
                 0 SECTION 2 ENTITIES 0 INSERT 2 A 10 0 20 0 70 1000000000 71 1000000000 0 ENDSEC";
    let block: String = block.split_whitespace().map(|word| format!("{word}\n")).collect();
    hold(vec![
        case(Kind::Dxf, "empty", "", "no closed outline"),
        case(
            Kind::Dxf,
            "NaN",
            drawn("0 CIRCLE 10 NaN 20 0 40 5"),
            "the value of group code 10 cannot be read",
        ),
        case(Kind::Dxf, "open", drawn("0 LINE 10 0 20 0 11 50 21 0"), "the line is open by 50 mm"),
        case(
            Kind::Dxf,
            "a thousand million corners",
            drawn("0 LWPOLYLINE 90 1000000000 70 1 10 0 20 0 10 9 20 0"),
            "no closed outline",
        ),
        case(
            Kind::Dxf,
            "a thousand million knots and control points",
            drawn("0 SPLINE 70 0 71 3 72 1000000000 73 1000000000 10 0 20 0 10 9 20 0"),
            "no closed outline",
        ),
        case(Kind::Dxf, "a thousand million blocks", block, "more than 200000 entities"),
        case(
            Kind::Dxf,
            "a drawing for the web",
            format!("{SVG}</svg>"),
            "it cannot be read as DXF",
        ),
    ]);
}

/// A binary STL that says it has so many triangles, and has one.
fn binary_stl(n_told: u32, corner: f32) -> Vec<u8> {
    let mut bytes = vec![b' '; 80];
    bytes.extend(n_told.to_le_bytes());
    bytes.extend([0; 12]);
    for value in [corner, 0.0, 0.0, 9.0, 0.0, 0.0, 0.0, 9.0, 5.0] {
        bytes.extend(value.to_le_bytes());
    }
    bytes.extend([0; 2]);
    bytes
}

#[test]
fn meshes() {
    hold(vec![
        case(Kind::Stl, "empty", "", "no triangle was found"),
        case(Kind::Stl, "NaN", binary_stl(1, f32::NAN), "triangles without finite corners"),
        case(Kind::Stl, "open", TRIANGLE, "the surface has gaps"),
        case(
            Kind::Stl,
            "a thousand million triangles",
            binary_stl(1_000_000_000, 0.0),
            "it says 1000000000 triangles and has room for 1",
        ),
        case(Kind::Stl, "a drawing", format!("{SVG}</svg>"), "no triangle was found"),
        case(Kind::Obj, "empty", "", "no triangle was found"),
        case(
            Kind::Obj,
            "NaN",
            "v 0 0 nan\nv 1 0 0\nv 0 1 0\nf 1 2 3\n",
            "triangles without finite corners",
        ),
        case(Kind::Obj, "open", "v 0 0 0\nv 9 0 0\nv 0 9 5\nf 1 2 3\n", "the surface has gaps"),
        case(
            Kind::Obj,
            "corner a thousand million",
            "v 0 0 0\nv 9 0 0\nf 1 2 1000000000\nf 1 2 -1000000000\n",
            "the face was left out",
        ),
        case(Kind::Obj, "a drawing", format!("{SVG}</svg>"), "no triangle was found"),
    ]);
}

/// A model of one triangle, its third corner told.
fn model(before: &str, corner: &str) -> Vec<u8> {
    let text = format!(
        "{before}<model><resources><object id='1'><mesh><vertices><vertex x='0' y='0' z='0'/><vertex x='9' y='0' z='0'/>\
         <vertex x='{corner}' y='9' z='5'/></vertices><triangles><triangle v1='0' v2='1' v3='2'/>\
         <triangle v1='0' v2='1' v3='1000000000'/></triangles></mesh></object></resources>\
         <build><item objectid='1'/></build></model>"
    );
    archive(text.as_bytes(), true)
}

#[test]
fn packed_meshes() {
    let bomb = archive(&vec![b' '; 120 << 20], true);
    assert!(bomb.len() < 1 << 20, "{} bytes", bomb.len());
    let unpacked = (120_u32 << 20).to_le_bytes();
    // The size stands twice: before the content and in the table of files.
    let mut lying = bomb.clone();
    let stands: Vec<usize> =
        (0..lying.len() - 4).filter(|&at| lying[at..at + 4] == unpacked).collect();
    assert_eq!(stands.len(), 2);
    for at in stands {
        lying[at..at + 4].copy_from_slice(&1000_u32.to_le_bytes());
    }
    let mut cases = vec![
        case(Kind::ThreeMf, "empty", "", "no table of its files"),
        case(Kind::ThreeMf, "NaN", model("", "NaN"), "triangles without finite corners"),
        case(Kind::ThreeMf, "open", model("", "0"), "the surface has gaps"),
        case(
            Kind::ThreeMf,
            "corner a thousand million",
            model("", "0"),
            "triangles without finite corners",
        ),
        case(Kind::ThreeMf, "billion laughs", model(LAUGHS, "&f;"), "it cannot be read as 3MF"),
        case(
            Kind::ThreeMf,
            "a bomb that says its size",
            bomb,
            "more than the 104857600 that are read",
        ),
        case(Kind::ThreeMf, "a drawing", format!("{SVG}</svg>"), "no table of its files"),
    ];
    let told = "unpacks to more than is read";
    cases.push(Case { most: UNPACKED, ..case(Kind::ThreeMf, "a bomb that lies", lying, told) });
    hold(cases);
}

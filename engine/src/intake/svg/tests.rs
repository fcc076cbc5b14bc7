//! Unit tests of the SVG reader: what is told, what is asked, and that nothing grows without bound.

use super::*;
use crate::intake::{FoundOutline, Problem};

fn drawing(body: &str) -> String {
    format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='100mm' viewBox='0 0 100 100'>\n{body}\n</svg>"
    )
}

fn read(body: &str) -> Found {
    read_svg(drawing(body).as_bytes(), None)
}

fn words(found: &Found) -> Vec<String> {
    found.problems.iter().map(Problem::to_string).collect()
}

fn area(outline: &FoundOutline) -> f64 {
    outline.region.area().to_mm2()
}

#[test]
fn a_rectangle_keeps_its_name_its_place_and_its_size() {
    let found = read("<g>\n<rect id='crab' x='10' y='20' width='30' height='40'/></g>");
    assert_eq!(words(&found), [""; 0]);
    assert_eq!(found.scale, Scale::Known(SourceUnit::Millimetre));
    let [outline] = &found.outlines[..] else { panic!("{found:?}") };
    assert_eq!((outline.name.as_str(), outline.at.to_string()), ("crab", "rect (line 3)".into()));
    assert!((area(outline) - 1200.0).abs() < 1e-9);
    let bounds = outline.region.bounds().expect("has corners");
    assert!((bounds.min.y + 60.0).abs() < 1e-9 && (bounds.max.y + 20.0).abs() < 1e-9, "{bounds:?}");
}

#[test]
fn a_drawing_without_units_asks_and_an_answer_scales_it() {
    let text = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 50 50'><rect width='10' height='10'/></svg>";
    let asked = read_svg(text.as_bytes(), None);
    assert_eq!(asked.scale, Scale::Asked(SourceUnit::Pixel));
    let side = 10.0 * 25.4 / 96.0;
    assert!((area(&asked.outlines[0]) - side * side).abs() < 1e-9);
    for (unit, area_mm2) in [(SourceUnit::Millimetre, 100.0), (SourceUnit::Inch, 64516.0)] {
        let answered = read_svg(text.as_bytes(), Some(unit));
        assert_eq!(answered.scale, Scale::Known(unit));
        assert!((area(&answered.outlines[0]) - area_mm2).abs() < 1e-6, "{unit:?}");
    }
}

#[test]
fn what_makes_no_outline_is_told_with_its_place_and_its_count() {
    let found = read(
        "<text x='1' y='2'>limpet</text>\n<text>clam</text><image href='a.png'/>\n\
         <g style='fill: none; display: none'><rect width='5' height='5'/></g>\n\
         <path d='M0 0L10 0L10 10' fill='none'/><use href='#gone'/>\n\
         <rect width='8q' height='4'/><path d='M0 0L30 0L30 30L0 30z M5 5 Lx'/>",
    );
    assert_eq!(
        words(&found),
        [
            "use (line 5): it refers to \"#gone\", which is not there or refers back to it; left out",
            "rect (line 6): the value of width cannot be read (\"8q\"); the element was left out",
            "path (line 6): the value of d cannot be read (\"M0 0L30 0L30 30L0 30z M5 5 Lx\"); \
             the path was drawn as far as it can be read",
            "path (line 5): the line is open by 14.142 mm; left out: close it in the drawing program",
            "image (line 3): 1 of image make no outline and were left out: trace the picture to use it",
            "text (line 2): 2 of text make no outline and were left out: turn text into paths to use it",
            "g (line 4): 1 hidden (display: none) and left out: show it in the drawing program to use it",
        ]
    );
    assert_eq!(found.outlines.len(), 1);
    assert!((area(&found.outlines[0]) - 900.0).abs() < 1e-9);
}

#[test]
fn drawings_within_drawings_and_symbols_are_scaled_by_their_view_boxes() {
    // 10 units of the inner drawing over 40 of the outer: four times as large each way.
    for body in [
        "<svg x='20' y='30' width='40' height='40' viewBox='0 0 10 10'><rect x='1' y='2' width='5' height='5'/></svg>",
        "<defs><symbol id='s' viewBox='0 0 10 10'><rect x='1' y='2' width='5' height='5'/></symbol></defs>\
         <use href='#s' x='20' y='30' width='40' height='40'/>",
    ] {
        let found = read(body);
        let [outline] = &found.outlines[..] else { panic!("{found:?}") };
        let bounds = outline.region.bounds().expect("corners");
        assert!((area(outline) - 400.0).abs() < 1e-9, "{body}: {}", area(outline));
        assert!((bounds.min.x - 24.0).abs() < 1e-9, "{body}: {bounds:?}");
        assert!((bounds.max.y + 38.0).abs() < 1e-9, "{body}: {bounds:?}");
    }
    // A symbol that nothing uses does not show.
    let unused = read("<symbol viewBox='0 0 10 10'><rect width='5' height='5'/></symbol>");
    assert_eq!(unused.outlines, []);
    // Without a view box a drawing within is cut off nowhere and only shifted; one of no size does not show.
    let shifted = read("<svg x='5' y='5'><rect width='8' height='8'/></svg>");
    assert!((area(&shifted.outlines[0]) - 64.0).abs() < 1e-9);
    assert_eq!(read("<svg width='0'><rect width='8' height='8'/></svg>").outlines, []);
}

#[test]
fn loose_lines_are_joined_within_a_tenth_of_a_millimetre_and_told() {
    let found = read(
        "<g fill='none'><line x1='0' y1='0' x2='20' y2='0'/><line x1='20' y1='10' x2='20.05' y2='0'/>\
         <path d='M20 10 H0 V0'/></g>",
    );
    assert_eq!(words(&found), ["line (line 2): ends up to 0.05 mm apart were joined"]);
    assert!((area(&found.outlines[0]) - 200.0).abs() < 0.6, "{found:?}");
    let apart = read("<g fill='none'><path d='M0 0H20V10'/><path d='M20.2 10H0V0'/></g>");
    assert!(apart.outlines.is_empty(), "{apart:?}");
    let filled = read("<path d='M0 0H20V10'/>");
    let told =
        "path (line 2): the filled line is open by 22.361 mm; it was closed with a straight side";
    assert_eq!(words(&filled), [told]);
    assert!((area(&filled.outlines[0]) - 100.0).abs() < 1e-9);
}

#[test]
fn outlines_drawn_twice_are_taken_once_and_crossings_are_told() {
    let found = read(
        "<rect width='20' height='10'/><path d='M20 10H0V0H20z'/><path d='M40 0L60 20H40L60 0z'/>",
    );
    assert_eq!(found.outlines.len(), 1, "a bow tie has no signed area: {found:?}");
    let told = words(&found);
    assert!(told.iter().any(|w| w.contains("stands there 1 times more")), "{told:?}");
    let bow = read("<path d='M40 0L60 20H45L60 0z'/>");
    assert!(words(&bow).iter().any(|w| w.contains("crosses itself")), "{bow:?}");
}

#[test]
fn what_is_no_drawing_is_told() {
    for (text, told) in [
        ("", "line 1: it cannot be read as SVG"),
        (
            "<html/>",
            "line 1: it cannot be read as SVG (its outermost element is `html` and not `svg`)",
        ),
        ("<svg>\n<g>\n</svg>", "line 3: it cannot be read as SVG"),
        ("<svg xmlns='http://www.w3.org/2000/svg'/>", "the file: no closed outline was found"),
    ] {
        let found = read_svg(text.as_bytes(), None);
        assert!(found.outlines.is_empty());
        assert!(words(&found)[0].starts_with(told), "{:?}", words(&found));
    }
    let large = read_svg(&vec![b' '; MOST_BYTES + 1], None);
    assert!(words(&large)[0].contains("more than the 8388608 that are read"), "{large:?}");
}

#[test]
fn drawings_made_to_grow_are_cut_off() {
    let uses = |level: u32| {
        let body = format!("<use href='#u{}'/>", level - 1).repeat(10);
        format!("<g id='u{level}'>{body}</g>")
    };
    let levels: String = (1..=8).map(uses).collect();
    let many =
        format!("<defs><rect id='u0' width='1' height='1'/>{levels}</defs><use href='#u8'/>");
    assert!(words(&read(&many)).iter().any(|w| w.contains("more than 100000 elements")));
    let deep = format!("{}{}", "<g>".repeat(3000), "</g>".repeat(3000));
    assert!(words(&read(&deep)).iter().any(|w| w.contains("elements within elements")));
    let circular = "<g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g>";
    assert!(words(&read(circular)).iter().any(|w| w.contains("refers back to it")));
    let entity = format!(
        "<!DOCTYPE svg [<!ENTITY a '{}'>]><svg>{}</svg>",
        "x".repeat(5000),
        "&a;".repeat(5000)
    );
    assert!(words(&read_svg(entity.as_bytes(), None))[0].contains("grow without bound"));
    let crowd: String = (0..40_000).map(|k| format!(" a{k}='1'")).collect();
    let crowded = read(&format!("<g{crowd}/>"));
    assert!(words(&crowded)[0].contains("more than 256 attributes"), "{crowded:?}");
    let names: String = (0..2000).map(|k| format!(" xmlns:n{k}='u'")).collect();
    let named = read(&format!("<g><g{names}>{}</g></g>", "<g xmlns='x'/>".repeat(2000)));
    assert!(words(&named)[0].contains("save it as plain SVG"), "{named:?}");
    let harmless = "<!DOCTYPE svg [<!ENTITY ns 'http://www.w3.org/2000/svg'>]>\
                    <svg xmlns='&ns;' width='9mm' viewBox='0 0 9 9'><rect width='9' height='9'/></svg>";
    assert_eq!(read_svg(harmless.as_bytes(), None).outlines.len(), 1);
    let huge = read("<circle r='1e300'/><path d='M0 0H1e9V1e9z'/>");
    assert_eq!(words(&huge).len(), 3, "{huge:?}");
    assert!(words(&huge)[0].contains("lies beyond 10000 mm"), "{huge:?}");
}

#[test]
fn ellipses_and_arcs_keep_their_area_under_every_transform() {
    // An affine map multiplies areas by its determinant; a whole turn encloses pi times both radii.
    for (transform, determinant) in [
        ("skewX(35)", 1.0),
        ("skewY(-50) scale(0.5 2)", 1.0),
        ("matrix(0.5 0.2 -0.3 0.8 20 10)", 0.46),
        ("rotate(30) scale(3 0.2) rotate(12)", 0.6),
    ] {
        for shape in [
            "<ellipse rx='20' ry='8'/>",
            "<path d='M-20 0a20 8 0 0 1 40 0 20 8 0 0 1-40 0z'/>",
            "<path d='M-20 0A20 8 0 0 0 0 8A20 8 0 1 0 -20 0z'/>",
        ] {
            let found = read(&format!("<g transform='{transform}'>{shape}</g>"));
            let area = area(&found.outlines[0]);
            let exact = std::f64::consts::PI * 160.0 * determinant;
            let slack = 0.01 * found.outlines[0].region.perimeter().to_mm();
            assert!((area - exact).abs() < slack, "{transform} {shape}: {area}, not {exact}");
        }
    }
}

#[test]
fn an_arc_with_radii_too_small_is_scaled_until_it_reaches() {
    let found = read("<path d='M0 10a10 5-30 10 20 5v10h-30z'/>");
    // Half a turn of the scaled ellipse is cut out of the quadrilateral of 325 mm² (SVG 1.1, appendix F.6.6).
    let (sin, cos) = libm::sincos(30.0_f64.to_radians());
    let (x, y) = (-10.0 * cos + 2.5 * sin, -10.0 * sin - 2.5 * cos);
    let reach = (x / 10.0) * (x / 10.0) + (y / 5.0) * (y / 5.0);
    let exact = 325.0 - std::f64::consts::PI * 50.0 * reach / 2.0;
    assert!(
        (area(&found.outlines[0]) - exact).abs() < 0.5,
        "{} and {exact}",
        area(&found.outlines[0])
    );
}

//! Unit tests of the DXF reader: what is told, what is asked, and that nothing grows without bound.

use super::*;
use crate::intake::Problem;

/// A drawing from lines of group codes and values, two on a line.
fn drawing(pairs: &str) -> String {
    let words = pairs.split_whitespace().map(|word| format!("{word}\n"));
    words.collect()
}

fn read(pairs: &str) -> Found {
    read_dxf(drawing(pairs).as_bytes(), None)
}

fn words(found: &Found) -> Vec<String> {
    found.problems.iter().map(Problem::to_string).collect()
}

const SQUARE: &str = "0 LWPOLYLINE 8 0 90 4 70 1 10 0 20 0 10 10 20 0 10 10 20 10 10 0 20 10 ";

#[test]
fn bare_entities_without_sections_are_read_and_the_unit_is_asked_for() {
    let found = read(SQUARE);
    assert_eq!(words(&found), [""; 0]);
    assert_eq!(found.scale, Scale::Asked(SourceUnit::Millimetre));
    assert!((found.outlines[0].region.area().to_mm2() - 100.0).abs() < 1e-9);
    let header = "0 SECTION 2 HEADER 9 $MEASUREMENT 70 0 0 ENDSEC 0 SECTION 2 ENTITIES ";
    let english = read(&format!("{header}{SQUARE} 0 ENDSEC 0 EOF"));
    assert_eq!(english.scale, Scale::Asked(SourceUnit::Inch));
    assert!((english.outlines[0].region.area().to_mm2() - 64516.0).abs() < 1e-6);
}

#[test]
fn what_makes_no_outline_is_told_with_its_place_and_its_count() {
    let found = read(
        "0 SECTION 2 ENTITIES 0 TEXT 1 limpet 0 3DFACE 10 0 0 TEXT 1 clam \
         0 LINE 10 0 20 0 11 50 21 0 0 CIRCLE 10 0 20 nan 40 5 0 INSERT 2 GONE 10 0 20 0 \
         0 ARC 10 900 20 900 40 1e12 0 ENDSEC 0 EOF",
    );
    assert_eq!(
        words(&found),
        [
            "CIRCLE (line 28): the value of group code 20 cannot be read (\"nan\"); the entity was left out",
            "INSERT (line 36): it refers to \"GONE\", which is not there or refers back to it; left out",
            "ARC (line 44): a corner is not a number or lies beyond 10000 mm; left out: check the unit",
            "LINE (line 18): the line is open by 50 mm; left out: close it in the drawing program",
            "the file: no closed outline was found: draw the mold's edge as one closed line",
            "3DFACE (line 10): 1 of 3DFACE make no outline and were left out",
            "TEXT (line 6): 2 of TEXT make no outline and were left out: turn text into paths to use it",
        ]
    );
}

#[test]
fn a_file_that_breaks_off_gives_what_came_before() {
    let text = format!("{}0\nCIRCLE\nten\n20\n", drawing(SQUARE));
    let found = read_dxf(text.as_bytes(), None);
    assert_eq!(found.outlines.len(), 1);
    let told = "line 27: it cannot be read as DXF (a group code was expected instead of \"ten\"); \
                nothing was read from there on";
    let cut = "CIRCLE (line 26): the value of group code 10 cannot be read (\"\"); the entity was left out";
    assert_eq!(words(&found), [told, cut]);
    let binary = read_dxf(b"AutoCAD Binary DXF\r\n\x1a\0\0\0", None);
    assert!(words(&binary)[0].contains("binary form"), "{binary:?}");
}

#[test]
fn blocks_that_hold_themselves_or_multiply_are_cut_off() {
    let circular = format!(
        "0 SECTION 2 BLOCKS 0 BLOCK 2 A 10 0 20 0 {SQUARE} 0 INSERT 2 A 10 20 20 0 0 ENDBLK 0 ENDSEC \
         0 SECTION 2 ENTITIES 0 INSERT 2 A 10 0 20 0 0 ENDSEC"
    );
    let found = read(&circular);
    assert!(words(&found).iter().any(|w| w.contains("refers back to it")), "{found:?}");
    assert_eq!(found.outlines.len(), 16);
    let many = format!(
        "0 SECTION 2 BLOCKS 0 BLOCK 2 A 10 0 20 0 0 POINT 10 0 20 0 0 ENDBLK 0 BLOCK 2 B 10 0 20 0 \
         0 INSERT 2 A 10 0 20 0 70 30000 71 30000 44 1 45 1 0 ENDBLK 0 ENDSEC \
         0 SECTION 2 ENTITIES 0 INSERT 2 B 10 0 20 0 70 999 71 999 {SQUARE} 0 ENDSEC"
    );
    assert!(words(&read(&many)).iter().any(|w| w.contains("more than 200000 entities")));
}

#[test]
fn an_empty_block_costs_nothing_and_each_repetition_of_another_counts() {
    let inserted = |block: &str, n: usize| {
        let inserts = "0 INSERT 2 A 10 0 20 0 70 1000 71 1000 ".repeat(n);
        read(&format!(
            "0 SECTION 2 BLOCKS 0 BLOCK 2 A 10 0 20 0 {block} 0 ENDBLK 0 ENDSEC \
             0 SECTION 2 ENTITIES {SQUARE} {inserts} 0 ENDSEC"
        ))
    };
    let empty = inserted("", 2000);
    assert_eq!((words(&empty).len(), empty.outlines.len()), (0, 1), "{empty:?}");
    // A block of nothing but an end of a sequence, which draws nothing and counts all the same, as its repetition does.
    let idle = inserted("0 SEQEND", 1);
    assert!(words(&idle).iter().any(|w| w.contains("more than 200000 entities")), "{idle:?}");
    let idle = inserted("0 SEQEND", 0);
    assert_eq!((words(&idle).len(), idle.outlines.len()), (0, 1), "{idle:?}");
}

#[test]
fn loose_ends_are_joined_up_to_a_tenth_of_a_millimetre() {
    let triangle = |gap: f64| {
        read(&format!(
            "0 LINE 10 0 20 0 11 40 21 0 0 LINE 10 40 20 {gap} 11 20 21 30 0 LINE 10 20 20 30 11 0 21 0"
        ))
    };
    let joined = triangle(0.05);
    assert_eq!(words(&joined), ["LINE (line 2): ends up to 0.05 mm apart were joined"]);
    assert!((joined.outlines[0].region.area().to_mm2() - 600.0).abs() < 2.0, "{joined:?}");
    let apart = triangle(0.2);
    assert!(apart.outlines.is_empty(), "{apart:?}");
    assert!(words(&apart)[0].contains("the line is open by 0.2 mm"), "{:?}", words(&apart));
}

#[test]
fn a_unit_that_no_mold_is_drawn_in_is_told_and_asked_for() {
    let header = "0 SECTION 2 HEADER 9 $INSUNITS 70 20 0 ENDSEC 0 SECTION 2 ENTITIES ";
    let found = read(&format!("{header}{SQUARE} 0 ENDSEC 0 EOF"));
    assert_eq!(found.scale, Scale::Asked(SourceUnit::Millimetre));
    assert!(
        words(&found)[0]
            .contains("the value of $INSUNITS cannot be read (\"20\"); the unit is asked for")
    );
    assert_eq!(found.outlines.len(), 1);
}

#[test]
fn a_spline_of_nothing_but_the_points_it_passes_is_joined_straight_and_told() {
    let found =
        read("0 SPLINE 70 1 71 3 74 4 11 0 21 0 11 30 21 0 11 30 21 20 11 0 21 20 11 0 21 0");
    assert!(words(&found)[0].contains("its 5 points were joined by straight sides"), "{found:?}");
    assert!((found.outlines[0].region.area().to_mm2() - 600.0).abs() < 1e-9, "{found:?}");
}

#[test]
fn an_entity_of_many_codes_counts_for_many() {
    let long = format!("0 TEXT {}", "1 x ".repeat(64 * 500));
    let text = format!(
        "0 SECTION 2 BLOCKS 0 BLOCK 2 A 10 0 20 0 {long} 0 ENDBLK 0 ENDSEC \
         0 SECTION 2 ENTITIES 0 INSERT 2 A 10 0 20 0 70 1000 0 ENDSEC"
    );
    let told = words(&read(&text));
    // 200000 over 1 for the repetition and 501 for the entity.
    assert!(told.iter().any(|w| w.contains("399 of TEXT")), "{told:?}");
}

#[test]
fn a_closed_uniform_spline_follows_its_basis() {
    let controls = [(0.0, 0.0), (60.0, -10.0), (70.0, 40.0), (30.0, 60.0), (-10.0, 30.0)];
    let n = controls.len();
    let mut pairs = "0 SPLINE 70 1 71 3 ".to_owned();
    for knot in 0..n + 3 + 4 {
        pairs.push_str(&format!("40 {knot} "));
    }
    for index in 0..n + 3 {
        let (x, y) = controls[index % n];
        pairs.push_str(&format!("10 {x} 20 {y} "));
    }
    let found = read(&pairs);
    // The uniform cubic basis, (1-t)³, 3t³-6t²+4, -3t³+3t²+3t+1, t³ over 6: CRC Standard Mathematical Tables.
    let at = |piece: usize, t: f64| {
        let s = 1.0 - t;
        let basis = [
            s * s * s,
            3.0 * t * t * t - 6.0 * t * t + 4.0,
            -3.0 * t * t * t + 3.0 * t * t + 3.0 * t + 1.0,
            t * t * t,
        ];
        let along = |axis: fn((f64, f64)) -> f64| {
            (0..4).map(|k| basis[k] / 6.0 * axis(controls[(piece + k) % n])).sum::<f64>()
        };
        crate::geometry::Point::new(along(|p| p.0), along(|p| p.1))
    };
    let points = (0..n).flat_map(|piece| (0..2000).map(move |k| (piece, f64::from(k) / 2000.0)));
    let ring = crate::geometry::Ring::new(points.map(|(piece, t)| at(piece, t)).collect());
    let got = found.outlines[0].region.area().to_mm2();
    assert!((got - ring.signed_area()).abs() < 0.01 * ring.perimeter().to_mm(), "{got}, {found:?}");
}

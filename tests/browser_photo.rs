//! Photographs in the page: a pencil line round a mold, a JPEG, and a shadow that the brush takes away.

mod foreign;
#[allow(dead_code, reason = "a part of what the hand can do is needed here")]
mod intake_hand;

use std::f64::consts::PI;

use engine::geometry::Point;
use engine::plan::Footprint;
use engine::units::Angle;
use onepull_tests::page::{Browser, Page};
use onepull_tests::photo_scene::{Mold as Lobed, Pencil, Scene};

use foreign::{Files, png_of};
use intake_hand::{
    choose, dialog_words, in_window, newest, opened, until_closed, until_found, until_paper, widths,
};

/// Adds the one outline that was traced, and says the area of its mold in square millimetres.
fn added_area(page: &Page) -> f64 {
    page.by_id("photo-add").type_in("\n");
    until_closed(page);
    let Footprint::Outline { outer, .. } = newest(page).footprint else { panic!("no outline") };
    outer.signed_area().abs()
}

#[test]
fn a_pencil_line_round_a_mold_is_taken_for_its_edge_and_told() {
    let (files, browser) = (Files::new("pencil"), Browser::start());
    let page = opened(&browser);
    let size = (1600, 1200);
    let mold = Lobed::Lobed { size: 45.0, a: 0.15, b: 0.1 };
    let scene = Scene {
        size,
        card: None,
        half: (148.5, 105.0),
        mold,
        hole: None,
        line: Some(Pencil { width: 0.8, gap: Angle::ZERO }),
        color: [95.0, 92.0, 96.0],
        tilt: Angle::degrees(10.0),
        toward: Angle::ZERO,
        scale: 4.4,
        lens: 0.75,
        shadow: (Point::new(60.0, 30.0), 0.05),
        cast: None,
        noise: 4.0,
    };
    choose(&page, "molds-from-photo", &files.write("pencil.png", png_of(size, &scene.picture())));
    until_paper(&page);
    page.by_id("photo-trace").click();
    until_found(&page, 1);
    let words = dialog_words(&page);
    for told in ["drawn line 0.", "inner edge was taken", "up the paper", "simplified to 0.1 mm"] {
        assert!(words.contains(told), "{told}: {words}");
    }
    let share = added_area(&page) / mold.area();
    assert!((share - 1.0).abs() < 0.01, "within 1 %: {share}");
}

/// A JPEG that the browser itself makes, dropped on the board: A4 at five pixels to the millimetre on a dark bench, a disc of
/// 70 mm in its middle, and to its right the shadow that touches it.
const DROPPED: &str = "const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [1600, 1200];
    const pen = canvas.getContext('2d');
    const fill = (color, draw) => { pen.fillStyle = color; draw(); };
    fill('#505050', () => pen.fillRect(0, 0, 1600, 1200));
    fill('#e6e4de', () => pen.fillRect(57, 75, 1485, 1050));
    fill('#6c6a68', () => pen.fillRect(800, 560, 235, 80));
    fill('#46484a', () => { pen.beginPath(); pen.arc(800, 600, 175, 0, 7); pen.fill(); });
    const text = atob(canvas.toDataURL('image/jpeg', 0.9).split(',')[1]);
    const bytes = Uint8Array.from(text, (letter) => letter.charCodeAt(0));
    const carried = new DataTransfer();
    carried.items.add(new File([bytes], 'shell.jpg', { type: 'image/jpeg' }));
    const board = document.getElementById('board');
    for (const kind of ['dragover', 'drop']) {
      board.dispatchEvent(new DragEvent(kind, { bubbles: true, cancelable: true, dataTransfer: carried }));
    }
    return bytes[0] === 0xff && bytes[1] === 0xd8";

#[test]
fn a_dropped_jpeg_is_traced_and_a_shadow_that_touches_the_mold_is_painted_out_by_pointer() {
    let browser = Browser::start();
    let page = opened(&browser);
    assert_eq!(page.run(DROPPED), true, "the browser made a JPEG");
    page.until("the dialog is open", || dialog_words(&page).contains("shell.jpg").then_some(()));
    until_paper(&page);
    page.by_id("photo-trace").click();
    until_found(&page, 1);
    let with_shadow = widths(&page)[0];
    assert!((with_shadow - 82.0).abs() < 1.5, "disc and shadow are one: {with_shadow} mm");
    let words = dialog_words(&page);
    assert!(
        words.contains("For a true outline draw round its base with a pencil, take it off, and photograph the drawing."),
        "{words}"
    );
    // Twice round the outside of the disc with the small brush, whose half width is 4 mm: first the shadow is parted from it.
    page.by_id("photo-brush").click();
    for (radius, n_left) in [(39.2, 2), (45.5, 1)] {
        let steps: Vec<(f64, f64)> = (-3..=3)
            .map(|k| {
                let (sin, cos) = Angle::degrees(6.0 * f64::from(k)).sin_cos();
                in_window(&page, [148.5 + radius * cos, 105.0 + radius * sin])
            })
            .collect();
        page.drag(&steps);
        until_found(&page, n_left);
    }
    page.until("the shadow is gone", || ((widths(&page)[0] - 70.0).abs() < 1.0).then_some(()));
    let share = added_area(&page) / (PI * 35.0 * 35.0);
    assert!((share - 1.0).abs() < 0.01, "within 1 %: {share}");
}

//! What a maker has becomes molds in the page: drawings, meshes, photographs, and the shelf that keeps them.

mod foreign;
mod intake_hand;

use std::time::Instant;

use engine::geometry::Point;
use engine::intake::photo::Card;
use engine::plan::{Footprint, Relief};
use engine::units::Angle;
use onepull_tests::pace::keeps_pace;
use onepull_tests::page::{Browser, dist};
use onepull_tests::photo_scene::{Mold as Lobed, Scene};
use serde_json::json;

use foreign::{CLAMS, DISC, Files, Photograph, block_3mf, block_obj, dome_stl, png, png_of};
use intake_hand::{
    assert_close, box_of, choose, choose_all, corner, count, dialog_words, distance, drop_text,
    fill, focus, focused, in_window, keep, n_molds, n_picks, newest, notice, opened, side,
    until_closed, until_focused, until_found, until_paper, until_shelf, widths,
};

#[test]
fn outlines_of_a_drawing_are_picked_named_and_added_as_one_step() {
    let (files, browser) = (Files::new("clams"), Browser::start());
    let page = opened(&browser);
    choose(&page, "molds-from-file", &files.write("clams.svg", CLAMS));
    until_found(&page, 2);
    let words = dialog_words(&page);
    for told in ["an SVG drawing", "2 outlines found", "(line 5)", "does not say how long a unit"] {
        assert!(words.contains(told), "{told}: {words}");
    }
    page.by_label("One unit of the file is").type_in("a millimetre");
    page.until("the outlines are in millimetres", || {
        dialog_words(&page).contains("80.0 mm x 80.0 mm").then_some(())
    });
    fill(&page, "Name", 1, "Pearl clam");
    fill(&page, "Height", 1, "1 in");
    page.by_role("checkbox", "Add Clam left").click();
    page.by_role("button", "Add one mold").click();
    until_closed(&page);
    until_focused(&page, "mold-change-6");
    let mold = newest(&page);
    assert_eq!((mold.name.as_str(), mold.height.to_mm()), ("Pearl clam", 25.4));
    let Footprint::Outline { outer, holes } = &mold.footprint else { panic!("{mold:?}") };
    assert!((outer.bounds().expect("corners").width().to_mm() - 80.0).abs() < 0.2);
    assert_eq!(holes.len(), 1, "the hole comes along");
    page.by_role("button", "Undo").click();
    page.until("one step back is all of it", || (n_molds(&page) == 5).then_some(()));
    // Both, dropped on the board this time.
    drop_text(&page, "clams.svg", CLAMS);
    until_found(&page, 2);
    page.by_role("button", "Add 2 molds").click();
    page.until("both are there", || (n_molds(&page) == 7).then_some(()));
    page.by_role("button", "Undo").click();
    page.until("one step back is both", || (n_molds(&page) == 5).then_some(()));
}

#[test]
fn a_width_that_is_known_sets_the_scale_and_a_unit_that_is_told_holds() {
    let (files, browser) = (Files::new("scale"), Browser::start());
    let page = opened(&browser);
    drop_text(&page, "shell.dxf", DISC);
    until_found(&page, 1);
    assert!(dialog_words(&page).contains("63.5 mm x 63.5 mm"), "2.5 in: {}", dialog_words(&page));
    assert!(!dialog_words(&page).contains("does not say"));
    page.by_label("The widest outline is wide").fill_in("50 mm");
    page.press("Enter");
    page.until("it is as wide as was typed", || {
        dialog_words(&page).contains("50.0 mm x 50.0 mm").then_some(())
    });
    page.by_label("The widest outline is wide").fill_in("9 m");
    page.press("Enter");
    page.until("what no mold is is refused", || {
        dialog_words(&page).contains("Type a width from 1 mm to 5 m").then_some(())
    });
    page.press("Escape");
    page.press("Escape");
    until_closed(&page);
    assert_eq!(n_molds(&page), 5, "nothing was added");
    choose(&page, "molds-from-file", &files.write("pair.svg", CLAMS));
    until_found(&page, 2);
    page.by_label("Height of all").fill_in("31");
    page.press("Enter");
    page.by_role("button", "Add 2 molds").click();
    until_closed(&page);
    assert_close(newest(&page).height.to_mm(), 31.0, 1e-9);
}

#[test]
fn a_mesh_is_turned_measured_and_added_with_its_heights() {
    let (files, browser) = (Files::new("mesh"), Browser::start());
    let page = opened(&browser);
    choose(&page, "molds-from-file", &files.write("rock.stl", dome_stl(24)));
    until_found(&page, 1);
    let words = dialog_words(&page);
    for told in [
        "an STL mesh",
        "Walls under 3\u{b0} of draft",
        "+z up",
        "40.0 mm tall",
        "120.0 mm x 90.0 mm",
        "Undercuts\nNone",
    ] {
        assert!(words.contains(told), "{told}: {words}");
    }
    // A dome that stands on its side hangs over where it bulges.
    side(&page, "+y").click();
    page.until("it stands on its side", || {
        let words = dialog_words(&page);
        (words.contains("120.0 mm x 40.0 mm") && words.contains("the sheet locks under it"))
            .then_some(())
    });
    // The lower half of the dome, 120 mm along its foot, is painted as an undercut.
    let painted = box_of(&page, ".places-undercut");
    let mold = box_of(&page, ".places-mold");
    assert!(painted.0 > 0.8 * mold.0 && painted.1 > 0.5 * mold.1, "{painted:?} of {mold:?}");
    side(&page, "+z").click();
    page.until("it stands upright again", || {
        dialog_words(&page).contains("120.0 mm x 90.0 mm").then_some(())
    });
    page.by_role("button", "Add one mold").click();
    until_closed(&page);
    let mold = newest(&page);
    assert_eq!((mold.name.as_str(), (mold.height.to_mm() - 40.0).abs() < 1e-3), ("rock", true));
    assert!(matches!(mold.relief, Relief::Heights(_)), "{:?}", mold.relief);
    // The other two forms of meshes, with a block whose measures say which is which.
    let sides = [50.0, 30.0, 20.0];
    for (name, bytes, told) in [
        ("block.obj", block_obj(sides).into_bytes(), "an OBJ mesh"),
        ("block.3mf", block_3mf(sides), "a 3MF mesh"),
    ] {
        choose(&page, "molds-from-file", &files.write(name, bytes));
        until_found(&page, 1);
        let words = dialog_words(&page);
        assert!(words.contains(told) && words.contains("50.0 mm x 30.0 mm"), "{words}");
        assert_eq!(words.contains("does not say"), name.ends_with("obj"), "a 3MF says its unit");
        page.by_role("button", "Close").click();
        until_closed(&page);
    }
}

#[test]
fn files_that_cannot_be_used_are_told_and_nothing_is_lost() {
    let (files, browser) = (Files::new("wrong"), Browser::start());
    let page = opened(&browser);
    for (name, bytes, told) in [
        ("empty.svg", &b""[..], "the file is empty"),
        ("broken.svg", b"<svg><path d='M0 0", "SVG"),
        ("open.dxf", b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "no closed outline"),
        ("broken.stl", b"solid and then nothing", "no triangle"),
        ("broken.3mf", b"PK\x03\x04 and then nothing", "3MF"),
        ("renamed.svg", &dome_stl(8), "whatever its name says"),
    ] {
        choose(&page, "molds-from-file", &files.write(name, bytes));
        page.until(&format!("{name}: {told}"), || dialog_words(&page).contains(told).then_some(()));
        page.press("Escape");
        until_closed(&page);
        until_focused(&page, "molds-from-file");
    }
    let huge = files.write("huge.stl", b"solid ");
    let file = std::fs::File::options().write(true).open(&huge).expect("the file");
    file.set_len(130_000_000).expect("a sparse file");
    choose(&page, "molds-from-file", &huge);
    page.until("it is too large", || {
        dialog_words(&page).contains("130.0 MB, more than the 125.8 MB").then_some(())
    });
    page.by_role("button", "Close").click();
    choose(&page, "molds-from-file", &files.write("notes.pdf", b"%PDF-1.4 of no use"));
    page.until("nobody reads it", || notice(&page).contains("no saved plan, no SVG").then_some(()));
    assert_eq!(n_molds(&page), 5);
    assert_eq!(page.by_role("button", "Undo").attribute("aria-disabled").as_deref(), Some("true"));
    // The page goes on as if nothing had been.
    choose(&page, "molds-from-file", &files.write("clams.svg", CLAMS));
    until_found(&page, 2);
}

#[test]
fn work_that_is_given_up_leaves_the_page_and_the_next_file_alone() {
    let (files, browser) = (Files::new("given-up"), Browser::start());
    let page = opened(&browser);
    choose(&page, "molds-from-file", &files.write("large.stl", dome_stl(500)));
    page.by_role("button", "Cancel").click();
    until_closed(&page);
    assert_eq!(n_molds(&page), 5);
    choose(&page, "molds-from-file", &files.write("clams.svg", CLAMS));
    until_found(&page, 2);
    assert!(dialog_words(&page).starts_with("Molds from a file"), "and no late answer comes");
}

#[test]
fn several_files_come_in_one_after_another() {
    let (files, browser) = (Files::new("several"), Browser::start());
    let page = opened(&browser);
    let list = [
        files.write("notes.pdf", b"%PDF-1.4 of no use"),
        files.write("clams.svg", CLAMS),
        files.write("dome.stl", dome_stl(8)),
    ];
    choose_all(&page, "molds-from-file", &list);
    until_found(&page, 2);
    assert!(notice(&page).contains("notes.pdf was not opened"), "what nobody reads is told");
    assert!(dialog_words(&page).contains("One more file comes after this one."));
    page.by_role("button", "Add 2 molds").click();
    until_found(&page, 1);
    let words = dialog_words(&page);
    assert!(words.contains("dome.stl: an STL mesh") && !words.contains("One more file"), "{words}");
    page.by_role("button", "Close").click();
    until_closed(&page);
    assert_eq!(n_molds(&page), 7, "the drawing's two molds are added, the mesh was given up");
}

#[test]
fn a_photograph_is_traced_with_corners_and_brush_moved_by_keys() {
    let (files, browser) = (Files::new("photo"), Browser::start());
    let page = opened(&browser);
    let photograph = Photograph::new(2);
    choose(&page, "molds-from-photo", &files.write("crab.png", photograph.png()));
    until_paper(&page);
    for (at, truth) in photograph.corners.iter().enumerate() {
        let off = distance(corner(&page, at), *truth);
        assert!(off < 4.0, "corner {at} is {off} pixels off");
    }
    // A corner is moved away by keys and found again.
    focus(&page, "photo-corner-1");
    let before = corner(&page, 1);
    page.press("Shift+ArrowRight");
    page.press("ArrowUp");
    page.until("the corner has moved", || {
        let [x, y] = corner(&page, 1);
        let (far, up) = (x - before[0] - 16.0, before[1] - y - 1.6);
        (far.abs() < 1.1 && up.abs() < 1.1).then_some(())
    });
    assert_eq!(page.run("return !document.querySelector('.magnifier-off')"), json!(true));
    page.by_role("button", "Find the sheet again").click();
    page.until("it is where it was", || (distance(corner(&page, 1), before) < 1.1).then_some(()));
    focus(&page, "photo-trace");
    page.press("Enter");
    until_found(&page, 2);
    let words = dialog_words(&page);
    assert!(words.contains("True to about 0."), "the accuracy is stated: {words}");
    assert!(words.contains("its top edge shows"), "a mold of 20 mm: {words}");
    assert_close(widths(&page)[0], 70.0, 1.0);
    assert_close(widths(&page)[1], 24.0, 1.0);
    // The small disc is painted out, brought back and painted out again.
    page.by_id("photo-brush").click();
    page.by_label("Brush").type_in("Wide");
    focus(&page, "photo-paint");
    for key in ["ArrowRight"; 5].into_iter().chain(["ArrowDown"; 3]) {
        page.press(&format!("Shift+{key}"));
    }
    page.press("Space");
    page.until("it is gone", || (n_picks(&page) == 1).then_some(()));
    page.by_role("button", "Undo a stroke").click();
    page.until("it is back", || (n_picks(&page) == 2).then_some(()));
    // Only the darkest: the small disc is lighter.
    let slider = page.by_id("photo-threshold");
    focus(&page, "photo-threshold");
    for _ in 0..3 {
        page.press("PageUp");
    }
    page.until("the lighter one is no mold", || (n_picks(&page) == 1).then_some(()));
    let set: f64 = slider.value().parse().expect("a number");
    assert!(set > 50.0, "{set}");
    page.by_role("button", "Automatic").click();
    page.until("both are found again", || (n_picks(&page) == 2).then_some(()));
    page.by_role("checkbox", "Add Outline 2").type_in(" ");
    fill(&page, "Name", 0, "Crab shell, traced");
    focus(&page, "photo-add");
    page.press("Enter");
    until_closed(&page);
    let mold = newest(&page);
    assert_eq!(mold.name, "Crab shell, traced");
    let Footprint::Outline { outer, .. } = &mold.footprint else { panic!("{mold:?}") };
    let area = outer.signed_area().abs() / (std::f64::consts::PI * 35.0 * 35.0);
    assert!((area - 1.0).abs() < 0.01, "the area of a disc of 70 mm within 1 %: {area}");
}

#[test]
fn a_sheet_that_is_not_found_is_set_by_hand_and_pictures_that_are_none_are_told() {
    let (files, browser) = (Files::new("by-hand"), Browser::start());
    let page = opened(&browser);
    // A sheet on a bench as light as itself.
    let mut photograph = Photograph::new(1);
    photograph.grey.iter_mut().filter(|value| **value == 80).for_each(|value| *value = 227);
    let lost = files.write("lost.png", photograph.png());
    choose(&page, "molds-from-photo", &lost);
    page.until("it says that it is not found", || {
        dialog_words(&page).contains("set its corners by hand").then_some(())
    });
    for (at, truth) in photograph.corners.iter().enumerate() {
        let from = page.by_id(&format!("photo-corner-{at}")).middle();
        let to = in_window(&page, *truth);
        let half = (f64::midpoint(from.0, to.0), f64::midpoint(from.1, to.1));
        page.drag(&[from, half, to]);
        let off = distance(corner(&page, at), *truth);
        assert!(off < 4.0, "corner {at} is {off} pixels off");
    }
    // And by a finger.
    let from = page.by_id("photo-corner-2").middle();
    page.touch_drag(&[from, (from.0 - 10.0, from.1 - 5.0), (from.0 - 20.0, from.1 - 10.0)]);
    let moved = distance(corner(&page, 2), photograph.corners[2]);
    assert!(moved > 10.0, "a finger moves a corner too: {moved}");
    let back = page.by_id("photo-corner-2").middle();
    page.drag(&[back, in_window(&page, photograph.corners[2])]);
    page.by_id("photo-trace").click();
    until_found(&page, 2);
    assert_close(widths(&page)[0], 70.0, 2.0);
    page.by_role("button", "Back to the corners").click();
    page.until("the corners are back", || (count(&page, "#photo-trace") == 1).then_some(()));
    page.by_role("button", "Close").click();
    until_closed(&page);
    for (name, bytes, told) in [
        ("words.jpg", b"no picture at all".to_vec(), "no picture that this browser can open"),
        ("vast.png", png(30_000, 30_000, &[0; 20]), "30000 x 30000 pixels, more than"),
        (
            "tiny.png",
            png(20, 20, &miniz_oxide::deflate::compress_to_vec_zlib(&[0; 420], 1)),
            "20 x 20 pixels cannot be traced",
        ),
    ] {
        choose(&page, "molds-from-photo", &files.write(name, bytes));
        page.until(&format!("{name}: {told}"), || {
            (dialog_words(&page).contains(told) || notice(&page).contains(told)).then_some(())
        });
        page.press("Escape");
        until_closed(&page);
    }
    assert_eq!(n_molds(&page), 5);
}

#[test]
fn a_photo_card_is_known_by_its_marks_and_printed_by_the_page() {
    let (files, browser) = (Files::new("card"), Browser::start());
    let page = opened(&browser);
    let size = (1600, 1200);
    let mold = Lobed::Lobed { size: 45.0, a: 0.15, b: 0.1 };
    // Upside down and at a slant.
    let scene = Scene {
        size,
        card: Some(Card::Letter),
        half: (107.95, 139.7),
        mold,
        hole: None,
        line: None,
        color: [96.0, 70.0, 64.0],
        tilt: Angle::degrees(12.0),
        toward: Angle::degrees(180.0),
        scale: 4.0,
        lens: 0.75,
        shadow: (Point::new(60.0, 30.0), 0.1),
        cast: None,
        noise: 3.0,
    };
    choose(&page, "molds-from-photo", &files.write("card.png", png_of(size, &scene.picture())));
    until_paper(&page);
    let chosen = page.run(
        "const list = document.querySelector('dialog[open] select');
         return list.options[list.selectedIndex].textContent",
    );
    assert_eq!(chosen, json!("Photo card on Letter"));
    page.by_id("photo-trace").click();
    until_found(&page, 1);
    fill(&page, "Name", 0, "Lobed");
    page.by_id("photo-add").type_in("\n");
    until_closed(&page);
    let Footprint::Outline { outer, .. } = newest(&page).footprint else { panic!("no outline") };
    let area = outer.signed_area().abs() / mold.area();
    assert!((area - 1.0).abs() < 0.01, "within 1 %: {area}");
    // The card itself.
    choose(&page, "molds-from-photo", &files.write("sheet.png", Photograph::new(1).png()));
    until_paper(&page);
    page.by_role("button", "Photo card to print (A4)").click();
    let pdf = page.downloaded("Photo card A4.pdf");
    assert!(pdf.starts_with(b"%PDF-"));
}

#[test]
fn the_sample_files_of_the_kit_come_in() {
    let browser = Browser::start();
    let page = opened(&browser);
    let samples = dist().join("samples");
    for (name, n, unit_is_told) in
        [("clam-halves.svg", 2, true), ("starfish.dxf", 1, true), ("limpet.stl", 1, false)]
    {
        let before = n_molds(&page);
        choose(&page, "molds-from-file", &samples.join(name));
        until_found(&page, n);
        assert_eq!(!dialog_words(&page).contains("does not say"), unit_is_told, "{name}");
        page.by_selector("dialog[open] .dialog-foot .button-main").click();
        until_closed(&page);
        page.until(&format!("{name} is added"), || (n_molds(&page) == before + n).then_some(()));
    }
    choose(&page, "molds-from-photo", &samples.join("crab-shell.png"));
    until_paper(&page);
    page.by_id("photo-trace").click();
    until_found(&page, 1);
    page.by_role("button", "Close").click();
    until_closed(&page);
}

#[test]
fn molds_on_the_shelf_are_at_hand_in_every_plan_and_after_a_reload() {
    let (files, browser) = (Files::new("shelf"), Browser::start());
    let page = opened(&browser);
    choose(&page, "molds-from-file", &files.write("rock.stl", dome_stl(24)));
    until_found(&page, 1);
    page.by_role("button", "Add one mold").click();
    until_closed(&page);
    let rock = newest(&page);
    // Where it came from is known after a reload too.
    page.reload();
    page.by_role("tab", "Molds").click();
    page.until("the plan is back", || (n_molds(&page) == 6).then_some(()));
    keep(&page, 6);
    let thumbnail = box_of(&page, ".mold-shelf svg path");
    assert!(thumbnail.0 > 1.0 && thumbnail.1 > 1.0, "{thumbnail:?}");
    keep(&page, 4);
    until_shelf(&page, &["Starfish", "rock"]);
    let shelf = page.by_selector(".mold-shelf").text();
    assert!(shelf.contains("From rock.stl, 20"), "the source and the day: {shelf}");
    // Once more is not twice.
    page.by_id("mold-change-4").click();
    page.by_role("button", "Keep on the shelf").click();
    page.until("it says so", || notice(&page).contains("already").then_some(()));
    // Another plan, another visit.
    page.by_role("tab", "Plans").click();
    page.by_role("button", "Start a new plan").click();
    page.reload();
    page.by_role("tab", "Molds").click();
    assert_eq!(n_molds(&page), 0);
    until_shelf(&page, &["Starfish", "rock"]);
    page.by_role("button", "Put into this plan: rock").click();
    page.until("it is in the plan", || (n_molds(&page) == 1).then_some(()));
    assert_eq!(newest(&page), rock, "with every field, its heights too");
    page.by_role("button", "Undo").click();
    page.until("one step takes it out", || (n_molds(&page) == 0).then_some(()));
    page.by_role("button", "Rename Starfish").click();
    page.by_label("New name").fill_in("Oyster");
    page.press("Enter");
    until_shelf(&page, &["Oyster", "rock"]);
    page.by_role("button", "Remove Oyster").click();
    until_shelf(&page, &["rock"]);
    page.until("the next has the keyboard", || {
        focused(&page).starts_with("kept-put-").then_some(())
    });
    page.by_role("button", "Put it back").click();
    until_shelf(&page, &["Oyster", "rock"]);
}

#[test]
fn the_shelf_goes_out_as_a_file_and_comes_in_with_word_of_what_became_of_it() {
    let (files, browser) = (Files::new("export"), Browser::start());
    let page = opened(&browser);
    keep(&page, 1);
    keep(&page, 2);
    page.by_role("button", "Export the shelf").click();
    let name = page.until("the file is there", || {
        page.download_names().into_iter().find(|name| name.ends_with(".json"))
    });
    let exported = files.write("shelf.json", page.downloaded(&name));
    page.by_role("button", "Remove Crab shell").click();
    until_shelf(&page, &["Limpet"]);
    choose(&page, "molds-from-shelf", &exported);
    page.until("it says what became of both", || {
        let words = notice(&page);
        (words.contains("One mold from shelf.json is put on the shelf. One is on it already"))
            .then_some(())
    });
    until_shelf(&page, &["Crab shell", "Limpet"]);
    for (name, text, told) in [
        ("cut.json", "{\"onepull_molds\": 1, \"molds\": [", "cut short"),
        ("newer.json", "{\"onepull_molds\": 7, \"molds\": []}", "newer Onepull"),
        ("none.json", "{\"onepull_molds\": 1, \"molds\": [{\"plan\": {}}]}", "One is not readable"),
    ] {
        choose(&page, "molds-from-shelf", &files.write(name, text));
        page.until(&format!("{name}: {told}"), || notice(&page).contains(told).then_some(()));
    }
    until_shelf(&page, &["Crab shell", "Limpet"]);
    // When the browser's storage is full the mold is kept while the page is open, and that is told.
    page.run(
        "for (let size = 1 << 22; size > 0; size >>= 1) {
           try { localStorage.setItem('fill' + size, 'x'.repeat(size)); } catch { /* smaller, then */ }
         }",
    );
    keep(&page, 3);
    page.until("the trouble is told", || {
        let words = notice(&page);
        (words.contains("only until this page is closed") && words.contains("Export")).then_some(())
    });
    page.run("for (const key of Object.keys(localStorage)) if (key.startsWith('fill')) localStorage.removeItem(key)");
}

/// The large files that are meant to work: a photograph of twelve megapixels and a mesh of a million triangles, from the
/// choice of the file to what is found, the browser's own decoding and all messages included.
#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the test is run for")]
fn the_largest_files_are_read_while_a_person_waits() {
    let (files, browser) = (Files::new("large"), Browser::start());
    let page = opened(&browser);
    let photograph = files.write("twelve.png", Photograph::new(5).png());
    let mesh = files.write("million.stl", dome_stl(500));
    // The first file waits for the worker's module, which is not what is measured.
    drop_text(&page, "clams.svg", CLAMS);
    until_found(&page, 2);
    page.by_role("button", "Close").click();
    until_closed(&page);
    let measured = |what: &str, seconds: f64| keeps_pace(what, seconds, 3.0, "s");
    let best = |once: &dyn Fn() -> f64| (0..2).map(|_| once()).fold(f64::INFINITY, f64::min);
    measured(
        "a mesh of a million triangles read, measured and pictured from six sides",
        best(&|| {
            let started = Instant::now();
            choose(&page, "molds-from-file", &mesh);
            until_found(&page, 1);
            let spent = started.elapsed().as_secs_f64();
            page.by_role("button", "Close").click();
            until_closed(&page);
            spent
        }),
    );
    measured(
        "a photograph of twelve megapixels decoded, its paper found, and traced",
        best(&|| {
            let started = Instant::now();
            choose(&page, "molds-from-photo", &photograph);
            until_paper(&page);
            let found = started.elapsed().as_secs_f64();
            let trace = page.by_id("photo-trace");
            let started = Instant::now();
            trace.click();
            until_found(&page, 2);
            let traced = started.elapsed().as_secs_f64();
            println!("opened and found in {found:.2} s, traced in {traced:.2} s");
            page.by_role("button", "Close").click();
            until_closed(&page);
            found + traced
        }),
    );
}

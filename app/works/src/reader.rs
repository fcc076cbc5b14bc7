//! Reads foreign drawings and meshes, and tells what could become molds.

use engine::geometry::{HeightField, Point, Pose, Region, Ring, Shape as Outline};
use engine::intake::{
    ByPlace, Found, FoundOutline, Kind, Mesh, Place, PlaceCell, Scale, SourceUnit, Standing,
    Survey, Up, add_mold_from_mesh, read_dxf, read_mesh, read_svg, survey,
};
use engine::plan::limits;
use engine::units::{Angle, Length};

use super::Answer;
use super::foreign::{FileRead, MeshTold, ReadFile, Shape, Side};
use super::shapes::{Picture, empty, sentences, shape, shapes, short_name};

/// Cells along the longer side of the picture of a side: as many as it has pixels on most screens.
const SIDE_CELLS: f64 = 56.0;

/// Reads a file; `tell` hears of progress.
pub(super) fn read(
    ask: &ReadFile,
    bytes: &[u8],
    tell: &mut dyn FnMut(Answer),
) -> Result<Answer, String> {
    if bytes.is_empty() {
        return Err("the file is empty".into());
    }
    let seen = Kind::seen(&ask.name, bytes);
    let (kind, misnamed) = seen.ok_or("it is none of SVG, DXF, STL, OBJ, 3MF")?;
    let mut read = match kind {
        Kind::Svg => drawing(ask, |unit| read_svg(bytes, unit)),
        Kind::Dxf => drawing(ask, |unit| read_dxf(bytes, unit)),
        Kind::Stl | Kind::Obj | Kind::ThreeMf => mesh(ask, kind, bytes, tell),
    };
    kind.words().clone_into(&mut read.kind);
    if misnamed {
        let told =
            format!("The file is {}, whatever its name says; it was read as that.", read.kind);
        read.problems.insert(0, told);
    }
    Ok(Answer::FileRead(Box::new(read)))
}

/// The unit that a reader knows nearest to so many millimetres, and what is left to scale by.
fn nearest_unit(mm: f64) -> (SourceUnit, f64) {
    let off = |unit: SourceUnit| {
        let ratio = mm / unit.length().to_mm();
        ratio.max(1.0 / ratio)
    };
    let mut nearest = SourceUnit::Millimetre;
    for unit in SourceUnit::ALL {
        if off(unit) < off(nearest) {
            nearest = unit;
        }
    }
    let rest = mm / nearest.length().to_mm();
    // What was told as a unit stays that unit to the last bit.
    (nearest, if (rest - 1.0).abs() < 1e-9 { 1.0 } else { rest })
}

fn given_unit(ask: &ReadFile) -> Option<(SourceUnit, f64)> {
    let is_sound = |mm: &f64| mm.is_finite() && *mm > 1e-9 && *mm < 1e9;
    ask.unit_mm.filter(is_sound).map(nearest_unit)
}

const fn is_asked(scale: Scale) -> bool {
    matches!(scale, Scale::Asked(_))
}

fn drawing(ask: &ReadFile, read: impl FnOnce(Option<SourceUnit>) -> Found) -> FileRead {
    let given = given_unit(ask);
    let rest = given.map_or(1.0, |(_, rest)| rest);
    let found = read(given.map(|(unit, _)| unit));
    let scaled = found.outlines.iter().map(|outline| scaled(outline, rest)).collect::<Vec<_>>();
    let (shapes, n_more) = shapes(&scaled, Picture::Small);
    FileRead {
        kind: String::new(),
        unit_mm: found.scale.unit().length().to_mm() * rest,
        is_asked: is_asked(found.scale),
        shapes,
        n_more,
        problems: sentences(&found.problems),
        mesh: None,
    }
}

fn scaled(outline: &FoundOutline, by: f64) -> FoundOutline {
    let ring = |ring: &Ring| {
        Ring::new(ring.points().iter().map(|p| Point::new(p.x * by, p.y * by)).collect())
    };
    let region = Region {
        outer: ring(&outline.region.outer),
        holes: outline.region.holes.iter().map(ring).collect(),
    };
    FoundOutline { region, ..outline.clone() }
}

/// Two parts: the triangles are read, then measured.
fn mesh(ask: &ReadFile, kind: Kind, bytes: &[u8], tell: &mut dyn FnMut(Answer)) -> FileRead {
    let given = given_unit(ask);
    let (unit, rest) = given.unwrap_or((SourceUnit::Millimetre, 1.0));
    let found = read_mesh(bytes, kind, given.map(|(unit, _)| unit));
    tell(Answer::Progress { done: 1, of: 2 });
    let unit = if given.is_some() { unit } else { found.scale.unit() };
    let mut mesh = found.mesh;
    if (rest - 1.0).abs() > 0.0 {
        mesh.corners.iter_mut().flatten().for_each(|value| *value *= rest);
    }
    let n_triangles = mesh.triangles.len();
    let sides = if ask.has_sides && n_triangles > 0 { sides(&mesh, unit) } else { Vec::new() };
    let up = Up::ALL.into_iter().find(|up| up.sign() == ask.up).unwrap_or_default();
    let standing = Standing::new(mesh, up, unit);
    let least_draft = Angle::degrees(ask.least_draft.clamp(0.0, 45.0));
    let mut survey = survey(&standing, least_draft);
    let told = MeshTold {
        n_triangles,
        asked_draft: least_draft.to_degrees(),
        height: survey.height.to_mm(),
        formed: survey.formed.to_mm2(),
        steep: survey.steep.surface.to_mm2(),
        least: survey.steep.least.map(Angle::to_degrees),
        undercut: survey.undercut.surface.to_mm2(),
        hangs_over: survey.undercut.plan.to_mm2(),
        undercut_at: runs(&survey.by_place, |cell| cell.undercut > Length::ZERO),
        steep_at: runs(&survey.by_place, |cell| cell.steep.is_some()),
        sides,
    };
    let (shapes, n_more) = parts(&ask.name, &mut survey);
    FileRead {
        kind: String::new(),
        unit_mm: unit.length().to_mm() * rest,
        is_asked: is_asked(found.scale),
        shapes,
        n_more,
        problems: sentences(found.problems.iter().chain(&survey.problems)),
        mesh: Some(told),
    }
}

/// The parts of the mesh that stand by themselves, called after the file, each with its own heights.
fn parts(name: &str, survey: &mut Survey) -> (Vec<Shape>, usize) {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let silhouette = std::mem::take(&mut survey.silhouette);
    let is_alone = silhouette.len() == 1;
    let n_more = silhouette.len().saturating_sub(limits::MOLDS);
    let plan = empty();
    let mut shapes = Vec::new();
    for (number, region) in (1..).zip(silhouette.into_iter().take(limits::MOLDS)) {
        let name = if is_alone { stem.to_owned() } else { format!("{stem}, part {number}") };
        if !is_alone {
            survey.height = height_of(&region, &survey.heights);
        }
        survey.silhouette = vec![region.clone()];
        let added = add_mold_from_mesh(&plan, survey, &short_name(&name));
        let outline = FoundOutline { name, region, at: Place::File };
        shapes.push(shape(&outline, Picture::Small, added));
    }
    (shapes, n_more)
}

/// How tall what stands on a region is, looked at in a hundred places each way.
fn height_of(region: &Region, heights: &HeightField) -> Length {
    const PLACES: u32 = 100;
    let shape = Outline::new(region.clone());
    let bounds = shape.bounds();
    let along = |low: f64, high: f64, step: u32| {
        low + (high - low) * (f64::from(step) + 0.5) / f64::from(PLACES)
    };
    let mut highest = 0.0_f64;
    for at in 0..PLACES * PLACES {
        let x = along(bounds.min.x, bounds.max.x, at % PLACES);
        let place = Point::new(x, along(bounds.min.y, bounds.max.y, at / PLACES));
        if shape.contains(Pose::default(), place) {
            highest = highest.max(heights.at(place));
        }
    }
    Length::mm(highest)
}

/// The cells that something is true of, those side by side in a row as one rectangle.
fn runs(by_place: &ByPlace, is_it: impl Fn(&PlaceCell) -> bool) -> Vec<[f64; 4]> {
    let nearest = |mm: f64| (mm * 100.0).round() / 100.0;
    let columns = by_place.columns().max(1);
    let mut runs = Vec::new();
    for (row, cells) in by_place.cells().chunks(columns).enumerate() {
        let mut column = 0;
        while column < columns {
            let length = cells[column..].iter().take_while(|cell| is_it(cell)).count();
            if length > 0 {
                let ends = [column, column + length - 1].map(|at| by_place.rect(at, row));
                let whole = ends[0].union(ends[1]);
                let [width, depth] = [whole.width(), whole.depth()].map(Length::to_mm);
                runs.push([whole.min.x, whole.min.y, width, depth].map(nearest));
            }
            column += length.max(1);
        }
    }
    runs
}

/// The mesh with each side up. Opposite sides cover mirrored halves of the same, so three are looked at.
fn sides(mesh: &Mesh, unit: SourceUnit) -> Vec<Side> {
    let pairs = [(Up::PlusZ, Up::MinusZ), (Up::PlusY, Up::MinusY), (Up::PlusX, Up::MinusX)];
    let mut sides = Vec::new();
    for (up, down) in pairs {
        let standing = Standing::new(mesh.clone(), up, unit);
        let longest = standing.bounds.width().max(standing.bounds.depth());
        let covers = covers(&standing, longest / SIDE_CELLS);
        // Turned over about x for z and y, about y for x.
        let turned = |&[x, y, width, depth]: &[f64; 4]| match up {
            Up::PlusX | Up::MinusX => [-x - width, y, width, depth],
            _ => [x, -y - depth, width, depth],
        };
        let side = |up: Up, covers: Vec<[f64; 4]>| Side {
            up: up.sign().to_owned(),
            height: standing.height.to_mm(),
            width: standing.bounds.width().to_mm(),
            depth: standing.bounds.depth().to_mm(),
            covers,
        };
        let over = covers.iter().map(turned).collect();
        sides.push(side(up, covers));
        sides.push(side(down, over));
    }
    sides
}

/// What it covers of the platen, row by row.
fn covers(standing: &Standing, spacing: Length) -> Vec<[f64; 4]> {
    let field = standing.heights(spacing);
    let (step, columns) = (field.spacing().to_mm(), field.columns());
    let mut rectangles = Vec::new();
    for (row, heights) in field.heights().chunks(columns.max(1)).enumerate() {
        let mut column = 0;
        while column < columns {
            let run = heights[column..].iter().take_while(|height| **height > 0.0).count();
            if run > 0 {
                let middle = field.middle(column, row);
                let length = f64::from(u32::try_from(run).unwrap_or(u32::MAX)) * step;
                rectangles.push([middle.x - step / 2.0, middle.y - step / 2.0, length, step]);
            }
            column += run.max(1);
        }
    }
    let nearest = |mm: f64| (mm * 100.0).round() / 100.0;
    rectangles.into_iter().map(|rectangle| rectangle.map(nearest)).collect()
}

#[cfg(test)]
mod tests {
    use engine::file::load;
    use engine::plan::{Footprint, MoldId, Relief};

    use super::*;

    fn ask(name: &str) -> ReadFile {
        ReadFile {
            name: name.into(),
            unit_mm: None,
            up: "+z".into(),
            least_draft: 3.0,
            has_sides: true,
        }
    }

    fn done(ask: &ReadFile, bytes: &[u8]) -> FileRead {
        match read(ask, bytes, &mut |_| {}).expect("can be read") {
            Answer::FileRead(read) => *read,
            other => panic!("{other:?}"),
        }
    }

    /// A block of 40 x 30 x 20 as text, each face two triangles.
    fn block() -> String {
        let [x, y, z] = [40.0, 30.0, 20.0];
        let c = |at: usize| {
            [
                if at & 1 > 0 { x } else { 0.0 },
                if at & 2 > 0 { y } else { 0.0 },
                if at & 4 > 0 { z } else { 0.0 },
            ]
        };
        let faces =
            [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
        let mut text = "solid block\n".to_owned();
        for [a, b, d, e] in faces {
            for corners in [[a, b, d], [a, d, e]] {
                text += "facet normal 0 0 0\nouter loop\n";
                for [x, y, z] in corners.map(c) {
                    text += &format!("vertex {x} {y} {z}\n");
                }
                text += "endloop\nendfacet\n";
            }
        }
        text + "endsolid block\n"
    }

    #[test]
    fn a_block_is_measured_pictured_and_made_a_mold_whatever_side_is_up() {
        let read = done(&ask("Rock.stl"), block().as_bytes());
        let mesh = read.mesh.expect("a mesh");
        assert_eq!((mesh.n_triangles, read.shapes.len(), read.is_asked), (12, 1, true));
        assert!((mesh.height - 20.0).abs() < 1e-9 && mesh.undercut < 1e-9);
        assert!(mesh.undercut_at.is_empty() && !mesh.steep_at.is_empty());
        // Four upright walls: 2 (40 + 30) 20.
        assert!((mesh.steep - 2800.0).abs() < 1.0, "{}", mesh.steep);
        let measures: Vec<(String, [f64; 3])> =
            mesh.sides.iter().map(|s| (s.up.clone(), [s.width, s.depth, s.height])).collect();
        assert_eq!(measures[0], ("+z".into(), [40.0, 30.0, 20.0]));
        assert_eq!(measures[2], ("+y".into(), [40.0, 20.0, 30.0]));
        assert_eq!(measures[5], ("-x".into(), [20.0, 30.0, 40.0]));
        for side in &mesh.sides {
            let covered: f64 = side.covers.iter().map(|[.., width, depth]| width * depth).sum();
            let whole = side.width * side.depth;
            assert!((covered / whole - 1.0).abs() < 0.05, "{}: {covered} of {whole}", side.up);
        }
        let plan = load(read.shapes[0].mold.as_deref().expect("a mold")).expect("a plan");
        let mold = &plan.molds[&MoldId(1)];
        assert_eq!((mold.name.as_str(), mold.height), ("Rock", Length::mm(20.0)));
        assert!(matches!(mold.footprint, Footprint::Outline { .. }));
        assert!(matches!(mold.relief, Relief::Heights(_)), "{:?}", mold.relief);
        let other = done(&ReadFile { up: "+y".into(), ..ask("Rock.stl") }, block().as_bytes());
        assert!((other.mesh.expect("a mesh").height - 30.0).abs() < 1e-9);
    }

    #[test]
    fn parts_that_stand_apart_are_as_tall_as_each_is() {
        // The block again at half the size and a hundred to the right.
        let small = block().lines().fold(String::new(), |text, line| {
            match line.split(' ').collect::<Vec<_>>()[..] {
                ["vertex", x, y, z] => {
                    let half = |text: &str| text.parse::<f64>().expect("a number") / 2.0;
                    text + &format!("vertex {} {} {}\n", 100.0 + half(x), half(y), half(z))
                }
                _ => text + line + "\n",
            }
        });
        let read = done(&ask("Rocks.stl"), (block() + &small).as_bytes());
        assert_eq!(read.shapes.len(), 2, "{:?}", read.problems);
        let heights: Vec<f64> = read
            .shapes
            .iter()
            .map(|shape| {
                let plan = load(shape.mold.as_deref().expect("a mold")).expect("a plan");
                plan.molds[&MoldId(1)].height.to_mm()
            })
            .collect();
        assert!(
            (heights[0] - 20.0).abs() < 1e-6 && (heights[1] - 10.0).abs() < 1e-6,
            "{heights:?}"
        );
        assert_eq!(read.shapes[1].name, "Rocks, part 2");
    }

    #[test]
    fn a_scale_that_is_no_unit_scales_drawings_and_meshes_alike() {
        for (unit_mm, rest) in [(25.4, 1.0), (1.0, 1.0), (2.0, 2.0), (400.0, 4.0 / 3.048)] {
            let (unit, left) = nearest_unit(unit_mm);
            assert!((unit.length().to_mm() * left - unit_mm).abs() < 1e-9 * unit_mm);
            assert!((left - rest).abs() < 1e-9, "{unit_mm}: {unit:?} {left}");
        }
        let half = ReadFile { unit_mm: Some(0.5), ..ask("Rock.stl") };
        assert!((done(&half, block().as_bytes()).mesh.expect("a mesh").height - 10.0).abs() < 1e-9);
        let dxf =
            "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\n0\n10\n5\n20\n5\n40\n10\n0\nENDSEC\n0\nEOF\n";
        let plain = done(&ask("a.dxf"), dxf.as_bytes());
        assert!(plain.is_asked && (plain.unit_mm - 1.0).abs() < 1e-12, "{plain:?}");
        let scaled = done(&ReadFile { unit_mm: Some(3.5), ..ask("a.dxf") }, dxf.as_bytes());
        assert!(!scaled.is_asked && (scaled.unit_mm - 3.5).abs() < 1e-12);
        assert!((scaled.shapes[0].width - 70.0).abs() < 0.1, "{}", scaled.shapes[0].width);
    }

    #[test]
    fn walls_are_held_against_the_draft_that_is_asked_for() {
        // The top drawn in by 1.4 mm on 20 mm of height: atan(1.4 / 20) is 4 degrees.
        let drawn_in = block().lines().fold(String::new(), |text, line| {
            let words: Vec<&str> = line.split_whitespace().collect();
            match words[..] {
                ["vertex", x, y, "20"] => {
                    let inward = |text: &str| {
                        if text == "0" { 1.4 } else { text.parse::<f64>().expect("a number") - 1.4 }
                    };
                    text + &format!("vertex {} {} 20\n", inward(x), inward(y))
                }
                _ => text + line + "\n",
            }
        });
        let told = |least_draft: f64| {
            let ask = ReadFile { least_draft, ..ask("Rock.stl") };
            done(&ask, drawn_in.as_bytes()).mesh.expect("a mesh")
        };
        let (amorphous, crystalline) = (told(3.0), told(5.0));
        assert!(amorphous.steep < 1.0 && crystalline.steep > 2000.0, "{crystalline:?}");
        assert!((crystalline.asked_draft - 5.0).abs() < 1e-9);
    }

    #[test]
    fn what_a_file_is_decides_and_a_wrong_name_is_told() {
        let read = done(&ask("rock.svg"), block().as_bytes());
        assert_eq!(read.kind, "an STL mesh");
        assert!(read.problems[0].contains("whatever its name says"), "{:?}", read.problems);
        for (name, bytes, words) in
            [("a.stl", &b""[..], "is empty"), ("a.bin", b"\x00\x01\x02", "none of SVG")]
        {
            let refused = super::read(&ask(name), bytes, &mut |_| {}).expect_err("no file of ours");
            assert!(refused.contains(words), "{refused}");
        }
        let broken = done(&ask("a.svg"), b"<svg this is no drawing");
        assert!(broken.shapes.is_empty() && !broken.problems.is_empty());
    }
}

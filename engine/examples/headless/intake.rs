//! The verb `import`: what a foreign file holds, as outlines and problems.

use engine::edit::Edit;
use engine::file::save;
use engine::geometry::{HeightField, Point, Pose, Rect, Region, Ring, Shape};
use engine::intake::{
    AddError, Added, Found, FoundMesh, FoundOutline, Kind, Place, PlaceCell, Problem, Scale,
    SourceUnit, Standing, Survey, Up, add_mold, add_mold_from_mesh, read_dxf, read_mesh, read_svg,
    survey,
};
use engine::plan::{Machine, MoldKind, Plan};
use engine::rules::least_draft;
use engine::units::{Angle, Length};
use serde_json::{Value, json};

use super::{Done, Given, UNUSABLE, bytes_of, json_lines, name_of, photo};

/// The most bytes read, above what any reader takes.
const MOST_BYTES: u64 = 130 << 20;

/// The height that a mold is tried with, which a drawing does not say.
const TRIED_HEIGHT: Length = Length::mm(20.0);

/// Says what was found in a file, and what a plan would take of it.
pub(super) fn read_foreign(given: &Given) -> Result<Done, String> {
    let input = given.input();
    let bytes = bytes_of(input, MOST_BYTES)?;
    let unit = given.option("unit").map(unit).transpose()?;
    if photo::is_picture(&bytes) {
        return photo::traced(given, &bytes);
    }
    let seen = Kind::seen(input, &bytes);
    let (kind, is_misnamed) = seen
        .ok_or_else(|| format!("{}: none of SVG, DXF, STL, OBJ, 3MF, PNG, JPEG", name_of(input)))?;
    let misnamed = is_misnamed.then(|| {
        let what = format!("it is {}, whatever its name says; it was read as that", kind.words());
        json!({ "at": Place::File.to_string(), "what": what })
    });
    let (kind, found) = match kind {
        Kind::Svg => ("svg", read_svg(&bytes, unit)),
        Kind::Dxf => ("dxf", read_dxf(&bytes, unit)),
        Kind::Stl | Kind::Obj | Kind::ThreeMf => {
            return measured(given, kind, read_mesh(&bytes, kind, unit), misnamed);
        }
    };
    let problems = misnamed.into_iter().chain(found.problems.iter().map(problem_json));
    let problems: Vec<Value> = problems.collect();
    let (n, n_problems) = (found.outlines.len(), problems.len());
    let message = format!("{}: {n} outlines, {n_problems} problems\n", name_of(input));
    let output = found_json(kind, &found, &problems);
    let status = if found.outlines.is_empty() { UNUSABLE } else { 0 };
    Ok(Done { output: json_lines(&output), message, status })
}

/// What a mesh measures, with its silhouette as outlines.
fn measured(
    given: &Given,
    kind: Kind,
    found: FoundMesh,
    misnamed: Option<Value>,
) -> Result<Done, String> {
    let sign = given.option("up").unwrap_or("+z");
    let signs: Vec<&str> = Up::ALL.iter().map(|up| up.sign()).collect();
    let up = Up::ALL.into_iter().find(|up| up.sign() == sign);
    let up = up.ok_or_else(|| format!("--up {sign}: choose one of {}", signs.join(", ")))?;
    let standing = Standing::new(found.mesh, up, found.scale.unit());
    let plan = Plan::new("Plan", Machine::default());
    let asked = least_draft(MoldKind::Male, plan.stock.plastic);
    let survey = survey(&standing, asked);
    let heights = &survey.heights;
    let count = |is: &dyn Fn(&PlaceCell) -> bool| {
        survey.by_place.cells().iter().filter(|cell| is(cell)).count()
    };
    let problems = found.problems.iter().chain(&survey.problems).map(problem_json);
    let problems: Vec<Value> = misnamed.into_iter().chain(problems).collect();
    let n_problems = problems.len();
    let output = json!({
        "kind": format!("{kind:?}").to_ascii_lowercase(),
        "scale": scale_json(found.scale),
        "up": sign,
        "height_mm": survey.height.to_mm(),
        "silhouette_within_mm": survey.silhouette_within.to_mm(),
        "formed_mm2": survey.formed.to_mm2(),
        "steep_walls": {
            "under_deg": asked.to_degrees(),
            "surface_mm2": survey.steep.surface.to_mm2(),
            "least_deg": survey.steep.least.map(Angle::to_degrees),
            "at_mm": survey.steep.at.map(|at| [at.x, at.y]),
        },
        "undercut": {
            "surface_mm2": survey.undercut.surface.to_mm2(),
            "plan_mm2": survey.undercut.plan.to_mm2(),
        },
        "draft_deg": survey.draft.to_degrees(),
        "by_place": {
            "columns": survey.by_place.columns(),
            "rows": survey.by_place.rows(),
            "undercut_cells": count(&|cell| cell.undercut > Length::ZERO),
            "steep_cells": count(&|cell| cell.steep.is_some()),
        },
        "mold": mold_json(add_mold_from_mesh(&plan, &survey, "Mesh"), &plan),
        "heights": {
            "spacing_mm": heights.spacing().to_mm(),
            "columns": heights.columns(),
            "rows": heights.rows(),
        },
        "outlines": parts_json(&survey, &plan),
        "problems": problems,
    });
    let parts = survey.silhouette.len();
    let message = format!("{}: {parts} parts, {n_problems} problems\n", name_of(given.input()));
    let status = if parts == 0 { UNUSABLE } else { 0 };
    Ok(Done { output: json_lines(&output), message, status })
}

/// The parts that stand by themselves, each with its mold.
fn parts_json(survey: &Survey, plan: &Plan) -> Vec<Value> {
    let part = |(number, region): (usize, &Region)| {
        let name = format!("Part {number}");
        // A single part is as tall as the mesh is; the heights tell that to a cell.
        let height = match survey.silhouette.len() {
            1 => survey.height,
            _ => height_of(region, &survey.heights),
        };
        let alone = Survey { silhouette: vec![region.clone()], height, ..survey.clone() };
        let added = add_mold_from_mesh(plan, &alone, &name);
        let outline = FoundOutline { name, region: region.clone(), at: Place::File };
        shown(&outline, &mold_json(added, plan))
    };
    (1..).zip(&survey.silhouette).map(part).collect()
}

/// How tall what stands on a region is.
fn height_of(region: &Region, heights: &HeightField) -> Length {
    let shape = Shape::new(region.clone());
    let cells = (0..heights.rows()).flat_map(|row| (0..heights.columns()).map(move |at| (at, row)));
    let middles = cells.map(|(column, row)| heights.middle(column, row));
    let over = middles.filter(|place| shape.contains(Pose::default(), *place));
    Length::mm(over.map(|place| heights.at(place)).fold(0.0, f64::max))
}

fn unit(sign: &str) -> Result<SourceUnit, String> {
    let signs: Vec<&str> = SourceUnit::ALL.iter().map(|unit| unit.sign()).collect();
    SourceUnit::from_sign(sign)
        .ok_or_else(|| format!("--unit {sign}: choose one of {}", signs.join(", ")))
}

fn found_json(kind: &str, found: &Found, problems: &[Value]) -> Value {
    let plan = Plan::new("Plan", Machine::default());
    json!({
        "kind": kind,
        "scale": scale_json(found.scale),
        "outlines": found.outlines.iter().map(|one| outline_json(one, &plan)).collect::<Vec<_>>(),
        "problems": problems,
    })
}

fn scale_json(scale: Scale) -> Value {
    json!({
        "unit": scale.unit().sign(),
        "mm": scale.unit().length().to_mm(),
        "asked": matches!(scale, Scale::Asked(_)),
    })
}

/// An outline with the mold that an empty plan takes of it.
pub(super) fn outline_json(outline: &FoundOutline, plan: &Plan) -> Value {
    shown(outline, &mold_json(add_mold(plan, outline, &outline.name, TRIED_HEIGHT), plan))
}

fn shown(outline: &FoundOutline, mold: &Value) -> Value {
    let corner = |p: &Point| [p.x, p.y];
    let ring = |ring: &Ring| ring.points().iter().map(corner).collect::<Vec<_>>();
    let bounds = outline.region.bounds().map(bounds_json);
    let n_corners: usize = outline.region.rings().map(|ring| ring.points().len()).sum();
    json!({
        "name": outline.name,
        "at": outline.at.to_string(),
        "area_mm2": outline.region.area().to_mm2(),
        "bounds_mm": bounds,
        "corners": n_corners,
        "holes": outline.region.holes.len(),
        "rings_mm": outline.region.rings().map(ring).collect::<Vec<_>>(),
        "mold": mold,
    })
}

/// What a plan takes of an outline or a mesh, and the plan that holds nothing else, in the saved form.
fn mold_json(added: Result<Added, AddError>, plan: &Plan) -> Value {
    let added = match added {
        Ok(added) => added,
        Err(error) => return json!({ "refused": error.to_string() }),
    };
    let cells = match &added.edit {
        Edit::AddMold(_, mold) => mold.relief.n_cells(),
        _ => 0,
    };
    json!({
        "corners": added.n_corners,
        "within_mm": added.within.to_mm(),
        "holes_left_out": added.n_holes_left_out,
        "parts_left_out": added.n_parts_left_out,
        "height_cells": cells,
        "plan": plan.apply(&added.edit).ok().map(|plan| save(&plan)).and_then(|saved| {
            serde_json::from_str::<Value>(&saved).ok()
        }),
    })
}

fn bounds_json(bounds: Rect) -> [f64; 4] {
    [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y]
}

pub(super) fn problem_json(problem: &Problem) -> Value {
    json!({ "at": problem.at.to_string(), "what": problem.trouble.to_string() })
}

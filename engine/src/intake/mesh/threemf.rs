//! 3MF: meshes as XML in a ZIP archive, with a unit, placed by items and components.
//!
//! **Source:** 3D Manufacturing Format, core specification 1.3, chapters 3 and 4 (from memory). Extensions are
//! passed over; components in other files of the archive are told.

use std::collections::BTreeMap;

use roxmltree::{Document, Node, ParsingOptions};

use super::super::found::SourceUnit;
use super::super::problem::{Counted, Place, Problems, Trouble, shortened};
use super::solid::{Corner, Gather};
use super::zip;

/// What the model may unpack to, in bytes.
const MOST_XML: usize = 100 << 20;

/// Nodes of its tree.
const MOST_NODES: u32 = 6_000_000;

/// Components within components.
const MOST_NESTED: usize = 16;

/// Placings of objects in all.
const MOST_PLACED: usize = 10_000;

/// Takes all meshes that are built, in their places; the unit that the model says.
pub(super) fn read(
    bytes: &[u8],
    gather: &mut Gather,
    problems: &mut Problems,
) -> Option<SourceUnit> {
    let unreadable = |what: String| Trouble::Unreadable { kind: "3MF", what };
    let xml = match model(bytes) {
        Ok(xml) => xml,
        Err(what) => {
            problems.push(Place::File, unreadable(what));
            return None;
        }
    };
    let text = String::from_utf8_lossy(&xml);
    let options = ParsingOptions { nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    match Document::parse_with_options(&text, options) {
        Ok(document) => {
            let model = document.root_element();
            Build::of(model, gather, problems).run(model);
            Some(unit(model.attribute("unit").unwrap_or("millimeter")))
        }
        Err(error) => {
            problems.push(Place::File, unreadable(shortened(&error.to_string())));
            None
        }
    }
}

/// The XML of the model: the first file of the archive whose name ends as models do.
fn model(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let entries = zip::entries(bytes)?;
    let is_model = |name: &str| name.to_ascii_lowercase().ends_with(".model");
    let found = entries.iter().find(|entry| entry.name == "3D/3dmodel.model");
    let found = found.or_else(|| entries.iter().find(|entry| is_model(entry.name)));
    found.ok_or("it holds no model")?.unpack(MOST_XML)
}

fn unit(name: &str) -> SourceUnit {
    match name {
        "micron" => SourceUnit::Micrometre,
        "centimeter" => SourceUnit::Centimetre,
        "inch" => SourceUnit::Inch,
        "foot" => SourceUnit::Foot,
        "meter" => SourceUnit::Metre,
        _ => SourceUnit::Millimetre,
    }
}

/// Rows of a map from an object's coordinates to the model's: three for the axes, one for the origin.
type Map = [Corner; 4];

const SAME: Map = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.0; 3]];

fn placed(map: &Map, p: Corner) -> Corner {
    let [x, y, z, at] = map;
    [0, 1, 2].map(|k| p[0] * x[k] + p[1] * y[k] + p[2] * z[k] + at[k])
}

/// First `inner`, then `outer`.
fn after(outer: &Map, inner: &Map) -> Map {
    let turned = |axis: Corner| {
        let to = placed(outer, axis);
        [0, 1, 2].map(|k| to[k] - outer[3][k])
    };
    [turned(inner[0]), turned(inner[1]), turned(inner[2]), placed(outer, inner[3])]
}

/// The map of a `transform`; that of no transform when it cannot be read.
fn map_of(node: Node<'_, '_>) -> Map {
    let text = node.attribute("transform").unwrap_or_default();
    let numbers: Vec<f64> =
        text.split_ascii_whitespace().take(13).map_while(|word| word.parse().ok()).collect();
    let row = |at: usize| <Corner>::try_from(&numbers[at..at + 3]).unwrap_or_default();
    if numbers.len() == 12 { [row(0), row(3), row(6), row(9)] } else { SAME }
}

/// The objects of a model and the work of placing them.
struct Build<'a, 'input, 'made> {
    objects: BTreeMap<&'a str, Node<'a, 'input>>,
    n_placed: usize,
    gather: &'made mut Gather,
    problems: &'made mut Problems,
}

impl<'a, 'input, 'made> Build<'a, 'input, 'made> {
    fn of(
        model: Node<'a, 'input>,
        gather: &'made mut Gather,
        problems: &'made mut Problems,
    ) -> Self {
        let objects = model.descendants().filter(|node| node.has_tag_name_local("object"));
        let objects = objects.filter_map(|node| node.attribute("id").map(|id| (id, node)));
        Self { objects: objects.collect(), n_placed: 0, gather, problems }
    }

    fn run(&mut self, model: Node<'a, 'input>) {
        for item in model.descendants().filter(|node| node.has_tag_name_local("item")) {
            self.place(item, &SAME, 0);
        }
    }

    fn place(&mut self, node: Node<'a, 'input>, outer: &Map, n_nested: usize) {
        let id = node.attribute("objectid").unwrap_or_default();
        let is_elsewhere = node.attributes().any(|attribute| attribute.name() == "path");
        let object = self.objects.get(id).filter(|_| n_nested < MOST_NESTED && !is_elsewhere);
        let Some(&object) = object else {
            return self.problems.push(Place::File, Trouble::NoTarget { what: shortened(id) });
        };
        if self.gather.is_full() || self.n_placed >= MOST_PLACED {
            return self.problems.count(
                Counted::Skipped,
                "objects beyond those that are read",
                &Place::File,
            );
        }
        self.n_placed += 1;
        let map = after(outer, &map_of(node));
        for child in object.children() {
            if child.has_tag_name_local("mesh") {
                mesh(child, &map, self.gather, self.problems);
            } else if child.has_tag_name_local("components") {
                for part in child.children().filter(|part| part.has_tag_name_local("component")) {
                    self.place(part, &map, n_nested + 1);
                }
            }
        }
    }
}

fn mesh(node: Node<'_, '_>, map: &Map, gather: &mut Gather, problems: &mut Problems) {
    let parts = |list: &'static str, part: &'static str| {
        let lists = node.children().filter(move |child| child.has_tag_name_local(list));
        lists.flat_map(|list| list.children()).filter(move |child| child.has_tag_name_local(part))
    };
    let number = |node: Node<'_, '_>, name: &str| -> f64 {
        node.attribute(name).and_then(|text| text.trim().parse().ok()).unwrap_or(f64::NAN)
    };
    let corners: Vec<Corner> = parts("vertices", "vertex")
        .map(|v| placed(map, [number(v, "x"), number(v, "y"), number(v, "z")]))
        .collect();
    for (index, triangle) in (1..).zip(parts("triangles", "triangle")) {
        if gather.is_full() {
            return;
        }
        let corner = |name: &str| -> Option<Corner> {
            corners.get(triangle.attribute(name)?.trim().parse::<usize>().ok()?).copied()
        };
        let all = [corner("v1"), corner("v2"), corner("v3")];
        let all = all.map(|corner| corner.unwrap_or([f64::NAN; 3]));
        gather.add(all, || Place::Triangle(index), problems);
    }
}

/// Names without regard to their namespace, which some programs get wrong.
trait Local {
    fn has_tag_name_local(&self, name: &str) -> bool;
}

impl Local for Node<'_, '_> {
    fn has_tag_name_local(&self, name: &str) -> bool {
        self.is_element() && self.tag_name().name() == name
    }
}

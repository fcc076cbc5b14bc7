//! 3MF: meshes as XML in a ZIP archive, with a unit, placed by items and components.
//!
//! **Source:** 3D Manufacturing Format, core specification 1.3, chapters 3 and 4 (from memory). Extensions are
//! passed over; components in other files of the archive are told.

use std::cell::Cell;
use std::collections::BTreeMap;

use roxmltree::{Document, Node, ParsingOptions};

use super::super::found::SourceUnit;
use super::super::problem::{Counted, Place, Problems, Trouble, shortened};
use super::super::xml;
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

/// Corners, triangles and what stands between them looked at in all, those of an object once for each time that it is
/// placed: more than a mesh of as many triangles as are taken has.
const MOST_PARTS: usize = 12_000_000;

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
    if let Err((line, what)) = xml::guard(&text) {
        problems.push(Place::Line(line), unreadable(what.to_owned()));
        return None;
    }
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
    /// How much may still be looked at.
    n_left: usize,
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
        Self { objects: objects.collect(), n_placed: 0, n_left: MOST_PARTS, gather, problems }
    }

    fn run(&mut self, model: Node<'a, 'input>) {
        for item in model.descendants().filter(|node| node.has_tag_name_local("item")) {
            self.place(item, &SAME, 0);
        }
        if self.n_left == 0 {
            let what = "corners and triangles, each placing of an object counted";
            self.problems.push(Place::File, Trouble::TooMany { what, most: MOST_PARTS });
        }
    }

    fn place(&mut self, node: Node<'a, 'input>, outer: &Map, n_nested: usize) {
        if self.n_left == 0 {
            return;
        }
        let id = node.attribute("objectid").unwrap_or_default();
        let is_elsewhere = node.attributes().any(|attribute| attribute.name() == "path");
        let object = self.objects.get(id).filter(|_| n_nested < MOST_NESTED && !is_elsewhere);
        if self.gather.is_full() || self.n_placed >= MOST_PLACED {
            return self.problems.count(
                Counted::Skipped,
                "objects beyond those that are read",
                &Place::File,
            );
        }
        // One that is not there costs its looking for.
        self.n_placed += 1;
        let Some(&object) = object else {
            return self.problems.push(Place::File, Trouble::NoTarget { what: shortened(id) });
        };
        let map = after(outer, &map_of(node));
        for child in object.children() {
            self.n_left = self.n_left.saturating_sub(1);
            if child.has_tag_name_local("mesh") {
                self.mesh(child, &map);
            } else if child.has_tag_name_local("components") {
                for part in child.children().filter(|part| part.has_tag_name_local("component")) {
                    self.place(part, &map, n_nested + 1);
                }
            }
        }
    }

    fn mesh(&mut self, node: Node<'_, '_>, map: &Map) {
        let most = self.n_left;
        let n_seen = Cell::new(0);
        let parts = |list: &'static str, part: &'static str| {
            let lists = node.children().filter(move |child| child.has_tag_name_local(list));
            let all = lists.flat_map(|list| list.children());
            let is_within = |_: &Node<'_, '_>| n_seen.replace(n_seen.get() + 1) < most;
            all.take_while(is_within).filter(move |child| child.has_tag_name_local(part))
        };
        let number = |node: Node<'_, '_>, name: &str| -> f64 {
            node.attribute(name).and_then(|text| text.trim().parse().ok()).unwrap_or(f64::NAN)
        };
        let corners: Vec<Corner> = parts("vertices", "vertex")
            .map(|v| placed(map, [number(v, "x"), number(v, "y"), number(v, "z")]))
            .collect();
        for (index, triangle) in (1..).zip(parts("triangles", "triangle")) {
            if self.gather.is_full() {
                return;
            }
            let corner = |name: &str| -> Option<Corner> {
                corners.get(triangle.attribute(name)?.trim().parse::<usize>().ok()?).copied()
            };
            let all = [corner("v1"), corner("v2"), corner("v3")];
            let all = all.map(|corner| corner.unwrap_or([f64::NAN; 3]));
            self.gather.add(all, || Place::Triangle(index), self.problems);
        }
        self.n_left = most.saturating_sub(n_seen.get());
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::mesh::Mesh;

    /// A model of one object of `n` corners and this many triangles of them, placed so often.
    fn placed_often(n: usize, n_triangles: usize, n_placed: usize) -> String {
        let corner = |k: usize| format!("<vertex x='{}' y='{}' z='0'/>", k % 7, k % 5);
        format!(
            "<model><resources><object id='1'><mesh><vertices>{}</vertices><triangles>{}</triangles></mesh></object>\
             </resources><build>{}</build></model>",
            (0..n).map(corner).collect::<String>(),
            "<triangle v1='0' v2='1' v3='2'/>".repeat(n_triangles),
            "<item objectid='1'/>".repeat(n_placed)
        )
    }

    fn built(model: &str, most: usize) -> (Mesh, usize, Vec<String>) {
        let document = Document::parse(model).expect("a model");
        let (mut gather, mut problems) = (Gather::default(), Problems::default());
        let mut build = Build::of(document.root_element(), &mut gather, &mut problems);
        build.n_left = most;
        build.run(document.root_element());
        let n_left = build.n_left;
        let words = problems.into_list().iter().map(ToString::to_string).collect();
        (gather.into_mesh(), n_left, words)
    }

    #[test]
    fn each_placing_of_an_object_is_paid_for() {
        let model = placed_often(100, 3, 20);
        let (mesh, n_left, words) = built(&model, 10_000);
        // Each placing looks at the mesh, its corners and its triangles.
        assert_eq!((mesh.triangles.len(), n_left, words.len()), (60, 10_000 - 20 * 104, 0));
        let (mesh, n_left, words) = built(&model, 1000);
        assert_eq!((mesh.triangles.len(), n_left), (27, 0));
        assert!(words[0].contains("each placing of an object counted"), "{words:?}");
        // Comments between the corners are looked at too.
        let commented =
            model.replace("<vertices>", &format!("<vertices>{}", "<!---->".repeat(900)));
        assert_eq!(built(&commented, 1000).1, 0);
    }

    #[test]
    fn objects_that_are_not_there_are_asked_for_so_often_at_most() {
        let missing = "<component objectid='9'/>".repeat(200);
        let model = format!(
            "<model><object id='1'><components>{missing}</components></object><build>{}</build></model>",
            "<item objectid='1'/>".repeat(200)
        );
        let (_, _, words) = built(&model, MOST_PARTS);
        assert!(
            words.iter().any(|w| w.contains("objects beyond those that are read")),
            "{words:?}"
        );
    }

    #[test]
    fn a_model_that_would_cost_far_more_than_its_size_is_refused() {
        let crowd: String = (0..300).map(|k| format!(" a{k}='1'")).collect();
        let model = placed_often(3, 1, 1).replace("<triangle ", &format!("<triangle{crowd} "));
        let archive = stored(model.as_bytes());
        let (mut gather, mut problems) = (Gather::default(), Problems::default());
        assert_eq!(read(&archive, &mut gather, &mut problems), None);
        let words: Vec<String> = problems.into_list().iter().map(ToString::to_string).collect();
        assert!(words[0].contains("more than 256 attributes"), "{words:?}");
    }

    /// An archive of one file that is not packed (APPNOTE.TXT, sections 4.3.7, 4.3.12 and 4.3.16).
    fn stored(model: &[u8]) -> Vec<u8> {
        let name = b"3D/3dmodel.model";
        let size = u32::try_from(model.len()).expect("small").to_le_bytes();
        let common =
            [&[20, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0][..], &size, &size, &[16, 0, 0, 0]];
        let common = common.concat();
        let mut bytes = [&b"PK\x03\x04"[..], &common, name, model].concat();
        let table = u32::try_from(bytes.len()).expect("small").to_le_bytes();
        bytes.extend([&b"PK\x01\x02\x14\0"[..], &common, &[0; 14], name].concat());
        bytes.extend([&b"PK\x05\x06\0\0\0\0\x01\0\x01\0\0\0\0\0"[..], &table, &[0; 2]].concat());
        bytes
    }
}

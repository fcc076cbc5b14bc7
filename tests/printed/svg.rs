//! Reads our own SVG with `roxmltree`.

use engine::geometry::Point;
use roxmltree::{Document, Node};

use super::{ReadPage, Run};

/// The page of an SVG whose millimetres must be its user units; also gives its lines of lettering.
pub(crate) fn page(text: &str) -> (ReadPage, Vec<String>) {
    let document = Document::parse(text).expect("well-formed XML");
    let root = document.root_element();
    let size = |name| {
        let value = root.attribute(name).expect("a size");
        value.strip_suffix("mm").expect("in millimetres").parse::<f64>().expect("a number")
    };
    let (width, height) = (size("width"), size("height"));
    assert_eq!(root.attribute("viewBox"), Some(format!("0 0 {width} {height}").as_str()));
    for node in root.descendants() {
        for name in ["transform", "class", "style", "href"] {
            assert!(!node.has_attribute(name), "{name} on {:?}", node.tag_name());
        }
    }
    let paths = root.descendants().filter(|node| node.has_tag_name("path"));
    let runs = paths.flat_map(|node| runs(node, height)).collect();
    let lines = root.descendants().filter(|node| node.has_tag_name("text"));
    let lines = lines.map(|node| node.text().unwrap_or_default().trim().to_owned()).collect();
    (ReadPage { width, height, runs }, lines)
}

fn runs(path: Node<'_, '_>, height: f64) -> Vec<Run> {
    let data = path.attribute("d").expect("a path has data");
    let begun = data.split('M').filter(|run| !run.is_empty());
    begun
        .map(|run| {
            let is_closed = run.ends_with('Z');
            let points = run.trim_end_matches('Z').split('L').map(|pair| {
                let (x, y) = pair.split_once(' ').expect("two numbers");
                let number = |text: &str| text.parse::<f64>().expect("a number");
                Point::new(number(x), height - number(y))
            });
            Run { points: points.collect(), is_closed, window: None }
        })
        .collect()
}

//! Walks the tree of an SVG drawing and draws every element that shows.

use std::collections::BTreeMap;

use roxmltree::{Document, Node};

use super::super::affine::Affine;
use super::super::found::{Scale, SourceUnit};
use super::super::pen::{Line, Pen};
use super::super::problem::{Counted, Place, Problems, Trouble, shortened};
use super::document::Lines;
use super::path::{self, Ended};
use super::shapes::{self, Drawn};
use super::style::{property, to_user};
use super::{MOST_CORNERS, MOST_ELEMENTS, fit};
use crate::geometry::{Point, Rect, Vec2};
use crate::plan::limits;
use crate::units::Length;

/// Elements within elements, uses included.
const MOST_NESTED: usize = 100;

/// Uses within uses.
const MOST_USES_NESTED: usize = 16;

/// What an element inherits.
#[derive(Clone, Copy)]
struct State {
    map: Affine,
    /// The size that shares of lengths are of, in user units.
    viewport: Vec2,
    is_filled: bool,
    is_visible: bool,
    n_nested: usize,
    n_uses: usize,
}

/// A walk through one drawing.
pub(super) struct Walk<'a, 'input> {
    document: &'a Document<'input>,
    ids: BTreeMap<&'a str, Node<'a, 'input>>,
    place_of: Lines,
    problems: Problems,
    pen: Pen,
    lines: Vec<Line>,
    n_elements: usize,
}

impl<'a, 'input> Walk<'a, 'input> {
    pub(super) fn new(document: &'a Document<'input>, text: &str, problems: Problems) -> Self {
        let mut ids = BTreeMap::new();
        for node in document.descendants() {
            if let Some(id) = node.attribute("id") {
                ids.entry(id).or_insert(node);
            }
        }
        Self {
            document,
            ids,
            place_of: Lines::of(text),
            problems,
            pen: Pen::new(MOST_CORNERS),
            lines: Vec::new(),
            n_elements: 0,
        }
    }

    /// Draws everything; the scale is what the outermost element says.
    pub(super) fn run(&mut self, unit: Option<SourceUnit>) -> Scale {
        let svg = self.document.root_element();
        let (map, viewport, scale) = fit::outermost(svg, unit);
        let state =
            State { map, viewport, is_filled: true, is_visible: true, n_nested: 0, n_uses: 0 };
        if let Some(state) = self.styled(svg, state) {
            self.children(svg, state);
        }
        scale
    }

    pub(super) fn finish(mut self) -> (Vec<Line>, Problems) {
        for (is_spent, what, most) in [
            (self.pen.is_spent(), "corners", MOST_CORNERS),
            (self.n_elements >= MOST_ELEMENTS, "elements", MOST_ELEMENTS),
        ] {
            if is_spent {
                self.problems.push(Place::File, Trouble::TooMany { what, most });
            }
        }
        (self.lines, self.problems)
    }

    fn place(&self, node: Node<'_, '_>) -> Place {
        let name = shortened(node.tag_name().name());
        Place::Element { name, line: self.place_of.line(node.range().start) }
    }

    fn children(&mut self, node: Node<'a, 'input>, state: State) {
        if state.n_nested >= MOST_NESTED {
            let trouble = Trouble::TooMany { what: "elements within elements", most: MOST_NESTED };
            self.problems.push(self.place(node), trouble);
            return;
        }
        let state = State { n_nested: state.n_nested + 1, ..state };
        for child in node.children().filter(Node::is_element) {
            if self.n_elements >= MOST_ELEMENTS || self.pen.is_spent() {
                return;
            }
            self.n_elements += 1;
            self.element(child, state);
        }
    }

    fn element(&mut self, node: Node<'a, 'input>, state: State) {
        let name = node.tag_name().name();
        match name {
            "g" | "a" | "switch" | "svg" | "use" | "path" | "rect" | "circle" | "ellipse"
            | "line" | "polyline" | "polygon" => {}
            "text" | "image" | "foreignObject" => {
                return self.problems.count(Counted::Skipped, name, &self.place(node));
            }
            "style" => return self.style_sheet(node),
            _ => return,
        }
        let Some(state) = self.styled(node, state) else { return };
        match name {
            "g" | "a" | "switch" => self.children(node, state),
            "svg" => self.nested_svg(node, state, [None; 2]),
            "use" => self.use_of(node, state),
            _ if !state.is_visible => self.hidden(node, "visibility"),
            "path" => self.path(node, state),
            _ => self.shape(node, state),
        }
    }

    /// A style sheet that may hide something cannot be followed, which is told.
    fn style_sheet(&mut self, node: Node<'_, '_>) {
        let text = node.text().unwrap_or_default();
        if ["display", "visibility", "transform"].iter().any(|word| text.contains(word)) {
            self.problems.count(Counted::NotApplied, "style sheets", &self.place(node));
        }
    }

    fn hidden(&mut self, node: Node<'_, '_>, why: &str) {
        self.problems.count(Counted::Hidden, why, &self.place(node));
    }

    /// The state within an element; `None` when it does not show.
    fn styled(&mut self, node: Node<'a, 'input>, state: State) -> Option<State> {
        let mut state = state;
        if property(node, "display") == Some("none") {
            self.hidden(node, "display: none");
            return None;
        }
        match property(node, "visibility") {
            Some("hidden" | "collapse") => state.is_visible = false,
            Some("visible") => state.is_visible = true,
            _ => {}
        }
        match property(node, "fill") {
            None | Some("inherit") => {}
            Some(fill) => state.is_filled = fill != "none" && fill != "transparent",
        }
        for name in ["clip-path", "mask"] {
            if property(node, name).is_some_and(|value| value != "none") {
                self.problems.count(Counted::NotApplied, name, &self.place(node));
            }
        }
        if let Some(text) = property(node, "transform") {
            let map = fit::transform(text);
            let map = map.or_else(|| self.bad(node, "transform", text, "the element was left out"));
            state.map = state.map.after(&map?);
        }
        state.map.is_finite().then_some(state)
    }

    fn bad<T>(
        &mut self,
        node: Node<'_, '_>,
        what: &str,
        text: &str,
        done: &'static str,
    ) -> Option<T> {
        let trouble = Trouble::BadValue { what: what.to_owned(), text: shortened(text), done };
        self.problems.push(self.place(node), trouble);
        None
    }

    /// A drawing within the drawing, or a symbol, at the size that `use` may give it.
    fn nested_svg(&mut self, node: Node<'a, 'input>, state: State, sizes: [Option<f64>; 2]) {
        let number =
            |name: &str, whole: f64| node.attribute(name).and_then(|text| to_user(text, whole));
        let (x, y) = (number("x", state.viewport.x), number("y", state.viewport.y));
        let width = sizes[0].or_else(|| number("width", state.viewport.x));
        let height = sizes[1].or_else(|| number("height", state.viewport.y));
        let (width, height) =
            (width.unwrap_or(state.viewport.x), height.unwrap_or(state.viewport.y));
        if !(width > 0.0 && height > 0.0) {
            return;
        }
        let corner = Point::new(x.unwrap_or(0.0), y.unwrap_or(0.0));
        let into = Rect::sized(corner, Length::mm(width), Length::mm(height));
        let (map, viewport) = match fit::view_box_of(node) {
            Some(view) => {
                (fit::view_box(view, into, fit::aspect_of(node)), Vec2::new(view.w, view.h))
            }
            None => (Affine::shift(corner.x, corner.y), Vec2::new(width, height)),
        };
        let map = state.map.after(&map);
        if map.is_finite() {
            self.children(node, State { map, viewport, ..state });
        }
    }

    fn use_of(&mut self, node: Node<'a, 'input>, state: State) {
        let plain = node.attribute("href");
        let link = plain.or_else(|| node.attribute(("http://www.w3.org/1999/xlink", "href")));
        let name = link.unwrap_or_default().trim();
        let target = name.strip_prefix('#').and_then(|id| self.ids.get(id).copied());
        let is_inside = |target: Node<'_, '_>| node.ancestors().any(|above| above == target);
        let Some(target) = target.filter(|t| state.n_uses < MOST_USES_NESTED && !is_inside(*t))
        else {
            let trouble = Trouble::NoTarget { what: shortened(name) };
            return self.problems.push(self.place(node), trouble);
        };
        let number =
            |name: &str, whole: f64| node.attribute(name).and_then(|text| to_user(text, whole));
        let x = number("x", state.viewport.x).unwrap_or(0.0);
        let y = number("y", state.viewport.y).unwrap_or(0.0);
        let sizes = [number("width", state.viewport.x), number("height", state.viewport.y)];
        let map = state.map.after(&Affine::shift(x, y));
        let state = State { map, n_uses: state.n_uses + 1, n_nested: state.n_nested + 1, ..state };
        if state.n_nested >= MOST_NESTED {
            return;
        }
        match target.tag_name().name() {
            "symbol" | "svg" => {
                if let Some(state) = self.styled(target, state) {
                    self.nested_svg(target, state, sizes);
                }
            }
            _ => {
                self.n_elements += 1;
                self.element(target, state);
            }
        }
    }

    fn path(&mut self, node: Node<'a, 'input>, state: State) {
        let data = property(node, "d").unwrap_or_default();
        self.pen.map = state.map;
        let mut drawn = Vec::new();
        let mut end = |pen: &mut Pen, how: Ended| {
            drawn.push((pen.take(), matches!(how, Ended::Closed)));
        };
        let is_whole = path::draw(data, &mut self.pen, &mut end);
        for (points, is_closed) in drawn {
            self.add(node, points, is_closed, state);
        }
        if !is_whole {
            self.bad::<()>(node, "d", data, "the path was drawn as far as it can be read");
        }
    }

    fn shape(&mut self, node: Node<'a, 'input>, state: State) {
        self.pen.map = state.map;
        let drawn = shapes::draw(node, state.viewport, &mut self.pen);
        let points = self.pen.take();
        match drawn {
            Some(Drawn::Closed) => self.add(node, points, true, state),
            Some(Drawn::Open) => self.add(node, points, false, state),
            Some(Drawn::Bad(name)) => {
                let text = node.attribute(name).unwrap_or_default();
                self.bad::<()>(node, name, text, "the element was left out");
            }
            Some(Drawn::Nothing) | None => {}
        }
    }

    fn add(
        &mut self,
        node: Node<'a, 'input>,
        points: Option<Vec<Point>>,
        is_closed: bool,
        state: State,
    ) {
        let at = self.place(node);
        let Some(points) = points else {
            return self.problems.push(at, Trouble::OutOfRange { most: limits::COORDINATE });
        };
        let name = name_of(node);
        self.lines.push(Line { points, is_closed, is_filled: state.is_filled, name, at });
    }
}

/// What the drawing calls an element: its label, its title or its id.
fn name_of(node: Node<'_, '_>) -> String {
    let label = node.attributes().find(|attribute| attribute.name() == "label");
    let title = node.children().find(|child| child.tag_name().name() == "title");
    let title = title.and_then(|title| title.text());
    let name = label.map(|label| label.value()).or(title).or_else(|| node.attribute("id"));
    name.unwrap_or_default().to_owned()
}

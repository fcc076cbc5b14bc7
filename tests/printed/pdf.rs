//! Reads the lines of a PDF with `lopdf`.

use engine::geometry::{Point, Rect};
use lopdf::content::Operation;
use lopdf::{Document, Object};

use super::{ReadPage, Run};

const MM: f64 = 25.4 / 72.0;

/// Every page of a PDF.
pub(crate) fn pages(bytes: &[u8]) -> Vec<ReadPage> {
    let document = Document::load_mem(bytes).expect("a PDF that lopdf reads");
    let pages = document.get_pages();
    pages.values().map(|&id| page(&document, id)).collect()
}

fn page(document: &Document, id: lopdf::ObjectId) -> ReadPage {
    let dictionary = document.get_dictionary(id).expect("a page");
    let media_box = dictionary.get(b"MediaBox").and_then(Object::as_array).expect("a page box");
    let [left, bottom, right, top] = media_box.iter().map(number).collect::<Vec<_>>()[..] else {
        panic!("a page box has four numbers");
    };
    assert!(left == 0.0 && bottom == 0.0, "the page begins at its lower left corner");
    assert!(dictionary.get(b"Rotate").is_err() && dictionary.get(b"UserUnit").is_err());
    let content = document.get_and_decode_page_content(id).expect("readable content");
    let mut pen = Pen::default();
    for operation in &content.operations {
        pen.follow(operation);
    }
    ReadPage { width: right * MM, height: top * MM, runs: pen.runs }
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().expect("a number"))
}

/// What the page's content has done so far.
#[derive(Debug)]
struct Pen {
    state: State,
    saved: Vec<State>,
    path: Vec<Run>,
    is_clip: bool,
    runs: Vec<Run>,
}

#[derive(Clone, Copy, Debug)]
struct State {
    /// The transformation as in the file: a b c d e f.
    matrix: [f64; 6],
    window: Option<Rect>,
}

impl Default for Pen {
    fn default() -> Self {
        let state = State { matrix: [1.0, 0.0, 0.0, 1.0, 0.0, 0.0], window: None };
        Self { state, saved: Vec::new(), path: Vec::new(), is_clip: false, runs: Vec::new() }
    }
}

impl Pen {
    fn follow(&mut self, operation: &Operation) {
        let of = || operation.operands.iter().map(number).collect::<Vec<f64>>();
        match operation.operator.as_str() {
            "q" => self.saved.push(self.state),
            "Q" => self.state = self.saved.pop().expect("as many restored as saved"),
            "cm" => self.transform(&of()),
            "m" => {
                let points = vec![self.place(&of())];
                self.path.push(Run { points, is_closed: false, window: self.state.window });
            }
            "l" => {
                let point = self.place(&of());
                self.path.last_mut().expect("a begun line").points.push(point);
            }
            "h" => self.path.last_mut().expect("a begun line").is_closed = true,
            "re" => self.rectangle(&of()),
            "W" => self.is_clip = true,
            "n" => self.end_without_ink(),
            "S" | "B" | "f" => self.runs.append(&mut self.path),
            "w" | "G" | "g" | "d" | "j" | "BT" | "ET" | "Tf" | "Td" | "Tj" => {}
            other => panic!("an operator that the test does not follow: {other}"),
        }
    }

    fn transform(&mut self, by: &[f64]) {
        let [a, b, c, d, e, f] = self.state.matrix;
        let &[g, h, i, j, k, l] = by else { panic!("a transformation has six numbers") };
        self.state.matrix = [
            g * a + h * c,
            g * b + h * d,
            i * a + j * c,
            i * b + j * d,
            k * a + l * c + e,
            k * b + l * d + f,
        ];
    }

    fn place(&self, at: &[f64]) -> Point {
        let [a, b, c, d, e, f] = self.state.matrix;
        let &[x, y] = at else { panic!("a place has two numbers") };
        Point::new((a * x + c * y + e) * MM, (b * x + d * y + f) * MM)
    }

    fn rectangle(&mut self, of: &[f64]) {
        let &[x, y, width, height] = of else { panic!("a rectangle has four numbers") };
        let corners = [[x, y], [x + width, y], [x + width, y + height], [x, y + height]];
        let points = corners.iter().map(|at| self.place(at)).collect();
        self.path.push(Run { points, is_closed: true, window: self.state.window });
    }

    fn end_without_ink(&mut self) {
        if std::mem::take(&mut self.is_clip) {
            self.state.window = self.path.first().map(Run::bounds);
        }
        self.path.clear();
    }
}

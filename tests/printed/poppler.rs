//! Reads a PDF with the programs of poppler-utils, run as child processes.

use std::path::{Path, PathBuf};
use std::process::Command;

use engine::geometry::{Point, Rect};
use roxmltree::{Document, Node};

use super::{ReadPage, Run};

const MM: f64 = 25.4 / 72.0;

/// A PDF in a folder of its own, which goes when this does.
#[derive(Debug)]
pub(crate) struct Printed {
    folder: PathBuf,
}

/// A word and the rectangle that it covers, in millimetres from the page's lower left corner.
#[derive(Debug)]
pub(crate) struct Word {
    pub(crate) text: String,
    pub(crate) covers: Rect,
}

/// A page as grey pixels, ten to the millimetre, row by row from the top.
#[derive(Debug)]
pub(crate) struct Pixels {
    pub(crate) width: usize,
    pub(crate) height: usize,
    grey: Vec<u8>,
}

impl Printed {
    /// Writes the file where poppler can read it.
    pub(crate) fn new(name: &str, bytes: &[u8]) -> Self {
        let folder =
            std::env::temp_dir().join(format!("onepull-printed-{}-{name}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder for the print");
        std::fs::write(folder.join("print.pdf"), bytes).expect("room for the print");
        Self { folder }
    }

    /// The lines of a page, numbered from 1, as `pdftocairo` draws them.
    pub(crate) fn page(&self, n: usize) -> ReadPage {
        let n = n.to_string();
        // Without these two it fits the page to one rounded to whole points, 0.1 % smaller.
        let true_scale = ["-noshrink", "-nocenter"];
        let options = ["-svg", "-f", &n, "-l", &n, true_scale[0], true_scale[1]];
        self.run("pdftocairo", &[&options[..], &["print.pdf", "page.svg"]].concat());
        let text = std::fs::read_to_string(self.folder.join("page.svg")).expect("a drawn page");
        read_page(&Document::parse(&text).expect("well-formed SVG"))
    }

    /// The words of all pages, page by page, as `pdftotext` finds them.
    pub(crate) fn words(&self) -> Vec<Vec<Word>> {
        self.run("pdftotext", &["-bbox", "print.pdf", "words.html"]);
        let text = std::fs::read_to_string(self.folder.join("words.html")).expect("words");
        // The document type names a file that the reader must not go looking for.
        let body = text.split_once("<html").map_or(text.as_str(), |(_, body)| body);
        let document = format!("<html{body}");
        let document = Document::parse(&document).expect("well-formed words");
        let pages = document.descendants().filter(|node| node.has_tag_name(tag("page")));
        pages.map(words_of).collect()
    }

    /// The pixels of a page, numbered from 1, as `pdftoppm` paints them at 254 dots per inch.
    pub(crate) fn pixels(&self, n: usize) -> Pixels {
        let n = n.to_string();
        let options = ["-r", "254", "-gray", "-f", &n, "-l", &n, "-singlefile"];
        self.run("pdftoppm", &[&options[..], &["print.pdf", "page"]].concat());
        read_pgm(&std::fs::read(self.folder.join("page.pgm")).expect("a painted page"))
    }

    fn run(&self, program: &str, arguments: &[&str]) {
        let output = Command::new(program).args(arguments).current_dir(&self.folder).output();
        let output = output.unwrap_or_else(|error| {
            panic!("{program} did not start ({error}): install the package poppler-utils")
        });
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{program} failed: {said}");
    }
}

impl Drop for Printed {
    fn drop(&mut self) {
        // A folder left behind in the temporary folder harms nobody.
        let _ = std::fs::remove_dir_all(Path::new(&self.folder));
    }
}

fn tag(name: &str) -> (&str, &str) {
    ("http://www.w3.org/1999/xhtml", name)
}

fn words_of(page: Node<'_, '_>) -> Vec<Word> {
    let height = attribute(page, "height");
    let words = page.descendants().filter(|node| node.has_tag_name(tag("word")));
    words
        .map(|word| {
            let at = |x, y| Point::new(attribute(word, x) * MM, (height - attribute(word, y)) * MM);
            let covers = Rect::new(at("xMin", "yMax"), at("xMax", "yMin"));
            Word { text: word.text().unwrap_or_default().to_owned(), covers }
        })
        .collect()
}

fn attribute(node: Node<'_, '_>, name: &str) -> f64 {
    let text = node.attribute(name).unwrap_or_else(|| panic!("no {name}"));
    text.trim_end_matches("pt").parse().unwrap_or_else(|_| panic!("{name} is {text}"))
}

fn read_page(document: &Document<'_>) -> ReadPage {
    let root = document.root_element();
    let height = attribute(root, "height");
    let paths = root.descendants().filter(|node| node.has_tag_name("path"));
    let inked = paths.filter(|node| node.has_attribute("transform") && !is_clip(*node));
    let runs = inked.flat_map(|node| {
        let transform = node.attribute("transform").expect("asked for");
        runs(node.attribute("d").unwrap_or_default(), matrix(transform), height)
    });
    ReadPage { width: attribute(root, "width") * MM, height: height * MM, runs: runs.collect() }
}

fn is_clip(node: Node<'_, '_>) -> bool {
    node.ancestors().any(|parent| parent.has_tag_name("clipPath"))
}

fn matrix(transform: &str) -> [f64; 6] {
    let numbers = transform.trim_start_matches("matrix(").trim_end_matches(')');
    let numbers: Vec<f64> =
        numbers.split(',').map(|n| n.trim().parse().expect("a number")).collect();
    numbers.try_into().expect("six numbers")
}

/// The runs of straight lines in path data, mapped on to the page.
fn runs(data: &str, [a, b, c, d, e, f]: [f64; 6], height: f64) -> Vec<Run> {
    let mut words = data.split_whitespace();
    let mut runs: Vec<Run> = Vec::new();
    while let Some(command) = words.next() {
        let mut place = || {
            let mut next = || words.next().and_then(|n| n.parse::<f64>().ok()).expect("a number");
            let (x, y) = (next(), next());
            Point::new((a * x + c * y + e) * MM, (height - (b * x + d * y + f)) * MM)
        };
        match command {
            "M" => runs.push(Run { points: vec![place()], is_closed: false, window: None }),
            "L" => runs.last_mut().expect("a begun line").points.push(place()),
            "Z" => runs.last_mut().expect("a begun line").is_closed = true,
            other => panic!("a path command that the test does not follow: {other}"),
        }
    }
    runs.retain(|run| run.points.len() > 1);
    runs
}

/// A grey picture in the binary form of PGM with 255 shades.
fn read_pgm(bytes: &[u8]) -> Pixels {
    let mut at = 0;
    let mut word = || {
        let start = at;
        while !bytes[at].is_ascii_whitespace() {
            at += 1;
        }
        at += 1;
        std::str::from_utf8(&bytes[start..at - 1]).expect("ASCII").to_owned()
    };
    let head = [word(), word(), word(), word()];
    assert_eq!((head[0].as_str(), head[3].as_str()), ("P5", "255"));
    let size = |text: &str| text.parse::<usize>().expect("a size");
    let (width, height) = (size(&head[1]), size(&head[2]));
    Pixels { width, height, grey: bytes[bytes.len() - width * height..].to_vec() }
}

impl Pixels {
    /// The shade at a column and a row from the top; white outside.
    pub(crate) fn at(&self, column: usize, row: usize) -> u8 {
        if column < self.width {
            self.grey.get(row * self.width + column).copied().unwrap_or(255)
        } else {
            255
        }
    }

    /// True when something is at least as dark as `shade` within one pixel.
    pub(crate) fn is_dark_near(&self, column: usize, row: usize, shade: u8) -> bool {
        let near = |n: usize| n.saturating_sub(1)..=n + 1;
        near(row).any(|row| near(column).any(|column| self.at(column, row) <= shade))
    }
}

//! Words down a page and on to the next: what the bench card is written with.

use super::page::Head;
use super::{Layer, Page};
use crate::drawing::{Anchor, Form, Mark, Role, lettering};
use crate::geometry::{Point, Rect, Vec2};
use crate::units::Length;

/// Capitals of the head, of a section's head and of everything else.
const HEAD: Length = Length::mm(5.0);
const SECTION: Length = Length::mm(3.5);
pub(super) const SMALL: Length = Length::mm(2.5);
/// From baseline to baseline.
pub(super) const LINE: f64 = 4.6;
/// Below the head of a page.
const BELOW_HEAD: f64 = 4.0;
/// Above the head of a section.
const ABOVE_SECTION: f64 = 3.5;

/// A pen that goes down the page and takes a new one when there is no room.
#[derive(Debug)]
pub(super) struct Flow {
    page: Vec2,
    printable: Rect,
    head: Head,
    about: String,
    done: Vec<Vec<Mark>>,
    marks: Vec<Mark>,
    /// Where the next line has its top.
    y: f64,
}

impl Flow {
    /// A pen at the top of the first page, below its head.
    pub(super) fn new(page: Vec2, margin: Length, head: Head, about: String) -> Self {
        let printable = Rect::new(Point::ORIGIN, Point::ORIGIN + page).grown(-margin);
        let y = printable.max.y - HEAD.to_mm() - BELOW_HEAD;
        Self { page, printable, head, about, done: Vec::new(), marks: Vec::new(), y }
    }

    pub(super) const fn left(&self) -> f64 {
        self.printable.min.x
    }

    pub(super) fn width(&self) -> f64 {
        self.printable.width().to_mm()
    }

    /// Where the next line has its top.
    pub(super) const fn top(&self) -> f64 {
        self.y
    }

    /// Takes a new page unless `height` still fits on this one; true when it did.
    pub(super) fn need(&mut self, height: f64) -> bool {
        let is_full = self.y - height < self.printable.min.y;
        if is_full {
            self.done.push(std::mem::take(&mut self.marks));
            self.y = self.printable.max.y - HEAD.to_mm() - BELOW_HEAD;
        }
        is_full
    }

    /// Goes down by `height`.
    pub(super) fn skip(&mut self, height: f64) {
        self.y -= height;
    }

    pub(super) fn add(&mut self, mark: Mark) {
        self.marks.push(mark);
    }

    /// The head of a section, with room for a line below it.
    pub(super) fn section(&mut self, words: &str) {
        self.need(ABOVE_SECTION + SECTION.to_mm() + 2.0 + LINE);
        self.y -= ABOVE_SECTION + SECTION.to_mm();
        let at = Point::new(self.left(), self.y);
        self.add(Mark::new(Role::Title, Form::text(at, SECTION, Anchor::Start, words)));
        self.y -= 2.0;
    }

    /// Words over the whole width, broken into lines.
    pub(super) fn paragraph(&mut self, words: &str) {
        self.paragraph_within(words, self.width());
    }

    /// Words over a part of the width from the left.
    pub(super) fn paragraph_within(&mut self, words: &str, width: f64) {
        for line in lettering::wrapped(words, SMALL, Length::mm(width)) {
            self.need(LINE);
            self.words_at(0.0, Anchor::Start, &line);
            self.skip(LINE);
        }
    }

    /// One piece of the next line, `x` from the left; does not go down.
    pub(super) fn words_at(&mut self, x: f64, anchor: Anchor, words: &str) {
        let at = Point::new(self.left() + x, self.y - SMALL.to_mm());
        self.add(Mark::new(Role::Note, Form::text(at, SMALL, anchor, words)));
    }

    /// One long word, broken wherever a line is full.
    pub(super) fn unbroken(&mut self, word: &str) {
        let mut line = String::new();
        for c in word.chars() {
            line.push(c);
            if lettering::width(&line, SMALL).to_mm() > self.width() {
                line.pop();
                self.paragraph(&line);
                line = c.to_string();
            }
        }
        self.paragraph(&line);
    }

    /// A line between two places from the left, `below` the top of the next line.
    pub(super) fn line(&mut self, from: f64, to: f64, below: f64) {
        let at = |x: f64| Point::new(self.left() + x, self.y - below);
        self.add(Mark::new(Role::Rule, Form::Line(at(from), at(to))));
    }

    /// A square at the beginning of the next line.
    pub(super) fn tick_box(&mut self, side: f64) {
        let corner = Point::new(self.left(), self.y - side);
        let square = Rect::new(corner, corner + Vec2::new(side, side));
        self.add(Mark::new(Role::TickBox, Form::rect(square)));
    }

    /// Words behind a box to tick, the box staying with their first line.
    pub(super) fn ticked(&mut self, words: &str) {
        const BOX: f64 = 3.0;
        const INDENT: f64 = 5.5;
        let lines = lettering::wrapped(words, SMALL, Length::mm(self.width() - INDENT));
        for (n, line) in lines.iter().enumerate() {
            self.need(LINE);
            if n == 0 {
                self.tick_box(BOX);
            }
            self.words_at(INDENT, Anchor::Start, line);
            self.skip(LINE);
        }
        self.skip(0.9);
    }

    /// The pages, each with its head, its number and the name that it is known by.
    pub(super) fn pages(mut self, name: &str) -> Vec<Page> {
        self.done.push(std::mem::take(&mut self.marks));
        let n_pages = self.done.len();
        let done = std::mem::take(&mut self.done);
        let page = |(n, mut marks): (usize, Vec<Mark>)| {
            marks.extend(self.head_marks(n + 1, n_pages));
            Page {
                name: format!("{name} {}", n + 1),
                width: Length::mm(self.page.x),
                height: Length::mm(self.page.y),
                layers: vec![Layer { window: None, marks }],
            }
        };
        done.into_iter().enumerate().map(page).collect()
    }

    fn head_marks(&self, n: usize, of: usize) -> [Mark; 3] {
        let y = self.printable.max.y - HEAD.to_mm();
        let right = self.printable.max.x;
        let about =
            if of > 1 { format!("{}, page {n} of {of}", self.about) } else { self.about.clone() };
        let room = Length::mm(self.width()) - lettering::width(&about, SMALL) - Length::mm(4.0);
        let head = self.head.within(HEAD, room);
        let below = y - BELOW_HEAD / 2.0;
        let line = Form::Line(Point::new(self.left(), below), Point::new(right, below));
        [
            Mark::new(
                Role::Title,
                Form::text(Point::new(self.left(), y), HEAD, Anchor::Start, head),
            ),
            Mark::new(Role::Note, Form::text(Point::new(right, y), SMALL, Anchor::End, about)),
            Mark::new(Role::Rule, line),
        ]
    }
}

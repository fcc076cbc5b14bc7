//! One thing on the page, and what a person does with it.

use std::path::{Path, PathBuf};

use serde_json::Value;
use thirtyfour::WebElement;

use super::{Page, Program, must};

/// A place in the window, in CSS pixels from its top left corner.
pub type Place = (f64, f64);

/// One thing on the page.
#[derive(Debug)]
pub struct Element<'page> {
    page: &'page Page,
    handle: WebElement,
}

impl<'page> Element<'page> {
    pub(super) fn new(page: &'page Page, handle: WebElement) -> Self {
        Self { page, handle }
    }

    /// Clicks its middle, as soon as it can be clicked.
    #[track_caller]
    pub fn click(&self) {
        self.page.until_ok("it can be clicked", || {
            let clicked = self.page.wait(self.handle.click());
            // geckodriver takes a group of a drawing, which has no box of its own, for nothing to click on.
            let is_group = || self.page.wait(self.handle.tag_name()).is_ok_and(|tag| tag == "g");
            if clicked.is_err() && self.page.program() == Program::Firefox && is_group() {
                self.page.drag(&[self.middle()]);
                return Ok(());
            }
            clicked
        });
    }

    /// Replaces what is written in it.
    #[track_caller]
    pub fn fill_in(&self, text: &str) {
        must(self.page.wait(self.handle.clear()), "empty a field");
        self.type_in(text);
    }

    /// Types at the end of what is written in it.
    #[track_caller]
    pub fn type_in(&self, text: &str) {
        must(self.page.wait(self.handle.send_keys(text)), "type into a field");
    }

    /// Chooses a file of this machine for a file field.
    #[track_caller]
    pub fn choose_file(&self, file: &Path) {
        self.choose_files(&[file.to_owned()]);
    }

    /// Chooses files of this machine for a field that takes several.
    #[track_caller]
    pub fn choose_files(&self, files: &[PathBuf]) {
        let whole = |file: &PathBuf| {
            must(file.canonicalize(), "find the file to choose").display().to_string()
        };
        // A line for each, as WebDriver says (https://www.w3.org/TR/webdriver2/#element-send-keys).
        self.type_in(&files.iter().map(whole).collect::<Vec<_>>().join("\n"));
    }

    /// What it reads, as far as it shows.
    #[track_caller]
    #[must_use]
    pub fn text(&self) -> String {
        must(self.page.wait(self.handle.text()), "read a text")
    }

    /// What is written in a field.
    #[track_caller]
    #[must_use]
    pub fn value(&self) -> String {
        must(self.page.wait(self.handle.value()), "read a field").unwrap_or_default()
    }

    /// An attribute of its mark-up.
    #[track_caller]
    #[must_use]
    pub fn attribute(&self, name: &str) -> Option<String> {
        must(self.page.wait(self.handle.attr(name)), "read an attribute")
    }

    /// Its middle, where a drag begins.
    #[track_caller]
    #[must_use]
    pub fn middle(&self) -> Place {
        let script = "const box = arguments[0].getBoundingClientRect(); \
                      return [box.x + box.width / 2, box.y + box.height / 2]";
        let handle = must(self.handle.to_json(), "name an element to a script");
        let middle = self.page.run_with(script, vec![handle]);
        let number = |at: usize| middle.get(at).and_then(Value::as_f64).ok_or("it has no box");
        (must(number(0), "find its middle"), must(number(1), "find its middle"))
    }
}

//! One thing on the page, and what a person does with it.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use serde_json::Value;
use thirtyfour::WebElement;
use thirtyfour::error::WebDriverErrorInner;

use super::find::Sought;
use super::{Answer, Page, Program, must};

/// A place in the window, in CSS pixels from its top left corner.
pub type Place = (f64, f64);

/// One thing on the page. The page may draw it anew between two words about it, so what it was found by is kept.
#[derive(Debug)]
pub struct Element<'page> {
    page: &'page Page,
    handle: RefCell<WebElement>,
    sought: Sought,
}

impl<'page> Element<'page> {
    pub(super) fn new(page: &'page Page, handle: WebElement, sought: Sought) -> Self {
        Self { page, handle: RefCell::new(handle), sought }
    }

    /// Clicks its middle, as soon as it can be clicked.
    #[track_caller]
    pub fn click(&self) {
        self.page.until_ok("it can be clicked", || {
            let clicked = self.try_now(&async |element| element.click().await);
            // geckodriver takes a group of a drawing, which has no box of its own, for nothing to click on.
            let is_group = || {
                self.try_now(&async |element| element.tag_name().await).is_ok_and(|tag| tag == "g")
            };
            if clicked.is_err() && self.page.program() == Program::Firefox && is_group() {
                self.page.drag(&[self.middle()]);
                return Ok(());
            }
            clicked
        });
    }

    /// Asks the driver about it; when the page has drawn it anew since, it is found again for the next time.
    fn try_now<T>(&self, ask: &impl AsyncFn(&WebElement) -> Answer<T>) -> Answer<T> {
        let handle = self.handle.borrow().clone();
        let answer = self.page.wait(ask(&handle));
        if is_stale(&answer)
            && let Some(found) = self.page.look_for(&self.sought)
        {
            self.handle.replace(found);
        }
        answer
    }

    /// As [`Element::try_now`], as often as the page draws it anew in the meantime; any other error fails the test.
    #[track_caller]
    fn ask<T>(&self, doing: &str, ask: &impl AsyncFn(&WebElement) -> Answer<T>) -> T {
        let answer = self.page.until(&format!("it stays as it is, to {doing}"), || {
            let answer = self.try_now(ask);
            (!is_stale(&answer)).then_some(answer)
        });
        must(answer, doing)
    }

    /// Replaces what is written in it.
    #[track_caller]
    pub fn fill_in(&self, text: &str) {
        self.ask("empty a field", &async |element| element.clear().await);
        self.type_in(text);
    }

    /// Types at the end of what is written in it.
    #[track_caller]
    pub fn type_in(&self, text: &str) {
        self.ask("type into a field", &async |element| element.send_keys(text).await);
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
        self.ask("read a text", &async |element| element.text().await)
    }

    /// What is written in a field.
    #[track_caller]
    #[must_use]
    pub fn value(&self) -> String {
        self.ask("read a field", &async |element| element.value().await).unwrap_or_default()
    }

    /// An attribute of its mark-up.
    #[track_caller]
    #[must_use]
    pub fn attribute(&self, name: &str) -> Option<String> {
        self.ask("read an attribute", &async |element| element.attr(name).await)
    }

    /// Its middle, where a drag begins.
    #[track_caller]
    #[must_use]
    pub fn middle(&self) -> Place {
        let script = "const box = arguments[0].getBoundingClientRect(); \
                      return [box.x + box.width / 2, box.y + box.height / 2]";
        let middle = self.ask("find its middle", &async |element| {
            let returned = self.page.session().execute(script, vec![element.to_json()?]).await?;
            Ok(returned.json().clone())
        });
        let number = |at: usize| middle.get(at).and_then(Value::as_f64).ok_or("it has no box");
        (must(number(0), "find its middle"), must(number(1), "find its middle"))
    }
}

/// Whether the page has drawn the thing anew since it was found.
fn is_stale<T>(answer: &Answer<T>) -> bool {
    answer.as_ref().is_err_and(|error| {
        matches!(error.as_inner(), WebDriverErrorInner::StaleElementReference(_))
    })
}

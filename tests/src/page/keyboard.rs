//! The keyboard alone: what has it, what that is called, whether a person can see where they are, and typing.

use std::time::Duration;

use http::Method;
use serde_json::Value;
use thirtyfour::common::command::FormatRequestData;
use thirtyfour::{RequestData, SessionId, WebElement};

use super::{Answer, Page, must};

/// What has the keyboard.
#[derive(Debug)]
pub struct Stop {
    /// Its role, as the browser computes it for assistive technology.
    pub role: String,
    /// Its name, likewise.
    pub name: String,
    /// The id of its mark-up; empty without one.
    pub id: String,
    /// What keeps a person from seeing that it has the keyboard; empty when nothing does.
    pub unseen: Vec<String>,
}

/// One thing that the browser computes of an element: <https://www.w3.org/TR/webdriver2/#get-computed-label>.
#[derive(Debug)]
struct Computed<'a> {
    element: &'a WebElement,
    what: &'static str,
}

impl FormatRequestData for Computed<'_> {
    fn format_request(&self, session: &SessionId) -> RequestData {
        let (element, what) = (self.element.element_id(), self.what);
        RequestData::new(Method::GET, format!("session/{session}/element/{element}/{what}"))
    }
}

/// Why the element with the keyboard cannot be seen to have it: WCAG 2.2, criteria 2.4.7 (focus visible) and 2.4.11
/// (focus not obscured: at least a part of it is in the window and under nothing else).
const UNSEEN: &str = "
    const at = document.activeElement;
    if (!at || at === document.body) return ['nothing has the keyboard'];
    // A file field shows as its label.
    const shown = at.closest('.file-button') ?? at;
    const box = shown.getBoundingClientRect();
    const wrong = [];
    const shares = [0.02, 0.25, 0.5, 0.75, 0.98];
    const seen = shares.some((x) => shares.some((y) => {
      const hit = document.elementFromPoint(box.x + box.width * x, box.y + box.height * y);
      return hit && (shown.contains(hit) || at.contains(hit));
    }));
    if (!seen) wrong.push(`nothing of it is in sight: ${[box.x, box.y, box.width, box.height]}`);
    const style = getComputedStyle(shown);
    const has_outline = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0;
    const ring = at.querySelector?.('.focus-ring-outer');
    const has_ring = ring && getComputedStyle(ring).display !== 'none';
    if (!has_outline && style.boxShadow === 'none' && !has_ring) wrong.push('nothing marks it');
    return wrong.map((what) => `${what} (${shown.outerHTML.slice(0, 120)})`)";

impl Page {
    /// What has the keyboard.
    #[track_caller]
    #[must_use]
    pub fn stop(&self) -> Stop {
        let active = must(self.wait(self.session().active_element()), "find what has the keyboard");
        let unseen = self.run(UNSEEN).as_array().cloned().unwrap_or_default();
        let unseen = unseen.iter().filter_map(Value::as_str).map(str::to_owned).collect();
        Stop {
            role: must(self.role_of(&active), "ask for a role"),
            name: must(self.name_of(&active), "ask for a name"),
            id: must(self.wait(active.id()), "read an id").unwrap_or_default(),
            unseen,
        }
    }

    /// Waits until what was done is drawn, and what waited for that is done too.
    #[track_caller]
    pub fn until_drawn(&self) {
        let frames = "return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))";
        self.run(frames);
    }

    /// Types a text into what has the keyboard, key by key.
    #[track_caller]
    pub fn write(&self, text: &str) {
        let chain = self.session().action_chain_with_delay(Some(Duration::ZERO), None);
        must(self.wait(chain.send_keys(text).perform()), "type a text");
    }

    pub(super) fn role_of(&self, element: &WebElement) -> Answer<String> {
        self.computed(element, "computedrole")
    }

    pub(super) fn name_of(&self, element: &WebElement) -> Answer<String> {
        self.computed(element, "computedlabel")
    }

    fn computed(&self, element: &WebElement, what: &'static str) -> Answer<String> {
        self.wait(self.session().cmd(Computed { element, what }))?.value()
    }
}

//! Finds things on the page the way that a person or an assistive technology names them.

use serde_json::{Value, json};
use thirtyfour::{By, WebElement};

use super::{Element, Page, Program};

/// How a thing is told from all others, so that it can be found again when the page has drawn it anew.
#[derive(Debug)]
pub(super) enum Sought {
    /// The first that the driver finds.
    First(By),
    /// The only one of a role and an accessible name.
    Only {
        /// The role, as assistive technology hears it.
        role: String,
        /// The whole name.
        name: String,
    },
}

/// What shows and may have a role, by that role or by its mark, and reads like a name; the browser has the last word.
const CANDIDATES: &str = "
    const [role, name] = arguments;
    const marks = { button: 'button', checkbox: 'input', radio: 'input', combobox: 'select', textbox: 'input' };
    const flat = (words) => (words ?? '').replace(/\\s+/g, ' ').trim();
    return [...document.querySelectorAll(`[role=${role}], ${marks[role] ?? role}`)].filter((one) => {
      const words = [one.getAttribute('aria-label'), one.textContent, ...[...(one.labels ?? [])].map((l) => l.textContent)];
      return one.checkVisibility() && words.some((some) => flat(some).includes(name));
    })";

impl Page {
    /// The one element of this role and name, as the browser computes them for assistive technology; for example
    /// `("button", "Undo")`.
    #[track_caller]
    #[must_use]
    pub fn by_role(&self, role: &str, name: &str) -> Element<'_> {
        let sought = Sought::Only { role: role.to_owned(), name: name.to_owned() };
        self.find(&format!("a {role} named `{name}` shows"), sought)
    }

    /// The one thing to fill in or choose from that has this label.
    #[track_caller]
    #[must_use]
    pub fn by_label(&self, label: &str) -> Element<'_> {
        let path = format!(
            "//*[(self::input or self::select or self::textarea) and \
             (@aria-label={quoted} or @id=//label[normalize-space()={quoted}]/@for \
             or ancestor::label[normalize-space(text())={quoted}])]",
            quoted = quoted(label)
        );
        self.first(&format!("something labelled `{label}` shows"), &By::XPath(path))
    }

    /// The innermost element that reads exactly this.
    #[track_caller]
    #[must_use]
    pub fn by_text(&self, text: &str) -> Element<'_> {
        let path = format!(
            "//body//*[normalize-space()={quoted} and not(*[normalize-space()={quoted}])]",
            quoted = quoted(text)
        );
        self.first(&format!("`{text}` shows"), &By::XPath(path))
    }

    /// The element with this id.
    #[track_caller]
    #[must_use]
    pub fn by_id(&self, id: &str) -> Element<'_> {
        self.first(&format!("`#{id}` shows"), &By::Id(id.to_owned()))
    }

    /// The first element that a selector of style sheets picks, for what has no name of its own.
    #[track_caller]
    #[must_use]
    pub fn by_selector(&self, selector: &str) -> Element<'_> {
        self.first(&format!("`{selector}` shows"), &By::Css(selector.to_owned()))
    }

    #[track_caller]
    fn first(&self, what: &str, by: &By) -> Element<'_> {
        self.find(what, Sought::First(by.clone()))
    }

    #[track_caller]
    fn find(&self, what: &str, sought: Sought) -> Element<'_> {
        let found = self.until(what, || self.look_for(&sought));
        Element::new(self, found, sought)
    }

    /// The thing as the page shows it now; `None` when it does not.
    pub(super) fn look_for(&self, sought: &Sought) -> Option<WebElement> {
        match sought {
            Sought::First(by) => self.wait(self.session().find(by.clone())).ok(),
            Sought::Only { role, name } if self.program() == Program::Firefox => {
                self.only_computed(role, name)
            }
            Sought::Only { role, name } => {
                self.only(&json!({ "role": role, "accessibleName": name }))
            }
        }
    }

    /// Asks the accessibility tree, which a script cannot see, and hands its answer over to the driver by way of
    /// a global name of the page.
    fn only(&self, query: &Value) -> Option<WebElement> {
        let mut nodes = self.query_accessibility(query)?;
        let is_alone = nodes.len() == 1;
        let node = nodes.pop().filter(|_| is_alone)?;
        self.hand_over(&node)?;
        let returned = self.session().execute("return globalThis.onepullFound", Vec::new());
        self.wait(returned).ok()?.element().ok()
    }

    /// The one element of this role and name in a browser whose accessibility tree cannot be asked: what may have the
    /// role and reads like the name is asked for one by one. `None` when none has both or several do.
    fn only_computed(&self, role: &str, name: &str) -> Option<WebElement> {
        let candidates = self.session().execute(CANDIDATES, vec![json!(role), json!(name)]);
        let candidates = self.wait(candidates).ok()?.elements().ok()?;
        let is_it = |element: &WebElement| {
            self.role_of(element).is_ok_and(|found| found == role)
                && self.name_of(element).is_ok_and(|found| found == name)
        };
        let mut found = candidates.into_iter().filter(is_it);
        found.next().filter(|_| found.next().is_none())
    }

    /// The nodes that a query finds, by the number the browser knows them under; `None` while the page changes.
    fn query_accessibility(&self, query: &Value) -> Option<Vec<Value>> {
        let ask = |method: &str, parameters: Value| {
            self.wait(self.session().cdp().send_raw(method, parameters)).ok()
        };
        let document = ask("DOM.getDocument", json!({ "depth": 0 }))?;
        let mut query = query.clone();
        query["nodeId"] = document["root"]["nodeId"].clone();
        let answer = ask("Accessibility.queryAXTree", query)?;
        let nodes = answer["nodes"].as_array()?;
        let is_seen = |node: &&Value| node["ignored"] != json!(true);
        Some(nodes.iter().filter(is_seen).map(|node| node["backendDOMNodeId"].clone()).collect())
    }

    fn hand_over(&self, node: &Value) -> Option<()> {
        let cdp = self.session().cdp();
        let object = cdp.send_raw("DOM.resolveNode", json!({ "backendNodeId": node }));
        let object = self.wait(object).ok()?["object"]["objectId"].clone();
        let keep = "function () { globalThis.onepullFound = this; }";
        let call = json!({ "objectId": object, "functionDeclaration": keep });
        self.wait(cdp.send_raw("Runtime.callFunctionOn", call)).ok().map(drop)
    }
}

/// A text in quotes for a path; a path has no escapes, so a text with both kinds of quote cannot be looked for.
fn quoted(text: &str) -> String {
    let quote = if text.contains('"') { '\'' } else { '"' };
    format!("{quote}{text}{quote}")
}

//! The whole job with nothing but keys: from a new plan to the printed template, each stop on the way seen and named.

use onepull_tests::assert_near;
use onepull_tests::page::{Browser, Page, Stop};

use crate::PROGRAM;
use crate::printed::pdf;

/// The longest way by Tab that a person is asked to go in this job.
const LONGEST_WAY: usize = 60;

/// Nothing here clicks, and no script does anything: the keys go to the browser as those of a keyboard do. Wherever the
/// keyboard comes on the way it must be in sight, marked and named (WCAG 2.2: 2.1.1, 2.4.3, 2.4.7, 2.4.11, 4.1.2).
#[test]
fn a_new_plan_becomes_a_printed_template_by_keys_alone() {
    let Some(browser) = Browser::of(PROGRAM) else { return };
    let page = browser.page();
    page.open("?nosw");
    let hand = Hand { page: &page };
    hand.begins_a_plan();
    hand.adds_a_mold("Whelk", ["70 mm", "50 mm", "8 mm"]);
    hand.adds_a_mold("Cockle", ["40 mm", "40 mm", "6 mm"]);
    hand.puts_the_layout_right();
    hand.lays_it_out_again();
    hand.prints();
}

/// Somebody without a mouse.
struct Hand<'page> {
    page: &'page Page,
}

impl Hand<'_> {
    /// Presses a key and looks where the keyboard is then.
    #[track_caller]
    fn press(&self, key: &str) -> Stop {
        self.page.press(key);
        // What takes the keyboard elsewhere does so with the next frame.
        self.page.until_drawn();
        let stop = self.page.stop();
        assert!(stop.unseen.is_empty(), "after {key}: {stop:?}");
        assert!(
            !stop.name.trim().is_empty(),
            "after {key} it is on something without a name: {stop:?}"
        );
        stop
    }

    /// Goes from stop to stop until one has this role and name.
    #[track_caller]
    fn reach(&self, key: &str, role: &str, name: &str) {
        let mut way = Vec::new();
        for _ in 0..LONGEST_WAY {
            let stop = self.press(key);
            if stop.role == role && stop.name == name {
                return;
            }
            way.push(stop.name);
        }
        panic!("{LONGEST_WAY} times {key} do not come to the {role} {name}, but to {way:#?}");
    }

    #[track_caller]
    fn fill_in(&self, label: &str, text: &str) {
        self.reach("Tab", "textbox", label);
        // As a keyboard has it in every text field; it selects what is there.
        self.page.press("Control+a");
        self.page.write(text);
    }

    #[track_caller]
    fn until_at(&self, what: &str, is_there: impl Fn(&Stop) -> bool) {
        self.page.until(what, || Some(self.page.stop()).filter(&is_there).map(drop));
        let stop = self.page.stop();
        assert!(stop.unseen.is_empty() && !stop.name.is_empty(), "{what}: {stop:?}");
    }

    /// What a screen reader was told last.
    fn heard(&self) -> String {
        let heard = self.page.run("return document.querySelector('p[role=status]').textContent");
        heard.as_str().unwrap_or_default().to_owned()
    }

    #[track_caller]
    fn until_heard(&self, words: &str) {
        self.page.until(&format!("it is said that {words}"), || {
            self.heard().contains(words).then_some(())
        });
    }

    fn begins_a_plan(&self) {
        assert_eq!(
            self.press("Tab").name,
            "Skip to the board",
            "the first stop leads past the head"
        );
        self.reach("Tab", "tab", "Molds");
        assert_eq!(self.press("End").name, "Plans");
        self.fill_in("Blank width, left to right", "18 in");
        self.fill_in("Blank depth, front to back", "12 in");
        self.fill_in("Clamp lip", "20 mm");
        self.reach("Tab", "button", "Start a new plan");
        self.press("Enter");
        self.until_heard("A new plan is open");
        self.reach("Shift+Tab", "tab", "Plans");
        assert_eq!(self.press("Home").name, "Molds");
    }

    /// From the tab of the molds and back to it.
    fn adds_a_mold(&self, name: &str, [width, depth, height]: [&str; 3]) {
        self.reach("Tab", "button", "Add a mold");
        self.page.press("Enter");
        self.until_at("the new mold has the keyboard", |stop| stop.id.starts_with("mold-change-"));
        self.fill_in("Name", name);
        self.fill_in("Width, left to right", width);
        self.fill_in("Depth, front to back", depth);
        self.fill_in("Height", height);
        self.reach("Shift+Tab", "button", &format!("Done {name}"));
        let stop = self.press("Enter");
        assert_eq!(stop.name, format!("Change {name}"));
        self.reach("Shift+Tab", "button", &format!("Add to blank: {name}"));
        self.press("Enter");
        self.until_heard(&format!("{name} is on the blank"));
        self.reach("Shift+Tab", "tab", "Molds");
    }

    /// Moves one mold into the other's way, hears of it, and moves it until there is nothing to put right.
    fn puts_the_layout_right(&self) {
        let at = self.page.until("the board is reached", || {
            let stop = self.press("Shift+Tab");
            stop.id.starts_with("mold-").then_some(stop)
        });
        assert!(at.name.contains("clear"), "{at:?}");
        // The first selects the mold that it is at.
        self.press("PageDown");
        let stop = self.press("PageDown");
        assert!(stop.name.contains("Cockle"), "{stop:?}");
        for _ in 0..2 {
            self.press("Shift+ArrowLeft");
        }
        self.until_heard("too close");
        let mut nudges = 0;
        while !self.heard().contains("Nothing to put right.") {
            nudges += 1;
            assert!(nudges < 100, "{nudges} nudges and still: {}", self.heard());
            self.press("ArrowRight");
            // A burst of nudges is told of once it is over; every tenth is waited for.
            if nudges % 10 == 0 {
                std::thread::sleep(std::time::Duration::from_millis(900));
            }
        }
    }

    fn lays_it_out_again(&self) {
        let stop = self.press("a");
        assert_eq!((stop.role.as_str(), stop.name.as_str()), ("tab", "Arrange"));
        self.reach("Tab", "radio", "Fit this set");
        self.press("ArrowDown");
        assert_eq!(self.press("ArrowDown").name, "Spread them out");
        self.reach("Tab", "button", "Spread them out");
        self.page.press("Enter");
        // The keyboard stays where it is; that there is something to take is heard.
        self.page.until("a layout is offered", || {
            let is_there = self.page.run("return !!document.getElementById('arrange-accept')");
            (is_there == true).then_some(())
        });
        self.until_heard("smallest gap");
        self.reach("Tab", "button", "Take this layout");
        self.page.press("Enter");
        self.until_heard("The layout is taken");
        self.until_at("the keyboard is where it was", |stop| stop.id == "arrange-begin");
    }

    fn prints(&self) {
        self.reach("Shift+Tab", "tab", "Arrange");
        let mut stop = self.press("ArrowRight");
        while stop.name != "Print" {
            stop = self.press("ArrowRight");
        }
        self.reach("Tab", "button", "Download PDF");
        self.press("Enter");
        let name = self.page.until("a download", || self.page.download_names().into_iter().next());
        let pages = pdf::pages(&self.page.downloaded(&name));
        assert!(pages.len() >= 4, "18 x 12 in on A4, but {} pages", pages.len());
        for sheet in &pages {
            // ISO 216: A4, upright or lying.
            let (short, long) = (sheet.width.min(sheet.height), sheet.width.max(sheet.height));
            assert_near!(short, 210.0, 0.2);
            assert_near!(long, 297.0, 0.2);
        }
        // The outlines as they were typed: on one sheet each or across a joint, so the whole drawing is looked at.
        let runs = || pages.iter().flat_map(|sheet| &sheet.runs).filter(|run| run.is_closed);
        for (width, depth) in [(70.0, 50.0), (40.0, 40.0)] {
            let is_it = |run: &&crate::printed::Run| {
                let bounds = run.bounds();
                let sides = [bounds.width().to_mm(), bounds.depth().to_mm()];
                let fits =
                    |a: f64, b: f64| (sides[0] - a).abs() < 0.01 && (sides[1] - b).abs() < 0.01;
                fits(width, depth) || fits(depth, width)
            };
            assert!(runs().any(|run| is_it(&run)), "no outline of {width} x {depth} mm");
        }
    }
}

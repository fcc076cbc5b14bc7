//! Looks words up among the names: pure, so that it is tested without a page.

use engine::order;

use super::table::{BOARD, HEAD, NAMES, Needs, other_words};
use crate::board::tools;
use crate::keys::Command;
use crate::panels::PanelKey;

/// What comes of a hit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Goal {
    /// Opens a panel.
    Panel(PanelKey),
    /// Goes to what is called so in a panel.
    In(PanelKey, Needs),
    /// Goes to what is called so in the part of the page with this id.
    Part(&'static str),
    /// Does it on the board.
    Board(Command),
    /// Takes the tour.
    Tour,
    /// Opens the help.
    Help,
}

/// Something that can be found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Entry {
    /// As the page shows it.
    pub(super) name: &'static str,
    /// Where it is.
    pub(super) place: &'static str,
    /// Other words for it.
    words: &'static str,
    /// What to go to while it is not there.
    pub(super) otherwise: &'static str,
    pub(super) goal: Goal,
}

/// Everything that can be found: the panels first, then what is done at once, then what stands in the panels.
pub(super) fn entries() -> Vec<Entry> {
    let panel = |key: PanelKey| {
        let words = other_words(key);
        Entry { name: key.names().0, place: "Panel", words, otherwise: "", goal: Goal::Panel(key) }
    };
    let page = |name, words, goal| Entry { name, place: "Page", words, otherwise: "", goal };
    let mut all: Vec<Entry> = PanelKey::ALL.map(panel).into();
    all.extend([
        page("Help", "how to begin manual cautions safety", Goal::Help),
        page("Index of keys", "keyboard shortcuts", Goal::Help),
        page("Tour in five steps", "show me around introduction sample learn", Goal::Tour),
        page("Undo", "step back mistake", Goal::Board(Command::Undo)),
        page("Redo", "step forward again", Goal::Board(Command::Redo)),
        page("Findings", "problems warnings errors rules list", Goal::Part("findings")),
    ]);
    let tool = |(command, name): (Command, &'static str)| Entry {
        name,
        place: "Board",
        words: "selected molds layout tool",
        otherwise: "",
        goal: Goal::Board(command),
    };
    // The panel of this name is found already.
    all.extend(tools().filter(|(command, _)| *command != Command::Arrange).map(tool));
    all.extend(lines(BOARD, "Board", Goal::Part("board")));
    all.extend(lines(HEAD, "Page", Goal::Part("head")));
    for &(key, needs, text) in NAMES {
        all.extend(lines(text, key.names().0, Goal::In(key, needs)));
    }
    all
}

fn lines(
    text: &'static str,
    place: &'static str,
    goal: Goal,
) -> impl Iterator<Item = Entry> + use<> {
    text.lines().map(move |line| {
        let mut parts = line.split('|');
        let mut part = || parts.next().unwrap_or_default();
        Entry { name: part(), words: part(), otherwise: part(), place, goal }
    })
}

/// The entries that hold all words of `asked`, the nearest first; the panels when nothing is asked.
pub(super) fn hits(all: &[Entry], asked: &str, most: usize) -> Vec<Entry> {
    let asked = plain(asked);
    if asked.is_empty() {
        return all.iter().take(PanelKey::ALL.len()).copied().collect();
    }
    let mut ranked: Vec<(u8, Entry)> =
        all.iter().filter_map(|entry| Some((rank(entry, &asked)?, *entry))).collect();
    // Stable, so that equals stay in the order of the table.
    order::by(&mut ranked, |(a, _), (b, _)| a.cmp(b));
    ranked.into_iter().map(|(_, entry)| entry).take(most).collect()
}

/// How near an entry is to what was asked, from 0; nothing when it does not hold all of its words.
fn rank(entry: &Entry, asked: &[String]) -> Option<u8> {
    let name = plain(entry.name);
    let rest = plain(&format!("{} {}", entry.words, entry.place));
    let begins =
        |words: &[String], word: &String| words.iter().any(|own| own.starts_with(word.as_str()));
    // Whole words come before beginnings of words, and names before other words for them.
    let is_whole = |word: &String| name.contains(word);
    let is_whole_anywhere = |word: &String| name.contains(word) || rest.contains(word);
    let is_begun = |word: &String| begins(&name, word);
    let is_begun_anywhere = |word: &String| begins(&name, word) || begins(&rest, word);
    if name == asked {
        Some(0)
    } else if name.starts_with(asked) {
        Some(1)
    } else if asked.iter().all(is_whole) {
        Some(2)
    } else if asked.iter().all(is_whole_anywhere) {
        Some(3)
    } else if asked.iter().all(is_begun) {
        Some(4)
    } else {
        asked.iter().all(is_begun_anywhere).then_some(5)
    }
}

/// The words in lower case, without marks.
fn plain(text: &str) -> Vec<String> {
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    // Letter by letter: `str::to_lowercase` brings tables for one letter of Greek.
    words.map(|word| word.chars().flat_map(char::to_lowercase).collect()).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn names(asked: &str) -> Vec<&'static str> {
        hits(&entries(), asked, 12).into_iter().map(|entry| entry.name).collect()
    }

    #[test]
    fn everything_is_found_by_its_own_name_before_all_else() {
        let all = entries();
        for entry in &all {
            let hits = hits(&all, entry.name, 12);
            assert!(hits.contains(entry), "{} in {}", entry.name, entry.place);
            assert_eq!(plain(hits[0].name), plain(entry.name), "{}", entry.name);
        }
    }

    #[test]
    fn no_name_stands_twice_in_one_place_and_what_stands_in_for_it_is_there() {
        let mut seen = BTreeSet::new();
        for entry in entries() {
            assert!(!entry.name.is_empty() && entry.name.trim() == entry.name, "{entry:?}");
            // The form of a mold and the list of molds are two places in one panel.
            assert!(seen.insert((entry.name, format!("{:?}", entry.goal))), "{}", entry.name);
            let own = |other: &Entry| other.name == entry.otherwise && other.place == entry.place;
            assert!(entry.otherwise.is_empty() || entries().iter().any(own), "{entry:?}");
        }
    }

    #[test]
    fn makers_words_lead_to_the_pages() {
        for (asked, name) in [
            ("gap", "Clearance, times the height"),
            ("spacing", "Least gap between molds"),
            ("3d", "The formed sheet"),
            ("stopwatch", "Bench"),
            ("inches", "Lengths are shown in"),
            ("shortcut", "Index of keys"),
            ("riser", "Spacer"),
            ("rotate", "Turn"),
            ("qr", "Share"),
            ("night", "Light or dark"),
        ] {
            assert!(names(asked).contains(&name), "{asked}: {:?}", names(asked));
        }
    }

    #[test]
    fn nothing_asked_offers_the_panels_and_nonsense_nothing() {
        assert_eq!(names(" ").len(), PanelKey::ALL.len());
        assert_eq!(names("Print")[0], "Print");
        assert!(names("zeppelin").is_empty());
        assert!(names("gap zeppelin").is_empty());
    }
}

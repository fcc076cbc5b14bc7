//! What the rules say about the pull on the board, worst first.

use std::collections::{BTreeMap, BTreeSet};

use engine::drawing;
use engine::order;
use engine::plan::{PlacementId, Plan, PullId};
use engine::rules::{Finding, Rule, Severity, Subject};
use works::picture;

use super::desk::{PanelKey, use_desk};
use super::explain::explain;
use super::severity::SeverityShape;
use crate::reactive::prelude::*;
use crate::state::{Action, Store, use_store};
use crate::widgets::use_voice;

/// More findings than this are counted and not listed: the first ones are the worst.
const LISTED: usize = 60;
/// More changes than this at once are told as a count: nobody listens to a list of them.
const TOLD: usize = 3;

/// The list of findings; each selects what it is about.
///
/// While a mold is dragged the figures change with every frame: a row stays in the page for as long as its finding
/// does, and only what it says is written anew.
#[component]
pub(crate) fn Findings() -> impl IntoView {
    let store = use_store();
    let findings = store.findings();
    let rows = memo(move |_| {
        store.shown().with(|plan| findings.with(|all| rows(all, plan, store.pull().get())))
    });
    let keys = memo(move |_| {
        rows.with(|rows| rows.iter().map(|(key, _)| key.clone()).collect::<Vec<_>>())
    });
    let count = memo(move |_| findings.with(|all| counted(all)));
    speak_when_settled(store, rows, count);
    let rest = live(move || {
        let more = findings.with(|all| all.len().saturating_sub(LISTED));
        (more > 0).then(
            || view! { <p class="findings-rest">{format!("And {more} more, none worse.")}</p> },
        )
    });
    view! {
        <section class="findings" id="findings" tabindex="-1" aria-labelledby="findings-title">
            <header class="findings-head">
                <h2 id="findings-title">"Findings"</h2>
                <p class="findings-count">{count}</p>
            </header>
            // Some browsers make a list that scrolls a stop for the keyboard, and a stop has a name.
            <ol class="findings-list" aria-labelledby="findings-title">
                <For each=move || keys.get() key=Key::clone let:key>
                    <FindingEntry key rows/>
                </For>
            </ol>
            {rest}
        </section>
    }
}
/// Says what came up, what went and how many findings there are, once nothing is being dragged or nudged any more.
fn speak_when_settled(store: Store, rows: Memo<Vec<(Key, Entry)>>, count: Memo<String>) {
    let told = memo(move |before: Option<&Told>| match before {
        Some(before) if store.is_previewing() || store.with(|s| s.is_in_burst) => before.clone(),
        _ => Told {
            pull: store.pull().get(),
            titles: rows
                .with(|all| order::map(all.iter().map(|(key, e)| (key.clone(), e.named())))),
            count: count.get(),
        },
    });
    let voice = use_voice();
    let say = move |now: &Told, before: Option<&Told>, _: Option<()>| {
        if let Some(before) = before {
            voice.say(&now.since(before));
        }
    };
    Effect::watch(move || told.get(), say, false);
}

/// The findings as they are told to those who listen.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Told {
    pull: PullId,
    titles: BTreeMap<Key, String>,
    count: String,
}

impl Told {
    /// What is different from before, one by one while that is short to hear, and how many there are now.
    fn since(&self, before: &Self) -> String {
        let beyond = |one: &Self, other: &Self| {
            let new = one.titles.iter().filter(|(key, _)| !other.titles.contains_key(*key));
            new.map(|(_, title)| title.clone()).collect::<Vec<_>>()
        };
        let (new, gone) = (beyond(self, before), beyond(before, self));
        let mut words = String::new();
        if self.pull == before.pull && new.len() + gone.len() <= TOLD {
            for (kind, title) in
                new.iter().map(|t| ("New", t)).chain(gone.iter().map(|t| ("Gone", t)))
            {
                words += &format!("{kind}: {title}. ");
            }
        }
        words + &self.count
    }
}

/// What a finding keeps while its figures change: the rule, what it is about, and which of several such it is.
type Key = (Rule, Vec<Subject>, usize);

/// The first findings in words, in their order.
fn rows(findings: &[Finding], plan: &Plan, pull: PullId) -> Vec<(Key, Entry)> {
    let mut seen: BTreeMap<(Rule, &[Subject]), usize> = BTreeMap::new();
    let mut rows = Vec::new();
    for finding in findings.iter().take(LISTED) {
        let nth = seen.entry((finding.rule, &finding.subjects)).or_default();
        let key = (finding.rule, finding.subjects.clone(), *nth);
        *nth += 1;
        rows.push((key, Entry::of(finding, plan, pull)));
    }
    rows
}

/// One finding in words, ready to be shown.
#[derive(Clone, Debug, PartialEq)]
struct Entry {
    finding: Finding,
    severity: Severity,
    title: String,
    reason: String,
    next_step: String,
    selects: BTreeSet<PlacementId>,
    opens: Option<PanelKey>,
}

impl Entry {
    fn of(finding: &Finding, plan: &Plan, pull: PullId) -> Self {
        Self {
            finding: finding.clone(),
            severity: finding.severity,
            title: finding.title(plan, pull),
            reason: finding.reason(plan, pull),
            next_step: finding.next_step(plan, pull),
            selects: selected_by(finding, plan, pull),
            opens: opened_by(finding),
        }
    }

    /// `caution, Limpet and Anemone base stand too close`.
    fn named(&self) -> String {
        format!("{}, {}", self.severity.word(), self.title)
    }
}

#[component]
fn FindingEntry(key: Key, rows: Memo<Vec<(Key, Entry)>>) -> impl IntoView {
    let store = use_store();
    let desk = use_desk();
    // What it said last, for the moment between the finding's going and the row's.
    let entry = memo(move |before: Option<&Option<Entry>>| {
        let now = rows.with(|all| all.iter().find(|(own, _)| *own == key).map(|(_, e)| e.clone()));
        now.or_else(|| before.cloned().flatten())
    });
    let severity = memo(move |_| {
        entry.with(|entry| entry.as_ref().map_or(Severity::Note, |entry| entry.severity))
    });
    let is_selected = move || {
        entry.with(|entry| {
            let selects = entry.as_ref().map(|entry| &entry.selects).filter(|ids| !ids.is_empty());
            store.with(|session| selects.is_some_and(|ids| session.selection == *ids))
        })
    };
    let press = move |_| {
        let Some(Entry { selects, opens, .. }) = entry.get_untracked() else { return };
        if !selects.is_empty() {
            store.dispatch(Action::Select(selects));
        }
        if let Some(panel) = opens {
            desk.panel.set(panel);
        }
    };
    let title =
        move || entry.with(|entry| entry.as_ref().map(|e| e.title.clone())).unwrap_or_default();
    let drawn = move || {
        store.shown().with(|plan| {
            entry.with(|entry| entry.as_ref().map(|e| drawn(&e.finding, plan, store.pull().get())))
        })
    };
    view! {
        <li>
            <button
                type="button"
                class=move || format!("finding finding-{}", severity.get().word())
                aria-pressed=move || if is_selected() { "true" } else { "false" }
                on:click=press
            >
                {move || view! { <SeverityShape severity=severity.get()/> }}
                <FindingWords entry severity/>
            </button>
            {explain(Signal::derive(title), move || drawn().unwrap_or_default())}
        </li>
    }
}

/// The drawing that explains a finding, as markup.
fn drawn(finding: &Finding, plan: &Plan, pull: PullId) -> String {
    let drawing::Diagram { drawing, says } = drawing::explain(finding, plan, pull);
    picture(&drawing, &says)
}

#[component]
fn FindingWords(entry: Memo<Option<Entry>>, severity: Memo<Severity>) -> impl IntoView {
    let words = move |of: fn(&Entry) -> &String| {
        memo(move |_| entry.with(|entry| entry.as_ref().map(of).cloned()).unwrap_or_default())
    };
    view! {
        <span class="finding-words">
            <span class="finding-title">
                <span class="finding-severity">{move || severity.get().word()}</span>
                " "
                {words(|entry| &entry.title)}
            </span>
            <span class="finding-reason">{words(|entry| &entry.reason)}</span>
            <span class="finding-next">{words(|entry| &entry.next_step)}</span>
        </span>
    }
}

/// The placements a finding is about: those it names, and those of a mold it names.
fn selected_by(finding: &Finding, plan: &Plan, pull: PullId) -> BTreeSet<PlacementId> {
    let standing = || plan.pulls.get(&pull).into_iter().flat_map(|pull| &pull.placements);
    let of_subject = |subject: &Subject| match *subject {
        Subject::Placement(id) => vec![id],
        Subject::Mold(mold) => {
            standing().filter(|(_, p)| p.mold == mold).map(|(&id, _)| id).collect()
        }
        Subject::Stock => Vec::new(),
    };
    order::set(finding.subjects.iter().flat_map(of_subject))
}

/// The panel where a finding that has no place on the board is put right.
fn opened_by(finding: &Finding) -> Option<PanelKey> {
    match finding.subjects.as_slice() {
        [Subject::Stock] => Some(PanelKey::Machine),
        [Subject::Mold(_)] => Some(PanelKey::Molds),
        _ => None,
    }
}

/// `1 stop, 2 cautions, 1 note`, or that there is nothing.
fn counted(findings: &[Finding]) -> String {
    let parts: Vec<String> = [Severity::Stop, Severity::Caution, Severity::Note]
        .into_iter()
        .map(|severity| (severity, findings.iter().filter(|f| f.severity == severity).count()))
        .filter(|(_, count)| *count > 0)
        .map(|(severity, count)| {
            let plural = if count == 1 { "" } else { "s" };
            format!("{count} {}{plural}", severity.word())
        })
        .collect();
    if parts.is_empty() { "Nothing to put right.".to_owned() } else { parts.join(", ") }
}

#[cfg(test)]
mod tests {
    use engine::plan::{MoldId, sample};

    use super::*;

    fn finding(severity: Severity, subjects: Vec<Subject>) -> Finding {
        Finding {
            rule: Rule::Draft,
            severity,
            subjects,
            place: None,
            measured: None,
            allowed: None,
        }
    }

    #[test]
    fn a_finding_about_a_mold_selects_all_its_placements() {
        let about = finding(Severity::Note, vec![Subject::Mold(MoldId(3))]);
        let selected = selected_by(&about, &sample(), PullId(1));
        assert_eq!(selected, BTreeSet::from([PlacementId(5), PlacementId(6)]));
        assert_eq!(opened_by(&about), Some(PanelKey::Molds));
    }

    #[test]
    fn a_finding_about_the_sheet_opens_its_panel() {
        let about = finding(Severity::Note, vec![Subject::Stock]);
        assert!(selected_by(&about, &sample(), PullId(1)).is_empty());
        assert_eq!(opened_by(&about), Some(PanelKey::Machine));
    }

    #[test]
    fn two_findings_of_a_kind_about_the_same_are_two_rows() {
        let about = finding(Severity::Note, vec![Subject::Mold(MoldId(3))]);
        let rows = rows(&[about.clone(), about], &sample(), PullId(1));
        assert_eq!(rows.iter().map(|((.., nth), _)| *nth).collect::<Vec<_>>(), [0, 1]);
    }

    #[test]
    fn what_came_up_and_what_went_is_told_and_much_at_once_is_counted() {
        let told = |molds: &[u32], count: &str| Told {
            pull: PullId(1),
            titles: molds
                .iter()
                .map(|n| ((Rule::Draft, vec![Subject::Mold(MoldId(*n))], 0), format!("note, {n}")))
                .collect(),
            count: count.to_owned(),
        };
        let before = told(&[1, 2], "2 notes");
        assert_eq!(told(&[2, 3], "2 notes").since(&before), "New: note, 3. Gone: note, 1. 2 notes");
        assert_eq!(told(&[], "Nothing.").since(&told(&[1, 2, 3, 4], "")), "Nothing.");
        let other = Told { pull: PullId(2), ..told(&[3], "1 note") };
        assert_eq!(other.since(&before), "1 note", "another pull has other findings");
    }

    #[test]
    fn findings_are_counted_by_severity() {
        let [stop, note] = [Severity::Stop, Severity::Note].map(|s| finding(s, vec![]));
        assert_eq!(counted(&[]), "Nothing to put right.");
        assert_eq!(counted(&[stop.clone(), note.clone(), note]), "1 stop, 2 notes");
        assert_eq!(counted(&[stop]), "1 stop");
    }
}

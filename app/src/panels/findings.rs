//! What the rules say about the pull on the board, worst first.

use std::collections::BTreeSet;

use engine::plan::{PlacementId, Plan, PullId};
use engine::rules::{Finding, Severity, Subject};
use leptos::prelude::*;

use super::desk::{PanelKey, use_desk};
use super::severity::SeverityShape;
use crate::state::{Action, use_store};

/// More findings than this are counted and not listed: the first ones are the worst.
const LISTED: usize = 60;

/// The list of findings; each selects what it is about.
#[component]
pub(crate) fn Findings() -> impl IntoView {
    let store = use_store();
    let shown = store.shown();
    let findings = store.findings();
    let pull = Memo::new(move |_| store.with(|session| session.pull));
    let list = move || {
        let (plan, pull, all) = (shown.get(), pull.get(), findings.get());
        let entry =
            |finding: &Finding| view! { <FindingEntry entry=Entry::of(finding, &plan, pull)/> };
        all.iter().take(LISTED).map(entry).collect_view()
    };
    let rest = move || {
        let more = findings.with(|all| all.len().saturating_sub(LISTED));
        (more > 0).then(
            || view! { <p class="findings-rest">{format!("And {more} more, none worse.")}</p> },
        )
    };
    view! {
        <section class="findings" aria-labelledby="findings-title">
            <header class="findings-head">
                <h2 id="findings-title">"Findings"</h2>
                <p class="findings-count" role="status">{move || findings.with(|all| counted(all))}</p>
            </header>
            <ol class="findings-list">{list}</ol>
            {rest}
        </section>
    }
}

/// One finding in words, ready to be shown.
#[derive(Clone)]
struct Entry {
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
            severity: finding.severity,
            title: finding.title(plan, pull),
            reason: finding.reason(plan, pull),
            next_step: finding.next_step(plan, pull),
            selects: selected_by(finding, plan, pull),
            opens: opened_by(finding),
        }
    }
}

#[component]
fn FindingEntry(entry: Entry) -> impl IntoView {
    let store = use_store();
    let desk = use_desk();
    let Entry { severity, title, reason, next_step, selects, opens } = entry;
    let is_selected = {
        let selects = selects.clone();
        move || !selects.is_empty() && store.with(|session| session.selection == selects)
    };
    let press = move |_| {
        if !selects.is_empty() {
            store.dispatch(Action::Select(selects.clone()));
        }
        if let Some(panel) = opens {
            desk.panel.set(panel);
        }
    };
    let word = severity.word();
    view! {
        <li>
            <button
                type="button"
                class=format!("finding finding-{word}")
                aria-pressed=move || if is_selected() { "true" } else { "false" }
                on:click=press
            >
                <SeverityShape severity/>
                <span class="finding-words">
                    <span class="finding-title">
                        <span class="finding-severity">{word}</span>
                        " "
                        {title}
                    </span>
                    <span class="finding-reason">{reason}</span>
                    <span class="finding-next">{next_step}</span>
                </span>
            </button>
        </li>
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
    finding.subjects.iter().flat_map(of_subject).collect()
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
    use engine::rules::Rule;

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
    fn findings_are_counted_by_severity() {
        let [stop, note] = [Severity::Stop, Severity::Note].map(|s| finding(s, vec![]));
        assert_eq!(counted(&[]), "Nothing to put right.");
        assert_eq!(counted(&[stop.clone(), note.clone(), note]), "1 stop, 2 notes");
        assert_eq!(counted(&[stop]), "1 stop");
    }
}

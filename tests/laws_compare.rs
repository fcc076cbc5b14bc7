//! Laws of a plan that came back: taking all that differs makes mine theirs, taking nothing leaves it as it is.

mod random_plan;

use std::collections::BTreeSet;

use engine::compare::{What, changes};
use engine::edit::Edit;
use engine::file::{link, unlink};
use engine::plan::{Plan, PullId};
use proptest::collection::vec;
use random_plan::{edit, plan, runner};

/// What stands where on a blank, by the names of the molds, in micrometres.
fn stands(plan: &Plan, pull: PullId) -> Vec<(String, u32, i64, i64, bool)> {
    let place = |value: f64| format!("{:.0}", value * 1e3).parse::<i64>().expect("a place");
    let mut all: Vec<_> = plan.pulls[&pull]
        .placements
        .values()
        .map(|one| {
            let name = plan.molds[&one.mold].name.clone();
            (name, one.copy.0, place(one.pose.at.x), place(one.pose.at.y), one.locked)
        })
        .collect();
    all.sort();
    all
}

#[test]
fn all_of_theirs_makes_mine_theirs_and_nothing_of_it_changes_nothing() {
    let law = |(mine, edits): (Plan, Vec<Edit>)| {
        let Some(pull) = mine.first_pull() else { return Ok(()) };
        let Ok(sent) = link(&mine, pull) else { return Ok(()) };
        let mut theirs = unlink(&sent).expect("a link of our own");
        for edit in &edits {
            theirs = theirs.apply(edit).unwrap_or(theirs);
        }
        // What comes back is a link again, of the pull that was sent.
        let Ok(back) = link(&theirs, pull) else { return Ok(()) };
        let theirs = unlink(&back).expect("a link of our own");
        let found = changes(&mine, &theirs).expect("mine went into a link before");
        assert_eq!(found.pull, pull);
        assert!(mine.apply(&found.edit(&mine, &BTreeSet::new())).expect("nothing") == mine);
        let all: BTreeSet<usize> = (0..found.list.len()).collect();
        // Refused is only what no plan may be, such as more molds than fit beside mine.
        let Ok(taken) = mine.apply(&found.edit(&mine, &all)) else { return Ok(()) };
        // As a link tells places apart: mine may be finer where nothing differs.
        let carried = unlink(&link(&taken, pull).expect("theirs went into one")).expect("our own");
        assert_eq!(stands(&carried, pull), stands(&theirs, pull));
        assert_eq!((&taken.name, taken.molds.len()), (&theirs.name, theirs.molds.len()));
        let again = changes(&taken, &theirs).expect("a comparison");
        let left = |what: &What| !matches!(what, What::MoldAdded(..) | What::MoldRemoved(_));
        assert!(
            !again.list.iter().any(|change| left(&change.what)) || has_namesakes(&theirs),
            "{:#?}",
            again.list
        );
        Ok(())
    };
    runner(300).run(&(plan(), vec(edit(), 0..12)), law).expect("holds");
}

/// Molds of one name cannot be told apart once they have other numbers.
fn has_namesakes(plan: &Plan) -> bool {
    let names: BTreeSet<&str> = plan.molds.values().map(|mold| mold.name.as_str()).collect();
    names.len() < plan.molds.len()
}

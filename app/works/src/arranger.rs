//! Has a pull laid out, and tells meanwhile how the best so far would stand and whether it could be taken.

use std::collections::BTreeSet;
use std::ops::ControlFlow;

use engine::arrange::{self, Answer as Found, Intent, MoldCopy, Progress, Request};
use engine::edit::Edit;
use engine::file::load;
use engine::geometry::{Point, Pose};
use engine::plan::{Placement, PlacementId, Plan, PullId};
use engine::rules::{ReadyMolds, Rule, Subject, check_with};
use engine::units::Angle;

use super::Answer;
use super::arranging::{Arranged, Arranging, Layout, News, WayOut};

/// Word is sent at most so many times in a run, and besides whenever something else begins.
const TIMES: u64 = 60;

/// The rules that a layout is made by; what they say of a mold itself is not looked at.
const KEPT: [Rule; 6] =
    [Rule::Overlap, Rule::Clearance, Rule::Opening, Rule::Platen, Rule::Edge, Rule::Copies];

/// Lays a pull out; `tell` hears of progress.
pub(super) fn arranged(ask: &Arranging, tell: &mut dyn FnMut(Answer)) -> Result<Answer, String> {
    let before = load(&ask.plan).map_err(|error| error.to_string())?;
    let pull = PullId(ask.pull);
    let off: BTreeSet<PlacementId> = ask.off.iter().copied().map(PlacementId).collect();
    let plan = if off.is_empty() {
        before.clone()
    } else {
        before.apply(&Edit::TakeOff(pull, off)).map_err(|error| error.to_string())?
    };
    let request = ask.request();
    let mut teller = Teller::new(&before, &plan, &request, tell);
    let mut watch = |news: &Progress<'_>| {
        teller.tell(news);
        ControlFlow::Continue(())
    };
    let found = arrange::arrange(&plan, &request, &mut watch).map_err(|error| error.to_string())?;
    Ok(Answer::Arranged(Box::new(told(&before, &plan, pull, &found))))
}

/// The answer in words and layouts; `plan` is what was asked about, `before` what the page has.
fn told(before: &Plan, plan: &Plan, pull: PullId, found: &Found) -> Arranged {
    let after = |edit: Option<&Edit>| match edit {
        Some(edit) => plan.apply(edit).ok(),
        None => Some(plan.clone()),
    };
    let laid_out = |edit: Option<&Edit>| {
        let layout = Layout::of(before, &after(edit)?, pull);
        layout.edit(before, pull).is_some().then_some(layout)
    };
    let ways_out = found.ways_out(plan);
    let is_found = ways_out.is_empty() && !matches!(found.outcome, arrange::Outcome::TooFull(_));
    Arranged {
        title: found.title(),
        sentences: found.sentences(plan),
        layout: is_found.then(|| laid_out(found.edit.as_ref())).flatten(),
        ways_out: ways_out
            .into_iter()
            .filter_map(|way| Some(WayOut { layout: laid_out(Some(way.edit))?, words: way.words }))
            .collect(),
    }
}

/// Passes on where the arranger stands, no more often than somebody could see.
struct Teller<'a> {
    before: &'a Plan,
    plan: &'a Plan,
    pull: PullId,
    /// Whether chosen molds may be left out.
    is_choosing: bool,
    copies: BTreeSet<MoldCopy>,
    ready: ReadyMolds,
    phase: Option<arrange::Phase>,
    done: u64,
    tell: &'a mut dyn FnMut(Answer),
}

impl<'a> Teller<'a> {
    fn new(
        before: &'a Plan,
        plan: &'a Plan,
        request: &Request,
        tell: &'a mut dyn FnMut(Answer),
    ) -> Self {
        Self {
            before,
            plan,
            pull: request.pull,
            is_choosing: matches!(request.intent, Intent::Most(_)),
            copies: request.copies.iter().copied().collect(),
            ready: ReadyMolds::default().renewed(plan),
            phase: None,
            done: 0,
            tell,
        }
    }

    fn tell(&mut self, news: &Progress<'_>) {
        let is_new = self.phase != Some(news.phase);
        if !is_new && news.done < self.done.saturating_add(news.of / TIMES) {
            return;
        }
        (self.phase, self.done) = (Some(news.phase), news.done);
        let after = self.edit(news.poses).and_then(|edit| self.plan.apply(&edit).ok());
        let moved: BTreeSet<MoldCopy> = news.poses.iter().map(|(copy, _)| *copy).collect();
        let is_whole = self.is_choosing || self.copies.is_subset(&moved);
        let is_good = is_whole && after.as_ref().is_some_and(|after| self.is_good(after, &moved));
        let layout = after.map(|after| Layout::of(self.before, &after, self.pull));
        (self.tell)(Answer::Arranging(Box::new(News {
            done: news.done,
            of: news.of,
            phase: news.phase.words().to_owned(),
            layout: layout.unwrap_or_default(),
            is_good,
        })));
    }

    /// What puts the molds where they stand in the news; what was chosen and is not in them is taken off when molds
    /// may be left out.
    fn edit(&self, poses: &[(MoldCopy, Pose)]) -> Option<Edit> {
        let pull = self.plan.pulls.get(&self.pull)?;
        let mut free = pull.free_placement_id();
        let (mut moved, mut placed) = (Vec::new(), Vec::new());
        for &((mold, copy), pose) in poses {
            let pose = rounded(pose);
            let is_it = |placement: &Placement| (placement.mold, placement.copy) == (mold, copy);
            match pull.placements.iter().find(|(_, placement)| is_it(placement)) {
                Some((id, _)) => moved.push((*id, pose)),
                None => {
                    placed.push((free, Placement { mold, copy, pose, locked: false }));
                    free = PlacementId(free.0.saturating_add(1));
                }
            }
        }
        let stays = |placement: &Placement| {
            let copy = (placement.mold, placement.copy);
            let is_meant = self.copies.is_empty() || self.copies.contains(&copy);
            placement.locked || !is_meant || poses.iter().any(|(told, _)| *told == copy)
        };
        let off = pull.placements.iter().filter(|(_, placement)| !stays(placement));
        let off = off.map(|(id, _)| *id).filter(|_| self.is_choosing).collect();
        Some(Edit::All(vec![
            Edit::TakeOff(self.pull, off),
            Edit::Move(self.pull, moved.into_iter().collect()),
            Edit::Place(self.pull, placed.into_iter().collect()),
        ]))
    }

    /// Whether the rules have nothing against where these molds stand.
    fn is_good(&self, after: &Plan, moved: &BTreeSet<MoldCopy>) -> bool {
        let placements = after.pulls.get(&self.pull).map(|pull| &pull.placements);
        let is_moved = |subject: &Subject| match subject {
            Subject::Placement(id) => placements
                .and_then(|placements| placements.get(id))
                .is_some_and(|placement| moved.contains(&(placement.mold, placement.copy))),
            Subject::Mold(_) | Subject::Stock => false,
        };
        let findings = check_with(after, self.pull, &self.ready);
        !moved.is_empty()
            && !findings.iter().any(|finding| {
                KEPT.contains(&finding.rule) && finding.subjects.iter().any(is_moved)
            })
    }
}

/// To the micrometre and the thousandth of a degree, as the arranger rounds its answers: a layout that is stopped at
/// must read as well, and still be good once a link has carried it.
fn rounded(pose: Pose) -> Pose {
    let nearest = |value: f64| (value * 1e3).round() / 1e3;
    let at = Point::new(nearest(pose.at.x), nearest(pose.at.y));
    Pose::new(at, Angle::degrees(nearest(pose.turn.to_degrees())))
}

#[cfg(test)]
mod tests {
    use engine::file::save;
    use engine::plan::sample;
    use engine::rules::check;

    use super::super::arranging::Goal;
    use super::*;

    const PULL: PullId = PullId(1);

    fn ask(goal: Goal, copies: Vec<(u32, u32)>, off: Vec<u32>) -> Arranging {
        let plan = save(&sample());
        Arranging { plan, pull: 1, copies, off, goal, seed: 1, steps: 300_000 }
    }

    fn run(ask: &Arranging) -> (Vec<News>, Arranged) {
        let mut news = Vec::new();
        let mut tell = |answer| match answer {
            Answer::Arranging(one) => news.push(*one),
            other => panic!("{other:?}"),
        };
        match arranged(ask, &mut tell).expect("an answer") {
            Answer::Arranged(arranged) => (news, *arranged),
            other => panic!("{other:?}"),
        }
    }

    fn clashes(plan: &Plan) -> usize {
        check(plan, PULL).iter().filter(|finding| KEPT.contains(&finding.rule)).count()
    }

    fn after(layout: &Layout) -> Plan {
        let plan = sample();
        layout
            .edit(&plan, PULL)
            .map_or_else(|| plan.clone(), |edit| plan.apply(&edit).expect("applies"))
    }

    #[test]
    fn the_sample_is_put_right_and_what_is_called_good_on_the_way_is() {
        assert!(clashes(&sample()) > 0, "there is something to put right");
        for goal in [Goal::Fit, Goal::Spread([1.0, 0.5, 0.5, 0.25]), Goal::Tidy] {
            let (news, arranged) = run(&ask(goal.clone(), Vec::new(), Vec::new()));
            let layout =
                arranged.layout.unwrap_or_else(|| panic!("{goal:?}: {:?}", arranged.title));
            assert_eq!(clashes(&after(&layout)), 0, "{goal:?}");
            // What is found at once is told at once.
            let is_long = matches!(goal, Goal::Spread(_));
            assert!(
                !is_long || news.iter().any(|one| one.is_good),
                "{goal:?}: nothing good was told"
            );
            for one in news.iter().filter(|one| one.is_good) {
                assert_eq!(clashes(&after(&one.layout)), 0, "{goal:?}: {}", one.phase);
            }
        }
    }

    #[test]
    fn a_set_is_what_stands_in_the_end_and_what_was_taken_off_before_is_no_obstacle() {
        let (_, arranged) = run(&ask(Goal::Fit, vec![(1, 1), (2, 1)], vec![3, 4, 5, 6]));
        let layout = arranged.layout.expect("fewer fit");
        let standing: Vec<u32> = layout.standing.iter().map(|spot| spot.mold).collect();
        assert_eq!(standing.len(), 2, "{standing:?}");
        assert_eq!(clashes(&after(&layout)), 0);
    }

    #[test]
    fn what_makes_no_sense_is_refused_in_words() {
        let refused = arranged(&ask(Goal::Fit, vec![(99, 1)], Vec::new()), &mut |_| {});
        assert!(refused.expect_err("no such mold").contains("no mold 99"));
        let unread = Arranging { plan: "{".into(), ..ask(Goal::Tidy, Vec::new(), Vec::new()) };
        assert!(arranged(&unread, &mut |_| {}).is_err());
    }
}

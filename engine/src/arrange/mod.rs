//! Lays the molds of a pull out: all that were chosen, as many as go on, spread, or tidied.
//!
//! Plan and request in, edit out. What is found is judged by the rules before anybody sees it, so that the solver and
//! the findings beside it cannot disagree. Same plan, same request: same answer on every target.

mod answer;
mod error;
mod request;
mod watch;
mod words;

mod attempt;
mod cover;
#[cfg(test)]
mod fixture;
mod frame;
mod layout;
mod measure;
mod parting;
mod run;
mod scene;
mod settle;
mod walls;

mod fit;
mod most;
mod spread;
mod tidy;
mod too_full;

use std::collections::BTreeSet;

pub use answer::{Answer, LeaveOut, Measures, Most, Outcome, SmallerFactor, TooFull, TurnedBlank};
pub use error::ArrangeError;
pub use request::{Aims, Intent, MoldCopy, Request, Worth};
pub use watch::{Phase, Progress};

pub(crate) use attempt::{Attempt, Bench};
pub(crate) use layout::is_of_layout;
pub use words::WayOut;

pub use crate::search::{Budget, Seed};

use crate::geometry::Pose;
use crate::plan::{PlacementId, Plan};
use crate::rules::ReadyMolds;
use crate::units::Length;
use crate::watch::Watch;

use fit::{Effort, Tried, fit};
use layout::{Judged, judged, neat};
use measure::{measures, spare};
use run::Run;
use scene::Scene;

/// Lays a pull out as `request` asks.
///
/// # Errors
/// Says what of the request makes no sense for this plan.
pub fn arrange(
    plan: &Plan,
    request: &Request,
    watch: &mut dyn for<'p> Watch<Progress<'p>>,
) -> Result<Answer, ArrangeError> {
    request.check(plan)?;
    let ready = ReadyMolds::default().renewed(plan);
    let scene = Scene::new(plan, request, &ready)?;
    let mut run = Run::new(request.seed, request.budget, watch);
    let mut work = Work { plan, scene: &scene, ready: &ready, run: &mut run };
    let (outcome, judged) = match &request.intent {
        Intent::Fit => work.fit(),
        Intent::Most(worth) => work.most(worth),
        Intent::Spread(aims) => work.spread(aims),
        Intent::Tidy => work.tidy(),
    };
    let Judged { edit, left } = judged;
    Ok(Answer {
        edit,
        outcome,
        unsound: scene.unsound.clone(),
        left,
        is_stopped: run.is_stopped,
        steps: run.steps,
    })
}

/// One request being worked on.
struct Work<'s, 'w, 'p> {
    plan: &'p Plan,
    scene: &'s Scene<'p>,
    ready: &'s ReadyMolds,
    run: &'s mut Run<'w>,
}

impl Work<'_, '_, '_> {
    fn fit(&mut self) -> (Outcome, Judged) {
        self.run.phase = Phase::Placing;
        let steps = self.run.part(50);
        match fit(self.scene, None, (steps, Effort::Full), self.run) {
            Tried::Fits(poses) => self.fits(&poses),
            Tried::Lacks(best) => self.too_full(best),
        }
    }

    fn fits(&mut self, poses: &[Pose]) -> (Outcome, Judged) {
        let Some((poses, judged)) = self.judged(poses) else { return self.too_full(None) };
        let spare = Length::mm(spare(self.scene, &poses));
        (Outcome::Fits { placed: self.scene.copies(), spare }, judged)
    }

    fn too_full(&mut self, best: Option<(Vec<Pose>, f64)>) -> (Outcome, Judged) {
        let told = too_full::too_full(self.scene, best, self.ready, self.run);
        (Outcome::TooFull(Box::new(told)), Judged { edit: None, left: Vec::new() })
    }

    fn most(&mut self, worth: &Worth) -> (Outcome, Judged) {
        self.run.phase = Phase::Choosing;
        let steps = self.run.left();
        let (chosen, poses, is_all_tried) = most::most_of(self.scene, worth, steps, self.run);
        let kept: BTreeSet<usize> = chosen.into_iter().collect();
        let part = self.scene.of(|i, _| kept.contains(&i));
        let gone = self.scene.movable().filter(|i| !kept.contains(i));
        let off: BTreeSet<PlacementId> = gone.filter_map(|i| self.scene.bodies[i].id).collect();
        let neat = neat(&part, &poses, self.run);
        let judged = [neat, poses]
            .iter()
            .find_map(|poses| judged(self.plan, &part, (poses, &off), None, self.ready));
        let found = judged.as_ref().map(|_| (part.copies(), is_all_tried));
        let told = most::told(self.scene.copies(), found, worth);
        let judged = judged.unwrap_or(Judged { edit: None, left: Vec::new() });
        (Outcome::Most(told), judged)
    }

    fn spread(&mut self, aims: &Aims) -> (Outcome, Judged) {
        self.run.phase = Phase::Placing;
        let steps = self.run.part(40);
        let begin = match fit(self.scene, None, (steps, Effort::Full), self.run) {
            Tried::Fits(poses) => poses,
            Tried::Lacks(best) => return self.too_full(best),
        };
        self.run.phase = Phase::Spreading;
        let poses = spread::spread(self.scene, &begin, aims, self.run);
        let before = measures(self.scene, &begin);
        let is_no_tighter =
            |poses: &[Pose]| aims.room <= 0.0 || spare(self.scene, poses) >= before.spare.to_mm();
        let neat = neat(self.scene, &poses, self.run);
        let tries = [neat, poses, begin].into_iter().filter(|poses| is_no_tighter(poses));
        let found =
            tries.filter_map(|poses| self.judge(&poses).map(|judged| (poses, judged))).next();
        let Some((poses, judged)) = found else { return self.too_full(None) };
        (Outcome::Spread { before, after: measures(self.scene, &poses) }, judged)
    }

    fn tidy(&mut self) -> (Outcome, Judged) {
        if self.scene.poses().is_none() {
            return self.fit();
        }
        self.run.phase = Phase::Tidying;
        let tidied = tidy::tidied(self.scene, self.run);
        let Some((poses, judged)) = tidied.and_then(|poses| self.judged(&poses)) else {
            return self.too_full(None);
        };
        let moved = self.scene.bodies.iter().zip(&poses).filter_map(|(body, pose)| {
            let was = body.pose.filter(|was| was != pose)?;
            Some((body.id?, Length::mm(was.at.distance(pose.at))))
        });
        (Outcome::Tidied { moved: moved.collect() }, judged)
    }

    /// The layout in neat figures, or as it is, whichever the rules have nothing against.
    fn judged(&mut self, poses: &[Pose]) -> Option<(Vec<Pose>, Judged)> {
        let neat = neat(self.scene, poses, self.run);
        [neat, poses.to_vec()].into_iter().find_map(|poses| {
            let judged = self.judge(&poses)?;
            Some((poses, judged))
        })
    }

    fn judge(&self, poses: &[Pose]) -> Option<Judged> {
        judged(self.plan, self.scene, (poses, &BTreeSet::new()), None, self.ready)
    }
}

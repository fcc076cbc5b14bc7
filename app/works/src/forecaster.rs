//! Forecasts how the sheet drapes over a pull, and tries what would help.

use std::ops::ControlFlow;

use engine::drape::{Forecast, Mode, Progress, Settings, advice, forecast};
use engine::file::load;
use engine::objects;
use engine::plan::PullId;
use engine::units::Length;
use serde::{Deserialize, Serialize};

use super::Answer;
use super::arranging::Layout;

/// A forecast that is asked for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Forecasting {
    /// The plan in the saved form.
    pub plan: String,
    /// The number of the pull.
    pub pull: u32,
    /// Whether the sheet is equally thick between two places where it has landed, instead of rubber.
    pub is_uniform: bool,
    /// The width of the sheet's net, in millimetres.
    pub mesh: f64,
    /// The friction of rubber that slides where it lands; without one it sticks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub friction: Option<f64>,
}

/// A change of the layout that was tried and helps.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Advised {
    /// What it does and what it brings.
    pub words: String,
    /// The thinnest wall over any mold now, in millimetres.
    pub before: f64,
    /// As it would be.
    pub after: f64,
    /// The layout with it.
    pub layout: Layout,
}

impl Forecasting {
    fn settings(&self) -> Settings {
        Settings {
            mode: if self.is_uniform { Mode::Uniform } else { Mode::Rubber },
            mesh: Length::mm(self.mesh),
            friction: self.friction,
            ..Settings::default()
        }
    }
}

/// The forecast, in bytes; `tell` hears of each hundredth.
pub(super) fn forecasted(
    ask: &Forecasting,
    tell: &mut dyn FnMut(Answer),
) -> Result<Answer, String> {
    let plan = load(&ask.plan).map_err(|error| error.to_string())?;
    let told = forecast(&plan, PullId(ask.pull), &ask.settings(), &mut hundredths(tell));
    let told = told.map_err(|error| error.to_string())?;
    Ok(Answer::Forecast { bytes: told.to_bytes() })
}

/// What would help, the best first; `bytes` are the forecast of the same layout.
pub(super) fn advised(
    ask: &Forecasting,
    bytes: &[u8],
    tell: &mut dyn FnMut(Answer),
) -> Result<Answer, String> {
    let plan = load(&ask.plan).map_err(|error| error.to_string())?;
    let (pull, settings) = (PullId(ask.pull), ask.settings());
    let told = Forecast::from_bytes(bytes).ok_or("the forecast to improve on cannot be read")?;
    let found = advice(&plan, pull, &told, &settings, &mut hundredths(tell));
    let found = found.map_err(|error| error.to_string())?;
    let advised = found.iter().filter_map(|advice| {
        let after = plan.apply(&advice.edit).ok()?;
        Some(Advised {
            words: advice.words(&plan, pull),
            before: advice.before.thinnest.to_mm(),
            after: advice.after.thinnest.to_mm(),
            layout: Layout::of(&plan, &after, pull),
        })
    });
    Ok(Answer::Advised(advised.collect()))
}

/// Tells of progress whenever another hundredth is done.
fn hundredths(tell: &mut dyn FnMut(Answer)) -> impl FnMut(&Progress) -> ControlFlow<()> {
    let mut last = 0;
    move |progress: &Progress| {
        let done = hundredth(progress.share);
        if done > last {
            last = done;
            tell(Answer::Progress { done, of: 100 });
        }
        ControlFlow::Continue(())
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn hundredth(share: f64) -> u32 {
    (share * 100.0).clamp(0.0, 100.0) as u32
}

objects!(Advised);

#[cfg(test)]
mod tests {
    use engine::file::save;
    use engine::plan::{Plan, sample};

    use super::*;

    fn ask(plan: &Plan) -> Forecasting {
        Forecasting { plan: save(plan), pull: 1, is_uniform: false, mesh: 12.0, friction: None }
    }

    #[test]
    fn a_forecast_is_that_of_the_engine_with_word_of_progress() {
        let (plan, mut done) = (sample(), Vec::new());
        let answer = forecasted(&ask(&plan), &mut |answer| {
            let Answer::Progress { done: share, of: 100 } = answer else { panic!("{answer:?}") };
            done.push(share);
        });
        let Ok(Answer::Forecast { bytes }) = answer else { panic!("{answer:?}") };
        let settings = Settings { mesh: Length::mm(12.0), ..Settings::default() };
        let own = forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast");
        assert_eq!(Forecast::from_bytes(&bytes), Some(own));
        assert!(done.is_sorted() && done.len() > 3, "{done:?}");
    }

    #[test]
    fn every_advice_is_a_layout_that_can_be_taken_and_is_thicker_or_webs_less() {
        let plan = sample();
        let Ok(Answer::Forecast { bytes }) = forecasted(&ask(&plan), &mut |_| {}) else {
            panic!("a forecast")
        };
        let answer = advised(&ask(&plan), &bytes, &mut |_| {});
        let Ok(Answer::Advised(all)) = answer else { panic!("{answer:?}") };
        for one in &all {
            let edit = one.layout.edit(&plan, PullId(1)).expect("a change");
            assert!(plan.apply(&edit).is_ok(), "{one:?}");
            assert!(one.after > one.before * 0.9, "{one:?}");
        }
    }

    #[test]
    fn what_cannot_be_forecast_is_refused_in_words() {
        let plan = sample();
        let friction = Forecasting { friction: Some(-1.0), ..ask(&plan) };
        assert!(forecasted(&friction, &mut |_| {}).expect_err("no friction").contains("friction"));
        let mesh = Forecasting { mesh: 0.0, ..ask(&plan) };
        assert!(forecasted(&mesh, &mut |_| {}).expect_err("no net").contains("mm"));
        let pull = Forecasting { pull: 9, ..ask(&plan) };
        assert!(forecasted(&pull, &mut |_| {}).is_err());
        assert!(advised(&ask(&plan), &[1, 2, 3], &mut |_| {}).is_err());
    }
}

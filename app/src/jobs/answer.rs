//! Does what a request asks; pure, so that it runs in the worker, in the page and in native tests alike.

use engine::export::pdf;
use engine::file::{link, load};
use engine::plan::{Plan, PullId};
use engine::rules::{ReadyMolds, check_with};
use engine::template::{Paper, TemplateSettings, template};

use super::{Answer, Ask, PaperName, Reply, Request};

/// The reply to a request in JSON, as JSON.
///
/// A request that cannot be read gets a refusal under job 0.
#[must_use]
pub fn answer(request: &str) -> String {
    let reply = match serde_json::from_str::<Request>(request) {
        Ok(Request { job, ask }) => {
            Reply { job, answer: done(&ask).unwrap_or_else(Answer::Refused) }
        }
        Err(error) => Reply {
            job: 0,
            answer: Answer::Refused(format!("the request cannot be read: {error}")),
        },
    };
    serde_json::to_string(&reply).unwrap_or_default()
}

fn done(ask: &Ask) -> Result<Answer, String> {
    match ask {
        Ask::Check { plan, times } => {
            let (plan, pull) = opened(plan)?;
            let ready = ReadyMolds::default().renewed(&plan);
            let mut findings = check_with(&plan, pull, &ready);
            for _ in 1..*times {
                findings = check_with(&plan, pull, &ready.renewed(&plan));
            }
            Ok(Answer::Findings(findings.iter().map(|f| format!("{f:?}")).collect()))
        }
        Ask::Template { plan, paper, date } => {
            let (plan, pull) = opened(plan)?;
            let paper = match paper {
                PaperName::Letter => Paper::Letter,
                PaperName::A4 => Paper::A4,
                PaperName::One => Paper::One,
            };
            let settings = TemplateSettings::new(paper, date);
            let made = template(&plan, pull, &settings).map_err(|error| error.to_string())?;
            Ok(Answer::File(pdf(&plan.name, &made.pages).bytes))
        }
        Ask::Link { plan } => {
            let (plan, pull) = opened(plan)?;
            link(&plan, pull).map(Answer::Link).map_err(|error| error.to_string())
        }
    }
}

fn opened(text: &str) -> Result<(Plan, PullId), String> {
    let plan = load(text).map_err(|error| error.to_string())?;
    let pull = plan.first_pull().ok_or("the plan has no pull")?;
    Ok((plan, pull))
}

#[cfg(test)]
mod tests {
    use engine::file::save;
    use engine::plan::sample;

    use super::*;

    #[test]
    fn a_plan_is_checked_on_request() {
        let ask = Ask::Check { plan: save(&sample()), times: 1 };
        let request = serde_json::to_string(&Request { job: 7, ask }).expect("a request");
        let reply: Reply = serde_json::from_str(&answer(&request)).expect("a reply");
        let Answer::Findings(lines) = reply.answer else { panic!("{reply:?}") };
        assert_eq!(reply.job, 7);
        assert!(lines.iter().any(|line| line.contains("rule: Clearance")), "{lines:#?}");
    }

    #[test]
    fn what_cannot_be_read_is_refused_in_words() {
        for request in
            ["", "not a job", "{}", r#"{"job": 3, "ask": {"check": {"plan": "{", "times": 1}}}"#]
        {
            let reply: Reply = serde_json::from_str(&answer(request)).expect("a reply");
            assert!(matches!(reply.answer, Answer::Refused(_)), "{request}: {reply:?}");
        }
    }
}

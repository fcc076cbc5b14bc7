//! Does what a request asks; pure, so that it runs in the worker, in the page and in native tests alike.

use engine::export::{Pdf, pdf};
use engine::file::{link, load};
use engine::plan::{Plan, PullId};
use engine::rules::{Finding, ReadyMolds, check_with};
use engine::template::{
    BenchNotes, Paper, TemplateError, TemplateSettings, bench_card, cut_list, photo_card, template,
};
use engine::units::Length;

use super::arranger::arranged;
use super::batcher::batched;
use super::cutter::{cut, mapped};
use super::forecaster::{advised, forecasted};
use super::further::further_sizes;
use super::heater::heated;
use super::reader::read;
use super::tracer::{card_of, find, traced};
use super::trades::{PrinterSaid, drawn};
use super::warm::warmed;
use super::{Answer, Ask, PaperName, Parcel, Print, Request, Sheets};

/// The reply to a request in JSON.
///
/// A request that cannot be read gets a refusal under job 0.
#[must_use]
pub fn answer(request: &str) -> Parcel {
    work(request, &[], &mut |_| {})
}

/// As [`answer`], with the bytes that came beside the request; `post` hears of progress before it.
pub fn work(request: &str, bytes: &[u8], post: &mut dyn FnMut(Parcel)) -> Parcel {
    let (job, answer) = match serde_json::from_str::<Request>(request) {
        Ok(Request { job, ask }) => {
            let mut tell = |answer| post(Parcel::of(job, answer));
            (job, done(&ask, bytes, &mut tell).unwrap_or_else(Answer::Refused))
        }
        Err(error) => (0, Answer::Refused(format!("the request cannot be read: {error}"))),
    };
    Parcel::of(job, answer)
}

fn done(ask: &Ask, bytes: &[u8], tell: &mut dyn FnMut(Answer)) -> Result<Answer, String> {
    match ask {
        Ask::WarmUp => Ok(Answer::Findings(told(&warmed()))),
        Ask::Check { plan, times } => {
            let (plan, pull) = opened(plan)?;
            let ready = ReadyMolds::default().renewed(&plan);
            let mut findings = check_with(&plan, pull, &ready);
            for _ in 1..*times {
                findings = check_with(&plan, pull, &ready.renewed(&plan));
            }
            Ok(Answer::Findings(told(&findings)))
        }
        Ask::Template { plan, paper, date } => {
            let (plan, pull) = opened(plan)?;
            let settings = TemplateSettings::new(Paper::from(*paper), date);
            let made = template(&plan, pull, &settings).map_err(|error| error.to_string())?;
            Ok(Answer::File { bytes: pdf(&plan.name, &made.pages).bytes })
        }
        Ask::Print(print) => printed(print, tell),
        Ask::Arrange(ask) => arranged(ask, tell),
        Ask::Batch(ask) => batched(ask, tell),
        Ask::Forecast(ask) => forecasted(ask, tell),
        Ask::Advise(ask) => advised(ask, bytes, tell),
        Ask::ReadFile(ask) => read(ask, bytes, tell),
        Ask::FindPaper(ask) => find(*ask, bytes),
        Ask::TracePhoto(ask) => traced(ask, bytes, tell),
        Ask::PhotoCard(paper) => {
            let Pdf { bytes, replaced } = pdf("Photo card", &[photo_card(card_of(*paper))]);
            Ok(Answer::Pdf { bytes, replaced })
        }
        Ask::Cut { plan, further } => cut(plan, further),
        Ask::Map(ask) => mapped(ask),
        Ask::Heat { plan, pull, heater } => heated(plan, *pull, heater),
        Ask::Trade(ask) => drawn(ask),
        Ask::Link { plan } => {
            let (plan, pull) = opened(plan)?;
            link(&plan, pull).map(Answer::Link).map_err(|error| error.to_string())
        }
    }
}

/// Two parts: the sheets are laid out, then written.
fn printed(print: &Print, tell: &mut dyn FnMut(Answer)) -> Result<Answer, String> {
    let plan = load(&print.plan).map_err(|error| error.to_string())?;
    let settings = TemplateSettings {
        paper: print.paper.into(),
        overlap: Length::mm(print.overlap_mm),
        margin: Length::mm(print.margin_mm),
        printer: print.printer.as_ref().map(PrinterSaid::printer).transpose().map_err(told_why)?,
        corners: print.corners,
        date: print.date.clone(),
        link: print.link.clone(),
        notes: BenchNotes {
            heater: print.heater.heater(),
            logged: usize::try_from(print.heater.logged).unwrap_or(usize::MAX),
        },
    };
    let pull = PullId(print.pull);
    let further = further_sizes(&print.further, &plan)?;
    let pages = match print.sheets {
        Sheets::Template => template(&plan, pull, &settings).map(|made| made.pages),
        Sheets::BenchCard => bench_card(&plan, pull, &settings),
        Sheets::CutList => cut_list(&plan, &further, &settings),
    };
    let pages = pages.map_err(told_why)?;
    tell(Answer::Progress { done: 1, of: 2 });
    let Pdf { bytes, replaced } = pdf(&print.title, &pages);
    Ok(Answer::Pdf { bytes, replaced })
}

#[expect(clippy::needless_pass_by_value, reason = "it is what becomes of an error")]
fn told_why(error: TemplateError) -> String {
    error.to_string()
}

impl From<PaperName> for Paper {
    fn from(name: PaperName) -> Self {
        match name {
            PaperName::Letter => Self::Letter,
            PaperName::A4 => Self::A4,
            PaperName::One => Self::One,
        }
    }
}

impl From<Paper> for PaperName {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::Letter => Self::Letter,
            Paper::A4 => Self::A4,
            Paper::One => Self::One,
        }
    }
}

fn told(findings: &[Finding]) -> Vec<String> {
    findings.iter().map(|finding| format!("{finding:?}")).collect()
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
    use crate::{HeaterSaid, Reply};

    fn opened(parcel: Parcel) -> Reply {
        parcel.opened().expect("a reply")
    }

    #[test]
    fn a_plan_is_checked_on_request() {
        let ask = Ask::Check { plan: save(&sample()), times: 1 };
        let request = serde_json::to_string(&Request { job: 7, ask }).expect("a request");
        let reply = opened(answer(&request));
        let Answer::Findings(lines) = reply.answer else { panic!("{reply:?}") };
        assert_eq!(reply.job, 7);
        assert!(lines.iter().any(|line| line.contains("rule: Clearance")), "{lines:#?}");
    }

    fn print(sheets: Sheets, pull: u32) -> String {
        let print = Print {
            plan: save(&sample()),
            pull,
            sheets,
            title: "Tide-pool kit".into(),
            paper: PaperName::A4,
            overlap_mm: 10.0,
            margin_mm: 10.0,
            printer: None,
            corners: false,
            date: "2026-08-01".into(),
            link: None,
            heater: HeaterSaid::default(),
            further: String::new(),
        };
        serde_json::to_string(&Request { job: 9, ask: Ask::Print(print) }).expect("a request")
    }

    #[test]
    fn sheets_are_printed_with_word_of_progress() {
        for sheets in [Sheets::Template, Sheets::BenchCard, Sheets::CutList] {
            let mut posted = Vec::new();
            let last = work(&print(sheets, 1), &[], &mut |reply| posted.push(reply));
            let Reply { job, answer } = opened(last);
            let Answer::Pdf { bytes, replaced } = answer else { panic!("{sheets:?}") };
            assert!(bytes.starts_with(b"%PDF-") && replaced.is_empty());
            assert_eq!(posted, [Parcel::of(job, Answer::Progress { done: 1, of: 2 })]);
        }
    }

    #[test]
    fn a_pull_that_is_not_there_is_refused() {
        let refusal = Answer::Refused("there is no pull 99 in this plan".into());
        assert_eq!(answer(&print(Sheets::Template, 99)), Parcel::of(9, refusal));
    }

    #[test]
    fn what_cannot_be_read_is_refused_in_words() {
        for request in
            ["", "not a job", "{}", r#"{"job": 3, "ask": {"check": {"plan": "{", "times": 1}}}"#]
        {
            let reply = opened(answer(request));
            assert!(matches!(reply.answer, Answer::Refused(_)), "{request}: {reply:?}");
        }
    }
}

//! Does Onepull's work on a plan file, without a browser: JSON on standard output, messages on standard error.
//!
//! The exit status is 0 when all is well, 1 when a finding says stop, 2 when the input cannot be used.

#[path = "headless/arrange.rs"]
mod arrange;
#[path = "headless/batch.rs"]
mod batch;
#[path = "headless/cut.rs"]
mod cut;
#[path = "headless/forecast.rs"]
mod forecast;
#[path = "headless/heat.rs"]
mod heat;
#[path = "headless/intake.rs"]
mod intake;
#[path = "headless/log.rs"]
mod log;
#[path = "headless/photo.rs"]
mod photo;
#[path = "headless/strip.rs"]
mod strip;
#[path = "headless/strip_check.rs"]
mod strip_check;
#[path = "headless/template.rs"]
mod template;

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::Path;
use std::process::ExitCode;

use engine::file::{coarsened, link, load, qr, save, unlink};
use engine::geometry::Point;
use engine::plan::{Plan, Pull, PullId, sample};
use engine::rules::{Finding, Measure, Place, Severity, Subject, check};
use serde_json::{Value, json};

/// The most bytes read of a file or of standard input, above what any plan takes.
const MOST_BYTES: u64 = 17 << 20;

/// Exit status when a finding says stop.
const STOP: u8 = 1;
/// Exit status when the input cannot be used.
const UNUSABLE: u8 = 2;

/// Options without a value.
const FLAGS: &[&str] = &["corners"];

/// One thing this program does.
struct Verb {
    name: &'static str,
    /// What follows the name.
    takes: &'static str,
    /// The options it knows, each with a value but for [`FLAGS`].
    options: &'static [&'static str],
    does: &'static str,
    run: fn(&Given) -> Result<Done, String>,
}

const VERBS: &[Verb] = &[
    Verb {
        name: "check",
        takes: "PLAN",
        options: &[],
        does: "what the rules say about every pull; exit status 1 when a finding says stop",
        run: check_plan,
    },
    Verb {
        name: "arrange",
        takes: "PLAN [--intent fit|spread|tidy] [--aims ROOM,TALL,SQUARE,APART] [--pull ID] [--seed S] [--steps N]",
        options: &["intent", "aims", "pull", "seed", "steps"],
        does: "lays out what stands in a pull, or every mold when nothing does; exit status 1 when not all fit",
        run: arrange::arrange_plan,
    },
    Verb {
        name: "fill",
        takes: "PLAN [--worth MOLD=VALUE,...] [--pull ID] [--seed S] [--steps N]",
        options: &["worth", "pull", "seed", "steps"],
        does: "fills a pull with as many molds as go on, or with those worth most; exit status 1 when some are left out",
        run: arrange::fill_plan,
    },
    Verb {
        name: "batch",
        takes: "PLAN [--kits N] [--seed S] [--steps N] [--sides one|both] [--flux LOW,HIGH] [--csv FILE]",
        options: &["kits", "seed", "steps", "sides", "flux", "csv"],
        does: "plans a batch of kits: few layouts and how often to pull each, with bounds, bottlenecks, cost and time; exit status 1 when a part finds no place",
        run: batch::batch_plan,
    },
    Verb {
        name: "cut",
        takes: "PLAN [--blanks 12inx16in*24,...] [--offcuts 24inx16in,...] [--kerf LENGTH] [--wander LENGTH] [--grain keep]",
        options: &["blanks", "offcuts", "kerf", "wander", "grain"],
        does: "cuts stock sheets into blanks by cuts from edge to edge, numbered and with marks; as the plan says, and sawn where a kerf is given",
        run: cut::cut_plan,
    },
    Verb {
        name: "yield-map",
        takes: "PLAN [--from LENGTH] [--to LENGTH] [--step LENGTH] [--kerf LENGTH] [--grain keep]",
        options: &["from", "to", "step", "kerf", "wander", "grain"],
        does: "how many blanks of each size come out of the plan's sheet, and which sizes waste least",
        run: cut::map_plan,
    },
    Verb {
        name: "heat",
        takes: "PLAN [--pull N] [--sides one|both] [--flux LOW,HIGH] [--logged SECONDS,...]",
        options: &["pull", "sides", "flux", "logged"],
        does: "how long the sheet takes to warm and to cool; flux in kW/m2 absorbed, or found from heats that were logged",
        run: heat::heat_plan,
    },
    Verb {
        name: "log",
        takes: "FILE [--plan PLAN]",
        options: &["plan"],
        does: "what a log of pulls says of the heater and of the clearance factor, with the count behind it",
        run: log::tell_log,
    },
    Verb {
        name: "forecast",
        takes: "PLAN [--mode rubber|uniform] [--mesh MM] [--sag MM] [--friction MU] [--pull ID] [--map FILE.png]",
        options: &["mode", "mesh", "sag", "friction", "pull", "map"],
        does: "how the sheet drapes: thickness of each mold, webs, corners not filled; the map as a picture",
        run: forecast::forecast_plan,
    },
    Verb {
        name: "template",
        takes: "PLAN --pdf OUT | --svg OUT | --dxf OUT | --cutter OUT [--sheets template|card|cuts] [--cut molds|trim|both|corners] [--corners] [--correct X,Y] [--paper letter|a4|one] [--pull ID] [--date TEXT]",
        options: &[
            "pdf", "svg", "dxf", "cutter", "sheets", "cut", "corners", "correct", "paper", "pull",
            "date",
        ],
        does: "the full-size template of a pull, its bench card, the plan's cut list, or its outlines for a machine; X,Y is what the 100 mm bars of an uncorrected print measure",
        run: template::make_template,
    },
    Verb {
        name: "link",
        takes: "PLAN [--pull ID] [--base ADDRESS]",
        options: &["pull", "base"],
        does: "the link that holds a pull, to follow the address of the page",
        run: make_link,
    },
    Verb {
        name: "unlink",
        takes: "LINK",
        options: &[],
        does: "the plan in a link, as a plan file",
        run: open_link,
    },
    Verb {
        name: "strip",
        takes: "FILE [--seconds N] [--steps N] [--seed S]",
        options: &["seconds", "steps", "seed"],
        does: "packs the outlines of a strip instance as short as it can; ten seconds when nothing is said",
        run: strip::pack_strip,
    },
    Verb {
        name: "import",
        takes: "FILE [--unit mm|cm|in|px...] [--up +z|-z|+y|-y|+x|-x] [--paper a4|letter|card] [--photo-corners X,Y,X,Y,X,Y,X,Y] [--height MM]",
        options: &["unit", "up", "paper", "photo-corners", "height"],
        does: "the outlines in a drawing (SVG, DXF) or a photograph (PNG, JPEG), or the measures of a mesh (STL, OBJ, 3MF), and what is wrong with it",
        run: intake::read_foreign,
    },
    Verb {
        name: "photo-card",
        takes: "--pdf OUT [--paper letter|a4]",
        options: &["pdf", "paper"],
        does: "the card that molds are photographed on",
        run: photo::write_card,
    },
    Verb {
        name: "sample",
        takes: "",
        options: &[],
        does: "the sample plan, as a plan file",
        run: give_sample,
    },
];

/// What a verb was given.
struct Given {
    /// What stands by itself.
    inputs: Vec<String>,
    /// Option by name.
    options: BTreeMap<&'static str, String>,
}

/// What a verb has done.
struct Done {
    output: String,
    message: String,
    status: u8,
}

fn main() -> ExitCode {
    let arguments = std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned());
    let done = run(&arguments.collect::<Vec<_>>()).unwrap_or_else(|words| Done {
        output: String::new(),
        message: format!("headless: {words}\n"),
        status: UNUSABLE,
    });
    // When standard error is closed there is nobody to tell, and the work is done all the same.
    let _told = io::stderr().write_all(done.message.as_bytes());
    let mut out = io::stdout().lock();
    match out.write_all(done.output.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => ExitCode::from(done.status),
        Err(_) => ExitCode::from(UNUSABLE),
    }
}

fn run(arguments: &[String]) -> Result<Done, String> {
    let is_help = |word: &String| word == "--help" || word == "-h";
    let Some((name, rest)) = arguments.split_first() else {
        return Err(format!("say what to do\n{}", help()));
    };
    if arguments.iter().any(is_help) {
        return Ok(Done { output: help(), message: String::new(), status: 0 });
    }
    let verb = VERBS.iter().find(|verb| verb.name == name);
    let verb = verb.ok_or_else(|| format!("there is no verb `{name}`\n{}", help()))?;
    (verb.run)(&given(verb, rest)?)
}

fn help() -> String {
    let verbs =
        VERBS.iter().map(|verb| format!("  {} {}\n      {}\n", verb.name, verb.takes, verb.does));
    format!(
        "usage: headless VERB ...\n\n{}\nPLAN is a plan file, LINK a link or a file with one, FILE a strip instance, a log or a drawing; \
         - reads standard input.\nJSON comes on standard output, messages on standard error. The exit status is 1 when a \
         finding says stop\nor not all molds fit, and 2 when the input cannot be used.\n",
        verbs.collect::<String>()
    )
}

fn given(verb: &Verb, words: &[String]) -> Result<Given, String> {
    let mut given = Given { inputs: Vec::new(), options: BTreeMap::new() };
    let mut words = words.iter();
    while let Some(word) = words.next() {
        let Some(name) = word.strip_prefix("--") else {
            given.inputs.push(word.clone());
            continue;
        };
        let known = verb.options.iter().find(|option| **option == name);
        let known = known.ok_or_else(|| format!("`{}` has no option `{word}`", verb.name))?;
        let value = if FLAGS.contains(known) { Some(word) } else { words.next() };
        let value = value.ok_or_else(|| format!("`{word}` needs a value after it"))?;
        if given.options.insert(known, value.clone()).is_some() {
            return Err(format!("`{word}` stands twice"));
        }
    }
    let n_wanted = usize::from(!verb.takes.is_empty() && !verb.takes.starts_with("--"));
    if given.inputs.len() == n_wanted {
        Ok(given)
    } else {
        Err(format!("use it as: headless {} {}", verb.name, verb.takes))
    }
}

impl Given {
    fn input(&self) -> &str {
        self.inputs.first().map_or("-", String::as_str)
    }

    fn option(&self, name: &str) -> Option<&str> {
        self.options.get(name).map(String::as_str)
    }

    fn plan(&self) -> Result<Plan, String> {
        let input = self.input();
        load(&text_of(input)?).map_err(|error| format!("{}: {error}", name_of(input)))
    }

    /// A whole number, when it was given.
    fn number(&self, name: &str) -> Result<Option<u64>, String> {
        let parsed = |text: &str| {
            text.parse().map_err(|_| format!("--{name} {text}: give a whole number, 0 or more"))
        };
        self.option(name).map(parsed).transpose()
    }

    /// The pull that was asked for, or the first.
    fn pull<'plan>(&self, plan: &'plan Plan) -> Result<(PullId, &'plan Pull), String> {
        let id = match self.option("pull") {
            Some(text) => text.parse().ok().map(PullId),
            None => plan.first_pull(),
        };
        let pull = id.and_then(|id| plan.pulls.get(&id).map(|pull| (id, &**pull)));
        pull.ok_or_else(|| {
            let ids: Vec<String> = plan.pulls.keys().map(|id| id.0.to_string()).collect();
            let asked = self.option("pull").unwrap_or_default();
            format!("--pull {asked}: there is no such pull; the plan has {}", ids.join(", "))
        })
    }
}

fn name_of(input: &str) -> &str {
    if input == "-" { "standard input" } else { input }
}

/// The text of a file, or of standard input for `-`.
fn text_of(input: &str) -> Result<String, String> {
    let bytes = bytes_of(input, MOST_BYTES)?;
    String::from_utf8(bytes).map_err(|_| format!("{}: not a text (UTF-8)", name_of(input)))
}

/// What a file, or standard input for `-`, holds; no more than `most` bytes.
fn bytes_of(input: &str, most: u64) -> Result<Vec<u8>, String> {
    let wrong = |what: &dyn std::fmt::Display| format!("{}: {what}", name_of(input));
    let mut reader: Box<dyn Read> = if input == "-" {
        Box::new(io::stdin().lock())
    } else {
        Box::new(File::open(input).map_err(|error| wrong(&error))?)
    };
    let mut bytes = Vec::new();
    reader.by_ref().take(most + 1).read_to_end(&mut bytes).map_err(|error| wrong(&error))?;
    if bytes.len() as u64 > most {
        return Err(wrong(&format_args!("more than {most} bytes, which is more than is read")));
    }
    Ok(bytes)
}

fn json_lines(value: &Value) -> String {
    format!("{value:#}\n")
}

fn check_plan(given: &Given) -> Result<Done, String> {
    let plan = given.plan()?;
    let found: Vec<(PullId, Vec<Finding>)> =
        plan.pulls.keys().map(|&id| (id, check(&plan, id))).collect();
    let all = || found.iter().flat_map(|(_, findings)| findings);
    let count = |severity| all().filter(|finding| finding.severity == severity).count();
    let (stops, cautions, notes) =
        (count(Severity::Stop), count(Severity::Caution), count(Severity::Note));
    let pulls = found.iter().map(|(id, findings)| {
        let findings = findings.iter().map(|finding| finding_json(finding, &plan, *id));
        let name = plan.pulls.get(id).map(|pull| &pull.name);
        json!({ "id": id.0, "name": name, "findings": findings.collect::<Vec<_>>() })
    });
    let output = json!({
        "plan": plan.name,
        "stops": stops,
        "cautions": cautions,
        "notes": notes,
        "pulls": pulls.collect::<Vec<_>>(),
    });
    Ok(Done {
        output: json_lines(&output),
        message: format!("{}: {stops} stop, {cautions} caution, {notes} note\n", plan.name),
        status: if stops > 0 { STOP } else { 0 },
    })
}

fn finding_json(finding: &Finding, plan: &Plan, pull: PullId) -> Value {
    let subjects = finding.subjects.iter().map(|subject| match subject {
        Subject::Mold(id) => json!({ "mold": id.0 }),
        Subject::Placement(id) => json!({ "placement": id.0 }),
        Subject::Stock => json!("stock"),
    });
    let corner = |point: &Point| [point.x, point.y];
    let place = finding.place.as_ref().map(|place| match place {
        Place::Point(at) => json!({ "point_mm": corner(at) }),
        Place::Gap(from, to) => json!({ "gap_mm": [corner(from), corner(to)] }),
    });
    json!({
        "rule": finding.rule.name(),
        "severity": finding.severity.word(),
        "subjects": subjects.collect::<Vec<_>>(),
        "place": place,
        "measured": finding.measured.map(measure_json),
        "allowed": finding.allowed.map(measure_json),
        "title": finding.title(plan, pull),
        "reason": finding.reason(plan, pull),
        "next_step": finding.next_step(plan, pull),
    })
}

fn measure_json(measure: Measure) -> Value {
    match measure {
        Measure::Length(length) => json!({ "length_mm": length.to_mm() }),
        Measure::Angle(angle) => json!({ "angle_deg": angle.to_degrees() }),
        Measure::Ratio(ratio) => json!({ "ratio": ratio }),
        Measure::Count(count) => json!({ "count": count }),
    }
}

fn written(path: &Path, bytes: &[u8]) -> Result<String, String> {
    let name = path.display().to_string();
    fs::write(path, bytes).map_err(|error| format!("{name}: {error}"))?;
    Ok(name)
}

fn make_link(given: &Given) -> Result<Done, String> {
    let plan = given.plan()?;
    let (id, pull) = given.pull(&plan)?;
    let fragment = link(&plan, id).map_err(|error| error.to_string())?;
    let base = given.option("base").unwrap_or_default();
    let address = format!("{}#{fragment}", base.trim_end_matches('#'));
    let coarser = coarsened(&plan);
    let n_modules = qr(&address).map(|code| code.side());
    let output = json!({
        "plan": plan.name,
        "pull": id.0,
        "link": address,
        "characters": address.len(),
        "qr_modules": n_modules,
        "coarser_molds": coarser.iter().map(|id| id.0).collect::<Vec<_>>(),
    });
    let mut message = format!("{}: {} characters\n", pull.name, address.len());
    if !coarser.is_empty() {
        let n = coarser.len();
        message.push_str(&format!(
            "the link keeps the mesh heights of {n} molds on a coarser grid; the plan file keeps them whole\n"
        ));
    }
    Ok(Done { output: json_lines(&output), message, status: 0 })
}

fn open_link(given: &Given) -> Result<Done, String> {
    let input = given.input();
    let is_file = input == "-" || Path::new(input).is_file();
    let text = if is_file { text_of(input)? } else { input.to_owned() };
    let plan = unlink(&text).map_err(|error| error.to_string())?;
    Ok(Done { output: save(&plan), message: format!("{}\n", plan.name), status: 0 })
}

fn give_sample(_: &Given) -> Result<Done, String> {
    let plan = sample();
    Ok(Done { output: save(&plan), message: format!("{}\n", plan.name), status: 0 })
}

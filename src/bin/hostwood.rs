//! The command line. In go files, out come GeoJSON and reports; the work is done by the library.

mod basket;

use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use clap::{Parser, Subcommand};
use hostwood::assessment::Ground;
use hostwood::boundary::{BasketEntry, VisitInput, VisitorInput};
use hostwood::day::Day;
use hostwood::export;
use hostwood::knowledge::{Knowledge, RegionFile};
use hostwood::rules::{self, RuleBook};
use hostwood::standmap::{self, Crosswalk, Mistake, Reading, Severity, Unreadable};
use serde_json::{Value, json};

/// A crosswalk of examples/crosswalks by its folder.
macro_rules! known {
    ($folder:literal) => {
        (
            $folder,
            include_bytes!(concat!("../../examples/crosswalks/", $folder, "/crosswalk.json")),
        )
    };
}

/// Shades public stand maps by fungal fruiting potential and sets the region's rules beside them.
///
/// Exit code 0: fine, or warnings only. 1: something in a file is wrong. 2: wrong use of the command.
#[derive(Debug, Parser)]
#[command(version)]
struct Told {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Writes the stand map as GeoJSON with each stand's potential, verdict and reasons.
    Assess(Assess),
    /// Reads rule books and prints what is wrong or suspicious, where, and what to write instead.
    Rules(Rules),
    /// Reads a stand map and prints counts, findings, properties that nothing reads, and unknown species.
    Stands(Stands),
    /// Reads crosswalks without a map and prints what is wrong, where, and what to write instead.
    Crosswalk {
        /// Crosswalks.
        #[arg(required = true)]
        files: Vec<PathBuf>,
        /// JSON for machines.
        #[arg(long)]
        json: bool,
    },
}

#[derive(Debug, clap::Args)]
struct Rules {
    /// Rule books that stack: state, region, municipality.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// The region's own tables of kinds (CSV), whose names the rule books may use.
    #[arg(long, num_args = 1..)]
    kinds: Vec<PathBuf>,
    /// Today, such as 2026-09-12, to tell what has grown old; with a basket, the day it was taken.
    #[arg(long)]
    day: Option<String>,
    /// A JSON list with what was taken, to hold against the limits: each with `kind` and `mass` (kilograms), `volume`
    /// (litres), `pieces`, `cap`, `height`, `width` (centimetres), `earlier`, `cleaned`, `clump`.
    #[arg(long, requires = "day")]
    basket: Option<PathBuf>,
    /// With a basket: a zone of the books that the stand lies in; may be given several times.
    #[arg(long, requires = "basket")]
    zone: Vec<String>,
    /// With a basket: a JSON file with what the visitor tells of themselves.
    #[arg(long, requires = "basket")]
    visitor: Option<PathBuf>,
    /// JSON for machines.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, clap::Args)]
struct Stands {
    /// The stand map.
    stands: PathBuf,
    /// The crosswalk that describes it; none for the plain form.
    #[arg(long)]
    crosswalk: Option<PathBuf>,
    /// A dry run: shows for so many features, spread over the map, what each property became.
    #[arg(long, value_name = "N")]
    sample: Option<usize>,
    /// Proposes a crosswalk from the map's names and values, to be saved and mended; tells each guess beside it.
    #[arg(long, conflicts_with_all = ["crosswalk", "sample"])]
    propose: bool,
    /// JSON for machines.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, clap::Args)]
struct Assess {
    /// The stand map.
    stands: PathBuf,
    /// The crosswalk that describes it; none for the plain form.
    #[arg(long)]
    crosswalk: Option<PathBuf>,
    /// Rule books that stack: state, region, municipality.
    #[arg(long, num_args = 1..)]
    rules: Vec<PathBuf>,
    /// The region's own tables of kinds (CSV), added to the shipped ones.
    #[arg(long, num_args = 1..)]
    kinds: Vec<PathBuf>,
    /// The day of the visit, such as 2026-09-12.
    #[arg(long)]
    day: String,
    /// The time of the visit on the region's clock, such as 10:30.
    #[arg(long)]
    time: Option<String>,
    /// Minutes by which that clock runs before universal time, such as 120; rules that follow the sun need it.
    #[arg(long, allow_negative_numbers = true)]
    utc_offset: Option<i16>,
    /// A JSON file with what the visitor tells of themselves: resident, permit, owner, consent, commercial, age,
    /// escorted, party, family.
    #[arg(long)]
    visitor: Option<PathBuf>,
    /// The language of rule texts and everyday names (BCP 47); reasons are keys.
    #[arg(long, default_value = "en")]
    lang: String,
    /// Where to write; else to standard output.
    #[arg(long)]
    out: Option<PathBuf>,
    /// Findings as JSON, for machines.
    #[arg(long)]
    json: bool,
}

/// Why the command ends without its result.
enum Stop {
    /// Something in a file is wrong; it has been told.
    Wrong,
    /// The command was used wrongly.
    Usage(String),
}

fn main() -> ExitCode {
    let told = Told::parse();
    let end = match told.command {
        Command::Assess(asked) => assess(&asked),
        Command::Rules(asked) => check_rules(&asked),
        Command::Stands(asked) => check_stands(&asked),
        Command::Crosswalk { files, json } => check_crosswalks(&files, json),
    };
    match end {
        Ok(()) => ExitCode::SUCCESS,
        Err(Stop::Wrong) => ExitCode::from(1),
        Err(Stop::Usage(message)) => {
            eprintln!("hostwood: {message}");
            ExitCode::from(2)
        }
    }
}

/// A file's bytes; one that can't be read is a mistake in the input.
fn bytes(path: &Path, json: bool) -> Result<Vec<u8>, Stop> {
    fs::read(path).map_err(|error| {
        let message = format!("{}: the file could not be read: {error}", path.display());
        tell_refusal("unreadable-file", &message, json);
        Stop::Wrong
    })
}

fn tell_refusal(code: &str, message: &str, json: bool) {
    if json {
        eprintln!(
            "{}",
            json!({"errors": [{"code": code, "severity": "error", "message": message}]})
        );
    } else {
        eprintln!("{message}");
    }
}

/// Reads a crosswalk with the files that it names, which stand beside it. A file that is not there is left to the
/// crosswalk's own check, which says where it is named.
fn read_crosswalk(path: &Path, json: bool) -> Result<Result<Crosswalk, Vec<Mistake>>, Stop> {
    let text = bytes(path, json)?;
    let names = match Crosswalk::files(&text) {
        Ok(names) => names,
        Err(mistakes) => return Ok(Err(mistakes)),
    };
    let beside = path.parent().unwrap_or_else(|| Path::new(""));
    let files = names
        .into_iter()
        .filter_map(|name| fs::read(beside.join(&name)).ok().map(|bytes| (name, bytes)));
    Ok(Crosswalk::read_with_files(&text, &files.collect()))
}

/// The mistakes of a crosswalk: printed, or gathered for machines.
fn tell_mistakes(path: &Path, mistakes: &[Mistake], json: bool) -> Vec<Value> {
    let mut told = Vec::new();
    for mistake in mistakes {
        let severity = match mistake.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        };
        if !json {
            eprintln!("{}: {severity}: {mistake}", path.display());
        }
        told.push(json!({"code": mistake.code, "severity": severity, "file": path.display().to_string(), "message": mistake.to_string(), "mistake": mistake}));
    }
    told
}

/// A crosswalk that can be used, its warnings told; or none.
fn crosswalk(path: Option<&Path>, json: bool) -> Result<(Option<Crosswalk>, Vec<Value>), Stop> {
    let Some(path) = path else {
        return Ok((None, Vec::new()));
    };
    match read_crosswalk(path, json)? {
        Ok(crosswalk) => {
            let told = tell_mistakes(path, &crosswalk.warnings, json);
            Ok((Some(crosswalk), told))
        }
        Err(mistakes) => {
            let told = tell_mistakes(path, &mistakes, json);
            if json {
                eprintln!("{}", json!({"errors": told}));
            }
            Err(Stop::Wrong)
        }
    }
}

fn check_crosswalks(files: &[PathBuf], json: bool) -> Result<(), Stop> {
    let mut told = Vec::new();
    let mut usable = 0;
    for path in files {
        match read_crosswalk(path, json)? {
            Ok(crosswalk) => {
                usable += 1;
                told.extend(tell_mistakes(path, &crosswalk.warnings, json));
                if !json {
                    println!("{}: can be used", path.display());
                }
            }
            Err(mistakes) => told.extend(tell_mistakes(path, &mistakes, json)),
        }
    }
    if json {
        println!(
            "{}",
            json!({"crosswalks": files.len(), "usable": usable, "mistakes": told})
        );
    }
    if usable == files.len() {
        Ok(())
    } else {
        Err(Stop::Wrong)
    }
}

fn refused(stands: &Path, error: &Unreadable, json: bool) -> Stop {
    tell_refusal(error.code, &format!("{}: {error}", stands.display()), json);
    Stop::Wrong
}

fn read_stands(stands: &Path, path: Option<&Path>, json: bool) -> Result<Reading, Stop> {
    let (crosswalk, _) = crosswalk(path, json)?;
    standmap::read(&bytes(stands, json)?, crosswalk.as_ref(), Knowledge::shipped())
        .map_err(|error| refused(stands, &error, json))
}

/// The shipped knowledge, with the region's own kinds where files are named.
fn read_kinds(files: &[PathBuf], json: bool) -> Result<Arc<Knowledge>, Stop> {
    if files.is_empty() {
        return Ok(Arc::clone(Knowledge::shipped()));
    }
    let mut read = Vec::new();
    for file in files {
        read.push(RegionFile {
            name: file.display().to_string(),
            bytes: bytes(file, json)?,
        });
    }
    match Knowledge::with_region(&read) {
        Ok((knowledge, counts)) => {
            for count in counts {
                if json {
                    eprintln!("{}", json!({"kinds": count}));
                } else {
                    eprintln!(
                        "{}: {} added, {} corrected ({})",
                        count.name, count.added, count.corrected, count.title
                    );
                }
            }
            Ok(Arc::new(knowledge))
        }
        Err(mistakes) => {
            if json {
                let told: Vec<Value> = mistakes
                    .iter()
                    .map(|mistake| json!({"code": "kinds-table", "severity": "error", "file": mistake.table, "line": mistake.line, "column": mistake.cell, "message": mistake.to_string()}))
                    .collect();
                eprintln!("{}", json!({"errors": told}));
            } else {
                for mistake in &mistakes {
                    eprintln!("{mistake}");
                }
            }
            Err(Stop::Wrong)
        }
    }
}

/// Reads rule books; tells every mistake and warning. `None` for a book that can't be used.
fn read_books(
    files: &[PathBuf],
    json: bool,
    read: impl Fn(&[u8]) -> rules::Checked,
) -> Result<(Vec<Option<RuleBook>>, Vec<Value>), Stop> {
    let mut books = Vec::new();
    let mut told = Vec::new();
    for file in files {
        let rules::Checked { book, mistakes } = read(&bytes(file, json)?);
        books.push(book);
        for mistake in mistakes {
            let severity = match mistake.severity {
                rules::Severity::Error => "error",
                rules::Severity::Warning => "warning",
            };
            if !json {
                eprintln!("{}: {severity}: {mistake}", file.display());
            }
            told.push(json!({"file": file.display().to_string(), "severity": severity, "message": mistake.to_string(), "mistake": mistake}));
        }
    }
    Ok((books, told))
}

/// Tells what is suspicious between the books that can be used.
fn tell_between(files: &[PathBuf], books: &[Option<RuleBook>], json: bool) -> Vec<Value> {
    let usable: Vec<(&PathBuf, &RuleBook)> = files
        .iter()
        .zip(books)
        .filter_map(|(file, book)| Some((file, book.as_ref()?)))
        .collect();
    let only: Vec<&RuleBook> = usable.iter().map(|(_, book)| *book).collect();
    rules::check_together(&only)
        .into_iter()
        .filter_map(|between| {
            let (file, _) = usable.get(between.book)?;
            if !json {
                eprintln!("{}: warning: {}", file.display(), between.message);
            }
            Some(json!({"file": file.display().to_string(), "severity": "warning", "message": between.message, "mistake": between}))
        })
        .collect()
}

fn check_rules(asked: &Rules) -> Result<(), Stop> {
    let json = asked.json;
    let day = match &asked.day {
        None => None,
        Some(day) => Some(Day::parse(day).map_err(|error| Stop::Usage(format!("day: {error}")))?),
    };
    let knowledge = read_kinds(&asked.kinds, json)?;
    let names = &knowledge.fungi;
    let (books, mut told) = read_books(&asked.files, json, |bytes| rules::check(bytes, names, day))?;
    told.extend(tell_between(&asked.files, &books, json));
    let errors = |told: &[Value]| told.iter().any(|mistake| mistake["severity"] == "error");
    let wrong = books.iter().any(Option::is_none) || errors(&told);
    for (file, book) in asked.files.iter().zip(&books) {
        let Some(book) = book else { continue };
        if !json {
            let count = |n: usize, one: &str, many: &str| format!("{n} {}", if n == 1 { one } else { many });
            println!(
                "{}: {}, {}, {}, {}; checked {}",
                file.display(),
                book.region.code,
                count(book.rules.len(), "rule", "rules"),
                count(book.zones.len(), "zone", "zones"),
                count(book.examples.len(), "example", "examples"),
                book.checked,
            );
        }
    }
    let usable = books.iter().flatten().count();
    let held = match &asked.basket {
        Some(path) if usable == books.len() => {
            let books: Vec<RuleBook> = books.into_iter().flatten().collect();
            Some(hold_basket(asked, path, &books, &knowledge)?)
        }
        _ => None,
    };
    if json {
        let mut report = json!({"books": asked.files.len(), "usable": usable, "mistakes": told});
        if let Some(held) = &held {
            report["basket"] = held.json();
        }
        println!("{report}");
    } else {
        held.iter()
            .flat_map(basket::Held::lines)
            .for_each(|line| println!("{line}"));
    }
    if wrong { Err(Stop::Wrong) } else { Ok(()) }
}

/// The crosswalks of published forms, whose lists of codes a proposal may draw on.
const KNOWN: [(&str, &[u8]); 12] = [
    known!("british-columbia"),
    known!("california"),
    known!("czechia"),
    known!("estonia"),
    known!("finland"),
    known!("france"),
    known!("great-britain"),
    known!("norway"),
    known!("ontario"),
    known!("poland"),
    known!("quebec"),
    known!("spain"),
];

/// This year, for ages of maps that tell no year of their own.
fn this_year() -> i32 {
    const SECONDS_A_YEAR: u64 = 31_556_952;
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i32::try_from(since.as_secs() / SECONDS_A_YEAR).unwrap_or_default() + 1970
}

/// Writes a proposed crosswalk to standard output, and its guesses beside it.
fn propose(stands: &Path, json: bool) -> Result<(), Stop> {
    let proposal = standmap::propose(&bytes(stands, json)?, Knowledge::shipped(), &KNOWN, this_year())
        .map_err(|error| refused(stands, &error, json))?;
    if json {
        println!("{}", json!(proposal));
        return Ok(());
    }
    for guess in &proposal.guesses {
        eprintln!("{guess}");
    }
    let text = serde_json::to_string_pretty(&proposal.crosswalk)
        .map_err(|error| Stop::Usage(format!("the proposal could not be written: {error}")))?;
    println!("{text}");
    Ok(())
}

/// A file of JSON; what is wrong in it is told with the file's name.
fn from_json<T: serde::de::DeserializeOwned>(path: &Path, code: &str, json: bool) -> Result<T, Stop> {
    serde_json::from_slice(&bytes(path, json)?).map_err(|error| {
        tell_refusal(code, &format!("{}: {error}", path.display()), json);
        Stop::Wrong
    })
}

fn hold_basket<'k>(
    asked: &Rules,
    path: &Path,
    books: &[RuleBook],
    knowledge: &'k Knowledge,
) -> Result<basket::Held<'k>, Stop> {
    let entries: Vec<BasketEntry> = from_json(path, "bad-basket", asked.json)?;
    let visit = VisitInput {
        day: asked.day.clone().unwrap_or_default(),
        time: None,
        utc_offset: None,
        visitor: match &asked.visitor {
            None => VisitorInput::default(),
            Some(path) => from_json(path, "bad-visitor", asked.json)?,
        },
    }
    .read()
    .map_err(|refusal| Stop::Usage(refusal.message))?;
    basket::hold(books, &asked.zone, &visit, &entries, knowledge).map_err(|message| {
        tell_refusal(
            "bad-basket",
            &format!("{}: {message}", path.display()),
            asked.json,
        );
        Stop::Wrong
    })
}

fn check_stands(asked: &Stands) -> Result<(), Stop> {
    let (stands, json) = (&asked.stands, asked.json);
    if asked.propose {
        return propose(stands, json);
    }
    let (crosswalk, mistakes) = crosswalk(asked.crosswalk.as_deref(), json)?;
    let map = bytes(stands, json)?;
    let (reading, sampled) = match asked.sample {
        None => standmap::read(&map, crosswalk.as_ref(), Knowledge::shipped())
            .map(|reading| (reading, Vec::new())),
        Some(count) => standmap::dry_run(&map, crosswalk.as_ref(), Knowledge::shipped(), count),
    }
    .map_err(|error| refused(stands, &error, json))?;
    if json {
        let mut told = json!({"report": reading.report, "findings": reading.findings, "profiles": reading.map.profiles.len(), "mistakes": mistakes});
        if asked.sample.is_some() {
            told["sample"] = json!(sampled);
        }
        println!("{told}");
    } else {
        for one in &sampled {
            println!("{one}\n");
        }
        let report = &reading.report;
        println!(
            "{}: {} features, {} stands, {} without a usable outline",
            stands.display(),
            report.features,
            report.stands,
            report.without_outline
        );
        for (reason, count) in &report.left_out {
            println!("left out: {count} ({reason})");
        }
        println!("distinct profiles: {}", reading.map.profiles.len());
        println!("what the stands tell:");
        let mut silent = Vec::new();
        for (what, told) in &report.told {
            if told.known + told.range + told.illegal + told.unmapped == 0 {
                silent.push(*what);
                continue;
            }
            println!(
                "  {what}: {} known, {} ranges, {} empty, {} make no sense, {} unmapped codes",
                told.known, told.range, told.empty, told.illegal, told.unmapped
            );
        }
        if !silent.is_empty() {
            println!("  nothing of {}", silent.join(", "));
        }
        for (property, count) in &report.unmapped {
            println!("nothing reads `{property}` ({count} features)");
        }
        for unknown in &report.unknown_trees {
            let hint = unknown
                .suggestion
                .as_ref()
                .map(|name| format!("; did you mean `{name}`?"))
                .unwrap_or_default();
            println!("unknown tree `{}` ({} times){hint}", unknown.text, unknown.count);
        }
        for finding in &reading.findings {
            println!("{finding}");
        }
    }
    match reading
        .findings
        .iter()
        .any(|finding| finding.severity == Severity::Error)
    {
        true => Err(Stop::Wrong),
        false => Ok(()),
    }
}

fn assess(asked: &Assess) -> Result<(), Stop> {
    let visitor = match &asked.visitor {
        None => VisitorInput::default(),
        Some(path) => from_json(path, "bad-visitor", asked.json)?,
    };
    let visit = VisitInput {
        day: asked.day.clone(),
        time: asked.time.clone(),
        utc_offset: asked.utc_offset,
        visitor,
    }
    .read()
    .map_err(|refusal| Stop::Usage(refusal.message))?;
    let reading = read_stands(&asked.stands, asked.crosswalk.as_deref(), asked.json)?;
    let knowledge = read_kinds(&asked.kinds, asked.json)?;
    let names = &knowledge.fungi;
    let (books, _) = read_books(&asked.rules, asked.json, |bytes| {
        match RuleBook::read(bytes, names) {
            Ok(read) => rules::Checked {
                book: Some(read.book),
                mistakes: read.warnings,
            },
            Err(mistakes) => rules::Checked { book: None, mistakes },
        }
    })?;
    let unread = books.iter().filter(|book| book.is_none()).count();
    let mut wrong = unread > 0;
    for finding in &reading.findings {
        wrong |= finding.severity == Severity::Error;
        if asked.json {
            eprintln!("{}", json!({"finding": finding}));
        } else {
            eprintln!("{finding}");
        }
    }
    let mut ground = Ground::new(reading.map, &knowledge);
    for place in ground.set_books(books.into_iter().flatten().collect(), unread) {
        if asked.json {
            let told = json!({"code": "not-compared", "severity": "warning", "message": place.to_string()});
            eprintln!("{}", json!({"finding": told}));
        } else {
            eprintln!("warning: {place}");
        }
    }
    let assessment = ground.assess(&visit);
    let text = export::assessed(&ground, &assessment, &[&asked.lang]).to_string();
    let written = match &asked.out {
        Some(path) => fs::write(path, &text),
        None => io::stdout().write_all(text.as_bytes()),
    };
    written.map_err(|error| Stop::Usage(format!("the result could not be written: {error}")))?;
    if wrong { Err(Stop::Wrong) } else { Ok(()) }
}

//! Everything that is checked before a change lands, one step after another.
//!
//! In: the work tree. Out: each step's own output, a summary, and on the last line how many checks passed and failed.
//! A step that fails does not keep the others from running. What is checked is left to the steps' own programs.

use crate::browser::{Browser, firefox, wasm_test_runner};
use crate::element;
use crate::engine;
use crate::notices::{self, Of};
use crate::pack;
use crate::places::Places;
use crate::programs::{line_of, program, run_reading};
use crate::serve;
use crate::setup::{self, WASM_TARGET};
use crate::tally::Tally;
use crate::weight;
use anyhow::Context;
use clap::ValueEnum;
use std::env;
use std::fs;
use std::path::Path;
use std::process::{Command, ExitCode};
use std::time::{Duration, Instant};

/// How the native run of the Wasm tests introduces what the engine answered.
const NATIVE_ANSWERS: &str = "native answers: ";

/// The parts that can be run alone.
#[derive(Clone, Copy, Debug, PartialEq, ValueEnum)]
pub(crate) enum Part {
    /// Formatting, lints and types of Rust, TypeScript and styles.
    Lint,
    /// Rust tests on this machine, and tests of JavaScript modules under Node.js.
    Native,
    /// Rust tests compiled to WebAssembly, in a browser.
    Wasm,
    /// The built demo in a browser, from the visitor's side.
    E2e,
}

/// One line of the summary.
struct Step {
    name: String,
    tally: Tally,
    took: Duration,
}

/// The steps so far.
struct Checks<'a> {
    places: &'a Places,
    steps: Vec<Step>,
}

/// Runs all parts, or one; of the end-to-end tests those files whose names hold `visit`.
pub(crate) fn all(places: &Places, only: Option<Part>, visit: Option<&str>) -> anyhow::Result<ExitCode> {
    let wanted = |part| only.is_none_or(|only| only == part);
    setup::for_building(places)?;
    if wanted(Part::Lint) {
        setup::for_linting(places)?;
    }
    let browser = if wanted(Part::Wasm) || wanted(Part::E2e) {
        Some(Browser::find(places)?)
    } else {
        None
    };
    let runner = if wanted(Part::Wasm) {
        Some(wasm_test_runner(places)?)
    } else {
        None
    };

    let mut checks = Checks {
        places,
        steps: Vec::new(),
    };
    if wanted(Part::Lint) {
        checks.lint();
    }
    if wanted(Part::Native) {
        checks.native()?;
    }
    if let (Some(browser), Some(runner)) = (&browser, &runner) {
        checks.wasm(browser, runner)?;
    }
    if let (Some(browser), true) = (&browser, wanted(Part::E2e)) {
        checks.end_to_end(browser, visit)?;
    }
    Ok(checks.summary())
}

impl Checks<'_> {
    fn lint(&mut self) {
        let Places { root, www, .. } = self.places;
        let npm = |name: &str, folder: &Path| program(self.places.npm_program(name), folder);
        let mut documents = program("cargo", root);
        documents
            .args(["doc", "--quiet", "--no-deps", "--package", "hostwood"])
            .env("RUSTDOCFLAGS", "-D warnings");
        let mut steps: Vec<(&str, Command)> = vec![
            ("Rust format", program("cargo", root)),
            ("Rust lints", program("cargo", root)),
            ("Rust lints for the browser", program("cargo", root)),
            ("Rust documents", documents),
            ("types", npm("tsc", www)),
            ("JavaScript and style lints", npm("eslint", root)),
            ("JavaScript and style format", npm("prettier", root)),
        ];
        let clippy = ["clippy", "--quiet"];
        let deny = ["--", "-D", "warnings"];
        steps[0].1.args(["fmt", "--all", "--check"]);
        steps[1]
            .1
            .args(clippy)
            .args(["--workspace", "--exclude", "hostwood-fuzz"])
            .args(["--all-targets", "--all-features"])
            .args(deny);
        steps[2]
            .1
            .args(clippy)
            .args([
                "--package",
                "hostwood",
                "--lib",
                "--test",
                "wasm",
                "--target",
                WASM_TARGET,
            ])
            .args(deny);
        steps[4].1.args(["--project", "tsconfig.json"]);
        steps[5].1.args([
            "--config",
            "www/eslint.config.mjs",
            "--max-warnings",
            "0",
            "www",
            "tests/e2e",
        ]);
        steps[6].1.args([
            "--config",
            "www/.prettierrc.json",
            "--ignore-path",
            "www/.prettierignore",
            "--ignore-path",
            "tests/e2e/.prettierignore",
        ]);
        steps[6]
            .1
            .args(["--log-level", "warn", "--check", "www", "tests/e2e"]);
        for (name, mut command) in steps {
            self.step(name, &mut command, |command| {
                Ok(Tally::one(run_reading(command, |_| {})?.success()))
            });
        }
    }

    fn native(&mut self) -> anyhow::Result<()> {
        let Places {
            root, www, between, ..
        } = self.places;
        let mut command = program("cargo", root);
        command.args([
            "test",
            "--quiet",
            "--workspace",
            // It needs a compiler for C++, which no other check does; its targets run over their corpus in a test.
            "--exclude",
            "hostwood-fuzz",
            "--all-features",
            "--no-fail-fast",
        ]);
        always_the_same_cases(&mut command);
        self.step("Rust tests", &mut command, rust_tests);
        let mut command = program("cargo", root);
        command.args([
            "test",
            "--quiet",
            "--package",
            "hostwood",
            "--all-features",
            "--lib",
            "--test",
            "reading_memory",
        ]);
        command.args(["--", "--ignored"]);
        always_the_same_cases(&mut command);
        self.step("Rust tests that take a minute", &mut command, rust_tests);
        let mut command = program("node", www);
        command
            .args(["build/tests.mjs", "--out"])
            .arg(between.join("module-tests"));
        self.node("JavaScript module tests", &mut command)
    }

    /// The same tests natively and in the browser; the browser is handed what was answered natively.
    fn wasm(&mut self, browser: &Browser, runner: &Path) -> anyhow::Result<()> {
        browser.describe(self.places)?;
        let test = ["test", "--package", "hostwood", "--test", "wasm"];
        let mut answers = None;
        let mut command = program("cargo", &self.places.root);
        command.args(test).args(["--quiet", "--", "--nocapture"]);
        self.step("the same tests natively", &mut command, |command| {
            let mut tally = Tally::default();
            let status = run_reading(command, |line| {
                tally.read_line(line);
                if let Some((_, told)) = line.split_once(NATIVE_ANSWERS) {
                    answers = Some(told.trim().to_owned());
                }
            })?;
            Ok(tally.ended(status.success()))
        });
        let mut command = program("cargo", &self.places.root);
        command
            .args(test)
            .args(["--target", WASM_TARGET])
            .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", runner)
            .env("CHROMEDRIVER", &browser.driver)
            .env("WASM_BINDGEN_TEST_TIMEOUT", "120")
            .env("HOSTWOOD_NATIVE_ANSWERS", answers.unwrap_or_default());
        self.step("Wasm tests in the browser", &mut command, rust_tests);
        Ok(())
    }

    fn end_to_end(&mut self, browser: &Browser, visit: Option<&str>) -> anyhow::Result<()> {
        let began = Instant::now();
        let built = engine::build(self.places).and_then(|()| element::build(self.places));
        if let Err(trouble) = &built {
            println!("error: {trouble:#}");
        }
        self.record("build", Tally::one(built.is_ok()), began);
        if built.is_err() {
            return Ok(());
        }
        let began = Instant::now();
        let shippable = notices::of_everything(self.places, Of::Site);
        let packed = shippable.and_then(|_| pack::the_same_twice(self.places));
        if let Err(trouble) = &packed {
            println!("error: {trouble:#}");
        }
        self.record(
            "package and third-party licences",
            Tally::one(packed.is_ok()),
            began,
        );
        let Ok(packed) = packed else { return Ok(()) };
        if !self.places.quick {
            let began = Instant::now();
            let light = weight::keep_to_budget(self.places);
            if let Err(trouble) = &light {
                println!("error: {trouble:#}");
            }
            self.record("what a visitor downloads", Tally::one(light.is_ok()), began);
        }
        let fixtures = self.places.root.join("tests/e2e/fixtures");
        let adapters = self.places.adapter_examples();
        setup::npm_packages(&adapters)?;
        // What a page's author would lay beside the packed folder is written there by a test.
        let scratch = self.places.target.join("scratch");
        fs::create_dir_all(&scratch).with_context(|| format!("could not make {}", scratch.display()))?;
        let address = serve::in_background(
            &self.places.dist,
            &[
                ("/fixtures", &fixtures, serve::Policy::Strict),
                ("/adapters", &adapters, serve::Policy::None),
                ("/scratch", &scratch, serve::Policy::Strict),
            ],
        )?;
        let mut command = program("node", &self.places.root);
        command
            .args(["www/build/tests.mjs", "--e2e", "tests/e2e"])
            .env("HOSTWOOD_SITE", address)
            .env("HOSTWOOD_PACKED", &packed)
            .env("HOSTWOOD_SCRATCH", &scratch)
            .env("HOSTWOOD_BROWSER", &browser.program)
            .env("HOSTWOOD_FIREFOX", firefox(self.places).unwrap_or_default())
            .env("HOSTWOOD_SCREENSHOTS", self.places.target.join("screenshots"));
        match visit {
            Some(visit) => command.args(["--named", visit]),
            None => command.env("HOSTWOOD_SECOND_TRY", "yes"),
        };
        self.node("end-to-end tests", &mut command)
    }

    /// Runs a Node.js test program, which also writes a report that can be counted.
    fn node(&mut self, name: &str, command: &mut Command) -> anyhow::Result<()> {
        let report = self.places.between.join("report.tap");
        fs::create_dir_all(&self.places.between)
            .with_context(|| format!("could not make {}", self.places.between.display()))?;
        fs::write(&report, "").with_context(|| format!("could not write {}", report.display()))?;
        command.arg("--report").arg(&report);
        self.step(name, command, |command| {
            let status = run_reading(command, |_| {})?;
            let mut tally = Tally::default();
            fs::read_to_string(&report)?
                .lines()
                .for_each(|line| tally.read_line(line));
            Ok(tally.ended(status.success()))
        });
        Ok(())
    }

    fn step(
        &mut self,
        name: &str,
        command: &mut Command,
        work: impl FnOnce(&mut Command) -> anyhow::Result<Tally>,
    ) {
        println!("\n--- {name}: {}", line_of(command));
        let began = Instant::now();
        let tally = work(command).unwrap_or_else(|trouble| {
            println!("error: {trouble:#}");
            Tally::one(false)
        });
        self.record(name, tally, began);
    }

    fn record(&mut self, name: &str, tally: Tally, began: Instant) {
        self.steps.push(Step {
            name: name.to_owned(),
            tally,
            took: began.elapsed(),
        });
    }

    fn summary(&self) -> ExitCode {
        println!();
        let mut sum = Tally::default();
        for Step { name, tally, took } in &self.steps {
            let mark = if tally.failed == 0 { "ok  " } else { "FAIL" };
            println!(
                "{mark} {name}: {} passed, {} failed, {:.0} s",
                tally.passed,
                tally.failed,
                took.as_secs_f64()
            );
            sum += *tally;
        }
        println!("\n{sum}");
        if sum.failed == 0 && sum.passed > 0 {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        }
    }
}

/// Property tests try the same cases in every run, so that a run tells of the change and not of luck; whoever sets a
/// seed of their own, or asks for more cases, searches farther.
fn always_the_same_cases(command: &mut Command) {
    if env::var_os("PROPTEST_RNG_SEED").is_none() {
        command.env("PROPTEST_RNG_SEED", "1123581321");
    }
}

fn rust_tests(command: &mut Command) -> anyhow::Result<Tally> {
    let mut tally = Tally::default();
    let status = run_reading(command, |line| tally.read_line(line))?;
    Ok(tally.ended(status.success()))
}

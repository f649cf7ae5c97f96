//! The browser that tests run in, its driver, and the program that runs Wasm tests inside it.
//!
//! In: the machine as it is. Out: [`Browser`], with what was missing installed where that can be done without asking,
//! or an error with the one command to run; and Firefox, where it is or can be had.

use crate::places::Places;
use crate::programs::{output, program, run};
use anyhow::{Context, bail};
use serde_json::json;
use std::env;
use std::fs;
use std::path::PathBuf;

/// The release of the bindings; the runner must be of the very same one.
const BINDINGS: &str = "0.2.130";

/// Names under which systems install the browser.
const NAMES: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];

/// Names under which systems install Firefox.
const FIREFOX_NAMES: [&str; 2] = ["firefox-esr", "firefox"];

/// The release of Firefox that the visits were first made in; that of 140 lacks commands that the test library gives.
const FIREFOX_SINCE: u32 = 153;

/// For a fresh browser without a screen that talks to no one; the sandbox cannot be had as root.
const ARGUMENTS: [&str; 9] = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
];

/// Where the browser and its driver lie.
pub(crate) struct Browser {
    pub(crate) program: PathBuf,
    pub(crate) driver: PathBuf,
}

impl Browser {
    /// Looks for both, and installs them first where this is Debian and we are root.
    pub(crate) fn find(places: &Places) -> anyhow::Result<Self> {
        if let Some(found) = Self::on_path() {
            return Ok(found);
        }
        if !can_install(places) {
            bail!(
                "Chromium or its driver is missing; on Debian or Ubuntu run \
                 `sudo apt-get install chromium chromium-driver`, elsewhere install Chromium and a chromedriver of \
                 the same version so that both are on the PATH"
            );
        }
        println!("installing Chromium and its driver");
        install(places, &["chromium", "chromium-driver"])?;
        Self::on_path().context("Chromium was installed, but is not on the PATH")
    }

    fn on_path() -> Option<Self> {
        let program = NAMES.iter().find_map(|name| on_path(name))?;
        Some(Self {
            program,
            driver: on_path("chromedriver")?,
        })
    }

    /// Writes how the driver is to start the browser, where the runner of Wasm tests looks for it.
    pub(crate) fn describe(&self, places: &Places) -> anyhow::Result<()> {
        let arguments: Vec<&str> = ARGUMENTS
            .into_iter()
            .filter(|argument| *argument != "--no-sandbox" || is_root(places))
            .collect();
        let description = json!({ "goog:chromeOptions": { "binary": self.program, "args": arguments } });
        let path = places.root.join("webdriver.json");
        fs::write(&path, format!("{description:#}\n"))
            .with_context(|| format!("could not write {}", path.display()))
    }
}

/// The program that runs Wasm tests; built on first use, which takes a minute or two.
pub(crate) fn wasm_test_runner(places: &Places) -> anyhow::Result<PathBuf> {
    let tools = places.target.join("tools");
    let runner = tools
        .join("bin")
        .join(format!("wasm-bindgen-test-runner{}", env::consts::EXE_SUFFIX));
    let version = output(program(&runner, &places.root).arg("--version")).unwrap_or_default();
    if !version.split_whitespace().any(|word| word == BINDINGS) {
        println!("building the runner of Wasm tests, once");
        run(program("cargo", &places.root)
            .args([
                "install",
                "--quiet",
                "--force",
                "wasm-bindgen-cli",
                "--version",
                BINDINGS,
            ])
            .args(["--bin", "wasm-bindgen-test-runner", "--root"])
            .arg(&tools)
            .env("CARGO_TARGET_DIR", tools.join("build")))?;
        fs::remove_dir_all(tools.join("build")).context("could not clear away the runner's build files")?;
    }
    Ok(runner)
}

/// Firefox, in which a few visits are made a second time. Without it, or with one that is too old to be driven, those
/// are left out, and said to be.
pub(crate) fn firefox(places: &Places) -> Option<PathBuf> {
    let there = || FIREFOX_NAMES.iter().find_map(|name| on_path(name));
    let fit = |path: &PathBuf| {
        output(program(path, &places.root).arg("--version"))
            .is_ok_and(|said| major(&said).is_some_and(|major| major >= FIREFOX_SINCE))
    };
    if let Some(found) = there().filter(fit) {
        return Some(found);
    }
    if can_install(places) {
        println!("installing Firefox");
        if let Err(trouble) = install(places, &["firefox-esr"]) {
            println!("warning: Firefox could not be installed: {trouble:#}");
        }
    }
    let found = there().filter(fit);
    if found.is_none() {
        println!(
            "warning: the visits in Firefox are left out, since there is no Firefox {FIREFOX_SINCE} or newer; on Debian \
             run `sudo apt-get install firefox-esr`, elsewhere install Firefox so that it is on the PATH"
        );
    }
    found
}

/// The first number of a version as a browser tells it: "Mozilla Firefox 153.8.0esr" is 153.
fn major(said: &str) -> Option<u32> {
    let version = said
        .split_whitespace()
        .find(|word| word.starts_with(|first: char| first.is_ascii_digit()))?;
    version.split('.').next()?.parse().ok()
}

/// Whether this is Debian, or like it, and we are root.
fn can_install(places: &Places) -> bool {
    is_root(places) && on_path("apt-get").is_some()
}

fn install(places: &Places, packages: &[&str]) -> anyhow::Result<()> {
    let apt = || {
        let mut apt = program("apt-get", &places.root);
        apt.env("DEBIAN_FRONTEND", "noninteractive").arg("--quiet");
        apt
    };
    run(apt().arg("update"))?;
    run(apt()
        .args(["install", "--yes", "--no-install-recommends"])
        .args(packages))
}

fn is_root(places: &Places) -> bool {
    output(program("id", &places.root).arg("-u")).is_ok_and(|id| id == "0")
}

fn on_path(name: &str) -> Option<PathBuf> {
    let file = format!("{name}{}", env::consts::EXE_SUFFIX);
    env::split_paths(&env::var_os("PATH")?)
        .map(|folder| folder.join(&file))
        .find(|path| path.is_file())
}

#[cfg(test)]
mod tests {
    use super::{BINDINGS, major};

    /// The runner refuses modules made by another release, so the two must move together.
    #[test]
    fn the_runner_is_of_the_release_that_the_lock_file_pins() {
        let lock = include_str!("../../Cargo.lock");
        assert!(
            lock.contains(&format!("name = \"wasm-bindgen\"\nversion = \"{BINDINGS}\"\n")),
            "Cargo.lock has another wasm-bindgen than {BINDINGS}; change BINDINGS with it"
        );
    }
    #[test]
    fn a_version_is_read_from_what_a_browser_says() {
        assert_eq!(major("Mozilla Firefox 153.8.0esr\n"), Some(153));
        assert_eq!(major("Mozilla Firefox 140.0"), Some(140));
        assert_eq!(major("Mozilla Firefox"), None);
    }
}

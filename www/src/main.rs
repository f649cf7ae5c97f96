//! The build tool of the element: builds, serves, measures, packs and tests it (`cargo www ...`).
//!
//! In: the work tree. Out: `www/dist`, a local server, a table of sizes, a versioned folder, or a count of what passed
//! and failed.
//! The work itself lies in the modules; this file only reads the command line.

mod bench;
mod browser;
mod check;
mod element;
mod engine;
mod fuzz;
mod licences;
mod materials;
mod notices;
mod pack;
mod places;
mod programs;
mod serve;
mod setup;
mod sizes;
mod tally;
mod weight;

use clap::{Parser, Subcommand};
use places::Places;
use std::process::ExitCode;

/// Builds, serves and tests the Hostwood element.
#[derive(Parser)]
#[command(name = "cargo www", version, about)]
struct CommandLine {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Build the engine, the demo region and the element into www/dist.
    Build {
        /// Leave out the slow optimisation of the engine: for trying things, not for publishing.
        #[arg(long)]
        quick: bool,
    },
    /// Build, then serve www/dist on this machine under the strict content policy.
    Serve {
        /// The port to listen on; 0 takes any free one.
        #[arg(long, default_value_t = 8040)]
        port: u16,
        /// Serve what was built last, and build nothing.
        #[arg(long)]
        no_build: bool,
        /// Leave out the slow optimisation of the engine.
        #[arg(long, conflicts_with = "no_build")]
        quick: bool,
        /// Serve the pages that lay the shading into other map libraries, too; installs these libraries first.
        #[arg(long)]
        adapters: bool,
    },
    /// Build, then pack the element into one folder under its version, with digests, third-party notices and a bill of
    /// materials, and as an npm package.
    Bundle {
        /// Leave out the slow optimisation of the engine: for trying the package, not for publishing.
        #[arg(long)]
        quick: bool,
    },
    /// Build, then print the size of each file as it is and as it travels, what a visitor downloads before the first map,
    /// and what fills the engine, crate by crate.
    Sizes,
    /// Build, then measure the element beside other map libraries; the tables land in target/bench.
    Bench(bench::Bench),
    /// Look for inputs that break a promise of the readers, for so many minutes a target.
    Fuzz {
        /// Minutes for each target.
        #[arg(long, default_value_t = 30.0)]
        minutes: f64,
        /// Run this target alone; they are the folders of tests/fuzz/corpus.
        #[arg(long)]
        target: Option<String>,
    },
    /// Check and test everything, or one part; the last line says how many passed and failed.
    Test {
        /// Run this part alone.
        #[arg(long, value_enum)]
        only: Option<check::Part>,
        /// Of the end-to-end tests, run the files whose names hold this.
        #[arg(long, requires = "only")]
        visit: Option<String>,
        /// Leave out the slow optimisation of the engine.
        #[arg(long, requires = "only")]
        quick: bool,
    },
}

fn main() -> ExitCode {
    match run(CommandLine::parse().command) {
        Ok(code) => code,
        Err(trouble) => {
            eprintln!("error: {trouble:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(command: Command) -> anyhow::Result<ExitCode> {
    let mut places = Places::find()?;
    places.quick = matches!(
        command,
        Command::Build { quick: true }
            | Command::Bundle { quick: true }
            | Command::Serve { quick: true, .. }
            | Command::Test { quick: true, .. }
    );
    match command {
        Command::Build { .. } => build(&places)?,
        Command::Serve {
            port,
            no_build,
            adapters,
            ..
        } => {
            if !no_build {
                build(&places)?;
            }
            let examples = places.adapter_examples();
            let mut others = Vec::new();
            if adapters {
                setup::npm_packages(&examples)?;
                others.push(("/adapters", examples.as_path(), serve::Policy::None));
            }
            serve::until_stopped(&places, port, &others)?;
        }
        Command::Bundle { .. } => {
            build(&places)?;
            pack::into_folder(&places)?;
        }
        Command::Sizes => {
            build(&places)?;
            sizes::print(&places.dist)?;
            weight::print(&places)?;
        }
        Command::Bench(bench) => {
            build(&places)?;
            bench::all(&places, &bench)?;
        }
        Command::Fuzz { minutes, target } => fuzz::all(&places, minutes, target.as_deref())?,
        Command::Test { only, visit, .. } => return check::all(&places, only, visit.as_deref()),
    }
    Ok(ExitCode::SUCCESS)
}

/// The whole way from sources to `www/dist`; set-up first, so that nothing changes under a running build.
fn build(places: &Places) -> anyhow::Result<()> {
    setup::for_building(places)?;
    engine::build(places)?;
    element::build(places)
}

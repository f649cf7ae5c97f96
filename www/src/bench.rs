//! Measuring the built element beside general-purpose map libraries (`cargo www bench`).
//!
//! In: the built site, the sizes and pages asked for. Out: the bench's forest and packages in place, then the tables
//! that `tests/bench/page/run.mjs` writes into `target/bench`. What is measured and how is left to that script.

use crate::browser::Browser;
use crate::places::Places;
use crate::programs::{program, run};
use crate::serve;
use crate::setup;
use crate::weight;
use anyhow::Context;
use std::fs;

/// Stands of the larger map have fewer corners, so that its file still fits into a JavaScript string.
const DENSE: (&str, &str, usize) = ("11.2", "7.2", 200_000);

/// What is to be measured.
#[derive(clap::Args)]
pub(crate) struct Bench {
    /// Numbers of stands, parted by commas.
    #[arg(long, value_delimiter = ',', default_value = "1000,10000,100000")]
    pub(crate) sizes: Vec<usize>,
    /// Runs of each page at each size.
    #[arg(long, default_value_t = 5)]
    pub(crate) runs: usize,
    /// Pages by name, parted by commas; all of them if absent.
    #[arg(long)]
    pub(crate) pages: Option<String>,
    /// Measure the demo as on a weak phone, too.
    #[arg(long)]
    pub(crate) phone: bool,
    /// Keep what was measured before of other sizes and pages.
    #[arg(long)]
    pub(crate) keep: bool,
    /// Make the page of the site that tells the measurements anew.
    #[arg(long)]
    pub(crate) publish: bool,
}

/// Grows what is missing of the forest, installs the libraries, measures.
pub(crate) fn all(places: &Places, bench: &Bench) -> anyhow::Result<()> {
    let browser = Browser::find(places)?;
    let sources = places.root.join("tests/bench/page");
    setup::npm_packages(&sources)?;
    let folder = places.target.join("bench");
    let maps = folder.join("maps");
    fs::create_dir_all(&maps).with_context(|| format!("could not make {}", maps.display()))?;
    for size in &bench.sizes {
        if maps.join(format!("stands-{size}.truth.json")).exists() {
            continue;
        }
        println!("growing a forest of {size} stands");
        let steps = if *size > DENSE.2 { DENSE.1 } else { DENSE.0 };
        run(program("cargo", &places.root)
            .args(["run", "--quiet", "--example", "forest", "--"])
            .args([&size.to_string(), steps])
            .arg(&maps))?;
    }
    let address = serve::in_background(&places.dist, &[("/bench", &folder, serve::Policy::None)])?;
    let sizes: Vec<String> = bench.sizes.iter().map(ToString::to_string).collect();
    let mut command = program("node", &places.root);
    command
        .arg("tests/bench/page/run.mjs")
        .args(["--sizes", &sizes.join(","), "--runs", &bench.runs.to_string()])
        .env("HOSTWOOD_SITE", address)
        .env("HOSTWOOD_BROWSER", &browser.program)
        .env("HOSTWOOD_BENCH", &folder);
    if let Some(pages) = &bench.pages {
        command.args(["--pages", pages]);
    }
    for (wanted, option) in [(bench.phone, "--phone"), (bench.keep, "--keep")] {
        if wanted {
            command.arg(option);
        }
    }
    run(&mut command)?;
    if bench.publish {
        // Where the time goes, by an engine that still has the names of its functions; and how cost grows.
        run(program("node", &places.root)
            .arg("tests/bench/page/profile.mjs")
            .env("HOSTWOOD_BENCH", &folder)
            .env("HOSTWOOD_ENGINE", places.engine().join("bound")))?;
        run(program("cargo", &places.root)
            .args([
                "run",
                "--quiet",
                "--profile",
                "bench",
                "--example",
                "growth",
                "--",
            ])
            .arg(folder.join("growth.json")))?;
        run(program("node", &places.root)
            .args(["tests/bench/page/report.mjs", "--out", "www/site/speed.html"])
            .args(["--weight", &weight::in_all(places)?.to_string()])
            .env("HOSTWOOD_BENCH", &folder))?;
    }
    Ok(())
}

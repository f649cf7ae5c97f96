//! Looking for inputs that break a promise of the readers (`cargo www fuzz`).
//!
//! In: minutes for each target and, if wanted, one target. Out: inputs that broke something in `target/fuzz/broken`, and
//! inputs that led through new code in `target/fuzz/corpus`; those worth keeping go to `tests/fuzz/corpus` by hand. What
//! the targets are and promise stands in `tests/fuzz/targets.rs`.

use crate::places::Places;
use crate::programs::{output, program, run};
use anyhow::{Context, bail};
use std::fs;

/// Has the compiler count which ways through the code an input takes, as libFuzzer reads it.
const COUNTED: [&str; 6] = [
    "-Cpasses=sancov-module",
    "-Cllvm-args=-sanitizer-coverage-level=4",
    "-Cllvm-args=-sanitizer-coverage-inline-8bit-counters",
    "-Cllvm-args=-sanitizer-coverage-pc-table",
    "-Cllvm-args=-sanitizer-coverage-trace-compares",
    "-Cllvm-args=-simplifycfg-branch-fold-threshold=0",
];
/// An input may take so many seconds, hold so many megabytes, and have so many bytes.
const LIMITS: [&str; 3] = ["-timeout=20", "-rss_limit_mb=2048", "-max_len=16384"];

/// Builds the targets and runs each for so many minutes; one input that broke something ends its target.
pub(crate) fn all(places: &Places, minutes: f64, only: Option<&str>) -> anyhow::Result<()> {
    let folder = places.target.join("fuzz");
    let machine = output(program("rustc", &places.root).arg("-vV"))?;
    let machine = machine
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .context("rustc does not tell for which machine it builds")?;
    // Named, so that nothing that runs while building is counted.
    run(program("cargo", &places.root)
        .args([
            "build",
            "--package",
            "hostwood-fuzz",
            "--profile",
            "fuzz",
            "--target",
            machine,
        ])
        .arg("--target-dir")
        .arg(&folder)
        .env("CARGO_ENCODED_RUSTFLAGS", COUNTED.join("\u{1f}")))?;
    let fuzzer = folder.join(machine).join("fuzz/hostwood-fuzz");
    let kept = places.root.join("tests/fuzz/corpus");
    let mut names: Vec<String> = Vec::new();
    for entry in fs::read_dir(&kept).with_context(|| format!("{} cannot be read", kept.display()))? {
        names.push(entry?.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    if let Some(only) = only {
        if !names.iter().any(|name| name == only) {
            bail!(
                "there is no target `{only}`, expected one of {}",
                names.join(", ")
            );
        }
        names.retain(|name| name == only);
    }
    let broken = folder.join("broken");
    fs::create_dir_all(&broken)?;
    let mut ended = Vec::new();
    for name in &names {
        println!("{name}: {minutes} minutes");
        let found = folder.join("corpus").join(name);
        fs::create_dir_all(&found)?;
        let done = run(program(&fuzzer, &places.root)
            .env("HOSTWOOD_FUZZ", name)
            .arg(format!("-max_total_time={}", (minutes * 60.0).ceil()))
            .arg(format!("-artifact_prefix={}/{name}-", broken.display()))
            .args(LIMITS)
            .arg("-print_final_stats=1")
            .arg(&found)
            .arg(kept.join(name))
            .args(seeds(name).iter().map(|folder| places.root.join(folder))));
        if let Err(trouble) = done {
            println!("{name}: {trouble:#}");
            ended.push(name.as_str());
        }
    }
    if ended.is_empty() {
        println!("nothing was broken");
        Ok(())
    } else {
        bail!(
            "broken: {}; the inputs lie in {}",
            ended.join(", "),
            broken.display()
        )
    }
}

/// Files of the project that a target begins with, beside its corpus.
fn seeds(name: &str) -> &'static [&'static str] {
    match name {
        "stand-map" => &["tests/fixtures/odd_maps", "tests/fixtures/published"],
        "proposal" => &["tests/fixtures/published"],
        "rule-book" | "verdict" => &["examples/rules"],
        "weather" => &["examples/weather"],
        _ => &[],
    }
}

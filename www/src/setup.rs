//! Set-up: what must be on the machine before a build or a test can begin.
//!
//! In: the machine as it is. Out: the wasm target and the npm packages in place, or an error that says what to
//! install. These steps run before everything else and one after another: a toolchain that changes under a running
//! build breaks it.

use crate::places::Places;
use crate::programs::{output, program, run};
use anyhow::{Context, bail};
use std::fs;
use std::path::Path;
use std::process::Stdio;

/// The oldest Node.js the npm packages run on.
const OLDEST_NODE: (u32, u32) = (20, 19);

/// The Rust target of the engine.
pub(crate) const WASM_TARGET: &str = "wasm32-unknown-unknown";

/// Everything a build needs.
pub(crate) fn for_building(places: &Places) -> anyhow::Result<()> {
    wasm_target(places)?;
    node(places)?;
    npm_packages(&places.www)
}

/// Adds what `cargo fmt` and `cargo clippy` need, unless the toolchain has it.
pub(crate) fn for_linting(places: &Places) -> anyhow::Result<()> {
    for (component, subcommand) in [("rustfmt", "fmt"), ("clippy", "clippy")] {
        let there = output(
            program("cargo", &places.root)
                .args([subcommand, "--version"])
                .stderr(Stdio::null()),
        );
        if there.is_err() {
            println!("adding the Rust component {component}");
            run(program("rustup", &places.root).args(["component", "add", component]))?;
        }
    }
    Ok(())
}

/// Adds the wasm target unless the toolchain has it.
fn wasm_target(places: &Places) -> anyhow::Result<()> {
    let libraries =
        output(program("rustc", &places.root).args(["--print", "target-libdir", "--target", WASM_TARGET]))?;
    if fs::read_dir(&libraries).is_ok_and(|mut entries| entries.next().is_some()) {
        return Ok(());
    }
    println!("adding the Rust target {WASM_TARGET}");
    run(program("rustup", &places.root).args(["target", "add", WASM_TARGET])).with_context(|| {
        format!(
            "the Rust target {WASM_TARGET} is missing; with rustup, run `rustup target add {WASM_TARGET}`"
        )
    })
}

fn node(places: &Places) -> anyhow::Result<()> {
    let version = output(program("node", &places.root).arg("--version"))
        .context("Node.js is missing; install version 20.19 or newer")?;
    match node_version(&version) {
        Some(found) if found >= OLDEST_NODE => Ok(()),
        Some(_) => bail!("found Node.js {version}, expected 20.19 or newer; install a newer one"),
        None => bail!(
            "found Node.js `{version}`, expected a version such as v20.19.0; install Node.js 20.19 or newer"
        ),
    }
}

/// Major and minor number of `v20.19.0`.
fn node_version(told: &str) -> Option<(u32, u32)> {
    let mut numbers = told.strip_prefix('v')?.split('.');
    Some((numbers.next()?.parse().ok()?, numbers.next()?.parse().ok()?))
}

/// Installs exactly what the lock file names, unless that is what is there already.
pub(crate) fn npm_packages(folder: &Path) -> anyhow::Result<()> {
    let lock_path = folder.join("package-lock.json");
    let lock = fs::read(&lock_path).with_context(|| format!("could not read {}", lock_path.display()))?;
    let installed_from = folder.join("node_modules").join(".installed-from");
    if fs::read(&installed_from).is_ok_and(|earlier| earlier == lock) {
        return Ok(());
    }
    println!("installing the npm packages of {}", lock_path.display());
    run(program("npm", folder).args(["ci", "--ignore-scripts"]))?;
    fs::write(&installed_from, lock).with_context(|| format!("could not write {}", installed_from.display()))
}

#[cfg(test)]
mod tests {
    use super::{OLDEST_NODE, node_version};

    #[test]
    fn node_versions_are_told_apart() {
        let told = [
            ("v20.19.0", true),
            ("v24.1.2", true),
            ("v20.18.3", false),
            ("v8.0.0", false),
        ];
        for (version, new_enough) in told {
            assert_eq!(
                node_version(version).map(|found| found >= OLDEST_NODE),
                Some(new_enough),
                "{version}"
            );
        }
        for odd in ["", "20.19.0", "v20", "vx.y"] {
            assert_eq!(node_version(odd), None, "{odd}");
        }
    }
}

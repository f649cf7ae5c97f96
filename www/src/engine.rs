//! The engine: from Rust sources to a WebAssembly module with its JavaScript bindings.
//!
//! In: the crate `hostwood`. Out: `hostwood_engine.js`, `hostwood_engine_bg.wasm` and their type declarations, in
//! the engine folder of [`Places`]. Placing them beside the element is left to `element`.

use crate::places::Places;
use crate::programs::{program, run};
use crate::setup::WASM_TARGET;
use anyhow::Context;
use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use wasm_bindgen_cli_support::Bindgen;

/// The name all generated files begin with.
const NAME: &str = "hostwood_engine";

/// How far the compiler may copy functions into those that call them: a tenth of what it does unasked. Browsers first
/// run WebAssembly by code made in haste, and make fast code of each busy function beside it, one after the other: of a
/// small one within a frame, of a huge one in most of a second, while all others wait. Small maps are read and drawn
/// before that; large ones are as fast either way.
const INLINING: &str = "-Cllvm-args=-inline-threshold=25";

/// What rustc uses on this target without being asked, so that the optimiser may meet it and add nothing newer.
const FEATURES: [&str; 6] = [
    "--enable-bulk-memory",
    "--enable-multivalue",
    "--enable-mutable-globals",
    "--enable-nontrapping-float-to-int",
    "--enable-reference-types",
    "--enable-sign-ext",
];

/// Compiles, generates the bindings, optimises the module; a quick engine is compiled in a fraction of the time, is
/// several times slower, and stays as the compiler left it.
pub(crate) fn build(places: &Places) -> anyhow::Result<()> {
    println!("building the engine");
    let profile = if places.quick { "quick" } else { "release" };
    run(program("cargo", &places.root)
        .args([
            "build",
            "--quiet",
            "--profile",
            profile,
            "--target",
            WASM_TARGET,
            "--package",
            "hostwood",
            "--lib",
        ])
        .env("CARGO_ENCODED_RUSTFLAGS", flags(places)?))?;
    let compiled = places
        .target
        .join(WASM_TARGET)
        .join(profile)
        .join("hostwood.wasm");
    let folder = places.engine();
    fs::create_dir_all(&folder).with_context(|| format!("could not make {}", folder.display()))?;
    let earlier = folder.join("compiled.wasm");
    if same_bytes(&compiled, &earlier)? && folder.join(format!("{NAME}_bg.wasm")).exists() {
        return Ok(());
    }
    let bound = folder.join("bound");
    Bindgen::new()
        .input_path(&compiled)
        .web(true)
        .context("could not choose the web form of the bindings")?
        .typescript(true)
        .out_name(NAME)
        .generate(&bound)
        .with_context(|| format!("could not generate the bindings of {}", compiled.display()))?;
    let module = format!("{NAME}_bg.wasm");
    if places.quick {
        copy(&bound.join(&module), &folder.join(&module))?;
    } else {
        println!("optimising the engine");
        run(program(places.npm_program("wasm-opt"), &places.root)
            .arg("-O3")
            // It would put every function that is called from one place there, into ever larger ones.
            .arg("--skip-pass=inlining-optimizing")
            .args(FEATURES)
            .arg(bound.join(&module))
            .arg("--output")
            .arg(folder.join(&module)))?;
    }
    for generated in [
        format!("{NAME}.js"),
        format!("{NAME}.d.ts"),
        format!("{NAME}_bg.wasm.d.ts"),
    ] {
        copy(&bound.join(&generated), &folder.join(&generated))?;
    }
    copy(&compiled, &earlier)
}

/// What the compiler is asked beside what the environment asks of it: that the module names no folder of this machine, so
/// that every machine builds the same bytes. Flags stand apart by the sign that cargo expects (0x1f).
fn flags(places: &Places) -> anyhow::Result<String> {
    let mut flags: Vec<String> = match (env::var("CARGO_ENCODED_RUSTFLAGS"), env::var("RUSTFLAGS")) {
        (Ok(encoded), _) => encoded.split('\u{1f}').map(str::to_owned).collect(),
        (Err(_), Ok(plain)) => plain.split_whitespace().map(str::to_owned).collect(),
        (Err(_), Err(_)) => Vec::new(),
    };
    let cargo = env::var_os("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|| Some(env::home_dir()?.join(".cargo")))
        .context("there is no home folder; name one in CARGO_HOME")?;
    // Crates lie in a folder that is called after the registry they came from.
    let registries = fs::read_dir(cargo.join("registry/src")).into_iter().flatten();
    let mut renamed: Vec<(PathBuf, &str)> = registries
        .filter_map(|entry| Some((entry.ok()?.path(), "crates")))
        .collect();
    renamed.sort();
    renamed.push((places.root.clone(), "."));
    flags.extend(
        renamed
            .iter()
            .map(|(folder, name)| format!("--remap-path-prefix={}={name}", folder.display())),
    );
    if !places.quick {
        flags.push(INLINING.to_owned());
    }
    flags.retain(|flag| !flag.is_empty());
    Ok(flags.join("\u{1f}"))
}

fn same_bytes(new: &Path, earlier: &Path) -> anyhow::Result<bool> {
    let new = fs::read(new).with_context(|| format!("cargo left no module at {}", new.display()))?;
    Ok(fs::read(earlier).is_ok_and(|earlier| earlier == new))
}

fn copy(from: &Path, to: &Path) -> anyhow::Result<()> {
    fs::copy(from, to).with_context(|| format!("could not copy {} to {}", from.display(), to.display()))?;
    Ok(())
}

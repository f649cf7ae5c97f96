//! What a visitor downloads before the first shaded map, whether that keeps to the budget, and what fills the engine.
//!
//! In: the build's `bundled.json` (which script imports which), the compressed files beside it, and the engine as the
//! compiler left it, with the names of its functions. Out: tables on the terminal, or the reason why a build is too
//! heavy. Making and compressing the files is left to `engine` and `element`.

use crate::places::Places;
use anyhow::{Context, ensure};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use wasmparser::{KnownCustom, Name, Parser, Payload};

/// Scripts, engine and the words of one language, as they travel: a build above this fails. It holds what is reached;
/// whoever makes the build lighter lowers it.
const BUDGET: u64 = 980_000;
/// What they should come to: a phone on a slow link shows a map in five seconds.
const GOAL: u64 = 350_000;
/// What the first map needs: the entry, what it imports when there is a map to show, the worker and the engine.
const FIRST: [&str; 5] = [
    "hostwood.js",
    "hostwood-map-canvas-",
    "hostwood-worker.js",
    "hostwood_engine.js",
    "hostwood_engine_bg.wasm",
];
/// Rows of the table of the engine's parts.
const ROWS: usize = 30;

/// A file that the first map needs, and how many bytes of it travel.
type Part = (String, u64);

/// Prints what a visitor downloads and what the engine is made of.
pub(crate) fn print(places: &Places) -> anyhow::Result<()> {
    let parts = built(places)?;
    println!("\nfor the first map, as it travels:");
    for (file, bytes) in &parts {
        println!("{bytes:>10}  {file}");
    }
    println!(
        "{:>10}  in all; the budget is {BUDGET}, the goal {GOAL}",
        total(&parts)
    );
    let compiled = places.engine().join("compiled.wasm");
    let bytes =
        fs::read(&compiled).with_context(|| format!("there is no engine at {}", compiled.display()))?;
    println!("\nthe engine's code before it is optimised, by the crate that a function's name begins with:");
    let crates = by_crate(&bytes)?;
    let all: u64 = crates.iter().map(|(_, bytes)| bytes).sum();
    for (name, bytes) in crates.iter().take(ROWS) {
        println!(
            "{bytes:>10} {:>5.1} %  {name}",
            *bytes as f64 * 100.0 / all as f64
        );
    }
    Ok(())
}

/// Bytes that a visitor downloads before the first map.
pub(crate) fn in_all(places: &Places) -> anyhow::Result<u64> {
    Ok(total(&built(places)?))
}

/// An error for a build that is heavier than its budget.
pub(crate) fn keep_to_budget(places: &Places) -> anyhow::Result<()> {
    within(&built(places)?, BUDGET)
}

fn within(parts: &[Part], budget: u64) -> anyhow::Result<()> {
    let all = total(parts);
    ensure!(
        all <= budget,
        "a visitor downloads {all} bytes before the first map, the budget is {budget}: see `cargo www sizes`, and make \
         something lighter"
    );
    Ok(())
}

fn total(parts: &[Part]) -> u64 {
    parts.iter().map(|(_, bytes)| bytes).sum()
}

/// What the first map needs of the build that is there.
fn built(places: &Places) -> anyhow::Result<Vec<Part>> {
    first_visit(
        &places.dist.join("hostwood"),
        &places.between.join("bundled.json"),
    )
}

/// What the first map needs, the heaviest first.
fn first_visit(folder: &Path, bundled: &Path) -> anyhow::Result<Vec<Part>> {
    let text = fs::read_to_string(bundled)
        .with_context(|| format!("the build left no account at {}", bundled.display()))?;
    let account: Value = serde_json::from_str(&text)?;
    let outputs = account["outputs"]
        .as_object()
        .context("the account names no outputs")?;
    let name = |path: &str| path.rsplit('/').next().unwrap_or(path).to_owned();
    let imports: BTreeMap<String, Vec<String>> = outputs
        .iter()
        .map(|(path, output)| {
            let imports = output["imports"].as_array().into_iter().flatten();
            let at_once = imports.filter(|import| import["kind"] == "import-statement");
            let paths = at_once.filter_map(|import| import["path"].as_str());
            (name(path), paths.map(name).collect())
        })
        .collect();
    let mut open: Vec<String> = files_of(folder)?
        .into_iter()
        .filter(|file| is_first(file))
        .collect();
    let mut needed = BTreeSet::new();
    while let Some(file) = open.pop() {
        open.extend(imports.get(&file).into_iter().flatten().cloned());
        needed.insert(file);
    }
    for first in FIRST {
        ensure!(
            needed.iter().any(|file| file.starts_with(first)),
            "the build has no {first}: mend the list in www/src/weight.rs"
        );
    }
    let size = |file: &str| {
        // A form that gains nothing is not made.
        let packed = fs::metadata(folder.join(format!("{file}.br")));
        packed
            .or_else(|_| fs::metadata(folder.join(file)))
            .map(|about| about.len())
    };
    let mut parts = needed
        .into_iter()
        .map(|file| Ok((size(&file)?, file)))
        .collect::<std::io::Result<Vec<_>>>()?;
    parts.sort_unstable_by(|one, other| other.cmp(one));
    Ok(parts.into_iter().map(|(bytes, file)| (file, bytes)).collect())
}

fn is_first(file: &str) -> bool {
    (file.ends_with(".js") || file.ends_with(".wasm")) && FIRST.iter().any(|first| file.starts_with(first))
}

fn files_of(folder: &Path) -> anyhow::Result<Vec<String>> {
    let entries =
        fs::read_dir(folder).with_context(|| format!("could not look into {}", folder.display()))?;
    entries
        .map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned()))
        .collect()
}

/// Bytes of code by crate, the heaviest first. A generic function counts for the crate that wrote it.
fn by_crate(module: &[u8]) -> anyhow::Result<Vec<(String, u64)>> {
    let mut imported = 0u32;
    let mut sizes: Vec<u64> = Vec::new();
    let mut names: BTreeMap<u32, String> = BTreeMap::new();
    for payload in Parser::new(0).parse_all(module) {
        match payload? {
            Payload::ImportSection(imports) => {
                for import in imports.into_imports() {
                    if matches!(import?.ty, wasmparser::TypeRef::Func(_)) {
                        imported += 1;
                    }
                }
            }
            Payload::CodeSectionEntry(body) => sizes.push(body.range().len() as u64),
            Payload::CustomSection(section) => {
                if let KnownCustom::Name(subsections) = section.as_known() {
                    for subsection in subsections {
                        if let Name::Function(functions) = subsection? {
                            for function in functions {
                                let function = function?;
                                names.insert(function.index, function.name.to_owned());
                            }
                        }
                    }
                }
            }
            _ => {}
        }
    }
    ensure!(
        !names.is_empty(),
        "the engine was built without the names of its functions"
    );
    let mut crates: BTreeMap<String, u64> = BTreeMap::new();
    for (index, size) in (imported..).zip(sizes) {
        let name = names.get(&index).map_or("", String::as_str);
        let plain = format!("{:#}", rustc_demangle::demangle(name));
        *crates.entry(crate_of(&plain)).or_default() += size;
    }
    let mut sorted: Vec<_> = crates.into_iter().collect();
    sorted.sort_by(|one, other| other.1.cmp(&one.1).then_with(|| one.0.cmp(&other.0)));
    Ok(sorted)
}

/// The crate a name begins with; of the engine itself, the room too.
fn crate_of(name: &str) -> String {
    let start = name.trim_start_matches(['<', '&', '*', '[', '(']);
    let start = start.strip_prefix("mut ").unwrap_or(start);
    let mut words = start.split(|letter: char| !(letter.is_alphanumeric() || letter == '_'));
    let first = words.next().unwrap_or_default();
    if first == "hostwood" {
        let room = words.find(|word| !word.is_empty()).unwrap_or_default();
        return format!("hostwood, {room}");
    }
    if first.len() < 2 {
        String::from("generated")
    } else {
        first.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::{crate_of, first_visit, within};
    use std::fs;

    #[test]
    fn a_function_counts_for_the_crate_its_name_begins_with() {
        for (name, expected) in [
            ("core::slice::sort::stable::drift::sort", "core"),
            ("<alloc::vec::Vec<T,A> as core::clone::Clone>::clone", "alloc"),
            (
                "<&mut serde_json::de::Deserializer<R> as serde::Deserializer>::any",
                "serde_json",
            ),
            ("hostwood::rules::reading::read_book", "hostwood, rules"),
            (
                "<hostwood::sheet::tree::Arg as core::fmt::Debug>::fmt",
                "hostwood, sheet",
            ),
            ("<T as core::any::Any>::type_id", "generated"),
        ] {
            assert_eq!(crate_of(name), expected, "{name}");
        }
    }

    #[test]
    fn the_first_map_needs_the_entry_and_what_it_imports_at_once() {
        let folder = std::env::temp_dir().join(format!("hostwood-www-weight-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let write = |file: &str, bytes: usize| fs::write(folder.join(file), vec![0; bytes]).unwrap();
        write("hostwood.js", 100);
        write("hostwood.js.br", 40);
        write("hostwood.js.map", 900);
        write("hostwood-map-canvas-AB.js", 30);
        write("hostwood-worker.js", 20);
        write("hostwood_engine.js", 10);
        write("hostwood_engine_bg.wasm", 500);
        write("hostwood_engine_bg.wasm.br", 200);
        write("hostwood-chunk-1.js", 5);
        write("hostwood-de-1.js", 7);
        let bundled = folder.join("bundled.json");
        let account = r#"{"outputs":{"dist/hostwood.js":{"imports":[{"path":"dist/hostwood-chunk-1.js","kind":"import-statement"},{"path":"dist/hostwood-de-1.js","kind":"dynamic-import"}]}}}"#;
        fs::write(&bundled, account).unwrap();
        let parts = first_visit(&folder, &bundled).unwrap();
        let named: Vec<(&str, u64)> = parts
            .iter()
            .map(|(file, bytes)| (file.as_str(), *bytes))
            .collect();
        let expected = [
            ("hostwood_engine_bg.wasm", 200),
            ("hostwood.js", 40),
            ("hostwood-map-canvas-AB.js", 30),
            ("hostwood-worker.js", 20),
            ("hostwood_engine.js", 10),
            ("hostwood-chunk-1.js", 5),
        ];
        assert_eq!(named, expected);
        assert!(within(&parts, 305).is_ok());
        let told = within(&parts, 304).unwrap_err().to_string();
        assert!(
            told.starts_with("a visitor downloads 305 bytes before the first map, the budget is 304"),
            "{told}"
        );
        fs::remove_file(folder.join("hostwood-worker.js")).unwrap();
        assert!(
            first_visit(&folder, &bundled).is_err(),
            "a part that is gone is seen"
        );
        fs::remove_dir_all(folder).unwrap();
    }
}

//! The notices of third-party code that travels with the element.
//!
//! In: cargo's account of what is compiled into the engine, and the bundler's account of what went into the element and
//! into the pages of the site. Out: one text with each package, its version, its licence and the licence texts it
//! carries; an error if a package may not be shipped.

use crate::licences::must_be_permissive;
use crate::places::Places;
use crate::programs::{output, program};
use crate::setup::WASM_TARGET;
use anyhow::Context;
use cargo_metadata::{DependencyKind, Metadata, MetadataCommand, PackageId, TargetKind};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

/// Where a package comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Origin {
    /// A crate of the Rust registry.
    Crate,
    /// The Rust toolchain.
    Toolchain,
    /// A package of the npm registry.
    Npm,
}

/// One package with the texts it asks to be handed on.
pub(crate) struct Notice {
    pub(crate) origin: Origin,
    pub(crate) name: String,
    pub(crate) version: String,
    pub(crate) licence: String,
    package: String,
    texts: Vec<String>,
}

/// Whose notices are asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Of {
    /// The element and its engine, which agencies embed.
    Element,
    /// The same with the pages of the site, which have code of their own.
    Site,
}

impl Notice {
    fn new(origin: Origin, name: &str, version: &str, licence: &str, texts: Vec<String>) -> Self {
        Self {
            origin,
            name: name.to_owned(),
            version: version.to_owned(),
            licence: licence.to_owned(),
            package: format!("{name} {version}"),
            texts,
        }
    }
}

/// Every package that travels, in the order of their names.
pub(crate) fn of_everything(places: &Places, of: Of) -> anyhow::Result<Vec<Notice>> {
    let mut notices = of_crates(places)?;
    notices.push(of_the_standard_library(places)?);
    notices.extend(of_npm_packages(places, of)?);
    notices.sort_by(|one, other| one.package.cmp(&other.package));
    Ok(notices)
}

/// The whole text of `THIRD-PARTY.txt`.
pub(crate) fn text_of(notices: &[Notice], of: Of) -> anyhow::Result<String> {
    let whose = match of {
        Of::Element => "The element and its engine contain",
        Of::Site => "The element, its engine and the pages of this site contain",
    };
    let mut text = format!("{whose} the work of others, listed here with the terms it comes under.\n\n");
    for Notice { package, licence, .. } in notices {
        writeln!(text, "{package}: {licence}")?;
    }
    // Many packages carry the same text; it is printed once, under the names of all of them.
    let mut carriers: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for notice in notices {
        for carried in &notice.texts {
            carriers.entry(carried).or_default().push(&notice.package);
        }
    }
    for (carried, packages) in carriers {
        write!(
            text,
            "\n{}\n{}\n\n{}\n",
            "-".repeat(80),
            packages.join(", "),
            carried
        )?;
    }
    Ok(text)
}

/// What is compiled into the engine; what only helps to compile it is left out.
fn of_crates(places: &Places) -> anyhow::Result<Vec<Notice>> {
    let metadata = MetadataCommand::new()
        .current_dir(&places.root)
        .other_options([String::from("--filter-platform"), String::from(WASM_TARGET)])
        .exec()
        .context("could not ask cargo what the engine is made of")?;
    let ours = |id: &PackageId| metadata.workspace_members.contains(id);
    let compiled_in = compiled_in(&metadata)?;
    metadata
        .packages
        .iter()
        .filter(|package| compiled_in.contains(&package.id) && !ours(&package.id))
        .map(|package| {
            let version = package.version.to_string();
            must_be_permissive(&format!("{} {version}", package.name), package.license.as_deref())?;
            let folder = package
                .manifest_path
                .parent()
                .context("a manifest lies in a folder")?;
            Ok(Notice::new(
                Origin::Crate,
                &package.name,
                &version,
                package.license.as_deref().unwrap_or_default(),
                licence_texts(folder.as_std_path())?,
            ))
        })
        .collect()
}

/// The crate itself and everything it needs at run time, however far away.
fn compiled_in(metadata: &Metadata) -> anyhow::Result<BTreeSet<PackageId>> {
    let resolved = metadata.resolve.as_ref().context("cargo told no dependencies")?;
    let engine = metadata
        .workspace_packages()
        .into_iter()
        .find(|package| *package.name == "hostwood")
        .context("the workspace has no package `hostwood`")?;
    let macros: BTreeSet<&PackageId> = metadata
        .packages
        .iter()
        .filter(|package| {
            package
                .targets
                .iter()
                .any(|target| target.kind.contains(&TargetKind::ProcMacro))
        })
        .map(|package| &package.id)
        .collect();
    let mut reached = BTreeSet::new();
    let mut open = vec![engine.id.clone()];
    while let Some(id) = open.pop() {
        if macros.contains(&id) || !reached.insert(id.clone()) {
            continue;
        }
        let needs = resolved
            .nodes
            .iter()
            .filter(|node| node.id == id)
            .flat_map(|node| &node.deps);
        open.extend(
            needs
                .filter(|need| {
                    need.dep_kinds
                        .iter()
                        .any(|kind| kind.kind == DependencyKind::Normal)
                })
                .map(|need| need.pkg.clone()),
        );
    }
    Ok(reached)
}

fn of_the_standard_library(places: &Places) -> anyhow::Result<Notice> {
    let version = output(program("rustc", &places.root).arg("--version"))?;
    let version = version.split_whitespace().nth(1).unwrap_or_default();
    Ok(Notice::new(
        Origin::Toolchain,
        "The Rust standard library",
        version,
        "MIT OR Apache-2.0",
        Vec::new(),
    ))
}

/// The npm packages of which at least one file went into the bundle.
fn of_npm_packages(places: &Places, of: Of) -> anyhow::Result<Vec<Notice>> {
    let account = places.between.join("bundled.json");
    let account =
        fs::read_to_string(&account).with_context(|| format!("could not read {}", account.display()))?;
    let account: Value = serde_json::from_str(&account).context("the bundler's account is not JSON")?;
    packages(&account, of)?
        .into_iter()
        .map(|folder| {
            let folder = places.www.join(folder);
            let manifest = fs::read_to_string(folder.join("package.json"))
                .with_context(|| format!("could not read the manifest in {}", folder.display()))?;
            let manifest: Value = serde_json::from_str(&manifest)?;
            let text = |field: &str| manifest[field].as_str().unwrap_or_default();
            let (name, version) = (text("name"), text("version"));
            must_be_permissive(&format!("{name} {version}"), manifest["license"].as_str())?;
            Ok(Notice::new(
                Origin::Npm,
                name,
                version,
                text("license"),
                licence_texts(&folder)?,
            ))
        })
        .collect()
}

/// The folders of the packages that the bundler put into the element, and into the pages where they are asked for.
fn packages(account: &Value, of: Of) -> anyhow::Result<BTreeSet<&str>> {
    let mut accounts = vec![(account, "the element")];
    if of == Of::Site {
        accounts.push((&account["pages"], "the pages"));
    }
    let mut folders = BTreeSet::new();
    for (account, whose) in accounts {
        let inputs = account["inputs"]
            .as_object()
            .with_context(|| format!("the bundler's account names no inputs of {whose}"))?;
        folders.extend(inputs.keys().filter_map(|input| package_folder(input)));
    }
    Ok(folders)
}

/// `node_modules/a/node_modules/@b/c/d.js` lies in the package `node_modules/a/node_modules/@b/c`.
fn package_folder(input: &str) -> Option<&str> {
    let start = input.rfind("node_modules/")? + "node_modules/".len();
    let parts = if input[start..].starts_with('@') { 2 } else { 1 };
    let (end, _) = input[start..].match_indices('/').nth(parts - 1)?;
    Some(&input[..start + end])
}

/// The licence texts at the top of a package, in the order of their file names.
fn licence_texts(folder: &Path) -> anyhow::Result<Vec<String>> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .with_context(|| format!("could not look into {}", folder.display()))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.is_file() && is_licence(path))
        .collect();
    files.sort();
    files
        .iter()
        .map(|file| {
            let text =
                fs::read_to_string(file).with_context(|| format!("could not read {}", file.display()))?;
            Ok(text.replace("\r\n", "\n").trim().to_owned())
        })
        .collect()
}

fn is_licence(path: &Path) -> bool {
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().to_ascii_lowercase())
        .unwrap_or_default();
    [
        "license",
        "licence",
        "copying",
        "copyright",
        "notice",
        "unlicense",
    ]
    .iter()
    .any(|start| name.starts_with(start))
}

#[cfg(test)]
mod tests {
    use super::{Of, package_folder, packages};
    use serde_json::json;

    #[test]
    fn the_pages_own_packages_are_named_for_the_site_alone() {
        let account = json!({
            "inputs": {"element/hostwood.ts": {}, "node_modules/ol/Map.js": {}},
            "pages": {"inputs": {"book/book.ts": {}, "node_modules/jsonc-parser/lib/esm/main.js": {}}},
        });
        let of = |of| {
            packages(&account, of)
                .expect("inputs")
                .into_iter()
                .collect::<Vec<_>>()
        };
        assert_eq!(of(Of::Element), ["node_modules/ol"]);
        assert_eq!(of(Of::Site), ["node_modules/jsonc-parser", "node_modules/ol"]);
        let refused = packages(&json!({"inputs": {}}), Of::Site).expect_err("no account of the pages");
        assert_eq!(
            refused.to_string(),
            "the bundler's account names no inputs of the pages"
        );
    }

    #[test]
    fn files_are_traced_to_their_package() {
        let traced = [
            ("node_modules/ol/Map.js", Some("node_modules/ol")),
            ("node_modules/ol/source/XYZ.js", Some("node_modules/ol")),
            (
                "node_modules/@scope/name/index.js",
                Some("node_modules/@scope/name"),
            ),
            (
                "node_modules/ol/node_modules/pbf/index.js",
                Some("node_modules/ol/node_modules/pbf"),
            ),
            ("element/hostwood.ts", None),
        ];
        for (input, folder) in traced {
            assert_eq!(package_folder(input), folder, "{input}");
        }
    }
}

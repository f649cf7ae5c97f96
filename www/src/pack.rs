//! The folder that an agency puts on its own server.
//!
//! In: `www/dist` as built. Out: `target/bundle/hostwood-<version>` with the element, its worker, the engine, the
//! licence, the third-party notices, the bill of materials, and the digest of each file, on the terminal and in
//! `integrity.json`; the source maps beside it; and the npm package in `target/bundle/npm`. No date and no random
//! number enters any file, so that two bundles can be compared by their `integrity.json`.

use crate::materials;
use crate::notices::{self, Of};
use crate::places::Places;
use crate::programs::{program, run};
use anyhow::{Context, bail};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha384};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Packs the folder and the npm package anew, prints what is in the folder, and gives back where it lies.
pub(crate) fn into_folder(places: &Places) -> anyhow::Result<PathBuf> {
    let version = env!("CARGO_PKG_VERSION");
    let bundle = places.target.join("bundle");
    let folder = bundle.join(format!("hostwood-{version}"));
    let maps = bundle.join(format!("hostwood-{version}-maps"));
    for folder in [&folder, &maps] {
        if folder.exists() {
            fs::remove_dir_all(folder).with_context(|| format!("could not empty {}", folder.display()))?;
        }
        fs::create_dir_all(folder).with_context(|| format!("could not make {}", folder.display()))?;
    }
    for file in files_in(&places.dist.join("hostwood"))? {
        let name = name_of(&file);
        let is_map = [".map", ".map.br", ".map.gz"]
            .iter()
            .any(|ending| name.ends_with(ending));
        copy(&file, if is_map { &maps } else { &folder })?;
    }
    copy(&places.root.join("LICENSE"), &folder)?;
    // For the editors of those who write a rule book or a crosswalk by hand.
    copy(&places.root.join("src/rules/book.schema.json"), &folder)?;
    copy(
        &places.root.join("src/standmap/crosswalk/crosswalk.schema.json"),
        &folder,
    )?;
    let notices = notices::of_everything(places, Of::Element)?;
    write(
        &folder.join("THIRD-PARTY.txt"),
        &notices::text_of(&notices, Of::Element)?,
    )?;
    write(
        &folder.join("materials.cdx.json"),
        &format!("{:#}\n", materials::bill(version, &notices)),
    )?;
    println!("{}", folder.display());
    let digests = digests(&folder)?;
    for (name, (bytes, digest)) in &digests {
        println!("  {name:32} {bytes:>9} bytes  {digest}");
    }
    let held: BTreeMap<&String, &String> = digests.iter().map(|(name, (_, digest))| (name, digest)).collect();
    write(
        &folder.join("integrity.json"),
        &format!("{:#}\n", serde_json::json!({ "version": version, "files": held })),
    )?;
    let package = bundle.join("npm");
    run(program("node", &places.www)
        .arg("build/package.mjs")
        .arg("--from")
        .arg(&folder)
        .arg("--out")
        .arg(&package)
        .args(["--version", version]))?;
    println!("{}", package.display());
    Ok(folder)
}

/// Packs twice, and packs nothing that differs from one time to the other or that names a folder of this machine.
pub(crate) fn the_same_twice(places: &Places) -> anyhow::Result<PathBuf> {
    let bundle = places.target.join("bundle");
    into_folder(places)?;
    let first = contents(&bundle)?;
    let folder = into_folder(places)?;
    let second = contents(&bundle)?;
    let differing = differing(&first, &second);
    if !differing.is_empty() {
        bail!(
            "packed twice, these files differ: {}; what is in them may hang on the sources alone, not on the time",
            differing.join(", ")
        );
    }
    // A folder just below the top is called like many others, and the top itself is in every address.
    let deep = |folder: &PathBuf, least: usize| folder.components().count() > least;
    let here: Vec<String> = [&places.root, &places.target]
        .into_iter()
        .filter(|folder| deep(folder, 2))
        .chain(std::env::home_dir().iter().filter(|folder| deep(folder, 1)))
        .map(|folder| format!("{}/", folder.display()))
        .collect();
    let traced: Vec<String> = second
        .iter()
        .filter_map(|(name, bytes)| Some(format!("{name} ({})", trace(bytes, &here)?)))
        .collect();
    if !traced.is_empty() {
        bail!(
            "these files name a folder of this machine: {}; another machine would build others",
            traced.join(", ")
        );
    }
    Ok(folder)
}

/// The files that are not the same in both, or are only in one.
fn differing<'a>(one: &'a BTreeMap<String, Vec<u8>>, other: &'a BTreeMap<String, Vec<u8>>) -> Vec<&'a str> {
    let mut names: Vec<&str> = one
        .iter()
        .chain(other)
        .filter(|(name, _)| one.get(*name) != other.get(*name))
        .map(|(name, _)| name.as_str())
        .collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// The first of the folders that these bytes name.
fn trace<'f>(bytes: &[u8], folders: &'f [String]) -> Option<&'f str> {
    let names = |folder: &&String| bytes.windows(folder.len()).any(|part| part == folder.as_bytes());
    folders.iter().find(names).map(String::as_str)
}

/// All files below a folder with their bytes, by their names from there.
fn contents(folder: &Path) -> anyhow::Result<BTreeMap<String, Vec<u8>>> {
    let mut found = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(here) = open.pop() {
        for entry in fs::read_dir(&here).with_context(|| format!("could not look into {}", here.display()))? {
            let path = entry?.path();
            if path.is_dir() {
                open.push(path);
                continue;
            }
            let bytes = fs::read(&path).with_context(|| format!("could not read {}", path.display()))?;
            let name = path.strip_prefix(folder).unwrap_or(&path).display().to_string();
            found.insert(name, bytes);
        }
    }
    Ok(found)
}

/// Size and digest of each file by its name. A browser holds a file against its digest after it has been unpacked, so
/// compressed forms have none.
fn digests(folder: &Path) -> anyhow::Result<BTreeMap<String, (usize, String)>> {
    let plain = |file: &PathBuf| {
        !file
            .extension()
            .is_some_and(|ending| ending == "br" || ending == "gz")
    };
    files_in(folder)?
        .into_iter()
        .filter(plain)
        .map(|file| {
            let bytes = fs::read(&file).with_context(|| format!("could not read {}", file.display()))?;
            Ok((name_of(&file), (bytes.len(), digest(&bytes))))
        })
        .collect()
}

fn write(path: &Path, text: &str) -> anyhow::Result<()> {
    fs::write(path, text).with_context(|| format!("could not write {}", path.display()))
}

/// The digest in the form of the `integrity` attribute (W3C Subresource Integrity, section 3.5).
fn digest(bytes: &[u8]) -> String {
    format!("sha384-{}", STANDARD.encode(Sha384::digest(bytes)))
}

/// The files of one folder, in the order of their names.
fn files_in(folder: &Path) -> anyhow::Result<Vec<PathBuf>> {
    let entries =
        fs::read_dir(folder).with_context(|| format!("could not look into {}", folder.display()))?;
    let mut files: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.is_file())
        .collect();
    files.sort();
    Ok(files)
}

fn copy(file: &Path, folder: &Path) -> anyhow::Result<()> {
    fs::copy(file, folder.join(name_of(file)))
        .with_context(|| format!("could not copy {}", file.display()))?;
    Ok(())
}

fn name_of(file: &Path) -> String {
    file.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::{contents, differing, digest, trace};
    use std::fs;

    #[test]
    fn files_that_differ_or_name_a_folder_of_the_machine_are_found() {
        let top = std::env::temp_dir().join(format!("hostwood-www-pack-{}", std::process::id()));
        let pack = |files: &[(&str, &str)]| {
            for (name, text) in files {
                let path = top.join(name);
                fs::create_dir_all(path.parent().unwrap()).unwrap();
                fs::write(path, text).unwrap();
            }
            let all = contents(&top).unwrap();
            fs::remove_dir_all(&top).unwrap();
            all
        };
        let first = pack(&[("a.js", "a"), ("npm/b.json", "made at noon"), ("c", "c")]);
        let second = pack(&[("a.js", "a"), ("npm/b.json", "made at one"), ("d", "d")]);
        assert_eq!(differing(&first, &second), ["c", "d", "npm/b.json"]);
        assert_eq!(differing(&first, &first), [] as [&str; 0]);

        let folders = ["/far/somebody/".to_owned(), "/builds/hostwood/".to_owned()];
        assert_eq!(
            trace(b"at /builds/hostwood/src/lib.rs", &folders),
            Some("/builds/hostwood/")
        );
        assert_eq!(trace(b"at src/lib.rs", &folders), None);
    }

    /// FIPS 180-4: the example digest of the three bytes `abc` under SHA-384, written in base64.
    #[test]
    fn digests_are_those_of_the_standard() {
        assert_eq!(
            digest(b"abc"),
            "sha384-ywB1P0WjXou1oD1pmsZQBycsMqsO3tFjGotgWkP/W+2AhgcroefMI1i67KE0yCWn"
        );
    }
}

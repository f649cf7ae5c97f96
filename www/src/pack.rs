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
use anyhow::Context;
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
    use super::digest;

    /// FIPS 180-4: the example digest of the three bytes `abc` under SHA-384, written in base64.
    #[test]
    fn digests_are_those_of_the_standard() {
        assert_eq!(
            digest(b"abc"),
            "sha384-ywB1P0WjXou1oD1pmsZQBycsMqsO3tFjGotgWkP/W+2AhgcroefMI1i67KE0yCWn"
        );
    }
}

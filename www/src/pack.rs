//! The folder that an agency puts on its own server.
//!
//! In: `www/dist` as built. Out: `target/bundle/hostwood-<version>` with the element, its worker, the engine, the
//! licence and the third-party notices, and the digest of each file on the terminal.

use crate::notices::{self, Of};
use crate::places::Places;
use anyhow::Context;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha384};
use std::fs;
use std::path::{Path, PathBuf};

/// Packs the folder anew and prints what is in it.
pub(crate) fn into_folder(places: &Places) -> anyhow::Result<()> {
    let folder = places
        .target
        .join("bundle")
        .join(format!("hostwood-{}", env!("CARGO_PKG_VERSION")));
    if folder.exists() {
        fs::remove_dir_all(&folder).with_context(|| format!("could not empty {}", folder.display()))?;
    }
    fs::create_dir_all(&folder).with_context(|| format!("could not make {}", folder.display()))?;
    for file in files_in(&places.dist.join("hostwood"))? {
        copy(&file, &folder)?;
    }
    copy(&places.root.join("LICENSE"), &folder)?;
    // For the editors of those who write a rule book by hand.
    copy(&places.root.join("src/rules/book.schema.json"), &folder)?;
    let text = notices::text(places, Of::Element)?;
    let path = folder.join("THIRD-PARTY.txt");
    fs::write(&path, text).with_context(|| format!("could not write {}", path.display()))?;

    println!("{}", folder.display());
    // A browser holds a file against its digest after it has been unpacked.
    let plain = |file: &PathBuf| {
        !file
            .extension()
            .is_some_and(|ending| ending == "br" || ending == "gz")
    };
    for file in files_in(&folder)?.into_iter().filter(plain) {
        let bytes = fs::read(&file)?;
        println!(
            "  {:28} {:>9} bytes  {}",
            name_of(&file),
            bytes.len(),
            digest(&bytes)
        );
    }
    Ok(())
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

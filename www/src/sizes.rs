//! How large the files of a build are: as they lie there, and as they travel.
//!
//! In: a folder in which compressed forms lie beside the files. Out: a table on the terminal, the largest first.
//! Compressing is left to the bundler, so that what is measured is what is served.

use anyhow::Context;
use std::fs;
use std::path::{Path, PathBuf};

/// Sizes of one file in bytes; a form that gains nothing is not made and not there.
#[derive(Debug, PartialEq)]
struct Sizes {
    path: String,
    raw: u64,
    gzip: Option<u64>,
    brotli: Option<u64>,
}

/// Prints one line a file.
pub(crate) fn print(folder: &Path) -> anyhow::Result<()> {
    println!("{:>10} {:>10} {:>10}  file", "bytes", "gzip", "brotli");
    let told = |size: Option<u64>| size.map_or_else(|| String::from("-"), |size| size.to_string());
    for Sizes {
        path,
        raw,
        gzip,
        brotli,
    } in measured(folder)?
    {
        println!("{raw:>10} {:>10} {:>10}  {path}", told(gzip), told(brotli));
    }
    Ok(())
}

fn measured(folder: &Path) -> anyhow::Result<Vec<Sizes>> {
    let mut files = Vec::new();
    walk(folder, &mut files)?;
    let size = |path: &Path| fs::metadata(path).ok().map(|about| about.len());
    let form = |path: &Path, ending: &str| size(&PathBuf::from(format!("{}.{ending}", path.display())));
    let mut sizes: Vec<Sizes> = files
        .iter()
        .filter(|path| {
            !path
                .extension()
                .is_some_and(|ending| ending == "br" || ending == "gz")
        })
        .map(|path| Sizes {
            path: path.strip_prefix(folder).unwrap_or(path).display().to_string(),
            raw: size(path).unwrap_or_default(),
            gzip: form(path, "gz"),
            brotli: form(path, "br"),
        })
        .collect();
    sizes.sort_by(|one, other| other.raw.cmp(&one.raw).then_with(|| one.path.cmp(&other.path)));
    Ok(sizes)
}

fn walk(folder: &Path, found: &mut Vec<PathBuf>) -> anyhow::Result<()> {
    for entry in fs::read_dir(folder).with_context(|| format!("could not look into {}", folder.display()))? {
        let path = entry?.path();
        if path.is_dir() {
            walk(&path, found)?;
        } else {
            found.push(path);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{Sizes, measured};
    use std::fs;

    #[test]
    fn each_file_is_measured_once_with_its_compressed_forms() {
        let folder = std::env::temp_dir().join(format!("hostwood-www-sizes-{}", std::process::id()));
        fs::create_dir_all(folder.join("maps")).unwrap();
        for (path, bytes) in [
            ("engine.wasm", 100),
            ("engine.wasm.br", 20),
            ("engine.wasm.gz", 30),
            ("maps/a.json", 2),
        ] {
            fs::write(folder.join(path), vec![0; bytes]).unwrap();
        }
        let expected = [
            Sizes {
                path: String::from("engine.wasm"),
                raw: 100,
                gzip: Some(30),
                brotli: Some(20),
            },
            Sizes {
                path: String::from("maps/a.json"),
                raw: 2,
                gzip: None,
                brotli: None,
            },
        ];
        assert_eq!(measured(&folder).unwrap(), expected);
        fs::remove_dir_all(folder).unwrap();
    }
}

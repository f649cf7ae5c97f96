//! Writes the files of the invented region of Eskenvar: in goes a directory, out come the stand map, the ways and
//! waters, the crosswalk, the rule book, the weather of half a year and the region's own kinds. How they are made is left to `region`.
//!
//! ```text
//! cargo run --example region -- OUTDIR
//! ```

#[path = "region.rs"]
mod region;

use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(folder) = std::env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("no directory was named; write: cargo run --example region -- OUTDIR");
        return ExitCode::from(2);
    };
    match write_files(&folder) {
        Ok(()) => ExitCode::SUCCESS,
        Err((file, error)) => {
            eprintln!("`{}` could not be written: {error}", file.display());
            ExitCode::FAILURE
        }
    }
}

fn write_files(folder: &std::path::Path) -> Result<(), (PathBuf, std::io::Error)> {
    std::fs::create_dir_all(folder).map_err(|error| (folder.to_owned(), error))?;
    let files = region::make();
    for (name, content) in [
        ("stands.geojson", files.stands.as_str()),
        ("context.geojson", files.context.as_str()),
        ("crosswalk.json", include_str!("crosswalk.json")),
        ("eskenvar.rules.json", include_str!("eskenvar.rules.json")),
        ("weather.csv", include_str!("eskenvar.weather.csv")),
        ("kinds.csv", include_str!("../kinds/eskenvar.kinds.csv")),
    ] {
        let file = folder.join(name);
        std::fs::write(&file, content).map_err(|error| (file, error))?;
    }
    Ok(())
}

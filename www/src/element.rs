//! The element and its page: from TypeScript, styles, catalogues and the demo region to `www/dist`.
//!
//! In: the engine as `engine` left it, `www/element`, `www/styles`, `www/locales`, `www/site`, the example `region`.
//! Out: `www/dist`, ready to be served, with the notices of third-party code. Bundling and compressing are done by `www/build/bundle.mjs`.

use crate::notices::{self, Of};
use crate::places::Places;
use crate::programs::{program, run};
use anyhow::Context;
use std::fs;

/// The folder of the demo region within the site.
const REGION: &str = "eskenvar";

/// Empties `www/dist` and fills it anew.
pub(crate) fn build(places: &Places) -> anyhow::Result<()> {
    if places.dist.exists() {
        fs::remove_dir_all(&places.dist)
            .with_context(|| format!("could not empty {}", places.dist.display()))?;
    }
    fs::create_dir_all(&places.dist).with_context(|| format!("could not make {}", places.dist.display()))?;
    region(places)?;
    schema(places)?;
    println!("bundling the element");
    let mut bundler = program("node", &places.www);
    if places.quick {
        bundler.args(["build/bundle.mjs", "--quick"]);
    } else {
        bundler.arg("build/bundle.mjs");
    }
    run(bundler
        .arg("--engine")
        .arg(places.engine())
        .arg("--out")
        .arg(&places.dist)
        .arg("--kept")
        .arg(places.between.join("compressed")))?;
    let path = places.dist.join("THIRD-PARTY.txt");
    fs::write(
        &path,
        notices::text_of(&notices::of_everything(places, Of::Site)?, Of::Site)?,
    )
    .with_context(|| format!("could not write {}", path.display()))
}

/// Lays the JSON Schema of crosswalks beside the pages, for editors to follow.
fn schema(places: &Places) -> anyhow::Result<()> {
    let file = "crosswalk.schema.json";
    let from = places.root.join("src/standmap/crosswalk").join(file);
    fs::copy(&from, places.dist.join(file)).with_context(|| format!("could not copy {}", from.display()))?;
    Ok(())
}

/// Writes the stand map, crosswalk, rule book and paths of the invented region.
fn region(places: &Places) -> anyhow::Result<()> {
    let example = places.root.join("examples").join("region");
    if !example.exists() {
        println!("no demo region: {} is missing", example.display());
        return Ok(());
    }
    println!("laying out the demo region");
    let folder = places.dist.join(REGION);
    fs::create_dir_all(&folder).with_context(|| format!("could not make {}", folder.display()))?;
    run(program("cargo", &places.root)
        .args(["run", "--quiet", "--example", "region", "--"])
        .arg(&folder))
}

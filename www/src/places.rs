//! Where things lie: from the current folder to the paths the other modules read and write.
//!
//! In: the folder the command was called in. Out: [`Places`]. Creates nothing.

use anyhow::Context;
use cargo_metadata::MetadataCommand;
use std::path::PathBuf;

/// The folders of one work tree.
#[derive(Clone, Debug)]
pub(crate) struct Places {
    /// The top of the work tree, where `Cargo.toml` and `src` lie.
    pub(crate) root: PathBuf,
    /// `www`, where `package.json` lies.
    pub(crate) www: PathBuf,
    /// What is served: the demo page, the element and the demo region.
    pub(crate) dist: PathBuf,
    /// Cargo's own output folder.
    pub(crate) target: PathBuf,
    /// Our steps between sources and `dist`, kept from one build to the next.
    pub(crate) between: PathBuf,
    /// Whether the engine is built without the slow optimisation, for trying things.
    pub(crate) quick: bool,
}

impl Places {
    /// Asks cargo where the workspace of the current folder lies.
    pub(crate) fn find() -> anyhow::Result<Self> {
        let metadata = MetadataCommand::new().no_deps().exec().context(
            "could not ask cargo where the workspace lies; call `cargo www` from within the work tree",
        )?;
        let root = metadata.workspace_root.into_std_path_buf();
        let target = metadata.target_directory.into_std_path_buf();
        let www = root.join("www");
        Ok(Self {
            dist: www.join("dist"),
            between: target.join("www"),
            root,
            www,
            target,
            quick: false,
        })
    }

    /// The generated engine: module, bindings and type declarations.
    pub(crate) fn engine(&self) -> PathBuf {
        self.between
            .join(if self.quick { "engine-quick" } else { "engine" })
    }

    /// The pages that lay the shading into other map libraries.
    pub(crate) fn adapter_examples(&self) -> PathBuf {
        self.root.join("examples").join("adapters")
    }

    /// A program that npm installed.
    pub(crate) fn npm_program(&self, name: &str) -> PathBuf {
        self.www.join("node_modules").join(".bin").join(name)
    }
}

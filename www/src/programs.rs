//! Running other programs: cargo, node, npm, rustup.
//!
//! In: a program, its arguments and where to run it. Out: success, or an error that gives the whole command line and
//! how it ended. Output goes to the terminal unless it is asked for.

use anyhow::{Context, bail};
use std::ffi::OsStr;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, ExitStatus, Stdio};

/// A program about to run in `folder`, with no input: no step may wait for an answer.
pub(crate) fn program(name: impl AsRef<OsStr>, folder: &Path) -> Command {
    let mut command = Command::new(name);
    command.current_dir(folder).stdin(Stdio::null());
    command
}

/// Runs to the end; an error unless the program says it succeeded.
pub(crate) fn run(command: &mut Command) -> anyhow::Result<()> {
    let status = command
        .status()
        .with_context(|| format!("could not start `{}`", line_of(command)))?;
    if !status.success() {
        bail!("`{}` ended with {status}", line_of(command));
    }
    Ok(())
}

/// Runs to the end and gives back what it wrote to its standard output.
pub(crate) fn output(command: &mut Command) -> anyhow::Result<String> {
    let output = command
        .output()
        .with_context(|| format!("could not start `{}`", line_of(command)))?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        bail!(
            "`{}` ended with {}: {}",
            line_of(command),
            output.status,
            said.trim()
        );
    }
    Ok(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

/// Runs to the end, passing on each line of its output as it comes, and gives back whether it succeeded.
pub(crate) fn run_reading(command: &mut Command, mut each: impl FnMut(&str)) -> anyhow::Result<ExitStatus> {
    let line = line_of(command);
    let mut child = command
        .stdout(Stdio::piped())
        .spawn()
        .with_context(|| format!("could not start `{line}`"))?;
    if let Some(stdout) = child.stdout.take() {
        for line in BufReader::new(stdout).split(b'\n') {
            let line = line?;
            let line = String::from_utf8_lossy(&line);
            println!("{line}");
            each(&line);
        }
    }
    child.wait().with_context(|| format!("lost sight of `{line}`"))
}

/// The command as one would type it, for messages.
pub(crate) fn line_of(command: &Command) -> String {
    std::iter::once(command.get_program())
        .chain(command.get_args())
        .map(|part| part.to_string_lossy().into_owned())
        .collect::<Vec<_>>()
        .join(" ")
}

//! Which licences third-party code may come under.
//!
//! In: a licence expression in the notation of SPDX. Out: whether one of its choices asks for nothing but that notices
//! be kept. Collecting the expressions and the notices is left to `notices`.

use anyhow::{Context, bail};
use spdx::{Expression, ParseMode};

/// Licences that ask for nothing but that notices be kept.
const PERMISSIVE: [&str; 11] = [
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// An error unless the package may be shipped under the terms it states.
pub(crate) fn must_be_permissive(package: &str, stated: Option<&str>) -> anyhow::Result<()> {
    let Some(stated) = stated else {
        bail!("`{package}` states no licence; leave it out, or find out under which terms it may be shipped");
    };
    let expression = Expression::parse_mode(stated, ParseMode::LAX).with_context(|| {
        format!("`{package}` states the licence `{stated}`, which is not an SPDX expression")
    })?;
    let permissive =
        expression.evaluate(|one| one.license.id().is_some_and(|id| PERMISSIVE.contains(&id.name)));
    if !permissive {
        bail!(
            "`{package}` comes under `{stated}`, expected one of {}; use another package",
            PERMISSIVE.join(", ")
        );
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{PERMISSIVE, must_be_permissive};

    #[test]
    fn licences_are_told_apart() {
        for fine in [
            "MIT",
            "MIT OR Apache-2.0",
            "MIT/Apache-2.0",
            "GPL-3.0-only OR ISC",
            "(MIT OR Zlib) AND Unicode-3.0",
        ] {
            assert!(must_be_permissive("sample 1.0.0", Some(fine)).is_ok(), "{fine}");
        }
        let refused = [
            (
                Some("GPL-3.0-only"),
                format!(
                    "`sample 1.0.0` comes under `GPL-3.0-only`, expected one of {}; use another package",
                    PERMISSIVE.join(", ")
                ),
            ),
            (
                Some("MIT AND LGPL-3.0-only"),
                format!(
                    "`sample 1.0.0` comes under `MIT AND LGPL-3.0-only`, expected one of {}; use another package",
                    PERMISSIVE.join(", ")
                ),
            ),
            (
                None,
                String::from(
                    "`sample 1.0.0` states no licence; leave it out, or find out under which terms it may be shipped",
                ),
            ),
            (
                Some("see file"),
                String::from("`sample 1.0.0` states the licence `see file`, which is not an SPDX expression"),
            ),
        ];
        for (stated, message) in refused {
            let trouble = must_be_permissive("sample 1.0.0", stated).map_err(|trouble| trouble.to_string());
            assert_eq!(trouble, Err(message));
        }
    }
}

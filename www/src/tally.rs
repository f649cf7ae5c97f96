//! How many checks passed and failed, read from what the test programs print.
//!
//! In: lines of output and how each program ended. Out: a [`Tally`] a step and their sum. A step that ended badly
//! without naming a failure has failed once; a step in which nothing ran has failed too.

use std::fmt;
use std::ops::AddAssign;

/// Passed and failed checks.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Tally {
    pub(crate) passed: usize,
    pub(crate) failed: usize,
}

impl Tally {
    /// One check that passed or failed as a whole.
    pub(crate) fn one(passed: bool) -> Self {
        Self {
            passed: usize::from(passed),
            failed: usize::from(!passed),
        }
    }

    /// Adds what one line of output tells: the summary line of a Rust test program, or of Node's TAP report.
    pub(crate) fn read_line(&mut self, line: &str) {
        let line = line.trim();
        if let Some((_, counts)) = line
            .strip_prefix("test result: ")
            .and_then(|rest| rest.split_once(". "))
        {
            for count in counts.split("; ") {
                match count.split_once(' ') {
                    Some((number, "passed")) => self.passed += number.parse::<usize>().unwrap_or(0),
                    Some((number, "failed")) => self.failed += number.parse::<usize>().unwrap_or(0),
                    _ => {}
                }
            }
        }
        let node = |word: &str| {
            line.strip_prefix("# ")?
                .strip_prefix(word)?
                .strip_prefix(' ')?
                .parse::<usize>()
                .ok()
        };
        self.passed += node("pass").unwrap_or(0);
        self.failed += node("fail").unwrap_or(0) + node("cancelled").unwrap_or(0);
    }

    /// The tally of a program that has ended.
    pub(crate) fn ended(mut self, success: bool) -> Self {
        if self.failed == 0 && (!success || self.passed == 0) {
            self.failed = 1;
        }
        self
    }
}

impl AddAssign for Tally {
    fn add_assign(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} passed, {} failed", self.passed, self.failed)
    }
}

#[cfg(test)]
mod tests {
    use super::Tally;

    fn tally(lines: &[&str], success: bool) -> String {
        let mut tally = Tally::default();
        lines.iter().for_each(|line| tally.read_line(line));
        tally.ended(success).to_string()
    }

    #[test]
    fn rust_summaries_are_summed() {
        let lines = [
            "test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s",
            "test names::tests::genus ... ok",
            "test result: FAILED. 3 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.02s",
        ];
        assert_eq!(tally(&lines, false), "15 passed, 2 failed");
    }

    #[test]
    fn node_reports_are_summed() {
        let lines = [
            "# tests 9",
            "# suites 2",
            "# pass 7",
            "# fail 1",
            "# cancelled 1",
            "# skipped 0",
            "# passing by",
        ];
        assert_eq!(tally(&lines, false), "7 passed, 2 failed");
    }

    #[test]
    fn a_bad_end_or_no_test_at_all_is_a_failure() {
        assert_eq!(
            tally(&["error[E0308]: mismatched types"], false),
            "0 passed, 1 failed"
        );
        assert_eq!(tally(&["# pass 0", "# fail 0"], true), "0 passed, 1 failed");
        assert_eq!(
            tally(&["test result: ok. 4 passed; 0 failed; 0 ignored"], false),
            "4 passed, 1 failed"
        );
        assert_eq!(
            tally(&["test result: ok. 4 passed; 0 failed; 0 ignored"], true),
            "4 passed, 0 failed"
        );
    }
}

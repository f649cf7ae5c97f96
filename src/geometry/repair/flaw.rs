//! What can be wrong with an outline: in goes nothing, out come the flaws with their codes and words. Finding and
//! mending them is left to `repair`, counting to `standmap`.

use std::fmt;

/// Something wrong with an outline, and what was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Flaw {
    /// A ring's last position was not its first: it was closed.
    UnclosedRing,
    /// So many positions were the same as the one before (within a ten-millionth of a degree): they were left out.
    DuplicateVertices(usize),
    /// So many tips of the border went out and came back on the same line (within a ten-millionth of a degree): they
    /// were left out.
    Spikes(usize),
    /// A ring had fewer than three different positions: it was left out.
    TooFewPoints,
    /// A ring had no area: it was left out.
    ZeroArea,
    /// The border crosses itself: it was kept, and is filled by the even-odd rule; the area is uncertain.
    SelfCrossing,
    /// The border crosses itself in more places than any stand's does: the polygon was left out.
    Tangled,
    /// The border is too long and winding to look for crossings: it was kept.
    CrossingNotChecked,
    /// A hole lay outside its shell: it became a polygon of its own.
    HoleOutside,
    /// A hole was the same as its shell: the hole was left out.
    HoleIsShell,
    /// A ring crossed the antimeridian by jumping from one side of the globe to the other: it now goes on past 180
    /// degrees.
    CrossesAntimeridian,
    /// A ring went around a pole, or half around the globe: it was left out.
    AroundGlobe,
    /// A polygon lost its shell to one of the other flaws: the whole polygon was left out.
    ShellLost,
}

impl Flaw {
    /// A stable code for the flaw.
    pub fn code(self) -> &'static str {
        match self {
            Flaw::UnclosedRing => "unclosed-ring",
            Flaw::DuplicateVertices(_) => "duplicate-vertices",
            Flaw::Spikes(_) => "spikes",
            Flaw::TooFewPoints => "too-few-points",
            Flaw::ZeroArea => "zero-area",
            Flaw::SelfCrossing => "self-crossing",
            Flaw::Tangled => "tangled",
            Flaw::CrossingNotChecked => "crossing-not-checked",
            Flaw::HoleOutside => "hole-outside",
            Flaw::HoleIsShell => "hole-is-shell",
            Flaw::CrossesAntimeridian => "crosses-antimeridian",
            Flaw::AroundGlobe => "around-globe",
            Flaw::ShellLost => "shell-lost",
        }
    }

    /// What was found, in words.
    pub fn found(self) -> String {
        match self {
            Flaw::UnclosedRing => "the last position of a ring is not its first".into(),
            Flaw::DuplicateVertices(1) => "a position is the same as the one before".into(),
            Flaw::DuplicateVertices(n) => format!("{n} positions are the same as the one before"),
            Flaw::Spikes(1) => "the border goes out to a tip and back on the same line".into(),
            Flaw::Spikes(n) => format!("the border goes out to a tip and back on the same line {n} times"),
            Flaw::TooFewPoints => "a ring has fewer than three different positions".into(),
            Flaw::ZeroArea => "a ring has no area".into(),
            Flaw::SelfCrossing => "the border crosses itself".into(),
            Flaw::Tangled => "the border crosses itself in more places than can be counted".into(),
            Flaw::CrossingNotChecked => "the border is too long to look for crossings".into(),
            Flaw::HoleOutside => "a hole lies outside its outer ring".into(),
            Flaw::HoleIsShell => "a hole is the same as its outer ring".into(),
            Flaw::CrossesAntimeridian => "a ring crosses the 180th meridian".into(),
            Flaw::AroundGlobe => "a ring goes around a pole or half around the globe".into(),
            Flaw::ShellLost => "the outer ring of a polygon cannot be used".into(),
        }
    }

    /// What was done, in words.
    pub fn done(self) -> &'static str {
        match self {
            Flaw::UnclosedRing => "the ring was closed",
            Flaw::DuplicateVertices(_) => "the repeated positions were left out",
            Flaw::Spikes(_) => "the tips were left out",
            Flaw::TooFewPoints | Flaw::ZeroArea | Flaw::AroundGlobe => "the ring was left out",
            Flaw::SelfCrossing => "the outline was kept; its area is uncertain",
            Flaw::CrossingNotChecked => "the outline was kept as it is",
            Flaw::HoleOutside => "it was kept as a part of its own",
            Flaw::HoleIsShell => "the hole was left out",
            Flaw::CrossesAntimeridian => "the ring was drawn on past 180 degrees",
            Flaw::Tangled | Flaw::ShellLost => "the polygon was left out",
        }
    }
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.found(), self.done())
    }
}

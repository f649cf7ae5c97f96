//! What is to be drawn of a stand: its fill and its marks, handed in by others. Colours are left to `palette`.

/// The fill of a stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fill {
    /// A step of the ramp, 0 (bare) to 4 (rich); anything above counts as 4.
    Step(u8),
    /// The trees are not known: dotted, with no step.
    NotKnown,
    /// Not assessed on this map: the outline alone.
    None,
}

/// Marks of a stand; several may hold at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, PartialOrd, Ord)]
pub struct Marks(u8);

impl Marks {
    /// No mark.
    pub const NONE: Marks = Marks(0);
    /// Closed: hatched over a neutral fill, whatever the step.
    pub const CLOSED: Marks = Marks(1);
    /// A permit, consent or escort is needed first: a heavier outline.
    pub const NEED: Marks = Marks(2);
    /// The potential lies in a wide range: a broken outline.
    pub const WIDE: Marks = Marks(4);

    /// These marks and those.
    #[must_use]
    pub const fn with(self, others: Marks) -> Marks {
        Marks(self.0 | others.0)
    }

    /// A number from 0 to 7 for each set of marks.
    pub(super) const fn places(self) -> usize {
        self.0 as usize
    }

    /// Whether all of these marks hold.
    pub const fn has(self, marks: Marks) -> bool {
        self.0 & marks.0 == marks.0
    }
}

/// What is to be drawn of one stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Paint {
    /// Its fill.
    pub fill: Fill,
    /// Its marks.
    pub marks: Marks,
}

impl Paint {
    /// A fill without marks.
    pub const fn plain(fill: Fill) -> Paint {
        Paint {
            fill,
            marks: Marks::NONE,
        }
    }
}

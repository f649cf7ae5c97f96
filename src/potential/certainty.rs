//! How sure a value is, in a word. In goes a value with what is not known, out comes one of three words beside the
//! range: firm, rough, open. The range itself means: whatever the missing facts turn out to be, the value lies inside,
//! if what the map says is right.

use serde::Serialize;

use super::{Factor, Potential, View, ViewValue};
use crate::knowledge::Factors;

/// How sure a value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Certainty {
    /// A narrow range, and the map tells what weighs most: age and density beside the trees.
    Firm,
    /// A middling range, or a map that does not tell age or density of any stand.
    Rough,
    /// A wide range, or nothing known of the trees.
    Open,
}

impl Certainty {
    /// The message key of its sentence.
    pub fn key(self) -> &'static str {
        match self {
            Certainty::Firm => "certainty.firm",
            Certainty::Rough => "certainty.rough",
            Certainty::Open => "certainty.open",
        }
    }
}

impl Potential {
    /// How sure the value of a view is; `None` where the view is not assessed.
    pub fn certainty(&self, view: View, factors: &Factors) -> Option<Certainty> {
        let value = match self.view(view) {
            ViewValue::NotAssessed => return None,
            ViewValue::TreesNotKnown => return Some(Certainty::Open),
            ViewValue::Known(value) => value,
        };
        let left_out = [Factor::Age, Factor::Stocking]
            .iter()
            .any(|factor| factor.concerns(view) && self.not_assessed.contains(factor));
        Some(if value.wide {
            Certainty::Open
        } else if value.high - value.low <= factors.steps.firm_to && !left_out {
            Certainty::Firm
        } else {
            Certainty::Rough
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::assess;
    use super::super::stands::stand;
    use super::*;
    use crate::knowledge::Knowledge;

    #[test]
    fn the_word_follows_the_range_and_what_the_map_tells() {
        let knowledge = Knowledge::shipped();
        for (text, view, expected) in [
            ("oak 1, 60 yr, 25 m2", View::Roots, Some(Certainty::Firm)),
            ("ash 1, 60 yr, 25 m2", View::Roots, Some(Certainty::Firm)),
            // A map of trees alone says little, however narrow it looks.
            ("oak 1", View::Roots, Some(Certainty::Rough)),
            ("oak 1, 60 yr", View::Roots, Some(Certainty::Rough)),
            (
                "oak 1, 60 yr, 25 m2, facing south",
                View::Roots,
                Some(Certainty::Rough),
            ),
            ("oak 1, 160 yr, 25 m2", View::Roots, Some(Certainty::Rough)),
            ("oak 1, age ?, 25 m2", View::Roots, Some(Certainty::Open)),
            ("SB 1", View::Roots, Some(Certainty::Open)),
            ("ash 1, deadwood much, moist", View::Wood, Some(Certainty::Firm)),
            ("ash 1, deadwood ?, moist", View::Wood, Some(Certainty::Open)),
            ("ash 1", View::Wood, None),
        ] {
            let potential = assess(&stand(text), knowledge);
            assert_eq!(potential.certainty(view, &knowledge.factors), expected, "{text}");
        }
    }
}

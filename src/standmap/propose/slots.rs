//! Numbered properties, such as `SPECIES_CD_1` to `SPECIES_CD_6`. In go the properties of a map, out come families that
//! differ in a number or in first, second and third; what a family means is left to the evidence.

use super::seen::Property;
use crate::order;

/// The properties of a map, single and in families.
#[derive(Debug)]
pub(super) struct Table {
    pub(super) families: Vec<Family>,
}

/// Properties that differ in their slot alone; a single property is a family of one without a slot.
#[derive(Debug, Clone)]
pub(super) struct Family {
    /// The name, with `{slot}` in place of what differs.
    pub(super) template: String,
    pub(super) slots: Vec<String>,
    pub(super) members: Vec<Property>,
}

impl Family {
    pub(super) fn is_numbered(&self) -> bool {
        self.members.len() > 1
    }

    pub(super) fn names(&self) -> Vec<String> {
        self.members.iter().map(|member| member.name.clone()).collect()
    }
}

/// What forestry tables write for first, second and third.
const ORDINALS: [&[&str]; 1] = [&["PRI", "SEC", "TER"]];

impl Table {
    pub(super) fn of(properties: Vec<Property>) -> Table {
        let mut families: Vec<Family> = Vec::new();
        let names: Vec<String> = properties.iter().map(|property| property.name.clone()).collect();
        for property in properties {
            let (template, slot) =
                slotted(&property.name, &names).unwrap_or((property.name.clone(), String::new()));
            let known = families.iter_mut().find(|family| {
                !slot.is_empty() && family.template == template && !family.slots.contains(&slot)
            });
            match known {
                Some(family) => {
                    family.slots.push(slot);
                    family.members.push(property);
                }
                None => families.push(Family {
                    template,
                    slots: vec![slot],
                    members: vec![property],
                }),
            }
        }
        for family in &mut families {
            if !family.is_numbered() {
                family.template = family.members[0].name.clone();
                family.slots = vec![String::new()];
                continue;
            }
            // In the order of the slots, not of the names' bytes.
            let mut order: Vec<usize> = (0..family.slots.len()).collect();
            order::by_key(&mut order, |place| rank(&family.slots[*place]));
            family.slots = order.iter().map(|place| family.slots[*place].clone()).collect();
            family.members = order.iter().map(|place| family.members[*place].clone()).collect();
        }
        Table { families }
    }
}

fn rank(slot: &str) -> usize {
    let ordinal = ORDINALS
        .iter()
        .find_map(|words| words.iter().position(|word| *word == slot));
    ordinal.unwrap_or_else(|| {
        let digits = slot.chars().filter_map(|letter| {
            let wide = (letter as u32)
                .checked_sub('０' as u32)
                .filter(|digit| *digit < 10);
            letter.to_digit(10).or(wide)
        });
        digits.fold(0_usize, |number, digit| {
            number.saturating_mul(10).saturating_add(digit as usize)
        })
    })
}

fn is_digit(letter: char) -> bool {
    letter.is_ascii_digit() || ('０'..='９').contains(&letter)
}

/// The name with its slot taken out, where another name differs from it in the slot alone.
fn slotted(name: &str, names: &[String]) -> Option<(String, String)> {
    for words in ORDINALS {
        for word in words {
            if let Some(rest) = name.strip_prefix(word)
                && words
                    .iter()
                    .any(|other| other != word && names.contains(&format!("{other}{rest}")))
            {
                return Some((format!("{{slot}}{rest}"), (*word).to_owned()));
            }
        }
    }
    let letters: Vec<char> = name.chars().collect();
    let mut end = letters.len();
    while end > 0 {
        if !is_digit(letters[end - 1]) {
            end -= 1;
            continue;
        }
        let begin = (0..end)
            .rev()
            .find(|at| !is_digit(letters[*at]))
            .map_or(0, |at| at + 1);
        let part = |from: usize, to: usize| letters[from..to].iter().collect::<String>();
        let (before, slot, after) = (part(0, begin), part(begin, end), part(end, letters.len()));
        let is_sibling = |other: &String| {
            let inside = other
                .strip_prefix(&before)
                .and_then(|rest| rest.strip_suffix(&after));
            inside.is_some_and(|inside| inside != slot && !inside.is_empty() && inside.chars().all(is_digit))
        };
        if names.iter().any(is_sibling) {
            return Some((format!("{before}{{slot}}{after}"), slot));
        }
        end = begin;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Families in short: `SP{slot} 1 2 | NAME`.
    fn short(names: &[&str]) -> String {
        let properties = names.iter().map(|name| Property {
            name: (*name).to_owned(),
            ..Property::default()
        });
        let families = Table::of(properties.collect()).families;
        let families = families.iter().map(|family| {
            let slots = family.slots.join(" ");
            format!("{} {slots}", family.template).trim_end().to_owned()
        });
        families.collect::<Vec<_>>().join(" | ")
    }

    #[test]
    fn properties_that_differ_in_a_number_are_one_family() {
        for (names, expected) in [
            (&["SP1", "SP10", "SP2", "NAME"][..], "SP{slot} 1 2 10 | NAME"),
            (
                &["SPECIES_CD_1", "PROJ_AGE_1", "SPECIES_CD_2"],
                "SPECIES_CD_{slot} 1 2 | PROJ_AGE_1",
            ),
            (&["第１樹種名", "第２樹種名"], "第{slot}樹種名 １ ２"),
            (
                &["TERSPECIES", "PRISPECIES", "PRICE"],
                "{slot}SPECIES PRI TER | PRICE",
            ),
            (&["A1B2", "A1B3"], "A1B{slot} 2 3"),
        ] {
            assert_eq!(short(names), expected);
        }
    }
}

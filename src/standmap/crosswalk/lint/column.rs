//! The lint of one column: in goes a column and the target it leads to, out come mistakes in its steps, units, codes
//! and classes. What stands between columns is left to the rest of the lint.

use std::collections::{BTreeMap, HashMap};

use serde_json::Value;

use super::super::written::{AsOf, Class, Column, Pairs, Read, Slice, TreeEntry, Unstated, YearUse};
use super::{CODES_AT_MOST, Lint, TEXT_AT_MOST, Target, capital, count, quoted};
use crate::standmap::Severity;
use crate::standmap::cell;
use crate::standmap::columns::fold;

impl Lint<'_> {
    pub(super) fn column(&mut self, column: &Column, target: &Target) {
        let takes_tags = matches!(target, Target::Tags | Target::Settings);
        let ways = [
            !column.from.0.is_empty(),
            column.constant.is_some(),
            !column.tags.is_empty(),
        ];
        let only_unstated = matches!(target, Target::Share) && column.unstated.is_some();
        match count(&ways) {
            0 if !only_unstated => self.error(
                "no-column",
                "`from` is missing",
                "the name of a property, or `const`",
                "",
            ),
            0 | 1 => {}
            _ if takes_tags && column.constant.is_none() => {}
            _ => self.error(
                "two-rules",
                "`from`, `const` and `tags` stand side by side",
                "one of them",
                "",
            ),
        }
        self.misplaced(column, target);
        if !column.from.0.is_empty() {
            self.inside("from", |lint| lint.columns_of_tables(&column.from));
        }
        if let Some(slice) = &column.slice {
            self.inside("slice", |lint| lint.slice(slice));
        }
        if let Some(list) = &column.list {
            self.inside("list", |lint| lint.list_name(list));
        }
        let is_tree = matches!(target, Target::Tree);
        if is_tree && column.read == Some(Read::Code) && column.list.is_none() && column.codes.is_none() {
            self.code_without_list();
        }
        if let Some(codes) = &column.codes {
            self.inside("codes", |lint| lint.codes(codes, target, &column.missing));
        }
        if column.otherwise.is_some() && column.codes.is_none() && column.list.is_none() {
            self.inside("else", |lint| {
                lint.error(
                    "not-here",
                    "`else` stands without `codes`",
                    "`codes` beside it",
                    "",
                )
            });
        }
        if let Some(class) = &column.class {
            self.inside("class", |lint| lint.class(class));
        }
        let needs_unit = target.needs_unit() && ways[0];
        match &column.unit {
            Some(unit) => self.inside("unit", |lint| lint.unit(unit, target)),
            None if needs_unit && column.class.is_none() && column.codes.is_none() => {
                self.unit_missing(target)
            }
            None => {}
        }
        if let Some(Unstated::Between(low, high)) = column.unstated
            && !(0.0 <= low && low <= high && high <= 1.0)
        {
            self.inside("unstated", |lint| {
                lint.error(
                    "bad-range",
                    format!("found {low} to {high}"),
                    "two shares from low to high, 0 to 1",
                    "",
                );
            });
        }
        self.year(column);
        self.inside("tags", |lint| {
            for (index, tag) in column.tags.iter().enumerate() {
                lint.inside(index, |lint| {
                    if tag.from.0.is_empty() {
                        lint.error("no-column", "`from` is missing", "the name of a property", "");
                    }
                    if tag.tag.is_some() == tag.codes.is_some() {
                        lint.error(
                            "bad-tag",
                            "found both or neither of `tag` and `codes`",
                            "one of them",
                            "",
                        );
                    }
                    if let Some(codes) = &tag.codes {
                        lint.inside("codes", |lint| lint.codes(codes, target, &tag.missing));
                    }
                    if let (Target::Settings, Some(word)) = (target, &tag.tag) {
                        lint.inside("tag", |lint| lint.meaning(&Value::from(word.as_str()), target));
                    }
                });
            }
        });
    }

    fn misplaced(&mut self, column: &Column, target: &Target) {
        for (name, stands, why) in [
            ("list", column.list.is_some(), "lists are for trees"),
            ("class", column.class.is_some(), "classes are for numbers"),
            ("decimal", column.decimal.is_some(), "it is for numbers"),
            ("year", column.year.is_some(), "it is for `age`"),
            ("as_of", column.as_of.is_some(), "it goes with `year`"),
            ("unstated", column.unstated.is_some(), "it is for `share`"),
            (
                "split",
                column.split.is_some(),
                "it is for trees, shares, `designation` and `setting`",
            ),
            (
                "tags",
                !column.tags.is_empty(),
                "it is for `designation` and `setting`",
            ),
        ] {
            let fits = target.takes(name) && (name != "as_of" || column.year.is_some());
            if stands && !fits {
                self.inside(name, |lint| {
                    lint.error("not-here", format!("`{name}` stands here"), "none", &capital(why))
                });
            }
        }
    }

    fn year(&mut self, column: &Column) {
        match (column.year, &column.as_of) {
            (None, _) => return,
            (Some(YearUse::Age), None) => {
                let expected = "`as_of`, the year in which the ages were taken";
                self.error(
                    "as-of-missing",
                    "`year` is `age`, and `as_of` is missing",
                    expected,
                    "",
                );
            }
            (Some(YearUse::Age), Some(AsOf::Column(column))) => {
                self.inside("as_of", |lint| lint.column(column, &Target::Year));
            }
            _ => {}
        }
        if self.written.reference_year.is_none() {
            self.inside("year", |lint| lint.no_reference_year());
        }
    }

    /// Checks that the parts of split names and of split shares can be matched.
    pub(super) fn splits(&mut self, entry: &TreeEntry) {
        let splits = |column: &Option<Column>| column.as_ref().is_some_and(|column| column.split.is_some());
        let told = entry.share.as_ref().is_some_and(|share| !share.from.0.is_empty());
        if told && splits(&entry.name) != splits(&entry.share) {
            self.error(
                "bad-split",
                "`name` is split and `share` is not, or the other way round",
                "`split` in both, so that each tree finds its share",
                "",
            );
        }
    }

    fn slice(&mut self, slice: &Slice) {
        let sound = match (slice.chars, &slice.split, slice.part) {
            (Some([from, to]), None, None) => from >= 1 && from <= to,
            (None, Some(split), Some(part)) => !split.is_empty() && part >= 1,
            _ => false,
        };
        if !sound {
            let expected = "`chars` with two numbers from 1, or `split` and `part`";
            self.error("bad-slice", "the slice cannot be cut", expected, "");
        }
    }

    pub(super) fn codes(&mut self, codes: &Pairs<Value>, target: &Target, missing: &[Value]) {
        if codes.0.len() > CODES_AT_MOST {
            let found = format!("{} codes", codes.0.len());
            self.error("too-large", found, &format!("at most {CODES_AT_MOST}"), "");
        }
        let missing: Vec<String> = missing
            .iter()
            .chain(&self.written.missing)
            .filter_map(cell::text)
            .map(|text| fold(&text))
            .collect();
        let mut met: HashMap<String, &str> = HashMap::new();
        for (code, meaning) in &codes.0 {
            self.inside(code.as_str(), |lint| {
                let folded = fold(code);
                if missing.contains(&folded) {
                    let found = format!("`{code}` stands under `missing` and is a code");
                    lint.error(
                        "missing-is-code",
                        found,
                        "one of the two",
                        "A missing marker is taken off before codes",
                    );
                }
                if let Some(other) = met.insert(folded, code) {
                    let found = format!("`{code}` and `{other}` are the same code");
                    lint.error(
                        "duplicate-code",
                        found,
                        "each code once; capitals and width do not matter",
                        "",
                    );
                }
                if code.chars().count() > TEXT_AT_MOST {
                    lint.error(
                        "too-large",
                        "a code is too long",
                        &format!("at most {TEXT_AT_MOST} characters"),
                        "",
                    );
                }
                lint.meaning(meaning, target);
            });
        }
    }

    /// Whether a code's meaning is one that the target can have.
    fn meaning(&mut self, meaning: &Value, target: &Target) {
        let known = target.meanings();
        let expected = match (target, meaning) {
            (_, Value::Null) => return,
            (Target::Words(_) | Target::Deadwood | Target::Settings | Target::Share, Value::String(word)) => {
                if !known.contains(&word.as_str()) {
                    self.unknown_word(word, &known);
                }
                return;
            }
            (Target::Words(_), Value::Array(pair)) if pair.len() == 2 => {
                for word in pair {
                    self.meaning(word, target);
                }
                return;
            }
            (Target::Words(_) | Target::Settings, _) => quoted(&known),
            (Target::Tree, Value::String(name)) if !name.trim().is_empty() => return,
            (Target::Tree, Value::Object(members)) => {
                let is_group = matches!(members.get("group"), Some(Value::String(_)));
                let is_no_tree = members.get("not_tree") == Some(&Value::Bool(true));
                if members.len() == 1 && (is_group || is_no_tree) {
                    return;
                }
                "a scientific name, {\"group\": \"broadleaf\"}, {\"not_tree\": true} or null".to_owned()
            }
            (Target::Tree, _) => {
                "a scientific name, {\"group\": \"broadleaf\"}, {\"not_tree\": true} or null".to_owned()
            }
            (target, value) if target.counts() => {
                if cell::amount(value).is_some() {
                    return;
                }
                "a number, a pair of numbers from low to high, or null".to_owned()
            }
            (_, value) if cell::text(value).is_some() => return,
            _ => "a text or null".to_owned(),
        };
        self.error("bad-meaning", format!("found {meaning}"), &expected, "");
    }

    fn class(&mut self, class: &Class) {
        let rows = match class {
            Class::Table(Pairs(rows)) => rows,
            Class::Rule {
                width,
                first: [low, high],
            } => {
                if !(*width > 0.0 && low <= high && high - low < *width) {
                    let found = format!("classes {width} wide, the first from {low} to {high}");
                    self.error("bad-class", found, "a first class no wider than `width`", "");
                }
                return;
            }
        };
        let mut sorted: BTreeMap<(u64, usize), (f64, f64, &str)> = BTreeMap::new();
        for (index, (code, [low, high])) in rows.iter().enumerate() {
            let (low, high) = (low.unwrap_or(0.0), high.unwrap_or(f64::INFINITY));
            if low > high || low < 0.0 {
                self.inside(code.as_str(), |lint| {
                    lint.error(
                        "bad-class",
                        format!("found {low} to {high}"),
                        "a range from low to high, 0 or more",
                        "",
                    );
                });
                continue;
            }
            sorted.insert((low.to_bits(), index), (low, high, code));
        }
        let sorted: Vec<_> = sorted.into_values().collect();
        for (place, (one_low, one_high, one)) in sorted.iter().enumerate() {
            for (low, high, other) in sorted[place + 1..].iter().take_while(|(low, ..)| low < one_high) {
                // Several codes may stand for one class, and a coarse class may hold finer ones.
                if low > one_low && high > one_high {
                    self.inside(*other, |lint| {
                        let found = format!("`{one}` reaches to {one_high} and `{other}` begins at {low}");
                        lint.error("classes-overlap", found, "classes that do not overlap", "");
                    });
                }
            }
        }
        let mut reached: Option<(f64, f64, &str)> = None;
        for (low, high, code) in &sorted {
            if let Some((one_low, one_high, one)) = reached
                && low - one_high > (one_high - one_low).min(high - low) / 2.0
            {
                self.inside(*code, |lint| {
                    let found = format!("`{one}` reaches to {one_high} and `{code}` begins at {low}");
                    let expected = "classes without a gap";
                    let advice = "Add the class between them, if the map has one";
                    lint.say(Severity::Warning, "classes-leave-gap", found, expected, advice);
                });
            }
            if reached.is_none_or(|(_, one_high, _)| *high > one_high) {
                reached = Some((*low, *high, code));
            }
        }
    }
}

//! The lint: what can be wrong in a crosswalk without a map at hand. In goes a crosswalk as written, out come its
//! mistakes with their places; columns that a map does not have are told when it is read.

use std::collections::{BTreeMap, HashMap};

use serde_json::Value;

use super::FORMAT;
use super::mistake::{Mistake, Saying, Step, at_path};
use super::units::{self, AGES, BASAL_AREAS, LENGTHS, LOADS, PARTS, SUM, Units, WOOD_VOLUMES};
use super::written::{
    AsOf, Cases, Class, Column, Composition, LayerColumn, List, Order, Pairs, Read, Slice, TreeEntry,
    Unstated, Written, YearUse,
};
use crate::standmap::Severity;
use crate::standmap::cell;
use crate::standmap::columns::fold;
use crate::standmap::crs;
use crate::standmap::facts::{
    CLIMATE, DEADWOOD, LAYER, MOISTURE, NO_SETTING, OWNERSHIP, SETTING, SOIL_REACTION, Words, nearest,
};

/// A table has at most so many codes, and a code or name at most so many characters.
const CODES_AT_MOST: usize = 10_000;
const TEXT_AT_MOST: usize = 200;

/// What a column leads to, and so what may be said about it.
#[derive(Debug, Clone)]
enum Target {
    Text,
    Number(Units),
    Age,
    Year,
    Share,
    Canopy,
    Words(Vec<&'static str>),
    Deadwood,
    Tags,
    Settings,
    Tree,
    Attribute,
}

impl Target {
    fn counts(&self) -> bool {
        use Target::{Age, Canopy, Deadwood, Number, Share, Year};
        matches!(self, Number(_) | Age | Year | Share | Canopy | Deadwood)
    }

    fn units(&self) -> Units {
        match self {
            Target::Number(units) => units,
            Target::Share | Target::Canopy => PARTS,
            Target::Deadwood => WOOD_VOLUMES,
            Target::Age => AGES,
            _ => &[],
        }
    }
}

fn words<T>(words: Words<T>) -> Target {
    Target::Words(words.iter().map(|(word, _)| *word).collect())
}

/// All mistakes of a crosswalk.
pub(crate) fn lint(written: &Written, text: &str) -> Vec<Mistake> {
    let mut lint = Lint {
        text,
        path: Vec::new(),
        mistakes: Vec::new(),
        lists: &written.lists,
        written,
    };
    lint.whole();
    lint.mistakes
}

struct Lint<'w> {
    text: &'w str,
    path: Vec<Step>,
    mistakes: Vec<Mistake>,
    lists: &'w Pairs<List>,
    written: &'w Written,
}

impl<'w> Lint<'w> {
    fn inside<S: Into<Step>>(&mut self, step: S, check: impl FnOnce(&mut Self)) {
        self.path.push(step.into());
        check(self);
        self.path.pop();
    }

    fn say(&mut self, severity: Severity, code: &'static str, found: String, expected: &str, advice: &str) {
        let saying = Saying {
            code,
            found,
            expected: expected.to_owned(),
            advice: advice.to_owned(),
        };
        self.mistakes
            .push(at_path(self.text, &self.path, severity, saying));
    }

    fn error(&mut self, code: &'static str, found: impl Into<String>, expected: &str, advice: &str) {
        self.say(Severity::Error, code, found.into(), expected, advice);
    }

    fn whole(&mut self) {
        let written = self.written;
        if written.format != FORMAT {
            self.inside("format", |lint| {
                lint.error(
                    "format",
                    format!("the format is `{}`", written.format),
                    &format!("`{FORMAT}`"),
                    "",
                );
            });
        }
        if let Some(name) = &written.crs
            && crs::accept_name(name).is_err()
        {
            self.inside("crs", |lint| {
                let found = format!("the coordinates are in `{name}`");
                let advice =
                    "Other reference systems are not converted yet, so a map in this one will be refused";
                lint.say(
                    Severity::Warning,
                    "crs",
                    found,
                    "longitude and latitude, such as `EPSG:4326`",
                    advice,
                );
            });
        }
        self.inside("lists", |lint| {
            for (name, list) in &written.lists.0 {
                lint.inside(name.as_str(), |lint| lint.list(list));
            }
        });
        if written.trees.is_empty() {
            self.say(
                Severity::Warning,
                "no-trees",
                "nothing is mapped to `trees`".to_owned(),
                "at least one entry",
                "Without trees no stand's potential is known",
            );
        }
        if let Some(kind) = &written.kind {
            self.inside("kind", |lint| lint.cases(kind));
        }
        for (name, column, target) in targets(written) {
            if let Some(column) = column {
                self.inside(name, |lint| lint.column(column, &target));
            }
        }
        if written.planted.is_some() && written.reference_year.is_none() {
            self.inside("planted", |lint| lint.no_reference_year());
        }
        self.inside("trees", |lint| {
            for (index, entry) in written.trees.iter().enumerate() {
                lint.inside(index, |lint| lint.entry(entry));
            }
        });
        let mut names: Vec<&str> = Vec::new();
        self.inside("attributes", |lint| {
            for (name, column) in &written.attributes.0 {
                lint.inside(name.as_str(), |lint| {
                    lint.column(column, &Target::Attribute);
                    lint.once(name, &mut names);
                });
            }
        });
        self.inside("keep", |lint| {
            for (index, name) in written.keep.iter().enumerate() {
                lint.inside(index, |lint| lint.once(name, &mut names));
            }
        });
    }

    fn once(&mut self, name: &'w str, names: &mut Vec<&'w str>) {
        if names.contains(&name) {
            let found = format!("the attribute `{name}` is mapped twice");
            self.error("two-rules", found, "one rule for each target", "");
        }
        names.push(name);
    }

    fn no_reference_year(&mut self) {
        self.error(
            "no-reference-year",
            "ages follow from years, and `reference_year` is missing",
            "the year as of which ages are meant",
            "Add `\"reference_year\": 2026` beside `format`, and raise it when the map is revised",
        );
    }

    fn list(&mut self, list: &List) {
        match (&list.codes, &list.from_file) {
            (Some(codes), _) => self.inside("codes", |lint| lint.codes(codes, &Target::Tree, &[])),
            (None, Some(_)) => {}
            (None, None) => self.error(
                "empty-list",
                "the list has no codes",
                "`codes` or `from_file`",
                "",
            ),
        }
    }

    fn cases(&mut self, kind: &Cases) {
        if kind.otherwise.is_none() {
            self.error(
                "when-without-else",
                "`when` has no `else`",
                "`else`, what a feature is where no case holds",
                "Write `\"else\": \"stand\"` or `\"else\": \"not-forest\"`",
            );
        }
        self.inside("when", |lint| {
            for (index, case) in kind.when.iter().enumerate() {
                let tests = [
                    case.eq.is_some(),
                    case.any_of.is_some(),
                    case.present.is_some(),
                    case.between.is_some(),
                ];
                if tests.iter().filter(|test| **test).count() != 1 {
                    lint.inside(index, |lint| {
                        let found = format!("the case on `{}` has {} tests", case.col, count(&tests));
                        lint.error("bad-case", found, "one of `eq`, `in`, `present`, `between`", "");
                    });
                }
            }
        });
    }

    fn entry(&mut self, entry: &TreeEntry) {
        match (&entry.name, &entry.composition) {
            (Some(_), None) | (None, Some(_)) => {}
            (Some(_), Some(_)) => self.error(
                "two-rules",
                "`name` and `composition` stand side by side",
                "one of them",
                "",
            ),
            (None, None) => self.error(
                "no-tree-name",
                "the entry names no tree",
                "`name` or `composition`",
                "",
            ),
        }
        if let Some(column) = &entry.name {
            self.inside("name", |lint| lint.column(column, &Target::Tree));
        }
        if let Some(column) = &entry.share {
            if entry.composition.is_some() {
                self.inside("share", |lint| {
                    lint.error(
                        "not-here",
                        "a composition has its shares inside",
                        "no `share` beside it",
                        "",
                    );
                });
            }
            self.inside("share", |lint| lint.column(column, &Target::Share));
        }
        match &entry.layer {
            Some(LayerColumn::Column(column)) => {
                self.inside("layer", |lint| lint.column(column, &words(LAYER)))
            }
            Some(LayerColumn::Word(word)) => {
                let known: Vec<&str> = LAYER.iter().map(|(word, _)| *word).collect();
                if !known.contains(&word.as_str()) {
                    self.inside("layer", |lint| lint.unknown_word(word, &known));
                }
            }
            None => {}
        }
        if let Some(composition) = &entry.composition {
            self.inside("composition", |lint| lint.composition(composition));
        }
        if let Some(repeat) = &entry.repeat {
            let named = entry
                .name
                .iter()
                .chain(&entry.share)
                .flat_map(|column| &column.from.0);
            if repeat.slot.is_empty() || !named.into_iter().any(|name| name.contains("{slot}")) {
                self.inside("repeat", |lint| {
                    lint.error(
                        "bad-repeat",
                        "no column of the entry has `{slot}` in its name, or there is no slot",
                        "fillers, and names such as `SPECIES_CD_{slot}`",
                        "",
                    );
                });
            }
        }
    }

    fn composition(&mut self, composition: &Composition) {
        if composition.from.0.is_empty() {
            self.error("no-column", "`from` is missing", "the name of a property", "");
        }
        match (composition.order, composition.unit.as_deref()) {
            (Order::Digits, None) => {}
            (_, None) => self.unit_missing(&Target::Share),
            (_, Some(unit)) => self.inside("unit", |lint| lint.unit(unit, &Target::Share)),
        }
        match composition.list.as_deref() {
            Some(list) => self.inside("list", |lint| lint.list_name(list)),
            None if composition.order == Order::Digits => {}
            None => self.code_without_list(),
        }
        for (name, mark) in [
            ("trace", &composition.trace),
            ("layer_mark", &composition.layer_mark),
        ] {
            if let Some(mark) = mark
                && mark.chars().count() != 1
            {
                self.inside(name, |lint| {
                    lint.error("bad-mark", format!("found `{mark}`"), "one character", "");
                });
            }
        }
        if (composition.order == Order::Digits) == composition.slots.is_empty() {
            let found = if composition.slots.is_empty() {
                "`slots` is missing"
            } else {
                "`slots` stands here"
            };
            self.error(
                "bad-slots",
                found,
                "`slots` with the order `digits`, and with no other",
                "",
            );
        }
        let positional = composition.order == Order::Positional;
        if positional != (composition.width.is_some_and(|width| width > 0) && !composition.weights.is_empty())
        {
            let found = "`width` and `weights` do not go with the order";
            self.error(
                "bad-weights",
                found,
                "both with the order `positional`, and with no other",
                "",
            );
        }
    }

    fn unit_missing(&mut self, target: &Target) {
        let expected = match target {
            Target::Canopy => "`percent`, `tenths` or `fraction`",
            _ => "`percent`, `tenths`, `fraction` or `sum`",
        };
        let advice = "Look at the map: 70 is percent, 7 is tenths, 0.7 is a fraction";
        self.error("unit-missing", "the `unit` is missing", expected, advice);
    }

    fn code_without_list(&mut self) {
        self.error(
            "code-without-list",
            "tree codes are read without a list",
            "`list`, or `codes`",
            "The same code means different trees in different countries, so none is guessed",
        );
    }

    fn list_name(&mut self, name: &str) {
        let known: Vec<&str> = self.lists.0.iter().map(|(name, _)| name.as_str()).collect();
        match self.lists.0.iter().find(|(known, _)| known == name) {
            Some((_, list)) if list.codes.is_some() => {}
            Some((_, list)) => {
                let file = list.from_file.as_deref().unwrap_or_default();
                let found =
                    format!("the list `{name}` stands in the file `{file}`, which was not handed over");
                self.error(
                    "list-not-given",
                    found,
                    "its codes",
                    "Write the codes into the crosswalk under `lists`",
                );
            }
            None => {
                let advice = match nearest(known.iter().copied(), name) {
                    Some(near) => format!("Did you mean `{near}`?"),
                    None => "Add the list under `lists`".to_owned(),
                };
                let found = format!("there is no list `{name}`");
                let expected = if known.is_empty() {
                    "a list".to_owned()
                } else {
                    format!("one of {}", quoted(&known))
                };
                self.error("unknown-list", found, &expected, &advice);
            }
        }
    }

    fn unit(&mut self, unit: &str, target: &Target) {
        let units = target.units();
        let known: Vec<&str> = units
            .iter()
            .map(|(unit, _)| *unit)
            .chain(matches!(target, Target::Share).then_some(SUM))
            .collect();
        if known.is_empty() {
            self.error(
                "not-here",
                "a `unit` stands here",
                "none, since this is no quantity",
                "",
            );
        } else if units::factor(units, unit).is_none() && !known.contains(&unit) {
            self.unknown_word(unit, &known);
        }
    }

    fn unknown_word(&mut self, word: &str, known: &[&str]) {
        let advice = nearest(known.iter().copied(), word).map(|near| format!("Did you mean `{near}`?"));
        let expected = format!("one of {}", quoted(known));
        self.error(
            "unknown-word",
            format!("found the word `{word}`"),
            &expected,
            &advice.unwrap_or_default(),
        );
    }

    fn column(&mut self, column: &Column, target: &Target) {
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
        let needs_unit = matches!(target, Target::Share | Target::Canopy) && ways[0];
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
        let takes_tags = matches!(target, Target::Tags | Target::Settings);
        let counts = target.counts();
        for (name, stands, fits, why) in [
            (
                "list",
                column.list.is_some(),
                matches!(target, Target::Tree),
                "lists are for trees",
            ),
            ("class", column.class.is_some(), counts, "classes are for numbers"),
            (
                "decimal",
                column.decimal.is_some(),
                counts || matches!(target, Target::Attribute),
                "it is for numbers",
            ),
            (
                "year",
                column.year.is_some(),
                matches!(target, Target::Age),
                "it is for `age`",
            ),
            (
                "as_of",
                column.as_of.is_some(),
                column.year.is_some(),
                "it goes with `year`",
            ),
            (
                "unstated",
                column.unstated.is_some(),
                matches!(target, Target::Share),
                "it is for `share`",
            ),
            (
                "split",
                column.split.is_some(),
                takes_tags,
                "it is for `designation` and `setting`",
            ),
            (
                "tags",
                !column.tags.is_empty(),
                takes_tags,
                "it is for `designation` and `setting`",
            ),
        ] {
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

    fn codes(&mut self, codes: &Pairs<Value>, target: &Target, missing: &[Value]) {
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
        let known: Vec<&str> = match target {
            Target::Words(words) => words.clone(),
            Target::Deadwood => DEADWOOD.iter().map(|(word, _)| *word).collect(),
            Target::Settings => SETTING
                .iter()
                .map(|(word, _)| *word)
                .chain([NO_SETTING])
                .collect(),
            Target::Share => vec!["trace"],
            _ => Vec::new(),
        };
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
        for pair in sorted.windows(2) {
            let [(one_low, one_high, one), (low, high, other)] = pair else {
                continue;
            };
            // Several codes may stand for one class.
            if low < one_high && (low, high) != (one_low, one_high) {
                self.inside(*other, |lint| {
                    let found = format!("`{one}` reaches to {one_high} and `{other}` begins at {low}");
                    lint.error("classes-overlap", found, "classes that do not overlap", "");
                });
            }
        }
    }
}

fn targets(written: &Written) -> [(&'static str, &Option<Column>, Target); 17] {
    [
        ("id", &written.id, Target::Text),
        ("name", &written.name, Target::Text),
        ("age", &written.age, Target::Age),
        ("planted", &written.planted, Target::Year),
        ("canopy", &written.canopy, Target::Canopy),
        ("basal_area", &written.basal_area, Target::Number(BASAL_AREAS)),
        ("height", &written.height, Target::Number(LENGTHS)),
        ("nitrogen", &written.nitrogen, Target::Number(LOADS)),
        ("soil_reaction", &written.soil_reaction, words(SOIL_REACTION)),
        ("moisture", &written.moisture, words(MOISTURE)),
        ("elevation", &written.elevation, Target::Number(LENGTHS)),
        ("deadwood", &written.deadwood, Target::Deadwood),
        ("setting", &written.setting, Target::Settings),
        ("designation", &written.designation, Target::Tags),
        ("ownership", &written.ownership, words(OWNERSHIP)),
        ("use", &written.land_use, Target::Text),
        ("climate", &written.climate, words(CLIMATE)),
    ]
}

fn count(tests: &[bool]) -> usize {
    tests.iter().filter(|test| **test).count()
}

fn quoted(words: &[&str]) -> String {
    words
        .iter()
        .map(|word| format!("`{word}`"))
        .collect::<Vec<_>>()
        .join(", ")
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

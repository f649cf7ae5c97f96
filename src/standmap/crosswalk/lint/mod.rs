//! The lint: what can be wrong in a crosswalk without a map at hand. In goes a crosswalk as written, out come its
//! mistakes with their places; columns that a map does not have are told when it is read.

mod column;
mod tables;

use super::FORMAT;
use super::joined::Table;
use super::mistake::{Mistake, Saying, Step, at_path};
use super::units::{AGES, BASAL_AREAS, LENGTHS, LOADS, OWN_SUMS, PARTS, Units, WOOD_VOLUMES};
use super::written::{Cases, Column, Composition, LayerColumn, List, Order, Pairs, TreeEntry, Written};
use crate::standmap::Severity;
use crate::standmap::crs;
use crate::standmap::facts::{
    ASPECT, CLIMATE, DEADWOOD, DISTURBANCE, LAYER, MOISTURE, NO_SETTING, NUTRIENTS, OWNERSHIP, SETTING,
    SOIL_REACTION, Words, nearest,
};
use crate::standmap::letters;

/// A table has at most so many codes, and a code or name at most so many characters.
const CODES_AT_MOST: usize = 10_000;
const TEXT_AT_MOST: usize = 200;

/// What a column leads to, and so what may be said about it.
#[derive(Debug, Clone)]
pub(crate) enum Target {
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
    pub(crate) fn counts(&self) -> bool {
        use Target::{Age, Canopy, Deadwood, Number, Share, Year};
        matches!(self, Number(_) | Age | Year | Share | Canopy | Deadwood)
    }

    /// Whether a column that leads to it may have a member; members that every column may have are not asked about.
    pub(crate) fn takes(&self, member: &str) -> bool {
        let takes_tags = matches!(self, Target::Tags | Target::Settings);
        match member {
            "list" => matches!(self, Target::Tree),
            "class" => self.counts(),
            "decimal" => self.counts() || matches!(self, Target::Attribute),
            "year" | "as_of" => matches!(self, Target::Age),
            "unstated" => matches!(self, Target::Share),
            "split" => takes_tags || matches!(self, Target::Tree | Target::Share),
            "tags" => takes_tags,
            "unit" => !self.unit_names().is_empty(),
            _ => true,
        }
    }

    /// The units that it may be told in.
    pub(crate) fn unit_names(&self) -> Vec<&'static str> {
        let own_sums = OWN_SUMS.iter().filter(|_| matches!(self, Target::Share));
        let units = self.units().iter().map(|(unit, _)| *unit);
        units.chain(own_sums.map(|(unit, _)| *unit)).collect()
    }

    /// The words that a code may stand for, where they are listed.
    pub(crate) fn meanings(&self) -> Vec<&'static str> {
        match self {
            Target::Words(words) => words.clone(),
            Target::Deadwood => DEADWOOD.iter().map(|(word, _)| *word).collect(),
            Target::Settings => {
                let settings = SETTING.iter().map(|(word, _)| *word);
                settings.chain([NO_SETTING]).collect()
            }
            Target::Share => vec!["trace"],
            _ => Vec::new(),
        }
    }

    /// Whether a share or cover is told, so that its unit has to be named.
    pub(crate) fn needs_unit(&self) -> bool {
        matches!(self, Target::Share | Target::Canopy)
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
pub(crate) fn lint(written: &Written, tables: &[(String, Table)], text: &str) -> Vec<Mistake> {
    let mut lint = Lint {
        text,
        tables,
        rows: None,
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
    tables: &'w [(String, Table)],
    /// The table whose rows the entry at hand reads.
    rows: Option<&'w (String, Table)>,
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

    /// Checks the name of an encoding.
    fn encoding(&mut self, name: &str) {
        if letters::of_name(name).is_some() {
            return;
        }
        let known: Vec<String> = letters::ENCODINGS
            .iter()
            .map(|known| format!("`{}`", known.name))
            .collect();
        self.inside("encoding", |lint| {
            lint.error(
                "bad-encoding",
                format!("the encoding is `{name}`"),
                &format!("one of {}", known.join(", ")),
                "UTF-8 and UTF-16 need not be named; save files in other encodings again as UTF-8",
            );
        });
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
        if let Some(name) = &written.encoding {
            self.encoding(name);
        }
        if let Some(name) = &written.crs
            && let Err(unreadable) = crs::of_name(name)
        {
            self.inside("crs", |lint| {
                lint.error(
                    "crs",
                    format!("the coordinates are in `{name}`"),
                    "a reference system that can be converted, such as `EPSG:4326`",
                    &unreadable.advice,
                );
            });
        }
        if let Some([west, south, east, north]) = written.region {
            let on_earth = |degrees: f64, end: f64| (-end..=end).contains(&degrees);
            let sound = [west, east].into_iter().all(|degrees| on_earth(degrees, 180.0))
                && [south, north].into_iter().all(|degrees| on_earth(degrees, 90.0))
                && south < north
                && west != east;
            if !sound {
                self.inside("region", |lint| {
                    let found = format!("the box {west}, {south}, {east}, {north}");
                    let expected = "west, south, east and north in degrees, south below north";
                    lint.error("bad-region", found, expected, "");
                });
            }
        }
        for language in written.language.iter().flat_map(|names| &names.0) {
            if !is_language(language) {
                self.inside("language", |lint| {
                    let found = format!("the language is `{language}`");
                    lint.error(
                        "bad-language",
                        found,
                        "a language tag such as `de` or `fr-CA`",
                        "",
                    );
                });
            }
        }
        self.inside("lists", |lint| {
            for (name, list) in &written.lists.0 {
                lint.inside(name.as_str(), |lint| lint.list(list));
            }
        });
        self.tables();
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
                lint.inside(index, |lint| lint.tests(&case.col, tests));
            }
        });
    }

    fn tests(&mut self, column: &str, tests: [bool; 4]) {
        if count(&tests) != 1 {
            let found = format!("the case on `{column}` has {} tests", count(&tests));
            self.error("bad-case", found, "one of `eq`, `in`, `present`, `between`", "");
        }
    }

    fn entry(&mut self, entry: &'w TreeEntry) {
        self.entry_rows(entry);
        let tables = self.tables;
        self.rows = tables.iter().find(|(name, _)| Some(name) == entry.rows.as_ref());
        self.entry_inside(entry);
        self.rows = None;
    }

    fn entry_inside(&mut self, entry: &TreeEntry) {
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
        self.splits(entry);
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
            _ => "`percent`, `tenths`, `fraction`, `sum`, `area`, `volume`, `basal_area` or `stems`",
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
        let known = target.unit_names();
        if known.is_empty() {
            self.error(
                "not-here",
                "a `unit` stands here",
                "none, since this is no quantity",
                "",
            );
        } else if !known.contains(&unit) {
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
}

/// The targets of the whole file, with what is written of them.
pub(crate) fn targets(written: &Written) -> [(&'static str, &Option<Column>, Target); 21] {
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
        ("nutrients", &written.nutrients, words(NUTRIENTS)),
        ("aspect", &written.aspect, words(ASPECT)),
        ("disturbance", &written.disturbance, words(DISTURBANCE)),
        ("since", &written.since, Target::Age),
        ("elevation", &written.elevation, Target::Number(LENGTHS)),
        ("deadwood", &written.deadwood, Target::Deadwood),
        ("setting", &written.setting, Target::Settings),
        ("designation", &written.designation, Target::Tags),
        ("ownership", &written.ownership, words(OWNERSHIP)),
        ("use", &written.land_use, Target::Text),
        ("climate", &written.climate, words(CLIMATE)),
    ]
}

/// Whether a text has the form of a language tag (BCP 47): two or three small letters, then parts after hyphens.
fn is_language(tag: &str) -> bool {
    let mut parts = tag.split('-');
    let language = parts.next().unwrap_or_default();
    (2..=3).contains(&language.len())
        && language.bytes().all(|byte| byte.is_ascii_lowercase())
        && parts.all(|part| {
            (1..=8).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_alphanumeric())
        })
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

//! Crosswalks that are refused: each check of reading and lint with a crosswalk that it rejects, and the exact message.

use std::collections::BTreeMap;

use hostwood::standmap::{Crosswalk, FORMAT};

/// A crosswalk with these members behind `format`.
fn written(members: &str) -> String {
    format!("{{\"format\": \"{FORMAT}\", {members}}}")
}

/// All mistakes of a crosswalk, errors or not, without the words that are the same in all.
fn mistakes(text: &str) -> Vec<String> {
    said(Crosswalk::read(text.as_bytes()))
}

fn said(read: Result<Crosswalk, Vec<hostwood::standmap::Mistake>>) -> Vec<String> {
    let mistakes = match read {
        Ok(crosswalk) => crosswalk.warnings,
        Err(mistakes) => mistakes,
    };
    let mistakes = mistakes.iter().filter(|mistake| mistake.code != "no-trees");
    mistakes
        .map(|mistake| {
            format!(
                "{}: {}",
                mistake.code,
                mistake.to_string().trim_start_matches("crosswalk, ")
            )
        })
        .collect()
}

#[test]
fn files_that_are_no_crosswalk_are_refused() {
    let cases: &[(&str, &[&str])] = &[
        (
            "",
            &["empty: line 1, column 1: the file is empty, expected a crosswalk."],
        ),
        (
            "<html>",
            &[
                "not-json: line 1, column 1: this looks like a web page or XML, expected JSON. Check the address of the crosswalk.",
            ],
        ),
        (
            r#"{"format": "#,
            &[
                "not-json: line 1, column 11: the text ends too early, expected the closing bracket. Upload the whole file.",
            ],
        ),
        (
            "[]",
            &["wrong-type: line 1, column 2: found an array, expected an object."],
        ),
        (
            "{}",
            &["missing-member: line 1, column 2: `format` is missing, expected a member `format`."],
        ),
        (
            r#"{"format": "hostwood-crosswalk/2.0"}"#,
            &[
                "format: line 1, column 2, `format`: the format is `hostwood-crosswalk/2.0`, expected `hostwood-crosswalk/1.0`.",
            ],
        ),
    ];
    for (text, expected) in cases {
        assert_eq!(mistakes(text), *expected, "{text}");
    }
}

#[test]
fn mistakes_are_told_with_place_and_advice() {
    let cases: &[(&str, &[&str])] = &[
        (
            r#""ages": {}"#,
            &[
                "unknown-member: line 1, column 43, `ages`: found the member `ages`, expected one of `format`, `$schema`, `$comment`, `encoding`, `crs`, `region`, `language`, `reference_year`, `missing`, `lists`, `tables`, `kind`, `id`, `name`, `trees`, `age`, `planted`, `canopy`, `basal_area`, `height`, `nitrogen`, `soil_reaction`, `moisture`, `nutrients`, `aspect`, `disturbance`, `since`, `elevation`, `deadwood`, `setting`, `designation`, `ownership`, `use`, `climate`, `attributes`, `keep`. Did you mean `age`?",
            ],
        ),
        (
            r#""age": {"form": "A"}"#,
            &[
                "unknown-member: line 1, column 51, `age`, `form`: found the member `form`, expected one of `$comment`, `from`, `const`, `missing`, `slice`, `read`, `decimal`, `list`, `codes`, `else`, `class`, `unit`, `unstated`, `year`, `as_of`, `split`, `tags`. Did you mean `from`?",
            ],
        ),
        (
            r#""age": {"from": 3}"#,
            &[
                "wrong-type: line 1, column 54, `age`, `from`: found the number `3`, expected the name of a property, or an array of names.",
            ],
        ),
        (
            r#""age": {"from": "A"}, "age": {"from": "B"}"#,
            &[
                "two-rules: line 1, column 64, `age`: `age` is written twice, expected one rule for each target.",
            ],
        ),
        (
            r#""age": {"from": "A", "read": "numbr"}"#,
            &[
                "unknown-word: line 1, column 73, `age`, `read`: found the word `numbr`, expected one of `code`, `text`, `number`, `number-in-text`, `year`. Did you mean `number`?",
            ],
        ),
        (
            r#""trees": [{"name": {"from": "S"}, "composition": {"order": "sharecode"}}]"#,
            &[
                "unknown-word: line 1, column 107, `trees` 1, `composition`, `order`: found the word `sharecode`, expected one of `code-share`, `share-code`, `positional`, `digits`. Did you mean `share-code`?",
            ],
        ),
        (
            r#""reference_year": "2026""#,
            &[
                r#"wrong-type: line 1, column 61, `reference_year`: found the text "2026", expected a whole number."#,
            ],
        ),
        (
            r#""crs": "EPSG:27582""#,
            &[
                "crs: line 1, column 38, `crs`: the coordinates are in `EPSG:27582`, expected a reference system that can be converted, such as `EPSG:4326`. Export the map in longitude and latitude (WGS 84, EPSG:4326), or in a grid that can be: UTM zones (EPSG:326xx, 327xx, 258xx, 269xx), Europe (EPSG:3035), or a national grid such as EPSG:27700, 2154, 2180, 3067, 5514 or 5070.",
            ],
        ),
        (
            r#""language": ["fr-CA", "german"]"#,
            &[
                "bad-language: line 1, column 38, `language`: the language is `german`, expected a language tag such as `de` or `fr-CA`.",
            ],
        ),
        (
            r#""encoding": "ANSI""#,
            &[
                "bad-encoding: line 1, column 38, `encoding`: the encoding is `ANSI`, expected one of `windows-1250`, `windows-1251`, `windows-1252`, `windows-1253`, `windows-1254`, `windows-1257`, `iso-8859-2`, `iso-8859-13`, `iso-8859-15`. UTF-8 and UTF-16 need not be named; save files in other encodings again as UTF-8.",
            ],
        ),
        (
            r#""region": [10.2, 50.4, 10.6, 50.1]"#,
            &[
                "bad-region: line 1, column 38, `region`: the box 10.2, 50.4, 10.6, 50.1, expected west, south, east and north in degrees, south below north.",
            ],
        ),
        (
            r#""region": [600000, 200000, 700000, 300000]"#,
            &[
                "bad-region: line 1, column 38, `region`: the box 600000, 200000, 700000, 300000, expected west, south, east and north in degrees, south below north.",
            ],
        ),
        (
            r#""trees": [{"name": {"from": "S"}, "share": {"from": "P"}}]"#,
            &[
                "unit-missing: line 1, column 72, `trees` 1, `share`: the `unit` is missing, expected `percent`, `tenths`, `fraction`, `sum`, `area`, `volume`, `basal_area` or `stems`. Look at the map: 70 is percent, 7 is tenths, 0.7 is a fraction.",
            ],
        ),
        (
            r#""canopy": {"from": "CC"}"#,
            &[
                "unit-missing: line 1, column 38, `canopy`: the `unit` is missing, expected `percent`, `tenths` or `fraction`. Look at the map: 70 is percent, 7 is tenths, 0.7 is a fraction.",
            ],
        ),
        (
            r#""trees": [{"name": {"from": "S", "read": "code"}}]"#,
            &[
                "code-without-list: line 1, column 49, `trees` 1, `name`: tree codes are read without a list, expected `list`, or `codes`. The same code means different trees in different countries, so none is guessed.",
            ],
        ),
        (
            r#""trees": [{"name": {"from": "S", "list": "fj"}}], "lists": {"fi": {"codes": {"1": "Pinus"}}}"#,
            &[
                "unknown-list: line 1, column 71, `trees` 1, `name`, `list`: there is no list `fj`, expected one of `fi`. Did you mean `fi`?",
            ],
        ),
        (
            r#""trees": [{"name": {"from": "S", "list": "fi"}}], "lists": {"fi": {"from_file": "fi.json"}}"#,
            &[
                "list-not-given: line 1, column 71, `trees` 1, `name`, `list`: the list `fi` stands in the file `fi.json`, which was not handed over, expected its codes. Write the codes into the crosswalk under `lists`.",
            ],
        ),
        (
            r#""trees": [{"name": {"from": "S", "list": "fi"}}]"#,
            &[
                "unknown-list: line 1, column 71, `trees` 1, `name`, `list`: there is no list `fi`, expected a list. Add the list under `lists`.",
            ],
        ),
        (
            r#""lists": {"fi": {}}"#,
            &[
                "empty-list: line 1, column 48, `lists`, `fi`: the list has no codes, expected `codes` or `from_file`.",
            ],
        ),
        (
            r#""lists": {"fi": {"codes": {"1": 5, "2": {"grop": "broadleaf"}, "a": "Acer", "A": "Abies"}}}"#,
            &[
                r#"bad-meaning: line 1, column 65, `lists`, `fi`, `codes`, `1`: found 5, expected a scientific name, {"group": "broadleaf"}, {"not_tree": true} or null."#,
                r#"bad-meaning: line 1, column 73, `lists`, `fi`, `codes`, `2`: found {"grop":"broadleaf"}, expected a scientific name, {"group": "broadleaf"}, {"not_tree": true} or null."#,
                "duplicate-code: line 1, column 114, `lists`, `fi`, `codes`, `A`: `A` and `a` are the same code, expected each code once; capitals and width do not matter.",
            ],
        ),
        (
            r#""canopy": {"from": "D", "class": {"A": [0.8, 1], "B": [0.6, 0.85], "C": [0.5, 0.4]}}"#,
            &[
                "classes-overlap: line 1, column 72, `canopy`, `class`, `A`: `B` reaches to 0.85 and `A` begins at 0.8, expected classes that do not overlap.",
                "bad-class: line 1, column 105, `canopy`, `class`, `C`: found 0.5 to 0.4, expected a range from low to high, 0 or more.",
            ],
        ),
        (
            r#""age": {"from": "D", "class": {"1": [0, 20], "2": [21, 40], "4": [61, 80], "young": [0, 40]}}"#,
            &[
                "classes-leave-gap: line 1, column 98, `age`, `class`, `4`: `young` reaches to 40 and `4` begins at 61, expected classes without a gap. Add the class between them, if the map has one.",
            ],
        ),
        (
            r#""age": {"from": "D", "class": {"width": 5, "first": [1, 10]}}"#,
            &[
                "bad-class: line 1, column 59, `age`, `class`: classes 5 wide, the first from 1 to 10, expected a first class no wider than `width`.",
            ],
        ),
        (
            r#""age": {"from": "D", "class": {"width": 5}}"#,
            &[
                "missing-member: line 1, column 79, `age`, `class`, `width`: `first` is missing, expected a member `first`.",
            ],
        ),
        (
            r#""kind": {"when": [{"col": "T", "in": ["x"], "then": "stand"}]}"#,
            &[
                r#"when-without-else: line 1, column 38, `kind`: `when` has no `else`, expected `else`, what a feature is where no case holds. Write `"else": "stand"` or `"else": "not-forest"`."#,
            ],
        ),
        (
            r#""kind": {"when": [{"col": "T", "then": "stand"}], "else": "stand"}"#,
            &[
                "bad-case: line 1, column 56, `kind`, `when` 1: the case on `T` has 0 tests, expected one of `eq`, `in`, `present`, `between`.",
            ],
        ),
        (
            r#""when": []"#,
            &[
                "unknown-member: line 1, column 43, `when`: found the member `when`, expected one of `format`, `$schema`, `$comment`, `encoding`, `crs`, `region`, `language`, `reference_year`, `missing`, `lists`, `tables`, `kind`, `id`, `name`, `trees`, `age`, `planted`, `canopy`, `basal_area`, `height`, `nitrogen`, `soil_reaction`, `moisture`, `nutrients`, `aspect`, `disturbance`, `since`, `elevation`, `deadwood`, `setting`, `designation`, `ownership`, `use`, `climate`, `attributes`, `keep`. Write both inside `kind`.",
            ],
        ),
        (
            r#""age": {"from": "Y", "year": "origin"}"#,
            &[
                r#"no-reference-year: line 1, column 59, `age`, `year`: ages follow from years, and `reference_year` is missing, expected the year as of which ages are meant. Add `"reference_year": 2026` beside `format`, and raise it when the map is revised."#,
            ],
        ),
        (
            r#""planted": {"from": "Y"}"#,
            &[
                r#"no-reference-year: line 1, column 38, `planted`: ages follow from years, and `reference_year` is missing, expected the year as of which ages are meant. Add `"reference_year": 2026` beside `format`, and raise it when the map is revised."#,
            ],
        ),
        (
            r#""reference_year": 2026, "age": {"from": "Y", "year": "age"}"#,
            &[
                "as-of-missing: line 1, column 62, `age`: `year` is `age`, and `as_of` is missing, expected `as_of`, the year in which the ages were taken.",
            ],
        ),
        (
            r#""moisture": {"from": "M", "codes": {"1": "damp", "2": "wett", "3": ["dry", "fresch"]}}"#,
            &[
                "unknown-word: line 1, column 74, `moisture`, `codes`, `1`: found the word `damp`, expected one of `dry`, `fresh`, `moist`, `wet`.",
                "unknown-word: line 1, column 87, `moisture`, `codes`, `2`: found the word `wett`, expected one of `dry`, `fresh`, `moist`, `wet`. Did you mean `wet`?",
                "unknown-word: line 1, column 100, `moisture`, `codes`, `3`: found the word `fresch`, expected one of `dry`, `fresh`, `moist`, `wet`. Did you mean `fresh`?",
            ],
        ),
        (
            r#""moisture": {"from": "M", "missing": [0], "codes": {"0": "dry"}}"#,
            &[
                "missing-is-code: line 1, column 90, `moisture`, `codes`, `0`: `0` stands under `missing` and is a code, expected one of the two. A missing marker is taken off before codes.",
            ],
        ),
        (
            r#""age": {}"#,
            &[
                "no-column: line 1, column 38, `age`: `from` is missing, expected the name of a property, or `const`.",
            ],
        ),
        (
            r#""age": {"from": "A", "const": 5}"#,
            &[
                "two-rules: line 1, column 38, `age`: `from`, `const` and `tags` stand side by side, expected one of them.",
            ],
        ),
        (
            r#""name": {"from": "A", "unit": "m"}"#,
            &[
                "not-here: line 1, column 60, `name`, `unit`: a `unit` stands here, expected none, since this is no quantity.",
            ],
        ),
        (
            r#""height": {"from": "A", "unit": "metres"}"#,
            &[
                "unknown-word: line 1, column 62, `height`, `unit`: found the word `metres`, expected one of `m`, `dm`, `cm`, `ft`.",
            ],
        ),
        (
            r#""name": {"from": "A", "class": {}, "list": "x", "split": ";", "year": "origin"}"#,
            &[
                "not-here: line 1, column 60, `name`, `class`: `class` stands here, expected none. Classes are for numbers.",
                "not-here: line 1, column 73, `name`, `list`: `list` stands here, expected none. Lists are for trees.",
                "unknown-list: line 1, column 73, `name`, `list`: there is no list `x`, expected a list. Add the list under `lists`.",
                "not-here: line 1, column 86, `name`, `split`: `split` stands here, expected none. It is for trees, shares, `designation` and `setting`.",
                "not-here: line 1, column 100, `name`, `year`: `year` stands here, expected none. It is for `age`.",
                r#"no-reference-year: line 1, column 100, `name`, `year`: ages follow from years, and `reference_year` is missing, expected the year as of which ages are meant. Add `"reference_year": 2026` beside `format`, and raise it when the map is revised."#,
            ],
        ),
        (
            r#""name": {"from": "A", "else": "keep"}"#,
            &[
                "not-here: line 1, column 60, `name`, `else`: `else` stands without `codes`, expected `codes` beside it.",
            ],
        ),
        (
            r#""name": {"from": "A", "slice": {"chars": [0, 2]}}"#,
            &[
                "bad-slice: line 1, column 60, `name`, `slice`: the slice cannot be cut, expected `chars` with two numbers from 1, or `split` and `part`.",
            ],
        ),
        (
            r#""attributes": {"x": {"from": "A"}}, "keep": ["x"]"#,
            &[
                "two-rules: line 1, column 83, `keep` 1: the attribute `x` is mapped twice, expected one rule for each target.",
            ],
        ),
        (
            r#""designation": {"tags": [{"from": "A"}, {"tag": "x"}]}"#,
            &[
                "bad-tag: line 1, column 63, `designation`, `tags` 1: found both or neither of `tag` and `codes`, expected one of them.",
                "no-column: line 1, column 78, `designation`, `tags` 2: `from` is missing, expected the name of a property.",
            ],
        ),
        (
            r#""trees": [{}, {"name": {"const": "Fagus"}, "composition": {"from": "C", "order": "share-code"}}]"#,
            &[
                "no-tree-name: line 1, column 48, `trees` 1: the entry names no tree, expected `name` or `composition`.",
                "two-rules: line 1, column 52, `trees` 2: `name` and `composition` stand side by side, expected one of them.",
                "unit-missing: line 1, column 81, `trees` 2, `composition`: the `unit` is missing, expected `percent`, `tenths`, `fraction`, `sum`, `area`, `volume`, `basal_area` or `stems`. Look at the map: 70 is percent, 7 is tenths, 0.7 is a fraction.",
                "code-without-list: line 1, column 81, `trees` 2, `composition`: tree codes are read without a list, expected `list`, or `codes`. The same code means different trees in different countries, so none is guessed.",
            ],
        ),
        (
            r#""trees": [{"composition": {"from": "C", "order": "digits", "unit": "perMille", "trace": "++"}}]"#,
            &[
                "bad-slots: line 1, column 49, `trees` 1, `composition`: `slots` is missing, expected `slots` with the order `digits`, and with no other.",
                "unknown-word: line 1, column 97, `trees` 1, `composition`, `unit`: found the word `perMille`, expected one of `fraction`, `tenths`, `percent`, `sum`, `area`, `volume`, `basal_area`, `stems`.",
                "bad-mark: line 1, column 117, `trees` 1, `composition`, `trace`: found `++`, expected one character.",
            ],
        ),
        (
            r#""trees": [{"composition": {"from": "C", "order": "positional", "unit": "percent", "list": "q"}}], "lists": {"q": {"codes": {}}}"#,
            &[
                "bad-weights: line 1, column 49, `trees` 1, `composition`: `width` and `weights` do not go with the order, expected both with the order `positional`, and with no other.",
            ],
        ),
        (
            r#""trees": [{"repeat": {"slot": ["1"]}, "name": {"from": "S"}}]"#,
            &[
                "bad-repeat: line 1, column 49, `trees` 1, `repeat`: no column of the entry has `{slot}` in its name, or there is no slot, expected fillers, and names such as `SPECIES_CD_{slot}`.",
            ],
        ),
        (
            r#""trees": [{"name": {"from": "S"}, "layer": "overstory", "share": {"unstated": [0.5, 2]}}]"#,
            &[
                "unknown-word: line 1, column 72, `trees` 1, `layer`: found the word `overstory`, expected one of `canopy`, `understorey`, `retained`.",
                "bad-range: line 1, column 104, `trees` 1, `share`, `unstated`: found 0.5 to 2, expected two shares from low to high, 0 to 1.",
            ],
        ),
        (
            r#""trees": [{"name": {"from": "S"}, "share": {"unstated": "main"}}]"#,
            &[
                "unknown-word: line 1, column 99, `trees` 1, `share`, `unstated`: found the word `main`, expected one of `leading`.",
            ],
        ),
    ];
    for (members, expected) in cases {
        assert_eq!(mistakes(&written(members)), *expected, "{members}");
    }
}

#[test]
fn lists_may_stand_in_files_of_their_own() {
    let text = written(
        r#""lists": {"fi": {"from_file": "fi.json"}}, "trees": [{"name": {"from": "S", "read": "code", "list": "fi"}}]"#,
    );
    let read = |file: &str| {
        let files = BTreeMap::from([("fi.json".to_owned(), file.as_bytes().to_vec())]);
        Crosswalk::read_with_files(text.as_bytes(), &files)
    };
    assert!(read(r#"{"source": "a code list", "codes": {"1": "Pinus sylvestris"}}"#).is_ok());
    let said = |file: &str| -> Vec<String> {
        let mistakes = read(file).expect_err("a mistake");
        mistakes.iter().map(ToString::to_string).collect()
    };
    assert_eq!(
        said(r#"{"codes": {"1": 7}}"#),
        [
            "crosswalk, line 1, column 48, `lists`, `fi`, `codes`, `1`: found 7, expected a scientific name, \
             {\"group\": \"broadleaf\"}, {\"not_tree\": true} or null."
        ]
    );
    assert_eq!(
        said(r#"{"code": {}}"#)[0],
        "crosswalk, line 1, column 7, the file of the list `fi` `code`: found the member `code`, expected one of \
         `$comment`, `source`, `codes`, `from_file`. Did you mean `codes`?"
    );
}

#[test]
fn tables_are_checked_with_the_columns_that_they_have() {
    let table = |said: &str, more: &str| {
        written(&format!(
            r#""tables": {{"strata": {{"from_file": "strata.csv", {said}}}}}, {more}"#
        ))
    };
    let rows = r#""trees": [{"rows": "strata", "name": {"from": "species"}, "share": {"from": "part", "unit": "tenths"}}]"#;
    let id = r#""id": {"from": "ID"}"#;
    let fine = "id,species,part\n1,Fagus,10\n";
    let cases: &[(String, Option<&str>, &[&str])] = &[
        (table(r#""key": "id""#, rows), Some(fine), &[]),
        (
            table(r#""key": "id""#, rows),
            None,
            &[
                "table-not-given: line 1, column 60, `tables`, `strata`, `from_file`: the table `strata.csv`: the file was not handed over, expected its rows. Put it beside the crosswalk.",
            ],
        ),
        (
            table(r#""key": "id""#, rows),
            Some("id,species,part\n1,Fagus\n"),
            &[
                "bad-table: line 1, column 60, `tables`, `strata`, `from_file`: the table `strata.csv`: line 2 of the table has 2 cells, expected 3, as the line of names has. Name the `separator` if it is not the one the line of names has most of.",
            ],
        ),
        (
            table(r#""key": {"map": "ID", "table": "idd"}"#, rows),
            Some(fine),
            &[
                "unknown-column: line 1, column 87, `tables`, `strata`, `key`: the table `strata` has no column `idd`, expected one of `id`, `species`, `part`. Did you mean `id`?",
            ],
        ),
        (
            table(r#""key": {"map": ["A", "B"], "table": "id"}"#, rows),
            Some(fine),
            &[
                "bad-key: line 1, column 87, `tables`, `strata`, `key`: 2 columns of the map and 1 of the table, expected one of each, or as many of one as of the other.",
            ],
        ),
        (
            table(r#""key": []"#, rows),
            Some(fine),
            &[
                "bad-key: line 1, column 87, `tables`, `strata`, `key`: 0 columns of the map and 0 of the table, expected one of each, or as many of one as of the other.",
            ],
        ),
        (
            table(r#""key": 7"#, rows),
            Some(fine),
            &[
                "wrong-type: line 1, column 94, `tables`, `strata`, `key`: found the number `7`, expected the name of a column, an array of names, or an object with `map` and `table`.",
            ],
        ),
        (
            table(r#""key": "id", "separator": "tab""#, rows),
            Some(fine),
            &[
                "bad-mark: line 1, column 100, `tables`, `strata`, `separator`: found `tab`, expected one character such as `;`.",
            ],
        ),
        (
            table(
                r#""key": "id""#,
                r#""trees": [{"rows": "strata", "where": {"col": "layer"}, "name": {"from": "specie"}}]"#,
            ),
            Some(fine),
            &[
                "bad-case: line 1, column 131, `trees` 1, `where`: the case on `layer` has 0 tests, expected one of `eq`, `in`, `present`, `between`.",
                "unknown-column: line 1, column 131, `trees` 1, `where`: the table `strata` has no column `layer`, expected one of `id`, `species`, `part`.",
                "unknown-column: line 1, column 167, `trees` 1, `name`, `from`: the table `strata` has no column `specie`, expected one of `id`, `species`, `part`. Did you mean `species`?",
            ],
        ),
        (
            table(r#""key": "id""#, r#""age": {"from": "strata.aeg"}"#),
            Some("id,age\n1,60\n"),
            &[
                "unknown-column: line 1, column 110, `age`, `from`: the table `strata` has no column `aeg`, expected one of `id`, `age`. Did you mean `age`?",
            ],
        ),
        (
            table(
                r#""key": "id""#,
                r#""trees": [{"rows": "strata", "repeat": {"slot": ["1"]}, "name": {"from": "species{slot}"}}]"#,
            ),
            Some("id,species{slot}\n"),
            &[
                "two-rules: line 1, column 112, `trees` 1: `rows` stands beside `repeat` or `composition`, expected `rows` with `name` and `share`. The rows of a stand are its trees, one each.",
            ],
        ),
        (
            written(r#""trees": [{"where": {"col": "A", "present": true}, "name": {"from": "S"}}]"#),
            None,
            &[
                "not-here: line 1, column 49, `trees` 1, `where`: `where` stands without `rows`, expected `rows` beside it.",
            ],
        ),
        (
            written(
                r#""trees": [{"name": {"from": "S", "split": ";"}, "share": {"from": "P", "unit": "percent"}}]"#,
            ),
            None,
            &[
                "bad-split: line 1, column 48, `trees` 1: `name` is split and `share` is not, or the other way round, expected `split` in both, so that each tree finds its share.",
            ],
        ),
        (
            written(&format!(
                r#""tables": {{"a.b": {{"from_file": "strata.csv", "key": "id"}}}}, {id}"#
            )),
            Some(fine),
            &[
                "bad-name: line 1, column 49, `tables`, `a.b`: the table is called `a.b`, expected a name without a point.",
            ],
        ),
    ];
    for (text, file, expected) in cases {
        let files = file.map(|file| ("strata.csv".to_owned(), file.as_bytes().to_vec()));
        let read = Crosswalk::read_with_files(text.as_bytes(), &files.into_iter().collect());
        assert_eq!(said(read), *expected, "{text}");
    }
    assert_eq!(
        Crosswalk::files(table(r#""key": "id""#, id).as_bytes()),
        Ok(vec!["strata.csv".to_owned()])
    );
}

#[test]
fn a_crosswalk_with_every_kind_of_step_is_read() {
    let text = r#"{
      "format": "hostwood-crosswalk/1.0",
      "crs": "EPSG:3067",
      "lists": {"fi": {"codes": {"1": "Pinus sylvestris", "2": "Picea abies", "29": {"group": "broadleaf"}}},
                "regional": {"from_file": "list.json"}},
      "id": {"from": "STANDID"}, "name": {"from": ["NAME", "STANDNUMBER"]},
      "trees": [{"name": {"from": "MAINTREESPECIES", "read": "code", "list": "fi"},
                 "share": {"unstated": "leading"}}],
      "age": {"from": "MEANAGE", "missing": [0, -1]}, "canopy": {"from": "CC", "unit": "percent"},
      "moisture": {"from": "FERTILITYCLASS", "codes": {"1": "moist", "4": "dry"}, "else": "unmapped"},
      "keep": ["OWNERTYPE"]
    }"#;
    let crosswalk = Crosswalk::read(text.as_bytes()).expect("a crosswalk");
    assert_eq!(crosswalk.warnings, []);
    assert!(mistakes(&written("\"id\": {\"from\": \"A\"}")).is_empty());
    let none = Crosswalk::read(written("\"id\": {\"from\": \"A\"}").as_bytes()).expect("a crosswalk");
    assert_eq!(
        none.warnings[0].to_string(),
        "crosswalk, line 1, column 1: nothing is mapped to `trees`, expected at least one entry. Without trees no \
         stand's potential is known."
    );
}

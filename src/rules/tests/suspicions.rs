//! Books that are legal and suspicious. One book has nothing suspicious in it; each row changes it in one way and holds
//! what is then said, word for word.

use super::FewNames;
use crate::day::Day;
use crate::rules::check;

const DAY: &str = "2026-10-01";
const BOOK: &str = include_str!("../../../tests/fixtures/rules/unsuspicious.json");

fn said(text: &str, today: &str) -> Vec<String> {
    let checked = check(text.as_bytes(), &FewNames, Some(Day::parse(today).expect(today)));
    assert!(checked.book.is_some(), "refused: {:#?}", checked.mistakes);
    checked
        .mistakes
        .iter()
        .map(|mistake| format!("[{}] {mistake}", mistake.code))
        .collect()
}

#[test]
fn a_sound_book_raises_no_suspicion() {
    assert_eq!(said(BOOK, "2026-10-01"), [] as [String; 0]);
}

/// What is put in place of what, and what is said then.
type Row = (&'static str, &'static str, &'static str, &'static [&'static str]);

#[test]
fn each_suspicion_is_said_with_its_place_and_what_to_do() {
    const RULE: &str = r#"  "rules": ["#;
    let rows: &[Row] = &[
        (
            DAY,
            "2 kg a day.",
            "{limit} a day}",
            &[
                "[gap-in-text] line 24, column 50: rule `daily`: the words in `en` hold `{limit}`, expected the words as a visitor shall read them; nothing is filled in: braces are shown as they stand",
            ],
        ),
        (
            DAY,
            r#"  "poison_centre": {"name": {"en": "Poison Centre", "de": "Giftnotruf"}, "phone": "+44 1632 960402", "source": "act"},"#,
            "",
            &[
                "[no-poison-centre] line 1, column 1: no `poison_centre` is named, expected whom to call after eating something bad; add its name and telephone number, with the source",
            ],
        ),
        (
            DAY,
            r#""phone": "+44 1632 960402", "source": "act""#,
            r#""email": "help@example.org", "source": "act""#,
            &[
                "[no-poison-centre] line 7, column 3: poison_centre: no telephone number is given, expected a `phone` number that is answered at night too",
            ],
        ),
        (
            DAY,
            r#""phone": "+44 1632 960402", "source": "act""#,
            r#""phone": "+44 1632 960402""#,
            &[
                "[contact-without-source] line 7, column 3: poison_centre: `source` is not given, expected the id of the source that the number was read in; a wrong number here can cost a life",
            ],
        ),
        (
            DAY,
            "  \"emergency\": \"112\",\n",
            "",
            &[
                "[no-emergency] line 1, column 1: no `emergency` number is given, expected the number to call when somebody is ill, such as `112`",
            ],
        ),
        (
            DAY,
            "+44 1632 960401",
            "ask at the desk",
            &[
                "[phone] line 6, column 68: authority: `phone` is `ask at the desk`, expected digits, blanks, `+`, `-`, `/` and brackets only; put opening hours and the like into the name",
            ],
        ),
        (
            DAY,
            r#""en": "2 kg a day.", "de": "2 kg am Tag.""#,
            r#""en": "2 kg a day.""#,
            &[
                "[missing-text] line 24, column 41: rule `daily`: there are no words in `de`, expected words in each of the book's `languages`; readers of that language get another one",
            ],
        ),
        (
            DAY,
            "  \"review_by\": \"2027-09-01\",\n",
            "",
            &[
                "[no-review] line 1, column 1: `review_by` is not given, expected the day by which the rules are held against the law again; without it an old book is shown as if it were new",
            ],
        ),
        (
            DAY,
            r#",
  "examples": [{"ask": {"day": "2026-09-12"}, "expect": "limits"}]"#,
            "",
            &[
                "[no-examples] line 1, column 1: the book asks itself no questions, expected a few `examples` with the answers you expect; they show at once when a change turns an answer",
            ],
        ),
        (
            DAY,
            r#", "citation": "1/2020""#,
            "",
            &[
                "[source-not-found] line 14, column 5: source `act`: neither `link` nor `eli` nor `citation` is given, expected at least one of them; a reader must be able to find the text",
            ],
        ),
        (
            DAY,
            r#""citation": "1/2020""#,
            r#""eli": "1/2020""#,
            &[
                "[eli] line 14, column 62: source `act`: `eli` is `1/2020`, expected a European Legislation Identifier such as `eli/es-cl/l/2017/07/04/2`, or a `urn:lex:`",
            ],
        ),
        (
            DAY,
            r#""checked": "2026-09-01"}"#,
            r#""checked": "2026-09-01"}, {"id": "leaflet", "title": "Leaflet", "kind": "official", "citation": "2024"}"#,
            &[
                "[unused] line 14, column 110: source `leaflet`: no rule names it; take it out, or name it in the rules that come from it",
            ],
        ),
        (
            "2027-09-02",
            r#"  "review_by": "2027-09-01","#,
            r#"  "review_by": "2027-09-01", "valid_to": "2027-09-01","#,
            &[
                "[old-check] line 11, column 3: `checked` is `2026-09-01`, more than a year ago; hold the rules against the law again",
                "[review-due] line 12, column 3: `review_by` is `2027-09-01`, which is past; every answer but closed is now not known; hold the rules against the law and set a new day",
                "[expired] line 12, column 30: `valid_to` is `2027-09-01`, which is past; every answer but closed is now not known; check the law and move the day",
                "[old-check] line 14, column 84: source `act`: `checked` is `2026-09-01`, more than a year ago; look whether the text still says so",
            ],
        ),
        (
            "2027-08-01",
            r#"  "review_by": "2027-09-01","#,
            r#"  "review_by": "2027-09-01", "valid_to": "2027-09-01","#,
            &[
                "[ends-soon] line 12, column 3: `review_by` is `2027-09-01`, less than two months from now; after it every answer but closed is not known",
                "[ends-soon] line 12, column 30: `valid_to` is `2027-09-01`, less than two months from now; after it every answer but closed is not known",
            ],
        ),
        (
            "2025-12-31",
            "",
            "",
            &[
                "[not-yet] line 10, column 3: `valid_from` is `2026-01-01`, which is still to come; until then nothing in the book holds",
                "[checked-ahead] line 11, column 3: `checked` is `2026-09-01`, which is still to come; write the day on which somebody last looked",
                "[checked-ahead] line 14, column 84: source `act`: `checked` is `2026-09-01`, which is still to come; write the day on which somebody last looked",
            ],
        ),
        (
            DAY,
            "[[[10.2, 46.2], [10.4, 46.2], [10.4, 46.4], [10.2, 46.4], [10.2, 46.2]]]",
            "[[[46.2, 10.2], [46.4, 10.2], [46.4, 10.4], [46.2, 10.4], [46.2, 10.2]]]",
            &[
                "[zone-outside] line 21, column 5: zone `core`: the zone lies wholly outside the book's `area`; its rules can never hold; check the outline, longitude first",
            ],
        ),
        (
            DAY,
            "[[[10.2, 46.2], [10.4, 46.2], [10.4, 46.4], [10.2, 46.4], [10.2, 46.2]]]",
            "[[[9.9, 46.2], [10.1, 46.2], [10.1, 46.4], [9.9, 46.4], [9.9, 46.2]]]",
            &[
                "[zone-outside] line 21, column 5: zone `core`: 50 % of the zone lies outside the book's `area`; its rules do not hold there; check outline and area",
            ],
        ),
        (
            DAY,
            r#""where": ["core", "old"]"#,
            r#""where": ["core"]"#,
            &[
                "[unused] line 20, column 5: zone `old`: no rule holds in it; take it out, or name it in `where` of the rules that hold there",
            ],
        ),
        (
            DAY,
            r#"  "taxa": {"#,
            r#"  "taxa": {"more": {"members": [{"scientific_name": "Amanita caesarea"}]},"#,
            &[
                "[unused] line 16, column 12: set of fungi `more`: no rule is about it; take it out, or name it in `taxa` of the rules about it",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "past", "kind": "advice", "valid_to": "2025-06-30", "text": {"en": "x", "de": "x"}, "sources": ["act"]},"#,
            &[
                "[never-holds] line 24, column 5: rule `past`: the rule is in force only when the book is not, expected `valid_from` and `valid_to` within those of the book",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "never", "kind": "advice", "when": {"window": {"from": "02-01", "to": "02-10"}, "days_of_month": "20-31"}, "text": {"en": "x", "de": "x"}, "sources": ["act"]},"#,
            &[
                "[never-holds] line 24, column 5: rule `never`: no day on which the rule is in force lies in its `when`; check window, days and validity against each other",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "all-days", "kind": "closed_days", "where": ["old"], "text": {"en": "x", "de": "x"}, "sources": ["act"], "closed_days": {"days_of_month": "1-31"}},"#,
            &[
                "[always-closed] line 24, column 5: rule `all-days`: it closes every day on which it is in force; write a `closed_zone` or `protected_taxon` if that is meant",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "all-year", "kind": "season", "text": {"en": "x", "de": "x"}, "sources": ["act"], "season": {"open": {"from": "03-01", "to": "02-29"}}},"#,
            &[
                "[never-closed] line 24, column 5: rule `all-year`: it closes none of the days on which it is in force; check its days",
            ],
        ),
        (
            DAY,
            r#""kind": "official", "citation""#,
            r#""kind": "secondary", "citation""#,
            &[
                "[hearsay] line 26, column 5: rule `closed`: the ban rests on secondary sources only, expected the official text; if it cannot be had, say in the source's `note` how far the account goes",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "owners", "kind": "exemption", "who": {"owner": true}, "exempts": ["kind:hours"], "text": {"en": "x", "de": "x"}, "sources": ["act"]},"#,
            &[
                "[lifts-nothing] line 24, column 5: rule `owners`: what it exempts from does not exist in this book, expected the ids of rules that are there",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "owners", "kind": "exemption", "who": {"owner": true}, "exempts": ["IT/"], "text": {"en": "x", "de": "x"}, "sources": ["act"]},"#,
            &[
                "[lifts-nothing] line 24, column 5: rule `owners`: `IT/` names no rule of another book, expected a region's code, a slash and a rule's id",
            ],
        ),
        (
            DAY,
            r#"  "zones": ["#,
            r#"  "zones": [{"id": "far", "where": {"outline": {"type": "Polygon", "coordinates": [[[10.6, 46.6], [10.7, 46.6], [10.7, 46.7], [10.6, 46.7], [10.6, 46.6]]]}}},
    {"id": "near", "where": {"outline": {"type": "Polygon", "coordinates": [[[10.2, 46.2], [10.3, 46.2], [10.3, 46.3], [10.2, 46.3], [10.2, 46.2]]]}}},"#,
            &[
                "[unused] line 19, column 13: zone `far`: no rule holds in it; take it out, or name it in `where` of the rules that hold there",
                "[unused] line 20, column 5: zone `near`: no rule holds in it; take it out, or name it in `where` of the rules that hold there",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "more", "kind": "quantity", "where": ["old"], "text": {"en": "x", "de": "x"}, "sources": ["act"], "quantity": {"amount": "3000", "unit": "g", "per": "person", "period": "day"}},"#,
            &[
                "[idle-limit] line 24, column 5: rule `more`: `3000 g` is more than `daily`, 2 kg, which always holds; the lower one counts; add `\"replaces\": [\"daily\"]` if this one is an exception",
            ],
        ),
        (
            DAY,
            r#"{"scientific_name": "Boletus edulis"}]}
  },
  "zones": ["#,
            r#"{"scientific_name": "Boletus edulis"}, {"scientific_name": "Hericium coralloides"}]}
  },
  "zones": ["#,
            &[
                "[name-not-known] line 17, column 111: set of fungi `ceps`: `Hericium coralloides` is not in the table of fungi; check the spelling; the name is shown as it stands",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "whole", "kind": "processing", "text": {"en": "x", "de": "x"}, "sources": ["act"], "processing": {"must": ["keep_whole"], "must_not": ["clean_on_the_spot"]}},"#,
            &[
                "[contradiction] line 28, column 5: rule `clean`: `clean_on_the_spot` is asked for, and forbidden in `whole`, expected rules that can all be kept; correct one of them, or say in `where`, `when` or `who` when each holds",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "whole", "kind": "processing", "text": {"en": "x", "de": "x"}, "sources": ["act"], "processing": {"must": ["keep_whole", "halve"]}},"#,
            &[
                "[contradiction] line 24, column 5: rule `whole`: `halve` and `keep_whole` are both asked for, which cannot be, as in the same rule, expected rules that can all be kept; correct one of them, or say in `where`, `when` or `who` when each holds",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "airy", "kind": "container", "text": {"en": "x", "de": "x"}, "sources": ["act"], "container": {"required": ["perforated"]}},
    {"id": "tight", "kind": "container", "text": {"en": "x", "de": "x"}, "sources": ["act"], "container": {"forbidden": [{"closed": false}]}},"#,
            &[
                "[contradiction] line 25, column 5: rule `tight`: a container with openings is asked for, and every one is forbidden in `airy`, expected rules that can all be kept; correct one of them, or say in `where`, `when` or `who` when each holds",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "knife", "kind": "tool", "text": {"en": "x", "de": "x"}, "sources": ["act"], "tool": {"only": ["knife"]}},
    {"id": "no-knife", "kind": "tool", "text": {"en": "x", "de": "x"}, "sources": ["act"], "tool": {"forbidden": ["knife", "rake"]}},"#,
            &[
                "[contradiction] line 25, column 5: rule `no-knife`: `knife` may be used, and is forbidden in `knife`, expected rules that can all be kept; correct one of them, or say in `where`, `when` or `who` when each holds",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "spring", "kind": "season", "text": {"en": "x", "de": "x"}, "sources": ["act"], "season": {"open": {"from": "04-01", "to": "05-31"}}},
    {"id": "not-spring", "kind": "season", "text": {"en": "x", "de": "x"}, "sources": ["act"], "season": {"closed": {"from": "03-01", "to": "06-30"}}},"#,
            &[
                "[contradiction] line 25, column 5: rule `not-spring`: a season is opened that leaves no day of the season in `spring`, expected rules that can all be kept; correct one of them, or say in `where`, `when` or `who` when each holds",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "ask", "kind": "owner_consent", "text": {"en": "x", "de": "x"}, "sources": ["act"], "owner_consent": {"consent": "needed"}},
    {"id": "given", "kind": "owner_consent", "text": {"en": "x", "de": "x"}, "sources": ["act"], "owner_consent": {"consent": "presumed"}},"#,
            &[
                "[contradiction] line 25, column 5: rule `given`: the owner's consent is both needed and presumed, as in `ask`, expected rules that can all be kept; correct one of them, or say in `where`, `when` or `who` when each holds",
            ],
        ),
        (
            DAY,
            RULE,
            r#"  "rules": [
    {"id": "right", "kind": "unlimited", "text": {"en": "x", "de": "x"}, "sources": ["act"]},"#,
            &[
                "[contradiction] line 25, column 5: rule `daily`: an amount is set, and there is no limit by what stands in `right`, expected rules that can all be kept; correct one of them, or say in `where`, `when` or `who` when each holds",
            ],
        ),
    ];
    let mut wrong = Vec::new();
    for (today, find, with, expected) in rows {
        assert!(BOOK.contains(find), "the book has no `{find}`");
        let text = BOOK.replacen(find, with, 1);
        let checked = check(text.as_bytes(), &FewNames, Some(Day::parse(today).expect(today)));
        let found: Vec<String> = checked
            .mistakes
            .iter()
            // What a change does to the book's own question is not the matter here.
            .filter(|mistake| mistake.code != "example")
            .map(|mistake| format!("[{}] {mistake}", mistake.code))
            .collect();
        if found != *expected {
            wrong.push(format!("{with}\nfound {found:#?}\nexpected {expected:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// Wherever no zone lies, a book without a rule for the whole region says nothing.
#[test]
fn a_book_that_is_silent_outside_its_zones_is_told() {
    let text = BOOK
        .replace(r#""id": "daily","#, r#""id": "daily", "where": ["old"],"#)
        .replace(r#""id": "clean","#, r#""id": "clean", "where": ["old"],"#)
        .replace(r#""expect": "limits""#, r#""expect": "not_known""#);
    assert_eq!(
        said(&text, DAY),
        [
            "[silent] line 23, column 3: no rule speaks of the whole region and all fungi, expected a limit, a duty, a written right or `no_rule` without `where` and `taxa`; wherever no zone lies the answer is not known"
        ]
    );
}

/// An exemption is held against what it lifts: two zones that lie apart share no place.
#[test]
fn an_exemption_that_never_meets_what_it_lifts_is_told() {
    let zones = r#"  "zones": [{"id": "far", "where": {"outline": {"type": "Polygon", "coordinates": [[[10.6, 46.6], [10.7, 46.6], [10.7, 46.7], [10.6, 46.7], [10.6, 46.6]]]}}},"#;
    let rule = r#"  "rules": [
    {"id": "owners", "kind": "exemption", "where": ["far"], "who": {"owner": true}, "exempts": ["shut"], "text": {"en": "x", "de": "x"}, "sources": ["act"]},
    {"id": "shut", "kind": "closed_zone", "where": ["core"], "text": {"en": "x", "de": "x"}, "sources": ["act"], "closed_zone": {"forbids": ["collect"]}},"#;
    let text = BOOK
        .replace(r#"  "zones": ["#, zones)
        .replace(r#"  "rules": ["#, rule);
    assert_eq!(
        said(&text, DAY),
        [
            "[lifts-nothing] line 24, column 5: rule `owners`: it softens `shut`, and the two never hold at the same place; check `where` of both"
        ]
    );
}

#[test]
fn a_protected_fungus_that_no_table_knows_is_told() {
    let rule = r#"  "rules": [
    {"id": "kept", "kind": "protected_taxon", "taxa": "rare", "text": {"en": "x", "de": "x"}, "sources": ["act"], "protected_taxon": {"forbids": ["collect"]}},"#;
    let set = r#"  "taxa": {"rare": {"members": [{"scientific_name": "Hericium coralloides"}, {"scientific_name": "Hygrocybe"}]},"#;
    let text = BOOK
        .replace(r#"  "taxa": {"#, set)
        .replace(r#"  "rules": ["#, rule);
    let said = said(&text, DAY);
    assert_eq!(
        said.last().map(String::as_str),
        Some(
            "[protected-not-in-table] line 24, column 5: rule `kept`: it protects `Hericium coralloides`, the genus `Hygrocybe`, which the table of fungi does not have; the name is shown as it stands, but no stand and no basket can be warned of it; a table of the region's own kinds can add it"
        )
    );
}

/// Hours by the clock that shut each other out; hours by the sun are not compared.
#[test]
fn hours_that_leave_no_minute_open_are_told() {
    let rule = |id: &str, hours: &str| {
        format!(
            r#"    {{"id": "{id}", "kind": "hours", "text": {{"en": "x", "de": "x"}}, "sources": ["act"], "hours": {hours}}},"#
        )
    };
    for (one, two, told) in [
        (
            r#"{"open": {"from": "07:00", "to": "12:00"}}"#,
            r#"{"open": {"from": "12:00", "to": "19:00"}}"#,
            true,
        ),
        (
            r#"{"open": {"from": "07:00", "to": "12:01"}}"#,
            r#"{"open": {"from": "12:00", "to": "19:00"}}"#,
            false,
        ),
        (
            r#"{"open": {"from": "20:00", "to": "04:00"}}"#,
            r#"{"closed": {"from": "19:00", "to": "05:00"}}"#,
            true,
        ),
        (
            r#"{"open": {"from": "20:00", "to": "04:00"}}"#,
            r#"{"closed": {"from": "20:00", "to": "03:59"}}"#,
            false,
        ),
        (
            r#"{"open": {"from": "sunrise", "to": "12:00"}}"#,
            r#"{"open": {"from": "12:00", "to": "sunset"}}"#,
            false,
        ),
    ] {
        let rules = format!(
            "  \"rules\": [\n{}\n{}",
            rule("morning", one),
            rule("evening", two)
        );
        let expected: &[&str] = if told {
            &[
                "[contradiction] line 25, column 5: rule `evening`: hours are opened that leave no minute of the hours in `morning`, expected rules that can all be kept; correct one of them, or say in `where`, `when` or `who` when each holds",
            ]
        } else {
            &[]
        };
        assert_eq!(
            said(&BOOK.replace(r#"  "rules": ["#, &rules), DAY),
            expected,
            "{one} {two}"
        );
    }
}

/// Two books over one map: each row changes the second one, and holds what is then said between them.
#[test]
fn what_is_odd_between_books_is_told() {
    let book = |text: &str| {
        let read = crate::rules::RuleBook::read(text.as_bytes(), &FewNames);
        read.unwrap_or_else(|mistakes| panic!("{}", mistakes[0])).book
    };
    let state = book(BOOK);
    let land = BOOK.replace("XX-UN", "XX-LAND");
    let whole = r#"    {"id": "whole", "kind": "processing", "text": {"en": "x", "de": "x"}, "sources": ["act"], "processing": {"must_not": ["clean_on_the_spot"]}},"#;
    let rules = |rule: &str| format!("  \"rules\": [\n{rule}");
    let rows: &[(&str, String, &[&str])] = &[
        ("XX-LAND", "XX-LAND".to_owned(), &[]),
        (
            "Europe/Vienna",
            "Europe/Rome".to_owned(),
            &[
                "[clocks-differ] 1: region: `time_zone` is `Europe/Rome`, and `Europe/Vienna` where it overlaps the book of `XX-UN`, expected one clock a place; correct one of them",
            ],
        ),
        (
            r#"  "rules": ["#,
            rules(whole),
            &[
                "[contradiction] 1: rule `whole`: `clean_on_the_spot` is asked for, and forbidden in `clean` of the book of `XX-UN`, expected rules that can all be kept; where both hold the answer is not known until one names the other in `replaces`",
            ],
        ),
        (
            r#"  "rules": ["#,
            rules(&whole.replace(
                r#""processing", "text""#,
                r#""processing", "replaces": ["XX-UN/clean"], "text""#,
            )),
            &[],
        ),
        (
            r#"  "rules": ["#,
            rules(&whole.replace(
                r#""processing", "text""#,
                r#""processing", "replaces": ["XX-UN/cleaning"], "text""#,
            )),
            &[
                "[rule-elsewhere] 1: rule `whole` names `XX-UN/cleaning`, and the book of `XX-UN` has no rule `cleaning`, so it changes nothing there; check the id in that book",
                "[contradiction] 1: rule `whole`: `clean_on_the_spot` is asked for, and forbidden in `clean` of the book of `XX-UN`, expected rules that can all be kept; where both hold the answer is not known until one names the other in `replaces`",
            ],
        ),
        (
            r#"  "rules": ["#,
            rules(&whole.replace(
                r#""processing", "text""#,
                r#""processing", "where": ["core"], "replaces": ["XX-STATE/clean"], "text""#,
            )),
            &[
                "[rule-elsewhere] 1: rule `whole` names `XX-STATE/clean`, and there is no book of `XX-STATE`, so it changes nothing there; lay that book over the map as well",
            ],
        ),
        ("XX-LAND", "XX-UN".to_owned(), &[]),
        (
            r#""code": "XX-LAND", "names": {"en": "Unsuspicious""#,
            r#""code": "XX-UN", "names": {"en": "Another""#.to_owned(),
            &[
                "[same-region] 1: region: two different books have the code `XX-UN`, expected one book a region; take the older one away, or give one a code of its own",
            ],
        ),
    ];
    for (what, with, expected) in rows {
        assert!(land.contains(*what), "{what}");
        let other = book(&land.replacen(what, with, 1));
        let said: Vec<String> = crate::rules::check_together(&[&state, &other])
            .into_iter()
            .map(|between| format!("[{}] {}: {}", between.code, between.book, between.message))
            .collect();
        assert_eq!(said, *expected, "{with}");
    }
}

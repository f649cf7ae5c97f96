//! The rule book of the invented region: that it is read without a complaint, answers its own questions as written,
//! says everything in both of its languages, and reaches nobody real.

use hostwood::knowledge::Knowledge;
use hostwood::rules::{Mistake, RuleBook};
use serde_json::Value;

const BOOK: &str = include_str!("../examples/region/eskenvar.rules.json");

fn book(text: &str) -> RuleBook {
    let read = RuleBook::read(text.as_bytes(), &Knowledge::shipped().fungi);
    let read = read.unwrap_or_else(|mistakes| panic!("the rule book is refused:\n{}", said(&mistakes)));
    assert_eq!(said(&read.warnings), "");
    read.book
}

fn said(mistakes: &[Mistake]) -> String {
    mistakes
        .iter()
        .map(Mistake::to_string)
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn it_answers_its_own_questions_as_written() {
    assert_eq!(said(&book(BOOK).check_examples()), "");
}

/// The check above can fail: a question with another answer is told with its place.
#[test]
fn a_question_answered_otherwise_is_told() {
    let question = r#"{"ask": {"zone": "deer-rest", "day": "2026-11-01"}, "expect": "closed"}"#;
    assert!(
        BOOK.contains(question),
        "the question about the first day of the deer's rest is gone"
    );
    let altered = BOOK.replace(question, &question.replace("closed", "limits"));
    let line = BOOK[..BOOK.find(question).expect("it is there")].lines().count();
    assert_eq!(
        said(&book(&altered).check_examples()),
        format!(
            "line {line}, column 5: example 7: the answer is `closed`, expected `limits`; correct the rules or the example"
        )
    );
}

#[test]
fn every_text_stands_in_both_languages() {
    fn walk(value: &Value, path: &str, texts: &mut usize) {
        match value {
            Value::Object(members) => {
                if members.contains_key("en") || members.contains_key("de") {
                    let keys: Vec<&str> = members.keys().map(String::as_str).collect();
                    assert_eq!(keys, ["en", "de"], "{path}");
                    *texts += 1;
                }
                for (name, member) in members {
                    walk(member, &format!("{path}/{name}"), texts);
                }
            }
            Value::Array(items) => {
                for (place, item) in items.iter().enumerate() {
                    walk(item, &format!("{path}/{place}"), texts);
                }
            }
            _ => {}
        }
    }
    let mut texts = 0;
    walk(
        &serde_json::from_str(BOOK).expect("the rule book is JSON"),
        "",
        &mut texts,
    );
    assert!(texts > 30, "only {texts} texts were found");
}

/// Links lead to example.org, kept for examples by RFC 2606, section 3. Telephone numbers come from 01632 960000 to
/// 960999, which Ofcom keeps for drama ("Telephone numbers for use in TV and radio drama programmes", from memory);
/// 112 is the emergency number of the European Union (Directive (EU) 2018/1972, article 109).
#[test]
fn it_reaches_nobody_real() {
    fn strings<'v>(value: &'v Value, name: &'v str, found: &mut Vec<(&'v str, &'v str)>) {
        match value {
            Value::String(text) => found.push((name, text)),
            Value::Array(items) => items.iter().for_each(|item| strings(item, name, found)),
            Value::Object(members) => members
                .iter()
                .for_each(|(name, member)| strings(member, name, found)),
            _ => {}
        }
    }
    let json: Value = serde_json::from_str(BOOK).expect("the rule book is JSON");
    let mut found = Vec::new();
    strings(&json, "", &mut found);
    let of = |name: &str| -> Vec<&str> {
        found
            .iter()
            .filter(|(member, _)| *member == name)
            .map(|(_, text)| *text)
            .collect()
    };
    assert!(of("link").len() >= 10, "{:?}", of("link"));
    for link in of("link") {
        let host = link
            .strip_prefix("https://")
            .and_then(|rest| rest.split('/').next())
            .unwrap_or_default();
        assert!(host.ends_with(".example.org"), "{link}");
    }
    assert_eq!(of("phone").len(), 2);
    for phone in of("phone") {
        let last = phone.strip_prefix("+44 1632 960").unwrap_or_default();
        assert!(
            last.len() == 3 && last.bytes().all(|digit| digit.is_ascii_digit()),
            "{phone}"
        );
    }
    for mail in of("email") {
        assert!(mail.ends_with(".example.org"), "{mail}");
    }
    assert_eq!(of("emergency"), ["112"]);
    for title in of("title") {
        assert!(title.ends_with("(invented)"), "{title}");
    }
}

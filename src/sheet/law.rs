//! What the rule books say of one stand, as a part of the sheet: the verdict, the limits, every rule with its own
//! words, its source and the day it was checked. The verdict comes from `rules`; nothing is judged here.

use crate::order::Gather;
use std::collections::BTreeMap;

use super::tree::{Arg, Node, Text, Tone, Unit};
use crate::rules::{self, Effect, Message, Rule, RuleAt, RuleBook, Texts, Unit as LawUnit, Verdict, Why};
use crate::units::Truth;

/// The section on the law.
pub(super) fn section(verdict: &Verdict, books: &[RuleBook], languages: &[&str]) -> Node {
    let mut children = vec![Node::Verdict {
        answer: verdict.answer,
        text: worded(&verdict.headline, languages),
    }];
    children.extend(
        verdict
            .notes
            .iter()
            .map(|note| Node::toned(Tone::Open, worded(note, languages))),
    );
    if let Some(next) = &verdict.next {
        children.push(Node::line(worded(&next.message, languages)));
    }
    if verdict.out_of_date {
        children.push(Node::toned(Tone::Caution, Text::key("law.note.out_of_date")));
    }
    let (aside, law): (Vec<_>, Vec<_>) = verdict
        .findings()
        .partition(|finding| finding.effect == Effect::Aside);
    let (lost, holding): (Vec<_>, Vec<_>) = law.into_iter().partition(|finding| !concerns(finding));
    for (title, findings) in [
        ("sheet.law.rules", holding),
        ("sheet.law.advice", aside),
        ("sheet.law.others", lost),
    ] {
        if findings.is_empty() {
            continue;
        }
        let items: Vec<Vec<Node>> = findings
            .into_iter()
            .map(|finding| vec![rule(finding, books, languages)])
            .collect();
        if title == "sheet.law.rules" {
            children.push(Node::List {
                style: "rules",
                items,
            });
        } else {
            let summary = vec![Text::with(title, [("n", Arg::number(count(items.len()), 0))])];
            let list = Node::List {
                style: "rules",
                items,
            };
            children.push(Node::more(None, summary, vec![list]));
        }
    }
    if let Some(book) = verdict
        .ask
        .and_then(|book| books.get(book))
        .or_else(|| books.first())
    {
        children.push(authority(book, languages));
    }
    children.push(Node::toned(Tone::Quiet, Text::key("sheet.law.summary")));
    Node::Section {
        id: "law",
        title: Text::key("sheet.law.title"),
        children,
    }
}

/// The verdict at one point of a stand.
pub(super) fn at_point(verdict: &Verdict, languages: &[&str]) -> Vec<Node> {
    let answer = worded(&verdict.headline, languages);
    let text = Text::with("sheet.law.at_point", [("answer", answer.into())]);
    let mut nodes = vec![Node::Verdict {
        answer: verdict.answer,
        text,
    }];
    nodes.extend(
        verdict
            .next
            .iter()
            .map(|next| Node::line(worded(&next.message, languages))),
    );
    nodes
}

#[expect(clippy::cast_precision_loss, reason = "a count of rules")]
fn count(n: usize) -> f64 {
    n as f64
}

/// Whether a rule bears on the day: it holds, or it may.
fn concerns(finding: &rules::Finding) -> bool {
    finding.holds != Truth::False
        && !matches!(
            finding.why,
            Why::ReplacedBy(_)
                | Why::LiftedBy(_)
                | Why::NotToday
                | Why::NotYetInForce(_)
                | Why::Ended(_)
                | Why::Lower(_)
        )
}

/// One rule: what it comes to, and inside, its own words and where they are from.
pub(super) fn rule(finding: &rules::Finding, books: &[RuleBook], languages: &[&str]) -> Node {
    let mut summary = vec![worded(&finding.message, languages)];
    if !matches!(finding.why, Why::Holds | Why::Adds) && finding.kind != rules::Kind::Penalty {
        summary.push(why(&finding.why, books, languages));
    }
    if let Some(share) = finding.share_of_stand {
        let part = Arg::measure(share * 100.0, Unit::Percent, 0);
        summary.push(Text::with("sheet.law.part", [("share", part)]));
    }
    let mut inside = Vec::new();
    if let Some((book, rule)) = find(
        books,
        &RuleAt {
            book: finding.book,
            rule: finding.rule.clone(),
        },
    ) {
        // Where the line itself is the rule's own words, they need not be said again.
        let said = |(_, arg): &(&str, rules::Arg)| *arg == rules::Arg::Texts(rule.text.clone());
        if !finding.message.args.iter().any(said) {
            inside.push(Node::line(words(&rule.text, languages)));
        }
        for lifting in &finding.unless {
            if let Some((_, lifting)) = find(books, lifting) {
                let text = Text::with(
                    "sheet.law.unless",
                    [("rule", words(&lifting.text, languages).into())],
                );
                inside.push(Node::toned(Tone::Open, text));
            }
        }
        if carrying_counts(rule) {
            inside.push(Node::toned(Tone::Caution, Text::key("sheet.law.carrying")));
        }
        if book
            .sources_of(rule)
            .all(|source| source.kind == rules::SourceKind::Secondary)
        {
            inside.push(Node::toned(Tone::Caution, Text::key("sheet.law.secondary")));
        }
        for source in book.sources_of(rule) {
            let title = Text::data(source.title.clone());
            let text = match &source.article {
                Some(article) => Text::with(
                    "sheet.law.cited",
                    [
                        ("title", title.into()),
                        ("article", Text::data(article.clone()).into()),
                    ],
                ),
                None => title,
            };
            inside.push(Node::Source {
                text,
                link: source.link.clone(),
                checked: source.checked.or(Some(book.checked)),
            });
            inside.extend(
                source
                    .note
                    .iter()
                    .map(|note| Node::toned(Tone::Quiet, Text::data(note.clone()))),
            );
        }
        inside.extend(permit(rule, languages));
    }
    if finding.out_of_date {
        inside.push(Node::toned(Tone::Caution, Text::key("law.note.out_of_date")));
    }
    let tone = match finding.effect {
        Effect::Closes | Effect::Breaks => Some(Tone::Against),
        Effect::Needs | Effect::Unsure => Some(Tone::Open),
        Effect::Aside => Some(Tone::Quiet),
        _ => None,
    };
    Node::more(tone, summary, inside)
}

/// Whether the hours bind those who carry mushrooms out as well as those who pick.
fn carrying_counts(rule: &Rule) -> bool {
    matches!(&rule.provision, rules::Provision::Hours { acts, .. } if acts.contains(&rules::Act::Carry))
}

/// Where a permit is had, and what it costs.
fn permit(rule: &Rule, languages: &[&str]) -> Vec<Node> {
    let rules::Provision::Permit {
        issuer,
        link,
        price,
        where_to_get,
        ..
    } = &rule.provision
    else {
        return Vec::new();
    };
    let mut nodes = Vec::new();
    if let Some(issuer) = issuer {
        let text = Text::with("sheet.law.issuer", [("issuer", words(issuer, languages).into())]);
        nodes.push(Node::line(text));
    }
    if let Some(place) = where_to_get {
        let text = Text::with("sheet.law.where", [("place", words(place, languages).into())]);
        nodes.push(Node::line(text));
    }
    if let Some(price) = price {
        let text = Text::with("sheet.law.price", [("price", Text::data(price.clone()).into())]);
        nodes.push(Node::line(text));
    }
    if let Some(link) = link {
        nodes.push(Node::Source {
            text: Text::key("sheet.law.permit_page"),
            link: Some(link.clone()),
            checked: None,
        });
    }
    nodes
}

/// How a rule stands among the others.
fn why(why: &Why, books: &[RuleBook], languages: &[&str]) -> Text {
    let by = |key: &str, other: &RuleAt| {
        let text = find(books, other).map_or_else(
            || Text::data(other.rule.to_string()),
            |(_, rule)| words(&rule.text, languages),
        );
        Text::with(key, [("rule", text.into())])
    };
    match why {
        Why::Holds => Text::key("law.why.holds"),
        Why::Adds => Text::key("law.why.adds"),
        Why::CannotBeCompared => Text::key("law.why.cannot_be_compared"),
        Why::Same(other) => by("law.why.same", other),
        Why::Lower(other) => by("law.why.lower", other),
        Why::ReplacedBy(other) => by("law.why.replaced_by", other),
        Why::LiftedBy(other) => by("law.why.lifted_by", other),
        Why::OnlyIf => Text::key("law.why.only_if"),
        Why::NotToday => Text::key("law.why.not_today"),
        Why::NotYetInForce(day) => Text::with("law.why.not_yet", [("day", Arg::Date { date: *day })]),
        Why::Ended(day) => Text::with("law.why.ended", [("day", Arg::Date { date: *day })]),
        Why::Apart => Text::key("law.why.apart"),
    }
}

pub(super) fn find<'b>(books: &'b [RuleBook], at: &RuleAt) -> Option<(&'b RuleBook, &'b Rule)> {
    let book = books.get(at.book)?;
    Some((book, book.rule(&at.rule)?))
}

/// Whom to ask.
pub(super) fn authority(book: &RuleBook, languages: &[&str]) -> Node {
    let mut rows = vec![super::fact(
        "sheet.law.authority",
        words(&book.authority.name, languages),
    )];
    if let Some(phone) = &book.authority.phone {
        rows.push(super::fact("sheet.phone", Text::data(phone.clone())));
    }
    let mut inside = vec![Node::Facts { rows }];
    if let Some(link) = &book.authority.link {
        inside.push(Node::Source {
            text: words(&book.authority.name, languages),
            link: Some(link.clone()),
            checked: Some(book.checked),
        });
    }
    Node::more(None, vec![Text::key("sheet.law.ask")], inside)
}

/// A text of a rule book in the best language there is.
pub(super) fn words(texts: &Texts, languages: &[&str]) -> Text {
    match texts.pick(languages) {
        Some((lang, text)) => Text::data_in(text, lang),
        None => Text::key("sheet.law.no_words"),
    }
}

/// A message of the rules as a text of the sheet.
pub(super) fn worded(message: &Message, languages: &[&str]) -> Text {
    Text::Message {
        key: message.key.to_owned(),
        args: arguments(&message.args, languages),
    }
}

fn arguments(args: &[(&'static str, rules::Arg)], languages: &[&str]) -> BTreeMap<String, Arg> {
    args.iter()
        .map(|(name, arg)| ((*name).to_owned(), argument(arg, languages)))
        .into_map()
}

fn argument(arg: &rules::Arg, languages: &[&str]) -> Arg {
    match arg {
        rules::Arg::Amount(amount) => self::amount(amount),
        rules::Arg::Number(n) => Arg::number(f64::from(*n), 0),
        rules::Arg::Share(share) => Arg::measure(share * 100.0, Unit::Percent, 0),
        rules::Arg::Date(date) => Arg::Date { date: *date },
        rules::Arg::Time(time) => Arg::Time { time: *time },
        rules::Arg::Instant {
            day,
            minutes,
            time_zone,
        } => super::instant(*day, *minutes, Some(time_zone.clone())),
        rules::Arg::Key(key, args) => Arg::Text(Text::Message {
            key: (*key).to_owned(),
            args: arguments(args, languages),
        }),
        rules::Arg::Texts(texts) => words(texts, languages).into(),
        rules::Arg::Text(text) => Text::latin(text.clone()).into(),
        rules::Arg::List(list) => Arg::List {
            list: list.iter().map(|arg| argument(arg, languages)).collect(),
        },
    }
}

/// An amount as the law writes it, in its own unit.
fn amount(amount: &rules::Amount) -> Arg {
    law_amount(amount.written(), amount.unit())
}

/// A decimal text with a unit of the law.
pub(super) fn law_amount(written: &str, unit: LawUnit) -> Arg {
    let digits = written.split_once('.').map_or(0, |(_, digits)| digits.len());
    let digits = u8::try_from(digits).unwrap_or(u8::MAX);
    // Shown only: every comparison is made in exact decimals by the rules.
    let n: f64 = written.parse().unwrap_or(0.0);
    let unit = match unit {
        LawUnit::Gram => Unit::Gram,
        LawUnit::Kilogram => Unit::Kilogram,
        LawUnit::Liter => Unit::Liter,
        LawUnit::Piece => Unit::Piece,
        LawUnit::Centimetre => {
            return Text::with("sheet.unit.centimetre", [("n", Arg::number(n, digits))]).into();
        }
        LawUnit::Millimetre => {
            return Text::with("sheet.unit.millimetre", [("n", Arg::number(n, digits))]).into();
        }
        LawUnit::Inch => return Text::with("sheet.unit.inch", [("n", Arg::number(n, digits))]).into(),
        LawUnit::Pound => return Text::with("sheet.unit.pound", [("n", Arg::number(n, digits))]).into(),
        LawUnit::Gallon => return Text::with("sheet.unit.gallon_us", [("n", Arg::number(n, digits))]).into(),
        LawUnit::Quart => return Text::with("sheet.unit.quart_us", [("n", Arg::number(n, digits))]).into(),
    };
    Arg::measure(n, unit, digits)
}

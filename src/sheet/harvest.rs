//! A basket held against the rules, as a tree like a sheet: what is poisonous first and loudest, then the answer, what has
//! to be put back, how full each limit is, and what the kinds in it are taken for. In go the check that `rules` made and
//! the basket, out come nodes; nothing is judged here, and nothing here says that a find is what it was taken for.

use std::collections::BTreeSet;

use super::Asked;
use super::before::whom_to_call;
use super::kinds::{name, names};
use super::law::{find, law_amount, rule, worded};
use super::tree::{Arg, Node, Text, Tone};
use crate::knowledge::{CustomStatus, Kind};
use crate::order::{self, Gather};
use crate::rules::{
    Answer, Dimension, Fill, HarvestCheck, Kind as RuleKind, NotCounted, Remark, Taken, Verdict,
};
use crate::units::Truth;

/// All message keys of the harvest check.
pub const KEYS: &[&str] = &[
    "harvest.answer.breach",
    "harvest.answer.not_known",
    "harvest.answer.over",
    "harvest.answer.put_back",
    "harvest.answer.within",
    "harvest.back",
    "harvest.back_maybe",
    "harvest.before_untold",
    "harvest.deadly",
    "harvest.doubles",
    "harvest.excepted",
    "harvest.excess",
    "harvest.group",
    "harvest.left_out.may_belong",
    "harvest.left_out.no_amount",
    "harvest.left_out.told_in_mass",
    "harvest.left_out.told_in_pieces",
    "harvest.left_out.told_in_volume",
    "harvest.limits",
    "harvest.mishandled",
    "harvest.no_limits",
    "harvest.no_stand",
    "harvest.only_if",
    "harvest.poisonous",
    "harvest.raw",
    "harvest.small",
    "harvest.small_maybe",
    "harvest.unknown",
];

/// What the check of a basket says. The first lines are about what is deadly or poisonous in it, if anything is.
pub fn harvest(check: &HarvestCheck, verdict: &Verdict, basket: &[Taken], asked: &Asked<'_>) -> Vec<Node> {
    let talk = Talk {
        check,
        verdict,
        basket,
        asked,
    };
    let mut nodes = talk.poisonous();
    nodes.push(Node::Verdict {
        answer: check.answer,
        text: talk.headline(),
    });
    nodes.extend(talk.remarks(&check.put_back, "harvest.back", "harvest.back_maybe"));
    nodes.extend(talk.remarks(&check.too_small, "harvest.small", "harvest.small_maybe"));
    nodes.extend(talk.remarks(&check.mishandled, "harvest.mishandled", "harvest.mishandled"));
    nodes.extend(talk.limits());
    nodes.extend(talk.unknown());
    nodes.extend(talk.doubles());
    nodes.push(Node::toned(Tone::Danger, Text::key("sheet.danger.always")));
    nodes.push(Node::toned(Tone::Quiet, Text::key("sheet.law.summary")));
    nodes
}

struct Talk<'a> {
    check: &'a HarvestCheck,
    verdict: &'a Verdict,
    basket: &'a [Taken],
    asked: &'a Asked<'a>,
}

impl Talk<'_> {
    fn kind(&self, taken: &Taken) -> Option<&Kind> {
        self.asked.ground.knowledge.fungi.kind(taken.kind.as_ref()?)
    }

    /// What the visitor takes a find for: the kind's names, or the words that were told.
    fn called(&self, place: usize) -> Text {
        match self.basket.get(place) {
            Some(taken) => match self.kind(taken) {
                Some(kind) => name(kind, self.asked),
                None => Text::data(taken.name.clone()),
            },
            None => Text::data(""),
        }
    }

    /// Each kind in the basket once, in the order told.
    fn kinds(&self) -> Vec<&Kind> {
        let mut seen = BTreeSet::new();
        self.basket
            .iter()
            .filter_map(|taken| self.kind(taken))
            .filter(|kind| seen.insert(&kind.id))
            .collect()
    }

    /// Deadly kinds first, then poisonous ones, with what they do and whom to call.
    fn poisonous(&self) -> Vec<Node> {
        let mut kinds: Vec<&Kind> = self.kinds();
        kinds.retain(|kind| kind.is_poisonous());
        order::by_key(&mut kinds, |kind| kind.status != CustomStatus::Deadly);
        let mut nodes = Vec::new();
        for kind in &kinds {
            let (tone, key) = match kind.status {
                CustomStatus::Deadly => (Tone::Deadly, "harvest.deadly"),
                _ => (Tone::Poisonous, "harvest.poisonous"),
            };
            let text = Text::with(key, [("kind", name(kind, self.asked).into())]);
            nodes.push(Node::toned(tone, text));
            nodes.extend(
                kind.poisonings
                    .iter()
                    .map(|poisoning| Node::toned(Tone::Danger, Text::key(poisoning.syndrome.key()))),
            );
        }
        if !nodes.is_empty() {
            nodes.extend(whom_to_call(self.asked));
        }
        nodes
    }

    /// The answer in one sentence: the stand's own where it is the worst.
    fn headline(&self) -> Text {
        let own = worded(&self.verdict.headline, self.asked.languages);
        if self.check.answer == self.verdict.answer && self.check.answer <= Answer::NotKnown {
            return own;
        }
        match self.check.answer {
            Answer::Closed => Text::key("harvest.answer.put_back"),
            Answer::Over => Text::key("harvest.answer.over"),
            Answer::Breach => Text::key("harvest.answer.breach"),
            Answer::NotKnown => Text::key("harvest.answer.not_known"),
            Answer::Limits if !self.basket.is_empty() => Text::key("harvest.answer.within"),
            _ => own,
        }
    }

    /// What a rule says of single things in the basket; each line opens to the rule.
    fn remarks(&self, remarks: &[Remark], sure: &str, maybe: &str) -> Vec<Node> {
        let said = remarks.iter().filter_map(|remark| {
            let books = self.asked.ground.books();
            let finding = self
                .verdict
                .findings()
                .find(|finding| finding.book == remark.rule.book && finding.rule == remark.rule.rule)?;
            let (_, of) = find(books, &remark.rule)?;
            let (tone, key) = match remark.holds {
                Truth::True => (Tone::Against, sure),
                _ => (Tone::Open, maybe),
            };
            let words = super::law::words(&of.text, self.asked.languages);
            let summary = Text::with(
                key,
                [("kind", self.called(remark.entry).into()), ("rule", words.into())],
            );
            Some(Node::more(
                Some(tone),
                vec![summary],
                vec![rule(finding, books, self.asked.languages)],
            ))
        });
        said.collect()
    }

    /// The limits, each with how full it is and what could not be counted.
    fn limits(&self) -> Vec<Node> {
        let languages = self.asked.languages;
        let mut nodes = Vec::new();
        for fill in &self.check.fills {
            nodes.push(Node::Fill {
                text: worded(&fill.limit.message, languages),
                used: fill.used.to_string(),
                limit: fill.limit.amount.written().to_owned(),
                unit: fill.limit.amount.unit().code(),
                share: fill.share(),
                level: fill.level.word(),
            });
            nodes.extend(self.remarks_on(fill));
        }
        for finding in self.verdict.holding(RuleKind::Qualitative) {
            nodes.push(Node::toned(Tone::Open, worded(&finding.message, languages)));
        }
        if nodes.is_empty() {
            nodes.push(Node::toned(Tone::Open, Text::key("harvest.no_limits")));
        } else {
            nodes.insert(0, Node::line(Text::key("harvest.limits")));
        }
        nodes
    }

    fn remarks_on(&self, fill: &Fill) -> Vec<Node> {
        let mut nodes = Vec::new();
        let unit = fill.limit.amount.unit();
        if let Some(excess) = fill.excess() {
            let amount = law_amount(&excess.to_string(), unit);
            let text = Text::with("harvest.excess", [("amount", amount)]);
            nodes.push(Node::toned(Tone::Against, text));
        }
        if let Some((_, by)) = fill
            .excepted
            .as_ref()
            .and_then(|at| find(self.asked.ground.books(), at))
        {
            let words = super::law::words(&by.text, self.asked.languages);
            nodes.push(Node::line(Text::with(
                "harvest.excepted",
                [("rule", words.into())],
            )));
        }
        let reasons: BTreeSet<NotCounted> = fill.left_out.iter().map(|(_, why)| *why).into_set();
        for why in reasons {
            let key = match why {
                NotCounted::NoAmount | NotCounted::OtherMeasure(Dimension::Length) => {
                    "harvest.left_out.no_amount"
                }
                NotCounted::MayBelong => "harvest.left_out.may_belong",
                NotCounted::OtherMeasure(Dimension::Mass) => "harvest.left_out.told_in_mass",
                NotCounted::OtherMeasure(Dimension::Volume) => "harvest.left_out.told_in_volume",
                NotCounted::OtherMeasure(Dimension::Pieces) => "harvest.left_out.told_in_pieces",
            };
            let kinds = fill
                .left_out
                .iter()
                .filter(|(_, other)| *other == why)
                .map(|(place, _)| self.called(*place));
            let text = Text::with(key, [("kinds", Arg::list(kinds))]);
            nodes.push(Node::toned(Tone::Open, text));
        }
        if fill.before_untold {
            nodes.push(Node::toned(Tone::Open, Text::key("harvest.before_untold")));
        }
        if fill.limit.holds != Truth::True {
            nodes.push(Node::toned(Tone::Open, Text::key("harvest.only_if")));
        }
        if fill.limit.per == crate::rules::Per::Group {
            nodes.push(Node::line(Text::key("harvest.group")));
        }
        nodes
    }

    /// What the table of fungi does not know: neither what the rules say of it nor whether it is poisonous.
    fn unknown(&self) -> Vec<Node> {
        let unknown = self.check.unknown.iter().map(|place| {
            let text = Text::with("harvest.unknown", [("name", self.called(*place).into())]);
            Node::toned(Tone::Open, text)
        });
        unknown.collect()
    }

    /// What the kinds in the basket are taken for, and what some of them do when eaten raw.
    fn doubles(&self) -> Vec<Node> {
        let mut nodes = Vec::new();
        for kind in self.kinds() {
            let called = name(kind, self.asked);
            if !kind.dangerous_lookalikes.is_empty() {
                let doubles = names(&kind.dangerous_lookalikes, self.asked);
                let text = Text::with(
                    "harvest.doubles",
                    [("kind", called.clone().into()), ("doubles", doubles)],
                );
                nodes.push(Node::toned(Tone::Danger, text));
            }
            if !kind.is_poisonous() {
                nodes.extend(kind.poisonings.iter().map(|poisoning| {
                    let what = Text::key(poisoning.syndrome.key());
                    let text = Text::with(
                        "harvest.raw",
                        [("kind", called.clone().into()), ("what", what.into())],
                    );
                    Node::toned(Tone::Caution, text)
                }));
            }
        }
        nodes
    }
}

//! A basket on the command line. In go rule books, a visit and a basket, out come the answer and how full each limit is,
//! as lines or as JSON. Counting is left to the library.

use hostwood::boundary::{BasketEntry, basket};
use hostwood::knowledge::{CustomStatus, Knowledge};
use hostwood::rules::harvest::{check, somewhere};
use hostwood::rules::{Fill, HarvestCheck, Law, Membership, NotCounted, Remark, RuleAt, RuleBook, Taken};
use hostwood::units::Truth;
use hostwood::visit::Visit;
use serde_json::{Value, json};

/// A basket held against rule books.
pub(crate) struct Held<'k> {
    knowledge: &'k Knowledge,
    basket: Vec<Taken>,
    check: HarvestCheck,
    regions: Vec<String>,
}

/// Holds a basket against rule books, on a stand that lies wholly in the named zones; without zones, on a stand of which
/// nothing is known but that the largest book covers it.
///
/// # Errors
/// A sentence that names the entry or the zone that makes no sense.
pub(crate) fn hold<'k>(
    books: &[RuleBook],
    zones: &[String],
    visit: &Visit,
    entries: &[BasketEntry],
    knowledge: &'k Knowledge,
) -> Result<Held<'k>, String> {
    let basket = basket(entries, &knowledge.fungi).map_err(|refusal| refusal.message)?;
    let all: Vec<&RuleBook> = books.iter().collect();
    let memberships = if zones.is_empty() {
        somewhere(&all)
    } else {
        within(books, zones)?
    };
    let memberships: Vec<&Membership> = memberships.iter().collect();
    let law = Law::on(&all, visit);
    let verdict = law.verdict(&memberships);
    Ok(Held {
        knowledge,
        check: check(&law, &memberships, &verdict, &basket),
        basket,
        regions: books.iter().map(|book| book.region.code.clone()).collect(),
    })
}

/// The place that lies wholly in these zones and in no other.
fn within(books: &[RuleBook], zones: &[String]) -> Result<Vec<Membership>, String> {
    for zone in zones {
        let known = books
            .iter()
            .any(|book| book.zones.iter().any(|known| known.id.as_str() == zone));
        if !known {
            let all: Vec<&str> = books
                .iter()
                .flat_map(|book| book.zones.iter().map(|zone| zone.id.as_str()))
                .collect();
            return Err(format!(
                "no zone is called `{zone}`, expected one of {}",
                all.join(", ")
            ));
        }
    }
    Ok(books
        .iter()
        .map(|book| {
            let places: Vec<usize> = book
                .zones
                .iter()
                .enumerate()
                .filter(|(_, known)| zones.iter().any(|zone| known.id.as_str() == zone))
                .map(|(place, _)| place)
                .collect();
            book.membership_of(&places)
        })
        .collect())
}

impl Held<'_> {
    fn name(&self, entry: usize) -> String {
        let name = self.basket.get(entry).map_or("", |taken| taken.name.as_str());
        format!("entry {} ({name})", entry + 1)
    }

    fn rule(&self, at: &RuleAt) -> String {
        let region = self.regions.get(at.book).map_or("", String::as_str);
        format!("{region}/{}", at.rule)
    }

    /// Poisonous kinds in the basket, deadly ones first.
    fn poisonous(&self) -> Vec<(usize, CustomStatus)> {
        let fungi = &self.knowledge.fungi;
        let mut found: Vec<(usize, CustomStatus)> = self
            .basket
            .iter()
            .enumerate()
            .filter_map(|(place, taken)| Some((place, fungi.kind(taken.kind.as_ref()?)?.status)))
            .filter(|(_, status)| *status >= CustomStatus::Poisonous)
            .collect();
        found.sort_by_key(|(_, status)| *status != CustomStatus::Deadly);
        found
    }

    /// For people: what is poisonous first.
    pub(crate) fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for (entry, status) in self.poisonous() {
            lines.push(format!(
                "{}: {}. Do not eat it; have all that lay beside it checked by a trained person",
                status.word().to_uppercase(),
                self.name(entry)
            ));
        }
        lines.push(format!("answer: {}", self.check.answer.word()));
        for (what, remarks) in [
            ("put back", &self.check.put_back),
            ("too small", &self.check.too_small),
            ("not handled as asked", &self.check.mishandled),
        ] {
            for remark in remarks {
                let doubt = if remark.holds == Truth::True {
                    ""
                } else {
                    ", if the rule holds"
                };
                lines.push(format!(
                    "{what}: {}, by {}{doubt}",
                    self.name(remark.entry),
                    self.rule(&remark.rule)
                ));
            }
        }
        for fill in &self.check.fills {
            let rules: Vec<String> = fill.limit.rules.iter().map(|at| self.rule(at)).collect();
            let mut line = format!(
                "limit {}: {} of {}, {}",
                rules.join(", "),
                fill.used,
                fill.limit.amount,
                fill.level.word()
            );
            if fill.limit.holds != Truth::True {
                line.push_str(", if it holds");
            }
            if fill.before_untold {
                line.push_str(", with what was taken before");
            }
            lines.push(line);
            for (entry, why) in &fill.left_out {
                lines.push(format!("  not counted: {}, {}", self.name(*entry), why_not(*why)));
            }
        }
        for entry in &self.check.unknown {
            lines.push(format!(
                "not known: {} is not in the table of fungi; nothing can be told of it",
                self.name(*entry)
            ));
        }
        lines
    }

    /// The same for machines.
    pub(crate) fn json(&self) -> Value {
        let remarks = |list: &[Remark]| -> Vec<Value> {
            list.iter()
                .map(|remark| {
                    json!({"entry": remark.entry + 1, "rule": self.rule(&remark.rule), "holds": remark.holds == Truth::True})
                })
                .collect()
        };
        let fill = |fill: &Fill| {
            let rules: Vec<String> = fill.limit.rules.iter().map(|at| self.rule(at)).collect();
            let left_out: Vec<Value> = fill
                .left_out
                .iter()
                .map(|(entry, why)| json!({"entry": entry + 1, "why": why_not(*why)}))
                .collect();
            json!({
                "rules": rules, "used": fill.used.to_string(), "limit": fill.limit.amount.written(),
                "unit": fill.limit.amount.unit().code(), "share": fill.share(), "level": fill.level.word(),
                "holds": fill.limit.holds == Truth::True, "not_counted": left_out, "before_untold": fill.before_untold,
            })
        };
        let poisonous: Vec<Value> = self
            .poisonous()
            .into_iter()
            .map(|(entry, status)| json!({"entry": entry + 1, "status": status.word()}))
            .collect();
        json!({
            "answer": self.check.answer.word(),
            "poisonous": poisonous,
            "put_back": remarks(&self.check.put_back),
            "too_small": remarks(&self.check.too_small),
            "mishandled": remarks(&self.check.mishandled),
            "limits": self.check.fills.iter().map(fill).collect::<Vec<Value>>(),
            "unknown": self.check.unknown.iter().map(|entry| entry + 1).collect::<Vec<usize>>(),
        })
    }
}

fn why_not(why: NotCounted) -> &'static str {
    match why {
        NotCounted::NoAmount => "no amount was told",
        NotCounted::OtherMeasure(_) => "told in another measure, which cannot be turned into this one",
        NotCounted::MayBelong => "it may be one of these kinds",
    }
}

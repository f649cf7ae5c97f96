//! Amounts in a rule book: a decimal in quotation marks, and a unit out of the list. What else is written is met with
//! what to write instead.

use super::super::amount::{Amount, NotAnAmount, Unit};
use super::super::document::{Fields, Item, Log, excerpt, nearest, one_of};

/// `amount` and `unit`. The amount is text, so that it is kept to the last digit.
pub(super) fn amount(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Amount> {
    let item = fields.need("amount", log, "a decimal in quotation marks such as `\"2\"`");
    let unit = fields
        .need("unit", log, &amounts_expected())
        .and_then(|item| unit(&item, log));
    // With a unit that is none, the number is looked at all the same, so that both slips are told at once.
    let amount = amount_of(&item?, log, unit.unwrap_or(Unit::Gram));
    unit.and(amount)
}

/// An amount in a unit that stands elsewhere.
pub(super) fn amount_of(item: &Item<'_>, log: &mut Log<'_>, unit: Unit) -> Option<Amount> {
    let name = item.name();
    if !item.is_text() {
        let found = if item.is_number() {
            "a bare number"
        } else {
            "no text"
        };
        log.refuse(
            "amount",
            item,
            format!("`{name}` is {found}"),
            "a decimal in quotation marks such as `\"2\"`",
            "put quotation marks around it, so that it is kept to the last digit",
        );
        return None;
    }
    let text = item.text(log)?;
    let refused = match Amount::read(text, unit) {
        Ok(amount) => return Some(amount),
        Err(refused) => refused,
    };
    let (expected, advice) = match refused {
        NotAnAmount::Comma => (
            "a decimal such as `1.5`".to_owned(),
            format!("write `{}`", excerpt(&text.replace(',', "."))),
        ),
        NotAnAmount::Negative => ("0 or more".to_owned(), String::new()),
        NotAnAmount::TooLarge => (
            "no more than ten tonnes".to_owned(),
            "check amount and unit".to_owned(),
        ),
        NotAnAmount::NotDecimal => (
            "a decimal such as `2` or `0.5`".to_owned(),
            "the unit stands in `unit`".to_owned(),
        ),
    };
    log.refuse(
        "amount",
        item,
        format!("`{name}` is `{}`", excerpt(text)),
        expected,
        advice,
    );
    None
}

/// A length: `{"amount": "11", "unit": "cm"}`.
pub(super) fn length(item: &Item<'_>, log: &mut Log<'_>, of: &str) -> Option<Amount> {
    let mut fields = item.fields(log)?;
    let amount = fields.need("amount", log, "a decimal in quotation marks such as `\"11\"`");
    let unit = fields
        .need("unit", log, &lengths_expected())
        .and_then(|item| length_unit(&item, log));
    fields.finish(log, &format!("the length of {of}"), &["amount", "unit"]);
    let amount = amount_of(&amount?, log, unit.unwrap_or(Unit::Centimetre));
    unit.and(amount)
}

/// A unit of length.
pub(super) fn length_unit(item: &Item<'_>, log: &mut Log<'_>) -> Option<Unit> {
    let text = item.text(log)?;
    let unit = Unit::parse(text).filter(|unit| Unit::LENGTHS.contains(unit));
    if unit.is_none() {
        log.refuse(
            "unit",
            item,
            format!("`unit` is `{}`", excerpt(text)),
            lengths_expected(),
            "",
        );
    }
    unit
}

fn lengths_expected() -> String {
    let codes: Vec<&str> = Unit::LENGTHS.iter().map(|unit| unit.code()).collect();
    format!("one of {}", one_of(&codes))
}

/// A share such as `1/3`, more than nothing and less than all.
pub(super) fn fraction(item: &Item<'_>, log: &mut Log<'_>) -> Option<(u32, u32)> {
    let text = item.text(log)?;
    let read = text
        .split_once('/')
        .and_then(|(parts, of)| Some((parts.parse::<u32>().ok()?, of.parse::<u32>().ok()?)))
        .filter(|(parts, of)| 0 < *parts && parts < of && *of <= 100);
    if read.is_none() {
        log.refuse(
            "fraction",
            item,
            format!("`{}` is `{}`", item.name(), excerpt(text)),
            "a share such as `1/3`, less than the whole",
            "",
        );
    }
    read
}

fn unit(item: &Item<'_>, log: &mut Log<'_>) -> Option<Unit> {
    let text = item.text(log)?;
    let unit = Unit::parse(text).filter(|unit| Unit::ALL.contains(unit));
    if unit.is_none() {
        // Spellings in use that are near in sense, not in letters.
        let meant = match text.to_lowercase().as_str() {
            "l" | "liter" | "litre" | "liters" | "litres" => Some("L"),
            "kilo" | "kilogram" | "kilograms" | "kgs" => Some("kg"),
            "gram" | "grams" | "gr" => Some("g"),
            "lb" | "lbs" | "pound" | "pounds" => Some("lb_av"),
            "gal" | "gallon" | "gallons" => Some("gal_us"),
            "qt" | "quart" | "quarts" => Some("qt_us"),
            "pieces" | "pcs" => Some("piece"),
            other => nearest(other, Unit::ALL.iter().map(|unit| unit.code())),
        };
        let advice = meant.map_or(String::new(), |meant| format!("did you mean `{meant}`?"));
        log.refuse(
            "unit",
            item,
            format!("`unit` is `{}`", excerpt(text)),
            amounts_expected(),
            advice,
        );
    }
    unit
}

/// The units there are, in words.
fn amounts_expected() -> String {
    let codes: Vec<&str> = Unit::ALL.iter().map(|unit| unit.code()).collect();
    format!("one of {}", one_of(&codes))
}

//! The small tree that says what a sheet says: message keys with arguments, and marked pieces of data. Who words it
//! (the element, the visit sheet) is left to others; no wording and no markup stands here.

use crate::order::Gather;
use std::collections::BTreeMap;

use serde::Serialize;

use crate::day::{ClockTime, Day, MonthDay};

/// A message key with arguments, or a piece of data that is shown as it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Text {
    /// A message of the catalogue.
    Message {
        /// The key, such as `answer.closed`.
        key: String,
        /// Its arguments by name.
        #[serde(skip_serializing_if = "BTreeMap::is_empty")]
        args: BTreeMap<String, Arg>,
    },
    /// Data: a name, a rule's own words. Never translated, shown isolated.
    Data {
        /// The text.
        text: String,
        /// Its language (BCP 47), where known.
        #[serde(skip_serializing_if = "Option::is_none")]
        lang: Option<String>,
    },
}

/// An argument of a message.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Arg {
    /// A number with its unit.
    Number {
        /// The number.
        n: f64,
        /// Its unit, where it has one.
        #[serde(skip_serializing_if = "Option::is_none")]
        unit: Option<Unit>,
        /// Digits after the point, at most.
        #[serde(skip_serializing_if = "Option::is_none")]
        digits: Option<u8>,
    },
    /// From one number to another.
    Range {
        /// Both ends.
        range: [f64; 2],
        /// Their unit, where they have one.
        #[serde(skip_serializing_if = "Option::is_none")]
        unit: Option<Unit>,
        /// Digits after the point, at most.
        #[serde(skip_serializing_if = "Option::is_none")]
        digits: Option<u8>,
    },
    /// A calendar day.
    Date {
        /// The day.
        date: Day,
    },
    /// A day of any year.
    #[serde(rename_all = "camelCase")]
    MonthDay {
        /// The day of the year.
        month_day: MonthDay,
    },
    /// A time of day, by the region's clock.
    Time {
        /// The time.
        time: ClockTime,
    },
    /// An instant, to be shown by the region's clock.
    #[serde(rename_all = "camelCase")]
    Instant {
        /// ISO 8601, UTC.
        utc: String,
        /// IANA name of the region's time zone.
        #[serde(skip_serializing_if = "Option::is_none")]
        time_zone: Option<String>,
    },
    /// Several, joined as the language joins a list.
    List {
        /// The parts.
        list: Vec<Arg>,
    },
    /// Another message, or data.
    Text(Text),
}

/// Units that the browser's own number formatting knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Unit {
    Hectare,
    Kilogram,
    Gram,
    Liter,
    Year,
    Meter,
    Percent,
    Piece,
    Celsius,
}

/// A part of a sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "node", rename_all = "snake_case")]
pub enum Node {
    /// The sheet's own head.
    Heading {
        /// Name or number.
        text: Text,
        /// Area and the like.
        sub: Vec<Text>,
    },
    /// A section with its title.
    Section {
        /// What it is about: `trees`, `law`, `fruit`, `season`, `danger`, `before`.
        id: &'static str,
        /// Its title.
        title: Text,
        /// What stands in it.
        children: Vec<Node>,
    },
    /// The bar of the mixture.
    Mixture {
        /// One part a tree.
        parts: Vec<MixturePart>,
    },
    /// What the rule book says, in one sentence.
    Verdict {
        /// The answer, worst first: closed, over, breach, need, not_known, limits, no_rule, free.
        answer: crate::rules::Answer,
        /// The sentence.
        text: Text,
    },
    /// Step and range of the fruiting potential.
    Gauge {
        /// The step; none where the trees are not known.
        step: Option<crate::potential::Step>,
        /// Low end, 0 to 100.
        low: Option<f64>,
        /// High end, 0 to 100.
        high: Option<f64>,
        /// What ranks and colours.
        value: Option<f64>,
        /// The same in words.
        text: Text,
    },
    /// A limit and how full it is.
    Fill {
        /// The limit in words.
        text: Text,
        /// How much of the basket counts against it for certain: a decimal in `unit`.
        used: String,
        /// The limit itself: a decimal in `unit`, as the law writes it.
        limit: String,
        /// The unit as rule books spell it: `kg`, `g`, `lb_av`, `L`, `gal_us`, `qt_us`, `piece`.
        unit: &'static str,
        /// How much of it is used: 1 is all of it, more is too much.
        share: f64,
        /// `under`, `full`, `over` or `not_known`.
        level: &'static str,
    },
    /// One sentence.
    Line {
        /// How it is meant.
        #[serde(skip_serializing_if = "Option::is_none")]
        tone: Option<Tone>,
        /// The sentence.
        text: Text,
    },
    /// Several alike things.
    List {
        /// What they are: `plain`, `reasons`, `kinds`.
        style: &'static str,
        /// The things.
        items: Vec<Vec<Node>>,
    },
    /// Something that opens.
    More {
        /// What is seen while it is closed.
        summary: Vec<Text>,
        /// How it is meant.
        #[serde(skip_serializing_if = "Option::is_none")]
        tone: Option<Tone>,
        /// What is inside.
        children: Vec<Node>,
    },
    /// Where something is from.
    Source {
        /// Title, article, how it was seen.
        text: Text,
        /// A link, http or https.
        #[serde(skip_serializing_if = "Option::is_none")]
        link: Option<String>,
        /// When it was last checked.
        #[serde(skip_serializing_if = "Option::is_none")]
        checked: Option<Day>,
    },
    /// Days of weather for a small drawing.
    Weather {
        /// The first day.
        from: Day,
        /// The last one.
        to: Day,
        /// The day of the visit.
        today: Day,
        /// Every day between.
        days: Vec<WeatherDay>,
        /// The same in words.
        text: Text,
    },
    /// Terms and values.
    Facts {
        /// One row a term.
        rows: Vec<FactRow>,
    },
}

/// One day of weather; what is not told is null.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WeatherDay {
    /// The day.
    pub date: Day,
    /// Rain, millimetres.
    pub rain: Option<f64>,
    /// Lowest temperature, degrees Celsius.
    pub low: Option<f64>,
    /// Highest temperature.
    pub high: Option<f64>,
    /// Part of the topsoil's room for water that is full, 0 to 1.
    pub moisture: Option<f64>,
    /// Forecast, not measured.
    pub forecast: bool,
}

/// One tree of the mixture bar.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MixturePart {
    /// What stands there.
    pub name: Text,
    /// Its share, least and most; `None` where nothing is told.
    pub share: Option<[f64; 2]>,
    /// Mycorrhizal type in a word of the catalogue's `type.*`.
    #[serde(rename = "type")]
    pub mycorrhiza: &'static str,
    /// Which layer.
    pub layer: Text,
}

/// One row of terms and values.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FactRow {
    /// The term.
    pub term: Text,
    /// Its values.
    pub value: Vec<Text>,
}

/// How a sentence is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Tone {
    /// Speaks for fruiting.
    For,
    /// Speaks against it.
    Against,
    /// Leaves it open.
    Open,
    /// A caution.
    Caution,
    /// A danger.
    Danger,
    /// Of less weight.
    Quiet,
    /// A kind that is collected.
    Kind,
    /// A poisonous kind.
    Poisonous,
    /// A deadly kind.
    Deadly,
}

impl Text {
    /// A message without arguments.
    pub fn key(key: impl Into<String>) -> Text {
        Text::Message {
            key: key.into(),
            args: BTreeMap::new(),
        }
    }

    /// A message with arguments.
    pub fn with<const N: usize>(key: impl Into<String>, args: [(&str, Arg); N]) -> Text {
        let args = args
            .into_iter()
            .map(|(name, arg)| (name.to_owned(), arg))
            .into_map();
        Text::Message {
            key: key.into(),
            args,
        }
    }

    /// A piece of data in no known language.
    pub fn data(text: impl Into<String>) -> Text {
        Text::Data {
            text: text.into(),
            lang: None,
        }
    }

    /// A piece of data in that language.
    pub fn data_in(text: impl Into<String>, lang: &str) -> Text {
        Text::Data {
            text: text.into(),
            lang: Some(lang.to_owned()),
        }
    }

    /// A scientific name, which is Latin.
    pub fn latin(text: impl Into<String>) -> Text {
        Text::data_in(text, "la")
    }
}

impl Arg {
    /// A plain number.
    pub fn number(n: f64, digits: u8) -> Arg {
        Arg::Number {
            n,
            unit: None,
            digits: Some(digits),
        }
    }

    /// A number with its unit.
    pub fn measure(n: f64, unit: Unit, digits: u8) -> Arg {
        Arg::Number {
            n,
            unit: Some(unit),
            digits: Some(digits),
        }
    }

    /// A number or a range with its unit, whichever it is.
    pub fn span(low: f64, high: f64, unit: Option<Unit>, digits: u8) -> Arg {
        if low == high {
            Arg::Number {
                n: low,
                unit,
                digits: Some(digits),
            }
        } else {
            Arg::Range {
                range: [low, high],
                unit,
                digits: Some(digits),
            }
        }
    }

    /// Several texts, joined as a list.
    pub fn list(texts: impl IntoIterator<Item = Text>) -> Arg {
        Arg::List {
            list: texts.into_iter().map(Arg::Text).collect(),
        }
    }
}

impl From<Text> for Arg {
    fn from(text: Text) -> Arg {
        Arg::Text(text)
    }
}

impl Node {
    /// A sentence with no tone.
    pub fn line(text: Text) -> Node {
        Node::Line { tone: None, text }
    }

    /// A sentence with a tone.
    pub fn toned(tone: Tone, text: Text) -> Node {
        Node::Line {
            tone: Some(tone),
            text,
        }
    }

    /// A thing that opens.
    pub fn more(tone: Option<Tone>, summary: Vec<Text>, children: Vec<Node>) -> Node {
        Node::More {
            summary,
            tone,
            children,
        }
    }
}

//! What the weather so far says, as a part of the sheet that stands apart from the potential: a sentence, the days for a
//! small drawing, what counts for water, warmth, frost and snow, and what is not told. Nothing is computed here.

use super::Asked;
use super::tree::{Arg, Node, Text, Tone, Unit, WeatherDay};
use crate::potential::{View, ViewValue};
use crate::stand::Stand;
use crate::weather::{Limit, State, Water};

/// The nodes on the weather; none where no weather was handed over.
pub(super) fn nodes(stand: &Stand, asked: &Asked<'_>) -> Vec<Node> {
    let Some(weather) = asked.ground.weather() else {
        return Vec::new();
    };
    let mut nodes = vec![Node::line(Text::key("sheet.weather.title"))];
    match asked.ground.weather_state(stand, asked.visit) {
        Some(state) => {
            nodes.push(sentence(&state, &asked.ground.view(stand, View::Roots)));
            nodes.extend(drawing(&state, asked));
            nodes.extend(spells(&state, asked));
            nodes.push(worked(&state, asked));
        }
        None => nodes.extend(weather.first().zip(weather.last()).map(|(from, to)| {
            let days = [("from", Arg::Date { date: from }), ("to", Arg::Date { date: to })];
            Node::toned(Tone::Open, Text::with("sheet.weather.not_told", days))
        })),
    }
    nodes.extend(weather.station.as_ref().map(|station| {
        let name = Text::data(station.clone()).into();
        Node::toned(
            Tone::Quiet,
            Text::with("sheet.weather.station", [("station", name)]),
        )
    }));
    nodes
}

/// The wood and the weather in one sentence, each by itself.
fn sentence(state: &State, standing: &ViewValue) -> Node {
    let (tone, key) = match state.limit {
        Limit::Nothing => (Tone::For, "good"),
        Limit::Dry => (Tone::Against, "dry"),
        Limit::Cold => (Tone::Against, "cold"),
        Limit::Hot => (Tone::Against, "hot"),
        Limit::Frost => (Tone::Against, "frost"),
        Limit::Snow => (Tone::Against, "snow"),
        Limit::NotKnown => (Tone::Open, "not_known"),
    };
    let text = match standing.known() {
        Some(value) => Text::with(
            format!("sheet.weather.now.{key}"),
            [("step", Text::key(value.step.key()).into())],
        ),
        None => Text::key(format!("sheet.weather.alone.{key}")),
    };
    Node::toned(tone, text)
}

fn drawing(state: &State, asked: &Asked<'_>) -> Option<Node> {
    let (from, to) = (state.days.first()?.day.date, state.days.last()?.day.date);
    let rain = state.rain;
    let text = Text::with(
        "sheet.weather.drawn",
        [
            ("from", Arg::Date { date: from }),
            ("to", Arg::Date { date: to }),
            ("rain", Arg::span(rain.low.round(), rain.high.round(), None, 0)),
        ],
    );
    Some(Node::Weather {
        from,
        to,
        today: asked.visit.day,
        days: state
            .days
            .iter()
            .map(|drawn| WeatherDay {
                date: drawn.day.date,
                rain: drawn.day.rain,
                low: drawn.day.low,
                high: drawn.day.high,
                moisture: drawn.moisture,
                forecast: drawn.day.forecast,
            })
            .collect(),
        text,
    })
}

/// Drought, frost and snow where they are told; gaps and forecasts among the days looked back on.
fn spells(state: &State, asked: &Asked<'_>) -> Vec<Node> {
    let numbers = &asked.ground.knowledge.factors.weather;
    let count = |n: u16| Arg::number(f64::from(n), 0);
    let mut nodes = Vec::new();
    if f64::from(state.dry_spell) >= numbers.dry_spell_from {
        let args = [
            ("days", count(state.dry_spell)),
            ("rain", Arg::number(numbers.dry_day_below, 1)),
        ];
        nodes.push(Node::toned(
            Tone::Against,
            Text::with("sheet.weather.drought", args),
        ));
    }
    if let Some(lowest) = state.lowest.filter(|lowest| *lowest < numbers.frost_below) {
        let low = [("low", Arg::measure(lowest, Unit::Celsius, 0))];
        nodes.push(Node::toned(Tone::Against, Text::with("sheet.weather.frost", low)));
    }
    if let Some(depth) = state.snow.filter(|depth| *depth >= numbers.snow_from) {
        let depth = [("depth", Arg::number(depth, 0))];
        nodes.push(Node::toned(
            Tone::Against,
            Text::with("sheet.weather.snow", depth),
        ));
    }
    if state.untold > 0 {
        let days = [("n", count(state.untold))];
        nodes.push(Node::toned(Tone::Open, Text::with("sheet.weather.untold", days)));
    }
    if state.forecast > 0 {
        let days = [("n", count(state.forecast))];
        nodes.push(Node::toned(
            Tone::Open,
            Text::with("sheet.weather.forecast", days),
        ));
    }
    nodes
}

/// How it is worked out: the numbers, and where they are from.
fn worked(state: &State, asked: &Asked<'_>) -> Node {
    let knowledge = asked.ground.knowledge.as_ref();
    let numbers = &knowledge.factors.weather;
    let percent = |span: crate::weather::Span| {
        Arg::span(
            (span.low * 100.0).round(),
            (span.high * 100.0).round(),
            Some(Unit::Percent),
            0,
        )
    };
    let water = match state.water_by {
        Water::Topsoil => "sheet.weather.water_soil",
        Water::Rain => "sheet.weather.water_rain",
    };
    let kept = state.rain_kept;
    let mut children = vec![
        Node::line(Text::with(water, [("part", percent(state.water))])),
        Node::line(Text::with(
            "sheet.weather.kept",
            [
                ("rain", Arg::span(kept.low.round(), kept.high.round(), None, 0)),
                ("kept", Arg::measure(numbers.rain_kept * 100.0, Unit::Percent, 0)),
            ],
        )),
    ];
    children.extend(state.mean.map(|mean| {
        let args = [
            (
                "mean",
                Arg::span(mean.low.round(), mean.high.round(), Some(Unit::Celsius), 0),
            ),
            ("part", percent(state.warmth)),
        ];
        Node::line(Text::with("sheet.weather.warmth", args))
    }));
    children.push(Node::toned(Tone::Quiet, Text::key("sheet.weather.lag")));
    children.extend(super::numbers::node(&["weather"], asked));
    Node::more(None, vec![Text::key("sheet.weather.worked")], children)
}

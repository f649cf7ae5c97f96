//! What the weeks before a day come to. In go the days, the place and the numbers, out come water, warmth, frost and
//! snow as parts of the best, 0 to 1, each a span; the longest dry spell; and the days for a small drawing. What it
//! means for a wood is left to the sheet; it is never multiplied into the stand's potential.
//!
//! Each day of fruiting looks back: water counts over the weeks before last, warmth over the last two weeks, frost over
//! the last one. That late rain and warmth come before fruiting is published; how many days it takes is our choice.

use super::span::Span;
use super::topsoil::{moisture, rain_that_counts};
use super::{Weather, WeatherDay};
use crate::day::Day;
use crate::knowledge::WeatherFactors;
use crate::units::{Elevation, Latitude};

/// Which measure of water was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Water {
    /// Water in the topsoil: rain less what evaporates.
    Topsoil,
    /// Rain that still counts, where no temperatures are told.
    Rain,
}

/// What holds fruiting back most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Limit {
    Nothing,
    Dry,
    Cold,
    Hot,
    Frost,
    Snow,
    NotKnown,
}

/// A day of the small drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// The day as told.
    pub day: WeatherDay,
    /// Part of the topsoil's room that is full, where it is known well enough.
    pub moisture: Option<f64>,
}

/// What the weather comes to on one day at one height.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The days of the drawing: the last weeks, and forecast days after.
    pub days: Vec<Drawn>,
    /// Part of the best, all in all.
    pub all: Span,
    /// What holds it back most.
    pub limit: Limit,
    /// Which measure of water was taken.
    pub water_by: Water,
    /// Part of the best by water.
    pub water: Span,
    /// Part of the best by warmth.
    pub warmth: Span,
    /// Rain over the days that count for water, millimetres.
    pub rain: Span,
    /// Rain that still counts on the day, millimetres.
    pub rain_kept: Span,
    /// Mean temperature of the days that count for warmth, degrees Celsius.
    pub mean: Option<Span>,
    /// The lowest temperature of the days that count for frost.
    pub lowest: Option<f64>,
    /// The snow that lies, centimetres, by the last day that tells.
    pub snow: Option<f64>,
    /// How many days in a row up to the day were dry.
    pub dry_spell: u16,
    /// How many of the days looked back on have no rain told.
    pub untold: u16,
    /// How many of the days looked back on are forecast, not measured.
    pub forecast: u16,
}

/// The state on a day; `None` where the file tells nothing of the days before it.
pub fn state(
    weather: &Weather,
    today: Day,
    latitude: Latitude,
    elevation: Option<Elevation>,
    numbers: &WeatherFactors,
) -> Option<State> {
    let (first, last) = (weather.first()?, weather.last()?);
    let back = |days: f64| today.plus_days(-whole(days));
    if first > back(numbers.water_to) || last < back(numbers.water_from) {
        return None;
    }
    // Up to the day asked for every day is there, told or not.
    let mut filled = weather.clone();
    let mut end = last;
    while end < today {
        end = end.next();
        filled.days.push(WeatherDay::untold(end));
    }
    let warmer = warmer(weather, elevation, numbers);
    let at = |date: Day| usize::try_from(first.days_to(date)).ok();
    let within = |from: f64, to: f64| {
        let from = at(back(from).max(first)).unwrap_or(0);
        let to = at(back(to)).unwrap_or(0);
        from..=to.min(filled.days.len() - 1)
    };
    let kept = rain_that_counts(&filled.days, numbers);
    let soil = moisture(&filled, latitude, warmer, numbers);
    let lag = within(numbers.water_from, numbers.water_to);
    let has_temperatures = filled.days[lag.clone()].iter().any(|day| day.mean().is_some());
    let (water_by, curve, measure) = if has_temperatures {
        (Water::Topsoil, &numbers.water_soil, &soil)
    } else {
        (Water::Rain, &numbers.water_rain, &kept)
    };
    let water = over(curve, Span::mean(measure[lag.clone()].iter().copied())?);
    let recent = &filled.days[within(numbers.warm_days, 0.0)];
    let mean = Span::mean(recent.iter().map(|day| {
        day.mean().map_or(
            Span {
                low: numbers.mean_missing_low,
                high: numbers.mean_missing_high,
            },
            |mean| Span::exact(mean + warmer),
        )
    }))?;
    let any_mean = recent.iter().any(|day| day.mean().is_some());
    let warmth = over(&numbers.warmth, mean);
    let cold_days = &filled.days[within(numbers.frost_days, 0.0)];
    let lowest = cold_days
        .iter()
        .filter_map(|day| day.low)
        .map(|low| low + warmer)
        .reduce(f64::min);
    let frost = frost(lowest, cold_days.iter().all(|day| day.low.is_some()), numbers);
    let snow = recent.iter().rev().find_map(|day| day.snow);
    let snowed = match snow {
        Some(depth) if depth >= numbers.snow_from => Span::exact(numbers.snow),
        _ => Span::exact(1.0),
    };
    let all = water.times(warmth).times(frost).times(snowed);
    let looked_back = &filled.days[within(numbers.water_from, 0.0)];
    let count = |test: &dyn Fn(&WeatherDay) -> bool| {
        u16::try_from(looked_back.iter().filter(|day| test(day)).count()).unwrap_or(u16::MAX)
    };
    let drawn = {
        let from = at(back(numbers.drawn_days).max(first)).unwrap_or(0);
        filled.days[from..]
            .iter()
            .zip(&soil[from..])
            .filter(|(day, _)| day.date <= today || day.forecast)
            .map(|(day, soil)| Drawn {
                day: *day,
                moisture: (has_temperatures && soil.width() <= numbers.unsure_above).then(|| soil.middle()),
            })
            .collect()
    };
    let today_at = at(today).unwrap_or(0).min(kept.len() - 1);
    Some(State {
        days: drawn,
        all,
        limit: limit(all, water, warmth, mean, frost, snowed, numbers),
        water_by,
        water,
        warmth,
        rain: Span {
            low: sum(&filled.days[lag.clone()], 0.0),
            high: sum(&filled.days[lag], numbers.rain_missing),
        },
        rain_kept: kept[today_at],
        mean: any_mean.then_some(mean),
        lowest,
        snow,
        dry_spell: dry_spell(&filled.days[..=today_at], numbers),
        untold: count(&|day| day.rain.is_none()),
        forecast: count(&|day| day.forecast),
    })
}

/// How many degrees the stand is warmer than the station, by their heights.
fn warmer(weather: &Weather, elevation: Option<Elevation>, numbers: &WeatherFactors) -> f64 {
    match (weather.elevation, elevation) {
        (Some(station), Some(stand)) => -numbers.cooler_per_metre * (stand.get() - station.get()),
        _ => 0.0,
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "whole days of the table, a few dozen"
)]
fn whole(days: f64) -> i32 {
    days.round() as i32
}

fn over(curve: &crate::knowledge::Curve, span: Span) -> Span {
    let (low, high) = curve.over(span.low, span.high);
    Span { low, high }
}

fn sum(days: &[WeatherDay], missing: f64) -> f64 {
    days.iter().map(|day| day.rain.unwrap_or(missing)).sum()
}

/// Frost of the last days: certain where it is told, possible where a night is not told.
fn frost(lowest: Option<f64>, all_told: bool, numbers: &WeatherFactors) -> Span {
    let hard = lowest.is_some_and(|low| low < numbers.frost_below);
    Span {
        low: if hard || !all_told { numbers.frost } else { 1.0 },
        high: if hard { numbers.frost } else { 1.0 },
    }
}

/// Days in a row, up to the last one, that are known to be dry.
fn dry_spell(days: &[WeatherDay], numbers: &WeatherFactors) -> u16 {
    let dry = days
        .iter()
        .rev()
        .take_while(|day| day.rain.is_some_and(|rain| rain < numbers.dry_day_below));
    u16::try_from(dry.count()).unwrap_or(u16::MAX)
}

fn limit(
    all: Span,
    water: Span,
    warmth: Span,
    mean: Span,
    frost: Span,
    snow: Span,
    numbers: &WeatherFactors,
) -> Limit {
    if snow.high < 1.0 {
        return Limit::Snow;
    }
    if all.width() > numbers.unsure_above {
        return Limit::NotKnown;
    }
    if all.middle() >= numbers.good_from {
        return Limit::Nothing;
    }
    let (_, best_to) = numbers.warmth.best();
    let temperature = if mean.middle() > best_to {
        Limit::Hot
    } else {
        Limit::Cold
    };
    [
        (water.middle(), Limit::Dry),
        (frost.middle(), Limit::Frost),
        (warmth.middle(), temperature),
    ]
    .into_iter()
    .min_by(|a, b| a.0.total_cmp(&b.0))
    .map_or(Limit::NotKnown, |(_, limit)| limit)
}

#[cfg(test)]
#[path = "state_tests.rs"]
mod tests;

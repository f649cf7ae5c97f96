//! The numbers of the weather. In go the rows of factors.csv, out come typed numbers; what days come to is left to
//! `weather`.

use super::factor_table::Table;
use super::factors::Curve;

/// Numbers of the weather; millimetres, degrees Celsius, days back from the day asked for, parts of one.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherFactors {
    /// Part of the rain that still counts which the next day keeps.
    pub rain_kept: f64,
    /// The most rain that a day without rain told may have had.
    pub rain_missing: f64,
    /// Water that the topsoil can hold for plants.
    pub soil_room: f64,
    /// Part of it that is given off without stress.
    pub soil_easy: f64,
    /// The most that a day without temperatures told may have dried.
    pub evaporation_missing: f64,
    /// The first day that counts for water.
    pub water_from: f64,
    /// The last one.
    pub water_to: f64,
    /// The first day that counts for warmth.
    pub warm_days: f64,
    /// The first night that counts for frost.
    pub frost_days: f64,
    /// The first day of the drawing.
    pub drawn_days: f64,
    /// From water in the topsoil to a part of the best.
    pub water_soil: Curve,
    /// From rain that still counts to a part of the best.
    pub water_rain: Curve,
    /// From mean temperature to a part of the best.
    pub warmth: Curve,
    /// The coldest mean that a day without temperatures told may have had.
    pub mean_missing_low: f64,
    /// The warmest.
    pub mean_missing_high: f64,
    /// A colder night is hard frost.
    pub frost_below: f64,
    /// What hard frost leaves.
    pub frost: f64,
    /// Snow so deep lies, centimetres.
    pub snow_from: f64,
    /// What lying snow leaves.
    pub snow: f64,
    /// A day with less rain is dry.
    pub dry_day_below: f64,
    /// So many dry days in a row are told.
    pub dry_spell_from: f64,
    /// A range wider than this is not known.
    pub unsure_above: f64,
    /// From here nothing is said to hold fruiting back.
    pub good_from: f64,
    /// Degrees that it gets colder with each metre of height.
    pub cooler_per_metre: f64,
}

/// The only place that names these rows.
impl Table {
    pub(super) fn weather(&self) -> WeatherFactors {
        let [water_from, water_to, warm_days, frost_days, drawn_days] = self.numbers(
            "weather.lag",
            ["water_from", "water_to", "warm", "frost", "drawn"],
        );
        let [mean_missing_low, mean_missing_high] = self.numbers("weather.mean_missing", ["low", "high"]);
        WeatherFactors {
            rain_kept: self.number("weather.rain", "kept"),
            rain_missing: self.number("weather.rain", "missing"),
            soil_room: self.number("weather.soil", "room"),
            soil_easy: self.number("weather.soil", "easy"),
            evaporation_missing: self.number("weather.evaporation", "missing"),
            water_from,
            water_to,
            warm_days,
            frost_days,
            drawn_days,
            water_soil: self.curve("weather.water_soil"),
            water_rain: self.curve("weather.water_rain"),
            warmth: self.curve("weather.warmth"),
            mean_missing_low,
            mean_missing_high,
            frost_below: self.number("weather.frost", "below"),
            frost: self.number("weather.frost", "leaves"),
            snow_from: self.number("weather.snow", "from"),
            snow: self.number("weather.snow", "leaves"),
            dry_day_below: self.number("weather.dry", "day_below"),
            dry_spell_from: self.number("weather.dry", "spell_from"),
            unsure_above: self.number("weather.word", "unsure_above"),
            good_from: self.number("weather.word", "good_from"),
            cooler_per_metre: self.number("weather.height", "cooler_per_metre"),
        }
    }
}

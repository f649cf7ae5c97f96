//! Weather as a station tells it, day by day. In goes a file of days (JSON or CSV), out come days in order with what
//! was odd, and what the weeks before a day come to: water in the topsoil, warmth, frost, snow, dry spell. It stands
//! apart from the stand's potential: a good wood in a dry week stays a good wood.

mod evaporation;
mod reading;
mod span;
mod state;
mod topsoil;

use crate::day::Day;
use crate::geometry::LngLat;
use crate::units::Elevation;

pub use reading::{FORMAT, Finding, Read, Severity, Unreadable, read};
pub use span::Span;
pub use state::{Drawn, Limit, State, Water, state};

/// The days of one station.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Weather {
    /// The station's name, if told.
    pub station: Option<String>,
    /// Where it stands, if told.
    pub place: Option<LngLat>,
    /// How high it stands, if told.
    pub elevation: Option<Elevation>,
    /// Every day from the first to the last; a day that the file leaves out has nothing told.
    pub days: Vec<WeatherDay>,
}

/// One day. What is not told is `None`, never zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeatherDay {
    /// The day.
    pub date: Day,
    /// Rain, millimetres.
    pub rain: Option<f64>,
    /// Lowest temperature, degrees Celsius.
    pub low: Option<f64>,
    /// Highest temperature, degrees Celsius.
    pub high: Option<f64>,
    /// Depth of the snow that lies, centimetres.
    pub snow: Option<f64>,
    /// Forecast, not measured.
    pub forecast: bool,
}

impl WeatherDay {
    /// A day of which nothing is told.
    pub fn untold(date: Day) -> WeatherDay {
        WeatherDay {
            date,
            rain: None,
            low: None,
            high: None,
            snow: None,
            forecast: false,
        }
    }

    /// The middle of lowest and highest temperature.
    pub fn mean(&self) -> Option<f64> {
        self.low
            .zip(self.high)
            .map(|(low, high)| f64::midpoint(low, high))
    }
}

impl Weather {
    /// The first day.
    pub fn first(&self) -> Option<Day> {
        self.days.first().map(|day| day.date)
    }

    /// The last day, forecast days included.
    pub fn last(&self) -> Option<Day> {
        self.days.last().map(|day| day.date)
    }

    /// The last day that was measured.
    pub fn last_measured(&self) -> Option<Day> {
        self.days
            .iter()
            .rev()
            .find(|day| !day.forecast)
            .map(|day| day.date)
    }
}

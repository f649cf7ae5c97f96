//! The weather's door: in go bytes of a file of daily weather, out comes what it held and what was odd. Reading it is
//! left to the room `weather`, wording it to the sheet.

use serde::Serialize;

use super::{Refusal, Session, Trouble};
use crate::day::Day;
use crate::weather::{self, Severity};

/// What a file of daily weather held.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeatherReport {
    /// Days from the first to the last, those not told among them.
    pub days: usize,
    /// The first day; none where the weather was taken away.
    pub from: Option<Day>,
    /// The last day, forecast days included.
    pub to: Option<Day>,
    /// The station's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station: Option<String>,
    /// What was odd.
    pub findings: Vec<Trouble>,
}

impl Session {
    /// Takes daily weather, or takes it away. `today` is the ISO day where the forest is, so that days ahead which are
    /// not marked as forecast are told.
    ///
    /// # Errors
    /// A [`Refusal`] if the file holds no days; the weather there was stays.
    pub fn set_weather(
        &mut self,
        bytes: Option<&[u8]>,
        today: Option<&str>,
    ) -> Result<WeatherReport, Refusal> {
        let today = today
            .map(Day::parse)
            .transpose()
            .map_err(|error| Refusal::argument(format!("today: {error}")))?;
        let read = bytes
            .map(|bytes| weather::read(bytes, today))
            .transpose()
            .map_err(|error| Refusal::new("bad-weather", error.to_string()))?;
        let weather = read.as_ref().map(|read| &read.weather);
        let report = WeatherReport {
            days: weather.map_or(0, |weather| weather.days.len()),
            from: weather.and_then(weather::Weather::first),
            to: weather.and_then(weather::Weather::last),
            station: weather.and_then(|weather| weather.station.clone()),
            findings: read
                .iter()
                .flat_map(|read| &read.findings)
                .map(Trouble::from)
                .collect(),
        };
        self.weather = read.map(|read| read.weather);
        if let Some(ground) = &mut self.ground {
            ground.set_weather(self.weather.clone());
        }
        Ok(report)
    }
}

impl From<&weather::Finding> for Trouble {
    fn from(finding: &weather::Finding) -> Trouble {
        let severity = match finding.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        };
        Trouble {
            property: finding.property.map(ToOwned::to_owned),
            count: finding.count,
            examples: finding.examples.clone(),
            ..Trouble::new(finding.code, severity, finding.message.clone())
        }
    }
}

//! What grass would evaporate on a day, from temperatures alone. In go latitude, day of the year, lowest and highest
//! temperature, out comes millimetres of water. After Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage
//! Paper 56: chapter 3, equations 21 to 25, 34 and 52 (Hargreaves).

use std::f64::consts::{PI, TAU};

use crate::day::Day;
use crate::units::Latitude;

/// The solar constant in megajoules a square metre and minute (equation 21).
const SOLAR_CONSTANT: f64 = 0.0820;
/// Millimetres of water that a megajoule a square metre evaporates (equation 20).
const WATER_A_MEGAJOULE: f64 = 0.408;

/// The sun above one latitude on one day.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sky {
    latitude: f64,
    declination: f64,
    /// Inverse relative distance of earth and sun.
    nearness: f64,
    /// Angle from noon to sunset, radians: 0 where the sun stays down, half a turn where it stays up.
    sunset: f64,
}

impl Sky {
    /// The sky over a latitude on a day of the year.
    pub(super) fn over(latitude: Latitude, day: Day) -> Sky {
        Sky::on(latitude.get().to_radians(), f64::from(day.day_of_year()))
    }

    fn on(latitude: f64, day_of_year: f64) -> Sky {
        let turn = TAU * day_of_year / 365.0;
        let declination = 0.409 * libm::sin(turn - 1.39);
        let cosine = -libm::tan(latitude) * libm::tan(declination);
        Sky {
            latitude,
            declination,
            nearness: 1.0 + 0.033 * libm::cos(turn),
            sunset: libm::acos(cosine.clamp(-1.0, 1.0)),
        }
    }

    /// Radiation at the top of the air, megajoules a square metre and day (equation 21).
    fn radiation(self) -> f64 {
        let (latitude, declination) = (self.latitude, self.declination);
        24.0 * 60.0 / PI
            * SOLAR_CONSTANT
            * self.nearness
            * (self.sunset * libm::sin(latitude) * libm::sin(declination)
                + libm::cos(latitude) * libm::cos(declination) * libm::sin(self.sunset))
    }

    /// Hours from sunrise to sunset, without refraction (equation 34).
    #[cfg(test)]
    fn hours(self) -> f64 {
        24.0 / PI * self.sunset
    }

    /// Reference evapotranspiration in millimetres a day from the lowest and highest temperature in degrees Celsius
    /// (equation 52); never below 0.
    pub(super) fn evaporation(self, low: f64, high: f64) -> f64 {
        let mean = f64::midpoint(low, high);
        let water = WATER_A_MEGAJOULE * self.radiation();
        (0.0023 * (mean + 17.8) * libm::sqrt((high - low).max(0.0)) * water).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sky(latitude: f64, day_of_year: f64) -> Sky {
        Sky::on(latitude.to_radians(), day_of_year)
    }

    #[test]
    fn radiation_and_daylight_meet_the_worked_examples() {
        // FAO-56, example 8: 3 September (day 246) at 20 degrees south: nearness 0.985, declination 0.120 rad, sunset
        // angle 1.527 rad, 32.2 MJ a square metre and day; example 9: 11.7 hours (book values from memory).
        let sky = sky(-20.0, 246.0);
        assert!((sky.nearness - 0.985).abs() < 5e-4, "{sky:?}");
        assert!((sky.declination - 0.120).abs() < 5e-4, "{sky:?}");
        assert!((sky.sunset - 1.527).abs() < 5e-4, "{sky:?}");
        assert!((sky.radiation() - 32.2).abs() < 0.05, "{}", sky.radiation());
        assert!((sky.hours() - 11.7).abs() < 0.05, "{}", sky.hours());
    }

    #[test]
    fn evaporation_meets_the_published_values() {
        // The manual page of NCL's radext_fao56 (read): 45.72 degrees north, day 196: 16.5463 mm a day. FAO-56, example
        // 20, Lyon in July: 5.0 mm a day by Hargreaves (5.0 read on the manual page of refevt_hargreaves_fao56, the
        // temperatures 14.8 and 26.6 from memory).
        let lyon = sky(45.72, 196.0);
        assert!((WATER_A_MEGAJOULE * lyon.radiation() - 16.5463).abs() < 5e-3);
        assert!((lyon.evaporation(14.8, 26.6) - 5.0).abs() < 0.05);
    }

    #[test]
    fn the_poles_have_a_day_and_a_night_of_half_a_year() {
        // Common knowledge: no sun in midwinter, sun all day in midsummer, twelve hours everywhere near the equinox.
        for (latitude, day, hours) in [(80.0, 355.0, 0.0), (80.0, 172.0, 24.0), (-80.0, 355.0, 24.0)] {
            assert!(
                (sky(latitude, day).hours() - hours).abs() < 1e-9,
                "{latitude} on {day}"
            );
        }
        assert_eq!(sky(80.0, 355.0).evaporation(-20.0, -10.0), 0.0);
        for latitude in [-60.0, 0.0, 47.0, 65.0] {
            assert!((sky(latitude, 81.0).hours() - 12.0).abs() < 0.2, "{latitude}");
        }
    }

    #[test]
    fn no_cold_and_no_narrow_span_gives_less_than_nothing() {
        let winter = sky(60.0, 10.0);
        assert_eq!(winter.evaporation(-40.0, -30.0), 0.0);
        assert_eq!(winter.evaporation(5.0, 5.0), 0.0);
    }
}

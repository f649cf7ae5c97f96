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

    /// The 15th of each month, for which the tables of annex 2 are printed.
    const MONTHS: [f64; 12] = [
        15.0, 46.0, 74.0, 105.0, 135.0, 166.0, 196.0, 227.0, 258.0, 288.0, 319.0, 349.0,
    ];

    #[test]
    fn the_printed_tables_of_radiation_come_out() {
        // FAO-56, annex 2, table 2.6: megajoules a square metre and day, by latitude and month. The tables give one digit.
        // January of the north by a copy of the table (read); February at 34 and 36 degrees south as quoted on a page of
        // questions on the table (read); the other two rows from memory.
        let january = [
            (70.0, 0.0),
            (68.0, 0.1),
            (66.0, 0.6),
            (64.0, 1.4),
            (62.0, 2.3),
            (60.0, 3.3),
            (58.0, 4.3),
        ];
        let cells = january.map(|(latitude, printed)| (latitude, 1, printed));
        let february = [(-34.0, 2, 39.2), (-36.0, 2, 38.9)];
        let row = |latitude: f64, printed: [f64; 12]| {
            let months = 1..=12;
            months
                .zip(printed)
                .map(move |(month, printed)| (latitude, month, printed))
        };
        let rows = row(
            70.0,
            [0.0, 2.6, 10.4, 23.0, 35.2, 42.5, 39.4, 28.0, 14.9, 4.9, 0.1, 0.0],
        )
        .chain(row(
            0.0,
            [
                36.2, 37.5, 37.9, 36.8, 34.8, 33.4, 33.9, 35.7, 37.2, 37.4, 36.3, 35.6,
            ],
        ));
        for (latitude, month, printed) in cells.into_iter().chain(february).chain(rows) {
            let found = sky(latitude, MONTHS[month - 1]).radiation();
            assert!(
                (found - printed).abs() < 0.15,
                "{latitude} degrees, month {month}: {found}, printed {printed}"
            );
        }
    }

    #[test]
    fn the_printed_tables_of_daylight_come_out() {
        // FAO-56, annex 2, table 2.7, hours (from memory); the cell of 20 degrees south on day 246 by the manual page of
        // NCL's daylight_fao56 (read): 11.66559.
        assert!((sky(-20.0, 246.0).hours() - 11.665_59).abs() < 1e-4);
        for (latitude, printed) in [
            (
                70.0,
                [0.0, 6.6, 11.0, 15.6, 21.3, 24.0, 24.0, 17.6, 12.8, 8.3, 2.3, 0.0],
            ),
            (0.0, [12.0; 12]),
        ] {
            for (day, printed) in MONTHS.into_iter().zip(printed) {
                let found = sky(latitude, day).hours();
                assert!(
                    (found - printed).abs() < 0.06,
                    "{latitude} degrees, day {day}: {found}, printed {printed}"
                );
            }
        }
    }

    #[test]
    fn the_other_worked_examples_come_out() {
        // FAO-56 (book values from memory). Example 10, Rio de Janeiro, 22.9 degrees south, 15 May: 25.1 MJ, 10.9 hours.
        // Example 17, Bangkok, 13.73 degrees north, 15 April: 38.06 MJ, 12.31 hours. Example 18, Uccle, 50.8 degrees north,
        // 6 July: 41.09 MJ, 16.1 hours.
        for (latitude, day, radiation, hours) in [
            (-22.9, 135.0, 25.1, 10.9),
            (13.73, 105.0, 38.06, 12.31),
            (50.8, 187.0, 41.09, 16.1),
        ] {
            let sky = sky(latitude, day);
            assert!(
                (sky.radiation() - radiation).abs() < 0.05,
                "{latitude}: {}",
                sky.radiation()
            );
            assert!((sky.hours() - hours).abs() < 0.05, "{latitude}: {}", sky.hours());
        }
        // The same two examples give 5.72 and 3.88 mm by the full equation, with wind, sunshine and humidity (temperatures
        // and 3.88 of Uccle read in a test of another library, the rest from memory). From temperatures alone it may differ;
        // here by less than a tenth.
        for (latitude, day, low, high, full) in
            [(13.73, 105.0, 25.6, 34.8, 5.72), (50.8, 187.0, 12.3, 21.5, 3.88)]
        {
            let found = sky(latitude, day).evaporation(low, high);
            assert!(
                (found / full - 1.0).abs() < 0.1,
                "{latitude}: {found}, not {full}"
            );
        }
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

//! Windows of hours, by the clock and by the sun. In go a window, a visit with its time and the region's distance from
//! universal time, and a place; out comes whether the window holds that moment, or not known. Which rule closes for it
//! is left to `weigh`.
//!
//! A bound on the clock is compared with the clock, a bound by the sun with universal time, so a change of the clocks
//! between the two does no harm. Sunrise and sunset are those of a flat horizon (the method is `season`'s); they are
//! rounded inwards, so that nobody starts a minute early or stops a minute late.

use super::kind::{Clock, HourWindow, Openness};
use crate::day::{ClockTime, Day};
use crate::geometry::LngLat;
use crate::season::{Daylight, daylight};
use crate::units::Truth;
use crate::visit::Visit;

const DAY: i64 = 24 * 60;

/// The moment of a visit, if its time was told.
#[derive(Debug, Clone, Copy)]
pub(super) struct Moment {
    day: Day,
    /// Minutes on the region's clock.
    clock: i64,
    /// Minutes by which that clock runs before universal time.
    offset: Option<i64>,
    place: Option<LngLat>,
}

/// How the moment stands to the bounds of a window on one day: whether it has begun, and whether it is over.
type Bounds = (Truth, Truth);

impl Moment {
    pub(super) fn of(visit: &Visit, place: Option<LngLat>) -> Option<Moment> {
        Some(Moment {
            day: visit.day,
            clock: i64::from(visit.time?.minutes()),
            offset: visit.utc_offset.map(i64::from),
            place,
        })
    }

    /// Whether the moment is closed.
    pub(super) fn is_closed(&self, openness: &Openness<HourWindow>) -> Truth {
        match openness {
            Openness::Open(windows) => self.in_any(windows, true).not(),
            Openness::Closed(windows) => self.in_any(windows, false),
        }
    }

    fn in_any(&self, windows: &[HourWindow], open: bool) -> Truth {
        windows
            .iter()
            .fold(Truth::False, |any, window| any.or(self.is_in(*window, open)))
    }

    /// Whether a window holds the moment: its first minute belongs to it, its last does not. The windows of the day
    /// before and the day after are asked as well, since those that follow the sun can reach over midnight.
    fn is_in(&self, window: HourWindow, open: bool) -> Truth {
        self.bounds(window, open)
            .into_iter()
            .fold(Truth::False, |any, (begun, over)| any.or(begun.and(over.not())))
    }

    /// How the moment stands to a window of the day before, of the day, and of the day after.
    fn bounds(&self, window: HourWindow, open: bool) -> [Bounds; 3] {
        let wraps = self.wraps(window, open);
        [-1, 0, 1].map(|shift| {
            let Some(wraps) = wraps else {
                return (Truth::NotKnown, Truth::NotKnown);
            };
            (
                self.is_past(window.from, shift, open),
                self.is_past(window.to, shift + i64::from(wraps), !open),
            )
        })
    }

    /// Whether a window ends on the day after the one on which it begins; `None` if that cannot be told.
    fn wraps(&self, window: HourWindow, open: bool) -> Option<bool> {
        match (window.from, window.to) {
            (Clock::At(from), Clock::At(to)) => Some(from > to),
            (Clock::Sunrise(_), Clock::Sunset(_)) => Some(false),
            (Clock::Sunset(_), Clock::Sunrise(_)) => Some(true),
            (from, to) => Some(self.on_the_clock(from, open)? > self.on_the_clock(to, !open)?),
        }
    }

    fn on_the_clock(&self, bound: Clock, later: bool) -> Option<i64> {
        match bound {
            Clock::At(time) => Some(i64::from(time.minutes())),
            sun => Some(event(sun, self.day, self.place?, self.offset?, later)? + self.offset?),
        }
    }

    /// Whether a bound lies in the past of the moment, or on it. `shift` is the day of the bound, from the visit's.
    fn is_past(&self, bound: Clock, shift: i64, later: bool) -> Truth {
        match bound {
            Clock::At(time) => Truth::from(self.clock >= i64::from(time.minutes()) + shift * DAY),
            sun => {
                let (Some(place), Some(offset)) = (self.place, self.offset) else {
                    return Truth::NotKnown;
                };
                let day = match shift {
                    0 => self.day,
                    1.. => (0..shift).fold(self.day, |day, _| day.next()),
                    _ => (shift..0).fold(self.day, |day, _| day.previous()),
                };
                match event(sun, day, place, offset, later) {
                    Some(minutes) => Truth::from(self.clock - offset >= minutes + shift * DAY),
                    None => Truth::NotKnown,
                }
            }
        }
    }

    /// How the moment stands to all bounds of these windows: places with the same have the same answer.
    pub(super) fn sky(&self, openness: &Openness<HourWindow>) -> Vec<Bounds> {
        let (windows, open) = match openness {
            Openness::Open(windows) => (windows, true),
            Openness::Closed(windows) => (windows, false),
        };
        windows
            .iter()
            .filter(|window| follows_the_sun(window))
            .flat_map(|window| self.bounds(*window, open))
            .collect()
    }
}

/// Whether a window begins or ends by the sun.
pub(super) fn follows_the_sun(window: &HourWindow) -> bool {
    [window.from, window.to]
        .iter()
        .any(|clock| !matches!(clock, Clock::At(_)))
}

/// Minutes of universal time from 00:00 of the day to sunrise or sunset with its hours before or after, in whole
/// minutes: the later ones where `later`, else the earlier ones. `None` on a day without.
///
/// The day is the region's: where its clock runs far ahead of the sun, universal time has another date at noon.
pub(super) fn event(clock: Clock, day: Day, place: LngLat, offset: i64, later: bool) -> Option<i64> {
    let shifts = [(0, day), (-1, day.previous()), (1, day.next())];
    let (rise, set) = shifts.into_iter().find_map(|(shift, day)| {
        let Daylight::Times {
            sunrise_utc_minutes,
            sunset_utc_minutes,
        } = daylight(day, place)
        else {
            return None;
        };
        #[expect(clippy::cast_precision_loss, reason = "a few days of minutes")]
        let (rise, set, offset) = {
            let shift = (shift * DAY) as f64;
            (
                sunrise_utc_minutes + shift,
                sunset_utc_minutes + shift,
                offset as f64,
            )
        };
        let noon = f64::midpoint(rise, set) + offset;
        (0.0..1440.0).contains(&noon).then_some((rise, set))
    })?;
    let (minutes, by) = match clock {
        Clock::Sunrise(by) => (rise, by),
        Clock::Sunset(by) => (set, by),
        Clock::At(_) => return None,
    };
    #[expect(clippy::cast_possible_truncation, reason = "a few days of minutes")]
    let whole = if later { minutes.ceil() } else { minutes.floor() } as i64;
    Some(whole + i64::from(by))
}

/// A day and time on the region's clock, so many minutes of universal time from 00:00 of a day; `None` for what the
/// calendar does not hold.
pub(super) fn on_the_clock(day: Day, utc_minutes: i64, offset: i64) -> Option<(Day, ClockTime)> {
    let minutes = utc_minutes + offset;
    let day = match minutes.div_euclid(DAY) {
        0 => day,
        -1 => day.previous(),
        1 => day.next(),
        _ => return None,
    };
    let minutes = minutes.rem_euclid(DAY);
    let time = ClockTime::parse(&format!("{:02}:{:02}", minutes / 60, minutes % 60)).ok()?;
    Some((day, time))
}

//! Broken outlines. In goes a ring in fine steps, out come the middles of the round stamps that draw its dashes. Which
//! samples they ink is left to `tile`.
//!
//! Dashes are measured from the ring's first position along the whole ring, so they do not depend on the tile, and
//! their length is chosen so that they come out even.

/// The measures of a broken outline, in fine steps.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dashes {
    /// From the start of one dash to the start of the next.
    pub(super) period: f64,
    /// From the first to the last stamp of a dash.
    pub(super) dash: f64,
    /// From stamp to stamp.
    pub(super) step: f64,
}

/// Calls `stamp` with the middle of each stamp of a ring's dashes, in fine steps from the same corner as the ring. A
/// ring too short for two dashes gets none. Of stamps outside the window (west, north, east, south) most are left out:
/// how long it takes goes by what is seen of the ring, and by its edges, not by its length.
pub(super) fn dashes(ring: &[[i64; 2]], measures: Dashes, window: [i64; 4], mut stamp: impl FnMut([i64; 2])) {
    let edges = || {
        ring.iter().enumerate().map(|(place, &from)| {
            let to = ring[(place + 1) % ring.len()];
            let (run, drop) = ((to[0] - from[0]) as f64, (to[1] - from[1]) as f64);
            (from, run, drop, (run * run + drop * drop).sqrt())
        })
    };
    let whole: f64 = edges().map(|(_, _, _, length)| length).sum();
    let count = (whole / measures.period).round();
    if count < 2.0 {
        return;
    }
    let of_dash = (measures.dash / measures.step).round().max(1.0) + 1.0;
    let stamps = Stamps {
        period: whole / count,
        of_dash,
        step: measures.step,
        last: count * of_dash,
    };
    // A stamp's middle is rounded: it may lie in the window though its edge passes by.
    let [west, north, east, south] = window;
    let window = [west - 1, north - 1, east + 1, south + 1];
    let (mut number, mut passed) = (0.0, 0.0);
    for (from, run, drop, length) in edges() {
        if let Some((enter, leave)) = seen(from, run, drop, window) {
            // A step more on both sides, whatever the rounding.
            number = stamps.after(number, passed, enter * length - 2.0 * measures.step);
            while number < stamps.last {
                let along = stamps.place(number) - passed;
                if along > length || along > leave * length + 2.0 * measures.step {
                    break;
                }
                if length > 0.0 {
                    let part = along / length;
                    stamp([
                        from[0] + (run * part).round_ties_even() as i64,
                        from[1] + (drop * part).round_ties_even() as i64,
                    ]);
                }
                number += 1.0;
            }
        }
        number = stamps.after(number, passed, length);
        passed += length;
    }
}

/// The stamps of a ring, numbered along it: dash by dash, stamp by stamp.
struct Stamps {
    period: f64,
    of_dash: f64,
    step: f64,
    last: f64,
}

impl Stamps {
    /// How far along the ring a stamp lies.
    fn place(&self, number: f64) -> f64 {
        let dash = (number / self.of_dash).floor();
        dash * self.period + (number - dash * self.of_dash) * self.step
    }

    /// The first stamp, from this one on, that lies farther than so far beyond what was passed; the same as if every
    /// stamp between were looked at.
    fn after(&self, from: f64, passed: f64, far: f64) -> f64 {
        let is_beyond = |number: f64| self.place(number) - passed > far;
        let place = passed + far;
        let dash = (place / self.period).floor();
        let within = ((place - dash * self.period) / self.step).floor() + 1.0;
        let near = dash * self.of_dash + within.min(self.of_dash);
        let mut number = near.clamp(from, self.last.max(from));
        while number > from && is_beyond(number - 1.0) {
            number -= 1.0;
        }
        while number < self.last && !is_beyond(number) {
            number += 1.0;
        }
        number
    }
}

/// The parts of an edge, from 0 to 1, at which it enters and leaves the window; `None` where it lies outside.
fn seen(from: [i64; 2], run: f64, drop: f64, [west, north, east, south]: [i64; 4]) -> Option<(f64, f64)> {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (from, way, low, high) in [(from[0], run, west, east), (from[1], drop, north, south)] {
        let (low, high) = ((low - from) as f64, (high - from) as f64);
        if way == 0.0 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
            continue;
        }
        let (one, other) = (low / way, high / way);
        enter = enter.max(one.min(other));
        leave = leave.min(one.max(other));
    }
    (enter <= leave).then_some((enter, leave))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const ALL: [i64; 4] = [-1 << 50, -1 << 50, 1 << 50, 1 << 50];

    const MEASURES: Dashes = Dashes {
        period: 100.0,
        dash: 40.0,
        step: 20.0,
    };

    #[test]
    fn dashes_come_out_even() {
        let mut stamps = Vec::new();
        dashes(
            &[[0, 0], [110, 0], [110, 110], [0, 110]],
            MEASURES,
            ALL,
            |place| stamps.push(place),
        );
        // 440 steps around: four dashes of 110, three stamps each.
        assert_eq!(
            stamps,
            [
                [0, 0],
                [20, 0],
                [40, 0],
                [110, 0],
                [110, 20],
                [110, 40],
                [110, 110],
                [90, 110],
                [70, 110],
                [0, 110],
                [0, 90],
                [0, 70],
            ]
        );
    }

    #[test]
    fn a_ring_too_short_for_two_dashes_gets_none() {
        let mut stamps = 0;
        dashes(&[[0, 0], [20, 0], [20, 20], [0, 20]], MEASURES, ALL, |_| {
            stamps += 1
        });
        dashes(&[], MEASURES, ALL, |_| stamps += 1);
        assert_eq!(stamps, 0);
    }

    #[test]
    fn a_ring_around_the_world_takes_no_longer_than_what_is_seen_of_it() {
        let far = 1 << 45;
        let mut stamps = Vec::new();
        let ring = [[-far, 50], [far, 50], [far, far], [-far, far]];
        dashes(&ring, MEASURES, [0, 0, 1000, 1000], |place| stamps.push(place));
        assert!((25..40).contains(&stamps.len()), "{stamps:?}");
    }

    #[test]
    fn a_stamp_rounded_into_the_window_is_seen() {
        let ring = [[521, -1503], [392, 2847], [-475, -598]];
        let measures = Dashes {
            step: 5.012_835_245_033_892,
            ..MEASURES
        };
        let mut stamps = Vec::new();
        dashes(&ring, measures, [483, -206, 484, -205], |place| {
            stamps.push(place)
        });
        assert!(stamps.contains(&[483, -206]), "{stamps:?}");
    }

    proptest! {
        /// Through a window the same stamps are seen as if all were made.
        #[test]
        fn a_window_shows_what_lies_in_it(
            ring in prop::collection::vec((-3000i64..3000, -3000i64..3000), 3..9),
            (west, north) in (-2000i64..2000, -2000i64..2000),
            (wide, high) in (1i64..800, 1i64..800),
            step in 3.0f64..25.0,
        ) {
            let ring: Vec<[i64; 2]> = ring.into_iter().map(|(x, y)| [x, y]).collect();
            let measures = Dashes { step, ..MEASURES };
            let window = [west, north, west + wide, north + high];
            let through = |wanted: [i64; 4]| {
                let mut seen = Vec::new();
                dashes(&ring, measures, wanted, |[x, y]| {
                    if x >= window[0] && x <= window[2] && y >= window[1] && y <= window[3] {
                        seen.push([x, y]);
                    }
                });
                seen
            };
            prop_assert_eq!(through(window), through(ALL));
        }
    }
}

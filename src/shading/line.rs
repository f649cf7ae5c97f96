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
/// ring too short for two dashes gets none.
pub(super) fn dashes(ring: &[[i64; 2]], measures: Dashes, mut stamp: impl FnMut([i64; 2])) {
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
    let period = whole / count;
    let stamps = (measures.dash / measures.step).round().max(1.0);
    // Stamps are numbered along the ring: dash by dash, stamp by stamp.
    let place = |number: f64| {
        let dash = (number / (stamps + 1.0)).floor();
        dash * period + (number - dash * (stamps + 1.0)) * measures.step
    };
    let (mut number, mut passed) = (0.0, 0.0);
    for (from, run, drop, length) in edges() {
        while number < count * (stamps + 1.0) {
            let along = place(number) - passed;
            if along > length {
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
        passed += length;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MEASURES: Dashes = Dashes {
        period: 100.0,
        dash: 40.0,
        step: 20.0,
    };

    #[test]
    fn dashes_come_out_even() {
        let mut stamps = Vec::new();
        dashes(&[[0, 0], [110, 0], [110, 110], [0, 110]], MEASURES, |place| {
            stamps.push(place)
        });
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
        dashes(&[[0, 0], [20, 0], [20, 20], [0, 20]], MEASURES, |_| stamps += 1);
        dashes(&[], MEASURES, |_| stamps += 1);
        assert_eq!(stamps, 0);
    }
}

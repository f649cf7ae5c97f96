//! Tips at which a border turns back on its own line. In goes a ring in units, out comes the ring without them; whether
//! anything is left of it is asked in `repair`.

/// Leaves out the tips at which the border turns back on its own line; gives how many.
pub(super) fn cut_spikes(ring: &mut Vec<[i32; 2]>) -> usize {
    let count = ring.len();
    let any = (0..count).any(|place| {
        let next = |by: usize| ring[(place + by) % count];
        is_spike(next(0), next(1), next(2))
    });
    if !any {
        return 0;
    }
    let mut spikes = 0;
    let mut kept: Vec<[i32; 2]> = Vec::with_capacity(count);
    for &position in ring.iter() {
        kept.push(position);
        spikes += trim(&mut kept);
    }
    // The ends of the open ring meet: what turns back there is trimmed from both sides.
    let mut start = 0;
    while kept.len() - start > 2 {
        let [first, second] = [kept[start], kept[start + 1]];
        let [before, last] = [kept[kept.len() - 2], kept[kept.len() - 1]];
        if last == first || is_spike(before, last, first) {
            spikes += usize::from(last != first);
            kept.pop();
        } else if is_spike(last, first, second) {
            spikes += 1;
            start += 1;
        } else {
            break;
        }
    }
    kept.drain(..start);
    *ring = kept;
    spikes
}

/// Takes a tip from the end of a line, and what turns back after it is gone; gives how many tips.
fn trim(line: &mut Vec<[i32; 2]>) -> usize {
    let mut spikes = 0;
    while let [.., before, tip, after] = line[..] {
        if !is_spike(before, tip, after) {
            break;
        }
        spikes += 1;
        let end = line.len();
        line.remove(end - 2);
        if before == after {
            line.pop();
        }
    }
    spikes
}

/// Whether a line turns back at its middle position, and both arms lie on one line within a unit.
fn is_spike(before: [i32; 2], tip: [i32; 2], after: [i32; 2]) -> bool {
    let arm = |end: [i32; 2]| [0, 1].map(|axis| f64::from(end[axis]) - f64::from(tip[axis]));
    let ([bx, by], [ax, ay]) = (arm(before), arm(after));
    let turn = bx * ax + by * ay;
    if turn <= 0.0 {
        return false;
    }
    let longer = (bx * bx + by * by).max(ax * ax + ay * ay);
    let cross = bx * ay - by * ax;
    cross * cross <= longer
}

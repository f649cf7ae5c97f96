//! The last cuts: in go stands as squares, out come their final pieces: gaps opened in old stands, crumbs given to
//! neighbours, a few stands lying in two pieces, and all of them numbered. The first cut is left to `partition`.

use std::collections::BTreeMap;

use crate::region::chance::{draw, part, wave};
use crate::region::land::{ACROSS, Cover, SQUARE, UP, beside, groups, middle};
use crate::region::partition::{Ground, Key, Partition, SMALLEST};
use crate::region::places::{apart, part_of};

/// Opens gaps in the middle of some large stands: a meadow, or a patch grown over again as a stand of its own.
/// Returns the numbers of the latter.
pub(crate) fn open_gaps(stand: &mut [u32], cover: &mut [Cover]) -> Vec<u32> {
    let mut depth = vec![u16::MAX; stand.len()];
    let mut front: Vec<usize> = Vec::new();
    for square in 0..stand.len() {
        if beside(square).any(|next| stand[next] != stand[square]) || beside(square).count() < 4 {
            depth[square] = 0;
            front.push(square);
        }
    }
    let mut reached = 0;
    while let Some(&square) = front.get(reached) {
        reached += 1;
        for next in beside(square) {
            if depth[next] == u16::MAX {
                depth[next] = depth[square] + 1;
                front.push(next);
            }
        }
    }
    let mut deepest: BTreeMap<u32, (u16, usize)> = BTreeMap::new();
    for (square, &number) in stand.iter().enumerate().filter(|(_, number)| **number > 0) {
        let held = deepest.entry(number).or_insert((0, square));
        if depth[square] > held.0 {
            *held = (depth[square], square);
        }
    }
    let mut gaps = Vec::new();
    let mut fresh = stand.iter().copied().max().unwrap_or(0);
    for (number, (depth, heart)) in deepest {
        if depth < 7 || part(52, i64::from(number), 0) > 0.16 {
            continue;
        }
        let [x, y] = middle(heart);
        let radius = (f64::from(depth) - 4.0)
            .min(2.6 + 2.4 * part(53, i64::from(number), 0))
            .max(2.6)
            * SQUARE;
        let meadow = draw(54, i64::from(number), 0).is_multiple_of(2);
        if !meadow {
            fresh += 1;
            gaps.push(fresh);
        }
        let span = (radius * 1.4 / SQUARE) as i64 + 1;
        for (di, dj) in (-span..=span).flat_map(|dj| (-span..=span).map(move |di| (di, dj))) {
            let square = (heart as i64 + dj * ACROSS as i64 + di) as usize;
            let at = middle(square);
            let bent = radius * (1.0 + 0.5 * wave(55, at[0] / 60.0, at[1] / 60.0));
            if stand[square] == number && apart(at, [x, y]) < bent {
                if meadow {
                    stand[square] = 0;
                    cover[square] = Cover::Meadow;
                } else {
                    stand[square] = fresh;
                }
            }
        }
    }
    gaps
}

/// Fills the corner where two squares of one stand touch only at a point, so that no border touches itself.
pub(crate) fn untouch(stand: &mut [u32]) {
    for _ in 0..8 {
        let mut changed = false;
        for j in 0..UP - 1 {
            for i in 0..ACROSS - 1 {
                let a = j * ACROSS + i;
                let (b, c, d) = (a + 1, a + ACROSS, a + ACROSS + 1);
                let falls = stand[a] == stand[d] && stand[a] != stand[b] && stand[a] != stand[c];
                let rises = stand[b] == stand[c] && stand[b] != stand[a] && stand[b] != stand[d];
                if falls && stand[a] != 0 {
                    let other = if stand[b] != 0 { b } else { c };
                    stand[other] = stand[a];
                    changed = true;
                } else if rises && stand[b] != 0 {
                    let other = if stand[a] != 0 { a } else { d };
                    stand[other] = stand[b];
                    changed = true;
                }
            }
        }
        if !changed {
            break;
        }
    }
}

/// Splits what no longer hangs together, drops crumbs, lets a few lie in two pieces, and numbers the stands part by
/// part from north to south.
pub(crate) fn number(
    mut stand: Vec<u32>,
    cover: Vec<Cover>,
    gaps: &[u32],
    keys: &[Option<Key>],
) -> Partition {
    let values: Vec<Option<u32>> = stand
        .iter()
        .map(|&number| (number > 0).then_some(number))
        .collect();
    let (pieces, sizes) = groups(&values);
    let count = sizes.len();
    let mut sums = vec![(0.0, 0.0); count];
    let mut grounds = vec![Ground::Open; count];
    let mut seen = vec![false; count];
    for (square, &piece) in pieces.iter().enumerate().filter(|(_, piece)| **piece > 0) {
        let piece = piece as usize;
        let [x, y] = middle(square);
        sums[piece] = (sums[piece].0 + x, sums[piece].1 + y);
        if !seen[piece] {
            seen[piece] = true;
            grounds[piece] = match keys[square] {
                _ if gaps.contains(&stand[square]) => Ground::Gap,
                Some(key) => key.0,
                None => Ground::Open,
            };
        }
    }
    let heart = |piece: usize| {
        [
            sums[piece].0 / f64::from(sizes[piece]),
            sums[piece].1 / f64::from(sizes[piece]),
        ]
    };
    // A crumb left over by smoothing goes to the neighbour it touches.
    let mut goes_to: Vec<usize> = (0..count).collect();
    for (square, &piece) in pieces.iter().enumerate().filter(|(_, piece)| **piece > 0) {
        let piece = piece as usize;
        if sizes[piece] < SMALLEST - 2 {
            for next in beside(square).map(|next| pieces[next] as usize) {
                if next != 0 && next != piece && sizes[next] >= SMALLEST - 2 && goes_to[piece] == piece {
                    goes_to[piece] = next;
                }
            }
        }
    }
    // About one small stand in thirty lies in two pieces.
    for piece in 1..count {
        if sizes[piece] > 260 || goes_to[piece] != piece || part(57, piece as i64, 0) > 0.07 {
            continue;
        }
        let partner = (1..count)
            .filter(|&other| other != piece && sizes[other] < 260 && sizes[other] >= SMALLEST)
            .filter(|&other| goes_to[other] == other && grounds[other] == grounds[piece])
            .filter(|&other| (240.0..520.0).contains(&apart(heart(piece), heart(other))))
            .min_by(|&a, &b| apart(heart(piece), heart(a)).total_cmp(&apart(heart(piece), heart(b))));
        if let Some(partner) = partner
            && goes_to.iter().filter(|&&to| to == piece).count() == 1
        {
            goes_to[piece] = partner;
        }
    }
    let mut order: Vec<(usize, i64, i64, usize)> = (1..count)
        .filter(|&piece| goes_to[piece] == piece && sizes[piece] >= SMALLEST - 2)
        .map(|piece| {
            let [x, y] = heart(piece);
            (part_of([x, y]), -(y / 400.0) as i64, x as i64, piece)
        })
        .collect();
    order.sort_unstable();
    let mut numbers = vec![0u32; count];
    for (place, entry) in order.iter().enumerate() {
        numbers[entry.3] = place as u32 + 1;
    }
    for (square, number) in stand.iter_mut().enumerate() {
        *number = numbers[goes_to[pieces[square] as usize]];
    }
    let ground = std::iter::once(Ground::Open)
        .chain(order.iter().map(|entry| grounds[entry.3]))
        .collect();
    let parts = std::iter::once(0)
        .chain(order.iter().map(|entry| entry.0))
        .collect();
    Partition {
        stand,
        cover,
        ground,
        parts,
    }
}

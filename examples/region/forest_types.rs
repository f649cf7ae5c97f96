//! Types of forest: in goes the table beside this file, out come rows of which sites suit a type and which trees it
//! is made of. What grows with what is common practice in central European forestry. Choosing is left to `trees`.

const TABLE: &str = include_str!("forest_types.csv");

/// Where a type of forest is at home.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Home {
    /// Any ground.
    Anywhere,
    /// The floor beside a stream.
    StreamSide,
    /// Blocks of plantations.
    Block,
    /// Small woods near villages.
    NearVillage,
}

/// One row of the table.
pub(crate) struct Type {
    /// Its name, in the forester's words.
    pub(crate) name: &'static str,
    /// Where it is at home.
    pub(crate) home: Home,
    /// How well acid, weakly acid, neutral, calcareous ground suits it, 0 to 1.
    pub(crate) soils: [f64; 4],
    /// How well dry, fresh, moist, wet ground suits it, 0 to 1.
    pub(crate) moistures: [f64; 4],
    /// The heights it keeps to, from and to, in metres.
    pub(crate) heights: (f64, f64),
    /// How common it is.
    pub(crate) common: f64,
    /// The code of its first tree, which takes what the others leave.
    pub(crate) first: &'static str,
    /// The codes of the others with the least and most percent.
    pub(crate) others: Vec<(&'static str, u32, u32)>,
    /// Trees and shrubs below, codes with percent.
    pub(crate) below: &'static str,
}

/// All types of forest, in the order of the table. A row that cannot be read ends the program: the table is part of it.
pub(crate) fn all() -> Vec<Type> {
    TABLE
        .lines()
        .skip(1)
        .map(|line| row(line).unwrap_or_else(|| panic!("forest type not readable: {line}")))
        .collect()
}

fn row(line: &'static str) -> Option<Type> {
    let cells: Vec<&'static str> = line.split(',').collect();
    let &[name, home, .., trees, below] = cells.as_slice() else {
        return None;
    };
    let numbers: Vec<f64> = cells
        .get(2..13)?
        .iter()
        .map_while(|cell| cell.parse().ok())
        .collect();
    let &[a, b, c, d, e, f, g, h, from, to, common] = numbers.as_slice() else {
        return None;
    };
    let mut trees = trees.split(' ');
    let first = trees.next()?;
    let others = trees
        .map(|tree| {
            let (code, range) = tree.split_once(':')?;
            let (least, most) = range.split_once('-')?;
            Some((code, least.parse().ok()?, most.parse().ok()?))
        })
        .collect::<Option<Vec<_>>>()?;
    let home = match home {
        "anywhere" => Home::Anywhere,
        "stream side" => Home::StreamSide,
        "block" => Home::Block,
        "near village" => Home::NearVillage,
        _ => return None,
    };
    Some(Type {
        name,
        home,
        soils: [a, b, c, d],
        moistures: [e, f, g, h],
        heights: (from, to),
        common,
        first,
        others,
        below,
    })
}

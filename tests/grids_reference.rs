//! Grids held against two outside references: the definitions of the EPSG dataset as the crate `crs-definitions`
//! carries them, and the projections of the crate `proj4rs`. In go positions all over each grid's area of use, out
//! comes how far our degrees lie from theirs. A control point of a national survey is held beside them.

use geo::GeodesicArea;
use hostwood::geometry::grid::Grid;
use hostwood::geometry::{Outlines, repair};
use proj4rs::Proj;
use proj4rs::transform::transform;

/// Metres between two positions in degrees.
fn apart(one: [f64; 2], other: [f64; 2]) -> f64 {
    let along = (one[0] - other[0]) * 111_320.0 * one[1].to_radians().cos();
    along.hypot((one[1] - other[1]) * 111_320.0)
}

/// Where the dataset's own definition names another shift than ours, or none: how far apart the two may be, in metres.
/// All other grids agree to a millimetre.
const OTHER_SHIFT: &[(u32, f64)] = &[
    // The reference rounds the smaller axis of Airy's ellipsoid to a centimetre.
    (4277, 0.005),
    (27_700, 0.005),
    (29_903, 0.005),
    // The shift has one digit more there.
    (29_902, 0.06),
    // Three moves only there (589, 76, 480), good to six metres; ours are the seven values of EPSG 1623.
    (5514, 15.0),
];

/// The largest distance over the grid's area, and the position where it is; `None` where no position can be compared.
fn largest_distance(code: u32) -> Option<(f64, [f64; 2])> {
    let grid = Grid::of_code(code).expect("a grid of the list");
    let definition =
        crs_definitions::from_code(u16::try_from(code).expect("an EPSG code")).expect("a definition");
    let theirs = Proj::from_proj_string(definition.proj4).expect("a projection");
    let wgs = Proj::from_proj_string("+proj=longlat +datum=WGS84 +no_defs").expect("degrees");
    let area = grid.area();
    let north = area.north.min(84.0).max(area.south);
    let south = area.south.max(-80.0);
    let mut worst: Option<(f64, [f64; 2])> = None;
    for x in 1..8 {
        for y in 1..8 {
            let lng = area.west + (area.east - area.west) * f64::from(x) / 8.0;
            let lat = south + (north - south) * f64::from(y) / 8.0;
            let mut there = (lng.to_radians(), lat.to_radians(), 0.0);
            if transform(&wgs, &theirs, &mut there).is_err() {
                continue;
            }
            let (mut east, mut north) = (there.0, there.1);
            if theirs.is_latlong() {
                (east, north) = (east.to_degrees(), north.to_degrees());
            }
            let mut back = (there.0, there.1, 0.0);
            if transform(&theirs, &wgs, &mut back).is_err() {
                continue;
            }
            let expected = [back.0.to_degrees(), back.1.to_degrees()];
            let Some(mut found) = grid.degrees([east, north]) else {
                panic!("{code}: no degrees for {east}, {north}, expected {expected:?}");
            };
            found[0] += ((expected[0] - found[0]) / 360.0).round() * 360.0;
            let distance = apart(found, expected);
            if worst.is_none_or(|(largest, _)| distance > largest) {
                worst = Some((distance, expected));
            }
        }
    }
    worst
}

#[test]
fn every_grid_agrees_with_the_reference_all_over_its_area() {
    let mut off = Vec::new();
    for code in Grid::codes() {
        let tolerance = OTHER_SHIFT
            .iter()
            .find(|(other, _)| *other == code)
            .map_or(0.001, |(_, metres)| *metres);
        match largest_distance(code) {
            None => off.push(format!("{code}: nothing could be compared")),
            Some((metres, at)) if metres > tolerance => {
                off.push(format!(
                    "{code}: {metres:.4} m off at {at:?}, expected at most {tolerance} m"
                ));
            }
            Some(_) => {}
        }
    }
    assert!(off.is_empty(), "{}", off.join("\n"));
}

#[test]
fn control_points_are_met_as_well_as_the_shift_promises() {
    for (source, code, position, expected) in [
        // Ordnance Survey, the worked example of OSTN15, Caister water tower (from memory).
        (
            "OSTN15",
            27700,
            [651_409.804, 313_177.450],
            [
                1.0 + 42.0 / 60.0 + 57.8663 / 3600.0,
                52.0 + 39.0 / 60.0 + 28.8282 / 3600.0,
            ],
        ),
        // swisstopo 2016, Formulas and constants: WGS 84 beside national coordinates (from memory).
        (
            "swisstopo",
            2056,
            [2_700_000.0, 1_100_000.0],
            [
                8.0 + 43.0 / 60.0 + 49.79 / 3600.0,
                46.0 + 2.0 / 60.0 + 38.87 / 3600.0,
            ],
        ),
        // IOGP 373-7-2, Lambert Azimuthal Equal Area.
        ("IOGP", 3035, [3_962_799.45, 2_999_718.85], [5.0, 50.0]),
    ] {
        let grid = Grid::of_code(code).expect("a grid");
        let found = grid.degrees(position).expect("a position");
        let off = apart(found, expected);
        assert!(
            off <= grid.metres_off().max(0.02),
            "{source}, EPSG:{code}: {found:?}, expected {expected:?}: {off:.2} m off, said to be {} m",
            grid.metres_off()
        );
    }
}

#[test]
fn a_grid_that_is_not_in_the_list_is_none() {
    for code in [0, 4326, 4647, 26_999, 32_600, 32_661, 6688, 28_347] {
        assert_eq!(
            Grid::of_code(code).map(|grid| grid.name().to_owned()),
            None,
            "{code}"
        );
    }
    assert_eq!(Grid::of_code(3857).expect("a grid").degrees([1e9, 0.0]), None);
}

/// Equal-area grids keep areas: a square kilometre of the grid is one on the ellipsoid. Held against that, and against
/// geodesic areas (Karney 2013, as the crate `geo` has them).
#[test]
fn areas_of_converted_outlines_agree_with_the_plane_and_with_geodesics() {
    for (code, [east, north]) in [
        (3035, [4_321_000.0, 3_210_000.0]),
        (3035, [3_500_000.0, 2_400_000.0]),
        (5070, [-1_500_000.0, 2_500_000.0]),
        (3310, [-100_000.0, 300_000.0]),
        (3005, [1_200_000.0, 700_000.0]),
        (3577, [1_000_000.0, -3_500_000.0]),
    ] {
        let grid = Grid::of_code(code).expect("a grid");
        let degrees = |x: f64, y: f64| grid.degrees([east + x, north + y]).expect("a position");
        // Every fifty metres, so that straight lines of the grid stay straight.
        let side = |from: [f64; 2], step: [f64; 2]| {
            (0..20).map(move |n| [from[0] + f64::from(n) * step[0], from[1] + f64::from(n) * step[1]])
        };
        let ring: Vec<[f64; 2]> = side([0.0, 0.0], [50.0, 0.0])
            .chain(side([1000.0, 0.0], [0.0, 50.0]))
            .chain(side([1000.0, 1000.0], [-50.0, 0.0]))
            .chain(side([0.0, 1000.0], [0.0, -50.0]))
            .map(|[x, y]| degrees(x, y))
            .collect();
        let mut outlines = Outlines::new();
        outlines.push_repaired(&repair(&vec![vec![ring]]));
        let hectares = outlines.area(0).expect("an area").get();
        let geodesic = outlines.to_geo(0).geodesic_area_unsigned() / 10_000.0;
        assert!(
            (hectares - 100.0).abs() < 0.005,
            "EPSG:{code}: {hectares} ha, expected 100 ha"
        );
        assert!(
            (hectares - geodesic).abs() < 0.005,
            "EPSG:{code}: {hectares} ha, geodesic {geodesic} ha"
        );
    }
}

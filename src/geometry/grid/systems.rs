//! The grids that can be read, one a row: code, name, where it is used, datum and plane. Facts of the EPSG Geodetic
//! Parameter Dataset; areas of use are rounded outwards to whole degrees. In goes a code, out comes its row; what a
//! row does to a position is left to `plane` and `ellipsoid`.

use super::ellipsoid::{
    AMERSFOORT, AS_WGS_84, BELGE_72, CH_1903, CH_1903_PLUS, DHDN, Datum, IRELAND, JTSK_03, MGI, MONTE_MARIO,
    NAD_83, NEAR, OSGB_36, S_JTSK,
};
use super::plane::Plane;

/// One grid.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct System {
    pub(super) code: u32,
    pub(super) name: String,
    /// West, south, east, north of its area of use, in degrees; east beyond 180 where it crosses the antimeridian.
    pub(super) area: [f64; 4],
    pub(super) datum: Datum,
    pub(super) plane: Plane,
    /// False easting and northing, in metres.
    pub(super) origin: [f64; 2],
    /// Metres in a unit of the grid.
    pub(super) unit: f64,
}

/// A row of the table: code, name, area, datum, plane, false easting and northing.
type Row = (u32, &'static str, [i16; 4], Datum, Plane, [f64; 2]);

/// A US survey foot and an international foot, in metres.
const SURVEY_FOOT: f64 = 1200.0 / 3937.0;
const FOOT: f64 = 0.3048;

/// Degrees and minutes as degrees.
const fn dm(degrees: i16, minutes: f64) -> f64 {
    degrees as f64 + minutes / 60.0
}

const fn tm(lat: f64, lng: f64, scale: f64) -> Plane {
    Plane::Transverse { lat, lng, scale }
}

const fn conformal(one: f64, other: f64, lat: f64, lng: f64) -> Plane {
    Plane::Conformal {
        parallels: [one, other],
        lat,
        lng,
    }
}

const fn equal_area(one: f64, other: f64, lat: f64, lng: f64) -> Plane {
    Plane::EqualArea {
        parallels: [one, other],
        lat,
        lng,
    }
}

const EUROPE: [i16; 4] = [-17, 32, 45, 72];
const WORLD: [i16; 4] = [-180, -90, 180, 90];
const GERMANY: [i16; 2] = [47, 56];

#[rustfmt::skip]
const ROWS: &[Row] = &[
    // Degrees.
    (4258, "ETRS89", [-17, 32, 45, 85], NEAR, Plane::Degrees, [0.0, 0.0]),
    (4269, "NAD83", [-173, 14, -40, 87], NAD_83, Plane::Degrees, [0.0, 0.0]),
    (4617, "NAD83(CSRS)", [-142, 40, -47, 87], NAD_83, Plane::Degrees, [0.0, 0.0]),
    (4171, "RGF93", [-10, 41, 11, 52], NEAR, Plane::Degrees, [0.0, 0.0]),
    (4619, "SWEREF99", [10, 54, 25, 70], NEAR, Plane::Degrees, [0.0, 0.0]),
    (4283, "GDA94", [93, -61, 174, -8], NAD_83, Plane::Degrees, [0.0, 0.0]),
    (7844, "GDA2020", [93, -61, 174, -8], NAD_83, Plane::Degrees, [0.0, 0.0]),
    (6668, "JGD2011", [122, 17, 158, 47], NEAR, Plane::Degrees, [0.0, 0.0]),
    (4612, "JGD2000", [122, 17, 158, 47], NAD_83, Plane::Degrees, [0.0, 0.0]),
    (4167, "NZGD2000", [160, -56, 189, -25], NEAR, Plane::Degrees, [0.0, 0.0]),
    (4674, "SIRGAS 2000", [-123, -60, -25, 33], NEAR, Plane::Degrees, [0.0, 0.0]),
    (4277, "OSGB36", [-9, 49, 3, 62], OSGB_36, Plane::Degrees, [0.0, 0.0]),
    (4314, "DHDN", [5, 47, 16, 56], DHDN, Plane::Degrees, [0.0, 0.0]),
    // The world and Europe.
    (3857, "WGS 84 / Pseudo-Mercator", WORLD, AS_WGS_84, Plane::Web, [0.0, 0.0]),
    (3035, "ETRS89 / LAEA Europe", EUROPE, NEAR, Plane::Azimuthal { lat: 52.0, lng: 10.0 }, [4_321_000.0, 3_210_000.0]),
    (3034, "ETRS89 / LCC Europe", EUROPE, NEAR, conformal(35.0, 65.0, 52.0, 10.0), [4_000_000.0, 2_800_000.0]),
    // Great Britain and Ireland.
    (27700, "OSGB36 / British National Grid", [-9, 49, 3, 62], OSGB_36, tm(49.0, -2.0, 0.999_601_271_7), [400_000.0, -100_000.0]),
    (2157, "IRENET95 / Irish Transverse Mercator", [-11, 51, -5, 56], NEAR, tm(53.5, -8.0, 0.999_82), [600_000.0, 750_000.0]),
    (29902, "TM65 / Irish Grid", [-11, 51, -5, 56], IRELAND, tm(53.5, -8.0, 1.000_035), [200_000.0, 250_000.0]),
    (29903, "TM75 / Irish Grid", [-11, 51, -5, 56], IRELAND, tm(53.5, -8.0, 1.000_035), [200_000.0, 250_000.0]),
    // The north and the Baltic.
    (3067, "ETRS89 / TM35FIN(E,N)", [19, 58, 32, 71], NEAR, tm(0.0, 27.0, 0.9996), [500_000.0, 0.0]),
    (3006, "SWEREF99 TM", [10, 54, 25, 70], NEAR, tm(0.0, 15.0, 0.9996), [500_000.0, 0.0]),
    (3301, "Estonian Coordinate System of 1997", [20, 57, 29, 60], NEAR, conformal(dm(59, 20.0), 58.0, 57.517_553_930_555_6, 24.0), [500_000.0, 6_375_000.0]),
    (3059, "LKS92 / Latvia TM", [19, 55, 29, 59], NEAR, tm(0.0, 24.0, 0.9996), [500_000.0, -6_000_000.0]),
    (3346, "LKS94 / Lithuania TM", [19, 53, 27, 57], NEAR, tm(0.0, 24.0, 0.9998), [500_000.0, 0.0]),
    // Central Europe.
    (2180, "ETRF2000-PL / CS92", [14, 49, 25, 56], NEAR, tm(0.0, 19.0, 0.9993), [500_000.0, -5_300_000.0]),
    (5514, "S-JTSK / Krovak East North", [12, 47, 23, 52], S_JTSK, Plane::Krovak, [0.0, 0.0]),
    (8353, "S-JTSK [JTSK03] / Krovak East North", [16, 47, 23, 50], JTSK_03, Plane::Krovak, [0.0, 0.0]),
    (31466, "DHDN / 3-degree Gauss-Kruger zone 2", [5, GERMANY[0], 8, GERMANY[1]], DHDN, tm(0.0, 6.0, 1.0), [2_500_000.0, 0.0]),
    (31467, "DHDN / 3-degree Gauss-Kruger zone 3", [7, GERMANY[0], 11, GERMANY[1]], DHDN, tm(0.0, 9.0, 1.0), [3_500_000.0, 0.0]),
    (31468, "DHDN / 3-degree Gauss-Kruger zone 4", [10, GERMANY[0], 14, GERMANY[1]], DHDN, tm(0.0, 12.0, 1.0), [4_500_000.0, 0.0]),
    (31469, "DHDN / 3-degree Gauss-Kruger zone 5", [13, GERMANY[0], 16, GERMANY[1]], DHDN, tm(0.0, 15.0, 1.0), [5_500_000.0, 0.0]),
    (2056, "CH1903+ / LV95", [5, 45, 11, 48], CH_1903_PLUS, Plane::Swiss, [2_600_000.0, 1_200_000.0]),
    (21781, "CH1903 / LV03", [5, 45, 11, 48], CH_1903, Plane::Swiss, [600_000.0, 200_000.0]),
    (31254, "MGI / Austria GK West", [9, 46, 12, 48], MGI, tm(0.0, dm(10, 20.0), 1.0), [0.0, -5_000_000.0]),
    (31255, "MGI / Austria GK Central", [11, 46, 15, 49], MGI, tm(0.0, dm(13, 20.0), 1.0), [0.0, -5_000_000.0]),
    (31256, "MGI / Austria GK East", [14, 46, 18, 50], MGI, tm(0.0, dm(16, 20.0), 1.0), [0.0, -5_000_000.0]),
    (31287, "MGI / Austria Lambert", [9, 46, 18, 50], MGI, conformal(49.0, 46.0, 47.5, dm(13, 20.0)), [400_000.0, 400_000.0]),
    (3794, "Slovenia 1996 / Slovene National Grid", [13, 45, 17, 47], NEAR, tm(0.0, 15.0, 0.9999), [500_000.0, -5_000_000.0]),
    (3765, "HTRS96 / Croatia TM", [13, 42, 20, 47], NEAR, tm(0.0, 16.5, 0.9999), [500_000.0, 0.0]),
    // The west and the south.
    (2154, "RGF93 v1 / Lambert-93", [-10, 41, 11, 52], NEAR, conformal(49.0, 44.0, 46.5, 3.0), [700_000.0, 6_600_000.0]),
    (31370, "BD72 / Belgian Lambert 72", [2, 49, 7, 52], BELGE_72, conformal(51.166_667_233_333_3, 49.833_333_9, 90.0, 4.367_486_666_666_67), [150_000.013, 5_400_088.438]),
    (28992, "Amersfoort / RD New", [3, 50, 8, 54], AMERSFOORT, Plane::Stereographic { lat: 52.156_160_555_555_6, lng: 5.387_638_888_888_89, scale: 0.999_907_9 }, [155_000.0, 463_000.0]),
    (3763, "ETRS89 / Portugal TM06", [-10, 36, -6, 43], NEAR, tm(39.668_258_333_333_3, -8.133_108_333_333_33, 1.0), [0.0, 0.0]),
    (3003, "Monte Mario / Italy zone 1", [6, 36, 13, 48], MONTE_MARIO, tm(0.0, 9.0, 0.9996), [1_500_000.0, 0.0]),
    (3004, "Monte Mario / Italy zone 2", [11, 34, 19, 48], MONTE_MARIO, tm(0.0, 15.0, 0.9996), [2_520_000.0, 0.0]),
    // North America.
    (5070, "NAD83 / Conus Albers", [-125, 24, -66, 50], NAD_83, equal_area(29.5, 45.5, 23.0, -96.0), [0.0, 0.0]),
    (3338, "NAD83 / Alaska Albers", [-190, 51, -129, 72], NAD_83, equal_area(55.0, 65.0, 50.0, -154.0), [0.0, 0.0]),
    (3310, "NAD83 / California Albers", [-125, 32, -114, 43], NAD_83, equal_area(34.0, 40.5, 0.0, -120.0), [0.0, -4_000_000.0]),
    (3005, "NAD83 / BC Albers", [-140, 48, -114, 60], NAD_83, equal_area(50.0, 58.5, 45.0, -126.0), [1_000_000.0, 0.0]),
    (3978, "NAD83 / Canada Atlas Lambert", [-142, 40, -47, 87], NAD_83, conformal(49.0, 77.0, 49.0, -95.0), [0.0, 0.0]),
    (3979, "NAD83(CSRS) / Canada Atlas Lambert", [-142, 40, -47, 87], NAD_83, conformal(49.0, 77.0, 49.0, -95.0), [0.0, 0.0]),
    (32198, "NAD83 / Quebec Lambert", [-80, 44, -57, 63], NAD_83, conformal(60.0, 46.0, 44.0, -68.5), [0.0, 0.0]),
    (26941, "NAD83 / California zone 1", [-125, 39, -119, 43], NAD_83, conformal(dm(41, 40.0), 40.0, dm(39, 20.0), -122.0), [2_000_000.0, 500_000.0]),
    (26942, "NAD83 / California zone 2", [-125, 38, -119, 41], NAD_83, conformal(dm(39, 50.0), dm(38, 20.0), dm(37, 40.0), -122.0), [2_000_000.0, 500_000.0]),
    (26943, "NAD83 / California zone 3", [-124, 36, -117, 39], NAD_83, conformal(dm(38, 26.0), dm(37, 4.0), 36.5, -120.5), [2_000_000.0, 500_000.0]),
    (26944, "NAD83 / California zone 4", [-123, 35, -115, 39], NAD_83, conformal(37.25, 36.0, dm(35, 20.0), -119.0), [2_000_000.0, 500_000.0]),
    (26945, "NAD83 / California zone 5", [-122, 32, -114, 36], NAD_83, conformal(dm(35, 28.0), dm(34, 2.0), 33.5, -118.0), [2_000_000.0, 500_000.0]),
    (26946, "NAD83 / California zone 6", [-119, 32, -114, 35], NAD_83, conformal(dm(33, 53.0), dm(32, 47.0), dm(32, 10.0), -116.25), [2_000_000.0, 500_000.0]),
    (26953, "NAD83 / Colorado North", [-110, 39, -102, 42], NAD_83, conformal(dm(40, 47.0), dm(39, 43.0), dm(39, 20.0), -105.5), [914_401.828_9, 304_800.609_6]),
    (26954, "NAD83 / Colorado Central", [-110, 38, -102, 41], NAD_83, conformal(39.75, 38.45, dm(37, 50.0), -105.5), [914_401.828_9, 304_800.609_6]),
    (26955, "NAD83 / Colorado South", [-110, 36, -102, 39], NAD_83, conformal(dm(38, 26.0), dm(37, 14.0), dm(36, 40.0), -105.5), [914_401.828_9, 304_800.609_6]),
    (26968, "NAD83 / Idaho East", [-114, 41, -111, 45], NAD_83, tm(dm(41, 40.0), dm(-112, -10.0), 1.0 - 1.0 / 19_000.0), [200_000.0, 0.0]),
    (26969, "NAD83 / Idaho Central", [-116, 41, -112, 46], NAD_83, tm(dm(41, 40.0), -114.0, 1.0 - 1.0 / 19_000.0), [500_000.0, 0.0]),
    (26970, "NAD83 / Idaho West", [-118, 41, -114, 50], NAD_83, tm(dm(41, 40.0), -115.75, 1.0 - 1.0 / 15_000.0), [800_000.0, 0.0]),
    (32100, "NAD83 / Montana", [-117, 44, -104, 50], NAD_83, conformal(49.0, 45.0, 44.25, -109.5), [600_000.0, 0.0]),
    (32126, "NAD83 / Oregon North", [-125, 43, -116, 47], NAD_83, conformal(46.0, dm(44, 20.0), dm(43, 40.0), -120.5), [2_500_000.0, 0.0]),
    (32127, "NAD83 / Oregon South", [-125, 41, -117, 45], NAD_83, conformal(44.0, dm(42, 20.0), dm(41, 40.0), -120.5), [1_500_000.0, 0.0]),
    (32148, "NAD83 / Washington North", [-125, 47, -117, 50], NAD_83, conformal(dm(48, 44.0), 47.5, 47.0, dm(-120, -50.0)), [500_000.0, 0.0]),
    (32149, "NAD83 / Washington South", [-125, 45, -116, 48], NAD_83, conformal(dm(47, 20.0), dm(45, 50.0), dm(45, 20.0), -120.5), [500_000.0, 0.0]),
    // The Pacific.
    (2193, "NZGD2000 / New Zealand Transverse Mercator 2000", [166, -48, 179, -34], NEAR, tm(0.0, 173.0, 0.9996), [1_600_000.0, 10_000_000.0]),
    (3577, "GDA94 / Australian Albers", [112, -44, 154, -9], NAD_83, equal_area(-18.0, -36.0, 0.0, 132.0), [0.0, 0.0]),
];

/// Grids in feet: the code, the row in metres that it is like, metres in its foot, and the foot's name.
const IN_FEET: &[(u32, u32, f64, &str)] = &[
    (2225, 26941, SURVEY_FOOT, "ftUS"),
    (2226, 26942, SURVEY_FOOT, "ftUS"),
    (2227, 26943, SURVEY_FOOT, "ftUS"),
    (2228, 26944, SURVEY_FOOT, "ftUS"),
    (2229, 26945, SURVEY_FOOT, "ftUS"),
    (2230, 26946, SURVEY_FOOT, "ftUS"),
    (2231, 26953, SURVEY_FOOT, "ftUS"),
    (2232, 26954, SURVEY_FOOT, "ftUS"),
    (2233, 26955, SURVEY_FOOT, "ftUS"),
    (2241, 26968, SURVEY_FOOT, "ftUS"),
    (2242, 26969, SURVEY_FOOT, "ftUS"),
    (2243, 26970, SURVEY_FOOT, "ftUS"),
    (2256, 32100, FOOT, "ft"),
    (2269, 32126, FOOT, "ft"),
    (2270, 32127, FOOT, "ft"),
    (2285, 32148, SURVEY_FOOT, "ftUS"),
    (2286, 32149, SURVEY_FOOT, "ftUS"),
];

/// Numbers of the UTM zones of one datum: the code of zone 0, the first and last zone, the datum and its name, and
/// whether they lie in the south.
const UTM: &[(u32, u32, u32, Datum, &str, bool)] = &[
    (32_600, 1, 60, AS_WGS_84, "WGS 84 / UTM", false),
    (32_700, 1, 60, AS_WGS_84, "WGS 84 / UTM", true),
    (25_800, 28, 38, NEAR, "ETRS89 / UTM", false),
    (26_900, 1, 23, NAD_83, "NAD83 / UTM", false),
    (31_960, 17, 25, NEAR, "SIRGAS 2000 / UTM", true),
    (28_300, 48, 58, NAD_83, "GDA94 / MGA", true),
    (7_800, 46, 59, NAD_83, "GDA2020 / MGA", true),
];

/// Origins of the plane rectangular zones of Japan, I to XIX (EPSG 6669 to 6687, JGD2011): latitude and longitude.
const JAPAN: [[f64; 2]; 19] = [
    [33.0, 129.5],
    [33.0, 131.0],
    [36.0, 132.0 + 1.0 / 6.0],
    [33.0, 133.5],
    [36.0, 134.0 + 1.0 / 3.0],
    [36.0, 136.0],
    [36.0, 137.0 + 1.0 / 6.0],
    [36.0, 138.5],
    [36.0, 139.0 + 5.0 / 6.0],
    [40.0, 140.0 + 5.0 / 6.0],
    [44.0, 140.25],
    [44.0, 142.25],
    [44.0, 144.25],
    [26.0, 142.0],
    [26.0, 127.5],
    [26.0, 124.0],
    [26.0, 131.0],
    [20.0, 136.0],
    [26.0, 154.0],
];

/// Other codes of the same grids: those that the web mapping of the past used, and those of the same plane with northing
/// before easting.
const ALIASES: &[(u32, u32)] = &[
    (900_913, 3857),
    (102_100, 3857),
    (102_113, 3857),
    (3044, 25_832),
    (3045, 25_833),
    (3046, 25_834),
    (3047, 25_835),
    (5048, 3067),
];

/// The grid with this EPSG code.
pub(super) fn by_code(code: u32) -> Option<System> {
    let code = ALIASES
        .iter()
        .find(|(alias, _)| *alias == code)
        .map_or(code, |(_, code)| *code);
    if let Some(row) = ROWS.iter().find(|row| row.0 == code) {
        return Some(of_row(row));
    }
    if let Some((_, like, unit, foot)) = IN_FEET.iter().find(|row| row.0 == code) {
        let mut system = of_row(ROWS.iter().find(|row| row.0 == *like)?);
        system.code = code;
        system.name = format!("{} ({foot})", system.name);
        system.unit = *unit;
        return Some(system);
    }
    if let Some(place) = code.checked_sub(6669)
        && let Some(&[lat, lng]) = JAPAN.get(place as usize)
    {
        return Some(System {
            code,
            name: format!("JGD2011 / Japan Plane Rectangular CS {}", place + 1),
            area: [lng - 4.0, lat - 6.0, lng + 4.0, lat + 5.0],
            datum: NEAR,
            plane: tm(lat, lng, 0.9999),
            origin: [0.0, 0.0],
            unit: 1.0,
        });
    }
    UTM.iter().find_map(|(base, first, last, datum, name, south)| {
        let zone = code
            .checked_sub(*base)
            .filter(|zone| (first..=last).contains(&zone))?;
        Some(utm(code, zone, *datum, name, *south))
    })
}

fn utm(code: u32, zone: u32, datum: Datum, name: &str, south: bool) -> System {
    let lng = f64::from(zone) * 6.0 - 183.0;
    let (from, to, side) = if south {
        (-80.0, 0.0, 'S')
    } else {
        (0.0, 84.0, 'N')
    };
    System {
        code,
        name: format!("{name} zone {zone}{side}"),
        area: [lng - 3.0, from, lng + 3.0, to],
        datum,
        plane: tm(0.0, lng, 0.9996),
        origin: [500_000.0, if south { 10_000_000.0 } else { 0.0 }],
        unit: 1.0,
    }
}

fn of_row(&(code, name, area, datum, plane, origin): &Row) -> System {
    System {
        code,
        name: name.to_owned(),
        area: area.map(f64::from),
        datum,
        plane,
        origin,
        unit: 1.0,
    }
}

/// Whether this is a State Plane zone of the United States: there are many, and few maps are in one.
pub(super) fn is_state_plane(code: u32) -> bool {
    matches!(code, 26_941..=26_970 | 32_100..=32_149) || IN_FEET.iter().any(|row| row.0 == code)
}

/// The codes of all grids, in the order of the table; UTM and other zones last.
pub(super) fn codes() -> impl Iterator<Item = u32> {
    let zones = UTM
        .iter()
        .flat_map(|(base, first, last, ..)| (*first..=*last).map(move |zone| base + zone));
    ROWS.iter()
        .map(|row| row.0)
        .chain(IN_FEET.iter().map(|row| row.0))
        .chain((6669..).take(JAPAN.len()))
        .chain(zones)
}

//! The figures of the Earth that grids are drawn on, and the way from one to WGS 84. In go latitudes and longitudes in
//! radians on one ellipsoid, out come those on WGS 84; what a grid makes of them is left to `plane`.
//!
//! Shifts are the seven of the position vector method (EPSG 9606): three moves in metres, three turns in seconds of
//! arc, one stretch in parts a million. Their values stand in the EPSG Geodetic Parameter Dataset.

use std::f64::consts::FRAC_PI_2;

/// An ellipsoid: the radius of its equator in metres, and its eccentricity squared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ellipsoid {
    pub(super) radius: f64,
    pub(super) squared: f64,
}

const fn of_flattening(radius: f64, inverse: f64) -> Ellipsoid {
    let flattening = 1.0 / inverse;
    Ellipsoid {
        radius,
        squared: flattening * (2.0 - flattening),
    }
}

pub(super) const WGS_84: Ellipsoid = of_flattening(6_378_137.0, 298.257_223_563);
pub(super) const GRS_80: Ellipsoid = of_flattening(6_378_137.0, 298.257_222_101);
pub(super) const AIRY: Ellipsoid = of_flattening(6_377_563.396, 299.324_964_6);
pub(super) const AIRY_MODIFIED: Ellipsoid = of_flattening(6_377_340.189, 299.324_964_6);
pub(super) const BESSEL: Ellipsoid = of_flattening(6_377_397.155, 299.152_812_8);
pub(super) const INTERNATIONAL: Ellipsoid = of_flattening(6_378_388.0, 297.0);

/// A datum: how an ellipsoid lies in the Earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Datum {
    pub(super) ellipsoid: Ellipsoid,
    /// Moves in metres, turns in seconds of arc, stretch in parts a million; none where the datum is taken as WGS 84.
    pub(super) shift: Option<[f64; 7]>,
    /// How good that is, in metres.
    pub(super) metres: f64,
}

impl Ellipsoid {
    /// The eccentricity.
    pub(super) fn eccentricity(self) -> f64 {
        libm::sqrt(self.squared)
    }

    /// Radius of the parallel at this latitude, in radii of the equator.
    pub(super) fn parallel(self, lat: f64) -> f64 {
        let sine = libm::sin(lat);
        libm::cos(lat) / libm::sqrt(1.0 - self.squared * sine * sine)
    }

    /// The isometric latitude: heights on a conformal map of the whole ellipsoid.
    pub(super) fn isometric(self, lat: f64) -> f64 {
        let (eccentricity, sine) = (self.eccentricity(), libm::sin(lat));
        libm::atanh(sine) - eccentricity * libm::atanh(eccentricity * sine)
    }

    /// The latitude with this isometric latitude: the series in the third flattening for the latitude with a conformal
    /// latitude (Karney 2011, Transverse Mercator with an accuracy of a few nanometers, J. Geodesy 85:475), to its
    /// fourth power, which is good to a tenth of a micrometre.
    pub(super) fn of_isometric(self, height: f64) -> f64 {
        let sine = libm::tanh(height);
        let conformal = libm::asin(sine);
        let cosine = 1.0 / libm::cosh(height);
        let root = libm::sqrt(1.0 - self.squared);
        let n = (1.0 - root) / (1.0 + root);
        let parts = [
            n * (2.0 + n * (-2.0 / 3.0 + n * (-2.0 + n * 116.0 / 45.0))),
            n * n * (7.0 / 3.0 + n * (-8.0 / 5.0 - n * 227.0 / 45.0)),
            n * n * n * (56.0 / 15.0 - n * 136.0 / 35.0),
            n * n * n * n * 4279.0 / 630.0,
        ];
        // Sines of the even multiples, each from the two before.
        let (double_sine, double_cosine) = (2.0 * sine * cosine, 1.0 - 2.0 * sine * sine);
        let (mut before, mut at) = (0.0, double_sine);
        let mut lat = conformal;
        for part in parts {
            lat += part * at;
            (before, at) = (at, 2.0 * double_cosine * at - before);
        }
        lat
    }

    /// Snyder's q: heights on an equal-area map of the whole ellipsoid.
    pub(super) fn authalic(self, lat: f64) -> f64 {
        let (eccentricity, sine) = (self.eccentricity(), libm::sin(lat));
        (1.0 - self.squared)
            * (sine / (1.0 - self.squared * sine * sine) + libm::atanh(eccentricity * sine) / eccentricity)
    }

    /// The latitude with this q.
    pub(super) fn of_authalic(self, height: f64) -> f64 {
        let mut lat = libm::asin((height / 2.0).clamp(-1.0, 1.0));
        for _ in 0..6 {
            let sine = libm::sin(lat);
            let shrink = 1.0 - self.squared * sine * sine;
            let slope = 2.0 * (1.0 - self.squared) * libm::cos(lat) / (shrink * shrink);
            if slope.abs() < 1e-12 {
                break;
            }
            lat = (lat - (self.authalic(lat) - height) / slope).clamp(-FRAC_PI_2, FRAC_PI_2);
        }
        lat
    }
}

impl Datum {
    /// Longitude and latitude on WGS 84, from those on this datum; all in radians, at the height of the ellipsoid.
    pub(super) fn to_wgs_84(self, [lng, lat]: [f64; 2]) -> [f64; 2] {
        let Some([dx, dy, dz, rx, ry, rz, stretch]) = self.shift else {
            return [lng, lat];
        };
        let sine = libm::sin(lat);
        let normal = self.ellipsoid.radius / libm::sqrt(1.0 - self.ellipsoid.squared * sine * sine);
        let x = normal * libm::cos(lat) * libm::cos(lng);
        let y = normal * libm::cos(lat) * libm::sin(lng);
        let z = normal * (1.0 - self.ellipsoid.squared) * sine;
        let [rx, ry, rz] = [rx, ry, rz].map(|seconds| seconds / 3600.0 * super::RADIANS);
        let scale = 1.0 + stretch * 1e-6;
        let (x, y, z) = (
            scale * (x - rz * y + ry * z) + dx,
            scale * (rz * x + y - rx * z) + dy,
            scale * (-ry * x + rx * y + z) + dz,
        );
        let across = libm::hypot(x, y);
        let mut lat = libm::atan2(z, across * (1.0 - WGS_84.squared));
        for _ in 0..5 {
            let sine = libm::sin(lat);
            let normal = WGS_84.radius / libm::sqrt(1.0 - WGS_84.squared * sine * sine);
            lat = libm::atan2(z + WGS_84.squared * normal * sine, across);
        }
        [libm::atan2(y, x), lat]
    }
}

/// The datum of maps that are in WGS 84 already.
pub(super) const AS_WGS_84: Datum = Datum {
    ellipsoid: WGS_84,
    shift: None,
    metres: 0.0,
};

const fn taken_as_wgs_84(metres: f64) -> Datum {
    Datum {
        ellipsoid: GRS_80,
        shift: None,
        metres,
    }
}

const fn shifted(ellipsoid: Ellipsoid, shift: [f64; 7], metres: f64) -> Datum {
    Datum {
        ellipsoid,
        shift: Some(shift),
        metres,
    }
}

/// Datums that lie within a metre of WGS 84: ETRS89 and its national forms, GDA2020, JGD2011, NZGD2000, SIRGAS 2000.
pub(super) const NEAR: Datum = taken_as_wgs_84(1.0);
/// NAD83 and GDA94 lie within two metres of WGS 84.
pub(super) const NAD_83: Datum = taken_as_wgs_84(2.0);
/// EPSG 1314.
pub(super) const OSGB_36: Datum = shifted(
    AIRY,
    [446.448, -125.157, 542.06, 0.15, 0.247, 0.842, -20.489],
    5.0,
);
/// EPSG 1954.
pub(super) const IRELAND: Datum = shifted(
    AIRY_MODIFIED,
    [482.5, -130.6, 564.6, -1.042, -0.214, -0.631, 8.15],
    2.0,
);
/// EPSG 1777.
pub(super) const DHDN: Datum = shifted(BESSEL, [598.1, 73.7, 418.2, 0.202, 0.045, -2.455, 6.7], 3.0);
/// EPSG 1623, the Czech values.
pub(super) const S_JTSK: Datum = shifted(BESSEL, [570.8, 85.7, 462.8, 4.998, 1.587, 5.261, 3.56], 2.0);
/// EPSG 8367, the Slovak values.
pub(super) const JTSK_03: Datum = shifted(
    BESSEL,
    [485.021, 169.465, 483.839, 7.786_342, 4.397_554, 4.102_655, 0.0],
    1.0,
);
/// EPSG 1676, which defines the Swiss datum.
pub(super) const CH_1903_PLUS: Datum = shifted(BESSEL, [674.374, 15.056, 405.346, 0.0, 0.0, 0.0, 0.0], 1.0);
/// EPSG 1766.
pub(super) const CH_1903: Datum = shifted(BESSEL, [674.374, 15.056, 405.346, 0.0, 0.0, 0.0, 0.0], 2.0);
/// EPSG 1618.
pub(super) const MGI: Datum = shifted(
    BESSEL,
    [577.326, 90.129, 463.919, 5.137, 1.474, 5.297, 2.4232],
    2.0,
);
/// EPSG 15934.
pub(super) const AMERSFOORT: Datum = shifted(
    BESSEL,
    [
        565.2369,
        50.0087,
        465.658,
        -0.406_857_330_322_398,
        0.350_732_676_542_563,
        -1.870_347_383_606_65,
        4.0812,
    ],
    1.0,
);
/// EPSG 15929.
pub(super) const BELGE_72: Datum = shifted(
    INTERNATIONAL,
    [-106.8686, 52.2978, -103.7239, 0.3366, -0.457, 1.8422, -1.2747],
    1.0,
);
/// EPSG 1660.
pub(super) const MONTE_MARIO: Datum = shifted(
    INTERNATIONAL,
    [-104.1, -49.1, -9.9, 0.971, -2.917, 0.714, -11.68],
    4.0,
);

//! From the plane of a grid to longitude and latitude on the grid's own ellipsoid. In go metres east and north, out
//! come radians. Which grid has which numbers is left to `systems`, the way to WGS 84 to `ellipsoid`.
//!
//! The formulas are those of IOGP Publication 373-7-2 (Geomatics Guidance Note 7, part 2), those of the equal-area
//! conic those of Snyder 1987 (USGS Professional Paper 1395), those of the Swiss grid those of swisstopo 2016 (Formulas
//! and constants for the calculation of the Swiss conformal cylindrical projection).

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use super::RADIANS;
use super::ellipsoid::Ellipsoid;

/// How a grid is drawn. Angles are degrees, distances metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Plane {
    /// No plane: degrees east and north.
    Degrees,
    /// Transverse Mercator.
    Transverse { lat: f64, lng: f64, scale: f64 },
    /// Lambert's conformal conic with two true parallels.
    Conformal { parallels: [f64; 2], lat: f64, lng: f64 },
    /// Albers' equal-area conic.
    EqualArea { parallels: [f64; 2], lat: f64, lng: f64 },
    /// Lambert's equal-area azimuthal.
    Azimuthal { lat: f64, lng: f64 },
    /// Oblique stereographic by way of a sphere.
    Stereographic { lat: f64, lng: f64, scale: f64 },
    /// Krovak's oblique conic, east and north.
    Krovak,
    /// The Swiss oblique Mercator.
    Swiss,
    /// Mercator on a sphere, as on web maps.
    Web,
}

/// A plane with its constants worked out; positions are those east and north of its false origin, in metres.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Drawn {
    Degrees,
    Transverse {
        lng: f64,
        /// Radius of the rectifying sphere, times the scale.
        radius: f64,
        /// Northing of the natural origin on it, in radians.
        origin: f64,
        series: [f64; 4],
    },
    /// Both conics: what tells them apart is how a distance from the apex becomes a latitude.
    Conic {
        lng: f64,
        cone: f64,
        /// Distance of the origin from the apex.
        apex: f64,
        /// The distance where the isometric latitude is 0 (conformal), or Snyder's C (equal area).
        constant: f64,
        equal_area: bool,
    },
    Azimuthal {
        lng: f64,
        pole: f64,
        radius: f64,
        stretch: f64,
        sine: f64,
        cosine: f64,
    },
    Stereographic {
        lng: f64,
        sphere: Sphere,
        radius: f64,
    },
    Krovak {
        lng: f64,
        sphere: Sphere,
        apex: f64,
    },
    Swiss {
        lng: f64,
        sphere: Sphere,
        radius: f64,
    },
    Web {
        radius: f64,
    },
}

/// A sphere on which an ellipsoid is drawn conformally around one latitude (Gauss): longitudes are stretched, and
/// isometric latitudes stretched and moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sphere {
    stretch: f64,
    moved: f64,
    /// Latitude of the origin on the sphere.
    lat: f64,
}

impl Sphere {
    fn around(ellipsoid: Ellipsoid, lat: f64) -> Sphere {
        let cosine = libm::cos(lat);
        let squared = ellipsoid.squared;
        let stretch = libm::sqrt(1.0 + squared * cosine * cosine * cosine * cosine / (1.0 - squared));
        let on_sphere = libm::asin(libm::sin(lat) / stretch);
        Sphere {
            stretch,
            moved: libm::atanh(libm::sin(on_sphere)) - stretch * ellipsoid.isometric(lat),
            lat: on_sphere,
        }
    }

    /// Radius of the sphere in metres: the geometric mean of both radii of curvature there.
    fn radius(ellipsoid: Ellipsoid, lat: f64) -> f64 {
        let sine = libm::sin(lat);
        ellipsoid.radius * libm::sqrt(1.0 - ellipsoid.squared) / (1.0 - ellipsoid.squared * sine * sine)
    }

    /// Longitude (from the origin) and latitude on the ellipsoid, from those on the sphere.
    fn leave(self, ellipsoid: Ellipsoid, lng: f64, lat: f64) -> [f64; 2] {
        let isometric = (libm::atanh(libm::sin(lat)) - self.moved) / self.stretch;
        [lng / self.stretch, ellipsoid.of_isometric(isometric)]
    }
}

/// Krovak's cone: its centre, longitude and the latitude of its pole's pseudo-parallel, in degrees.
const KROVAK_LAT: f64 = 49.5;
const KROVAK_LNG: f64 = 24.0 + 50.0 / 60.0;
const KROVAK_POLE: f64 = 30.0 + 17.0 / 60.0 + 17.303_11 / 3600.0;
const KROVAK_PARALLEL: f64 = 78.5;
const KROVAK_SCALE: f64 = 0.9999;

/// Bern, the origin of the Swiss grid, in degrees.
const BERN_LAT: f64 = 46.0 + 57.0 / 60.0 + 8.66 / 3600.0;
const BERN_LNG: f64 = 7.0 + 26.0 / 60.0 + 22.5 / 3600.0;

impl Drawn {
    pub(super) fn new(plane: Plane, ellipsoid: Ellipsoid) -> Drawn {
        match plane {
            Plane::Degrees => Drawn::Degrees,
            Plane::Transverse { lat, lng, scale } => {
                transverse(ellipsoid, lat * RADIANS, lng * RADIANS, scale)
            }
            Plane::Conformal { parallels, lat, lng } => {
                let [one, other] = parallels.map(|lat| lat * RADIANS);
                let (m, n) = (ellipsoid.parallel(one), ellipsoid.parallel(other));
                let (p, q) = (ellipsoid.isometric(one), ellipsoid.isometric(other));
                let cone = (libm::log(m) - libm::log(n)) / (q - p);
                let constant = ellipsoid.radius * m * libm::exp(cone * p) / cone;
                Drawn::Conic {
                    lng: lng * RADIANS,
                    cone,
                    apex: if lat >= 90.0 {
                        0.0
                    } else {
                        constant * libm::exp(-cone * ellipsoid.isometric(lat * RADIANS))
                    },
                    constant,
                    equal_area: false,
                }
            }
            Plane::EqualArea { parallels, lat, lng } => {
                let [one, other] = parallels.map(|lat| lat * RADIANS);
                let (m, n) = (ellipsoid.parallel(one), ellipsoid.parallel(other));
                let (p, q) = (ellipsoid.authalic(one), ellipsoid.authalic(other));
                let cone = (m * m - n * n) / (q - p);
                let constant = m * m + cone * p;
                let origin = ellipsoid.authalic(lat * RADIANS);
                Drawn::Conic {
                    lng: lng * RADIANS,
                    cone,
                    apex: ellipsoid.radius * libm::sqrt(constant - cone * origin) / cone,
                    constant,
                    equal_area: true,
                }
            }
            Plane::Azimuthal { lat, lng } => {
                let lat = lat * RADIANS;
                let pole = ellipsoid.authalic(FRAC_PI_2);
                let sine = ellipsoid.authalic(lat) / pole;
                let cosine = libm::sqrt(1.0 - sine * sine);
                let radius = ellipsoid.radius * libm::sqrt(pole / 2.0);
                Drawn::Azimuthal {
                    lng: lng * RADIANS,
                    pole,
                    radius,
                    stretch: ellipsoid.radius * ellipsoid.parallel(lat) / (radius * cosine),
                    sine,
                    cosine,
                }
            }
            Plane::Stereographic { lat, lng, scale } => {
                let lat = lat * RADIANS;
                Drawn::Stereographic {
                    lng: lng * RADIANS,
                    sphere: Sphere::around(ellipsoid, lat),
                    radius: Sphere::radius(ellipsoid, lat) * scale,
                }
            }
            Plane::Krovak => {
                let lat = KROVAK_LAT * RADIANS;
                let parallel = KROVAK_PARALLEL * RADIANS;
                Drawn::Krovak {
                    lng: KROVAK_LNG * RADIANS,
                    sphere: Sphere::around(ellipsoid, lat),
                    apex: KROVAK_SCALE * Sphere::radius(ellipsoid, lat) / libm::tan(parallel),
                }
            }
            Plane::Swiss => {
                let lat = BERN_LAT * RADIANS;
                Drawn::Swiss {
                    lng: BERN_LNG * RADIANS,
                    sphere: Sphere::around(ellipsoid, lat),
                    radius: Sphere::radius(ellipsoid, lat),
                }
            }
            Plane::Web => Drawn::Web {
                radius: ellipsoid.radius,
            },
        }
    }

    /// Longitude and latitude in radians. A position far beyond the grid gives numbers that make no sense, or NaN.
    pub(super) fn leave(&self, ellipsoid: Ellipsoid, [east, north]: [f64; 2]) -> [f64; 2] {
        match *self {
            Drawn::Degrees => [east * RADIANS, north * RADIANS],
            Drawn::Transverse {
                lng,
                radius,
                origin,
                series,
            } => {
                let (up, across) = (north / radius + origin, east / radius);
                // Sines of the even multiples of a complex number, each from the two before.
                let (sine, cosine) = (libm::sin(2.0 * up), libm::cos(2.0 * up));
                let (rise, run) = (libm::sinh(2.0 * across), libm::cosh(2.0 * across));
                let twice = [2.0 * cosine * run, -2.0 * sine * rise];
                let (mut before, mut at) = ([0.0, 0.0], [sine * run, cosine * rise]);
                let (mut xi, mut eta) = (up, across);
                for part in series {
                    xi -= part * at[0];
                    eta -= part * at[1];
                    let next = [
                        twice[0] * at[0] - twice[1] * at[1] - before[0],
                        twice[0] * at[1] + twice[1] * at[0] - before[1],
                    ];
                    (before, at) = (at, next);
                }
                [
                    lng + libm::atan2(libm::sinh(eta), libm::cos(xi)),
                    ellipsoid.of_isometric(libm::atanh(libm::sin(xi) / libm::cosh(eta))),
                ]
            }
            Drawn::Conic {
                lng,
                cone,
                apex,
                constant,
                equal_area,
            } => {
                let sign = cone.signum();
                let (east, down) = (sign * east, sign * (apex - north));
                let distance = libm::hypot(east, down);
                let lat = if equal_area {
                    let ratio = distance * cone / ellipsoid.radius;
                    ellipsoid.of_authalic((constant - ratio * ratio) / cone)
                } else {
                    ellipsoid.of_isometric(-libm::log(sign * distance / constant) / cone)
                };
                [lng + libm::atan2(east, down) / cone, lat]
            }
            Drawn::Azimuthal {
                lng,
                pole,
                radius,
                stretch,
                sine,
                cosine,
            } => {
                let (x, y) = (east / stretch, north * stretch);
                let distance = libm::hypot(x, y);
                if distance == 0.0 {
                    return [lng, ellipsoid.of_authalic(pole * sine)];
                }
                let angle = 2.0 * libm::asin(distance / (2.0 * radius));
                let (away, along) = (libm::sin(angle), libm::cos(angle));
                [
                    lng + libm::atan2(x * away, distance * cosine * along - y * sine * away),
                    ellipsoid.of_authalic(pole * (along * sine + y * away * cosine / distance)),
                ]
            }
            Drawn::Stereographic { lng, sphere, radius } => {
                let distance = libm::hypot(east, north);
                let angle = 2.0 * libm::atan(distance / (2.0 * radius));
                let [x, y] = if distance == 0.0 {
                    [0.0, 0.0]
                } else {
                    [east / distance, north / distance]
                };
                let (away, along) = (libm::sin(angle), libm::cos(angle));
                let (sine, cosine) = (libm::sin(sphere.lat), libm::cos(sphere.lat));
                let lat = libm::asin(along * sine + y * away * cosine);
                let turn = libm::atan2(x * away, cosine * along - y * sine * away);
                let [from_origin, lat] = sphere.leave(ellipsoid, turn, lat);
                [lng + from_origin, lat]
            }
            Drawn::Krovak { lng, sphere, apex } => {
                let (south, west) = (-north, -east);
                let parallel = KROVAK_PARALLEL * RADIANS;
                let pole = KROVAK_POLE * RADIANS;
                let cone = libm::sin(parallel);
                let distance = libm::hypot(south, west);
                let turn = libm::atan2(west, south) / cone;
                let start = libm::tan(parallel / 2.0 + FRAC_PI_4);
                let oblique = 2.0 * (libm::atan(libm::pow(apex / distance, 1.0 / cone) * start) - FRAC_PI_4);
                let lat = libm::asin(
                    libm::cos(pole) * libm::sin(oblique)
                        - libm::sin(pole) * libm::cos(oblique) * libm::cos(turn),
                );
                let westwards = libm::asin(libm::cos(oblique) * libm::sin(turn) / libm::cos(lat));
                let [from_origin, lat] = sphere.leave(ellipsoid, -westwards, lat);
                [lng + from_origin, lat]
            }
            Drawn::Swiss { lng, sphere, radius } => {
                let turn = east / radius;
                let up = 2.0 * (libm::atan(libm::exp(north / radius)) - FRAC_PI_4);
                let (sine, cosine) = (libm::sin(sphere.lat), libm::cos(sphere.lat));
                let lat = libm::asin(cosine * libm::sin(up) + sine * libm::cos(up) * libm::cos(turn));
                let across = libm::atan2(libm::sin(turn), cosine * libm::cos(turn) - sine * libm::tan(up));
                let [from_origin, lat] = sphere.leave(ellipsoid, across, lat);
                [lng + from_origin, lat]
            }
            Drawn::Web { radius } => [east / radius, libm::asin(libm::tanh(north / radius))],
        }
    }
}

/// Krueger's series in the third flattening to its fourth power (method 9807, the JHS formulas).
fn transverse(ellipsoid: Ellipsoid, lat: f64, lng: f64, scale: f64) -> Drawn {
    let root = libm::sqrt(1.0 - ellipsoid.squared);
    let n = (1.0 - root) / (1.0 + root);
    let (n2, n3, n4) = (n * n, n * n * n, n * n * n * n);
    let radius = ellipsoid.radius / (1.0 + n) * (1.0 + n2 / 4.0 + n4 / 64.0);
    let onto = [
        n / 2.0 - n2 * 2.0 / 3.0 + n3 * 5.0 / 16.0 + n4 * 41.0 / 180.0,
        n2 * 13.0 / 48.0 - n3 * 3.0 / 5.0 + n4 * 557.0 / 1440.0,
        n3 * 61.0 / 240.0 - n4 * 103.0 / 140.0,
        n4 * 49_561.0 / 161_280.0,
    ];
    let conformal = libm::asin(libm::tanh(ellipsoid.isometric(lat)));
    let origin = conformal
        + (1..)
            .zip(onto)
            .map(|(place, part)| part * libm::sin(2.0 * f64::from(place) * conformal))
            .sum::<f64>();
    Drawn::Transverse {
        lng,
        radius: radius * scale,
        origin,
        series: [
            n / 2.0 - n2 * 2.0 / 3.0 + n3 * 37.0 / 96.0 - n4 / 360.0,
            n2 / 48.0 + n3 / 15.0 - n4 * 437.0 / 1440.0,
            n3 * 17.0 / 480.0 - n4 * 37.0 / 840.0,
            n4 * 4397.0 / 161_280.0,
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::super::ellipsoid::{AIRY, BESSEL, Ellipsoid, GRS_80};
    use super::*;

    /// Degrees, minutes and seconds as degrees.
    fn angle(degrees: f64, minutes: f64, seconds: f64) -> f64 {
        degrees + minutes / 60.0 + seconds / 3600.0
    }

    /// Clarke 1866, as Snyder's examples have it.
    const CLARKE: Ellipsoid = Ellipsoid {
        radius: 6_378_206.4,
        squared: 0.006_768_66,
    };

    #[test]
    fn published_examples_come_out() {
        // (name and source, plane, ellipsoid, east and north of the false origin, expected longitude and latitude,
        // metres of tolerance: half of the last digit printed)
        let osgb = Plane::Transverse {
            lat: 49.0,
            lng: -2.0,
            scale: 0.999_601_271_7,
        };
        for (name, plane, ellipsoid, position, expected, metres) in [
            (
                "Ordnance Survey, A guide to coordinate systems in Great Britain, annex C: Caister water tower",
                osgb,
                AIRY,
                [651_409.903 - 400_000.0, 313_177.270 + 100_000.0],
                [angle(1.0, 43.0, 4.5177), angle(52.0, 39.0, 27.2531)],
                0.01,
            ),
            (
                "IOGP 373-7-2, Transverse Mercator",
                osgb,
                AIRY,
                [577_274.99 - 400_000.0, 69_740.50 + 100_000.0],
                [0.5, 50.5],
                0.01,
            ),
            (
                "IOGP 373-7-2, Lambert Azimuthal Equal Area",
                Plane::Azimuthal { lat: 52.0, lng: 10.0 },
                GRS_80,
                [3_962_799.45 - 4_321_000.0, 2_999_718.85 - 3_210_000.0],
                [5.0, 50.0],
                0.01,
            ),
            (
                "IOGP 373-7-2, Krovak",
                Plane::Krovak,
                BESSEL,
                [-568_990.995, -1_050_538.631],
                [angle(16.0, 50.0, 59.179), angle(50.0, 12.0, 32.442)],
                0.02,
            ),
            (
                "IOGP 373-7-2, Oblique Stereographic (its double form)",
                Plane::Stereographic {
                    lat: angle(52.0, 9.0, 22.178),
                    lng: angle(5.0, 23.0, 15.5),
                    scale: 0.999_907_9,
                },
                BESSEL,
                [196_105.283 - 155_000.0, 557_057.739 - 463_000.0],
                [6.0, 53.0],
                0.01,
            ),
            (
                "Snyder 1987, p. 269: Transverse Mercator",
                Plane::Transverse {
                    lat: 0.0,
                    lng: -75.0,
                    scale: 0.9996,
                },
                CLARKE,
                [127_106.5, 4_484_124.4],
                [-73.5, 40.5],
                0.1,
            ),
            (
                "Snyder 1987, p. 292: Albers",
                Plane::EqualArea {
                    parallels: [29.5, 45.5],
                    lat: 23.0,
                    lng: -96.0,
                },
                CLARKE,
                [1_885_472.7, 1_535_925.0],
                [-75.0, 35.0],
                0.1,
            ),
            (
                "Snyder 1987, p. 296: Lambert conformal conic",
                Plane::Conformal {
                    parallels: [33.0, 45.0],
                    lat: 23.0,
                    lng: -96.0,
                },
                CLARKE,
                [1_894_410.9, 1_564_649.5],
                [-75.0, 35.0],
                0.1,
            ),
            (
                "swisstopo 2016, Formulas and constants: Rigi",
                Plane::Swiss,
                BESSEL,
                [79_520.05, 12_273.44],
                [angle(8.0, 29.0, 11.111_127), angle(47.0, 3.0, 28.956_592)],
                0.01,
            ),
        ] {
            let [lng, lat] = Drawn::new(plane, ellipsoid)
                .leave(ellipsoid, position)
                .map(|radians| radians / RADIANS);
            let off = libm::hypot(
                (lng - expected[0]) * 111_320.0 * libm::cos(lat * RADIANS),
                (lat - expected[1]) * 111_320.0,
            );
            assert!(
                off < metres,
                "{name}: {lng}, {lat}, expected {expected:?}: {off} m off"
            );
        }
    }
}

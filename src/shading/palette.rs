//! The colours of the map. In go a scheme and a contrast, out come the five steps, the neutral fills and the inks. What
//! they stand for is left to others.
//!
//! One hue, ochre to umber, and never red to green: green would read as leave to collect. In the light scheme the ramp
//! darkens away from the paper, in the dark scheme it brightens away from the night, so that more always stands out
//! more. The neutral fills are cool greys, so that no place that is closed or not known looks promising. The tests
//! compute what is claimed of the colours.

/// Whether the page around the map is light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Scheme {
    /// A light page.
    Light,
    /// A dark page.
    Dark,
}

/// How strongly outlines are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Contrast {
    /// Thin outlines that step back behind the fills.
    Usual,
    /// Stronger outlines, for visitors who ask for more contrast.
    More,
}

/// A colour in sRGB, red, green, blue.
pub(super) type Rgb = [u8; 3];

/// All colours of one scheme.
#[derive(Debug)]
pub(super) struct Palette {
    /// Bare, slight, fair, good, rich.
    pub(super) steps: [Rgb; 5],
    /// Under the dots of a stand whose trees are not known.
    pub(super) not_known: Rgb,
    /// The dots.
    pub(super) dots: Rgb,
    /// Under the hatching of a closed stand.
    pub(super) closed: Rgb,
    /// The hatching.
    pub(super) hatch: Rgb,
    /// Every outline around a fill.
    pub(super) ink: Rgb,
    /// The outline of a stand that has no fill, on the bare page.
    pub(super) outline: Rgb,
    /// The inner ring around the chosen stand.
    pub(super) ring: Rgb,
    /// The outer ring around it.
    pub(super) halo: Rgb,
}

const LIGHT: Palette = Palette {
    steps: [
        [246, 240, 224],
        [231, 205, 153],
        [218, 167, 100],
        [190, 126, 63],
        [148, 87, 48],
    ],
    not_known: [229, 232, 236],
    dots: [104, 112, 122],
    closed: [197, 201, 206],
    hatch: [84, 92, 102],
    ink: [37, 23, 12],
    outline: [110, 100, 90],
    ring: [16, 52, 122],
    halo: [255, 255, 255],
};

const DARK: Palette = Palette {
    steps: [
        [104, 94, 84],
        [143, 117, 91],
        [184, 143, 95],
        [220, 179, 108],
        [246, 224, 156],
    ],
    not_known: [94, 100, 107],
    dots: [186, 193, 201],
    closed: [95, 101, 109],
    hatch: [13, 15, 19],
    ink: [10, 7, 4],
    outline: [150, 141, 130],
    ring: [8, 22, 54],
    halo: [214, 233, 255],
};

/// The colours of a scheme.
pub(super) fn palette(scheme: Scheme) -> &'static Palette {
    match scheme {
        Scheme::Light => &LIGHT,
        Scheme::Dark => &DARK,
    }
}

/// A colour on the way from one to another: `part` sixteenths of it.
pub(super) fn mix(from: Rgb, to: Rgb, part: u32) -> Rgb {
    let channel = |from: u8, to: u8| ((u32::from(from) * (16 - part) + u32::from(to) * part + 8) / 16) as u8;
    [
        channel(from[0], to[0]),
        channel(from[1], to[1]),
        channel(from[2], to[2]),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How colours look to somebody: normal sight, three colour blindnesses, and no colour at all.
    #[derive(Debug, Clone, Copy)]
    enum Sight {
        Normal,
        Protan,
        Deutan,
        Tritan,
        Grey,
    }

    const SIGHTS: [Sight; 5] = [
        Sight::Normal,
        Sight::Protan,
        Sight::Deutan,
        Sight::Tritan,
        Sight::Grey,
    ];

    /// sRGB to linear light: IEC 61966-2-1.
    fn linear(colour: Rgb) -> [f64; 3] {
        colour.map(|channel| {
            let value = f64::from(channel) / 255.0;
            if value <= 0.040_45 {
                value / 12.92
            } else {
                ((value + 0.055) / 1.055).powf(2.4)
            }
        })
    }

    fn times(matrix: [[f64; 3]; 3], colour: [f64; 3]) -> [f64; 3] {
        matrix.map(|row| row.iter().zip(colour).map(|(a, b)| a * b).sum::<f64>())
    }

    /// Relative luminance as WCAG 2.2 defines it.
    fn luminance(colour: Rgb) -> f64 {
        let [r, g, b] = linear(colour);
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// Contrast ratio as WCAG 2.2 defines it.
    fn contrast(one: Rgb, other: Rgb) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    /// A colour as somebody sees it. Matrices at full severity for linear light: Machado, Oliveira and Fernandes 2009,
    /// A Physiologically-based Model for Simulation of Color Vision Deficiency, IEEE TVCG 15(6), table 1.
    fn seen(colour: Rgb, sight: Sight) -> [f64; 3] {
        let light = linear(colour);
        match sight {
            Sight::Normal => light,
            Sight::Protan => times(
                [
                    [0.152_286, 1.052_583, -0.204_868],
                    [0.114_503, 0.786_281, 0.099_216],
                    [-0.003_882, -0.048_116, 1.051_998],
                ],
                light,
            ),
            Sight::Deutan => times(
                [
                    [0.367_322, 0.860_646, -0.227_968],
                    [0.280_085, 0.672_501, 0.047_413],
                    [-0.011_820, 0.042_940, 0.968_881],
                ],
                light,
            ),
            Sight::Tritan => times(
                [
                    [1.255_528, -0.076_749, -0.178_779],
                    [-0.078_411, 0.930_809, 0.147_602],
                    [0.004_733, 0.691_367, 0.303_900],
                ],
                light,
            ),
            Sight::Grey => [luminance(colour); 3],
        }
        .map(|channel| channel.clamp(0.0, 1.0))
    }

    /// CIE 1976 L*, a*, b* under D65 (CIE 15; the matrix is that of sRGB).
    fn lab(light: [f64; 3]) -> [f64; 3] {
        let [x, y, z] = times(
            [
                [0.412_456_4, 0.357_576_1, 0.180_437_5],
                [0.212_672_9, 0.715_152_2, 0.072_175_0],
                [0.019_333_9, 0.119_192_0, 0.950_304_1],
            ],
            light,
        );
        let f = |t: f64| {
            if t > 216.0 / 24_389.0 {
                t.cbrt()
            } else {
                (24_389.0 / 27.0 * t + 16.0) / 116.0
            }
        };
        let (x, y, z) = (f(x / 0.950_47), f(y), f(z / 1.088_83));
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    /// CIE 1976 colour difference.
    fn difference(one: Rgb, other: Rgb, sight: Sight) -> f64 {
        let (one, other) = (lab(seen(one, sight)), lab(seen(other, sight)));
        one.iter()
            .zip(other)
            .map(|(a, b)| (a - b).powi(2))
            .sum::<f64>()
            .sqrt()
    }

    fn palettes() -> [(&'static str, &'static Palette); 2] {
        [("light", palette(Scheme::Light)), ("dark", palette(Scheme::Dark))]
    }

    #[test]
    fn the_measures_are_the_published_ones() {
        assert!(
            (contrast([0, 0, 0], [255, 255, 255]) - 21.0).abs() < 1e-9,
            "WCAG 2.2: black on white is 21 to 1"
        );
        // Common practice: #777777 on white is 4.48 to 1, just short of 4.5.
        assert!((contrast([119, 119, 119], [255, 255, 255]) - 4.48).abs() < 0.005);
        // CIE L* of the grey with a luminance of 0.184 is 50.0.
        assert!((lab([0.184_187; 3])[0] - 50.0).abs() < 0.01);
    }

    #[test]
    fn neighbouring_steps_are_told_apart_by_every_sight() {
        // Stated minimum: 10 units of CIE 1976 colour difference, in each simulated sight and in grey.
        for (name, palette) in palettes() {
            for pair in palette.steps.windows(2) {
                for sight in SIGHTS {
                    let found = difference(pair[0], pair[1], sight);
                    assert!(
                        found >= 10.0,
                        "{name}: {:?} and {:?} differ by {found:.1} for {sight:?}",
                        pair[0],
                        pair[1]
                    );
                }
            }
        }
    }

    #[test]
    fn the_ramp_runs_one_way_for_every_sight() {
        for (name, palette) in palettes() {
            for sight in SIGHTS {
                let lightness = palette.steps.map(|step| lab(seen(step, sight))[0]);
                let darkens = lightness.is_sorted_by(|a, b| a > b);
                let brightens = lightness.is_sorted_by(|a, b| a < b);
                assert!(
                    if name == "light" { darkens } else { brightens },
                    "{name}: lightness {lightness:?} for {sight:?}"
                );
            }
        }
    }

    #[test]
    fn neutral_fills_look_like_no_step() {
        // A neutral fill also carries its pattern; the fill alone differs by 7 units from every step.
        for (name, palette) in palettes() {
            for neutral in [palette.not_known, palette.closed] {
                for step in palette.steps {
                    for sight in &SIGHTS[..4] {
                        let found = difference(neutral, step, *sight);
                        assert!(
                            found >= 7.0,
                            "{name}: {neutral:?} and {step:?} differ by {found:.1} for {sight:?}"
                        );
                    }
                }
                let [_, a, b] = lab(linear(neutral));
                assert!(a.hypot(b) < 7.0, "{name}: {neutral:?} is not neutral");
            }
        }
    }

    #[test]
    fn lines_and_patterns_stand_out_by_three_to_one() {
        for (name, palette) in palettes() {
            for fill in palette
                .steps
                .into_iter()
                .chain([palette.not_known, palette.closed])
            {
                let found = contrast(palette.ink, fill);
                assert!(found >= 3.0, "{name}: outline on {fill:?} is {found:.2} to 1");
            }
            for (ink, fill) in [(palette.hatch, palette.closed), (palette.dots, palette.not_known)] {
                let found = contrast(ink, fill);
                assert!(
                    found >= 3.0,
                    "{name}: pattern {ink:?} on {fill:?} is {found:.2} to 1"
                );
            }
        }
    }

    #[test]
    fn one_of_the_two_rings_stands_out_on_every_fill() {
        for (name, palette) in palettes() {
            let rings = contrast(palette.ring, palette.halo);
            assert!(
                rings >= 3.0,
                "{name}: the rings are {rings:.2} to 1 against each other"
            );
            for fill in palette
                .steps
                .into_iter()
                .chain([palette.not_known, palette.closed])
            {
                let found = contrast(palette.ring, fill).max(contrast(palette.halo, fill));
                assert!(found >= 3.0, "{name}: the rings on {fill:?} are {found:.2} to 1");
            }
        }
    }
}

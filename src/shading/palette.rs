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
    dots: [176, 184, 193],
    closed: [88, 94, 101],
    hatch: [20, 23, 27],
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

//! What the page says around its numbers: one chapter for each thing that counts, in plain words. The numbers themselves
//! come from the tables.

/// One chapter.
pub(crate) struct Chapter {
    pub(crate) id: &'static str,
    pub(crate) title: &'static str,
    pub(crate) paragraphs: &'static [&'static str],
    /// The factors whose rows stand in it.
    pub(crate) rows: &'static [&'static str],
    /// Curves that are drawn: the factor, and what its axis measures.
    pub(crate) charts: &'static [(&'static str, &'static str)],
    /// What the curves give.
    pub(crate) upwards: &'static str,
    pub(crate) caption: &'static str,
}

const LEAVES: &str = "Part of the potential that is left";

pub(crate) const OPENING: &str = "<!-- How the shade is worked out. Made from the knowledge tables by the test `shade_page`; write it anew with BLESS=1. -->
<title>How the shade is worked out</title>
<main id=\"main\">
<h1>How the shade is worked out</h1>
<p class=\"lead\">Each stand is shaded by how far its trees and its site let fungi fruit over the years, from 0 to 100. The value compares stands with each other. It is no forecast of a harvest, no promise that anything stands there, and no word on whether a mushroom can be eaten.</p>
<p class=\"plain\">There are three values, and they are never added: fungi that live with the roots of living trees, fungi on wood, and fungi on litter and grass. With roots, the value is 100 times a row of parts between 0 and 1: how much of the stand hosts such fungi, age, density, soil, water, and food. Where two facts speak of the same thing, such as a dry ground and a sunny slope, only the lower one counts, so nothing is counted twice.</p>
<p class=\"plain\">Every value has a low and a high end. A fact that is missing for one stand may be anything it can be, and the range holds all of that: whatever the missing facts turn out to be, the value lies inside, as far as the map and this page are right. A fact that the map has for no stand is left out for all of them, and the map says so. A middle value is given only where nothing that enters is missing.</p>
<p class=\"plain\">Most numbers below are our choice. Science backs the direction of many and the size of few; each row says which.</p>
";

pub(crate) const CHAPTERS: &[Chapter] = &[
    Chapter {
        id: "trees",
        title: "Trees and their fungi",
        paragraphs: &[
            "The roots of some trees live with fungi that fruit above the ground: oak, spruce, birch, beech, pine and others. The root fungi of maple, ash, elm and most fruit trees make no mushrooms. Alder, willow and poplar stand between. A species may differ from its genus: dwarf willows of mountains and tundra host throughout. The share of each tree in the stand, times how far it hosts, gives the share of hosts.",
            "A few host trees serve many fungi, so the value rises fast at first: a quarter of hosts gives 40, a half 67, three quarters 86. Kinds of host are not weighed against each other, since no two studies agree on that.",
            "Trees below or above the canopy add with a smaller weight. A tree that the map does not name may host or not.",
        ],
        rows: &["host", "shares", "layer"],
        charts: &[],
        upwards: LEAVES,
        caption: "How far trees host fungi that fruit with roots",
    },
    Chapter {
        id: "age",
        title: "Age",
        paragraphs: &[
            "Young stands bear little. From about thirty years the curve stays level, because the published best ages disagree: 25 to 30 years for planted spruce, 51 to 70 for pine and the penny bun, and falling with age for maritime pine. Above a hundred years the low end falls, since some old stands bear less and others do not.",
        ],
        rows: &["age"],
        charts: &[("age.curve", "years")],
        upwards: LEAVES,
        caption: "Age of the canopy",
    },
    Chapter {
        id: "disturbance",
        title: "Felling, fire and storm",
        paragraphs: &[
            "After felling, fire or storm root fungi fruit little until the forest is back, and after a hard fire not at all for a while. Age and these events speak of the same thing, so the lower of the two counts.",
            "A map lists such events where they happened: an empty cell means that none is recorded, and widens nothing. An event without its year may lie any time back.",
        ],
        rows: &["disturbance"],
        charts: &[
            ("disturbance.felled", "years since felling"),
            ("disturbance.burnt", "years since a hard fire"),
            ("disturbance.windthrown", "years since a storm"),
        ],
        upwards: LEAVES,
        caption: "What is left after an event",
    },
    Chapter {
        id: "density",
        title: "Density",
        paragraphs: &[
            "Few trees mean few roots; very dense stands bear less, and more again after thinning. The years since a thinning are not asked, since studies disagree on what follows it; what stands after it is counted by its density. Published best values lie at 15 to 20, near 20, at 25 and at 30 to 40 square metres of stems on each hectare, so there is a plateau and no peak. Where the map does not tell the stems' cut surface, the cover of the crowns stands in.",
        ],
        rows: &["basal_area", "canopy"],
        charts: &[
            ("basal_area.curve", "basal area, square metres a hectare"),
            ("canopy.curve", "cover of the crowns, part of the sky"),
        ],
        upwards: LEAVES,
        caption: "Density of the stand",
    },
    Chapter {
        id: "soil",
        title: "Soil",
        paragraphs: &[
            "The soil decides which kinds fruit more than how many, so its part is small. For single kinds it is asked again, as what that kind prefers.",
        ],
        rows: &["soil"],
        charts: &[],
        upwards: LEAVES,
        caption: "Reaction of the topsoil",
    },
    Chapter {
        id: "water",
        title: "Moisture and the side of the hill",
        paragraphs: &[
            "That bog bears little is published. How much dryness takes away is our choice. North slopes bore more than south slopes in one dry mountain range; elsewhere a sunny slope may lose nothing, so it gets a range. Moisture and side of the hill count once: the lower of the two.",
            "Height above the sea is not in the value: it moves the season, and is counted there. Steepness is not in it either: one study in a dry mountain range found less on steep slopes, and no other was at hand.",
        ],
        rows: &["moisture", "aspect"],
        charts: &[],
        upwards: LEAVES,
        caption: "Moisture of the ground, and the side of the hill",
    },
    Chapter {
        id: "food",
        title: "Nitrogen and richness of the site",
        paragraphs: &[
            "Nitrogen from the air beyond a critical load costs trees their root fungi. The load is lower where conifers lead. How rich a site is speaks of the same thing, so the lower of the two counts.",
        ],
        rows: &["nitrogen", "nutrients"],
        charts: &[],
        upwards: LEAVES,
        caption: "What feeds the trees",
    },
    Chapter {
        id: "wood",
        title: "On wood",
        paragraphs: &[
            "The value on wood is dead wood times moisture. Where the map says nothing of dead wood it is not assessed.",
        ],
        rows: &["deadwood", "decay_moisture"],
        charts: &[("deadwood.curve", "dead wood, cubic metres a hectare")],
        upwards: LEAVES,
        caption: "Dead wood, and moisture for kinds on wood and litter",
    },
    Chapter {
        id: "litter",
        title: "On litter and grass",
        paragraphs: &[
            "The value on litter and grass is how open the stand is times the same moisture. The most open of a stand's settings counts.",
        ],
        rows: &["setting"],
        charts: &[],
        upwards: LEAVES,
        caption: "How open the stand is",
    },
    Chapter {
        id: "steps",
        title: "Steps, and how sure a value is",
        paragraphs: &[
            "Bare is said only where no host is recorded. Any host at all is at least slight. A range that is wide keeps its step and gets a mark of its own. Beside the range stands a word: firm where the range is narrow and trees, age and density are told; open where it is wide; rough between.",
        ],
        rows: &["step", "change"],
        charts: &[],
        upwards: LEAVES,
        caption: "Where the steps end",
    },
    Chapter {
        id: "kinds",
        title: "Single kinds",
        paragraphs: &[
            "How well a stand suits a kind is its best host, by the root of that host's share, times how well age, soil and setting fit. This only ranks the kinds. It never adds to the stand's value: a longer table of kinds colours no stand.",
            "Elm that has just died is the classic place of some kinds on wood and litter. So where dead wood lies, elm counts for them as a main host. Other trees have no such row: nothing published was at hand.",
        ],
        rows: &["rating", "fit", "kind_age"],
        charts: &[],
        upwards: LEAVES,
        caption: "What ranks the kinds",
    },
    Chapter {
        id: "season",
        title: "Season and climate",
        paragraphs: &[
            "Autumn comes earlier northwards and upwards, spring later; how many days is published. The months of the tables are for the lowlands at one latitude of each climate, and elsewhere they are moved by as many days. Kinds of spring have a season of their own. South of the equator the year is turned by half. Sunrise and sunset follow the method of the NOAA solar calculator.",
        ],
        rows: &["season", "climate"],
        charts: &[],
        upwards: LEAVES,
        caption: "Season and climate",
    },
    Chapter {
        id: "weather",
        title: "Weather",
        paragraphs: &[
            "Where daily weather is handed over, the sheet says what the last weeks come to, apart from the stand's own value: a good wood in a dry week stays a good wood. Rain fills the upper soil, and what grass would evaporate empties it (Hargreaves' formula, since only temperatures are told). That rain and warmth come some weeks before fruiting is published; how many days is our choice. A day that is not told may have been anything usual, and widens the range.",
        ],
        rows: &["weather"],
        charts: &[
            (
                "weather.water_soil",
                "part of the upper soil's room for water that is full",
            ),
            ("weather.water_rain", "rain that still counts, millimetres"),
            ("weather.warmth", "mean of the last two weeks, degrees Celsius"),
        ],
        upwards: "Part of the best",
        caption: "What the weather does",
    },
];

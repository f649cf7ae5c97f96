//! A stand as everybody else sees it: what grows there, how old, on what site, and what the rules may ask about it.
//! Values come from `standmap`; each is known, a range, or not known and why. Nothing is judged here.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;

use crate::geometry::{LngLat, LngLatBox};
use crate::names::{Genus, ScientificName, StandId};
use crate::units::{
    BasalArea, Elevation, Fact, Hectares, Metres, NitrogenLoad, Share, Truth, WoodVolume, Years,
};

/// One stand of the map. What grows there is shared with other stands through `profile`, what the rules ask about it
/// through `standing`; both are places in the stand map's tables.
#[derive(Debug, Clone, PartialEq)]
pub struct Stand {
    /// The stand's id, unique on its map.
    pub id: StandId,
    /// Its name or number as people say it, if the map gives one.
    pub name: Option<String>,
    /// Area of its outline, measured on the ellipsoid; `None` where it has no usable outline.
    pub area: Option<Hectares>,
    /// A point inside it, and the box around it; `None` where it has no usable outline.
    pub place: Option<Place>,
    /// Height above the sea. It moves the season and may be asked by a rule; kept here, so that alike stands at other
    /// heights share a profile.
    pub elevation: Fact<Elevation>,
    /// Its profile, a place in the stand map's table of profiles.
    pub profile: u32,
    /// Its standing, a place in the stand map's table of standings.
    pub standing: u32,
}

/// Where a stand lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// A point inside the outline.
    pub inside: LngLat,
    /// The box around the outline.
    pub bounds: LngLatBox,
}

/// What fruiting depends on: trees, age, density, site. Alike stands share one.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Profile {
    /// The trees with their shares, by layer. Stands with the same trees share one.
    pub mixture: Arc<Mixture>,
    /// Age of the canopy.
    pub age: Fact<Years>,
    /// Basal area of the stems.
    pub basal_area: Fact<BasalArea>,
    /// Canopy cover, 0 to 1.
    pub canopy: Fact<Share>,
    /// Reaction of the topsoil; several where the map says "between".
    pub soil_reaction: Fact<SoilReaction>,
    /// Moisture of the site.
    pub moisture: Fact<Moisture>,
    /// Nitrogen deposition.
    pub nitrogen: Fact<NitrogenLoad>,
    /// How well the site feeds its trees; several where the map says "between".
    pub nutrients: Fact<Nutrients>,
    /// The side of the hill it lies on.
    pub aspect: Fact<Aspect>,
    /// What last felled, burnt or blew down the stand. A map lists such events where they happened, so an empty cell
    /// means that none is recorded.
    pub disturbance: Fact<Disturbance>,
    /// Years since then.
    pub since: Fact<Years>,
    /// Dead wood.
    pub deadwood: Fact<Deadwood>,
    /// Edges, clearings and the like; an empty list is a closed forest.
    pub setting: Fact<Vec<Setting>>,
    /// The climate, where the map gives it; else derived from the place.
    pub climate: Option<Climate>,
}

#[cfg(test)]
impl Profile {
    /// Its trees, to be changed for this profile alone.
    pub(crate) fn trees(&mut self) -> &mut Mixture {
        Arc::make_mut(&mut self.mixture)
    }
}

/// What only the rules ask about.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Standing {
    /// Protected areas and other designations, as the map's own tags.
    pub designation: Fact<Vec<String>>,
    /// Who owns the land.
    pub ownership: Fact<Ownership>,
    /// Use, such as `fruit chestnut`.
    pub land_use: Option<String>,
    /// Mean height of the trees.
    pub height: Fact<Metres>,
    /// Year of planting, where the map gives it.
    pub planted: Option<i32>,
    /// Further values that zones may test, by name.
    pub attributes: BTreeMap<String, AttributeValue>,
}

/// A further value that zones may test.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum AttributeValue {
    /// A number.
    Number(f64),
    /// Text.
    Text(String),
    /// Yes or no.
    Flag(bool),
}

/// The trees of a stand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mixture {
    /// The members in the order of the map. Shares sum within a layer.
    pub members: Vec<Member>,
    /// What was odd about the shares of each layer, so that the potential can widen.
    pub shares: ShareState,
}

/// How the shares of a stand add up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ShareState {
    /// They add up to at most one (within a hundredth); what is missing is unnamed.
    #[default]
    Sound,
    /// They added up to 0.9 to 1.1 and were scaled to one.
    Scaled,
    /// They added up to something farther off and were scaled: no middle value can be told.
    Inconsistent,
}

/// One member of a mixture.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// What stands there.
    pub tree: Tree,
    /// Its share of the layer; a range where only "leading" or a class is told.
    pub share: Fact<Share>,
    /// Which layer it stands in.
    pub layer: Layer,
    /// The text of the map it was read from.
    pub raw: String,
}

/// A tree of a mixture, as far as the map names it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tree {
    /// A species or a genus.
    Named(ScientificName),
    /// One or several of these genera, weights not known ("other broadleaves", "fir or spruce").
    AnyOf {
        /// The group's name in the group table, such as `broadleaf`.
        group: String,
        /// The genera it may be.
        genera: Vec<Genus>,
    },
    /// The name or code could not be resolved; the raw text stays with the member.
    Unresolved,
}

/// A layer of a stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Layer {
    /// The canopy.
    Canopy,
    /// Trees and shrubs below it.
    Understorey,
    /// Old trees left from the stand before.
    Retained,
}

/// Reaction of the topsoil, from acid to calcareous.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum SoilReaction {
    Acid,
    WeaklyAcid,
    Neutral,
    Calcareous,
}

/// Moisture of the site, from dry to wet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Moisture {
    Dry,
    Fresh,
    Moist,
    Wet,
}

/// How well a site feeds its trees, from poor to rich.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Nutrients {
    Poor,
    Medium,
    Rich,
}

/// The side of a hill, by the eight winds; flat ground has none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Aspect {
    North,
    NorthEast,
    East,
    SouthEast,
    South,
    SouthWest,
    West,
    NorthWest,
    Flat,
}

/// What ended the stand before, or most of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Disturbance {
    None,
    Felled,
    Burnt,
    Windthrown,
}

/// Dead wood: a word or a volume.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Deadwood {
    None,
    Little,
    Some,
    Much,
    Volume(WoodVolume),
}

/// What opens a stand, or opened it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Setting {
    Edge,
    Clearing,
    Grassland,
    Park,
    Hedge,
    Burnt,
    Felled,
}

/// Who owns the land.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Ownership {
    State,
    Communal,
    Private,
    Other,
}

/// The climate a stand lies in, for the column of months.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Climate {
    Temperate,
    Boreal,
    Mediterranean,
    NaWest,
    NaEast,
}

impl Standing {
    /// Whether one of the stand's designations is this tag.
    pub fn is_designated(&self, tag: &str) -> Truth {
        match &self.designation {
            Fact::Known(tags) => Truth::from(tags.iter().any(|found| found == tag)),
            _ => Truth::NotKnown,
        }
    }
}

//! Mycorrhizal types of tree genera against a published list.
//!
//! Source: Brundrett & Tedersoo 2020, Plant and Soil, resolving the mycorrhizal status of important northern
//! hemisphere trees: its 60 genera, by the copy `mycorrhiza_brundrett_tedersoo.csv` of the public repository
//! east_us_mycorrhizal_changes (commit e88a22f4). Two of its authors also made the list our table follows, so the two
//! are not independent.

use hostwood::knowledge::Knowledge;
use hostwood::names::Genus;

const PUBLISHED: &[(&str, &str)] = &[
    (
        "arbuscular",
        "Acer Aesculus Ailanthus Celtis Chamaecyparis Cornus Cotoneaster Crataegus Cupressus Elaeocarpus Fraxinus Ginkgo Gleditsia Ilex Juglans Juniperus Ligustrum Liquidambar Liriodendron Magnolia Malus Morus Myrica Olea Pistacia Platanus Prunus Pyrus Rhamnus Rhus Robinia Sophora Sorbus Styrax Taxus Thuja Ulmus Zelkova",
    ),
    (
        "ectomycorrhizal",
        "Abies Arbutus Betula Carpinus Castanea Castanopsis Cedrus Corylus Fagus Larix Lithocarpus Picea Pinus Populus Pseudotsuga Quercus Tilia Tsuga",
    ),
    ("dual", "Alnus Salix"),
    ("ericoid", "Gaultheria Rhododendron"),
];

/// Where our table follows the FungalRoot recommendation instead: genus, published here, ours.
const KNOWN_DIFFERENCES: [(&str, &str, &str); 2] = [
    ("Myrica", "arbuscular", "non_mycorrhizal"),
    ("Populus", "ectomycorrhizal", "dual"),
];

#[test]
fn fifty_eight_of_sixty_genera_have_the_published_type() {
    let trees = &Knowledge::shipped().trees;
    let mut agree = 0;
    let mut differ = Vec::new();
    for (published, genera) in PUBLISHED {
        for name in genera.split(' ') {
            let genus = Genus::parse(name).expect(name);
            let ours = trees.genus(&genus).expect(name).mycorrhiza.word();
            if ours == *published {
                agree += 1;
            } else {
                differ.push((name, *published, ours));
            }
        }
    }
    differ.sort_unstable();
    assert_eq!(differ, KNOWN_DIFFERENCES);
    assert_eq!(agree, 58);
}

//! The kinds of a stand, as two parts of the sheet: what is in season with its trees, and what is poisonous with the
//! same trees or taken for what is shown. The second is always there; nothing hides it.

use super::before::whom_to_call;
use super::fruit::source;
use super::tree::{Arg, FactRow, Node, Text, Tone};
use super::{Asked, fact, genus_text};
use crate::knowledge::{Confidence, CustomStatus, HostRole, Kind, Rating};
use crate::names::{KindId, without_author};
use crate::potential::kinds::{KindHere, KindsHere};
use crate::rules::Act;
use crate::stand::{Climate, Stand};

/// So many kinds are shown at once; the rest opens.
const SHOWN_AT_ONCE: usize = 8;

/// The section on what is in season.
pub(super) fn season(stand: &Stand, here: &KindsHere, asked: &Asked<'_>) -> Node {
    let mut children = super::season::lines(stand, asked);
    if !here.trees_known {
        children.push(Node::toned(Tone::Open, Text::key("sheet.season.not_known")));
    }
    if here.young {
        children.push(Node::line(Text::key("sheet.season.young")));
    }
    if here.in_season.is_empty() {
        children.push(Node::line(Text::key("sheet.season.none")));
    } else {
        if here.trees_known {
            children.push(Node::line(Text::key("sheet.season.host_note")));
        }
        let mut items: Vec<Vec<Node>> = here
            .in_season
            .iter()
            .filter_map(|found| entry(found, stand, asked, false))
            .map(|node| vec![node])
            .collect();
        let rest = items.split_off(items.len().min(SHOWN_AT_ONCE));
        children.push(Node::List {
            style: "kinds",
            items,
        });
        if !rest.is_empty() {
            #[expect(clippy::cast_precision_loss, reason = "a count of kinds")]
            let n = rest.len() as f64;
            let summary = vec![Text::with("sheet.season.more", [("n", Arg::number(n, 0))])];
            children.push(Node::more(
                None,
                summary,
                vec![Node::List {
                    style: "kinds",
                    items: rest,
                }],
            ));
        }
    }
    children.extend(super::numbers::node(&["rating", "fit", "kind_age"], asked));
    let climate = asked.ground.climate(stand);
    let key = if climate.near_border {
        "sheet.season.near_border"
    } else {
        "sheet.season.climate"
    };
    let name = Text::key(climate_key(climate.climate));
    children.push(Node::toned(
        Tone::Quiet,
        Text::with(key, [("climate", name.into())]),
    ));
    if !climate.covered {
        children.push(Node::toned(Tone::Open, Text::key("sheet.season.not_covered")));
    }
    Node::Section {
        id: "season",
        title: Text::key("sheet.season.title"),
        children,
    }
}

/// The section on danger.
pub(super) fn danger(stand: &Stand, here: &KindsHere, asked: &Asked<'_>) -> Node {
    let mut children = vec![Node::toned(Tone::Danger, Text::key("sheet.danger.always"))];
    if asked.ground.kinds_unread() {
        children.push(Node::toned(Tone::Open, Text::key("sheet.danger.kinds_unread")));
    }
    if !here.trees_known {
        children.push(Node::toned(Tone::Open, Text::key("sheet.danger.not_known")));
    }
    if here.poisonous.is_empty() {
        children.push(Node::line(Text::key("sheet.danger.none")));
    } else {
        let items = here
            .poisonous
            .iter()
            .filter_map(|found| entry(found, stand, asked, true))
            .map(|node| vec![node]);
        children.push(Node::List {
            style: "kinds",
            items: items.collect(),
        });
    }
    children.push(first_aid(asked));
    Node::Section {
        id: "danger",
        title: Text::key("sheet.danger.title"),
        children,
    }
}

/// What to do first when somebody may have eaten a poisonous kind, and whom to call. Always there.
fn first_aid(asked: &Asked<'_>) -> Node {
    let steps = [
        "sheet.danger.first.call",
        "sheet.danger.first.before",
        "sheet.danger.first.keep",
        "sheet.danger.first.all",
        "sheet.danger.first.remedies",
    ];
    let list = Node::List {
        style: "plain",
        items: steps
            .iter()
            .map(|step| vec![Node::line(Text::key(*step))])
            .collect(),
    };
    let inside = std::iter::once(list).chain(whom_to_call(asked));
    Node::more(
        Some(Tone::Danger),
        vec![Text::key("sheet.danger.first")],
        inside.collect(),
    )
}

/// What a kind is dangerously taken for, wherever the kind is shown.
pub(super) fn doubles(kind: &Kind, asked: &Asked<'_>) -> Option<Node> {
    let kinds = names(&kind.dangerous_lookalikes, asked);
    let text = Text::with("sheet.kind.lookalikes", [("kinds", kinds)]);
    (!kind.dangerous_lookalikes.is_empty()).then(|| Node::toned(Tone::Danger, text))
}

/// A kind by its everyday name and its scientific one.
pub(super) fn name(kind: &Kind, asked: &Asked<'_>) -> Text {
    let latin = Text::latin(without_author(&kind.scientific));
    match asked.kind_name(kind) {
        Some((common, lang)) => Text::with(
            "sheet.kind.named",
            [
                ("common", Text::data_in(common, lang).into()),
                ("latin", latin.into()),
            ],
        ),
        None => latin,
    }
}

fn entry(found: &KindHere, stand: &Stand, asked: &Asked<'_>, as_danger: bool) -> Option<Node> {
    let kind = asked.ground.knowledge.fungi.kind(&found.kind)?;
    let mut summary = vec![name(kind, asked)];
    if as_danger {
        summary.push(Text::key(format!("status.{}", kind.status.word())));
        if !found.taken_for.is_empty() {
            summary.push(Text::with(
                "sheet.danger.taken_for",
                [("kinds", names(&found.taken_for, asked))],
            ));
        }
        if found.out_of_season {
            summary.push(Text::key("sheet.danger.out_of_season"));
        }
    } else {
        summary.push(Text::with(
            "sheet.kind.suits",
            [("value", Arg::number(found.suits * 100.0, 0))],
        ));
    }
    if is_protected(kind, asked) {
        summary.push(Text::key("sheet.kind.conservation"));
    }
    let tone = match kind.status {
        CustomStatus::Deadly => Tone::Deadly,
        CustomStatus::Poisonous => Tone::Poisonous,
        _ => Tone::Kind,
    };
    Some(Node::more(
        Some(tone),
        summary,
        details(kind, found, stand, asked),
    ))
}

fn details(kind: &Kind, found: &KindHere, stand: &Stand, asked: &Asked<'_>) -> Vec<Node> {
    let ground = asked.ground;
    let mut rows = vec![
        fact(
            "sheet.kind.guild",
            Text::key(format!("guild.{}", kind.guild.word())),
        ),
        fact(
            "sheet.kind.status",
            Text::key(format!("status.{}", kind.status.word())),
        ),
    ];
    if kind.host_role == HostRole::None {
        rows.push(fact("sheet.kind.all_hosts", Text::key("sheet.kind.no_host")));
    } else {
        if !found.hosts.is_empty() {
            let trees = Arg::list(found.hosts.iter().map(|genus| genus_text(genus, asked)));
            rows.push(fact(
                "sheet.kind.hosts",
                Text::with("sheet.parts", [("parts", trees)]),
            ));
        }
        rows.push(FactRow {
            term: Text::key("sheet.kind.all_hosts"),
            value: all_hosts(kind, asked),
        });
    }
    let months: Vec<u8> = kind
        .months(ground.climate(stand).climate)
        .map(|months| months.iter().collect())
        .unwrap_or_default();
    if !months.is_empty() {
        let months = Arg::list(
            months
                .into_iter()
                .map(|month| Text::key(format!("month.{month}"))),
        );
        rows.push(fact(
            "sheet.kind.months",
            Text::with("sheet.parts", [("parts", months)]),
        ));
    }
    let mut nodes = vec![Node::Facts { rows }];
    nodes.extend(
        kind.poisonings
            .iter()
            .map(|poisoning| Node::toned(Tone::Danger, Text::key(poisoning.syndrome.key()))),
    );
    nodes.extend(
        kind.handling
            .iter()
            .map(|code| Node::line(Text::key(format!("handling.{}", code.word())))),
    );
    nodes.extend(doubles(kind, asked));
    nodes.extend(kind.region_words.iter().map(|word| {
        let key = if word.added {
            "sheet.kind.region_added"
        } else {
            "sheet.kind.region_corrected"
        };
        let title = Text::data(word.title.clone());
        Node::toned(Tone::Quiet, Text::with(key, [("title", title.into())]))
    }));
    nodes.push(Node::toned(
        Tone::Quiet,
        Text::key(match kind.confidence {
            Confidence::Read => "sheet.kind.read",
            Confidence::Part => "sheet.kind.part",
            Confidence::Memory => "sheet.kind.from_memory",
        }),
    ));
    let sources = kind
        .sources
        .iter()
        .map(|id| source(id, &ground.knowledge))
        .collect();
    nodes.push(Node::more(None, vec![Text::key("sheet.kind.sources")], sources));
    nodes
}

/// All host genera, each with how closely the kind keeps to it.
fn all_hosts(kind: &Kind, asked: &Asked<'_>) -> Vec<Text> {
    let of = |rating: Rating| {
        let trees: Vec<Text> = kind
            .hosts
            .iter()
            .filter(|host| host.rating == rating)
            .map(|host| genus_text(&host.genus, asked))
            .collect();
        (!trees.is_empty()).then(|| {
            Text::with(
                format!("sheet.kind.hosts.{}", rating.word()),
                [("trees", Arg::list(trees))],
            )
        })
    };
    [Rating::Obligate, Rating::Main, Rating::Occasional]
        .into_iter()
        .filter_map(of)
        .collect()
}

pub(super) fn names(kinds: &[KindId], asked: &Asked<'_>) -> Arg {
    let fungi = &asked.ground.knowledge.fungi;
    Arg::list(
        kinds
            .iter()
            .filter_map(|id| fungi.kind(id))
            .map(|kind| name(kind, asked)),
    )
}

/// Whether some rule book protects the kind from being collected, anywhere in its region.
pub(super) fn is_protected(kind: &Kind, asked: &Asked<'_>) -> bool {
    asked.ground.books().iter().any(|book| {
        book.protected().iter().any(|protected| {
            protected.forbids.contains(&Act::Collect) && protected.kinds().any(|id| *id == kind.id)
        })
    })
}

fn climate_key(climate: Climate) -> &'static str {
    match climate {
        Climate::Temperate => "climate.temperate",
        Climate::Boreal => "climate.boreal",
        Climate::Mediterranean => "climate.mediterranean",
        Climate::NaWest => "climate.na_west",
        Climate::NaEast => "climate.na_east",
    }
}

//! How long a new day takes the law. In go a made-up book of 200 rules with 100 zones by outline and 100 000 stands, many
//! of them cut by a zone; out come the times of working out the memberships, once when the book is read, and of all
//! answers for another day, which should stay under 200 ms; and the calendar and the verdict of one stand. Run with
//! `cargo bench --bench law`.

#[path = "made.rs"]
mod made;

use std::hint::black_box;
use std::sync::LazyLock;

use divan::Bencher;
use hostwood::day::Day;
use hostwood::rules::{Answer, Law, Membership, RuleBook};
use hostwood::visit::Visit;
use made::Places;

/// Stands along each side of a square of one degree.
const SIDE: u32 = 316;
const ZONES: u32 = 100;
const RULES: u32 = 200;

fn main() {
    let places = &*PLACES;
    println!(
        "{} stands, {} distinct sets of memberships",
        places.of_stand.len(),
        places.distinct.len()
    );
    divan::main();
}

static BOOK: LazyLock<RuleBook> = LazyLock::new(|| made::book(ZONES, RULES));

static PLACES: LazyLock<Places> = LazyLock::new(|| made::places(&BOOK, SIDE));

/// Once, when the book is read.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn memberships_of_all_stands(bencher: Bencher<'_, '_>) {
    bencher.bench(|| black_box(made::places(&BOOK, SIDE).of_stand.len()));
}

/// On each new day; September closes zones, so that rules differ from place to place.
#[divan::bench(args = ["2026-09-12", "2026-09-05", "2026-12-01"], sample_count = 20, sample_size = 1)]
fn answers_for_a_new_day(bencher: Bencher<'_, '_>, day: &str) {
    let (places, book) = (&*PLACES, &*BOOK);
    let visit = Visit::on(Day::parse(day).expect("a day"));
    bencher.bench(|| {
        let law = Law::on(&[book], black_box(&visit));
        let answers: Vec<Answer> = places
            .distinct
            .iter()
            .map(|set| law.answer(&set.iter().collect::<Vec<_>>()))
            .collect();
        let of_stands: Vec<Answer> = places
            .of_stand
            .iter()
            .map(|number| answers.get(*number).copied().unwrap_or(Answer::NotKnown))
            .collect();
        black_box(of_stands.len())
    });
}

/// To compare it with: the same number of numbers, each looked at once.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn one_pass_over_as_many_numbers(bencher: Bencher<'_, '_>) {
    let numbers: Vec<u64> = (0..u64::from(SIDE * SIDE)).collect();
    bencher.bench(|| {
        black_box(&numbers)
            .iter()
            .fold(0_u64, |all, one| all.wrapping_add(one.rotate_left(7)))
    });
}

/// The calendar of one stand that a zone cuts: 365 days, most of them alike.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn the_year_of_a_stand(bencher: Bencher<'_, '_>) {
    let (places, book) = (&*PLACES, &*BOOK);
    let visit = Visit::on(Day::parse("2026-09-12").expect("a day"));
    let most = places
        .distinct
        .iter()
        .max_by_key(|set| touched(set))
        .expect("a stand");
    bencher.bench(|| {
        let law = Law::on(&[book], black_box(&visit));
        black_box(
            hostwood::rules::year(&law, &most.iter().collect::<Vec<_>>())
                .1
                .len(),
        )
    });
}

/// The verdict of one stand with all its grounds, as a sheet shows it.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn the_verdict_of_a_stand(bencher: Bencher<'_, '_>) {
    let (places, book) = (&*PLACES, &*BOOK);
    let visit = Visit::on(Day::parse("2026-09-12").expect("a day"));
    let most = places
        .distinct
        .iter()
        .max_by_key(|set| touched(set))
        .expect("a stand");
    bencher.bench(|| {
        let law = Law::on(&[book], black_box(&visit));
        black_box(law.verdict(&most.iter().collect::<Vec<_>>()).answer)
    });
}

/// How many zones a stand lies in, wholly or in part.
fn touched(set: &[Membership]) -> usize {
    set.iter()
        .flat_map(|membership| &membership.zones)
        .filter(|part| part.greatest > 0)
        .count()
}

//! Thin evidence: every figure that cannot be given says why, and what would settle it.
//!
//! In: small kennels that lack one thing each. What is computed where there is enough is proved
//! beside the code.

use crate::support::Kennel;

/// The base kennel with this litter, and its pages in the book.
struct Book {
    kennel: Kennel,
}

impl Book {
    fn of(litter: &str, weights: &str, health: &str) -> Self {
        let kennel = Kennel::base();
        kennel.write("owners.yaml", "families: []\n");
        kennel.write(
            "litters/spring/notes/first-night.md",
            "---\ndate: 2026-10-01\ntitle: First\n---\nAll quiet.\n",
        );
        kennel.write(
            "litters/spring/litter.yaml",
            &format!("name: Spring 2026\ndam: juno\nsire: corvin\n{litter}"),
        );
        kennel.write("litters/spring/weights.yaml", weights);
        kennel.write("litters/spring/health.yaml", health);
        Self { kennel }
    }

    fn page(&self, page: &str) -> String {
        self.kennel.run(&["publish"]).ends_with(0);
        let html =
            String::from_utf8(self.kennel.site()[&format!("private/{page}")].clone()).unwrap();
        html.replace("&#x27;", "'").replace("&quot;", "\"")
    }

    /// What the page says behind a label; of several the first.
    #[track_caller]
    fn says(&self, page: &str, label: &str, words: &str) {
        let html = self.page(page);
        let Some((_, rest)) = html.split_once(&format!("<dt>{label}</dt>")) else {
            panic!("`{label}` stands nowhere")
        };
        let facts = rest.split("<dt>").next().unwrap();
        assert!(
            facts.contains(words),
            "{label}: `{words}` is not said in: {facts}"
        );
    }
}

/// One puppy, born four days ago.
fn puppy(more: &str) -> String {
    format!(
        "birth: {{ on: 2026-10-05, how: natural }}\npuppies:\n  - {{ id: moss, sex: female, \
         {more} }}\n"
    )
}

const MOSS: &str = "litters/spring/moss.html";
const LITTER: &str = "litters/spring.html";

#[test]
fn a_litter_without_a_date_says_what_would_open_its_window() {
    Book::of("", "", "").says(
        LITTER,
        "Due",
        "not known yet, because no date of this mating is on record; settled by `mated:`",
    );
    let samples = |samples: &str| Book::of(&format!("progesterone: [{samples}]\n"), "", "");
    samples("{ on: 2026-09-01, value: 7 ng/ml }").says(
        LITTER,
        "Due",
        "because the first sample, on 1 September 2026, was over the border already; by 6 \
         November 2026 at the latest; settled by the days of mating",
    );
    samples("{ on: 2026-10-01, value: 1 ng/ml }").says(
        LITTER,
        "Due",
        "because the last sample, on 1 October 2026, showed no rise that lasted; settled by",
    );
    // Fetal measurements need the weight of the dam; sizes of the first weeks are outside the
    // formulas.
    let measured = |size: &str| {
        Book::of(
            &format!(
                "mated: 2026-09-01\nmeasured: [{{ on: 2026-09-28, what: inner chamber, size: \
                 {size} }}]\n"
            ),
            "",
            "",
        )
    };
    measured("20 mm").says(
        LITTER,
        "Due by fetal measurements",
        "because the formulas need the weight of the dam, and it is not on record; settled by \
         `adult_weight`",
    );
    let early = measured("2 mm");
    early.kennel.change(
        "dogs/juno.yaml",
        "sex: female",
        "sex: female\nadult_weight: 9.4 kg",
    );
    early.says(
        LITTER,
        "Due by fetal measurements",
        "because no size lies within 5 to 40 days before birth",
    );
}

#[test]
fn days_for_a_section_say_why_there_are_none_and_what_settles_it() {
    for (litter, why) in [
        ("", "because no date is known to the day"),
        ("mated: 2026-09-01\n", "because no date is known to the day"),
        (
            "ovulated: 2026-09-03\ndioestrus: 2026-09-20\n",
            "because the dates on record do not agree",
        ),
    ] {
        let page = Book::of(litter, "", "").page(LITTER);
        let said = page
            .split("Days for a section:")
            .nth(1)
            .unwrap()
            .split("</p>")
            .next()
            .unwrap();
        assert!(
            said.contains("Not known yet")
                && said.contains(why)
                && said.contains("settled with the clinic"),
            "{litter}: {said}"
        );
    }
}

#[test]
fn a_trend_says_how_many_weights_it_lacks() {
    Book::of(&puppy("weight: 224 g"), "", "").says(
        MOSS,
        "Trend",
        "because it takes at least 4 weights over 1.4 days, and there is one; settled by further \
         weigh-ins",
    );
    Book::of(&puppy(""), "", "").says(MOSS, "Trend", "and there is none; settled by");
    let weights =
        "- { at: 2026-10-06 08:00, moss: 230 g }\n- { at: 2026-10-06 18:00, moss: 236 g }\n";
    Book::of(&puppy("born: \"08:00\", weight: 224 g"), weights, "").says(
        MOSS,
        "Trend",
        "and there are 3 over 1.4 days",
    );
    assert!(
        Book::of(&puppy("weight: 224 g"), "", "")
            .page(LITTER)
            .contains("not known yet: too few weights")
    );
}

#[test]
fn the_day_of_doubling_says_what_it_waits_for() {
    let doubled = |puppy: &str, weights: &str, words: &str| {
        Book::of(puppy, weights, "").says(MOSS, "Birth weight doubled", words)
    };
    doubled(
        &puppy(""),
        "- { at: 2026-10-06 08:00, moss: 230 g }\n",
        "because its birth weight is not on record; settled by `weight:`",
    );
    doubled(
        &puppy("weight: 224 g"),
        "",
        "because it has not been weighed since its birth; settled by weigh-ins",
    );
    doubled(
        &puppy("weight: 224 g"),
        "- { at: 2026-10-06 08:00, moss: 230 g }\n",
        "when it will is not known yet, because the trend is not known; settled by further \
         weigh-ins",
    );
    let slow: String = (6..=9)
        .map(|day| {
            format!(
                "- {{ at: 2026-10-{day:02} 08:00, moss: {} g }}\n",
                224 + (day - 5) * 2
            )
        })
        .collect();
    doubled(
        &puppy("weight: 224 g"),
        &slow,
        "because at the gain of these days it would be after four weeks, or that gain is not sure \
         to be one",
    );
    let old = "birth: { on: 2026-09-15, how: natural }\npuppies:\n  - { id: moss, sex: female, \
               weight: 224 g }\n";
    doubled(
        old,
        "- { at: 2026-09-16 08:00, moss: 230 g }\n- { at: 2026-10-08 08:00, moss: 800 g }\n",
        "because it lies between two weigh-ins more than a week apart",
    );
}

#[test]
fn a_birth_weight_that_is_missing_or_stands_alone_says_so() {
    Book::of(&puppy(""), "", "").says(
        MOSS,
        "Birth weight",
        "not known yet, because it is not on record; settled by `weight:`",
    );
    let with = |wren: &str, ash: &str| {
        let moss = puppy("weight: 224 g");
        format!("{moss}  - {{ id: wren, sex: male{wren} }}\n  - {{ id: ash, sex: male{ash} }}\n")
    };
    for ash in ["", ", weight: 231 g"] {
        Book::of(&with("", ash), "", "").says(
            MOSS,
            "Birth weight",
            "against its littermates: not known yet, because fewer than two of those born alive \
             with it have a birth weight",
        );
    }
    let whole = with(", weight: 216 g", ", weight: 231 g");
    Book::of(&whole, "", "").says(MOSS, "Birth weight", "at the mean of its littermates");
    // Ash's pounds were written as kilograms.
    let misread = with(", weight: 216 g", ", weight: 0.51 kg");
    let weights = "- { at: 2026-10-06 08:00, moss: 232 g, wren: 225 g, ash: 239 g }\n- { at: \
                   2026-10-07 08:00, moss: 249 g, wren: 242 g, ash: 258 g }\n";
    Book::of(&misread, weights, "").says(
        MOSS,
        "Birth weight",
        "against its littermates: not known yet, because a birth weight of the litter looks \
         misread",
    );
    Book::of(&puppy("weight: 224 g"), "", "").says(
        MOSS,
        "Birth weight",
        "not known yet, because it takes",
    );
}

#[test]
fn a_vigour_score_names_the_items_that_nobody_scored() {
    let score =
        puppy("weight: 224 g, vigour: [{ at: 5 min, heart_rate: 230, breathing: 2, movement: 2 }]");
    Book::of(&score, "", "").says(
        MOSS,
        "Vigour",
        "at 5 min: not known yet, because nobody scored reflex, gums; settled by a score of all \
         five items",
    );
    Book::of(&puppy("weight: 224 g"), "", "").says(
        MOSS,
        "Vigour",
        "not known, because nobody scored it",
    );
}

#[test]
fn the_energy_of_feeds_says_what_it_lacks() {
    let feeds = |feeds: &str| Book::of(&puppy("born: \"08:00\", weight: 224 g"), "", feeds);
    let feed = |at: &str, amount: &str, energy: &str| {
        format!(
            "- {{ at: 2026-10-{at}, for: moss, feed: {{ what: milk, amount: {amount}{energy} }} \
             }}\n"
        )
    };
    let label = "Energy of the feeds";
    feeds(&feed("06 08:00", "3 ml", "")).says(
        MOSS,
        label,
        "because that of a product is not on record, or in another unit than its feeds; settled \
         by `energy:`",
    );
    feeds(
        &(feed("06 08:00", "3 ml", ", energy: 1 kcal/ml") + &feed("06 10:00", "a few drops", "")),
    )
    .says(
        MOSS,
        label,
        "because 1 of 2 feeds have no amount in ml or g",
    );
    feeds(&feed("06 08:00", "3 ml", ", energy: 1 kcal/ml")).says(
        MOSS,
        label,
        "because feeds are known over 0.0 h, and a day’s need is for a day; settled by feeds of a \
         whole day",
    );
    let unweighed = Book::of(
        &puppy("born: \"08:00\""),
        "",
        &feed("06 08:00", "3 ml", ", energy: 1 kcal/ml"),
    );
    unweighed.says(
        MOSS,
        label,
        "because no weight of it before the last feed is on record; settled by a weigh-in",
    );
    let no_hour = Book::of(
        &puppy("weight: 224 g"),
        "",
        "- { on: 2026-10-06, for: moss, feed: { what: milk, amount: 3 ml } }\n",
    );
    no_hour.says(
        MOSS,
        "Fed by hand",
        "because no feed of it was written with its hour; settled by `at:`",
    );
}

#[test]
fn inbreeding_over_too_few_ancestors_is_no_nought() {
    let book = Book::of(&puppy("weight: 224 g, offer: available"), "", "");
    book.says(
        LITTER,
        "Inbreeding",
        "not known yet, because too few ancestors known to say",
    );
    let public =
        String::from_utf8(book.kennel.site()["public/litters/spring.html"].clone()).unwrap();
    assert!(
        public.contains("too few ancestors known to say") && !public.contains("0.00 %"),
        "{public}"
    );
    book.kennel.write(
        "dogs/juno.yaml",
        "name: Tarnside Juno\nsex: female\nborn: 2022-03-14\n",
    );
    book.says(
        LITTER,
        "Inbreeding",
        "not known yet, because nobody behind the parents is known; settled by a sire and a dam \
         for each of the two",
    );
}

#[test]
fn seasons_that_are_not_written_down_say_what_would_settle_them() {
    let book = Book::of(&puppy("weight: 224 g"), "", "");
    book.kennel.write(
        "dogs/tansy.yaml",
        "name: Tarnside Tansy\nsex: female\nborn: 2018-06-01\n",
    );
    book.says(
        "bitches/tansy.html",
        "Next season",
        "because no season, mating or litter of hers is on record; settled by the first day of \
         her latest season",
    );
    book.says(
        "bitches/tansy.html",
        "Own interval",
        "because fewer than two intervals without a litter between them are on record; settled by",
    );
}

#[test]
fn a_rule_says_everywhere_when_it_was_read_and_after_two_years_to_read_it_again() {
    let book = Book::of(
        &puppy("weight: 224 g"),
        "- { at: 2026-10-09 08:00, moss: 260 g }\n",
        "",
    );
    book.kennel
        .change("kennel.yaml", "country: GB", "country: GB\nregion: england");
    // Too young at her mating: a finding.
    book.kennel
        .change("dogs/juno.yaml", "2022-03-14", "2025-11-14");
    let pages = [LITTER, "bitches/juno.html"];
    for page in pages {
        let html = book.page(page);
        assert!(
            html.contains("2026-11") && !html.contains("read it again"),
            "{page}"
        );
    }
    let round = book
        .kennel
        .run(&["rounds"])
        .out
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(
        round.contains("2026-11)") && !round.contains("read it again"),
        "{round}"
    );
    book.kennel
        .change("kennel.yaml", "as_of: 2026-10-09", "as_of: 2028-12-15");
    for file in [
        "litters/spring/litter.yaml",
        "litters/spring/weights.yaml",
        "litters/spring/notes/first-night.md",
    ] {
        let text = book.kennel.text(file).replace("2026-10", "2028-12");
        book.kennel.write(file, &text);
    }
    book.kennel
        .change("dogs/juno.yaml", "2025-11-14", "2027-12-20");
    for page in pages {
        let html = book.page(page);
        assert!(html.contains("read it again"), "{page}");
    }
    let round = book
        .kennel
        .run(&["rounds"])
        .out
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(round.contains("read it again"), "{round}");
}

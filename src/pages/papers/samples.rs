//! For tests only: records of invented puppies, and a key.
//!
//! In: nothing. Out: a full record, one in which next to nothing was recorded, and one that is as
//! odd as can be.

use crate::audience::owner::*;
use crate::audience::{GrowthChart, InbreedingShown, RibbonShown, TOO_FEW_ANCESTORS};
use crate::records::care_plan::CareKind;
use crate::sealing::jws::SigningKey;

/// A key for tests only: its secret number is 1 to 32, byte by byte.
pub(crate) fn key() -> SigningKey {
    let mut next = 0;
    SigningKey::generate(&mut |bytes: &mut [u8]| {
        bytes.fill_with(|| {
            next += 1;
            next
        });
        Ok(())
    })
    .unwrap()
}

/// The page that a record stands on.
pub(crate) fn page(record: PuppyRecord, chart: Option<GrowthChart>) -> OwnerPage {
    OwnerPage {
        family: None,
        key: record.puppy.id.clone(),
        stem: "moss".to_owned(),
        leaves: record
            .family
            .as_ref()
            .and_then(|family| family.leaves.clone()),
        chart,
        ribbon: Some(RibbonShown {
            name: "green",
            hex: "#4d7c4f",
        }),
        inbreeding: InbreedingShown {
            percent: Some("6.25 %".to_owned()),
            otherwise: TOO_FEW_ANCESTORS,
            deepest: 4,
            complete: "2.5".to_owned(),
        },
        ounces: false,
        country: "GB".to_owned(),
        month_first: false,
        glance: Glance {
            at_birth: "tail: kinked at its tip".to_owned(),
            dam_tests: "Patella: 0/0".to_owned(),
            sire_tests: "no published result for Patella".to_owned(),
            checks: crate::audience::owner::checks(&record.events),
        },
        first_days: first_days(),
        pictures: Vec::new(),
        call_a_vet: &["limp, dull, or will not wake properly"],
        cautions: &["This is the breeder’s record, not a veterinary certificate."],
        record,
    }
}

/// First days of which everything is known.
fn first_days() -> FirstDays {
    FirstDays {
        food: Some(Food {
            date: "2026-10-05".to_owned(),
            text: "Four meals a day, *soaked*.".to_owned(),
            goes_on: true,
        }),
        promises: vec![PromisedBy {
            text: "Take the puppy to your vet.".to_owned(),
            within: "5 working days".to_owned(),
            working_days: true,
            by: some("2026-10-23"),
        }],
        vet_is_promised: true,
        chip: ChipToRegister {
            number: some("941000012345678"),
            asked: Some(ChipRule {
                place: "Scotland",
                details: "your name, address, telephone and e-mail".to_owned(),
                within_days: None,
                by: None,
                source: "SSI 2016/58".to_owned(),
            }),
        },
    }
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "short for the many members that may be missing"
)]
fn some(text: &str) -> Option<String> {
    Some(text.to_owned())
}

fn parent(name: &str) -> ParentRecord {
    ParentRecord {
        name: name.to_owned(),
        ..ParentRecord::default()
    }
}

/// A puppy of which nothing is known but its name.
pub(crate) fn empty() -> PuppyRecord {
    PuppyRecord {
        format: FORMAT,
        up_to: "2026-10-09".to_owned(),
        kennel: KennelRecord {
            name: "Whinmorrow".to_owned(),
            keeper: "Isla Fennick".to_owned(),
            email: "isla@whinmorrow.example".to_owned(),
            country: "GB".to_owned(),
            time_zone: "Europe/London".to_owned(),
            ..KennelRecord::default()
        },
        family: None,
        puppy: IdentityRecord {
            id: "summer-2026/moss".to_owned(),
            name: "Moss".to_owned(),
            species: "dog",
            breed: "Scottish Terrier".to_owned(),
            sex: "male",
            litter: "Summer 2026".to_owned(),
            ..IdentityRecord::default()
        },
        dam: parent("Whinmorrow Tansy"),
        sire: parent("Corvin of the Long Strand"),
        inbreeding: None,
        birth: BirthRecord::default(),
        weights: Vec::new(),
        doubled_on_day: None,
        events: Vec::new(),
        dam_events: Vec::new(),
        care: Vec::new(),
        invitations: Vec::new(),
        notes: Vec::new(),
    }
}

/// A puppy of eight weeks with a full record.
pub(crate) fn moss() -> PuppyRecord {
    let mut record = empty();
    record.kennel.phone = some("+44 1632 960142");
    record.kennel.address = some("Whin Bank, 3 Saltgate Brae, Kirkmorrow");
    record.kennel.site = some("https://whinmorrow.example/");
    record.kennel.licence = some("KM-DB-0083, Kirkmorrow Burgh Council");
    record.kennel.emergency_vet = Some(VetRecord {
        clinic: "Northgate Vets".to_owned(),
        phone: "+44 1632 960418".to_owned(),
    });
    record.family = Some(FamilyRecord {
        name: "The Dalgarno-Reyes family".to_owned(),
        leaves: some("2026-10-17"),
    });
    record.puppy.ribbon = Some("green");
    record.puppy.born = some("2026-08-15");
    record.puppy.chip = Some(ChipRecord {
        number: "941000012345678".to_owned(),
        on: some("2026-09-30"),
        by: some("M. Rae MRCVS"),
        site: some("between the shoulders"),
    });
    record.puppy.registration = some("Caledonian Kennel Registry CK-26-0417");
    record.dam.screening = vec![ScreeningRecord {
        test: "Patella".to_owned(),
        result: "0/0".to_owned(),
        on: some("2025-03-04"),
        by: some("Northgate Vets"),
        valid_until: some("2026-03-03"),
        has_run_out: true,
    }];
    record.inbreeding = Some(InbreedingRecord {
        coefficient: 0.0625,
        deepest: 4,
        complete_generations: 2.5,
    });
    record.birth.at = some("2026-08-15T09:14");
    record.birth.how = Some("natural");
    record.birth.grams = Some(212.0);
    record.birth.order = Some(2);
    record.birth.palate = Some("intact");
    record.birth.first_breath_seconds = Some(20);
    record.birth.vigour = vec![VigourRecord {
        seconds: 300,
        total: Some(9),
        class: "no distress".to_owned(),
    }];
    record.birth.looked_at = vec![
        LookedAt {
            what: "navel",
            seen: "normal".to_owned(),
        },
        LookedAt {
            what: "tail",
            seen: "kinked at its tip".to_owned(),
        },
    ];
    let weights = [
        ("2026-08-15T09:14", 0, 212.0),
        ("2026-08-16T08:00", 1, 208.5),
        ("2026-08-29T08:00", 14, 540.0),
        ("2026-10-09T07:30", 55, 2410.0),
    ];
    let mut before = None;
    for (at, age_days, grams) in weights {
        record.weights.push(WeightRecord {
            at: at.to_owned(),
            age_days,
            grams,
            change_grams: before.map(|b| grams - b),
            birth: age_days == 0,
        });
        before = Some(grams);
    }
    record.doubled_on_day = Some(10.4);
    record.events = events();
    let vaccine = EventRecord {
        on: "2026-07-01".to_owned(),
        reaction: some("slept all day"),
        ..record.events[6].clone()
    };
    record.dam_events = vec![
        vaccine,
        EventRecord {
            product: some("Verminal Forte"),
            batch: some("V-77"),
            for_grams: Some(9200.0),
            next_due: some("2026-08-03"),
            ..EventRecord::of(EventKind::Worming, "2026-07-20")
        },
    ];
    record.care = care();
    let note = |date: &str, title: &str, topic, text: &str| NoteRecord {
        date: date.to_owned(),
        title: title.to_owned(),
        topic,
        text: text.to_owned(),
    };
    record.notes = vec![
        note(
            "2026-10-08",
            "What Moss eats",
            Some("feeding"),
            "Four meals a day:\n\n- morning: **50 g** puppy food\n- noon: the same\n\n1. Soak \
             it.\n2. Let it cool.",
        ),
        note(
            "2026-10-01",
            "Out in the yard",
            None,
            "# First steps\n\nMoss met the *hens*. [More](https://whinmorrow.example/x.html)\n\n| \
             a | b |\n|---|---|\n| 1 | 2 |",
        ),
    ];
    record
}

fn events() -> Vec<EventRecord> {
    vec![
        EventRecord {
            time: some("14:10"),
            product: some("Verminal Puppy"),
            active: some("fenbendazole"),
            batch: some("VP-2231"),
            for_grams: Some(540.0),
            given: some("as the label says"),
            by: some("Isla Fennick"),
            next_due: some("2026-09-12"),
            ..EventRecord::of(EventKind::Worming, "2026-08-29")
        },
        EventRecord {
            celsius: Some(38.1),
            ..EventRecord::of(EventKind::Temperature, "2026-09-02")
        },
        EventRecord {
            product: some("Fleaway Spot"),
            ..EventRecord::of(EventKind::Parasite, "2026-09-20")
        },
        EventRecord {
            findings: some("loose stool for a day"),
            advice: some("bland food"),
            by: some("M. Rae MRCVS"),
            ..EventRecord::of(EventKind::Illness, "2026-09-22")
        },
        EventRecord {
            what: some("941000012345678"),
            by: some("M. Rae MRCVS"),
            site: some("between the shoulders"),
            ..EventRecord::of(EventKind::Chip, "2026-09-30")
        },
        EventRecord {
            findings: some("nothing unusual"),
            advice: some("look at the navel again in four weeks"),
            by: some("M. Rae MRCVS"),
            looked_at: vec![
                LookedAt {
                    what: "heart",
                    seen: "no murmur".to_owned(),
                },
                LookedAt {
                    what: "navel",
                    seen: "small hernia".to_owned(),
                },
            ],
            ..EventRecord::of(EventKind::Check, "2026-10-05")
        },
        EventRecord {
            against: vec!["distemper".to_owned(), "parvovirus".to_owned()],
            product: some("Canivac DP"),
            manufacturer: some("Invented Biologics"),
            batch: some("B-4471"),
            expiry: some("2027-06-30"),
            dose: some("first"),
            site: some("left shoulder"),
            by: some("M. Rae MRCVS, Northgate Vets"),
            next_due: some("2026-11-07"),
            reaction: some("none seen"),
            ..EventRecord::of(EventKind::Vaccination, "2026-10-10")
        },
        EventRecord {
            product: some("Probiotic paste"),
            what: some("loose stool"),
            given: some("with food"),
            until: some("2026-09-25"),
            ..EventRecord::of(EventKind::Treatment, "2026-09-22")
        },
        EventRecord {
            what: some("BAER"),
            findings: some("hears on both sides"),
            by: some("Strathlorne Clinic"),
            ..EventRecord::of(EventKind::Test, "2026-10-06")
        },
        EventRecord {
            what: some("puppy food"),
            given: some("50 g, four times a day"),
            ..EventRecord::of(EventKind::Feed, "2026-10-07")
        },
        EventRecord {
            what: some("eyes-open"),
            findings: some("done"),
            ..EventRecord::of(EventKind::Care, "2026-08-28")
        },
    ]
}

fn care() -> Vec<CareRecord> {
    let item =
        |id: &str, kind, name: &str, from: &str, until: &str, state, on: Option<&str>| CareRecord {
            id: id.to_owned(),
            kind,
            name: name.to_owned(),
            from: from.to_owned(),
            until: until.to_owned(),
            state,
            on: on.map(str::to_owned),
            why: None,
            source: "WSAVA 2024, every 2 to 4 weeks".to_owned(),
            for_family: false,
        };
    vec![
        item(
            "eyes-open",
            CareKind::Milestone,
            "eyes open",
            "2026-08-25",
            "2026-08-31",
            CareState::Done,
            Some("2026-08-28"),
        ),
        item(
            "worming-2-weeks",
            CareKind::Worming,
            "worming at 2 weeks",
            "2026-08-29",
            "2026-09-02",
            CareState::Done,
            Some("2026-08-29"),
        ),
        item(
            "check-3-weeks",
            CareKind::Check,
            "vet check at 3 weeks",
            "2026-09-05",
            "2026-09-12",
            CareState::NotRecorded,
            None,
        ),
        CareRecord {
            why: some("weaned late, the vet’s advice"),
            ..item(
                "worming-6-weeks",
                CareKind::Worming,
                "worming at 6 weeks",
                "2026-09-26",
                "2026-09-30",
                CareState::NotNeeded,
                None,
            )
        },
        item(
            "vaccination-1",
            CareKind::Vaccination,
            "first vaccination",
            "2026-10-03",
            "2026-10-10",
            CareState::Done,
            Some("2026-10-10"),
        ),
        CareRecord {
            for_family: true,
            ..item(
                "vaccination-2",
                CareKind::Vaccination,
                "second vaccination",
                "2026-11-07",
                "2026-11-21",
                CareState::Open,
                None,
            )
        },
        item(
            "hears-traffic",
            CareKind::Socialisation,
            "hears traffic",
            "2026-09-20",
            "2026-11-20",
            CareState::Open,
            None,
        ),
    ]
}

/// A puppy whose record holds everything that a keeper can type and no format likes, `count` times.
pub(crate) fn odd(count: usize) -> PuppyRecord {
    let nasty = |n: usize| {
        [
            "=1+1",
            "a, \"b\"\r\nc",
            "🐕‍🦺 woof",
            "שלום עולם",
            "\u{7}\u{0}",
            "",
            "<b>&amp;",
            "ŵŁğı½ °C",
            "word".repeat(if n < 20 { 2000 } else { 5 }).as_str(),
        ][n % 9]
            .to_owned()
    };
    let mut record = moss();
    record.puppy.name = "=Moss, \"the 🐕\";\r\nשלום".to_owned();
    record.kennel.name = "Ŵhin & <Morrow>".to_owned();
    record.up_to = "not a day".to_owned();
    record.puppy.about = Some("x".repeat(5000));
    for n in 0..count {
        let kind = EventKind::ALL[n % EventKind::ALL.len()];
        let on = if n % 5 == 0 {
            nasty(n)
        } else {
            "2026-09-01".to_owned()
        };
        record.events.push(EventRecord {
            product: Some(nasty(n)),
            batch: Some(nasty(n + 1)),
            findings: Some(nasty(n + 2)),
            looked_at: vec![LookedAt {
                what: "heart",
                seen: nasty(n + 3),
            }],
            against: vec![nasty(n + 4)],
            celsius: Some(f64::INFINITY),
            ..EventRecord::of(kind, &on)
        });
        record.weights.push(WeightRecord {
            at: nasty(n),
            age_days: -3,
            grams: if n % 2 == 0 { 0.0 } else { 1e9 },
            change_grams: Some(-1e9),
            birth: true,
        });
    }
    for (n, item) in record.care.iter_mut().enumerate() {
        item.from = nasty(n);
        item.name = nasty(n + 1);
    }
    record.care[6].until = "9999-12-31".to_owned();
    record.notes.push(NoteRecord {
        date: nasty(1),
        title: nasty(5),
        topic: Some("unheard of"),
        text: "* ".repeat(500) + "> > > ```\n<script>",
    });
    record
}

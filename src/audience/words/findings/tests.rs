//! The words of findings, each against the figures it was made with.

use super::{limit, what};
use crate::husbandry::birth::VigourTotal;
use crate::husbandry::birth_weight::breed_class;
use crate::husbandry::findings::{
    CallTime, ClosedCall, DamStage, DamTemperatureState, DatedTemperature, Finding, LaterCheck,
    LowHormone, NotedIllness, Noticed, SaidIn, Start, TemperatureBand, Unwell, Urgency,
    WeightNoticed, WindowOf,
};
use crate::husbandry::gestation::Anchor;
use crate::husbandry::gestation::temperature::{DamTemperature, Drop, DropSign, RoseAgain};
use crate::husbandry::signs;
use crate::husbandry::slips::SlipKind;
use crate::husbandry::testing::day;
use crate::husbandry::thresholds::Threshold;
use crate::husbandry::trend::Trend;
use crate::quantity::{Moment, Weight};
use crate::records::litter::CountedBy;

fn of(noticed: Noticed) -> Finding {
    Finding {
        urgency: Urgency::Watch,
        puppy: None,
        noticed,
        weight: None,
    }
}

fn said(noticed: Noticed) -> (String, String) {
    let finding = of(noticed);
    (what(&finding, false), limit(&finding))
}

fn grams(grams: f64) -> Weight {
    Weight::from_grams(grams).unwrap()
}

fn moment(text: &str) -> Moment {
    text.parse().unwrap()
}

fn own(value: f64) -> Threshold {
    Threshold {
        value,
        source: "care-plan.yaml",
    }
}

const TREND: Trend = Trend {
    per_day: -1.25,
    low: -2.0,
    high: 0.5,
    weights: 6,
    days: 3.0,
};

#[test]
fn what_stands_for_a_birth_weight_is_named_and_that_it_is_missing_is_said_once() {
    let first = |is_timed, is_first| Start::Weighed {
        hours: 1.5,
        is_timed,
        is_first,
    };
    let under = |start| {
        said(Noticed::UnderBirthWeight {
            days: 3.9,
            now: grams(414.0),
            birth: grams(420.0),
            start,
            limit: own(3.0),
        })
    };
    assert_eq!(
        under(first(true, true)),
        texts(
            "is still under its first weight, at 1.5 h, at 3.9 days (414 g against 420 g; no birth \
             weight is on record)",
            "after 3 days; ends when it weighs what it did then"
        )
    );
    assert_eq!(
        under(Start::Birth),
        texts(
            "is still under its birth weight at 3.9 days (414 g against 420 g)",
            "after 3 days; ends when it weighs what it did at birth"
        )
    );
    assert!(
        under(first(false, false))
            .0
            .contains("the highest weight of its first day, at about 2 h")
    );
    let steady = |start| {
        said(Noticed::Steady {
            trend: TREND,
            start,
        })
        .0
    };
    assert!(steady(Some(Start::Birth)).ends_with("in 3.0 days"));
    assert!(steady(Some(first(true, true))).ends_with(
        "; no birth weight is on record: loss and doubling are counted from its first weight, at \
         1.5 h"
    ));
    assert!(steady(None).ends_with("a loss since birth and doubling cannot be judged"));
}

#[test]
fn a_loss_after_four_weeks_is_told_with_its_day() {
    assert_eq!(
        said(Noticed::LateLoss {
            lost: 8.666,
            from: grams(3000.0),
            at: moment("2026-11-16 08:00"),
            now: grams(2740.0),
            is_twice: true,
            limit: own(4.0),
        }),
        texts(
            "has lost 8.7 % since 16 November 2026 (3000 g to 2740 g), at two weigh-ins",
            "4 % or more after four weeks; weigh again within a day; ends when less is missing"
        )
    );
}

fn texts(what: &str, limit: &str) -> (String, String) {
    (what.to_owned(), limit.to_owned())
}

#[test]
fn weights_are_told_with_their_figures_and_with_what_ends_the_finding() {
    assert_eq!(
        said(Noticed::EarlyLoss {
            lost: 4.0,
            days: 2.0,
            birth: grams(500.0),
            start: Start::Birth,
            then: grams(480.0),
            limit: own(3.0),
        }),
        texts(
            "weighed 4.0 % less than at birth on day 2 (500 g to 480 g)",
            "3 % or more by day 2; ends when it weighs what it did at birth"
        )
    );
    let still = |hours| {
        said(Noticed::NoGain {
            hours,
            from: grams(300.0),
            to: grams(298.0),
            limit: own(24.0),
        })
        .0
    };
    // An hour's play: what is a little under the limit is told as the limit.
    assert_eq!(still(23.2), "has gained nothing in 24 h (300 g to 298 g)");
    assert_eq!(
        still(144.0),
        "has gained nothing in 6 days (300 g to 298 g)"
    );
    let gain = |per_day| {
        said(Noticed::GainUnderBand {
            trend: Trend { per_day, ..TREND },
            limit: own(3.5),
        })
    };
    assert_eq!(
        gain(-1.25),
        texts(
            "loses 1.2 % a day (gain −2.0 to 0.5) over 3.0 days",
            "at least 3.5 % a day at this age; ends when the gain may be that again"
        )
    );
    assert!(gain(1.5).0.starts_with("gains 1.5 % a day"));
    assert_eq!(
        said(Noticed::CallClosed {
            call: ClosedCall::UnderBirthWeight,
            at: moment("2026-10-05 08:00"),
            from: grams(300.0),
            to: grams(330.0),
            limit: own(2.0),
        }),
        texts(
            "the call of 5 October 2026, 08:00 (under its first weight) is closed: since then \
             300 g to 330 g",
            "a call is not dropped without a word; ends 2 days after it"
        )
    );
    assert_eq!(
        said(Noticed::WeighInMissed {
            last: None,
            limit: own(24.0),
        }),
        texts(
            "has not been weighed since birth",
            "at least every 24 h; ends with the next weigh-in"
        )
    );
    let breed = breed_class("Maltese", 100.0).unwrap();
    let (low, under) = said(Noticed::VeryLowBirthWeight {
        breed,
        birth: grams(100.0),
    });
    assert_eq!(low, "had a very low birth weight for a Maltese (100 g)");
    assert!(under.starts_with(&format!("under {} g in that breed; ends", breed.low_from)));
}

#[test]
fn a_weight_of_days_ago_and_a_doubtful_one_are_said_to_be_so_in_the_keepers_unit() {
    let finding = Finding {
        weight: Some(WeightNoticed {
            days: 5.0,
            last_weighed: Some(day("2026-10-06")),
            is_doubtful: true,
        }),
        ..of(Noticed::TotalLoss {
            lost: 12.34,
            highest: grams(283.495_231_25),
            now: grams(250.0),
            limit: own(10.0),
        })
    };
    // 10 oz are 283.49523125 g (international agreement of 1959).
    assert_eq!(
        what(&finding, true),
        "has lost 12.3 % of its highest weight (10 oz to 8.8 oz), when last weighed on \
         6 October 2026; look at the slip of the pen first"
    );
    assert_eq!(limit(&finding), "10 % or more; ends when less is missing");
}

#[test]
fn a_slip_names_the_weigh_in_and_the_likely_weight_or_the_other_puppy() {
    assert_eq!(
        said(Noticed::SlipValue {
            written: grams(35.0),
            at: Some(moment("2026-10-05 08:00")),
            likely: grams(350.0),
            likely_grams: 350.0,
            kind: SlipKind::TooFewDigits,
            times_likelier: 2e5,
            source: "its own weights",
        }),
        texts(
            "looks like a slip of the pen: 35 g on 5 October 2026, 08:00: 10.0 times too light: a \
             digit too few, or the decimal point slipped?; 350 g would fit",
            "ten thousands of times likelier than as written; nothing was changed; ends when it \
             is put right"
        )
    );
    let (exchanged, _) = said(Noticed::SlipExchanged {
        written: grams(210.0),
        other_written: grams(300.0),
        other: "B".to_owned(),
        at: None,
        times_likelier: 1e9,
        source: "its own weights",
    });
    assert!(
        exchanged.starts_with("looks like a slip of the pen: 210 g and 300 g of B at birth: "),
        "{exchanged}"
    );
}

#[test]
fn illness_is_told_in_the_keepers_words_with_what_they_fit() {
    let signs_text = "Trembling, stiff gait";
    let unwell = Unwell {
        noted: vec![
            NotedIllness {
                day: day("2026-10-09"),
                signs: signs_text.parse().unwrap(),
                place: SaidIn::Illness,
                fits: signs::read(signs_text, signs::DAM),
                looked: Some(LaterCheck {
                    day: day("2026-10-10"),
                    by: "Isla".parse().ok(),
                    said: "no change".parse().ok(),
                }),
                is_old: false,
            },
            NotedIllness {
                day: day("2026-10-08"),
                signs: "quiet".parse().unwrap(),
                place: SaidIn::Remark,
                fits: Vec::new(),
                looked: None,
                is_old: true,
            },
        ],
        stays: 14,
        asked_after: None,
        is_question: false,
    };
    assert_eq!(
        said(Noticed::DamIllness(unwell.clone())),
        texts(
            "the dam was noted as unwell: “Trembling, stiff gait” on 9 October 2026, which fits \
             eclampsia (“Trembling”, “stiff”), looked at on 10 October 2026 by Isla: “no change”, \
             which closes nothing; “quiet” on 8 October 2026 (a remark)",
            "any sign of illness; ends with an entry that she is well again and that names no \
             other complaint, with a check by a vet that does not say that it is no better, or \
             after 14 days"
        )
    );
    let (own, ends) = said(Noticed::Illness(Unwell {
        stays: 28,
        asked_after: Some(7),
        ..unwell.clone()
    }));
    assert!(own.starts_with("was noted as unwell: “Trembling"), "{own}");
    assert!(ends.contains("that it is well again"), "{ends}");
    assert!(
        ends.ends_with("after 28 days (after 7 it is only asked how it ended)"),
        "{ends}"
    );
    let old = Noticed::Illness(Unwell {
        noted: unwell.noted[1..].to_vec(),
        stays: 28,
        asked_after: None,
        is_question: true,
    });
    assert_eq!(
        said(old).0,
        "was noted as unwell: “quiet” on 8 October 2026 (a remark), and nothing was written since \
         that closes it: how did it end?"
    );
}

#[test]
fn temperatures_are_told_with_their_time_and_their_band() {
    let at = |celsius: &str, text: &str| DatedTemperature {
        temperature: format!("{celsius} °C").parse().unwrap(),
        day: day(&text[..10]),
        at: text.parse().ok(),
    };
    let band = TemperatureBand {
        low: 34.5,
        high: 37.2,
        source: "a handbook",
    };
    let cold = at("33.9", "2026-10-05 12:25");
    assert_eq!(
        said(Noticed::OutsideBand {
            reading: cold,
            is_cold: true,
            band,
            is_old: true,
        }),
        texts(
            "had 33.9 °C on 5 October 2026, 12:25, and no reading was written since",
            "34.5 to 37.2 °C at that age; ends with a reading inside that"
        )
    );
    assert_eq!(
        said(Noticed::BackInBand {
            outside: cold,
            then: at("35.5", "2026-10-05"),
            band,
        }),
        texts(
            "had 33.9 °C on 5 October 2026, 12:25, then 35.5 °C on 5 October 2026",
            "34.5 to 37.2 °C at that age; ends after 12 hours inside that"
        )
    );
    assert_eq!(
        said(Noticed::DamTemperature {
            reading: at("39.9", "2026-10-06"),
            state: DamTemperatureState::Fever,
            stage: DamStage::Later,
            band: TemperatureBand {
                low: 37.8,
                high: 39.2,
                ..band
            },
            is_old: false,
        }),
        texts(
            "the dam had 39.9 °C on 6 October 2026",
            "37.8 to 39.2 °C after the first 24 h; ends with a reading inside that"
        )
    );
}

#[test]
fn what_comes_before_a_birth_names_its_days() {
    assert_eq!(
        said(Noticed::PastWindow {
            last: day("2026-10-09"),
            from: WindowOf::Mating { most_by: 68 },
        })
        .0,
        "birth was expected by 9 October 2026, counted from mating (most are born by day 68); \
         speak with the clinic"
    );
    assert_eq!(
        said(Noticed::Overdue {
            last: day("2026-10-09"),
            anchor: Anchor::Ovulation,
        })
        .0,
        "the dam is over her time: her last day was 9 October 2026, counted from ovulation (63 ± 1 \
         days)"
    );
    let at = moment("2026-10-05 07:10");
    let drop = Drop {
        reading: DamTemperature {
            day: at.day(),
            at: Some(at),
            instant: at.local().and_utc(),
            temperature: "37.1 °C".parse().unwrap(),
        },
        sign: DropSign::UnderMean(38.25),
        birth: [
            moment("2026-10-05 20:10"),
            moment("2026-10-06 04:40"),
            moment("2026-10-06 16:10"),
        ],
        call: moment("2026-10-06 07:10"),
    };
    let dropped = |call| {
        said(Noticed::TemperatureDrop {
            drop,
            call,
            source: "a paper",
        })
    };
    assert_eq!(
        dropped(CallTime::ToCome),
        texts(
            "her temperature fell to 37.1 °C on 5 October 2026, 07:10: birth is likely from 5 \
             October 2026, 20:10 to 6 October 2026, 16:10, most likely about 6 October 2026, \
             04:40; call when there is none by 6 October 2026, 07:10",
            "a degree under her own mean of 38.2 °C; ends with the birth, or a check by a vet"
        )
    );
    assert!(
        dropped(CallTime::Passed)
            .0
            .ends_with("24 h have passed without a birth recorded")
    );
    assert!(
        dropped(CallTime::Today)
            .0
            .contains("no birth by 6 October 2026, 07:10; birth is likely")
    );
    let warm = moment("2026-10-07 07:10");
    let readings = RoseAgain {
        low: drop.reading,
        warm: DamTemperature {
            day: warm.day(),
            at: Some(warm),
            instant: warm.local().and_utc(),
            temperature: "38.1 °C".parse().unwrap(),
        },
    };
    assert_eq!(
        said(Noticed::RoseAgain {
            readings,
            source: "a paper",
        })
        .0,
        "her temperature fell to 37.1 °C on 5 October 2026, 07:10 and was 38.1 °C again on 7 \
         October 2026, 07:10, without a birth recorded: was it the drop, a vet should hear of it; \
         if not, the next one counts"
    );
}

#[test]
fn of_newborns_it_is_told_what_was_seen_and_what_was_not() {
    let scored = |unfinished| {
        said(Noticed::LowVigour {
            score: VigourTotal {
                minutes: 5,
                total: Some(3),
            },
            total: 3,
            unfinished,
            source: "Veronesi and others 2009, Theriogenology 72:401-407",
        })
    };
    assert_eq!(
        scored(None),
        texts(
            "scored 3 of 10 at 5 min: severe distress",
            "under 7; ends on the third day"
        )
    );
    assert_eq!(
        scored(Some(10)).0,
        "scored 3 of 10 at 5 min: severe distress; not scored in full since (10 min)"
    );
    let missing = |puppies| {
        said(Noticed::NotLookedAt {
            items: vec!["palate", "limbs"],
            puppies,
            source: "common practice, no source",
        })
        .0
    };
    assert_eq!(missing(None), "has not been looked at: palate, limbs");
    assert_eq!(
        missing(Some(3)),
        "none of the 3 puppies has been looked at: palate, limbs"
    );
    assert_eq!(
        said(Noticed::NewbornFinding {
            seen: vec![
                ("limbs", "bent".parse().unwrap()),
                ("suck", "weak".parse().unwrap())
            ],
            source: "common practice, no source",
        })
        .0,
        "was not as usual at birth: limbs: bent; suck: weak"
    );
}

#[test]
fn a_day_of_feeds_that_held_too_little_is_a_comparison_and_no_plan() {
    let fed = |is_most: bool, is_motherless: bool| {
        said(Noticed::FedTooLittle {
            per_kg: 30.4,
            need: 132.0,
            is_most,
            feeds: 6,
            last: moment("2026-10-05 20:00"),
            is_motherless,
            limit: own(75.0),
        })
    };
    assert_eq!(
        fed(false, false),
        texts(
            "had 30 kcal/kg by hand in a day (6 feeds up to 5 October 2026, 20:00), where 132 is \
             the published need; what it drinks from its dam is not counted",
            "75 % of 132 kcal/kg, a comparison and no plan: how much it is to have, the vet says; \
             ends when a day’s feeds are nearer to it, or with a weight of the same day that shows \
             a gain in its band"
        )
    );
    let (own, _) = fed(true, true);
    assert_eq!(
        own,
        "had at most 30 kcal/kg by hand in a day (6 feeds up to 5 October 2026, 20:00), where 132 \
         is the published need"
    );
}

#[test]
fn fallen_progesterone_says_what_it_means_for_the_day() {
    let low = |state: LowHormone| {
        said(Noticed::LowProgesterone {
            on: day("2026-10-05"),
            value: "1.4 ng/ml".parse().unwrap(),
            state,
            source: "clinics",
        })
        .0
    };
    assert_eq!(
        low(LowHormone::BirthIsNear),
        "her progesterone had fallen to 1.4 ng/ml on 5 October 2026: birth is likely within two \
         days; call when it does not come"
    );
    assert!(low(LowHormone::NoBirth).ends_with("and none is recorded"));
    assert!(low(LowHormone::TooEarly).contains("too early for a birth"));
}

#[test]
fn a_count_before_birth_is_told_with_how_sure_it_is() {
    let counted = |by| {
        said(Noticed::FewerThanCounted {
            by,
            counted: 6,
            born: 5,
            source: "",
        })
    };
    let ends = "all that were counted; ends when they are recorded, the count is corrected, with a \
                check of her by a vet, or after ";
    assert_eq!(
        counted(CountedBy::XRay),
        texts(
            "the X-ray counted 6 puppies, and 5 are recorded",
            &format!("{ends}two weeks")
        )
    );
    assert_eq!(
        counted(CountedBy::Ultrasound),
        texts(
            "the ultrasound scan counted 6 puppies, and 5 are recorded; such a count is often one \
             off",
            &format!("{ends}three days; call when she strains or is unwell")
        )
    );
}

//! How long all figures of a kennel take, and how that grows with its litters.
//!
//! Run with `cargo bench --bench husbandry`. The kennels are made on the spot: litters of six,
//! sixty weigh-ins each, wormings and checks. Compare the figures with each other and not with
//! another machine's: `all_figures` should grow as the litters do.

#![allow(
    clippy::pedantic,
    clippy::unwrap_used,
    missing_docs,
    reason = "a benchmark may stop where it stands"
)]

use chrono::TimeDelta;
use divan::{Bencher, black_box, counter::ItemsCount};
use litterfolio::cache::{Digests, Tracked};
use litterfolio::husbandry::compute;
use litterfolio::quantity::{Id, Moment, Weight};
use litterfolio::records::{LitterFolder, Records, Shared, WeighIn};
use std::collections::BTreeMap;

const PUPPIES: usize = 6;
const WEIGH_INS: usize = 60;

fn main() {
    divan::main();
}

/// A small generator; the same seed always makes the same kennel.
struct Dice(u64);

impl Dice {
    /// Between −1 and 1.
    fn wobble(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

fn kennel(litters: usize) -> Records {
    let mut dice = Dice(7);
    let today = "2026-10-09".parse().unwrap();
    let folders: Vec<LitterFolder> = (0..litters).map(|i| litter(i, &mut dice)).collect();
    let mut by_dam: BTreeMap<Id, Vec<Id>> = BTreeMap::new();
    for folder in &folders {
        let of_dam = by_dam.entry(folder.litter.dam.clone()).or_default();
        of_dam.push(folder.id.clone());
    }
    let dogs = (0..40).map(|i| {
        let parents = if i < 8 {
            String::new()
        } else {
            format!(
                "sire: d{}\ndam: d{}\n",
                (i - 8) / 2 * 2,
                (i - 8) / 2 * 2 + 1
            )
        };
        let sex = if i % 2 == 0 { "male" } else { "female" };
        let yaml = format!(
            "name: D{i}\nsex: {sex}\nborn: 20{:02}-03-01\nadult_weight: 9.2 kg\n{parents}",
            5 + i / 2
        );
        (
            format!("d{i}").parse::<Id>().unwrap(),
            serde_yaml::from_str(&yaml).unwrap(),
        )
    });
    Records {
        today,
        kennel: serde_yaml::from_str(
            "name: K\nbreed: Scottish Terrier\ncontact: { keeper: K, email: k@k.example \
             }\ncountry: GB\nregion: scotland\ntime_zone: Europe/London\n",
        )
        .unwrap(),
        care_plan: serde_yaml::from_str("{}").unwrap(),
        dogs: dogs.collect(),
        litters: folders
            .into_iter()
            .map(|folder| (folder.id.clone(), folder))
            .collect(),
        owners: serde_yaml::from_str("{}").unwrap(),
        pages: Tracked::default(),
        portraits: Tracked::default(),
        litters_by_dam: by_dam.into_iter().collect(),
        digests: Digests::default(),
    }
}

fn litter(i: usize, dice: &mut Dice) -> LitterFolder {
    let first: Moment = "2016-01-01 08:00".parse().unwrap();
    let born = Moment::from(first.local() + TimeDelta::days((i * 3919 / 2000 % 3919) as i64));
    let ids: Vec<Id> = (0..PUPPIES)
        .map(|p| format!("p{p}").parse().unwrap())
        .collect();
    let births: Vec<f64> = ids.iter().map(|_| 210.0 + 30.0 * dice.wobble()).collect();
    let puppies: String = ids
        .iter()
        .zip(&births)
        .map(|(id, grams)| {
            format!(
                "  - {{ id: {id}, sex: female, born: \"08:00\", weight: {grams:.0} g, palate: \
                 intact, placenta: out, offer: placed }}\n"
            )
        })
        .collect();
    let litter = serde_yaml::from_str(&format!(
        "name: L{i}\ndam: d{}\nsire: d{}\nbirth: {{ on: {}, how: natural }}\npuppies:\n{puppies}",
        33 + i % 4 * 2,
        32 + i % 4 * 2,
        born.day()
    ))
    .unwrap();
    let weigh_ins = (1..=WEIGH_INS).map(|n| WeighIn {
        at: Moment::from(born.local() + TimeDelta::hours(12 * n as i64)),
        by: None,
        remark: None,
        weights: ids
            .iter()
            .zip(&births)
            .map(|(id, birth)| {
                (
                    id.clone(),
                    Weight::from_grams(
                        (birth * (0.055 * n as f64 / 2.0 + 0.015 * dice.wobble()).exp()).round(),
                    )
                    .unwrap(),
                )
            })
            .collect(),
        block: n,
    });
    let day = |n: i64| born.day().plus(n);
    let health = format!(
        "- {{ on: {}, for: all, worming: {{ product: P }} }}\n- {{ on: {}, for: all, worming: {{ \
         product: P }} }}\n- {{ on: {}, for: all, check: {{ by: V }} }}\n- {{ at: {} 09:00, for: \
         p1, temperature: 35.4 °C }}\n",
        day(14),
        day(28),
        day(44),
        day(0)
    );
    LitterFolder {
        id: format!("l{i}").parse().unwrap(),
        litter,
        weigh_ins: Shared::from_iter(weigh_ins).into(),
        bare_unit: None,
        health: serde_yaml::from_str(&health).unwrap(),
        notes: Tracked::default(),
        photos: Tracked::default(),
    }
}

#[divan::bench(args = [20, 200, 2000], sample_count = 5, sample_size = 1)]
fn all_figures(bencher: Bencher, litters: usize) {
    let records = kennel(litters);
    bencher
        .counter(ItemsCount::new(litters))
        .bench(|| compute(black_box(&records)));
}

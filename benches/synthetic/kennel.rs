//! A kennel made on the spot, of any size, for measuring.
//!
//! In: how many litters, how many photos each, how many families. Out: a folder as a keeper would
//! have written it: dogs over several generations, weigh-ins that gain as puppies do (a loss on the
//! first day, then about 7 % a day falling to 3 %), wormings and checks on their days, notes in
//! plain words, pictures with texture. The same size always gives the same bytes. All names are
//! invented.

use chrono::{Days, NaiveDate};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use std::fmt::Write as _;
use std::path::Path;
use std::{fs, io};

/// How large a kennel is to be.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Size {
    /// Litters in all.
    pub(crate) litters: usize,
    /// Pictures of each litter, 1600 by 1200 px.
    pub(crate) photos: usize,
    /// Puppies that a family takes, the youngest first; each has a sealed page.
    pub(crate) families: usize,
}

/// The day everything is counted to.
const TODAY: (i32, u32, u32) = (2026, 10, 9);
const FIRST_NAMES: &[&str] = &[
    "Alder", "Brora", "Cairn", "Dulse", "Ember", "Fern", "Gorse", "Heron", "Islay", "Jura",
    "Kestrel", "Linnet",
];
const RIBBONS: &[&str] = &[
    "red",
    "orange",
    "yellow",
    "green",
    "blue",
    "purple",
    "pink",
    "white",
    "grey",
    "turquoise",
];
const PUPPIES: &[&str] = &[
    "ash", "birch", "clover", "dill", "elm", "flax", "grouse", "hazel", "iris", "juniper",
];
const COLOURS: &[&str] = &["black", "brindle", "wheaten"];
const SENTENCES: &[&str] = &[
    "Everybody was out of the box before breakfast, and back in it before the kettle had boiled.",
    "The smallest has found that the water bowl can be stood in, and has told the others.",
    "A quiet day: two naps, one argument about a sock, and a visitor with good shoelaces.",
    "They know the sound of the gate now, and who is likely to come through it.",
    "First time on grass. Opinions differ, but nobody wanted to come in.",
    "We had the wireless on all afternoon, and the hoover, and nobody looked up twice.",
];

/// A small generator; the same seed always makes the same kennel.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }

    fn below(&mut self, n: usize) -> usize {
        self.next() as usize % n
    }

    /// Between −1 and 1.
    fn wobble(&mut self) -> f64 {
        self.next() as f64 / f64::from(1_u32 << 30) - 1.0
    }
}

/// A dog of the kennel.
struct Animal {
    id: String,
    born: NaiveDate,
    parents: Option<(String, String)>,
}

/// Writes a kennel into a folder, which is made.
pub(crate) fn write(folder: &Path, size: Size) -> io::Result<()> {
    let today = NaiveDate::from_ymd_opt(TODAY.0, TODAY.1, TODAY.2).unwrap_or_default();
    let mut dice = Dice(2_026);
    let (dams, sires) = breeding_stock(size.litters, today, &mut dice);
    let content = folder.join("content");
    for part in ["dogs", "litters", "pages"] {
        fs::create_dir_all(content.join(part))?;
    }
    fs::write(content.join("kennel.yaml"), KENNEL)?;
    fs::write(
        content.join("pages/about.md"),
        format!(
            "---\ntitle: About us\n---\n{}\n\n{}\n",
            SENTENCES[2], SENTENCES[5]
        ),
    )?;
    for (sex, animals) in [("female", &dams), ("male", &sires)] {
        for animal in animals {
            fs::write(
                content.join(format!("dogs/{}.yaml", animal.id)),
                dog(animal, sex, today),
            )?;
        }
    }
    let mut families = String::from("families:\n");
    let mut left = size.families;
    // A dam has a litter a year from her third year on; the youngest litter is the first.
    let mut births: Vec<(NaiveDate, &Animal)> = (0..size.litters)
        .map(|i| (&dams[i % dams.len()], i / dams.len()))
        .map(|(dam, before)| {
            (
                dam.born + Days::new(800 + 400 * before as u64 + dice.below(60) as u64),
                dam,
            )
        })
        .collect();
    births.sort_by_key(|(born, _)| std::cmp::Reverse(*born));
    for (number, (born, dam)) in births.into_iter().enumerate() {
        let sire = pick(&sires, born, &mut dice);
        let litter = Litter::new(number, born, dam, sire, today, &mut dice);
        let place = content.join(format!("litters/{}", litter.id));
        fs::create_dir_all(place.join("notes"))?;
        let taken = left.min(litter.puppies.len());
        left -= taken;
        for puppy in &litter.puppies[..taken] {
            let _ = writeln!(
                families,
                "  - id: family-{number}-{0}\n    name: The {0} family\n    takes:\n      - {{ \
                 litter: {1}, puppy: {0} }}",
                puppy.id, litter.id
            );
        }
        fs::write(place.join("litter.yaml"), litter.yaml(taken))?;
        fs::write(place.join("weights.yaml"), litter.weights(&mut dice))?;
        fs::write(place.join("health.yaml"), litter.health())?;
        for (name, text) in litter.notes(&mut dice) {
            fs::write(place.join("notes").join(name), text)?;
        }
        if size.photos > 0 {
            fs::create_dir_all(place.join("photos"))?;
        }
        for photo in 0..size.photos {
            let puppy = litter.puppies[photo % litter.puppies.len()].id;
            fs::write(
                place.join(format!("photos/{puppy}-{photo:03}.jpg")),
                picture(1600, 1200, (number * 1000 + photo) as u32)?,
            )?;
        }
    }
    let owners = if size.families == 0 {
        "families: []\n"
    } else {
        &families
    };
    fs::write(content.join("owners.yaml"), owners)
}

const KENNEL: &str = "\
name: Ferrylaw
breed: Scottish Terrier
summary: A club of small kennels that keeps one book.
contact: { keeper: Ada Harrow, email: ada@ferrylaw.example, town: Ferrylaw, emergency_vet: { clinic: Ferrylaw Vets, phone: \"+44 1632 960300\" } }
country: GB
region: scotland
time_zone: Europe/London
units: g
site: https://ferrylaw.example/
licence: { number: FL-0001, authority: Ferrylaw Burgh Council }
as_of: 2026-10-09
";

/// One dam for four litters and one sire for ten, over as many years as there are litters for;
/// parents among those that were there at the time.
fn breeding_stock(litters: usize, today: NaiveDate, dice: &mut Dice) -> (Vec<Animal>, Vec<Animal>) {
    let years = (litters / 40).clamp(6, 20) as u64 * 365;
    let animals = |prefix: &str, count: usize| -> Vec<Animal> {
        let born = |i: usize| today - Days::new(2_070 + years * i as u64 / count as u64);
        let mut all: Vec<Animal> = (0..count)
            .map(|i| Animal {
                id: format!("{prefix}-{i}"),
                born: born(i),
                parents: None,
            })
            .collect();
        all.sort_by_key(|animal| std::cmp::Reverse(animal.born));
        all
    };
    let (mut dams, mut sires) = (
        animals("dam", litters.div_ceil(4)),
        animals("sire", litters.div_ceil(10).max(2)),
    );
    let pool = |animals: &[Animal]| {
        animals
            .iter()
            .map(|a| (a.id.clone(), a.born))
            .collect::<Vec<_>>()
    };
    let (mothers, fathers) = (pool(&dams), pool(&sires));
    for animal in dams.iter_mut().chain(&mut sires) {
        let fits = |pool: &[(String, NaiveDate)]| -> Vec<String> {
            let age = |born: NaiveDate| (animal.born - born).num_days();
            pool.iter()
                .filter(|(_, born)| (800..2_500).contains(&age(*born)))
                .map(|(id, _)| id.clone())
                .collect()
        };
        let (mothers, fathers) = (fits(&mothers), fits(&fathers));
        if !mothers.is_empty() && !fathers.is_empty() {
            animal.parents = Some((
                fathers[dice.below(fathers.len())].clone(),
                mothers[dice.below(mothers.len())].clone(),
            ));
        }
    }
    (dams, sires)
}

fn pick<'a>(sires: &'a [Animal], born: NaiveDate, dice: &mut Dice) -> &'a Animal {
    let fits: Vec<&Animal> = sires
        .iter()
        .filter(|sire| (500..4_000).contains(&(born - sire.born).num_days()))
        .collect();
    if fits.is_empty() {
        &sires[sires.len() - 1]
    } else {
        fits[dice.below(fits.len())]
    }
}

fn dog(animal: &Animal, sex: &str, today: NaiveDate) -> String {
    let number: usize = animal.id.bytes().map(usize::from).sum();
    let name = FIRST_NAMES[number % FIRST_NAMES.len()];
    let mut yaml = format!(
        "name: Ferrylaw {name} {}\nsex: {sex}\nborn: {}\ncolour: {}\nadult_weight: 9.{} kg\n",
        animal.id,
        animal.born,
        COLOURS[number % 3],
        number % 10
    );
    if let Some((sire, dam)) = &animal.parents {
        let _ = write!(yaml, "sire: {sire}\ndam: {dam}\n");
    }
    if (today - animal.born).num_days() > 5_000 {
        let _ = writeln!(yaml, "died: {}", animal.born + Days::new(4_900));
    }
    let tested = animal.born + Days::new(500);
    let _ = write!(
        yaml,
        "screening:\n  - {{ test: patella, result: grade 0 both sides, on: {tested}, by: Ferrylaw \
         Vets, publish: true }}\n  - {{ test: von Willebrand type III, result: clear, on: \
         {tested}, publish: true }}\n"
    );
    yaml
}

struct Puppy {
    id: &'static str,
    grams: f64,
    /// Gain on the third day, as a share.
    pace: f64,
    dies: bool,
}

struct Litter<'a> {
    id: String,
    number: usize,
    born: NaiveDate,
    age: u64,
    dam: &'a Animal,
    sire: &'a Animal,
    puppies: Vec<Puppy>,
}

impl<'a> Litter<'a> {
    fn new(
        number: usize,
        born: NaiveDate,
        dam: &'a Animal,
        sire: &'a Animal,
        today: NaiveDate,
        dice: &mut Dice,
    ) -> Self {
        let puppies = (0..3 + dice.below(6))
            .map(|i| Puppy {
                id: PUPPIES[i],
                grams: (212.0 + 26.0 * dice.wobble()).round(),
                pace: 0.075 + 0.012 * dice.wobble(),
                dies: dice.below(25) == 0,
            })
            .collect();
        let age = (today - born).num_days().unsigned_abs();
        Self {
            id: format!("litter-{number:04}"),
            number,
            born,
            age,
            dam,
            sire,
            puppies,
        }
    }

    fn yaml(&self, taken: usize) -> String {
        let mated = self.born - Days::new(63);
        let mut yaml = format!(
            "name: Litter {}\ndam: {}\nsire: {}\nabout: \"{}\"\nmated: [{mated}, {}]\ncounted: {{ \
             by: x-ray, on: {}, puppies: {} }}\nbirth: {{ on: {}, how: {}, placentas: {} \
             }}\npuppies:\n",
            self.number,
            self.dam.id,
            self.sire.id,
            SENTENCES[self.number % SENTENCES.len()],
            mated + Days::new(2),
            self.born - Days::new(7),
            self.puppies.len(),
            self.born,
            ["natural", "planned section", "assisted"][self.number % 3],
            self.puppies.len(),
        );
        for (i, puppy) in self.puppies.iter().enumerate() {
            let _ = write!(
                yaml,
                "  - id: {}\n    ribbon: {}\n    sex: {}\n    colour: {}\n    born: \
                 \"{:02}:{:02}\"\n    order: {}\n    weight: {} g\n    first_breath: {} s\n    \
                 palate: intact\n    placenta: out\n    vigour: [{{ at: 5 min, heart: 2, \
                 breathing: 2, reflex: {}, movement: 2, gums: 2 }}]\n",
                puppy.id,
                RIBBONS[i],
                ["male", "female"][(self.number + i) % 2],
                COLOURS[(self.number + i) % 3],
                8 + i / 3,
                10 + i % 3 * 17,
                i + 1,
                puppy.grams,
                15 + i * 5,
                1 + i % 2,
            );
            if puppy.dies && self.age > 6 && i >= taken {
                let _ = write!(
                    yaml,
                    "    fate: died\n    \"on\": {}\n",
                    self.born + Days::new(5)
                );
            } else {
                let offer = if self.age > 60 {
                    "placed"
                } else {
                    ["available", "reserved"][i % 2]
                };
                let _ = write!(
                    yaml,
                    "    offer: {offer}\n    about: \"{}\"\n",
                    SENTENCES[(self.number + i) % SENTENCES.len()]
                );
            }
        }
        yaml
    }

    /// Twice a day for two weeks, daily to four, then every third day until eight.
    fn weights(&self, dice: &mut Dice) -> String {
        let mut yaml = String::from("# The kitchen scale, single grams.\n- unit: g\n");
        let days = (0..56_u64)
            .filter(|day| *day < 28 || day % 3 == 0)
            .filter(|day| *day < self.age);
        for (day, hours) in days
            .flat_map(|day| [(day, 7), (day, 19)])
            .filter(|(day, hours)| (*day < 14 || *hours == 7) && (*day, *hours) > (0, 7))
        {
            let _ = writeln!(
                yaml,
                "- at: {} {hours:02}:{:02}\n  by: A.",
                self.born + Days::new(day),
                20 + dice.below(30)
            );
            let age = day as f64 + if hours == 19 { 0.45 } else { -0.05 };
            for puppy in self.puppies.iter().filter(|puppy| !puppy.dies || day < 5) {
                // A loss on the first day; then a gain that slackens as the puppy grows.
                let gained = if age < 0.8 {
                    -0.03 * age
                } else {
                    (puppy.pace / 0.03) * (1.0 - (-0.03 * (age - 0.8)).exp()) - 0.024
                };
                let wobble = 0.004 * dice.wobble();
                let _ = writeln!(
                    yaml,
                    "  {}: {:.0}",
                    puppy.id,
                    puppy.grams * (gained + wobble).exp()
                );
            }
        }
        yaml
    }

    fn health(&self) -> String {
        let living: Vec<&str> = self
            .puppies
            .iter()
            .filter(|puppy| !puppy.dies)
            .map(|puppy| puppy.id)
            .collect();
        let (all, mut yaml) = (
            living.join(", "),
            String::from("# What was done, and by whom.\n"),
        );
        let mut say = |day: u64, what: &str| {
            if day < self.age && !all.is_empty() {
                let _ = writeln!(
                    yaml,
                    "- on: {}\n  for: [{all}]\n  {what}",
                    self.born + Days::new(day)
                );
            }
        };
        say(
            1,
            "check: { by: Ferrylaw Vets, heart: no murmur heard, mouth: palate intact, navel: \
             dry, findings: nothing found }",
        );
        for day in [14, 28, 42, 56] {
            say(
                day,
                "worming: { product: Wormaway, batch: WA-2231, given: as the label says }",
            );
        }
        say(
            44,
            "vaccination: { against: [distemper, parvovirus], product: Puppyvac, batch: PV-118, \
             by: Ferrylaw Vets }",
        );
        say(
            45,
            "check: { by: Ferrylaw Vets, heart: no murmur heard, eyes: clear, mouth: level bite, \
             findings: nothing found }",
        );
        if yaml.lines().count() == 1 {
            String::from("[]\n")
        } else {
            yaml
        }
    }

    fn notes(&self, dice: &mut Dice) -> Vec<(String, String)> {
        let days = [2_u64, 21, 40];
        days.into_iter()
            .filter(|day| *day < self.age)
            .map(|day| {
                let date = self.born + Days::new(day);
                let said: Vec<&str> = (0..3)
                    .map(|_| SENTENCES[dice.below(SENTENCES.len())])
                    .collect();
                let audience = ["everyone", "keeper", "everyone"][day as usize % 3];
                (
                    format!("{date}-day-{day}.md"),
                    format!(
                        "---\ndate: {date}\ntitle: Day {day}\naudience: {audience}\n---\n{}\n",
                        said.join(" ")
                    ),
                )
            })
            .collect()
    }
}

/// Soft shapes with texture and grain, stored as a phone would.
pub(crate) fn picture(width: u16, height: u16, seed: u32) -> io::Result<Vec<u8>> {
    let mut dice = Dice(u64::from(seed) + 1);
    let mut pixels = Vec::with_capacity(usize::from(width) * usize::from(height) * 3);
    for y in 0..height {
        let mut grain = 0.0;
        for x in 0..width {
            let (u, v) = (
                f64::from(x) / 210.0 + f64::from(seed % 97),
                f64::from(y) / 170.0 - f64::from(seed % 89),
            );
            let light = 120.0 + 60.0 * (u.sin() * v.cos()) + 25.0 * (u * 3.1 + v * 2.3).sin();
            // Neighbouring grains resemble each other, as they do behind a lens.
            grain = grain * 0.6 + dice.wobble() * 11.0;
            for tint in [12.0, 0.0, -18.0] {
                pixels.push((light + tint + grain).clamp(0.0, 255.0) as u8);
            }
        }
    }
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, 92);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder
        .encode(&pixels, width, height, ColorType::Rgb)
        .map_err(io::Error::other)?;
    Ok(jpeg)
}

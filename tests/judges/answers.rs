//! Answers questions about the library's figures, so that other people's libraries can judge them.
//!
//! In: one JSON object a line on standard input, `{ "ask": NAME, … }`, the names and fields being
//! those of [`Question`]. Out: one line for each question, in order: `{ "answer": … }`, or `{
//! "refused": CODE, "message": … }` where the library refuses what was asked; exit code 2 when a
//! line is no question at all. Only the public functions of the library are called, and nothing is
//! computed here. A new question is a variant, a line in [`answer`] and the function that asks the
//! library.

use chrono::{DateTime, Utc};
use litterfolio::audience::{Album, keeper, words};
use litterfolio::husbandry::LitterFigures;
use litterfolio::husbandry::kennel::numbers::{Share, SortedSample};
use litterfolio::husbandry::{
    age, birth, compute, curves, doubling, findings::Finding, gestation, growth, pedigree, trend,
};
use litterfolio::quantity::{
    ChipNumber, Day, Id, Moment, Progesterone, Span, Temperature, Unreadable, Weight,
};
use litterfolio::records::changing::{Change, changed};
use litterfolio::records::kennel::Units;
use litterfolio::records::problem::Step;
use litterfolio::records::{
    Dogs, Records, Shared, litter::Litter, litter::Vigour, load, problem::Located,
};
use litterfolio::sealing::channel::{Channel, Direction, Envelope};
use litterfolio::sealing::code::AccessCode;
use serde::{Deserialize, de::DeserializeOwned};
use serde_json::{Map, Value, json};
use std::io::{BufRead, Write, stderr, stdin, stdout};
use std::{fmt::Display, path::Path, path::PathBuf, process::ExitCode, str::FromStr};

/// All questions, by the name in `ask`. Dates, moments and amounts are texts, read as the records
/// are read.
#[derive(Deserialize)]
#[serde(tag = "ask", rename_all = "snake_case", deny_unknown_fields)]
enum Question {
    /// The slope through points.
    TheilSen { x: Vec<f64>, y: Vec<f64> },
    /// The trend of the latest of some weights, in days and grams.
    Trend { days: Vec<f64>, grams: Vec<f64> },
    /// What the published curves say of an age in days.
    Curves { days: f64 },
    /// The due windows of a litter, the best first: the YAML of its record, and the adult weight of
    /// its dam.
    Due { litter: String, dam: Option<String> },
    /// The total of a vigour score, given as the YAML of its record.
    Vigour { score: String },
    /// A weight in grams and ounces, and how it is shown.
    Weight { text: String },
    /// Progesterone in ng/ml.
    Progesterone { text: String },
    /// A body temperature in °C.
    Temperature { text: String },
    /// A chip number as it is kept.
    Chip { text: String },
    /// Calendar days and months between two days, in number and in words.
    Age { born: String, on: String },
    /// The age at a moment of a zone in words.
    AgeAt {
        zone: String,
        born: String,
        at: String,
    },
    /// The day from which a puppy may leave, with the kennel's own leaving age if it has one.
    Leaves {
        born: String,
        leaving_age: Option<String>,
    },
    /// The instants of two local times of a zone.
    Instants {
        zone: String,
        from: String,
        to: String,
    },
    /// A record with a value at a place, keys and places from 0, or with what stands there taken
    /// out; the new text.
    Changed {
        file: String,
        text: String,
        path: Vec<Place>,
        value: Option<String>,
    },
    /// Which release of the zone data the program holds.
    ZoneRelease,
    /// The day on which a birth weight doubled, from days and grams.
    Doubled { points: Vec<(f64, f64)>, birth: f64 },
    /// A share with its interval.
    Share { count: usize, of: usize },
    /// Quantiles of numbers at some shares.
    Quantiles { numbers: Vec<f64>, shares: Vec<f64> },
    /// Inbreeding of every dog, rows being name, sire and dam, and of the puppies of matings, each
    /// a sire and a dam.
    Pedigree {
        dogs: Vec<(String, Option<String>, Option<String>)>,
        matings: Vec<(String, String)>,
    },
    /// All figures and findings of a content folder, at a moment of universal time.
    Kennel { folder: PathBuf, now: String },
    /// The weigh-in sheets of a content folder as they are published.
    WeighingSheets { folder: PathBuf, now: String },
    /// Figures and findings of weights in the litters of a content folder.
    WeighedLitters { folder: PathBuf, now: String },
    /// What the desk answers a phone, sealed. Bytes are hexadecimal here and in the next.
    SealedForPhone {
        code: String,
        phone: String,
        run: String,
        sitting: String,
        number: u64,
        message: String,
    },
    /// The request of a phone, opened.
    OpenedOfPhone {
        code: String,
        run: String,
        request: String,
    },
}

/// A key, or the place of an entry.
#[derive(Deserialize)]
#[serde(untagged)]
enum Place {
    Entry(usize),
    Key(String),
}

/// Why the library gives no answer.
struct Refusal {
    code: String,
    message: String,
}

impl Refusal {
    fn new(code: &str, message: impl Display) -> Self {
        Self {
            code: code.to_owned(),
            message: message.to_string(),
        }
    }
}

type Answer = Result<Value, Refusal>;

fn main() -> ExitCode {
    match serve() {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            let _ = writeln!(stderr(), "answers: {message}");
            ExitCode::from(2)
        }
    }
}

fn serve() -> Result<(), String> {
    let mut out = std::io::BufWriter::new(stdout().lock());
    for (number, line) in stdin().lock().lines().enumerate() {
        let line = line.map_err(|e| format!("reading line {}: {e}", number + 1))?;
        let question = serde_json::from_str(&line)
            .map_err(|e| format!("line {} is no question: {e}", number + 1))?;
        let answer = match answer(question) {
            Ok(value) => json!({ "answer": value }),
            Err(refusal) => json!({ "refused": refusal.code, "message": refusal.message }),
        };
        writeln!(out, "{answer}").map_err(|e| format!("writing: {e}"))?;
    }
    out.flush().map_err(|e| format!("writing: {e}"))
}

fn answer(question: Question) -> Answer {
    match question {
        Question::TheilSen { x, y } => Ok(trend::theil_sen(&x, &y).map_or(Value::Null, |s| {
            json!({
                "slope": s.slope,
                "low": s.low,
                "high": s.high
            })
        })),
        Question::Trend { days, grams } => latest_trend(&days, &grams),
        Question::Curves { days } => Ok(published(days)),
        Question::Due { litter, dam } => {
            let dam = dam.map(|text| read::<Weight>(&text)).transpose()?;
            Ok(gestation::windows(&yaml::<Litter>(&litter)?, dam)
                .into_iter()
                .map(due)
                .collect())
        }
        Question::Vigour { score } => Ok(vigour(birth::vigour(&yaml::<Vigour>(&score)?))),
        Question::Weight { text } => read::<Weight>(&text).map(|w| {
            json!({
                "grams": w.grams(),
                "ounces": w.ounces(),
                "shown": [w.show(false), w.show(true)]
            })
        }),
        Question::Progesterone { text } => {
            read::<Progesterone>(&text).map(|p| json!(p.ng_per_ml()))
        }
        Question::Temperature { text } => read::<Temperature>(&text).map(|t| json!(t.celsius())),
        Question::Chip { text } => read::<ChipNumber>(&text).map(|c| json!(c.as_str())),
        Question::Age { born, on } => {
            let (born, on) = (read::<Day>(&born)?, read::<Day>(&on)?);
            Ok(json!({
                "days": on.since(born),
                "months": age::months(born, on),
                "words": age::in_words(born, on)
            }))
        }
        Question::AgeAt { zone, born, at } => Ok(json!(age::at_in_words(
            read(&born)?,
            read(&at)?,
            zone_named(&zone)?
        ))),
        Question::Leaves { born, leaving_age } => {
            let kennel = leaving_age.map(|text| read::<Span>(&text)).transpose()?;
            Ok(json!(
                age::leaves_from(read(&born)?, age::leaving_age(kennel, None)).to_string()
            ))
        }
        Question::Instants { zone, from, to } => instants(&zone, &from, &to),
        Question::Changed {
            file,
            text,
            path,
            value,
        } => changed_text(&file, &text, path, value),
        Question::ZoneRelease => Ok(json!(chrono_tz::IANA_TZDB_VERSION)),
        Question::Doubled { points, birth } => Ok(json!(doubling::doubled_on(&points, birth))),
        Question::Share { count, of } => {
            let share = Share::new(count, of, 0);
            Ok(json!({ "low": share.low, "high": share.high }))
        }
        Question::Quantiles { numbers, shares } => {
            let sample = SortedSample::new(numbers);
            Ok(json!(
                shares
                    .iter()
                    .map(|share| sample.quantile(*share))
                    .collect::<Vec<_>>()
            ))
        }
        Question::Pedigree { dogs, matings } => inbreeding_of(&dogs, &matings),
        Question::Kennel { folder, now } => kennel(&folder, &now),
        Question::WeighingSheets { folder, now } => weighing_sheets(&folder, &now),
        Question::WeighedLitters { folder, now } => weighed_litters(&folder, &now),
        Question::SealedForPhone {
            code,
            phone,
            run,
            sitting,
            number,
            message,
        } => {
            let channel = Channel::new(
                &access_code(&code)?,
                &name_of(&phone)?,
                &name_of(&run)?,
                &name_of(&sitting)?,
            );
            channel
                .seal(Direction::ToPhone, number, &bytes_of(&message)?)
                .map(|sealed| json!(hex_of(&sealed)))
                .map_err(|why| Refusal::new("not-sealed", why))
        }
        Question::OpenedOfPhone { code, run, request } => opened_of_phone(&code, &run, &request),
    }
}

fn read<T: FromStr<Err = Unreadable>>(text: &str) -> Result<T, Refusal> {
    text.parse()
        .map_err(|e: Unreadable| Refusal::new(e.code, e.message))
}

fn yaml<T: DeserializeOwned>(text: &str) -> Result<T, Refusal> {
    serde_yaml::from_str(text).map_err(|e| Refusal::new("yaml", e))
}

fn latest_trend(days: &[f64], grams: &[f64]) -> Answer {
    let point = |(days, grams): (&f64, &f64)| {
        let weight =
            Weight::from_grams(*grams).ok_or_else(|| Refusal::new("out-of-range", grams))?;
        // A trend is computed from the age alone; the time on the clock is never looked at.
        let at = Moment::from(DateTime::<Utc>::UNIX_EPOCH.naive_utc());
        Ok(growth::Point {
            at,
            days: *days,
            weight,
            is_birth: false,
            change: None,
            since_birth: None,
        })
    };
    let points = days
        .iter()
        .zip(grams)
        .map(point)
        .collect::<Result<Vec<_>, Refusal>>()?;
    Ok(trend_of(trend::latest(&points)))
}

fn trend_of(trend: Option<trend::Trend>) -> Value {
    trend.map_or(Value::Null, |t| {
        json!({
            "per_day": t.per_day,
            "low": t.low,
            "high": t.high,
            "weights": t.weights,
            "days": t.days
        })
    })
}

fn published(days: f64) -> Value {
    let gain = curves::gain_band(days).map(|b| [b.least, b.usual, b.most]);
    json!({
        "maximum": curves::alves_maximum(days),
        "gain": gain,
        "multiples": curves::band_of_multiples(days)
    })
}

fn due(due: gestation::Due) -> Value {
    let day = |day: Day| day.to_string();
    json!({
        "from": day(due.from),
        "likely": day(due.likely),
        "to": day(due.to),
        "anchor": format!("{:?}", due.anchor),
    })
}

fn vigour(total: birth::VigourTotal) -> Value {
    json!({ "minutes": total.minutes, "total": total.total, "class": total.class() })
}

fn zone_named(zone: &str) -> Result<chrono_tz::Tz, Refusal> {
    zone.parse().map_err(|e| Refusal::new("zone-unknown", e))
}

fn instants(zone: &str, from: &str, to: &str) -> Answer {
    let zone = zone_named(zone)?;
    let at =
        |text: &str| read::<Moment>(text).map(|moment| growth::instant(zone, moment).timestamp());
    Ok(json!([at(from)?, at(to)?]))
}

fn inbreeding_of(
    rows: &[(String, Option<String>, Option<String>)],
    matings: &[(String, String)],
) -> Answer {
    let mut dogs = Dogs::default();
    for (name, sire, dam) in rows {
        let parent = |key: &str, parent: &Option<String>| {
            parent
                .as_ref()
                .map_or(String::new(), |p| format!("{key}: \"{p}\"\n"))
        };
        let record = format!(
            "name: \"{name}\"\nsex: male\n{}{}",
            parent("sire", sire),
            parent("dam", dam)
        );
        dogs.insert(read(name)?, yaml(&record)?);
    }
    let ancestry = pedigree::Ancestry::new(&dogs);
    let each: Map<String, Value> = dogs
        .keys()
        .map(|id| (id.to_string(), inbreeding(ancestry.inbreeding(id))))
        .collect();
    let of_mating = |(sire, dam): &(String, String)| {
        Ok(inbreeding(ancestry.of_mating(&read(sire)?, &read(dam)?)))
    };
    let litters = matings
        .iter()
        .map(of_mating)
        .collect::<Result<Vec<_>, Refusal>>()?;
    let pair = |(sire, dam): &(String, String)| {
        let (sire, dam) = (read(sire)?, read(dam)?);
        let common = ancestry.common_ancestors(&sire, &dam);
        Ok(json!({
            "relationship": ancestry.relationship(&sire, &dam),
            "paths": common.iter().map(|c| c.contribution).sum::<f64>()
        }))
    };
    let pairs = matings
        .iter()
        .map(pair)
        .collect::<Result<Vec<_>, Refusal>>()?;
    Ok(json!({ "dogs": each, "matings": litters, "pairs": pairs }))
}

fn inbreeding(figure: pedigree::Inbreeding) -> Value {
    json!({
        "coefficient": figure.coefficient,
        "deepest": figure.deepest,
        "complete_generations": figure.complete_generations
    })
}

fn records(folder: &Path, now: &str) -> Result<Shared<Records>, Refusal> {
    let now: DateTime<Utc> = now.parse().map_err(|e| Refusal::new("not-a-moment", e))?;
    let loaded = load(folder, now).map_err(|e| Refusal::new("unreadable", e))?;
    if loaded.has_errors() {
        let words = |p: &Located| {
            format!(
                "{} line {}: {}",
                p.problem.place.file, p.line, p.problem.message
            )
        };
        return Err(Refusal::new(
            "problems",
            loaded
                .problems
                .iter()
                .take(3)
                .map(words)
                .collect::<Vec<_>>()
                .join("; "),
        ));
    }
    loaded
        .records
        .ok_or_else(|| Refusal::new("problems", "there is no kennel"))
}

fn kennel(folder: &Path, now: &str) -> Answer {
    let records = records(folder, now)?;
    let figures = compute(&records);
    let dogs: Map<String, Value> = figures
        .dogs()
        .iter()
        .map(|(id, f)| (id.to_string(), inbreeding(*f)))
        .collect();
    let litters: Map<String, Value> = figures
        .litters
        .iter()
        .map(|(id, f)| (id.to_string(), litter(f, ounces(&records))))
        .collect();
    Ok(json!({ "today": figures.today.to_string(), "dogs": dogs, "litters": litters }))
}

fn opened_of_phone(code: &str, run: &str, request: &str) -> Answer {
    let bytes = bytes_of(request)?;
    let envelope =
        Envelope::read(&bytes).ok_or_else(|| Refusal::new("no-envelope", "it is too short"))?;
    let (code, run) = (access_code(code)?, name_of(run)?);
    let channel = Channel::new(&code, &envelope.phone, &run, &envelope.sitting);
    let opened = channel.open(Direction::ToDesk, envelope.number, envelope.sealed);
    let message = opened.map_err(|why| Refusal::new("not-opened", why))?;
    Ok(json!({
        "phone": hex_of(&envelope.phone),
        "sitting": hex_of(&envelope.sitting),
        "number": envelope.number,
        "message": hex_of(&message)
    }))
}

fn access_code(text: &str) -> Result<AccessCode, Refusal> {
    text.parse().map_err(|why| Refusal::new("no-code", why))
}

fn hex_of(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn bytes_of(hex: &str) -> Result<Vec<u8>, Refusal> {
    let pairs = hex.as_bytes().chunks(2);
    pairs
        .map(|pair| {
            let pair = std::str::from_utf8(pair).unwrap_or_default();
            u8::from_str_radix(pair, 16).map_err(|why| Refusal::new("no-hex", why))
        })
        .collect()
}

fn name_of(hex: &str) -> Result<[u8; 16], Refusal> {
    let bytes = bytes_of(hex)?;
    <[u8; 16]>::try_from(bytes).map_err(|_| Refusal::new("no-name", "16 bytes are needed"))
}

fn weighing_sheets(folder: &Path, now: &str) -> Answer {
    let records = records(folder, now)?;
    let (figures, album) = (compute(&records), Album::default());
    let book = keeper::book(&records, &figures, &album, &[]);
    Ok(json!(book.weighing))
}

fn weighed_litters(folder: &Path, now: &str) -> Answer {
    let records = records(folder, now)?;
    let figures = compute(&records);
    let litters: Map<String, Value> = figures
        .litters
        .iter()
        .map(|(id, f)| (id.to_string(), weighed_litter(f, ounces(&records))))
        .collect();
    Ok(json!({ "today": figures.today.to_string(), "litters": litters }))
}

/// How the keeper reads weights.
fn ounces(records: &Records) -> bool {
    records.kennel.units == Units::Ounces
}

fn weighed_litter(figures: &LitterFigures, ounces: bool) -> Value {
    let puppies: Map<String, Value> = figures
        .puppies
        .keys()
        .map(|id| (id.to_string(), puppy(figures, id)))
        .collect();
    let gone: Vec<&str> = figures
        .puppies
        .iter()
        .filter(|(_, f)| f.is_gone)
        .map(|(id, _)| id.as_str())
        .collect();
    let whole = |f: &Finding| {
        json!({
            "rule": f.rule().name(),
            "puppy": f.puppy.as_ref().map(Id::as_str),
            "urgency": f.urgency.words(),
            "what": words::findings::what(f, ounces),
            "limit": words::findings::limit(f),
            "source": f.source(),
            "days": f.weight.map(|weight| weight.days)
        })
    };
    json!({
        "puppies": puppies,
        "gone": gone,
        "findings": figures.findings.iter().map(whole).collect::<Vec<_>>()
    })
}

fn litter(figures: &LitterFigures, ounces: bool) -> Value {
    let puppies: Map<String, Value> = figures
        .puppies
        .keys()
        .map(|id| (id.to_string(), puppy(figures, id)))
        .collect();
    json!({
        "due": figures.windows.iter().copied().map(due).collect::<Vec<_>>(),
        "leaves_from": figures.leaves_from.map(|day| day.to_string()),
        "inbreeding": inbreeding(figures.inbreeding),
        "puppies": puppies,
        "findings": figures.findings.iter().map(|f| finding(f, ounces)).collect::<Vec<_>>(),
    })
}

fn puppy(litter: &LitterFigures, id: &Id) -> Value {
    let figures = &litter.puppies[id];
    let point = |p: &growth::Point| {
        let change = p
            .change
            .map(|c| json!({ "grams": c.grams, "percent": c.percent, "hours": c.hours }));
        json!({
            "at": p.at.to_string(),
            "days": p.days,
            "grams": p.weight.grams(),
            "is_birth": p.is_birth,
            "change": change,
            "since_birth": p.since_birth
        })
    };
    json!({
        "growth": figures.growth.points.iter().map(point).collect::<Vec<_>>(),
        "trend": trend_of(figures.trend),
        "weaned": figures.weaned().map(|w| json!({
            "per_kg": w.per_kg,
            "low": w.low,
            "high": w.high,
            "weights": w.weights,
            "days": w.days
        })),
        "places": litter.places(id).iter().map(|p| json!({
            "days": p.days,
            "rank": p.rank,
            "of": p.of,
            "z": p.z
        })).collect::<Vec<_>>(),
        "vigour": figures.vigour.iter().map(|total| vigour(*total)).collect::<Vec<_>>(),
    })
}

fn finding(finding: &Finding, ounces: bool) -> Value {
    json!({
        "rule": finding.rule().name(),
        "puppy": finding.puppy.as_ref().map(Id::as_str),
        "urgency": finding.urgency.words(),
        "what": words::findings::what(finding, ounces)
    })
}

fn changed_text(file: &str, text: &str, path: Vec<Place>, value: Option<String>) -> Answer {
    let steps = path.into_iter().map(|place| match place {
        Place::Entry(place) => Step::from(place),
        Place::Key(key) => Step::from(key.as_str()),
    });
    let path = steps.collect();
    let change = match value {
        Some(value) => Change::Set {
            path,
            value: value.into(),
        },
        None => Change::TakeOut { path },
    };
    changed(file, text, &[change])
        .map(|text| json!(text))
        .map_err(|problems| {
            let first = problems.first();
            Refusal::new(
                first.map_or("", |problem| problem.code),
                first.map_or("", |problem| &problem.message),
            )
        })
}

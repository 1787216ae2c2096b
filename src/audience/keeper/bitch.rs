//! A bitch between litters: her seasons, what became of her puppies, and a mating sheet with each
//! dog that she might be mated to.
//!
//! In: her file, her cycle, her matings that could be planned. Out: [`BitchPage`]. What is not
//! known says what would settle it.

use super::paths;
use super::{
    AncestryShown, BookContext, Fact, Facts, RuleRow, RulesShown, VetShown, ancestry, rules, thin,
    vet, words,
};
use crate::Dated;
use crate::cache::{Digest, Digester};
use crate::husbandry::Pair;
use crate::husbandry::age::in_words;
use crate::husbandry::findings::PYOMETRA;
use crate::husbandry::kennel::numbers::Share;
use crate::husbandry::kennel::parents::{Answer, Defect, ParentFigures, Return};
use crate::husbandry::prospect::{MissingTest, PairRules, Prospect, TestFault};
use crate::husbandry::rules::RuleBookFigures;
use crate::husbandry::seasons::{
    BETWEEN_SAMPLES, Basis, Cycle, Heat, Next, NotKnown, NoteKind, OwnInterval, Sampling, Then,
    Window, mating_days,
};
use crate::quantity::{Day, Id};
use crate::records::dog::{Dog, Sex};
use serde::Serialize;
use std::collections::BTreeMap;

/// Where the days for samples come from.
const SAMPLES: &str =
    "common practice, no source; two days apart, because only so is the rise known to the day";

/// The page of a bitch, still to be made.
#[derive(Debug)]
pub struct BitchLeaf<'a> {
    /// Path below the root of the book.
    pub path: String,
    context: BookContext<'a>,
    id: &'a Id,
    offspring: Vec<Fact>,
}

impl BitchLeaf<'_> {
    /// Digest of what is shown of her puppies, which comes from all litters together.
    #[must_use]
    pub fn offspring_digest(&self) -> Digest {
        let mut all = Digester::default();
        for Fact { label, value } in &self.offspring {
            all.part(label.as_bytes()).part(value.as_bytes());
        }
        all.finish()
    }

    /// Makes the page.
    #[must_use]
    pub fn page(&self) -> BitchPage {
        page(&self.context, self.id, self.offspring.clone())
    }
}

/// A bitch between litters.
#[derive(Debug, Clone, Serialize)]
pub struct BitchPage {
    /// Name in the records.
    pub id: String,
    /// Full name.
    pub name: String,
    /// Her seasons in figures.
    pub cycle: Vec<Fact>,
    /// Her heats, the newest first: when, and what is known of it.
    pub heats: Vec<(String, String)>,
    /// Whom to call at night.
    pub vet: Option<VetShown>,
    /// Her puppies in figures.
    pub offspring: Vec<Fact>,
    /// When she might be mated, and how old she would be; nothing for a bitch that is not bred
    /// from.
    pub planned: Option<String>,
    /// What region and registries ask of her.
    pub rules: Option<RulesShown>,
    /// A sheet for each dog, the least related first.
    pub sheets: Vec<MatingSheet>,
}

/// A mating that is only thought of.
#[derive(Debug, Clone, Serialize)]
pub struct MatingSheet {
    /// The sire, by the name of his file.
    pub sire: String,
    /// His name.
    pub name: String,
    /// His age on the first of the days.
    pub age: Option<String>,
    /// Inbreeding of the puppies with the generations it rests on.
    pub inbreeding: String,
    /// A close relation.
    pub relation: Option<&'static str>,
    /// What lies behind the mating, and the tests of both.
    pub behind: AncestryShown,
    /// Tests that are missing or run out.
    pub gaps: Vec<String>,
    /// Rules that speak of the sire or of both: name of the book, rows.
    pub rules: Vec<(&'static str, Vec<RuleRow>)>,
}

/// The pages of the bitches that live here.
pub(super) fn leaves<'a>(context: &BookContext<'a>) -> Vec<BitchLeaf<'a>> {
    let children = children(context);
    let leaf = |id: &'a Id| {
        let offspring = offspring(context, id, &children);
        BitchLeaf {
            path: paths::bitch(id),
            context: context.another(),
            id,
            offspring,
        }
    };
    context.figures.bitches.keys().map(leaf).collect()
}

fn page(context: &BookContext<'_>, id: &Id, offspring: Vec<Fact>) -> BitchPage {
    let (records, figures) = (context.records, context.figures);
    let today = figures.today;
    let cycle = &figures.bitches[id];
    let dog = &records.dogs[id];
    let (days, by_season) = mating_days(Some(cycle), today);
    let mut pairs: Vec<&Pair> = figures
        .pairs()
        .iter()
        .filter(|pair| pair.dam == *id)
        .collect();
    pairs.sort_by(|a, b| {
        a.inbreeding
            .least_first(&b.inbreeding)
            .then_with(|| a.sire.cmp(&b.sire))
    });
    let prospects: Vec<(&Id, Prospect)> = pairs
        .iter()
        .map(|pair| (&pair.sire, figures.litters.prospect(&pair.sire, id, days)))
        .collect();
    let of_dam: Vec<RuleBookFigures> = prospects
        .first()
        .map(|(_, first)| first.rules.iter().filter_map(of_dam).collect())
        .unwrap_or_default();
    BitchPage {
        id: id.to_string(),
        name: dog.name.to_string(),
        cycle: cycle_facts(dog, cycle, today),
        heats: cycle.heats.iter().rev().map(heat).collect(),
        vet: vet(&records.kennel),
        offspring,
        planned: (!prospects.is_empty()).then(|| planned(dog, days, by_season)),
        rules: rules::shown(&of_dam, context.figures.today),
        sheets: prospects
            .into_iter()
            .map(|(sire, prospect)| sheet(context, sire, days, prospect))
            .collect(),
    }
}

fn of_dam(rules: &PairRules) -> Option<RuleBookFigures> {
    let PairRules {
        book,
        of_dam,
        of_both: _,
    } = rules;
    (!of_dam.is_empty()).then(|| RuleBookFigures {
        book,
        verdicts: of_dam.clone(),
        advert: Vec::new(),
        missing: Vec::new(),
    })
}

fn words_of(day: Day) -> String {
    Dated::from(day).words
}

fn between(from: Day, to: Day) -> String {
    if from == to {
        format!("on {}", words_of(from))
    } else {
        format!("between {} and {}", words_of(from), words_of(to))
    }
}

fn not_known(
    NotKnown {
        because,
        settled_by,
    }: NotKnown,
) -> String {
    thin::not_known(because, settled_by)
}

fn cycle_facts(dog: &Dog, cycle: &Cycle, today: Day) -> Vec<Fact> {
    let Cycle {
        heats: _,
        missed,
        own,
        next,
        sampling,
        pyometra,
    } = cycle;
    let mut facts = Facts::default();
    if let Some(next) = next {
        facts.say(
            "Next season",
            next.map_or_else(not_known, |next| expected(next, today)),
        );
    } else {
        facts.say("Next season", "none: she is spayed");
    }
    facts.say("Own interval", own.map_or_else(not_known, interval));
    if *missed > 0 {
        facts.say(
            "Left out",
            format!(
                "{missed} of the intervals, being too long for one; a season in between was \
                 probably not written down"
            ),
        );
    }
    match sampling {
        Some(Sampling {
            from,
            to,
            ovulated_on,
        }) => {
            let own = days_of(ovulated_on);
            let (from, to) = (words_of(*from), words_of(*to));
            facts.say(
                "Samples",
                format!(
                    "progesterone from {from} on, every {BETWEEN_SAMPLES} days until the rise is \
                     seen, {to} at the latest{own} ({SAMPLES})"
                ),
            );
        }
        None if dog.can_breed() => {
            facts.say(
                "Samples",
                format!(
                    "progesterone from about day 5 after the first bleeding on, every \
                     {BETWEEN_SAMPLES} days until the rise is seen ({SAMPLES})"
                ),
            );
        }
        None => {}
    }
    if let Some(Window { from, to }) = pyometra {
        facts.say(
            "Pyometra",
            format!("for her {}: {PYOMETRA}", between(*from, *to)),
        );
    }
    facts.done()
}

fn days_of(ovulated_on: &[i64]) -> String {
    if ovulated_on.is_empty() {
        return String::new();
    }
    let days: Vec<String> = ovulated_on.iter().map(ToString::to_string).collect();
    format!(
        "; in earlier seasons she ovulated on day {}",
        days.join(", ")
    )
}

fn expected(
    Next {
        from,
        likely,
        to,
        basis,
    }: Next,
    today: Day,
) -> String {
    let basis = match basis {
        Basis::Own => "from her own interval",
        Basis::OwnAfterLitter => "from her own intervals after litters",
        Basis::OwnAndLonger => {
            "from her own interval, and 52 to 84 days more after a litter (Linde-Forsberg and \
             Wallen 1992)"
        }
        Basis::Published => {
            "from the published 5 to 10 months (handbooks), as her own interval is not known yet"
        }
        Basis::PublishedAndLonger => {
            "from the published 5 to 10 months (handbooks), and 52 to 84 days more after a litter \
             (Linde-Forsberg and Wallen 1992), as her own interval is not known yet"
        }
    };
    if to < today {
        return format!(
            "was expected {}, {basis}; none is on record since",
            between(from, to)
        );
    }
    let likely = likely
        .map(|day| format!(", most likely around {}", words_of(day)))
        .unwrap_or_default();
    format!("expected {}{likely}, {basis}", between(from, to))
}

fn interval(
    OwnInterval {
        of,
        median,
        least,
        most,
        doubt,
    }: OwnInterval,
) -> String {
    let doubt = if doubt > 0 {
        format!("; starts that are counted back may be {doubt} days off")
    } else {
        String::new()
    };
    format!(
        "{median} days from start to start, {least} to {most} over {of} intervals without a \
         litter{doubt}"
    )
}

fn heat(heat: &Heat) -> (String, String) {
    let Heat {
        start,
        end,
        recorded,
        ovulated,
        then,
    } = heat;
    let end = end
        .map(|day| format!(" to {}", words_of(day)))
        .unwrap_or_default();
    let mut said = Vec::new();
    if !recorded {
        said.push("counted back, not written down".to_owned());
    }
    if let Some(day) = ovulated {
        said.push(if *recorded {
            format!("ovulated on day {}", day.since(*start))
        } else {
            format!("ovulated on {}", words_of(*day))
        });
    }
    match then {
        Then::Litter => said.push("litter".to_owned()),
        Then::Mated => said.push("mated, no count yet".to_owned()),
        Then::Nothing => {}
    }
    (format!("{}{end}", words_of(*start)), said.join(", "))
}

fn planned(dog: &Dog, days: Window, by_season: bool) -> String {
    let Window { from, to } = days;
    let age = dog
        .born
        .map(|born| format!(", she being {} old then", in_words(born, from)))
        .unwrap_or_default();
    let why = if by_season {
        "by her seasons"
    } else {
        "today, because her next season is not known"
    };
    format!(
        "Reckoned as if she were mated {} ({why}){age}.",
        between(from, to)
    )
}

fn sheet(context: &BookContext<'_>, sire: &Id, days: Window, prospect: Prospect) -> MatingSheet {
    let Prospect {
        inbreeding,
        behind,
        relation,
        gaps,
        rules,
    } = prospect;
    let dog = context.records.dogs.get(sire);
    let both = rules.iter().filter(|rules| !rules.of_both.is_empty());
    MatingSheet {
        sire: sire.to_string(),
        name: dog.map_or_else(|| sire.to_string(), |dog| dog.name.to_string()),
        age: dog
            .and_then(|dog| dog.born)
            .map(|born| in_words(born, days.from)),
        inbreeding: words::inbreeding(&inbreeding),
        relation: relation.map(|relation| relation.words()),
        behind: ancestry::shown(context, &behind, 6),
        gaps: gaps.iter().map(gap).collect(),
        rules: both
            .map(
                |PairRules {
                     book,
                     of_dam: _,
                     of_both,
                 }| (book.name, rules::rows(of_both, context.figures.today)),
            )
            .collect(),
    }
}

fn gap(gap: &MissingTest) -> String {
    let MissingTest { of, test, why } = gap;
    let whose = if *of == Sex::Male {
        "the sire"
    } else {
        "the dam"
    };
    match why {
        TestFault::NoResult => format!("{test}: no result of {whose}"),
        TestFault::RanOut(day) => format!("{test}: that of {whose} ran out on {}", words_of(*day)),
        TestFault::RunsOut(day) => format!(
            "{test}: that of {whose} runs out on {}, before the mating may be over",
            words_of(*day)
        ),
    }
}

/// Dogs with a file of their own, by each of their parents.
pub(super) type Children<'a> = BTreeMap<&'a Id, Vec<&'a Dog>>;

pub(super) fn children<'a>(context: &BookContext<'a>) -> Children<'a> {
    let mut children = Children::new();
    for dog in context.records.dogs.values() {
        for parent in [&dog.sire, &dog.dam].into_iter().flatten() {
            children.entry(parent).or_default().push(dog);
        }
    }
    children
}

/// The puppies of a dam or sire in figures, and the tests of those that have a file of their own.
pub(super) fn offspring(context: &BookContext<'_>, id: &Id, children: &Children<'_>) -> Vec<Fact> {
    let mut facts = Facts::default();
    if let Some(ParentFigures {
        litters,
        sections,
        born,
        survival,
        defects,
        returns,
        answers,
        long_gone,
    }) = context.figures.kennel().parents.get(id)
    {
        facts
            .say(
                "Litters",
                format!("{litters}, {sections} of them by section"),
            )
            .say("Puppies", format!("{born} born"));
        facts.say("Stillborn", share(&survival.stillborn));
        for (day, died) in survival
            .by_day
            .iter()
            .filter(|(day, _)| [21, 56].contains(day))
        {
            let label = if *day == 21 {
                "Died by day 21"
            } else {
                "Died by day 56"
            };
            facts.say(label, share(died));
        }
        for Defect {
            litter,
            puppy,
            what,
        } in defects
        {
            facts.say("Seen at birth", format!("{what} ({puppy} of {litter})"));
        }
        if defects.is_empty() {
            facts.say("Seen at birth", "nothing is noted");
        }
        after_leaving(context, &mut facts, returns, answers, *long_gone);
    }
    for dog in children.get(id).into_iter().flatten() {
        let tests: Vec<String> = dog
            .screening
            .iter()
            .map(|test| format!("{} {}", test.test, test.result))
            .collect();
        let tests = if tests.is_empty() {
            "no test on record".to_owned()
        } else {
            tests.join(", ")
        };
        facts.say("Grown offspring", format!("{}: {tests}", dog.name));
    }
    facts.done()
}

/// Who came back, and what families told.
fn after_leaving(
    context: &BookContext<'_>,
    facts: &mut Facts,
    returns: &[Return],
    answers: &[Answer],
    long_gone: usize,
) {
    for Return {
        litter,
        puppy,
        on,
        reason,
    } in returns
    {
        let reason = reason.as_deref().unwrap_or("the reason is not noted");
        facts.say(
            "Came back",
            format!("{puppy} of {litter}, {}: {reason}", words_of(*on)),
        );
    }
    for Answer {
        litter,
        puppy,
        on,
        born,
        weight,
        bite,
        hips,
        how,
    } in answers
    {
        let told = words::told(
            weight.map(|weight| context.weight(weight)),
            bite.as_deref(),
            hips.as_deref(),
            how.as_deref(),
        );
        facts.say(
            "Told when grown",
            format!("{puppy} of {litter}, at {}: {told}", in_words(*born, *on)),
        );
    }
    if answers.is_empty() && long_gone > 0 {
        facts.say(
            "Told when grown",
            format!(
                "not known yet, because nothing is on record of the {long_gone} that left half a \
                 year ago or earlier; settled by an entry `follow_up` in health.yaml"
            ),
        );
    }
}

fn share(share: &Share) -> String {
    let Share {
        count,
        of,
        unknown,
        low,
        high,
    } = *share;
    if of == 0 {
        return "not known yet, because no puppy is old enough, or what became of them is not \
                written; settled by time, or by what the litter’s record says of them"
            .to_owned();
    }
    let open = if unknown > 0 {
        format!("; not known of {unknown}")
    } else {
        String::new()
    };
    format!(
        "{count} of {of} (95 % interval {:.0} to {:.0} %{open})",
        low * 100.0,
        high * 100.0
    )
}

/// What is to be kept in mind of a bitch, in words, and where it comes from.
pub(super) fn note(kind: NoteKind) -> (String, &'static str) {
    match kind {
        NoteKind::Sampling => (
            format!(
                "in season; if she is to be mated, progesterone every {BETWEEN_SAMPLES} days \
                 until the rise is seen"
            ),
            "common practice, no source",
        ),
        NoteKind::Pyometra => (
            PYOMETRA.to_owned(),
            "practices’ pages: 2 to 10 weeks after a heat",
        ),
        NoteKind::SeasonExpected => ("her next season may begin".to_owned(), "her own interval"),
    }
}

//! What was seen on a newborn, item by item of the checklist.
//!
//! In: an item's key and the words noted of it. Out: whether that is as it should be. The same
//! word means different things: an anus is to be open, eyes closed. What is not known to be good
//! is not taken for good. Which signs ask for a vet: usual cautions of the trade (a navel that is
//! red or wet, no or poor suck, no faeces, open sores); what words keepers use is our own choice.

use super::text::SignText;
use super::{PUPPY, Sign, SignScope};

const SOURCE: &str = "usual cautions of the trade, no source";

/// What was seen on a newborn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NewbornLook {
    /// As it should be.
    Good,
    /// Worth a look by a vet.
    Unusual,
    /// A vet should hear of it now.
    CallTheVet,
}

/// Words that say that all is as it should be, of any item.
const GOOD: &[&str] = word_list!(
    "normal=, good=, fine=, ok=, okay=, well=, perfect, intact, healthy, sound=, gut=, gesund=, \
     unauffällig, i.o="
);
/// Words that add nothing.
const NEUTRAL: &[&str] = &[
    "is=", "are=", "all=", "both=", "the=", "a=", "an=", "and=", "very=", "fully=", "quite=",
    "still=", "yet=", "looks=", "look=", "seems=", "well=", "nice", "properly", "as=", "it=",
    "should=", "be=", "in=", "on=", "of=", "with=", "four=", "4=", "present", "seen=", "checked",
    "to=", "already=", "at=", "birth", "und=", "ist=", "sind=", "alle=", "beide=", "sehr=",
    "noch=",
];
/// Complaints that are good news when they are negated.
const COMPLAINTS: &[&str] = word_list!(
    "bleed, bled=, blood, hernia, red=, redness, wet=, swell, swoll, pus=, discharge, smell, \
     defect, kink, deform, abnormal, wound, sore, lump, gap=, malform, injur, infect, problem, \
     blutet, blutung, bruch, rot=, nass"
);

struct CheckedItem {
    key: &'static str,
    /// Words for the item itself.
    own: &'static [&'static str],
    good: &'static [&'static str],
    call: &'static [Sign],
}

const fn call(groups: &'static [&'static [&'static str]]) -> Sign {
    Sign {
        fits: "a newborn that needs a vet",
        groups,
        when: SignScope::Always,
        source: SOURCE,
    }
}

const ITEMS: &[CheckedItem] = &[
    CheckedItem {
        key: "limbs",
        own: &[
            "limb", "leg", "toe", "paw", "feet", "foot", "bein", "zehe", "pfote",
        ],
        good: &["straight", "strong", "complete", "gerade"],
        call: &[call(&[
            &["open fracture", "bone"],
            &["through", "open", "out="],
        ])],
    },
    CheckedItem {
        key: "navel",
        own: &["navel", "umbilic", "cord", "stump", "nabel"],
        good: word_list!(
            "closed=, dry=, clean, tied=, clamped, shut=, trocken, sauber, geschlossen, \
             abgebunden"
        ),
        call: &[
            call(&[&[
                "bleed", "bled=", "blood", "ooz", "haemorrh", "hemorrh", "drip", "blutet",
                "blutung", "blutig",
            ]]),
            call(&[word_list!(
                "red=, reddened, wet=, weep, swoll, pus=, smell, stink, inflam, infect, hot=, \
                 gerötet, rot=, nass, nässt, geschwollen, eiter, entzünd"
            )]),
            call(&[&[
                "open=", "opened", "gaping", "torn=", "gut=", "guts=", "intestin", "bowel",
                "eviscer", "organ", "offen", "darm",
            ]]),
        ],
    },
    CheckedItem {
        key: "anus",
        own: &["anus", "anal", "after="],
        good: word_list!(
            "open=, patent, offen, opening=, there=, meconium passed, passed meconium"
        ),
        call: &[call(&[word_list!(
            "closed, shut=, sealed, none=, missing, absent, imperforate, atresi, blocked, \
             no anus, no opening, no hole, no anal, not open, isn't open, not patent, not there, \
             not present, not formed, not pass, without an opening, without opening, cannot pass, \
             can't pass, unable to pass, no faeces, no feces, no meconium, no stool, no poo, \
             covered, membrane, verschlossen, geschlossen, zu=, fehlt, kein after, nicht offen, \
             nicht vorhanden, kein kot"
        )])],
    },
    CheckedItem {
        key: "skull",
        own: &["skull", "fontanel", "head", "schädel", "kopf"],
        good: &["closed=", "round=", "shut=", "geschlossen", "rund="],
        call: &[call(&[&[
            "brain", "exposed", "crushed", "dented", "fractur", "gehirn",
        ]])],
    },
    CheckedItem {
        key: "eyes",
        own: &["eye", "lid=", "lids=", "eyelid", "auge", "lider"],
        good: word_list!("closed=, shut=, not open, geschlossen, zu=, nicht offen"),
        call: &[call(&[word_list!(
            "pus=, bulg, swoll, infect, bleed, discharge, eiter, geschwollen"
        )])],
    },
    CheckedItem {
        key: "tail",
        own: &["tail", "spine", "back=", "rute", "schwanz", "rücken"],
        good: &["straight", "gerade", "complete"],
        call: &[call(&[word_list!(
            "spina bifida, open spine, spine open, exposed, offener rücken"
        )])],
    },
    CheckedItem {
        key: "skin",
        own: &["skin", "coat", "haut", "fell="],
        good: &[
            "pink=", "clean", "smooth", "dry=", "closed=", "rosig", "glatt",
        ],
        call: &[call(&[word_list!(
            "sore, wound, torn=, tear=, open, bleed, blue=, anasarca, pus=, swollen all over, \
             water puppy, wunde, offen, blutet, blau"
        )])],
    },
    CheckedItem {
        key: "suck",
        own: &["suck", "reflex", "saug"],
        good: &[
            "strong", "vigorous", "lively", "firm", "eager", "stark", "kräftig",
        ],
        call: &[call(&[word_list!(
            "none=, no suck, no reflex, absent, missing, poor, weak, faint, feeble, lacking, \
             not suck, doesn't suck, won't suck, will not, cannot, can't, not strong, not good, \
             unable, hardly, barely, nothing, no=, kein, fehlt, schwach, schlecht, saugt nicht, \
             kaum"
        )])],
    },
];

/// Words that say that something came later.
const LATER: &[&str] = &[
    "now=", "later", "then=", "after", "since", "jetzt", "dann", "später",
];

/// Judges what was seen of an item of the newborn checklist; an item that is not known is judged
/// by the words that are good anywhere.
#[must_use]
pub fn newborn(item: &str, what: &str) -> NewbornLook {
    let text = SignText::of(what);
    let item = ITEMS.iter().find(|known| item.starts_with(known.key));
    let good: Vec<&str> = [GOOD, item.map_or(&[][..], |item| item.good)].concat();
    let calls = item.map_or(&[][..], |item| item.call);
    let bad = calls
        .iter()
        .chain(PUPPY)
        .find(|sign| text.fit(sign, true).is_some());
    if let Some(bad) = bad {
        return if text.grew_good(bad, &good) {
            NewbornLook::Unusual
        } else {
            NewbornLook::CallTheVet
        };
    }
    let of_item = calls.iter().flat_map(|sign| sign.groups).copied().flatten();
    let mut known = text.not_there(COMPLAINTS.iter().chain(of_item), false);
    let mut says_good = known.iter().any(|known| *known);
    for found in text.seen(&good, false) {
        known[found].fill(true);
        says_good = true;
    }
    let own = item.map_or(&[][..], |item| item.own);
    for found in text.found(own).chain(text.found(NEUTRAL)) {
        known[found].fill(true);
    }
    let all = text
        .words
        .iter()
        .zip(known)
        .all(|(word, known)| known || word.is_break);
    if says_good && all {
        NewbornLook::Good
    } else {
        NewbornLook::Unusual
    }
}

impl SignText {
    /// Whether a good word comes after the sign, and it is said that time has passed.
    fn grew_good(&self, bad: &Sign, good: &[&str]) -> bool {
        let last = bad
            .groups
            .iter()
            .flat_map(|group| self.seen(group, true))
            .map(|found| found.end)
            .max();
        let better = self.seen(good, false).map(|found| found.start).max();
        last < better && self.found(LATER).next().is_some()
    }
}

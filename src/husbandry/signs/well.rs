//! Notes by which keepers say that it is over.
//!
//! In: a note. Out: whether it says that the animal is well and says nothing else that could be a
//! complaint. `temperature back to normal` is about the temperature, and `well again, but tired`
//! holds a word that is not known to be good news: in doubt it is not over. The words are our own
//! choice.

use super::text::SignText;
use super::{DAM, PUPPY, Sign};
use std::ops::Range;

/// Words that say that an animal is well, and that are not said of a gland or a temperature.
const OF_ANIMALS: &[&str] = word_list!(
    "recovered=, well again, is well, all well, quite well, herself again, himself again, \
     itself again, her old self, his old self, its old self, fit again, genesen=, erholt=, \
     wohlauf, wieder gesund, ist gesund, wieder munter, wieder fit, beschwerdefrei"
);
/// Words that say so where nothing else is spoken of.
const WELL: &[&str] = word_list!(
    "well=, fine=, ok=, okay=, normal=, gesund=, back to normal, normal again, fine again, \
     all good, all better, fully better, completely better, all clear, resolved=, healed=, \
     cleared up, wieder normal, alles gut, abgeheilt"
);
/// Words that may stand in the clause that says it.
const BESIDE: &[&str] = word_list!(
    "she, he, it, is, are, has, have, been, a, an, the, of, in, on, at, by, to, for, from, after, \
     now, again, today, since, this, last, morning, evening, noon, midday, afternoon, night, day, \
     days, hour, hours, week, weeks, one, two, three, few, all, both, quite, completely, fully, \
     totally, entirely, very, much, doing, feeling, feels, as, usual, everything, vet, vets, \
     calcium, antibiotics, treatment, treated, injection, injections, medicine, tablets, drip, \
     fluids, care, her, his, its, am, pm, h, sie, er, es, ist, hat, sich, heute, jetzt, wieder, \
     seit, ganz, völlig, vollständig, alles, früh, abend, mittag, gestern, tierarzt"
);
/// What else may be said: parts of an animal, and good news of them.
const HARMLESS: &[&str] = word_list!(
    "temperature=, appetite=, gland, teat, nipple, udder, milk=, discharge, lochia, wound=, \
     stitches, stool, faeces, feces, poo=, navel, belly, tummy, gums, tongue, breath, colour, \
     color=, coat, eyes, nose, weight, gait, puppies, pups=, litter, mother, dam=, bitch, good=, \
     soft=, cool=, dry=, clean, clear=, closed=, pink=, warm=, strong, bright, lively, happy, \
     cheerful, playful, active, calm=, alert, firm, fit=, eat=, eats=, eating, ate=, drinks=, \
     drinking, drank, suck, nursing, nurses, feeding, feeds=, plays=, playing, gains=, gaining, \
     gained, sleeps=, sleeping, settled, walks=, walking, running, runs about, hungry, mit, \
     with=, and=, und=, then=, too=, also=, frisst, trinkt, saugt, spielt, gut=, schläft, \
     temperatur, gesäuge, appetit=, munter, welpen, nimmt zu"
);
/// Complaints beside the signs, which are good news when they are said not to be there.
const COMPLAINTS: &[&str] = word_list!(
    "problem, complaint, symptom, sign=, signs=, trouble, concern, issue, ill=, illness, sick=, \
     pain, sore, redness, swelling, heat=, lump, smell, tired, quiet, cough, sneez, vomit, \
     diarrh, limp, beschwerde, krank, schmerz"
);

/// Whether a text says that all is over: a clause of it says that the animal is well, and every
/// other word is known to be no complaint.
#[must_use]
pub fn says_well(text: &str, list: &'static [Sign]) -> bool {
    let text = SignText::of(text);
    if list.iter().any(|sign| text.fit(sign, true).is_some()) {
        return false;
    }
    let own: &[&str] = if std::ptr::eq(list, DAM) {
        &["dam", "bitch", "mother", "mum", "hündin"]
    } else {
        &["puppy", "pup", "welpe", "girl", "boy"]
    };
    let stems = DAM
        .iter()
        .chain(PUPPY)
        .flat_map(|sign| sign.groups)
        .copied();
    let stems = stems.flatten().chain(COMPLAINTS);
    let not_there = text.not_there(stems, true);
    let mut beside = not_there.clone();
    for (known, word) in beside.iter_mut().zip(&text.words) {
        let small = word.small.as_str();
        *known |= BESIDE.contains(&small)
            || own.contains(&small)
            || small.starts_with(|c: char| c.is_ascii_digit());
    }
    let mut harmless = beside.clone();
    for found in text.found(HARMLESS) {
        harmless[found].fill(true);
    }
    let mut is_well = false;
    for clause in text.clauses() {
        let mut known = beside[clause.clone()].to_vec();
        let stands = |found: &Range<usize>| {
            clause.start <= found.start
                && found.end <= clause.end
                && !not_there[found.clone()].contains(&true)
        };
        let mut says = false;
        for found in text.seen(WELL, false).filter(stands) {
            known[found.start - clause.start..found.end - clause.start].fill(true);
            says = true;
        }
        for found in text.seen(OF_ANIMALS, false).filter(stands) {
            known[found.start - clause.start..found.end - clause.start].fill(true);
            says = true;
            // `Juno is well again`.
            known[0] |= !harmless[clause.start] && text.is_name(clause.start);
        }
        let only_well = says && known.iter().all(|known| *known);
        if only_well {
            is_well = true;
            harmless[clause].fill(true);
        } else {
            for found in text.seen(WELL, false).chain(text.seen(OF_ANIMALS, false)) {
                harmless[found].fill(true);
            }
        }
    }
    is_well
        && text
            .words
            .iter()
            .zip(harmless)
            .all(|(word, known)| known || word.is_break)
}

impl SignText {
    /// The clauses: what stands between stops and joining words.
    fn clauses(&self) -> Vec<Range<usize>> {
        let is_joint = |at: &usize| {
            let word = &self.words[*at];
            word.is_break || ["and", "with", "then", "und", "mit", "dann"].contains(&&*word.small)
        };
        let ends = (0..self.words.len()).filter(is_joint);
        let mut from = 0;
        let mut clauses = Vec::new();
        for end in ends.chain([self.words.len()]) {
            if end > from {
                clauses.push(from..end);
            }
            from = end + 1;
        }
        clauses
    }

    /// Whether a word may be the name of an animal: written with a capital, and no sign.
    fn is_name(&self, at: usize) -> bool {
        self.words[at].written.starts_with(char::is_uppercase)
            && ![DAM, PUPPY]
                .into_iter()
                .flatten()
                .flat_map(|sign| sign.groups)
                .flat_map(|group| group.iter())
                .chain(COMPLAINTS)
                .any(|stem| self.stands(at, stem).is_some())
    }
}

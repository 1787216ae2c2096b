//! Signs in a puppy.
//!
//! Those of the cautions usually printed: limp, cold, lying away from the pile, crying on and on,
//! poor or no suck, gums that are not pink, hard breath, milk from the nose, no faeces, a bloated
//! belly, a navel that is red or wet, diarrhoea, twitching, open sores.

use super::grave::POISON;
use super::{BLEEDING, CAUTIONS, OPENING, PRACTICE, SUGAR, Sign, SignScope, WOUND};

const COLD: &str =
    "advice of two practices: a cold puppy is warmed slowly, not fed, and the vet is called";

const LIFELESS: &[&str] = word_list!(
    "limp=, floppy, twitch, tremor, trembl, shiver, convuls, seizur, fits=, fitting=, \
     having a fit, had a fit, paddl, rigid, stiff, unconscious, unresponsive, ~respond, ~react, \
     !mov, !wake, !rous, ~lift, weak=, weaker=, weakening, weakly=, feeble, flat=, lifeless, \
     collaps, fading=, fades=, fade=, faded=, dying, comatose, letharg, listless, apath, dull=, \
     shaking=, shaky, shakes=, unsteady, stagger, drunk=, drunken, faint=, fainted, fainting, \
     glazed, star gaz, stargaz, hypogly, hypo=, low sugar, low blood sugar, blood sugar low, \
     sugar low, head tilted back, head thrown back, not thriv, failure to thrive, \
     fails to thrive, failing to thrive, unterzucker, taumel, torkel, schlapp, matt=, schlaff, \
     zuck, zitter, krampf, krämpf, bewusstlos, schwach, liegt flach, teilnahmslos, regungslos, \
     reglos"
);
const CRY: &[&str] = &[
    "cry=", "cries=", "crying", "cried=", "crie=", "whimper", "whin", "wail", "moan", "yelp",
    "weint", "schreit", "jammer", "wimmer", "fiept",
];
const ON_AND_ON: &[&str] = word_list!(
    "on and on, constant, continu, nonstop, non stop, all night, all day, all morning, \
     all evening, all the time, whole night, whole day, for hours, hours, without stop, \
     without a break, without pause, not stop, won't stop, can't stop, doesn't stop, cannot stop, \
     never stop, incessant, persistent, inconsolabl, cannot be settled, can't be settled, \
     ~settle, ~quiet, ~calm, keeps, kept, a lot, endless, ständig, pausenlos, dauernd, \
     unaufhörlich, stundenlang, ununterbrochen, ohne ende, hört nicht auf, die ganze"
);
const LIES: &[&str] = &[
    "lie=", "lies=", "lying", "lay=", "laid=", "found=", "sleeps", "sleeping", "stays", "crawls",
    "crawl", "keeps", "liegt", "lag=", "kriecht",
];
const AWAY: &[&str] = word_list!(
    "away=, apart, alone=, by itself, by herself, by himself, on its own, on her own, on his own, \
     separate, isolated, abseits, allein"
);
const SUCK: &[&str] = word_list!(
    "~suck, ~nurs, ~latch, ~feed, ~drink, ~teat, ~nipple, ~swallow, !eat, !ate=, !food, \
     !appetite, refuses the bottle, ~bottle, ~saug, ~trinkt, ~zitze, !frisst, !gefressen"
);
const BREATH: &[&str] = &["breath", "atmet", "atmung", "respirat"];
const HARD: &[&str] = word_list!(
    "hard=, heav, labour, labor, difficult, struggl, rattl, noisy, nois, rasp, crackl, wheez, \
     open mouth, mouth open, fast, rapid, quick, shallow, irregular, short=, schwer, schnell, \
     rassel, angestrengt"
);
const GUMS: &[&str] =
    word_list!("gum, tongue, lips=, mouth, mucous, membrane, zahnfleisch, zunge, schleimh");
const COLOURS: &[&str] = &[
    "blue", "bluish", "purple", "pale", "white", "grey", "gray", "brick", "cyan", "yellow", "blau",
    "blass", "weiß", "gelb",
];
const BELLY: &[&str] = &["belly", "abdomen", "tummy", "stomach", "bauch"];
const TIGHT: &[&str] = &[
    "bloat", "distend", "swoll", "hard=", "tight", "tense", "taut", "drum", "blue", "hart=",
    "prall", "gebläht", "dick=",
];
const NAVEL: &[&str] = word_list!("navel, umbilic, belly button, cord=, stump, nabel");
const SORE: &[&str] = word_list!(
    "red=, redness, reddened, wet=, moist, weep, ooz, swoll, swell, pus=, smell, stink, bleed, \
     bled=, blood, hot=, inflam, infect, open=, sore=, discharge, rot=, gerötet, nass, nässt, \
     geschwollen, eiter, entzünd, blutet, offen"
);
const STOOL: &[&str] = &[
    "stool", "poo=", "poos=", "poop", "faec", "feces", "fecal", "motion", "kot=", "stuhl",
];
const LOOSE: &[&str] = &[
    "blood", "black=", "tarry", "watery", "water=", "liquid", "runny", "wässrig", "blutig",
    "flüssig",
];

/// Signs in a puppy that should bring a vet to the telephone.
pub static PUPPY: &[Sign] = &[
    Sign::always("low blood sugar, or worse", &[LIFELESS], SUGAR),
    Sign::always(
        "a cold puppy",
        &[word_list!(
            "cold=, chilled, chilly, hypotherm, icy, cool=, kalt=, unterkühlt, ausgekühlt"
        )],
        COLD,
    ),
    Sign::always("poor or no suck", &[SUCK], CAUTIONS),
    Sign::always("crying on and on", &[CRY, ON_AND_ON], CAUTIONS),
    Sign::always("crying on and on", &[&["scream"]], CAUTIONS),
    Sign::always("lying away from the others", &[LIES, AWAY], CAUTIONS),
    Sign::always(
        "lying away from the others",
        &[word_list!(
            "away from the pile, away from the heap, away from the others"
        )],
        CAUTIONS,
    ),
    Sign::always(
        "want of breath",
        &[word_list!(
            "gasp, !breath, breathless, chok, suffocat, atemnot, schnappt, röchel"
        )],
        PRACTICE,
    ),
    Sign::always("want of breath", &[BREATH, HARD], PRACTICE),
    Sign::always("want of breath or of blood", &[GUMS, COLOURS], PRACTICE),
    Sign::always(
        "want of breath or of blood",
        &[word_list!(
            "cyano, turned blue, turning blue, gone blue, went blue, going blue, is blue, \
             looks blue, blue all over"
        )],
        PRACTICE,
    ),
    Sign::always(
        "milk in the airways, or a cleft palate",
        &[&["milk", "milch"], &["nose", "nostril", "nase"]],
        PRACTICE,
    ),
    Sign::always(
        "a bloated belly",
        &[&["bloat", "aufgebläht", "aufgetrieben"]],
        PRACTICE,
    ),
    Sign::always("a bloated belly", &[BELLY, TIGHT], PRACTICE),
    Sign::always(
        "no faeces or urine",
        &[word_list!(
            "!faec, !feces, !stool, !poo=, !pooed, !poop, !pass, !defec, !urin, !pee=, !peed, \
             !wee=, !kot=, !kotet, !uriniert, constipat, verstopf"
        )],
        CAUTIONS,
    ),
    Sign::always("an infected navel", &[NAVEL, SORE], CAUTIONS),
    Sign::always("diarrhoea", &[&["diarrh", "scour", "durchfall"]], CAUTIONS),
    Sign::always("diarrhoea", &[STOOL, LOOSE], CAUTIONS),
    Sign::always(
        "vomiting",
        &[word_list!(
            "vomit, throwing up, threw up, throws up, thrown up, being sick, was sick, been sick, \
             erbricht, erbrochen, erbrech, kotzt"
        )],
        PRACTICE,
    ),
    Sign::always(
        "an open sore or an infection",
        &[word_list!(
            "open sore, sores=, ulcer, abscess, pus=, purulent, eiter, abszess, infected"
        )],
        CAUTIONS,
    ),
    Sign::always("an open sore or an infection", &[WOUND, OPENING], CAUTIONS),
    Sign::always("bleeding", &[BLEEDING], PRACTICE),
    Sign::always(
        "bleeding",
        &[&["blood=", "bloody=", "blut=", "blutig"]],
        PRACTICE,
    ),
    Sign::always(
        "an infection",
        &[word_list!(
            "fever, febrile, fieber, sepsis, septic, jaundice, icter, gelbsucht"
        )],
        PRACTICE,
    ),
    Sign::always(
        "dehydration",
        &[word_list!(
            "dehydrat, skin tent, tented skin, stays up when pinched, skin stays up, dry gum, \
             gums dry, gums are dry, gums feel dry, gums tacky, gums are tacky, tacky gum, \
             sticky gum, dry mouth, mouth dry, mouth is dry, dry tongue, sunken eye, eyes sunken, \
             eyes are sunken, ausgetrocknet, hautfalte bleibt"
        )],
        PRACTICE,
    ),
    Sign::always(
        "milk in the airways, or a cleft palate",
        &[
            &[
                "cough", "splutter", "bubbl", "froth", "foam", "hustet", "schaum",
            ],
            &[
                "feed", "fed=", "bottle", "tube", "milk", "nose", "nostril", "nase", "flasche",
                "milch",
            ],
        ],
        PRACTICE,
    ),
    Sign::always(
        "an injury",
        &[word_list!(
            "lay on it, lay on him, lay on her, lain on, laid on it, sat on it, trod on, trodden, \
             stepped on, crushed, squashed, fell off, fell from, fell down, mauled, bitten by, \
             savaged, erdrückt, getreten, gestürzt, gebissen"
        )],
        PRACTICE,
    ),
    Sign::always(
        "a puppy that its dam sends away",
        &[word_list!(
            "rejected by, dam rejects, mother rejects, dam pushes it away, mother pushes it away, \
             pushed away by the dam, pushed away by its mother, verstoßen"
        )],
        PRACTICE,
    ),
    Sign::always(
        "an infection of the eye",
        &[
            &["eye=", "eyes=", "eyelid", "lid=", "lids=", "auge"],
            &["swoll", "swelling", "bulg", "pus=", "eiter", "geschwollen"],
        ],
        PRACTICE,
    ),
    Sign::always("poisoning", &[POISON], PRACTICE),
    Sign {
        fits: "diarrhoea that goes on",
        groups: &[
            STOOL,
            &[
                "loose", "soft=", "softer", "mushy", "sloppy", "weich", "breiig",
            ],
        ],
        when: SignScope::TwoDays,
        source: PRACTICE,
    },
];

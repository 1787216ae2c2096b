//! The words by which signs of illness are known, in English and German, with what they fit.
//!
//! The signs are those of the sources beside them; which words keepers use for them is our own
//! choice, and so is what counts together.

mod grave;
mod labour;
mod puppy;

pub use puppy::PUPPY;

use grave::{BELLY, BLOODY, HARMS, POISON, POURING, RUNS, TIGHT, TWISTED};
use labour::{
    CONTRACTIONS, HALF_AN_HOUR, HOURS, INERTIA, INSIDE, LOSS, NOTHING_COMES, ON_ITS_WAY, PROLAPSE,
    SINCE_THE_LAST, STRAINING, STUCK, WATERS,
};

use super::{Sign, SignScope};

const CONSULT: &str = "Five-Minute Vet Consult: restlessness, panting, stiff gait, trembling, \
                       then cramps; an emergency at any hour";
const HANDBOOKS: &str = "home veterinary handbooks: a hot, hard, painful gland; foul discharge, \
                         fever and dullness; a wound that is red, wet, open or licked";
const DISCHARGE: &str =
    "usual teaching: dark green discharge turns brown to red within 48 hours of the birth";
const SEPARATING: &str =
    "usual teaching: green discharge before the first puppy: the placenta is separating";
const CAUTIONS: &str = "usual cautions of the trade, no source";
const PRACTICE: &str = "common practice, no source";
const HEAT: &str =
    "clinics' advice: commonly 2 to 10 weeks after a heat; thirst, dullness, discharge or none";
const LABOUR: &str = "clinics' advice: call after 20 to 30 minutes of hard straining without a \
                      puppy, and after two hours without one while more are inside";
const SUGAR: &str =
    "home veterinary handbooks: low blood sugar shows as limp, twitching, slow, a weak cry";

const GLAND: &[&str] =
    word_list!("gland, teat, nipple, mamma, udder, breast, gesäuge, zitze, milchleiste, drüse");
const INFLAMED: &[&str] = word_list!(
    "hot=, hard=, harder, hardened, red=, reddened, inflam, pain, sore, swoll, lump, purple, \
     black, blue, abscess, pus=, heiß, heiss, hart=, harte, rot=, gerötet, schmerz, geschwollen, \
     entzünd, verhärt, eiter, knoten"
);
const DISCHARGED: &[&str] = word_list!("discharge, lochia, ausfluss, ausfluß, wochenfluss, vulva");
const FOUL: &[&str] = word_list!(
    "foul, smell, stink, stank, odour, odor, pus=, purulent, putrid, chocolate, riech, stinkt, \
     übel, faulig, eitrig, eiter"
);
const GREEN: &[&str] = &["green", "black", "grün", "schwarz"];
const WOUND: &[&str] = &[
    "wound", "incision", "stitch", "suture", "scar=", "wunde", "naht", "nähte", "schnitt", "fäden",
];
const OPENING: &[&str] = word_list!(
    "open, gap, burst, red=, reddened, wet=, weep, ooz, leak, seep, lick, swoll, swelling, \
     loose=, seroma, pus=, hot=, smell, bleed, inflam, infect, torn=, pulled, came out, come out, \
     coming out, came apart, come apart, missing, offen, aufgegangen, rot=, gerötet, nass, nässt, \
     leckt, geleckt, geschwollen, eiter, heiß, blutet, entzünd, klafft"
);
/// What comes with labour as well.
const TREMBLING: &[&str] = word_list!(
    "tremor, trembl, shak, shiver, quiver, pant=, pants=, panting, panted, breathing fast, \
     breathing heavily, heavy breathing, rapid breathing, zitter, hechel"
);
const CRAMPS: &[&str] = &[
    "eclampsi",
    "tetan",
    "twitch",
    "stiff",
    "spasm",
    "seizur",
    "convuls",
    "cramp",
    "stagger",
    "wobbl",
    "unsteady",
    "collaps",
    "milk fever",
    "unconscious",
    "unresponsive",
    "rigid",
    "jerk",
    // Not `fit`, which is also well.
    "fits=",
    "fitting=",
    "having a fit",
    "had a fit",
    "cannot stand",
    "can't stand",
    "unable to stand",
    "falls over",
    "fell over",
    "falling over",
    "fainted",
    "eklampsi",
    "kann nicht stehen",
    "zuck",
    "krampf",
    "krämpf",
    "steif",
    "taumel",
    "torkel",
    "schwank",
    "milchfieber",
    "bewusstlos",
];
const BLEEDING: &[&str] = word_list!(
    "bleed, bled=, haemorrh, hemorrh, fresh blood, bright blood, bright red, blutet, blutung, \
     frisches blut, frischem blut"
);
const UNEATEN: &[&str] = word_list!(
    "!eat, !ate=, !food, !appetit, !breakfast, !dinner, !supper, !meal, !bowl, loss of appetite, \
     left her food, left the food, left all her food, left food, leaves her food, \
     leaving her food, left her meal, left her breakfast, left her dinner, left her supper, \
     walks away from her food, turns away from her food, nothing eaten, inappet, anorex, !frisst, \
     !frißt, !gefressen, !fressen, !futter, appetitlos"
);
const VOMITING: &[&str] = word_list!(
    "vomit, throwing up, threw up, throws up, being sick, was sick, been sick, erbricht, \
     erbrochen, erbrech"
);
const REPEATED: &[&str] = word_list!(
    "again, keeps, kept, repeated, times, twice, blood, hours, constant, continu, on and on, \
     ~keep, ~stop, every, mehrmals, ständig, wieder, blut"
);
const DULL: &[&str] = word_list!(
    "dull=, duller, dullness, letharg, listless, apath, depress, lifeless, weak=, weaker=, \
     weakness, flat=, floppy, ~respond, !rouse, matt=, teilnahmslos, schlapp, schwach"
);
const RESTLESS: &[&str] = word_list!(
    "restless, pacing, paces, ~settle, !rest=, !still=, whin, whimper, drool, saliva, slaver, \
     slobber, agitat, anxious, nervous, frantic, confus, disorient, unruhig, unruhe, rastlos, \
     winsel, jammer, speichel, sabber, verwirrt"
);
const CARRIES: &[&str] = &["carr", "picks up", "picking up", "moves", "moving", "trägt"];
const PUPPIES: &[&str] = &["pup", "litter", "welpe"];

/// A sign of a birth that does not go on.
const fn labour(groups: &'static [&'static [&'static str]]) -> Sign {
    Sign {
        fits: "a birth that does not go on",
        groups,
        when: SignScope::InLabour,
        source: LABOUR,
    }
}

/// Signs in a dam that should bring a vet to the telephone.
pub static DAM: &[Sign] = &[
    Sign {
        fits: "eclampsia",
        groups: &[TREMBLING],
        when: SignScope::NotInLabour,
        source: CONSULT,
    },
    Sign::always("eclampsia", &[CRAMPS], CONSULT),
    Sign::always(
        "mastitis",
        &[&["mastit", "mammitis", "gesäugeentzünd"]],
        HANDBOOKS,
    ),
    Sign::always("mastitis", &[GLAND, INFLAMED], HANDBOOKS),
    Sign::always("metritis", &[&["metrit", "gebärmutterentzünd"]], HANDBOOKS),
    Sign::always("metritis", &[DISCHARGED, FOUL], HANDBOOKS),
    Sign::always(
        "metritis or mastitis",
        &[&["fever", "febrile", "fieber", "feverish"]],
        HANDBOOKS,
    ),
    Sign {
        fits: "a retained placenta or metritis",
        groups: &[DISCHARGED, GREEN],
        when: SignScope::AfterHours(48),
        source: DISCHARGE,
    },
    Sign {
        fits: "a placenta that comes away before the first puppy",
        groups: &[DISCHARGED, GREEN],
        when: SignScope::BeforeBirth,
        source: SEPARATING,
    },
    Sign::always(
        "a retained placenta",
        &[word_list!(
            "retained placenta, placenta retained, retained afterbirth, nachgeburtsverhalt"
        )],
        HANDBOOKS,
    ),
    Sign::always("a wound that opens", &[WOUND, OPENING], HANDBOOKS),
    Sign::always("bleeding", &[BLEEDING], PRACTICE),
    Sign {
        fits: "eclampsia, whose first sign is restlessness",
        groups: &[RESTLESS],
        when: SignScope::AfterBirth(40),
        source: CONSULT,
    },
    Sign {
        fits: "eclampsia, whose first sign is restlessness",
        groups: &[
            CARRIES,
            PUPPIES,
            &["about=", "around", "all the time", "constant", "herum"],
        ],
        when: SignScope::AfterBirth(40),
        source: CONSULT,
    },
    Sign::always(
        "metritis, mastitis or another grave illness",
        &[DULL],
        HANDBOOKS,
    ),
    Sign {
        fits: "no milk",
        groups: &[&["~milk", "~milch", "milk dried up", "dried up", "agalact"]],
        when: SignScope::AfterBirth(28),
        source: CAUTIONS,
    },
    Sign::always("vomiting that goes on", &[VOMITING, REPEATED], PRACTICE),
    Sign::always("vomiting that goes on", &[VOMITING, UNEATEN], PRACTICE),
    Sign::always(
        "loss of blood",
        &[
            &["gum", "zahnfleisch"],
            &["pale", "white", "grey", "gray", "blass", "weiß"],
        ],
        PRACTICE,
    ),
    Sign {
        fits: "no appetite on two days",
        groups: &[UNEATEN],
        when: SignScope::TwoDays,
        source: HANDBOOKS,
    },
    Sign::always("pyometra", &[&["pyometr", "gebärmuttervereiter"]], HEAT),
    Sign {
        fits: "pyometra",
        groups: &[word_list!(
            "thirst, drinks a lot, drinking a lot, drinks more, drinking more, durst, \
             trinkt viel, discharge, ausfluss, ausfluß, dull, letharg, matt=, apath, vomit, \
             erbricht, erbrochen"
        )],
        when: SignScope::AfterMating(14, 70),
        source: HEAT,
    },
    labour(&[STRAINING, NOTHING_COMES]),
    labour(&[STRAINING, HALF_AN_HOUR]),
    labour(&[STRAINING, HOURS]),
    labour(&[CONTRACTIONS, HOURS, NOTHING_COMES]),
    labour(&[STUCK, ON_ITS_WAY]),
    labour(&[WATERS, HOURS]),
    labour(&[WATERS, NOTHING_COMES]),
    labour(&[INERTIA]),
    labour(&[SINCE_THE_LAST, HOURS]),
    Sign {
        fits: "a puppy that is still inside",
        groups: &[INSIDE],
        when: SignScope::AfterBirth(14),
        source: PRACTICE,
    },
    Sign {
        fits: "the loss of the litter",
        groups: &[LOSS],
        when: SignScope::BeforeBirth,
        source: PRACTICE,
    },
    Sign::always("a prolapse", &[PROLAPSE], PRACTICE),
    Sign::always("bleeding", &[DISCHARGED, POURING], PRACTICE),
    Sign::always("bleeding", &[RUNS, BLOODY], PRACTICE),
    Sign::always("poisoning", &[POISON], PRACTICE),
    Sign {
        fits: "a twisted stomach, or what is still inside",
        groups: &[BELLY, TIGHT],
        when: SignScope::AfterBirth(40),
        source: PRACTICE,
    },
    Sign::always("a twisted stomach", &[TWISTED], PRACTICE),
    Sign {
        fits: "a dam that harms her puppies",
        groups: &[HARMS, PUPPIES],
        when: SignScope::AfterBirth(40),
        source: PRACTICE,
    },
    Sign {
        fits: "no appetite on two days",
        groups: &[&["frisst", "frißt"], &["tagen nicht", "gestern nicht"]],
        when: SignScope::TwoDays,
        source: HANDBOOKS,
    },
];

//! Signs in sentences as keepers write them. Which sign belongs to which illness: Five-Minute Vet
//! Consult (eclampsia), home veterinary handbooks (the others).

use super::{DAM, NewbornLook, PUPPY, SignScope, has_lasted, newborn, read, says_well};

fn fits(text: &str) -> Vec<&'static str> {
    // What counts only some weeks after a mating is judged where the mating is known.
    let fits = read(text, DAM)
        .into_iter()
        .filter(|fit| !matches!(fit.sign.when, SignScope::AfterMating(..)));
    let mut fits: Vec<&str> = fits.map(|fit| fit.sign.fits).collect();
    fits.dedup();
    fits
}

#[test]
fn the_signs_of_the_handbooks_are_known_in_the_words_of_keepers() {
    for (text, sign) in [
        ("Trembling and a stiff gait since noon", "eclampsia"),
        ("restless, panting, will not settle", "eclampsia"),
        ("she can't stop shaking", "eclampsia"),
        ("not only shaking", "eclampsia"),
        ("no milk shaking", "eclampsia"),
        ("not sure if she is trembling", "eclampsia"),
        ("not eating, shaking", "eclampsia"),
        ("zittert und hechelt", "eclampsia"),
        ("steifer Gang, unruhig", "eclampsia"),
        ("zittert nicht nur, sie krampft", "eclampsia"),
        ("rigid, and drools", "eclampsia"),
        ("she had a fit at noon", "eclampsia"),
        ("fits, one after another", "eclampsia"),
        ("breathing fast though it is cool", "eclampsia"),
        ("can't stand on her hind legs", "eclampsia"),
        ("two stitches came out", "a wound that opens"),
        ("third gland on the left, hot and hard", "mastitis"),
        ("Gesäuge heiß und geschwollen", "mastitis"),
        ("foul-smelling discharge", "metritis"),
        ("Ausfluss riecht übel", "metritis"),
        (
            "the wound is red and weeping at one end",
            "a wound that opens",
        ),
        ("Naht offen", "a wound that opens"),
        (
            "she licks the stitches, one is missing",
            "a wound that opens",
        ),
        ("bleeding again", "bleeding"),
        ("Fieber", "metritis or mastitis"),
        ("dark green discharge", "a retained placenta or metritis"),
        // Five-Minute Vet Consult: restlessness comes first.
        (
            "very restless, whines, carries puppies about, drools",
            "eclampsia, whose first sign is restlessness",
        ),
        (
            "pacing, will not lie with the puppies",
            "eclampsia, whose first sign is restlessness",
        ),
        (
            "cannot settle",
            "eclampsia, whose first sign is restlessness",
        ),
        (
            "carrying her pups around",
            "eclampsia, whose first sign is restlessness",
        ),
        (
            "drooling and confused",
            "eclampsia, whose first sign is restlessness",
        ),
        (
            "sehr unruhig, speichelt",
            "eclampsia, whose first sign is restlessness",
        ),
        // Usual cautions of the trade: dull, no milk.
        (
            "dull, no milk",
            "metritis, mastitis or another grave illness",
        ),
        ("dull, no milk", "no milk"),
        ("hardly any milk, puppies scream", "no milk"),
        ("her milk has dried up", "no milk"),
        (
            "vomiting, very dull, not eating since this morning",
            "metritis, mastitis or another grave illness",
        ),
        ("lethargic", "metritis, mastitis or another grave illness"),
        ("vomited three times", "vomiting that goes on"),
        ("vomits, will not eat", "vomiting that goes on"),
        ("stopped eating", "no appetite on two days"),
        (
            "still nothing, left her food again",
            "no appetite on two days",
        ),
        ("has eaten nothing", "no appetite on two days"),
        ("refuses all food", "no appetite on two days"),
        ("won’t touch her breakfast", "no appetite on two days"),
        ("off her food", "no appetite on two days"),
        ("appetite gone", "no appetite on two days"),
        ("appetite: none", "no appetite on two days"),
        ("hat nichts gefressen", "no appetite on two days"),
        ("no appetite", "no appetite on two days"),
        ("frisst nicht", "no appetite on two days"),
        ("frisst seit zwei Tagen nicht", "no appetite on two days"),
    ] {
        assert!(fits(text).contains(&sign), "{text}: {:?}", fits(text));
    }
}

#[test]
fn a_birth_that_does_not_go_on_and_what_is_grave_at_any_time_are_known() {
    for (text, sign) in [
        // Clinics' advice: 20 to 30 minutes of hard straining, two hours between puppies.
        (
            "straining hard for 40 minutes",
            "a birth that does not go on",
        ),
        ("strains and nothing comes", "a birth that does not go on"),
        ("pushing for half an hour", "a birth that does not go on"),
        (
            "contractions for three hours, no puppy yet",
            "a birth that does not go on",
        ),
        (
            "puppy half out, breech, stuck",
            "a birth that does not go on",
        ),
        ("water broke 3 hours ago", "a birth that does not go on"),
        ("labour has stopped", "a birth that does not go on"),
        ("Wehenschwäche", "a birth that does not go on"),
        (
            "Presswehen seit einer Stunde",
            "a birth that does not go on",
        ),
        (
            "two hours since the last puppy, more inside",
            "a birth that does not go on",
        ),
        (
            "one puppy still inside, I think",
            "a puppy that is still inside",
        ),
        ("aborted a pup in the night", "the loss of the litter"),
        ("uterus is out", "a prolapse"),
        ("discharge soaks the bedding", "bleeding"),
        ("bloody diarrhoea", "bleeding"),
        ("ate rat bait", "poisoning"),
        ("she attacked two puppies", "a dam that harms her puppies"),
        ("stitches are loose", "a wound that opens"),
        ("swelling at the wound", "a wound that opens"),
        ("falls over when she turns", "eclampsia"),
        (
            "belly hard and swollen",
            "a twisted stomach, or what is still inside",
        ),
        ("retches, nothing comes up", "a twisted stomach"),
        ("ate chocolate", "poisoning"),
    ] {
        assert!(fits(text).contains(&sign), "{text}: {:?}", fits(text));
    }
}

#[test]
fn what_was_not_seen_is_no_sign() {
    for text in [
        "no tremor",
        "fit and bright",
        "the stitches fit well",
        "not shaking",
        "isn’t shaking",
        "no sign of tremor or panting",
        "tired, but no tremor, no panting",
        "tremor: none",
        "zittert nicht",
        "zittert nicht mehr, müde",
        "kein Zittern, keine Krämpfe",
        "no bleeding",
        "glands soft, not hot",
        "wound dry, not red, not open",
        "no fever",
        "no foul smell to the discharge",
        "no loss of appetite",
        "a little tired",
        "loose stool",
        "not restless",
        "no longer restless or drooling",
        "not dull, no vomiting",
        "no milk fever",
        "plenty of milk",
        "has not stopped eating",
        "not refusing food",
        "eats nothing but chicken",
        "no problem eating",
        "ate well, nothing left",
        "vomited once",
        "coat dull",
        "stays with the puppies",
        "not straining",
        "glands: none hot or hard",
        "nothing is stuck, all out",
        "strained for five minutes, then the puppy came",
        "first contractions",
        "waters broke",
        "lies with the puppies inside her basket",
        "no puppy still inside by X-ray",
        "sluggish after the drip",
        "no prolapse",
        "belly soft, not swollen",
    ] {
        assert_eq!(fits(text), Vec::<&str>::new(), "{text}");
    }
}

#[test]
fn words_are_quoted_as_they_were_written() {
    let fits = read("Seit Mittag ZITTERT sie, steifer Gang", DAM);
    let words: Vec<&String> = fits.iter().flat_map(|fit| &fit.words).collect();
    assert_eq!(words, ["ZITTERT", "steifer"]);
    assert!(fits.iter().all(|fit| fit.sign.fits == "eclampsia"));
    assert_eq!(read("Third gland is Hot", DAM)[0].words, ["gland", "Hot"]);
}

#[test]
fn well_again_is_known_and_does_not_hide_what_goes_on() {
    for text in [
        "recovered",
        "well again",
        "Well again, shaking gone",
        "wieder gesund",
        "fine",
        "back to normal, the tremor has stopped",
        "healed, no discharge",
        "normal",
        "She is fine now.",
        "Juno is well again",
        "fully recovered, eating and drinking, glands soft",
        "well again after calcium from the vet",
        "well again, temperature normal, no discharge, not tired",
        "all well since this morning",
        "the dam is herself again",
        "hat sich erholt, frisst gut",
        "no more vomiting, back to normal",
    ] {
        assert!(says_well(text, DAM), "{text}");
    }
    assert!(says_well(
        "puppy is fine again, suckles strongly and gains",
        PUPPY
    ));
    for text in [
        "temperature back to normal, gland no better, vomiting",
        "temperature back to normal",
        "colour back to normal, but cold and will not suck",
        "discharge normal",
        "gland resolved",
        "puppies are fine",
        "eating well again",
        "well again but tired",
        "back to normal? not sure",
        "normal, but no better",
        "fine until noon, then hot",
        "was fine yesterday",
        "not fine",
        "should be fine tomorrow",
        "all well, only the gland is hard",
        "back to normal, though quiet",
        "well again, gland still hard",
        "Gland is well again",
        "almost back to normal",
        "well again apart from a cough",
        "no better",
    ] {
        assert!(!says_well(text, DAM), "{text}");
        assert!(!says_well(text, PUPPY), "{text}");
    }
    for text in [
        "not recovered",
        "recovering slowly",
        "eating well again, but shaking",
        "not well",
        "not fully recovered",
        "trembling",
        "a bit better",
    ] {
        assert!(!says_well(text, DAM), "{text}");
    }
    assert!(
        has_lasted("has not eaten for two days")
            && has_lasted("frisst seit 2 Tagen nicht")
            && has_lasted("zwei Tage ohne Futter")
    );
}

#[test]
fn a_puppys_signs_are_its_own() {
    assert_eq!(
        read("limp and cold", PUPPY)[0].sign.fits,
        "low blood sugar, or worse"
    );
    assert_eq!(read("limping on the left front leg", PUPPY), []);
    assert_eq!(
        read("milk came out of the nose", PUPPY)[0].words,
        ["milk", "nose"]
    );
    assert_eq!(read("no milk from the nose", PUPPY), []);
}

#[test]
fn the_cautions_for_puppies_are_known_in_the_words_of_keepers() {
    // Usual cautions of the trade: limp, cold, away from the pile, crying on and on, poor or no
    // suck, gums, breath, no faeces, bloated, navel, diarrhoea, twitching, open sores. Vomiting,
    // bleeding and fever: common practice, no source.
    for text in [
        "vomiting, bloody diarrhoea, lies flat",
        "Diarrhea since last night",
        "navel red, swollen and wet",
        "the belly button is weeping",
        "stump of the cord smells",
        "crying on and on, lies away from the pile",
        "lies away from the pile",
        "always on its own, sleeps apart from the others",
        "keeps crying",
        "has been crying for hours",
        "cries and will not settle",
        "constant whimpering",
        "screams",
        "does not suck, cold",
        "does not suck",
        "not sucking",
        "doesn't really suckle",
        "will not suckle, fading",
        "won't latch on",
        "refuses the teat",
        "no interest in the teat",
        "sucks poorly",
        "suckles only weakly",
        "suck: weak",
        "poor suck",
        "too weak to nurse",
        "stopped feeding",
        "has gone off her milk, not drinking",
        "saugt nicht",
        "trinkt kaum",
        "cold to the touch",
        "fading",
        "listless and dull",
        "hardly moves",
        "breathes hard",
        "heavy breathing",
        "laboured breathing",
        "labored breathing",
        "isn't breathing",
        "gums are white",
        "pale gums",
        "turned blue",
        "tight, swollen belly",
        "has not passed faeces since yesterday",
        "no poo today",
        "watery stools",
        "blood in the stool",
        "vomited twice",
        "open sores on the belly",
        "pus under the eyelid",
        "skin stays up when pinched",
        "dry gums and sunken eyes",
        "gums are tacky",
        "hypoglycaemic",
        "low sugar, wobbles and staggers",
        "unsteady, glazed look",
        "shaking",
        "fainted",
        "not thriving",
        "feels cool",
        "jaundiced",
        "coughs after each bottle",
        "bubbles at the nose",
        "the dam lay on it",
        "fell off the table",
        "bitten by the dam",
        "rejected by its mother",
        "left eye swollen shut",
        "ist schlapp",
    ] {
        assert_ne!(read(text, PUPPY), [], "{text}");
    }
    for text in [
        "no vomiting",
        "no vomiting or diarrhoea, suckles well",
        "not cold, not limp",
        "not limp or cold",
        "quiet",
        "restless at night",
        "suckles well, no trembling",
        "has not stopped suckling",
        "not refusing the teat",
        "no problem sucking",
        "cold nose",
        "sneezed, nothing else",
        "navel dry, not red",
        "cried once",
        "not crying",
        "limping on the left front leg",
        "a swollen toe",
        "stool firm, no blood",
        "the one with the blue collar sneezes",
        "pushed off the teat by the others",
        "gums pink, breathing quiet",
        "gums moist, not dry",
        "cool room this morning",
        "shakes a toy",
        "fell off the teat asleep",
        "sneezed once, eyes clear",
        "no cough after the bottle",
        "eyes open, not swollen",
        "lay on the heat pad",
        "cord stump fell off",
        "twitches in its sleep",
        "scale battery weak",
        "nails trimmed, one bled a drop",
    ] {
        assert_eq!(read(text, PUPPY), [], "{text}");
    }
}

#[test]
fn what_was_seen_on_a_newborn_is_judged_item_by_item() {
    // Usual checklist of the trade: anus open; eyes, navel and skull closed. Its cautions: a navel
    // that is red or wet, poor or no suck, no faeces. The words are our own choice.
    use NewbornLook::{CallTheVet, Good, Unusual};
    for (item, what, look) in [
        ("anus", "open", Good),
        ("anus", "Open, meconium passed", Good),
        ("anus", "normal", Good),
        ("anus", "not closed", Good),
        ("anus", "closed", CallTheVet),
        ("anus", "not open", CallTheVet),
        ("anus", "none, cannot pass faeces", CallTheVet),
        ("anus", "no opening", CallTheVet),
        ("anus", "missing", CallTheVet),
        ("anus", "kein After", CallTheVet),
        ("anus", "a little red", Unusual),
        ("navel", "closed", Good),
        ("navel", "dry and clean", Good),
        ("navel", "dry, no bleeding, no hernia", Good),
        ("navel", "bleeding, does not stop", CallTheVet),
        ("navel", "still bleeds a little", CallTheVet),
        ("navel", "red and wet", CallTheVet),
        ("navel", "open", CallTheVet),
        ("navel", "small hernia", Unusual),
        ("navel", "bleeding stopped", Unusual),
        ("navel", "not dry", Unusual),
        ("eyes", "closed", Good),
        ("eyes", "both shut, no pus", Good),
        ("eyes", "not open yet", Good),
        ("eyes", "open", Unusual),
        ("eyes", "left one open", Unusual),
        ("skull", "closed", Good),
        ("skull", "fontanelle closed", Good),
        ("skull", "open", Unusual),
        ("skull", "open fontanelle", Unusual),
        ("limbs", "good", Good),
        ("limbs", "all four straight", Good),
        ("limbs", "closed", Unusual),
        ("tail", "kinked", Unusual),
        ("suck", "strong", Good),
        ("suck reflex", "very strong", Good),
        ("suck", "weak", CallTheVet),
        ("suck", "none", CallTheVet),
        ("suck", "not good", CallTheVet),
        ("suck", "weak at first, strong an hour later", Unusual),
        ("skin", "pink", Good),
        ("skin", "open sore on the back", CallTheVet),
        ("limbs", "limp all over", CallTheVet),
        ("limbs", "a word nobody knows", Unusual),
    ] {
        assert_eq!(newborn(item, what), look, "{item}: {what}");
    }
}

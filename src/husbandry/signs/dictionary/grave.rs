//! Words of what is grave whenever it is seen.

/// More than the usual discharge.
pub(super) const POURING: &[&str] = &[
    "soak", "pour", "gush", "clot=", "clots=", "heavy", "heavily", "tropft", "läuft",
];
pub(super) const BLOODY: &[&str] = &["blood", "blut"];
pub(super) const RUNS: &[&str] = &["diarrh", "durchfall", "stool", "faec", "feces", "kot="];
/// What she does to puppies.
pub(super) const HARMS: &[&str] = word_list!(
    "attack, aggress, savag, killed, kills, ate a, eats her, eating her, mauled, beißt, \
     totgebissen, aggressiv"
);
/// What no dog should swallow.
pub(super) const POISON: &[&str] = word_list!(
    "poison, toxic, xylitol, rat bait, slug bait, slug pellet, antifreeze, vergift, \
     ate chocolate, eaten chocolate, ate raisins, ate grapes, ate onion, schokolade gefressen, \
     rattengift"
);
pub(super) const BELLY: &[&str] = &["belly", "abdomen", "stomach", "tummy", "bauch"];
pub(super) const TIGHT: &[&str] = &[
    "hard=", "tight", "swoll", "distend", "tense", "drum", "hart=", "prall",
];
pub(super) const TWISTED: &[&str] =
    word_list!("bloat, retch, tries to vomit, trying to vomit, würgt, aufgebläht");

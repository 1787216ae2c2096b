//! Words of a birth that does not go on.

/// Hard labour. Contractions alone are those of the first stage as well.
pub(super) const STRAINING: &[&str] = word_list!(
    "straining, strains=, strain=, strained, pushing, pushes, push=, pushed, bearing down, \
     presst, preßt, pressen, presswehen"
);
pub(super) const CONTRACTIONS: &[&str] = &["contraction", "labour=", "labor=", "wehen"];
/// That nothing comes of it.
pub(super) const NOTHING_COMES: &[&str] = word_list!(
    "nothing comes, nothing came, nothing coming, nothing has come, nothing happen, \
     nothing to show, no puppy, no puppies, no pup=, no pups=, without a puppy, without puppy, \
     without a pup=, without result, no result, no progress, unproductive, in vain, kein welpe, \
     keine welpen, ohne welpe, ohne erfolg, nichts kommt, kommt nichts, kommt kein"
);
/// Half an hour or longer, or near it.
pub(super) const HALF_AN_HOUR: &[&str] = word_list!(
    "20= min, 25= min, 30= min, 35= min, 40= min, 45= min, 50= min, 60= min, 90= min, 20min, \
     30min, 40min, 45min, 60min, 90min, half an hour, half hour, an hour, one hour, 1= h=, \
     1= hour, 1h=, halbe stunde, halben stunde, eine stunde, einer stunde, 1= stunde"
);
/// Two hours or longer.
pub(super) const HOURS: &[&str] = word_list!(
    "hours=, 2= h=, 3= h=, 4= h=, 5= h=, 6= h=, 2h=, 3h=, 4h=, 5h=, 6h=, 2= hr, 3= hr, 4= hr, \
     stunden, all night, all day"
);
/// A puppy on its way that goes no further.
pub(super) const STUCK: &[&str] = word_list!(
    "stuck, half out, halfway out, half way out, partly out, hanging out, cannot get it out, \
     can't get it out, cannot be pulled, steckt, hängt fest"
);
pub(super) const ON_ITS_WAY: &[&str] = &[
    "pup", "welpe", "head=", "feet=", "legs=", "breech", "tail=", "kopf", "beine",
];
pub(super) const WATERS: &[&str] = word_list!(
    "water broke, waters broke, water has broken, waters have broken, waters broken, water bag, \
     waterbag, bag of water, water sac, fruchtblase, blasensprung, fruchtwasser"
);
/// Labour that has ended too early, and what it is called.
pub(super) const INERTIA: &[&str] = word_list!(
    "inertia, dystoc, obstructed, malpresent, stopped pushing, stopped straining, \
     stopped contract, stopped labour, stopped labor, labour stopped, labor stopped, \
     labour has stopped, labor has stopped, labour ceased, contractions stopped, \
     contractions have stopped, contractions ceased, contractions weaker, \
     contractions getting weaker, no more contractions, exhausted, wehenschwäche, \
     wehenstillstand, wehen hören auf, wehen haben aufgehört, geburtsstillstand"
);
/// The time since the last puppy.
pub(super) const SINCE_THE_LAST: &[&str] = word_list!(
    "no puppy for, no pup for, no puppies for, no more puppies for, no further puppy for, \
     nothing for, since the last, since last pup, since the first, since first pup, \
     seit dem letzten, seit dem ersten, kein welpe seit"
);
pub(super) const INSIDE: &[&str] = word_list!(
    "still inside, left inside, more inside, one inside, another inside, still in her, \
     still one in, retained pup, retained foet, retained fet, noch drin, noch im bauch"
);
/// A litter that is lost before its time.
pub(super) const LOSS: &[&str] = word_list!(
    "aborted, aborting, abortion, miscarr, lost the litter, losing the litter, losing the pup, \
     dead foetus, dead fetus, foetus found, fetus found, passed a foetus, passed a fetus, \
     fehlgeburt, verworfen, verwirft"
);
pub(super) const PROLAPSE: &[&str] = word_list!(
    "prolaps, uterus out, uterus is out, womb out, womb is out, hanging from the vulva, \
     hangs from the vulva, hanging out of the vulva, hanging out of her, vorfall"
);

//! `publish`: read, check, compute, choose for each audience, seal, render, write.
//!
//! In: the kennel's folder. Out: `public/` and `private/`, each swapped in whole, or the old ones as they were. One record with an error stops the publication: a site that left
//! a litter out because of a slip would have changed without anybody having said so.

use super::site::{Options, Shop};
use super::{Outcome, Status};
use crate::{Error, audience};
use std::{fmt::Write, path::Path, time::Instant};

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    options.on_threads(|| publish(kennel, options))
}

#[expect(clippy::disallowed_methods, reason = "the time a run took is for the closing line only")]
fn publish(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let begun = Instant::now();
    let shop = Shop::open(kennel, options)?;
    let Some(husbandry) = shop.husbandry() else {
        return Ok(shop.refused("nothing was published: the site is as it was before"));
    };
    let mut err = shop.err.clone();
    let owners = audience::owner::pages(husbandry.records, &husbandry.figures, &husbandry.album);
    let keyring = shop.keyring(&owners, &mut err)?;
    let mut out = shop.publish(&husbandry, &keyring, &owners, &mut err)?;
    let _ = writeln!(out, "published {} in {:.1} s", husbandry.records.kennel.name, begun.elapsed().as_secs_f64());
    Ok(Outcome { out, err, status: Status::Clean })
}

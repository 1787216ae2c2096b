//! For tests of this floor and of those above it: kennels made for one test, and the rows of what
//! is asked of them.
//!
//! In: files as a keeper writes them. Out: their records, which have no error.

#![allow(
    clippy::missing_panics_doc,
    clippy::unwrap_used,
    reason = "for tests alone"
)]

use crate::quantity::Day;
use crate::records::{Records, load};
use chrono::{TimeZone, Utc};
use std::fs;

/// Rows of what is asked, what comes of it, and why if need be; each is held on its own.
#[macro_export]
macro_rules! each {
    ($($asked:expr => $expected:expr $(, $why:literal)?;)+) => {
        $(assert_eq!($asked, $expected $(, $why)?);)+
    };
}
pub use crate::each;

/// A day that is written rightly.
#[must_use]
pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// A kennel with a dam `d`, a sire `s` and these files, the later in place of one before it.
#[must_use]
#[expect(clippy::disallowed_methods, reason = "a kennel made for one test")]
pub fn kennel(today: &str, region: Option<&str>, files: &[(&str, &str)]) -> Records {
    let home = tempfile::tempdir().unwrap();
    let region = region.map_or_else(String::new, |region| format!("region: {region}\n"));
    let head = format!(
        "name: K\nbreed: B\ncontact: {{ keeper: K, email: k@k.example }}\ncountry: \
         GB\n{region}time_zone: UTC\nas_of: {today}\n"
    );
    let always = [
        ("kennel.yaml", head.as_str()),
        ("dogs/d.yaml", "name: D\nsex: female\n"),
        ("dogs/s.yaml", "name: S\nsex: male\n"),
    ];
    for (file, text) in always.iter().chain(files) {
        let path = home.path().join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    let now = Utc.with_ymd_and_hms(2027, 12, 1, 0, 0, 0).unwrap();
    let loaded = load(home.path(), now).unwrap();
    assert!(!loaded.has_errors(), "{:#?}", loaded.problems);
    loaded.records.unwrap().into_inner()
}

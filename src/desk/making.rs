//! Making everything again after a change.
//!
//! In: the kennel's folder as it is now, and what was seen before. Out: [`MadeSites`]: what is to
//! be seen now, and a line about it. It goes the way of `publish`, into folders of its own;
//! whatever goes wrong becomes a page, since the desk goes on.

use super::Shown;
use super::standing::{stamps, standing};
use crate::app::folder::Folder;
use crate::app::kept::KeptRecords;
use crate::app::loading::Husbandry;
use crate::app::problems;
use crate::app::progress::{Progress, Watched};
use crate::app::publisher::Publisher;
use crate::app::secrets;
use crate::app::session::Session;
use crate::app::site::Options;
use crate::app::terminal::{many, now};
use crate::audience::keeper::ProblemsPage;
use crate::keyring::{Keyring, SigningKeys};
use crate::output::private_folder;
use crate::pages::{Engine, problems_page};
use crate::quantity::{Day, counted};
use crate::records::kennel::Zone;
use crate::{Error, audience};
use rayon::ThreadPool;
use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// What a run came to.
pub(super) struct MadeSites {
    pub(super) shown: Shown,
    /// For the terminal.
    pub(super) said: String,
    /// It failed for a reason outside the records: it is tried again.
    pub(super) again: bool,
}

/// Makes the site and the book as often as need be.
pub(super) struct Maker {
    kept: KeptRecords,
    folder: Folder,
    options: Options,
    /// Kept from run to run: new threads would begin with no memory of their own.
    pool: Option<ThreadPool>,
    /// A key to sign with where the kennel has none yet; forgotten at the end.
    spare: SigningKeys,
    /// The day that the pages were made for, where it is not pinned, and the time zone that says
    /// when it is over.
    day: Option<(Day, Zone)>,
    /// What the pages were made from, as the system tells of it.
    inputs: Option<String>,
    /// The same of what stands there now, when it was looked at since.
    looked: Option<String>,
    /// What was said last of the problems and of pages that are left out.
    last: [String; 2],
}

/// What one run found.
enum RunFound {
    Site {
        below: Option<String>,
        counts: String,
        left_out: Vec<String>,
        /// Whether nothing changed in the site and in the book.
        untouched: [bool; 2],
    },
    Problems {
        page: ProblemsPage,
        counts: String,
        drawn: String,
    },
}

impl Maker {
    pub(super) fn new(kept: KeptRecords, folder: Folder, options: Options) -> Self {
        Self {
            kept,
            folder,
            options,
            pool: None,
            spare: SigningKeys::default(),
            day: None,
            inputs: None,
            looked: None,
            last: Default::default(),
        }
    }

    /// Makes everything again.
    #[expect(
        clippy::disallowed_methods,
        reason = "the time a run took is for the line about it only"
    )]
    pub(super) fn make(&mut self, before: &Shown) -> MadeSites {
        let begun = Instant::now();
        // What was looked at a moment ago need not be looked at again: what changes from then on is
        // told of.
        self.inputs = self.looked.take().or_else(|| inputs_of(&self.folder));
        match self.try_to() {
            Ok(RunFound::Site {
                below,
                counts,
                left_out,
                untouched,
            }) => {
                self.options.made_once();
                // The folders are looked at once; from then on the writer says whether it changed
                // something.
                let standing = |at: usize, name: &str, known: &str| {
                    if before.instead.is_some() || known.is_empty() {
                        self.standing(name)
                    } else if untouched[at] {
                        known.to_owned()
                    } else {
                        blake3::hash(known.as_bytes()).to_hex()[..16].to_owned()
                    }
                };
                let public = standing(0, "public", &before.public);
                let private = standing(1, "private", &before.private);
                let shown = Shown {
                    public,
                    private,
                    instead: None,
                    with: 0,
                    below,
                };
                let said = line(
                    &format!("{}{counts}", changed(before, &shown)),
                    Some(begun.elapsed()),
                );
                self.last[0].clear();
                MadeSites {
                    shown,
                    said: said + &self.left_out(&left_out),
                    again: false,
                }
            }
            Ok(RunFound::Problems {
                page,
                counts,
                drawn,
            }) => {
                let has_begun = self.folder.content.join("kennel.yaml").exists();
                let (words, drawn) = if has_begun {
                    (format!("{counts}, shown in place of the pages"), drawn)
                } else {
                    let words = "no kennel stands here yet: it begins in the browser";
                    (words.to_owned(), String::new())
                };
                let mut said = line(&words, None);
                if self.last[0] != drawn {
                    said = format!("{said}\n{drawn}");
                    self.last[0] = drawn;
                }
                MadeSites {
                    shown: self.in_place_of_pages(&page, before),
                    said,
                    again: false,
                }
            }
            Err(error) => {
                let why = error.to_string();
                let said = if self.last[0] == why {
                    String::new()
                } else {
                    line(&format!("stopped: {why}"), None)
                };
                self.last[0].clone_from(&why);
                // What another program holds, or a full disk, passes without a change of the
                // records.
                let again = matches!(error, Error::Io { .. } | Error::Write(_) | Error::Usage(_));
                MadeSites {
                    shown: self.in_place_of_pages(&ProblemsPage::stopped(&why), before),
                    said,
                    again,
                }
            }
        }
    }

    /// What is shown when the program itself broke off.
    pub(super) fn broke_off(&self, before: &Shown) -> MadeSites {
        let why = "This is a fault of litterfolio, not of your records. What it says of it stands \
                   in the terminal.";
        let shown = self.in_place_of_pages(&ProblemsPage::stopped(why), before);
        MadeSites {
            shown,
            said: line(
                "stopped by a fault of the program; it goes on with your next change",
                None,
            ),
            again: false,
        }
    }

    /// Whether the day is over for which the pages were made.
    pub(super) fn day_is_over(&self) -> bool {
        self.day
            .is_some_and(|(day, zone)| Day::from(now().with_timezone(&zone.0).date_naive()) != day)
    }

    /// A page that stands in place of all others. The keeper's own template is used when it can be.
    pub(super) fn in_place_of_pages(&self, page: &ProblemsPage, before: &Shown) -> Shown {
        let with = |own: &BTreeMap<String, String>| {
            Engine::with(own)
                .ok()
                .and_then(|engine| problems_page(&engine, page).ok())
        };
        let own = self
            .folder
            .own_templates()
            .ok()
            .filter(|own| !own.is_empty());
        let html = own
            .and_then(|own| with(&own))
            .or_else(|| with(&BTreeMap::new()))
            .unwrap_or_default();
        let made = format!("not-{}", &blake3::hash(html.as_bytes()).to_hex()[..16]);
        Shown {
            public: made.clone(),
            private: made,
            instead: Some(Arc::from(html)),
            with: 0,
            below: before.below.clone(),
        }
    }

    fn try_to(&mut self) -> Result<RunFound, Error> {
        // Somebody may have cleared the folder away meanwhile.
        let folder = Folder::keeping(&self.folder.root, &self.kept)?;
        make_place(&folder)?;
        let options = &self.options;
        let pool = match self.pool.take() {
            Some(pool) => pool,
            None => options.pool()?,
        };
        let pool = self.pool.insert(pool);
        let (spare, day) = (&mut self.spare, &mut self.day);
        pool.install(|| {
            // Its lines are short; how far a run is would only be in their way.
            let progress = Progress::new(Watched::Nobody);
            let publisher = Publisher::open(Session::of(folder, options)?, &progress)?;
            *day = publisher
                .loaded()
                .records
                .as_ref()
                .filter(|records| records.kennel.as_of.is_none())
                .map(|r| (r.today, r.kennel.time_zone));
            if spare.is_empty() {
                spare
                    .draw(&mut secrets::random)
                    .map_err(crate::keyring::KeyringError::from)?;
            }
            let (_, found) =
                publisher.attempt(&progress, |publisher| match publisher.husbandry() {
                    Some(husbandry) => site(publisher, &husbandry, spare, &progress),
                    None => Ok(problems(publisher)),
                })?;
            Ok(found)
        })
    }

    /// Whether anything that the pages are made from changed since they were.
    pub(super) fn has_changed(&mut self) -> bool {
        let now = inputs_of(&self.folder);
        let has_changed = self.inputs.is_none() || self.inputs != now;
        self.looked = now.filter(|_| has_changed);
        has_changed
    }

    /// What stands in one of the two folders.
    fn standing(&self, name: &str) -> String {
        standing(&[self.folder.state.join("desk").join(name)])
    }

    /// Said once, and again when it is about other puppies.
    fn left_out(&mut self, keys: &[String]) -> String {
        let said = match keys {
            [] => String::new(),
            [one] => format!(
                "note: {one} has no access code yet: `publish` draws one, and makes its sealed \
                 page\n"
            ),
            [one, rest @ ..] => {
                format!(
                    "note: {one} and {} have no access code yet: `publish` draws them, and makes \
                     the sealed pages\n",
                    many(rest.len(), "other")
                )
            }
        };
        if self.last[1] == said {
            return String::new();
        }
        self.last[1].clone_from(&said);
        said
    }
}

/// What the pages are made from, as the system tells of it.
fn inputs_of(folder: &Folder) -> Option<String> {
    let secrets = ["codes.yaml", "signing-keys.json"].map(|name| folder.root.join(name));
    let places = [folder.content.clone(), folder.templates.clone()];
    stamps(&[&places[..], &secrets[..]].concat())
}

/// The folder of desks, which only the keeper may enter.
pub(super) fn make_place(folder: &Folder) -> Result<(), Error> {
    std::fs::create_dir_all(&folder.state)
        .map_err(|error| Error::io("make the folder", &folder.state, error))?;
    Ok(private_folder(&folder.state.join("desk")).map_err(crate::keyring::KeyringError::from)?)
}

fn site(
    publisher: &Publisher,
    husbandry: &Husbandry<'_>,
    spare: &SigningKeys,
    progress: &Progress,
) -> Result<RunFound, Error> {
    // What `publish` would stop at stops the desk as well; the look is at the keeper's own site
    // and memory.
    let folder = &publisher.session.folder;
    Keyring::look(&folder.root, &folder.state, &folder.public)?.is_sound()?;
    let mut keyring = publisher.session.keyring_as_it_is()?;
    if keyring.signing.is_empty() {
        keyring.signing = spare.clone();
    }
    let mut owners =
        audience::owner::pages(husbandry.records, &husbandry.figures, &husbandry.album);
    let mut left_out = Vec::new();
    owners.retain(|page| {
        let Some(family) = &page.family else {
            return true;
        };
        let has_code = keyring.codes.is_of(&page.key, family);
        if !has_code {
            left_out.push(page.key.clone());
        }
        has_code
    });
    let made = publisher.make(husbandry, &keyring, &owners, progress)?;
    let published = publisher.write(&keyring, &made, progress)?;
    let untouched = [0, 1].map(|at| published.folders[at].1.is_untouched());
    let records = husbandry.records;
    let puppies: usize = records
        .litters
        .values()
        .map(|litter| litter.litter.puppies.len())
        .sum();
    let puppies = counted(puppies, "puppy", "puppies");
    let problems = problems::counts(publisher.loaded());
    let problems = problems
        .split(';')
        .next()
        .map(str::trim)
        .filter(|counts| !counts.is_empty())
        .map(|counts| format!("; {counts}"));
    Ok(RunFound::Site {
        below: records
            .kennel
            .site
            .as_ref()
            .map(|site| site.path().to_owned()),
        counts: format!(
            ": {}, {puppies}{}",
            many(records.litters.len(), "litter"),
            problems.unwrap_or_default()
        ),
        left_out,
        untouched,
    })
}

fn problems(publisher: &Publisher) -> RunFound {
    let loaded = publisher.loaded();
    RunFound::Problems {
        page: ProblemsPage::of(&loaded.problems, &loaded.sources),
        counts: problems::counts(loaded).trim_end().to_owned(),
        drawn: problems::shown(&publisher.session.folder, loaded),
    }
}

fn changed(before: &Shown, now: &Shown) -> &'static str {
    match (
        before.instead.is_some(),
        before.public != now.public,
        before.private != now.private,
    ) {
        (true, ..) => "site and book are shown",
        (false, true, true) => "site and book changed",
        (false, true, false) => "the site changed",
        (false, false, true) => "the book changed",
        (false, false, false) => "all as before",
    }
}

/// A line with the time of day.
fn line(text: &str, took: Option<Duration>) -> String {
    let took = took
        .map(|took| format!(" ({:.1} s)", took.as_secs_f64()))
        .unwrap_or_default();
    format!(
        "{}  {text}{took}\n",
        now().with_timezone(&chrono::Local).format("%H:%M:%S")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn maker() -> (tempfile::TempDir, Maker) {
        let home = tempfile::tempdir().unwrap();
        std::fs::create_dir(home.path().join("content")).unwrap();
        let folder = Folder::new(home.path()).unwrap();
        let options = Options::at(
            home.path().join("public"),
            home.path().join("private"),
            None,
        );
        let maker = Maker::new(KeptRecords::default(), folder, options);
        (home, maker)
    }

    #[test]
    fn a_day_is_over_when_the_next_has_begun_where_the_kennel_is() {
        let (_home, mut maker) = maker();
        assert!(!maker.day_is_over(), "what is pinned is never over");
        let zone: Zone = "Pacific/Auckland".parse().unwrap();
        let today = now().with_timezone(&zone.0).date_naive();
        maker.day = Some((today.pred_opt().unwrap().into(), zone));
        assert!(maker.day_is_over());
        maker.day = Some((now().with_timezone(&zone.0).date_naive().into(), zone));
        assert!(!maker.day_is_over());
    }

    #[test]
    fn a_page_in_place_of_all_others_changes_with_what_it_says() {
        let (home, maker) = maker();
        let stopped =
            |why: &str| maker.in_place_of_pages(&ProblemsPage::stopped(why), &Shown::default());
        let (one, other) = (
            stopped("the disk is full"),
            stopped("the <disk> is & was full"),
        );
        assert!(
            one.public == one.private
                && one.public != other.public
                && one == stopped("the disk is full")
        );
        assert!(
            other
                .instead
                .unwrap()
                .contains("the &lt;disk&gt; is &amp; was full")
        );
        // The keeper's own template takes its place, unless it is what is broken.
        let own = home.path().join("templates/keeper/problems.html");
        std::fs::create_dir_all(own.parent().unwrap()).unwrap();
        crate::output::replace_public(&own, b"<p>Own: {{ page.stopped }}</p>").unwrap();
        assert_eq!(&*stopped("full").instead.unwrap(), "<p>Own: full</p>");
        crate::output::replace_public(&own, b"{% if %}").unwrap();
        assert!(
            stopped("full")
                .instead
                .unwrap()
                .contains("The pages cannot be made")
        );
    }
}

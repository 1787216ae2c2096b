//! The words under a picture: what the keeper wrote, and how old the puppies were.
//!
//! In: a picture of a litter's folder, the day it was taken (by the camera, or by the keeper, who
//! knows better), the birth. Out: a few words for whoever may see the picture. The age is told in
//! whole weeks, as people say it. Never: the hour or the place; a date for anybody but the keeper;
//! an age before the birth, or on a day that is still to come, which a camera with a wrong clock
//! will claim.

use super::shown::Dated;
use super::{Album, Picture};
use crate::husbandry::age;
use crate::quantity::{Day, capital};
use crate::records::LitterFolder;
use crate::records::litter::{AgeShown, PictureNote};
use crate::records::photo::PhotoFile;

/// What is known of one picture.
struct KnownPicture {
    words: Option<String>,
    age: Option<String>,
    is_hidden: bool,
    taken: Option<Day>,
    /// Whether the keeper wrote the day, and not the camera.
    is_corrected: bool,
}

/// For everybody who may see the picture: `Moss and the boot, at 7 weeks`.
pub(super) fn for_everyone(
    folder: &LitterFolder,
    photo: &PhotoFile,
    album: &Album,
    today: Day,
) -> Option<String> {
    let KnownPicture {
        words,
        age,
        is_hidden,
        taken: _,
        is_corrected: _,
    } = known(folder, photo, album, today);
    joined(words, age.filter(|_| !is_hidden))
}

/// For the keeper, who also sees when the picture was taken and who says so, or why there is no
/// age.
pub(super) fn for_the_keeper(
    folder: &LitterFolder,
    photo: &PhotoFile,
    album: &Album,
    today: Day,
) -> String {
    let KnownPicture {
        words,
        age,
        is_hidden,
        taken,
        is_corrected,
    } = known(folder, photo, album, today);
    let reason = match (&age, taken) {
        (_, None) => "no date",
        (Some(_), _) if is_hidden => "age hidden",
        (Some(_), _) => "",
        (None, Some(on)) if on > today => "still to come: no age is shown",
        (None, Some(_)) if folder.litter.birth.is_some() => "before the birth: no age is shown",
        (None, Some(_)) => "no birth yet: no age is shown",
    };
    let on = taken.map(|on| {
        format!(
            "{}, {}",
            Dated::from(on).words,
            if is_corrected {
                "by litter.yaml"
            } else {
                "by the camera"
            }
        )
    });
    let aside: Vec<String> = on
        .into_iter()
        .chain((!reason.is_empty()).then(|| reason.to_owned()))
        .collect();
    let shown = joined(words, age.filter(|_| !is_hidden))
        .map_or_else(String::new, |shown| format!("{shown} "));
    format!("{shown}({})", aside.join("; "))
}

/// The day of a picture, for putting the newest first; the name of its file where nobody says when
/// it was taken.
pub(super) fn in_time<'a>(
    folder: &LitterFolder,
    photo: &'a PhotoFile,
    album: &Album,
    today: Day,
) -> (Option<Day>, &'a str) {
    (known(folder, photo, album, today).taken, &photo.file)
}

fn known(folder: &LitterFolder, photo: &PhotoFile, album: &Album, today: Day) -> KnownPicture {
    let camera = album.get(&photo.file).and_then(
        |Picture {
             key: _,
             sizes: _,
             taken,
         }| *taken,
    );
    let note = folder
        .litter
        .pictures
        .iter()
        .find(|note| note.file.as_str() == photo.name());
    let (words, corrected, shown) = match note {
        Some(PictureNote {
            file: _,
            caption,
            taken,
            age,
            order: _,
            turn: _,
        }) => (caption.as_ref().map(ToString::to_string), *taken, *age),
        None => (None, None, AgeShown::Shown),
    };
    let taken = corrected.or(camera);
    let born = match photo.puppy.as_ref().and_then(|id| folder.puppy(id)) {
        Some(puppy) => folder.litter.born_on(puppy),
        None => folder.litter.birth.as_ref().map(|birth| birth.on),
    };
    let age = born
        .zip(taken.filter(|on| *on <= today))
        .and_then(|(born, on)| age::on_a_picture(born, on));
    KnownPicture {
        words,
        age,
        is_hidden: shown == AgeShown::Hidden,
        taken,
        is_corrected: corrected.is_some(),
    }
}

/// Both with a comma between, or one of them; an age alone begins the line.
fn joined(words: Option<String>, age: Option<String>) -> Option<String> {
    match (words, age) {
        (Some(words), Some(age)) => Some(format!("{}, {age}", words.trim_end_matches('.'))),
        (None, Some(age)) => Some(capital(&age)),
        (words, None) => words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cache::Tracked;
    use crate::husbandry::testing::day;
    use std::path::PathBuf;

    /// The words for everybody and for the keeper, of a picture that the camera took on `camera`.
    fn captions(camera: Option<&str>, more: &str) -> (Option<String>, String) {
        let yaml = format!(
            "{{ name: A, dam: juno, sire: corvin, birth: {{ on: 2026-08-01, how: natural }}, \
             {more} }}"
        );
        let litter = serde_yaml::from_str(&yaml).unwrap();
        let photo = PhotoFile {
            file: "litters/a/photos/box.jpg".to_owned(),
            path: PathBuf::new(),
            puppy: None,
            private: false,
            turn: None,
        };
        let mut album = Album::default();
        album.insert(
            photo.file.clone(),
            Picture {
                key: String::new(),
                sizes: Vec::new(),
                taken: camera.map(day),
            },
        );
        let folder = LitterFolder {
            id: "a".parse().unwrap(),
            litter,
            weigh_ins: Tracked::default(),
            bare_unit: None,
            health: Tracked::default(),
            notes: Tracked::default(),
            photos: vec![photo].into(),
        };
        let photo = &folder.photos[0];
        let today = day("2026-10-09");
        (
            for_everyone(&folder, photo, &album, today),
            for_the_keeper(&folder, photo, &album, today),
        )
    }

    #[test]
    fn the_camera_says_how_old_the_puppies_were() {
        let (all, keeper) = captions(Some("2026-08-24"), "");
        assert_eq!(all.as_deref(), Some("At 3 weeks"));
        assert_eq!(keeper, "At 3 weeks (24 August 2026, by the camera)");
    }

    #[test]
    fn a_wrong_clock_gives_no_age() {
        for (camera, why) in [
            (
                "2012-01-01",
                "(1 January 2012, by the camera; before the birth: no age is shown)",
            ),
            (
                "2026-07-31",
                "(31 July 2026, by the camera; before the birth: no age is shown)",
            ),
            (
                "2026-10-10",
                "(10 October 2026, by the camera; still to come: no age is shown)",
            ),
        ] {
            assert_eq!(captions(Some(camera), ""), (None, why.to_owned()));
        }
        assert_eq!(captions(None, ""), (None, "(no date)".to_owned()));
    }

    #[test]
    fn the_keeper_knows_better_than_the_camera() {
        let (all, keeper) = captions(
            Some("2012-01-01"),
            "pictures: [{ file: box.jpg, taken: 2026-08-01, caption: All six. }]",
        );
        assert_eq!(all.as_deref(), Some("All six, on the day of birth"));
        assert_eq!(
            keeper,
            "All six, on the day of birth (1 August 2026, by litter.yaml)"
        );
        let (all, keeper) = captions(
            Some("2026-08-24"),
            "pictures: [{ file: box.jpg, age: hidden }, { file: other.jpg, caption: Else }]",
        );
        assert_eq!(all, None);
        assert_eq!(keeper, "(24 August 2026, by the camera; age hidden)");
    }
}

//! Writes the papers of a kennel's puppies, so that other people's libraries can judge them.
//!
//! In: a content folder, a moment of universal time and an empty folder. Out: for every puppy that
//! a family takes, a folder `LITTER-PUPPY` with its papers on A4, in `letter/` its PDFs on
//! Letter, and `cover.pdf` with a made-up address and code, which stand beside it in `cover.json`;
//! and once `public.jwk` and `record.schema.json`. The key and the codes are made of fixed bytes:
//! for judging only. Only the public functions of the library are called, and nothing is computed
//! here. The time that the papers took is said on standard error.

use chrono::{DateTime, Utc};
use litterfolio::audience::{Album, Picture, owner};
use litterfolio::husbandry::compute;
use litterfolio::pages::{Papers, Photos, Sheet, cover, papers, record_schema};
use litterfolio::photos::prepare;
use litterfolio::records::{Records, load};
use litterfolio::sealing::{code::AccessCode, jws::SigningKey};
use serde_json::json;
use std::io::{Write, stderr};
use std::path::{Path, PathBuf};
use std::{fs, process::ExitCode};

type Fallible<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [content, now, out] = words.as_slice() else {
        let _ = writeln!(stderr(), "papers: give CONTENT NOW OUT");
        return ExitCode::from(2);
    };
    match write_all(Path::new(content), now, Path::new(out)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            let _ = writeln!(stderr(), "papers: {error}");
            ExitCode::from(2)
        }
    }
}

/// A source of bytes that can be foreseen, from a first one.
fn counted(first: u8) -> impl FnMut(&mut [u8]) -> Result<(), litterfolio::sealing::NoRandomness> {
    let mut next = first;
    move |bytes: &mut [u8]| {
        bytes.fill_with(|| {
            next = next.wrapping_mul(5).wrapping_add(7);
            next
        });
        Ok(())
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "the time is measured, and never in a file"
)]
fn write_all(content: &Path, now: &str, out: &Path) -> Fallible<()> {
    let now: DateTime<Utc> = now.parse()?;
    let records = load(content, now)?
        .records
        .ok_or("there is no kennel that can be read")?;
    let (photos, album) = pictures(&records)?;
    let figures = compute(&records);
    let key = SigningKey::generate(&mut counted(1))?;
    write(&out.join("public.jwk"), key.public().to_jwk().as_bytes())?;
    let site = records
        .kennel
        .site
        .as_ref()
        .map(|site| site.as_str().to_owned());
    write(
        &out.join("record.schema.json"),
        format!("{:#}\n", record_schema(site.as_deref())).as_bytes(),
    )?;
    for (n, page) in (1_u8..).zip(owner::pages(&records, &figures, &album)) {
        let folder = out.join(page.key.replace('/', "-"));
        let begun = std::time::Instant::now();
        let made = papers(&page, &photos, &key, Sheet::A4)?;
        let _ = writeln!(
            stderr(),
            "{}: {:.1} ms, PDF of {} bytes",
            page.key,
            begun.elapsed().as_secs_f64() * 1000.0,
            made.files.first().map_or(0, |f| f.bytes.len())
        );
        write_papers(&folder, &made)?;
        let letter = papers(&page, &photos, &key, Sheet::Letter)?;
        for file in letter
            .files
            .iter()
            .filter(|file| file.media_type == "application/pdf")
        {
            write(&folder.join("letter").join(&file.name), &file.bytes)?;
        }
        let code = AccessCode::generate(&mut counted(n))?;
        let address = site
            .as_ref()
            .map(|site| format!("{site}f/{}-{n}.html", page.stem));
        write(
            &folder.join("cover.pdf"),
            &cover(&page, address.as_deref(), &code, Sheet::A4)?,
        )?;
        write(
            &folder.join("letter/cover.pdf"),
            &cover(&page, None, &code, Sheet::Letter)?,
        )?;
        write(
            &folder.join("cover.json"),
            json!({ "address": address, "code": code.to_string() })
                .to_string()
                .as_bytes(),
        )?;
    }
    Ok(())
}

fn write_papers(folder: &Path, papers: &Papers) -> Fallible<()> {
    for file in &papers.files {
        write(&folder.join(&file.name), &file.bytes)?;
    }
    let slices: Vec<_> = papers
        .pictures
        .iter()
        .map(|s| {
            json!({
                "name": s.name,
                "at": s.at,
                "length": s.length,
                "width": s.width,
                "height": s.height
            })
        })
        .collect();
    write(
        &folder.join("slices.json"),
        json!(slices).to_string().as_bytes(),
    )
}

#[expect(
    clippy::disallowed_methods,
    reason = "this is not the program: it writes into a folder of its own, for the judges"
)]
fn write(file: &PathBuf, bytes: &[u8]) -> Fallible<()> {
    fs::create_dir_all(file.parent().unwrap_or(file))?;
    Ok(fs::write(file, bytes)?)
}

/// Every picture of the litters, prepared as `publish` does.
fn pictures(records: &Records) -> Fallible<(Photos, Album)> {
    let (mut photos, mut album) = (Photos::new(), Album::default());
    for file in records.litters.values().flat_map(|folder| &folder.photos) {
        let photo = prepare(&fs::read(&file.path)?, &[480, 960, 1600])?;
        let sizes = photo
            .renditions
            .iter()
            .map(|r| (r.width, r.height))
            .collect();
        album.insert(
            file.file.clone(),
            Picture {
                key: photo.key.clone(),
                sizes,
                taken: photo.taken.map(|at| at.date().into()),
            },
        );
        photos.insert(file.file.clone(), photo.into());
    }
    Ok((photos, album))
}

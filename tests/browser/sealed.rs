//! Makes the sealed pages of a kennel's puppies, with their codes, for the judges that open them in a browser.
//!
//! In: the content folder, the folder to write into. Out: in that folder `<puppy>.html`, the files of each puppy in `<puppy>/`, and `pages.json`: one object for each page with its file, its
//! code, the files it must offer and words that may stand nowhere around the sealed text; in `check/` the page on which a record can be checked. Codes and the signing key are drawn anew each time and are good for nothing else.

#![allow(clippy::unwrap_used, clippy::disallowed_methods, reason = "a tool of the judges may stop where it stands, and writes where it is told to")]

use litterfolio::audience::{Album, Picture, owner, visitor::Frame};
use litterfolio::pages::{self, Engine, Photos, VisitorFrame};
use litterfolio::records::{Records, load};
use litterfolio::sealing::{NoRandomness, code::AccessCode, jwe, jws::SigningKey};
use litterfolio::{husbandry, photos};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::path::Path;
use std::{env, fs};

fn random(bytes: &mut [u8]) -> Result<(), NoRandomness> {
    getrandom::fill(bytes).map_err(|error| NoRandomness(error.to_string()))
}

fn main() {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let [content, folder] = arguments.as_slice() else { panic!("name the content folder and the folder to write into") };
    let folder = Path::new(folder);
    let now = "2026-10-09T12:00:00Z".parse().unwrap();
    let records = load(Path::new(content), now).unwrap().records.unwrap();
    let (photos, album) = pictures(&records);
    let figures = husbandry::compute(&records);
    let engine = Engine::new(&BTreeMap::new()).unwrap();
    let key = SigningKey::generate(&mut random).unwrap();
    fs::create_dir_all(folder).unwrap();
    let locked = owner::locked(&records.kennel);
    let made: Vec<Value> = owner::pages(&records, &figures, &album)
        .iter()
        .map(|page| {
            let papers = pages::papers(page, &photos, &key, pages::sheet_of(&page.record.kennel.country)).unwrap();
            let code = AccessCode::generate(&mut random).unwrap();
            let sealed = jwe::seal(&pages::owner_content(&engine, page, &papers).unwrap(), &code, &mut random).unwrap();
            fs::write(folder.join(format!("{}.html", page.stem)), pages::owner_envelope(&engine, &locked, &sealed).unwrap()).unwrap();
            fs::create_dir_all(folder.join(&page.stem)).unwrap();
            for file in &papers.files {
                fs::write(folder.join(&page.stem).join(&file.name), &file.bytes).unwrap();
            }
            told(page, &papers, &code)
        })
        .collect();
    let site = litterfolio::audience::visitor::site(&records, &figures, &album);
    check_page(&folder.join("check"), &engine, &site.frame, &key);
    fs::write(folder.join("pages.json"), format!("{:#}\n", Value::Array(made))).unwrap();
}

/// The page on which a record can be checked; a signed PDF, and a record that somebody else signed.
fn check_page(folder: &Path, engine: &Engine, frame: &Frame, key: &SigningKey) {
    fs::create_dir_all(folder).unwrap();
    let html = pages::record_check(engine, &VisitorFrame::new(frame), &[key.public().to_jwk()]).unwrap();
    fs::write(folder.join(pages::RECORD_CHECK), html).unwrap();
    let (head, tail) = ("%PDF-1.7\n%\u{e9}\n1 0 obj <<>> endobj\n", "startxref\n0\n%%EOF\n");
    let hash: String = Sha256::digest(format!("{head}{tail}")).iter().map(|byte| format!("{byte:02x}")).collect();
    let said = json!({ "sha256": hash, "record": "0123-4567-89AB-CDEF-GHJK", "name": "Moss", "up_to": "2026-10-08" }).to_string();
    let signed = key.sign(said.as_bytes());
    fs::write(folder.join("signed.pdf"), format!("{head}%litterfolio-signature: {signed}\n{tail}")).unwrap();
    let record = json!({ "format": 1, "puppy": { "name": "Moss" } });
    let others = SigningKey::generate(&mut random).unwrap().sign(record.to_string().as_bytes());
    fs::write(folder.join("others.json"), json!({ "record": record, "signature": others }).to_string()).unwrap();
}

fn told(page: &owner::OwnerPage, papers: &pages::Papers, code: &AccessCode) -> Value {
    let owner::PuppyRecord { puppy, family, dam, sire, .. } = &page.record;
    let mut words = vec![&puppy.name, &puppy.litter, &dam.name, &sire.name];
    words.extend(family.as_ref().map(|family| &family.name));
    words.extend(puppy.registered_name.as_ref());
    words.extend(puppy.chip.as_ref().map(|chip| &chip.number));
    json!({
        "page": format!("{}.html", page.stem),
        "code": code.to_string(),
        "name": puppy.name,
        "files": papers.files.iter().map(|file| format!("{}/{}", page.stem, file.name)).collect::<Vec<_>>(),
        "pictures": papers.pictures.len(),
        "words": words,
    })
}

fn pictures(records: &Records) -> (Photos, Album) {
    let (mut made, mut album) = (Photos::new(), Album::default());
    for photo in records.litters.values().flat_map(|folder| &folder.photos) {
        let prepared = photos::prepare(&fs::read(&photo.path).unwrap(), &[480, 960, 1600]).unwrap();
        let sizes = prepared.renditions.iter().map(|r| (r.width, r.height)).collect();
        album.insert(photo.file.clone(), Picture { key: prepared.key.clone(), sizes });
        made.insert(photo.file.clone(), prepared);
    }
    (made, album)
}

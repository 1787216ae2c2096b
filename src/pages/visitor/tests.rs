//! The page on which a record can be checked.

use super::*;
use crate::audience::Album;
use crate::audience::visitor::site;
use crate::husbandry::compute;
use crate::records::load;
use crate::sealing::jws::SigningKey;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::path::Path;

fn made(keys: &[String]) -> Result<String, PageError> {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../content");
    let records = load(&content, "2026-10-09T12:00:00Z".parse().unwrap())
        .unwrap()
        .records
        .unwrap();
    let (figures, album) = (compute(&records), Album::default());
    let site = site(&records, &figures, &album);
    record_check(
        &Engine::with(&BTreeMap::new()).unwrap(),
        &VisitorFrame::new(&site.frame),
        keys,
    )
}

fn key() -> SigningKey {
    SigningKey::generate(&mut |bytes| {
        bytes.fill(7);
        Ok(())
    })
    .unwrap()
}

#[test]
fn the_page_holds_the_public_key_and_never_a_secret() {
    let secret = key().to_private_jwk();
    let html = made(&[secret.to_string()]).unwrap();
    let set = html
        .split("id=\"keys\">")
        .nth(1)
        .unwrap()
        .split("</script>")
        .next()
        .unwrap();
    let set: serde_json::Value = serde_json::from_str(set).unwrap();
    assert_eq!(
        set["keys"][0].to_string(),
        serde_json::from_str::<serde_json::Value>(&key().public().to_jwk())
            .unwrap()
            .to_string()
    );
    assert!(
        set["keys"][0].get("d").is_none()
            && !html.contains("\"d\"")
            && !html.contains("&quot;d&quot;")
    );
    assert!(
        made(&["{}".to_owned()])
            .unwrap_err()
            .to_string()
            .contains("record-check")
    );
}

#[test]
fn its_policy_allows_its_own_script_and_no_request() {
    let html = made(&[key().public().to_jwk()]).unwrap();
    let script = html
        .rsplit("<script>")
        .next()
        .unwrap()
        .split("</script>")
        .next()
        .unwrap();
    let styles = html.split("<style>").skip(1);
    let styles: Vec<&str> = styles
        .map(|rest| rest.split("</style>").next().unwrap())
        .collect();
    // One of them for browsers in which scripts are turned off.
    assert_eq!(styles.len(), 2);
    for text in [&[script], styles.as_slice()].concat() {
        let hash = format!(" 'sha256-{}'", STANDARD.encode(Sha256::digest(text)));
        assert!(html.contains(&hash), "{text}");
    }
    let policy = html
        .split("Content-Security-Policy\" content=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    assert!(
        policy.starts_with("default-src 'none'; script-src 'sha256-")
            && policy.ends_with("; img-src data:; base-uri 'none'; form-action 'none'")
    );
    assert!(
        !policy.contains("self")
            && !html.contains("style.css")
            && !html.contains("site.js")
            && !html.contains(POLICY)
    );
}

//! What a public listing shows because the region's rule asks for it, and that nothing more than
//! that becomes public.
//!
//! Sources: SI 2018/486 (England), Schedule 6 paragraph 1(2): licence number and authority;
//! Victoria (Australia): source number and the chip number of each puppy.

use crate::support::Kennel;

const CHIP: &str = "941000025557102";

/// The page of the available puppy, with these lines in place of the country.
fn page(lines: &str) -> String {
    let kennel = Kennel::base();
    kennel.change("kennel.yaml", "country: GB\n", lines);
    kennel.change(
        "litters/spring/litter.yaml",
        "weight: 7 3/4 oz, offer: available",
        &format!("weight: 7 3/4 oz, offer: available, chip: \"{CHIP}\""),
    );
    kennel.run(&["publish"]).ends_with(0);
    let site = kennel.site();
    String::from_utf8(site["public/litters/spring/wren.html"].clone()).unwrap()
}

#[test]
fn england_asks_for_licence_and_authority() {
    let html = page(
        "country: GB\nregion: england\nlicence: { number: TD-7, authority: Tarnside Council \
         }\nseen_with_dam: true\n",
    );
    for asked in [
        "<dt>Licence</dt><dd>TD-7</dd>",
        "<dt>Issued by</dt><dd>Tarnside Council</dd>",
        "<dt>Seen with</dt><dd>its mother</dd>",
    ] {
        assert!(html.contains(asked), "{asked}");
    }
    assert!(
        !html.contains(CHIP),
        "nobody in England asks for a chip number in an advert"
    );
}

#[test]
fn victoria_asks_for_source_number_and_chip() {
    let html =
        page("country: AU\nregion: victoria\nnumbers: { source: MB123, business: 552 081 317 }\n");
    assert!(html.contains("<dt>Source number</dt><dd>MB123</dd>"));
    assert!(html.contains(&format!("<dt>Microchip</dt><dd>{CHIP}</dd>")));
    assert!(
        !html.contains("552"),
        "what this region does not ask for stays private"
    );
}

#[test]
fn without_a_region_nothing_more_is_shown() {
    let html = page("country: GB\nnumbers: { source: MB123, breeder: B1 }\nseen_with_dam: true\n");
    for private in [CHIP, "MB123", "B1", "Seen with"] {
        assert!(!html.contains(private), "{private}");
    }
}

#[test]
fn a_puppy_that_is_promised_is_no_advert() {
    let kennel = Kennel::base();
    kennel.change(
        "kennel.yaml",
        "country: GB\n",
        "country: AU\nregion: victoria\nnumbers: { source: MB123 }\n",
    );
    kennel.run(&["publish"]).ends_with(0);
    let moss = String::from_utf8(kennel.site()["public/litters/spring/moss.html"].clone()).unwrap();
    assert!(!moss.contains("941000025557101") && !moss.contains("MB123"));
}

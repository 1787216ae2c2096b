//! What a visitor reads where little is there: a litter of which no puppy is shown, one that is
//! overdue, a leaving day that is over.
//!
//! In: small kennels on 9 October 2026. That nothing private is said anywhere is `boundary.rs`.

use crate::support::Kennel;

fn page(kennel: &Kennel, page: &str) -> String {
    kennel.run(&["publish"]).ends_with(0);
    let site = kennel.site();
    String::from_utf8(site[&format!("public/{page}")].clone()).unwrap()
}

/// The base kennel with one young litter of which everybody read that it was born.
fn young(puppies: &str) -> Kennel {
    let kennel = Kennel::base();
    kennel.write("owners.yaml", "families: []\n");
    for file in ["weights", "health"] {
        kennel.write(&format!("litters/spring/{file}.yaml"), "");
    }
    kennel.write(
        "litters/spring/notes/first-night.md",
        "---\ndate: 2026-10-02\ntitle: Born\naudience: everyone\n---\nIn the night.\n",
    );
    kennel.write(
        "litters/spring/litter.yaml",
        &format!(
            "name: Autumn 2026\ndam: juno\nsire: corvin\nmated: [2026-08-01]\nbirth: {{ on: \
             2026-10-02, how: natural }}\npuppies:\n{puppies}"
        ),
    );
    kennel
}

#[test]
fn a_litter_of_which_no_puppy_is_shown_promises_nothing_whatever_the_reason() {
    let lost = young("  - { id: moss, sex: female, fate: died, on: 2026-10-03 }\n");
    let kept_back = young("  - { id: moss, sex: female, offer: not offered }\n");
    for name in ["index.html", "litters/spring.html"] {
        let said = page(&lost, name);
        assert!(said.contains("Autumn 2026"), "{name}: {said}");
        for words in [
            "May leave",
            "none at present",
            "data-ruler",
            "27 November",
            "data-age",
        ] {
            assert!(!said.contains(words), "{name}: {words}: {said}");
        }
        assert_eq!(said, page(&kept_back, name), "{name}");
    }
    let offered = young("  - { id: moss, sex: female, offer: reserved }\n");
    let said = page(&offered, "litters/spring.html");
    for words in [
        "May leave",
        "none at present",
        "data-ruler",
        "27 November",
        "data-age",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

#[test]
fn expected_litters_stand_in_their_order_and_one_that_is_overdue_says_no_day() {
    let kennel = Kennel::base();
    for (litter, mated) in [
        ("late", "2026-07-20"),
        ("later", "2026-09-20"),
        ("soon", "2026-09-01"),
    ] {
        kennel.write(
            &format!("dogs/of-{litter}.yaml"),
            &format!("name: Dam of {litter}\nsex: female\nborn: 2022-03-14\n"),
        );
        kennel.write(
            &format!("litters/{litter}/litter.yaml"),
            &format!("name: The {litter}\ndam: of-{litter}\nsire: corvin\nmated: [{mated}]\n"),
        );
    }
    for name in ["index.html", "puppies.html"] {
        let said = page(&kennel, name);
        let place = |litter: &str| {
            let link = format!("litters/{litter}.html\">");
            said.find(&link)
                .unwrap_or_else(|| panic!("{litter}: {said}"))
        };
        assert!(place("soon") < place("later"), "{said}");
        assert!(place("later") < place("late"), "{said}");
    }
    let late = page(&kennel, "litters/late.html");
    assert!(late.contains("news of it will stand here"), "{late}");
    assert!(!late.contains("September 2026"), "{late}");
    let soon = page(&kennel, "litters/soon.html");
    assert!(soon.contains("<dt>Expected between</dt>"), "{soon}");
}

#[test]
fn a_leaving_day_that_is_over_is_now_and_an_apricot_puppy_has_its_article() {
    let kennel = Kennel::base();
    let wren = "{ id: wren, ribbon: blue, sex: male, ";
    kennel.change(
        "litters/spring/litter.yaml",
        wren,
        &format!("{wren}colour: apricot, "),
    );
    let now = "<time datetime=\"2026-05-27\">now</time>";
    let home = page(&kennel, "index.html");
    assert!(home.contains(&format!("may leave {now}")), "{home}");
    let said = page(&kennel, "litters/spring/wren.html");
    assert!(
        said.contains(&format!("<dt>May leave</dt><dd>{now}</dd>")),
        "{said}"
    );
    assert!(
        said.contains("Wren, an apricot male Scottish Terrier puppy, available"),
        "{said}"
    );
}

//! The built-in templates, style sheets and scripts.
//!
//! In: the files of `templates/`, at build time. Out: [`BUILTIN`]: name below the templates folder
//! and text. A test compares the list with the folder.

macro_rules! builtin {
    ($($name:literal)*) => {
        /// Name and text of every built-in template, in the order of the names.
        pub const BUILTIN: &[(&str, &str)] = &[
            $(($name, include_str!(concat!("../../templates/", $name))),)*
        ];
    };
}

builtin! {
    "keeper/ancestry.html"
    "keeper/bitch.html"
    "keeper/book.css"
    "keeper/care.html"
    "keeper/chart-notes.html"
    "keeper/clinic.html"
    "keeper/dam-before.html"
    "keeper/dam.html"
    "keeper/dogs.html"
    "keeper/facts.html"
    "keeper/figures.html"
    "keeper/find.html"
    "keeper/guide.html"
    "keeper/health.html"
    "keeper/home.html"
    "keeper/jump.html"
    "keeper/layout.html"
    "keeper/litter.html"
    "keeper/note.html"
    "keeper/people.html"
    "keeper/planning.html"
    "keeper/problems.css"
    "keeper/problems.html"
    "keeper/puppy.html"
    "keeper/rules.html"
    "keeper/sheet.css"
    "keeper/sheet.js"
    "keeper/weighing-file.mjs"
    "keeper/weighing-rules.mjs"
    "keeper/weighing-slips.mjs"
    "keeper/weighing.css"
    "keeper/weighing.html"
    "keeper/weighing.js"
    "keeper/whelping-file.js"
    "keeper/whelping-paper.html"
    "keeper/whelping.css"
    "keeper/whelping.html"
    "keeper/whelping.js"
    "owner/birth.html"
    "owner/card.html"
    "owner/files.html"
    "owner/first-days.html"
    "owner/given.html"
    "owner/help.html"
    "owner/identity.html"
    "owner/life.html"
    "owner/locked.html"
    "owner/next.html"
    "owner/notes.html"
    "owner/open.js"
    "owner/owner.css"
    "owner/page.html"
    "owner/page.js"
    "owner/pieces.html"
    "owner/plan.html"
    "owner/treated.html"
    "owner/vet.html"
    "owner/weights.html"
    "shared/base.css"
    "shared/card.html"
    "shared/charts.css"
    "shared/facts.html"
    "shared/gallery.html"
    "shared/head.html"
    "shared/litter-facts.html"
    "shared/litter.html"
    "shared/note.html"
    "shared/pieces.html"
    "shared/ribbon.css"
    "shared/slip.html"
    "shared/style.css"
    "shared/urgency.css"
    "visitor/check.js"
    "visitor/dog.html"
    "visitor/footer.html"
    "visitor/header.html"
    "visitor/home.html"
    "visitor/layout.html"
    "visitor/litter.html"
    "visitor/not-found.html"
    "visitor/past.html"
    "visitor/pedigree.html"
    "visitor/puppies.html"
    "visitor/puppy.html"
    "visitor/record-check.html"
    "visitor/site.js"
    "visitor/text.html"
}

#[cfg(test)]
mod tests {
    use super::BUILTIN;
    use walkdir::WalkDir;

    #[test]
    fn every_template_of_the_folder_is_built_in() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../templates");
        let files = WalkDir::new(&root)
            .into_iter()
            .map(Result::unwrap)
            .filter(|e| e.file_type().is_file());
        let mut names: Vec<String> = files
            .map(|e| {
                e.path()
                    .strip_prefix(&root)
                    .unwrap()
                    .to_string_lossy()
                    .replace('\\', "/")
            })
            .collect();
        // The desk's own pages are built in with it.
        names.retain(|name| !name.starts_with("desk/"));
        names.sort();
        assert_eq!(
            names,
            BUILTIN
                .iter()
                .map(|(name, _)| (*name).to_owned())
                .collect::<Vec<_>>()
        );
    }
}

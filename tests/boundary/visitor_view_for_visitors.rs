//! A visitor's view may be rendered for visitors.
use litterfolio::audience::visitor::PuppyPage;
use litterfolio::pages::{Engine, VisitorFrame, visitor_page};

fn show(engine: &Engine, frame: &VisitorFrame<'_>, page: &PuppyPage) {
    let _ = visitor_page(engine, frame, "visitor/puppy.html", "a.html", page);
}

fn main() {
    let _ = show;
}

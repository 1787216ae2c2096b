//! A keeper's view cannot be rendered for visitors.
use litterfolio::audience::keeper::LitterPage;
use litterfolio::pages::{Engine, VisitorFrame, visitor_page};

fn show(engine: &Engine, frame: &VisitorFrame<'_>, page: &LitterPage) {
    let _ = visitor_page(engine, frame, "visitor/puppy.html", "a.html", page);
}

fn main() {
    let _ = show;
}

//! A record cannot be rendered at all.
use litterfolio::pages::{Engine, VisitorFrame, visitor_page};
use litterfolio::records::litter::Puppy;

fn show(engine: &Engine, frame: &VisitorFrame<'_>, puppy: &Puppy) {
    let _ = visitor_page(engine, frame, "visitor/puppy.html", "a.html", puppy);
}

fn main() {
    let _ = show;
}

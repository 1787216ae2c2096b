//! Nobody outside the crate can make a view of their own.
#[derive(serde::Serialize)]
struct Mine;

impl litterfolio::audience::View for Mine {
    type For = litterfolio::audience::Visitor;
}

fn main() {}

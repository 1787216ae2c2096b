//! A record cannot be serialised, so no template can be handed one.
fn serialise<T: serde::Serialize>() {}

fn main() {
    serialise::<litterfolio::records::litter::Puppy>();
}

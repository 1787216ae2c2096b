//! Computed figures cannot be serialised either.
fn serialise<T: serde::Serialize>() {}

fn main() {
    serialise::<litterfolio::husbandry::PuppyFigures>();
}

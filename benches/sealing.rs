//! What owners' pages cost: sealing, opening, signing, and how sealing spreads over cores.
//!
//! Run with `cargo bench --bench sealing`. Nearly all of sealing is the 600,000 rounds that make a
//! code hard to try; `eight_pages` on two threads should take half of what it takes on one. Compare
//! the figures with each other and not with another machine's.

#![allow(
    clippy::pedantic,
    clippy::unwrap_used,
    missing_docs,
    reason = "a benchmark may stop where it stands"
)]

use divan::{Bencher, black_box, counter::ItemsCount};
use litterfolio::sealing::code::AccessCode;
use litterfolio::sealing::jws::{SigningKey, verify};
use litterfolio::sealing::{NoRandomness, jwe};
use rayon::prelude::*;

fn main() {
    divan::main();
}

fn random(bytes: &mut [u8]) -> Result<(), NoRandomness> {
    getrandom::fill(bytes).map_err(|error| NoRandomness(error.to_string()))
}

/// About what the page of a puppy holds with twelve pictures: bytes that hardly compress.
fn content() -> Vec<u8> {
    let mut state = 7_u32;
    let mut byte = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"[(state >> 26) as usize]
    };
    (0..2_000_000).map(|_| byte()).collect()
}

#[divan::bench(sample_count = 10)]
fn seal_one_page(bencher: Bencher<'_, '_>) {
    let (content, code) = (content(), AccessCode::generate(&mut random).unwrap());
    bencher.bench_local(|| jwe::seal(black_box(&content), &code, &mut random).unwrap());
}

#[divan::bench(sample_count = 10)]
fn open_one_page(bencher: Bencher<'_, '_>) {
    let code = AccessCode::generate(&mut random).unwrap();
    let sealed = jwe::seal(&content(), &code, &mut random).unwrap();
    bencher.bench_local(|| jwe::open(black_box(&sealed), &code).unwrap());
}

#[divan::bench(args = [1, 2, 4], sample_count = 3)]
fn eight_pages(bencher: Bencher<'_, '_>, threads: usize) {
    let (content, code) = (content(), AccessCode::generate(&mut random).unwrap());
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .unwrap();
    let seal = || {
        (0..8)
            .into_par_iter()
            .map(|_| jwe::seal(&content, &code, &mut random).unwrap().len())
            .sum::<usize>()
    };
    bencher
        .counter(ItemsCount::new(8_usize))
        .bench_local(|| pool.install(seal));
}

#[divan::bench]
fn sign_and_verify_a_record(bencher: Bencher<'_, '_>) {
    let key = SigningKey::generate(&mut random).unwrap();
    let record = &content()[..40_000];
    bencher.bench_local(|| verify(&key.sign(black_box(record)), &key.public()).unwrap());
}

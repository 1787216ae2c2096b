//! How long the photo pipeline takes: on one picture, on many, and beside decoding alone.
//!
//! Run with `cargo bench --bench photos`. The pictures have 12 million pixels and are made on the
//! spot: soft shapes with texture and sensor noise, stored as a phone would. Compare the figures
//! with each other and not with another machine's. `whole` by `decode_alone` is the ratio to watch.

#![allow(
    clippy::pedantic,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a test may stop where it stands"
)]

use std::sync::LazyLock;

use divan::{Bencher, counter::ItemsCount};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use litterfolio::photos::{Fault, Workroom, examine, key, prepare, prepare_all};

const WIDTH: u32 = 4000;
const HEIGHT: u32 = 3000;
const WIDTHS: [u32; 3] = [1600, 960, 480];
const MANY: u32 = 6;

static PICTURES: LazyLock<Vec<Vec<u8>>> = LazyLock::new(|| (0..MANY).map(picture).collect());

fn main() {
    divan::main();
}

/// A small generator of even noise; the same seed always makes the same picture.
struct Noise(u32);

impl Noise {
    fn next(&mut self) -> f32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        (self.0 >> 8) as f32 / 16_777_216.0 - 0.5
    }
}

fn picture(seed: u32) -> Vec<u8> {
    let mut noise = Noise(0x9e37_79b9 ^ (seed + 1));
    let mut pixels = Vec::with_capacity((WIDTH * HEIGHT * 3) as usize);
    let shift = seed as f32;
    for y in 0..HEIGHT {
        let mut grain = 0.0;
        for x in 0..WIDTH {
            let (u, v) = (x as f32 / 310.0 + shift, y as f32 / 270.0 - shift);
            let light = 120.0 + 60.0 * (u.sin() * v.cos()) + 25.0 * (u * 3.1 + v * 2.3).sin();
            // Neighbouring grains resemble each other, as they do behind a lens.
            grain = grain * 0.6 + noise.next() * 22.0;
            for tint in [12.0, 0.0, -18.0] {
                pixels.push((light + tint + grain + noise.next() * 6.0).clamp(0.0, 255.0) as u8);
            }
        }
    }
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, 92);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    let sides = (WIDTH as u16, HEIGHT as u16);
    encoder
        .encode(&pixels, sides.0, sides.1, ColorType::Rgb)
        .unwrap_or_else(|error| panic!("{error}"));
    jpeg
}

#[divan::bench(sample_count = 10)]
fn decode_alone(bencher: Bencher<'_, '_>) {
    let file = &PICTURES[0];
    bencher.bench(|| image::load_from_memory(file));
}

#[divan::bench(sample_count = 10)]
fn whole(bencher: Bencher<'_, '_>) {
    let file = &PICTURES[0];
    bencher.bench(|| prepare(file, &WIDTHS));
}

#[divan::bench(sample_count = 10)]
fn whole_with_used_memory(bencher: Bencher<'_, '_>) {
    let file = &PICTURES[0];
    let workroom = Workroom::new(1);
    bencher.bench(|| workroom.prepare(file, &WIDTHS));
}

#[divan::bench(sample_count = 5)]
fn many(bencher: Bencher<'_, '_>) {
    let files = &*PICTURES;
    bencher.counter(ItemsCount::new(files.len())).bench(|| {
        prepare_all(
            files,
            &WIDTHS,
            |file| Ok::<_, Fault>(file.clone()),
            |_, photo| Ok(photo.renditions.len()),
        )
    });
}

#[divan::bench]
fn examine_alone(bencher: Bencher<'_, '_>) {
    let file = &PICTURES[0];
    bencher.bench(|| examine(file));
}

#[divan::bench]
fn key_alone(bencher: Bencher<'_, '_>) {
    let file = &PICTURES[0];
    bencher.bench(|| key(file, &WIDTHS));
}

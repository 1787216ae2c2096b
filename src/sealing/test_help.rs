//! For tests only: random bytes that can be repeated, and bytes from hexadecimal text.

use super::NoRandomness;

/// A generator for tests that gives the same bytes for the same seed (splitmix64; not for secrets).
pub(super) struct Repeatable(pub(super) u64);

impl Repeatable {
    pub(super) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below `limit`.
    pub(super) fn below(&mut self, limit: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(limit).unwrap()).unwrap()
    }

    pub(super) fn bytes(&mut self, count: usize) -> Vec<u8> {
        (0..count).map(|_| self.next().to_le_bytes()[0]).collect()
    }
}

/// A random source from a seed.
pub(super) fn from_seed(seed: u64) -> impl FnMut(&mut [u8]) -> Result<(), NoRandomness> {
    let mut generator = Repeatable(seed);
    move |bytes| {
        bytes.fill_with(|| generator.next().to_le_bytes()[0]);
        Ok(())
    }
}

/// Bytes from hexadecimal text; blanks are skipped.
pub(super) fn hex(text: &str) -> Vec<u8> {
    let digits: Vec<u8> = text.bytes().filter(u8::is_ascii_hexdigit).collect();
    digits
        .chunks(2)
        .map(|pair| u8::from_str_radix(std::str::from_utf8(pair).unwrap(), 16).unwrap())
        .collect()
}

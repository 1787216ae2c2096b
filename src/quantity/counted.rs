//! Numbers of things in words: `1 puppy`, `3 puppies`.
//!
//! In: how many, and what one of them and several are called. Out: the number and the right word.

use std::fmt::Display;

/// `1 puppy`, `3 puppies`.
pub fn counted<N: Copy + Display + From<u8> + PartialEq>(n: N, one: &str, more: &str) -> String {
    let word = if n == N::from(1) { one } else { more };
    format!("{n} {word}")
}

/// `1 page`, `2 pages`: of words whose plural has an s and nothing else.
pub fn many<N: Copy + Display + From<u8> + PartialEq>(n: N, one: &str) -> String {
    counted(n, one, &format!("{one}s"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_one_alone_is_one() {
        assert_eq!(counted(1_usize, "puppy", "puppies"), "1 puppy");
        assert_eq!(counted(0_u32, "puppy", "puppies"), "0 puppies");
        assert_eq!(counted(2_i64, "puppy", "puppies"), "2 puppies");
        assert_eq!(
            (many(1, "day"), many(21, "day")),
            ("1 day".to_owned(), "21 days".to_owned())
        );
    }
}

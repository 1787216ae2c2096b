//! The words of enums, as they are written in the records.

/// Gives an enum its words, said once: `word()`, and `ALL` of its values.
#[macro_export]
macro_rules! words {
    ($($type:ident { $($variant:ident $word:literal),* $(,)? })*) => {$(
        impl $type {
            /// All of them, in their order.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// As it is written.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),* }
            }
        }
    )*};
}
#[cfg(test)]
mod tests {
    use crate::care_plan::CareKind;
    use crate::dog::Sex;
    use crate::litter::{CountedBy, Delivery, Fate, Horn, Offer, Palate, PictureTurn, Placenta};
    use crate::note::Topic;

    #[test]
    fn a_word_is_read_as_what_it_stands_for() {
        macro_rules! read_again {
            ($($type:ident)*) => {$(
                assert!($type::ALL.len() > 1);
                for value in $type::ALL {
                    let read: $type = serde_yaml::from_str(value.word()).unwrap();
                    assert!(read == *value, "{}", value.word());
                }
            )*};
        }
        read_again!(CareKind CountedBy Sex Delivery Fate Horn Offer Palate PictureTurn);
        read_again!(Placenta Topic);
    }
}

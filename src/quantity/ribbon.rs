//! The coloured ribbon or collar that tells newborns apart.
//!
//! In: `green`. Out: one of fourteen colours with a name to print and a colour to draw. The name
//! always stands beside the colour on a page.

use super::{Unreadable, did_you_mean, nearest, read_from_text};
use std::{fmt, str::FromStr};

macro_rules! ribbons {
    ($($variant:ident $name:literal $hex:literal)*) => {
        /// A ribbon colour.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Ribbon {
            $(#[doc = concat!("The ", $name, " ribbon.")] $variant,)*
        }

        impl Ribbon {
            /// All ribbons, in the order in which they are listed to the keeper.
            pub const ALL: &[Self] = &[$(Self::$variant,)*];

            /// The name as written in the records.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }

            /// The colour to draw it in, as `#rrggbb`.
            #[must_use]
            pub fn hex(self) -> &'static str {
                match self { $(Self::$variant => $hex,)* }
            }
        }
    };
}

ribbons! {
    Red "red" "#b3402e"
    Orange "orange" "#cf7a2a"
    Yellow "yellow" "#d9b13b"
    Green "green" "#4d7c4f"
    Blue "blue" "#3f6f9f"
    Purple "purple" "#7b5590"
    Pink "pink" "#cf7f93"
    White "white" "#e9e4d8"
    Grey "grey" "#8d8a83"
    Black "black" "#2b2a28"
    Brown "brown" "#7a5233"
    Turquoise "turquoise" "#3f908c"
    Lime "lime" "#9aae3f"
    Navy "navy" "#2f3f63"
}

impl FromStr for Ribbon {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        Self::ALL
            .iter()
            .copied()
            .find(|r| r.name() == text)
            .ok_or_else(|| {
                let names: Vec<&str> = Self::ALL.iter().map(|r| r.name()).collect();
                let hint = nearest(text, &names)
                    .map_or_else(|| format!("use one of {}", names.join(", ")), did_you_mean);
                Unreadable::new(
                    "ribbon-unknown",
                    format!("there is no `{text}` ribbon"),
                    hint,
                )
            })
    }
}

impl fmt::Display for Ribbon {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

read_from_text!(Ribbon, "Ribbon", {
    "type": "string",
    "enum": [
        "red", "orange", "yellow", "green", "blue", "purple", "pink", "white", "grey", "black",
        "brown", "turquoise", "lime", "navy"
    ],
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_round_trip_and_the_schema_lists_them_all() {
        let schema = serde_json::to_value(schemars::schema_for!(Ribbon)).unwrap();
        let listed: Vec<&str> = schema["enum"]
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_str().unwrap())
            .collect();
        assert_eq!(
            listed,
            Ribbon::ALL.iter().map(|r| r.name()).collect::<Vec<_>>()
        );
        for ribbon in Ribbon::ALL {
            assert_eq!(ribbon.name().parse::<Ribbon>(), Ok(*ribbon));
        }
        assert_eq!(
            "geren".parse::<Ribbon>().unwrap_err().hint,
            "did you mean `green`?"
        );
    }
}

//! What a place asks of whoever becomes the keeper of a dog with a chip.
//!
//! In: nothing. Out: [`NEW_KEEPERS`]. All of it is recalled and not read, and says so; where
//! nothing stands here, nothing is known, not that nothing is asked.

use super::super::{Detail, NewKeeper};
use super::recalled;

pub(in crate::rules) static NEW_KEEPERS: [NewKeeper; 5] = [
    NewKeeper {
        book: "england",
        details: &[
            Detail::Name,
            Detail::Address,
            Detail::Telephone,
            Detail::NameOfDog,
        ],
        within_days: None,
        source: recalled(
            "SI 2023/468 (England, 2023), a change of keeper, and SI 2015/108, regulation 8, \
             before it",
        ),
    },
    NewKeeper {
        book: "scotland",
        details: &[
            Detail::Name,
            Detail::Address,
            Detail::Telephone,
            Detail::Email,
        ],
        within_days: None,
        source: recalled("SSI 2016/58 (Scotland, 2016), a change of keeper"),
    },
    NewKeeper {
        book: "wales",
        details: &[
            Detail::Name,
            Detail::Address,
            Detail::Telephone,
            Detail::NameOfDog,
        ],
        within_days: None,
        source: recalled("WSI 2015/1990 (Wales, 2015), a change of keeper"),
    },
    NewKeeper {
        book: "netherlands",
        details: &[Detail::Name, Detail::Address],
        within_days: Some(14),
        source: recalled(
            "Besluit houders van dieren (Netherlands), identification and registration of dogs, \
             as changed in 2021",
        ),
    },
    NewKeeper {
        book: "new-south-wales",
        details: &[Detail::Name, Detail::Address],
        within_days: Some(14),
        source: recalled("Companion Animals Act 1998 (New South Wales), section 11"),
    },
];

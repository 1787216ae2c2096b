//! Who may see what: the only way from records to pages.
//!
//! In: records and figures, which cannot be serialised. Out: views for one audience, which can. A
//! view is built by taking a record apart field by field, without `..`, so that a new field does
//! not compile until somebody has decided who sees it. Page functions take only views of their own
//! audience.

// The floors below.
use litterfolio_cache as cache;
use litterfolio_husbandry as husbandry;
use litterfolio_keyring as keyring;
use litterfolio_quantity as quantity;
use litterfolio_records as records;

mod album;
mod caption;
mod chart;
pub mod keeper;
pub mod owner;
pub mod phone;
mod shown;
#[cfg(test)]
mod tests;
pub mod visitor;
pub mod words;

pub use album::{Album, Picture};
pub use chart::{Behind, ChartLine, ChartPoint, GrowthChart};
pub use shown::{
    Dated, InbreedingShown, PictureShown, RibbonShown, SizeShown, TOO_FEW_ANCESTORS, Used, percent,
    picture_path, with_article,
};

use crate::cache::Digests;
use crate::husbandry::Figures;
use crate::records::Records;
use serde::Serialize;

/// The digests of all that views are chosen from, by the names under which it is noted who read
/// what.
#[must_use]
pub fn digests(records: &Records, figures: &Figures<'_>, album: &Album) -> Digests {
    let mut all = records.digests.clone();
    all.extend(&figures.digests());
    all.extend(&album.digests());
    all
}

mod sealed {
    /// Only this module's children can be views.
    pub trait Sealed {}
}
pub(crate) use sealed::Sealed;

/// Somebody who looks for a puppy. Sees no weight, no health, no name of an owner.
#[derive(Debug)]
pub enum Visitor {}

/// The family of one puppy. Sees that puppy's health and weights, and nothing of other puppies and
/// families.
#[derive(Debug)]
pub enum Owner {}

/// The breeder. Sees everything.
#[derive(Debug)]
pub enum Keeper {}

/// Something that may be shown to one audience.
///
/// The trait is sealed, so nobody outside can make a view of something else:
///
/// ```compile_fail,E0277
/// #[derive(serde::Serialize)]
/// struct Mine;
/// impl litterfolio_audience::View for Mine {
///     type For = litterfolio_audience::Visitor;
/// }
/// ```
///
/// Records and figures cannot be serialised at all:
///
/// ```compile_fail,E0277
/// fn serialise<T: serde::Serialize>() {}
/// serialise::<litterfolio_records::litter::Puppy>();
/// ```
///
/// ```compile_fail,E0277
/// fn serialise<T: serde::Serialize>() {}
/// serialise::<litterfolio_husbandry::PuppyFigures>();
/// ```
///
/// Views can:
///
/// ```
/// fn serialise<T: serde::Serialize>() {}
/// serialise::<litterfolio_audience::visitor::PuppyPage>();
/// ```
pub trait View: Serialize + Sealed {
    /// Who may see it.
    type For;
}

/// Makes a type a view of an audience.
macro_rules! views {
    ($audience:ty: $($view:ty),* $(,)?) => {
        $(impl crate::Sealed for $view {}
        impl crate::View for $view {
            type For = $audience;
        })*
    };
}
pub(crate) use views;

//! Which rule a finding is made by, and where the value comes from that it was measured against.
//!
//! In: what was noticed. Out: a [`FindingRule`], a source in words.

use super::{DamTemperatureState, Noticed, WindowOf};
use crate::findings::FindingRule;
use crate::gestation::Anchor;

impl Noticed {
    /// The rule that noticed it.
    #[must_use]
    pub fn rule(&self) -> FindingRule {
        match self {
            Self::Steady { .. } => FindingRule::Steady,
            Self::CallClosed { .. } => FindingRule::CallClosed,
            Self::TotalLoss { .. } => FindingRule::TotalLoss,
            Self::LateLoss { .. } => FindingRule::LateLoss,
            Self::NoBirthWeight { .. } => FindingRule::NoBirthWeight,
            Self::EarlyLoss { .. } => FindingRule::EarlyLoss,
            Self::UnderBirthWeight { .. } => FindingRule::UnderBirthWeight,
            Self::UnderOwnGain { .. } => FindingRule::UnderOwnGain,
            Self::NoGain { .. } | Self::WeekWithoutGain { .. } => FindingRule::NoGain,
            Self::GainUnderBand { .. } => FindingRule::GainUnderBand,
            Self::NotDoubled { .. } => FindingRule::NotDoubled,
            Self::LightAtBirth { .. } => FindingRule::LightAtBirth,
            Self::VeryLowBirthWeight { .. } => FindingRule::VeryLowBirthWeight,
            Self::BehindLitter { .. } => FindingRule::BehindLitter,
            Self::WeighInMissed { .. } => FindingRule::WeighInMissed,
            Self::SlipValue { .. } => FindingRule::SlipValue,
            Self::SlipExchanged { .. } => FindingRule::SlipExchanged,
            Self::LowVigour { .. } => FindingRule::LowVigour,
            Self::PalateCleft { .. } => FindingRule::PalateCleft,
            Self::NewbornFinding { .. } => FindingRule::NewbornFinding,
            Self::NotLookedAt { .. } => FindingRule::NotLookedAt,
            Self::Illness(_) => FindingRule::Illness,
            Self::OutsideBand { is_cold: true, .. } => FindingRule::Cold,
            Self::OutsideBand { is_cold: false, .. } | Self::BackInBand { .. } => {
                FindingRule::Temperature
            }
            Self::FedCold { .. } => FindingRule::FedCold,
            Self::FedTooLittle { .. } => FindingRule::FedTooLittle,
            Self::CareOverdue { .. } => FindingRule::CareOverdue,
            Self::DamIllness(_) => FindingRule::DamIllness,
            Self::DamTemperature { state, .. } => match state {
                DamTemperatureState::Fever => FindingRule::DamFever,
                DamTemperatureState::Cold => FindingRule::DamCold,
                DamTemperatureState::Unusual => FindingRule::DamTemperature,
            },
            Self::Overdue { .. } => FindingRule::Overdue,
            Self::PastWindow { .. } => FindingRule::PastWindow,
            Self::DatesDisagree { .. } => FindingRule::DatesDisagree,
            Self::OnePuppy { .. } => FindingRule::OnePuppy,
            Self::LowProgesterone { .. } => FindingRule::LowProgesterone,
            Self::RoseAgain { .. } => FindingRule::RoseAgain,
            Self::LittermatesDied { .. } => FindingRule::LittermatesDied,
            Self::Orphaned { .. } => FindingRule::Orphaned,
            Self::TemperatureDrop { .. } => FindingRule::TemperatureDrop,
            Self::BeyondRule { .. } => FindingRule::Rule,
            Self::AffectedExpected { .. } => FindingRule::AffectedExpected,
            Self::GeneOpen { .. } => FindingRule::ParentUntested,
            Self::MerleToMerle { .. } => FindingRule::MerleToMerle,
            Self::TestRanOut { .. } => FindingRule::TestRanOut,
            Self::FewerThanCounted { .. } => FindingRule::FewerThanCounted,
            Self::PlacentaRetained { .. } => FindingRule::PlacentaRetained,
            Self::Placentas { .. } => FindingRule::Placentas,
        }
    }

    /// Where the value comes from that it was measured against.
    #[must_use]
    pub fn source(&self) -> &'static str {
        match self {
            Self::Steady { .. } => "all rules of this page",
            Self::CallClosed { limit, .. }
            | Self::TotalLoss { limit, .. }
            | Self::LateLoss { limit, .. }
            | Self::EarlyLoss { limit, .. }
            | Self::UnderBirthWeight { limit, .. }
            | Self::UnderOwnGain { limit, .. }
            | Self::NoGain { limit, .. }
            | Self::WeekWithoutGain { limit, .. }
            | Self::GainUnderBand { limit, .. }
            | Self::NotDoubled { limit, .. }
            | Self::LightAtBirth { limit, .. }
            | Self::BehindLitter { limit, .. }
            | Self::WeighInMissed { limit, .. }
            | Self::FedCold { limit, .. }
            | Self::FedTooLittle { limit, .. } => limit.source,
            Self::VeryLowBirthWeight { breed, .. } => breed.source,
            Self::SlipValue { source, .. }
            | Self::SlipExchanged { source, .. }
            | Self::LowVigour { source, .. }
            | Self::PalateCleft { source }
            | Self::NoBirthWeight { source }
            | Self::NewbornFinding { source, .. }
            | Self::NotLookedAt { source, .. }
            | Self::OnePuppy { source, .. }
            | Self::TemperatureDrop { source, .. }
            | Self::LowProgesterone { source, .. }
            | Self::RoseAgain { source, .. }
            | Self::LittermatesDied { source, .. }
            | Self::Orphaned { source, .. }
            | Self::AffectedExpected { source, .. }
            | Self::GeneOpen { source, .. }
            | Self::MerleToMerle { source }
            | Self::TestRanOut { source, .. }
            | Self::FewerThanCounted { source, .. }
            | Self::PlacentaRetained { source, .. }
            | Self::Placentas { source, .. } => source,
            Self::Illness(unwell) | Self::DamIllness(unwell) => unwell.source(),
            Self::OutsideBand { band, .. }
            | Self::BackInBand { band, .. }
            | Self::DamTemperature { band, .. } => band.source,
            Self::CareOverdue { first, .. } if first.by_next_due => "the date written as next due",
            Self::CareOverdue { first, .. } => first.item.source,
            Self::Overdue { anchor, .. }
            | Self::PastWindow {
                from: WindowOf::Wide(anchor),
                ..
            } => anchor.source(),
            Self::PastWindow {
                from: WindowOf::FirstSample,
                ..
            } => Anchor::Bracket.source(),
            Self::PastWindow {
                from: WindowOf::Mating { .. },
                ..
            } => Anchor::Mating.source(),
            Self::DatesDisagree { other, .. } => other.anchor.source(),
            Self::BeyondRule { verdict, .. } => verdict.source().text,
        }
    }
}

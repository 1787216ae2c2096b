//! The stable names of the rules that findings are made by.
//!
//! In: nothing. Out: [`FindingRule`], which `Noticed` derives its own from. Programs know a rule by
//! its name, so that names never change.

/// The stable name of a rule, in the order of the names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "`Noticed` tells of each")]
pub enum FindingRule {
    AffectedExpected,
    BehindLitter,
    CallClosed,
    CareOverdue,
    Cold,
    DamCold,
    DamFever,
    DamIllness,
    DamTemperature,
    DatesDisagree,
    EarlyLoss,
    FedCold,
    FedTooLittle,
    FewerThanCounted,
    GainUnderBand,
    Illness,
    LateLoss,
    LightAtBirth,
    LittermatesDied,
    LowProgesterone,
    LowVigour,
    MerleToMerle,
    NewbornFinding,
    NoBirthWeight,
    NoGain,
    NotDoubled,
    NotLookedAt,
    OnePuppy,
    Orphaned,
    Overdue,
    PalateCleft,
    ParentUntested,
    PastWindow,
    PlacentaRetained,
    Placentas,
    RoseAgain,
    Rule,
    SlipExchanged,
    SlipValue,
    Steady,
    Temperature,
    TemperatureDrop,
    TestRanOut,
    TotalLoss,
    UnderBirthWeight,
    UnderOwnGain,
    VeryLowBirthWeight,
    WeighInMissed,
}

impl FindingRule {
    /// Its name, for programs: `no-gain`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::AffectedExpected => "affected-expected",
            Self::BehindLitter => "behind-litter",
            Self::CallClosed => "call-closed",
            Self::CareOverdue => "care-overdue",
            Self::Cold => "cold",
            Self::DamCold => "dam-cold",
            Self::DamFever => "dam-fever",
            Self::DamIllness => "dam-illness",
            Self::DamTemperature => "dam-temperature",
            Self::DatesDisagree => "dates-disagree",
            Self::EarlyLoss => "early-loss",
            Self::FedCold => "fed-cold",
            Self::FedTooLittle => "fed-too-little",
            Self::FewerThanCounted => "fewer-than-counted",
            Self::GainUnderBand => "gain-under-band",
            Self::Illness => "illness",
            Self::LateLoss => "late-loss",
            Self::LightAtBirth => "light-at-birth",
            Self::LittermatesDied => "littermates-died",
            Self::LowProgesterone => "low-progesterone",
            Self::LowVigour => "low-vigour",
            Self::MerleToMerle => "merle-to-merle",
            Self::NewbornFinding => "newborn-finding",
            Self::NoBirthWeight => "no-birth-weight",
            Self::NoGain => "no-gain",
            Self::NotDoubled => "not-doubled",
            Self::NotLookedAt => "not-looked-at",
            Self::OnePuppy => "one-puppy",
            Self::Orphaned => "orphaned",
            Self::Overdue => "overdue",
            Self::PalateCleft => "palate-cleft",
            Self::ParentUntested => "parent-untested",
            Self::PastWindow => "past-window",
            Self::PlacentaRetained => "placenta-retained",
            Self::Placentas => "placentas",
            Self::RoseAgain => "rose-again",
            Self::Rule => "rule",
            Self::SlipExchanged => "slip-exchanged",
            Self::SlipValue => "slip-value",
            Self::Steady => "steady",
            Self::Temperature => "temperature",
            Self::TemperatureDrop => "temperature-drop",
            Self::TestRanOut => "test-ran-out",
            Self::TotalLoss => "total-loss",
            Self::UnderBirthWeight => "under-birth-weight",
            Self::UnderOwnGain => "under-own-gain",
            Self::VeryLowBirthWeight => "very-low-birth-weight",
            Self::WeighInMissed => "weigh-in-missed",
        }
    }

    /// Whether it looks at the dam herself.
    pub(super) fn is_of_dam(self) -> bool {
        matches!(
            self,
            Self::DamCold | Self::DamFever | Self::DamIllness | Self::DamTemperature
        )
    }
}

#[cfg(test)]
mod tests {
    use super::FindingRule;

    #[test]
    fn rules_stand_in_the_order_of_their_names() {
        // What is said of one puppy goes by urgency, and then by the name of the rule.
        let all = [
            FindingRule::AffectedExpected,
            FindingRule::BehindLitter,
            FindingRule::CallClosed,
            FindingRule::CareOverdue,
            FindingRule::Cold,
            FindingRule::DamCold,
            FindingRule::DamFever,
            FindingRule::DamIllness,
            FindingRule::DamTemperature,
            FindingRule::DatesDisagree,
            FindingRule::EarlyLoss,
            FindingRule::FedCold,
            FindingRule::FedTooLittle,
            FindingRule::FewerThanCounted,
            FindingRule::GainUnderBand,
            FindingRule::Illness,
            FindingRule::LateLoss,
            FindingRule::LightAtBirth,
            FindingRule::LittermatesDied,
            FindingRule::LowProgesterone,
            FindingRule::LowVigour,
            FindingRule::MerleToMerle,
            FindingRule::NewbornFinding,
            FindingRule::NoBirthWeight,
            FindingRule::NoGain,
            FindingRule::NotDoubled,
            FindingRule::NotLookedAt,
            FindingRule::OnePuppy,
            FindingRule::Orphaned,
            FindingRule::Overdue,
            FindingRule::PalateCleft,
            FindingRule::ParentUntested,
            FindingRule::PastWindow,
            FindingRule::PlacentaRetained,
            FindingRule::Placentas,
            FindingRule::RoseAgain,
            FindingRule::Rule,
            FindingRule::SlipExchanged,
            FindingRule::SlipValue,
            FindingRule::Steady,
            FindingRule::Temperature,
            FindingRule::TemperatureDrop,
            FindingRule::TestRanOut,
            FindingRule::TotalLoss,
            FindingRule::UnderBirthWeight,
            FindingRule::UnderOwnGain,
            FindingRule::VeryLowBirthWeight,
            FindingRule::WeighInMissed,
        ];
        assert!(all.is_sorted_by(|one, next| one < next && one.name() < next.name()));
        assert_eq!(
            FindingRule::WeighInMissed as usize + 1,
            all.len(),
            "all of them"
        );
    }
}

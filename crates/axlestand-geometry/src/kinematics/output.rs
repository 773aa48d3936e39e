//! Outputs by name, for tables, curves and matrices of sensitivities.

use super::outputs::Outputs;
use super::spec::MOST_JOINTS;
use crate::mathematics::Scalar;

/// One of the numbers in [`Outputs`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "each is the field of the same name")]
pub enum Output {
    Camber,
    Toe,
    Heading,
    CamberRate,
    ToeRate,
    Caster,
    Inclination,
    ScrubRadius,
    Trail,
    HalfTrack,
    Wheelbase,
    RollCentre,
    ContactSlope,
    CentreSlope,
    FrontCentreY,
    FrontCentreZ,
    SideCentreX,
    SideCentreZ,
    SpringLength,
    SpringRatio,
    DamperLength,
    DamperRatio,
    BarTurn,
    BarRatio,
    BarLinkTilt,
    LowerArmTurn,
    UpperArmTurn,
    AxlePlunge,
    AxleInner,
    AxleOuter,
}

impl Output {
    /// Every output but the joints, in the order of [`Outputs`].
    pub const ALL: [Self; 30] = [
        Self::Camber,
        Self::Toe,
        Self::Heading,
        Self::CamberRate,
        Self::ToeRate,
        Self::Caster,
        Self::Inclination,
        Self::ScrubRadius,
        Self::Trail,
        Self::HalfTrack,
        Self::Wheelbase,
        Self::RollCentre,
        Self::ContactSlope,
        Self::CentreSlope,
        Self::FrontCentreY,
        Self::FrontCentreZ,
        Self::SideCentreX,
        Self::SideCentreZ,
        Self::SpringLength,
        Self::SpringRatio,
        Self::DamperLength,
        Self::DamperRatio,
        Self::BarTurn,
        Self::BarRatio,
        Self::BarLinkTilt,
        Self::LowerArmTurn,
        Self::UpperArmTurn,
        Self::AxlePlunge,
        Self::AxleInner,
        Self::AxleOuter,
    ];

    /// Name and unit for a heading.
    #[must_use]
    pub fn heading(self) -> (&'static str, &'static str) {
        match self {
            Self::Camber => ("camber", "deg"),
            Self::Toe => ("toe", "deg"),
            Self::Heading => ("heading", "deg"),
            Self::CamberRate => ("camber rate", "deg/mm"),
            Self::ToeRate => ("toe rate", "deg/mm"),
            Self::Caster => ("caster", "deg"),
            Self::Inclination => ("steering-axis inclination", "deg"),
            Self::ScrubRadius => ("scrub radius", "mm"),
            Self::Trail => ("caster trail", "mm"),
            Self::HalfTrack => ("half-track change", "mm"),
            Self::Wheelbase => ("wheelbase change", "mm"),
            Self::RollCentre => ("roll-centre height", "mm"),
            Self::ContactSlope => ("contact-point slope", ""),
            Self::CentreSlope => ("wheel-centre slope", ""),
            Self::FrontCentreY => ("front-view instant centre y", "mm"),
            Self::FrontCentreZ => ("front-view instant centre z", "mm"),
            Self::SideCentreX => ("side-view instant centre x", "mm"),
            Self::SideCentreZ => ("side-view instant centre z", "mm"),
            Self::SpringLength => ("spring length", "mm"),
            Self::SpringRatio => ("spring motion ratio", ""),
            Self::DamperLength => ("damper length", "mm"),
            Self::DamperRatio => ("damper motion ratio", ""),
            Self::BarTurn => ("anti-roll bar turn", "deg"),
            Self::BarRatio => ("anti-roll bar motion ratio", ""),
            Self::BarLinkTilt => ("bar-link tilt", "deg"),
            Self::LowerArmTurn => ("lower arm turn", "deg"),
            Self::UpperArmTurn => ("upper arm turn", "deg"),
            Self::AxlePlunge => ("drive-axle plunge", "mm"),
            Self::AxleInner => ("drive-axle inner angle", "deg"),
            Self::AxleOuter => ("drive-axle outer angle", "deg"),
        }
    }
}

impl<S: Scalar> Outputs<S> {
    /// One output by name; `None` where the corner does not have it.
    #[must_use]
    pub fn get(&self, output: Output) -> Option<S> {
        match output {
            Output::Camber => Some(self.camber),
            Output::Toe => Some(self.toe),
            Output::Heading => Some(self.heading),
            Output::CamberRate => Some(self.camber_rate),
            Output::ToeRate => Some(self.toe_rate),
            Output::Caster => self.caster,
            Output::Inclination => self.inclination,
            Output::ScrubRadius => self.scrub_radius,
            Output::Trail => self.trail,
            Output::HalfTrack => Some(self.half_track),
            Output::Wheelbase => Some(self.wheelbase),
            Output::RollCentre => self.roll_centre,
            Output::ContactSlope => self.contact_slope,
            Output::CentreSlope => Some(self.centre_slope),
            Output::FrontCentreY => self.front_centre.map(|c| c[0]),
            Output::FrontCentreZ => self.front_centre.map(|c| c[1]),
            Output::SideCentreX => self.side_centre.map(|c| c[0]),
            Output::SideCentreZ => self.side_centre.map(|c| c[1]),
            Output::SpringLength => self.spring_length,
            Output::SpringRatio => self.spring_ratio,
            Output::DamperLength => self.damper_length,
            Output::DamperRatio => self.damper_ratio,
            Output::BarTurn => self.bar_turn,
            Output::BarRatio => self.bar_ratio,
            Output::BarLinkTilt => self.bar_link_tilt,
            Output::LowerArmTurn => self.lower_arm_turn,
            Output::UpperArmTurn => self.upper_arm_turn,
            Output::AxlePlunge => self.axle_plunge,
            Output::AxleInner => self.axle_inner,
            Output::AxleOuter => self.axle_outer,
        }
    }

    /// Each number through `f`.
    pub fn map<T>(&self, f: impl Fn(S) -> T + Copy) -> Outputs<T> {
        let o = |x: Option<S>| x.map(f);
        let two = |x: Option<[S; 2]>| x.map(|c| c.map(f));
        Outputs {
            camber: f(self.camber),
            toe: f(self.toe),
            heading: f(self.heading),
            camber_rate: f(self.camber_rate),
            toe_rate: f(self.toe_rate),
            caster: o(self.caster),
            inclination: o(self.inclination),
            scrub_radius: o(self.scrub_radius),
            trail: o(self.trail),
            half_track: f(self.half_track),
            wheelbase: f(self.wheelbase),
            roll_centre: o(self.roll_centre),
            contact_slope: o(self.contact_slope),
            centre_slope: f(self.centre_slope),
            front_centre: two(self.front_centre),
            side_centre: two(self.side_centre),
            spring_length: o(self.spring_length),
            spring_ratio: o(self.spring_ratio),
            damper_length: o(self.damper_length),
            damper_ratio: o(self.damper_ratio),
            bar_turn: o(self.bar_turn),
            bar_ratio: o(self.bar_ratio),
            bar_link_tilt: o(self.bar_link_tilt),
            lower_arm_turn: o(self.lower_arm_turn),
            upper_arm_turn: o(self.upper_arm_turn),
            axle_plunge: o(self.axle_plunge),
            axle_inner: o(self.axle_inner),
            axle_outer: o(self.axle_outer),
            joints: self.joints.map(|j| j.map(f)),
        }
    }

    /// Whether every number in it is ordinary.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        let named = Output::ALL.iter().all(|o| self.get(*o).is_none_or(|x| x.value().is_finite()));
        named && (0..MOST_JOINTS).all(|i| self.joints[i].is_none_or(|x| x.value().is_finite()))
    }
}

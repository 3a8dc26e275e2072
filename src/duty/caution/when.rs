//! Tests on the fields of a case that raise a rule of the book.

use super::short;
use crate::duty::surroundings::more_than_a_season;
use crate::duty::words::Text;
use crate::duty::{Case, Duty, Hurts, LiesOnBed, Sun};
use crate::policy::Class;
use crate::property::{Ask, Direction, Lies};
use serde::Deserialize;

/// Surface temperature from which long touch burns, degC: ISO 13732-1, from memory, not verified.
const LONG_TOUCH_C: f64 = 43.0;
/// Highest direct voltage that may be touched, V: from memory, not verified. Alternating 50 V and more
/// is found by its words.
const VOLTS: f64 = 120.0;

/// A test on fields, by its name in the rule book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum When {
    /// Every case.
    Always,
    /// A limit or the case is of class `severe`.
    ClassSevere,
    /// Failure hurts somebody.
    PersonHurt,
    /// Failure hurts a child.
    ChildHurt,
    /// In the sun outdoors, or behind glass for longer than a season's worth of it.
    SunSeen,
    /// A voltage above [`VOLTS`] is written somewhere.
    #[serde(rename = "above-120-volts")]
    Volts,
    /// A chemical is named.
    ChemicalsNamed,
    /// Hottest service temperature above [`LONG_TOUCH_C`].
    #[serde(rename = "above-43-degc")]
    HotTouch,
    /// How the part lies on the bed is open.
    DirectionOpen,
    /// A limit asks for strength or stiffness across the layers.
    LoadedAcross,
    /// The surface in contact is skin.
    OnSkin,
    /// The part raises it from its inputs.
    Inputs,
    /// Raised with the judgement of one material ([`material_cautions`](super::material_cautions)).
    Material,
}

impl When {
    /// What in the case meets it; `None` where nothing does.
    pub(super) fn reason(self, case: &Case, duty: &Duty, text: &Text) -> Option<String> {
        let s = &case.setting;
        match self {
            When::Always => Some("every case".to_owned()),
            When::ClassSevere => (s.class == Some(Class::Severe)
                || duty.limits.iter().any(|l| l.class == Class::Severe))
            .then(|| "class severe".to_owned()),
            When::PersonHurt => match s.harm.hurts {
                Hurts::Nobody => None,
                Hurts::User => Some("hurts the user".to_owned()),
                Hurts::Bystander => Some("hurts a bystander".to_owned()),
                Hurts::Child => Some("hurts a child".to_owned()),
            },
            When::ChildHurt => (s.harm.hurts == Hurts::Child).then(|| "hurts a child".to_owned()),
            When::SunSeen => match s.sun {
                Sun::None => None,
                Sun::Outdoors => Some("sun outdoors".to_owned()),
                Sun::Indoors => more_than_a_season(s).then(|| "sun behind glass".to_owned()),
            },
            When::Volts => text
                .volts()
                .filter(|v| *v > VOLTS)
                .map(|v| format!("{} V", short(v))),
            When::ChemicalsNamed => {
                (!s.chemicals.is_empty()).then(|| format!("chemicals: {}", s.chemicals.join(", ")))
            }
            When::HotTouch => (s.temperature_c.1 > LONG_TOUCH_C)
                .then(|| format!("hot end {} degC", short(s.temperature_c.1))),
            When::DirectionOpen => {
                (s.lies == LiesOnBed::Open).then(|| "how it lies on the bed is open".to_owned())
            }
            When::LoadedAcross => duty
                .limits
                .iter()
                .find(|l| {
                    l.needs
                        .iter()
                        .flatten()
                        .filter_map(|i| duty.asks.get(*i))
                        .any(across)
                })
                .map(|l| format!("{} loads across the layers", l.title)),
            When::OnSkin => {
                (s.counterface.as_deref() == Some("skin")).then(|| "on skin".to_owned())
            }
            When::Inputs | When::Material => None,
        }
    }
}

/// Whether an ask means the property across the layers, said or by the table's default.
fn across(ask: &Ask) -> bool {
    ask.lies.map_or_else(
        || {
            crate::property::builtin()
                .iter()
                .find(|p| p.id == ask.property)
                .is_some_and(|p| p.direction == Some(Direction::Across))
        },
        |l| l == Lies::Across,
    )
}

//! What a duty asks of a property: the property under the conditions of the use.

use crate::property::{Face, Lies, Moisture, PropertyId, ROOM_C};

/// A property under the conditions of a use.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// Property.
    pub property: PropertyId,
    /// How the load lies to the layers; `None` means the property's default direction.
    pub lies: Option<Lies>,
    /// Face in contact; `None` takes any face.
    pub face: Option<Face>,
    /// Temperature of the use, degC.
    pub temperature_c: f64,
    /// Moisture of the use.
    pub moisture: Moisture,
    /// Surface in contact; `None` where it does not matter.
    pub counterface: Option<String>,
    /// Life at which a curve is read, h; `None` for figures without time.
    pub life_h: Option<f64>,
    /// Stress the part puts on the material, MPa, where it limits the figure's use (creep).
    pub stress_mpa: Option<f64>,
    /// Whether a stiffer, harder material serves the use worse: a figure that falls with heat then
    /// counts no farther below its test temperature than the policy's window.
    pub stiffer_is_worse: bool,
}

impl Ask {
    /// A property at room conditions in its default direction.
    pub fn room(property: &'static str) -> Self {
        Ask {
            property: PropertyId::fixed(property),
            lies: None,
            face: None,
            temperature_c: ROOM_C,
            moisture: Moisture::Room,
            counterface: None,
            life_h: None,
            stress_mpa: None,
            stiffer_is_worse: false,
        }
    }
    /// The same at another temperature, degC.
    pub fn at(mut self, temperature_c: f64) -> Self {
        self.temperature_c = temperature_c;
        self
    }
    /// The same for a load that lies so.
    pub fn lying(mut self, lies: Lies) -> Self {
        self.lies = Some(lies);
        self
    }
    /// The same at a life, h.
    pub fn after(mut self, life_h: f64) -> Self {
        self.life_h = Some(life_h);
        self
    }
    /// The same on a surface.
    pub fn on(mut self, counterface: impl Into<String>) -> Self {
        self.counterface = Some(counterface.into());
        self
    }
    /// The same at a moisture.
    pub fn moist(mut self, moisture: Moisture) -> Self {
        self.moisture = moisture;
        self
    }
    /// The same under a stress, MPa.
    pub fn under(mut self, stress_mpa: f64) -> Self {
        self.stress_mpa = Some(stress_mpa);
        self
    }
    /// The same where a stiffer, harder material serves worse.
    pub fn stiffer_is_worse(mut self) -> Self {
        self.stiffer_is_worse = true;
        self
    }
    /// The same for any property id (the user's own among them).
    pub fn of(property: PropertyId) -> Self {
        Ask {
            property,
            ..Ask::room("price")
        }
    }
}

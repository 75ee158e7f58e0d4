//! A part of any kind: what all kinds have in common.

use super::{Behind, Folded, FormedOn, Grille, Need, Panel, Pod, Ring, Strap, Template};
use crate::file::{Length, Mass, Temperature, Time};
use crate::finish::Shade;
use crate::shape::Hand;

/// A part of a job.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// A strap round a body.
    Strap(Strap),
    /// A pod over a plug.
    Pod(Pod),
    /// An adapter ring.
    Ring(Ring),
    /// A flat panel.
    Panel(Panel),
    /// A folded panel.
    Folded(Folded),
    /// A grille.
    Grille(Grille),
}

/// How a part is heated and formed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    /// How soft the sheet must be.
    pub need: Need,
    /// What lies behind it.
    pub behind: Behind,
    /// Time between turns, where it is turned over.
    pub turn_every: Option<Time>,
    /// Distance from the nozzle to the sheet.
    pub gun_distance: Length,
    /// What it is pressed on and held against.
    pub formed_on: FormedOn,
    /// The foam between it and the real part, where it is formed on that.
    pub foam_thickness: Option<Length>,
    /// Highest temperature that the real part's face may see.
    pub body_limit: Option<Temperature>,
}

/// A measurement of a part, by its key in words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// A length.
    Length(&'static str, Length),
    /// A mass.
    Mass(&'static str, Mass),
}

/// What every kind has.
macro_rules! each {
    ($part:expr, $one:ident => $value:expr) => {
        match $part {
            Part::Strap($one) => $value,
            Part::Pod($one) => $value,
            Part::Ring($one) => $value,
            Part::Panel($one) => $value,
            Part::Folded($one) => $value,
            Part::Grille($one) => $value,
        }
    };
}

impl Part {
    /// Its kind: `strap`, `pressed-pod`, `ring`, `panel`, `folded-panel`, `grille`.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Strap(_) => "strap",
            Self::Pod(_) => "pressed-pod",
            Self::Ring(_) => "ring",
            Self::Panel(_) => "panel",
            Self::Folded(_) => "folded-panel",
            Self::Grille(_) => "grille",
        }
    }

    /// What the shop calls it.
    pub fn name(&self) -> &str {
        each!(self, one => &one.name)
    }

    /// The sheet that it is made of.
    pub fn material(&self) -> &str {
        each!(self, one => &one.material)
    }

    /// The sheet that it names, by its name or its lot.
    pub fn sheet(&self) -> Option<&String> {
        each!(self, one => one.sheet.as_ref())
    }

    /// The same part of another sheet, of another thickness where one is given; it names no sheet of the shop then.
    #[must_use]
    pub fn of(mut self, material: &str, thickness: Option<Length>) -> Self {
        each!(&mut self, one => {
            one.material = material.into();
            one.sheet = None;
        });
        if let Some(thickness) = thickness {
            match &mut self {
                Self::Strap(one) => one.thickness = thickness,
                Self::Pod(one) => one.thickness = thickness,
                Self::Panel(one) => one.thickness = thickness,
                Self::Folded(one) => one.thickness = thickness,
                Self::Grille(one) => one.thickness = thickness,
                Self::Ring(_) => {}
            }
        }
        self
    }

    /// How dark the finish is, where that is said.
    pub fn shade(&self) -> Option<Shade> {
        each!(self, one => one.shade)
    }

    /// The side of the vehicle.
    pub fn hand(&self) -> Hand {
        each!(self, one => one.hand)
    }

    /// Where its template is.
    pub fn template(&self) -> Template {
        each!(self, one => one.template)
    }

    /// The places where it goes; as many are made.
    pub fn places(&self) -> &[String] {
        match self {
            Self::Strap(one) => std::slice::from_ref(&one.place),
            Self::Pod(one) => std::slice::from_ref(&one.place),
            Self::Ring(one) => &one.places,
            Self::Panel(one) => std::slice::from_ref(&one.place),
            Self::Folded(one) => std::slice::from_ref(&one.place),
            Self::Grille(one) => &one.places,
        }
    }

    /// The part at those of its places that are `kept`; `None` where there are none left.
    #[must_use]
    pub fn at_places(mut self, kept: impl Fn(&str) -> bool) -> Option<Self> {
        if let Self::Ring(Ring { places, .. }) | Self::Grille(Grille { places, .. }) = &mut self {
            places.retain(|place| kept(place));
        }
        let left = self.places();
        (!left.is_empty() && left.iter().all(|place| kept(place))).then_some(self)
    }

    /// Thickness of its sheet; `None` for a ring, whose layers are chosen.
    pub fn thickness(&self) -> Option<Length> {
        match self {
            Self::Strap(one) => Some(one.thickness),
            Self::Pod(one) => Some(one.thickness),
            Self::Ring(_) => None,
            Self::Panel(one) => Some(one.thickness),
            Self::Folded(one) => Some(one.thickness),
            Self::Grille(one) => Some(one.thickness),
        }
    }

    /// The foam that it holds a body with.
    pub fn foam(&self) -> Option<&str> {
        match self {
            Self::Strap(one) => Some(&one.foam),
            Self::Pod(one) => Some(&one.foam),
            _ => None,
        }
    }

    /// How it is heated; `None` for a part that stays flat.
    pub fn heat(&self) -> Option<Heat> {
        match self {
            Self::Strap(one) => Some(one.heat()),
            Self::Pod(one) => Some(one.heat()),
            Self::Folded(one) => Some(one.heat()),
            Self::Ring(_) | Self::Panel(_) | Self::Grille(_) => None,
        }
    }

    /// What was measured for it, for the plan's pages.
    pub fn measured(&self) -> Vec<Measured> {
        match self {
            Self::Strap(one) => one.measured(),
            Self::Pod(one) => one.measured(),
            Self::Ring(one) => one.measured(),
            Self::Panel(one) => one.measured(),
            Self::Folded(one) => one.measured(),
            Self::Grille(one) => one.measured(),
        }
    }
}

/// A length that may be left out.
fn given(what: &'static str, length: Option<Length>) -> Option<Measured> {
    length.map(|length| Measured::Length(what, length))
}

impl Strap {
    /// How it is heated.
    pub fn heat(&self) -> Heat {
        Heat {
            need: self.need.unwrap_or(Need::Limp),
            behind: self.behind,
            turn_every: self.turn_every,
            gun_distance: self.gun_distance,
            formed_on: self.formed_on.unwrap_or(FormedOn::Plug),
            foam_thickness: Some(self.foam_thickness),
            body_limit: self.body_limit,
        }
    }

    fn measured(&self) -> Vec<Measured> {
        let length = |what, l| Measured::Length(what, l);
        let mut all = vec![
            length("thickness", self.thickness),
            length("body diameter", self.body_diameter),
            Measured::Mass("body mass", self.body_mass),
            length("foam thickness", self.foam_thickness),
            length("axis height", self.axis_height),
            length("front screw", self.front_screw),
            length("rear screw", self.rear_screw),
            length("foot radius", self.foot_radius),
            length("middle width", self.middle_width),
            length("end width", self.end_width),
            length("tab length", self.tab_length),
            length("gun distance", self.gun_distance),
        ];
        all.extend(given("front cut", self.front_cut));
        all.extend(given("rear cut", self.rear_cut));
        all
    }
}

impl Pod {
    /// How it is heated.
    pub fn heat(&self) -> Heat {
        Heat {
            need: self.need.unwrap_or(Need::Formable),
            behind: self.behind,
            turn_every: self.turn_every,
            gun_distance: self.gun_distance,
            formed_on: FormedOn::Plug,
            foam_thickness: None,
            body_limit: None,
        }
    }

    fn measured(&self) -> Vec<Measured> {
        let length = |what, l| Some(Measured::Length(what, l));
        [
            length("thickness", self.thickness),
            length("width", self.width),
            given("height", self.height),
            given("crown width", self.crown_width),
            given("corner radius", self.corner_radius),
            length("depth", self.depth),
            given("depth cut", self.depth_cut),
            length("clamp", self.clamp),
            length("flange", self.flange),
            given("flange cut", self.flange_cut),
            length("body diameter", self.body_diameter),
            length("body length", self.body_length),
            Some(Measured::Mass("body mass", self.body_mass)),
            length("foam thickness", self.foam_thickness),
            length("gun distance", self.gun_distance),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

impl Ring {
    fn measured(&self) -> Vec<Measured> {
        let length = |what, l| Some(Measured::Length(what, l));
        [
            length("width", self.width),
            given("height", self.height),
            given("edge cut", self.edge_cut),
            length("cutout width", self.cutout_width),
            given("cutout height", self.cutout_height),
            given("cutout cut", self.cutout_cut),
            given("driver bolt circle", self.driver_bolt_circle),
            given("driver holes width", self.driver_holes_width),
            given("driver holes height", self.driver_holes_height),
            length("vehicle bolt circle", self.vehicle_bolt_circle),
            length("depth", self.depth),
            length("driver depth", self.driver_depth),
            length("driver flange", self.driver_flange),
            length("free depth", self.free_depth),
            Some(Measured::Mass("driver mass", self.driver_mass)),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

impl Panel {
    fn measured(&self) -> Vec<Measured> {
        let length = |what, l| Some(Measured::Length(what, l));
        [
            length("thickness", self.thickness),
            length("width", self.width),
            length("height", self.height),
            given("corner radius", self.corner_radius),
            length("screw edge", self.screw_edge),
            given("edge cut", self.edge_cut),
            given("left cut", self.left_cut),
            given("right cut", self.right_cut),
            given("top cut", self.top_cut),
            given("bottom cut", self.bottom_cut),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

impl Folded {
    /// How it is heated.
    pub fn heat(&self) -> Heat {
        Heat {
            need: self.need.unwrap_or(Need::Limp),
            behind: self.behind,
            turn_every: self.turn_every,
            gun_distance: self.gun_distance,
            formed_on: self.formed_on.unwrap_or(FormedOn::Plug),
            foam_thickness: None,
            body_limit: None,
        }
    }

    fn measured(&self) -> Vec<Measured> {
        let mut all = vec![
            Measured::Length("thickness", self.thickness),
            Measured::Length("width", self.width),
        ];
        all.extend(self.flanges.iter().map(|&l| Measured::Length("flange", l)));
        let radii = self.folds.iter().map(|f| f.inside_radius);
        all.extend(radii.map(|l| Measured::Length("inside radius", l)));
        all.push(Measured::Length("screw edge", self.screw_edge));
        all.push(Measured::Length("gun distance", self.gun_distance));
        all.extend(given("first cut", self.first_cut));
        all.extend(given("last cut", self.last_cut));
        all.extend(given("width cut", self.width_cut));
        all
    }
}

impl Grille {
    fn measured(&self) -> Vec<Measured> {
        let length = |what, l| Some(Measured::Length(what, l));
        [
            length("thickness", self.thickness),
            length("retainer thickness", self.retainer_thickness),
            length("width", self.width),
            given("height", self.height),
            given("edge cut", self.edge_cut),
            length("opening width", self.opening_width),
            given("opening height", self.opening_height),
            given("opening cut", self.opening_cut),
            length("mesh thickness", self.mesh_thickness),
            Some(Measured::Mass("mesh mass", self.mesh_mass)),
            length("lap", self.lap),
            given("cone travel", self.cone_travel),
            given("cone to trim", self.cone_to_trim),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

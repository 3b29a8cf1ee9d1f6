//! Reads pressures, flows, temperatures and the like in a line, and says what is wrong with them.

use wyeline_units::{
    Dimension, Flow, HeatingValue, Power, Pressure, Quantity, QuantityError, Temperature, Volume,
    read_number,
};

use crate::diagnostic::{Diagnostic, Span};
use crate::line::{Line, looks_like_amount};
use crate::model::{DeviceKind, Setting, Use};
use crate::source::{shown, word_len};

const USES: [(&str, Use); 3] = [
    ("private", Use::Private),
    ("public", Use::Public),
    ("assembly", Use::Assembly),
];

impl Line<'_, '_> {
    /// `private`, `public` or `assembly`.
    pub fn usage(&mut self) -> Option<Use> {
        self.one_of("unknown-word", "`private`, `public` or `assembly`", &USES)
    }

    /// A plain number above 0, with the stretch it takes.
    pub fn number(&mut self, what: &str) -> Option<(f64, Span)> {
        let rest = self.rest();
        if !looks_like_amount(rest) {
            self.missing("not-a-number", what);
            return None;
        }
        let Some((value, bytes)) = read_number(rest) else {
            self.wrong("not-a-number", what, None);
            return None;
        };
        Some((value, self.take(bytes)))
    }

    /// A quantity of this dimension.
    fn quantity(&mut self, wanted: Dimension) -> Option<Quantity> {
        let (what, example) = wanted.words();
        let help = format!("for example {example}");
        let rest = self.rest();
        if rest.is_empty() {
            self.too_short(what);
            return None;
        }
        match Quantity::read(rest) {
            Ok((found, bytes)) if found.dimension() == wanted => {
                self.take(bytes);
                Some(found)
            }
            Ok((found, bytes)) => {
                let span = self.take(bytes);
                let mistake = Diagnostic::mistake(
                    "wrong-unit",
                    span,
                    format!("`{}` is {}", shown(&rest[..bytes]), found.dimension()),
                )
                .expected(format!("expected {what}"))
                .help(help);
                self.report(mistake);
                None
            }
            Err(QuantityError::NoUnit(bytes)) => {
                let number = self.take(bytes);
                let mut mistake = Diagnostic::mistake(
                    "unit-missing",
                    number,
                    format!("`{}` has no unit", shown(&rest[..bytes])),
                )
                .expected(format!("expected the unit of {what}"));
                mistake.help = Some(help);
                // A unit that is none: it is passed over with its number.
                let glued = !rest[bytes..].starts_with(char::is_whitespace);
                if glued && bytes < rest.len() {
                    let more = self.take(word_len(&rest[bytes..]));
                    mistake.span = number.to(more);
                    let all = &rest[..bytes + (more.end - more.start) as usize];
                    mistake.message = format!("`{}` has no unit that is known here", shown(all));
                }
                self.report(mistake);
                None
            }
            Err(QuantityError::NoNumber) => {
                if looks_like_amount(rest) {
                    self.wrong("not-a-number", what, Some(help));
                    if Dimension::of_unit(self.peek()).is_some() {
                        self.word();
                    }
                } else {
                    self.missing("not-a-number", what);
                }
                None
            }
        }
    }

    /// A pressure.
    pub fn pressure(&mut self) -> Option<Pressure> {
        match self.quantity(Dimension::Pressure)? {
            Quantity::Pressure(found) => Some(found),
            _ => None,
        }
    }

    /// A flow.
    pub fn flow(&mut self) -> Option<Flow> {
        match self.quantity(Dimension::Flow)? {
            Quantity::Flow(found) => Some(found),
            _ => None,
        }
    }

    /// A temperature.
    pub fn temperature(&mut self) -> Option<Temperature> {
        match self.quantity(Dimension::Temperature)? {
            Quantity::Temperature(found) => Some(found),
            _ => None,
        }
    }

    /// Heat in a time.
    pub fn power(&mut self) -> Option<Power> {
        match self.quantity(Dimension::Power)? {
            Quantity::Power(found) => Some(found),
            _ => None,
        }
    }

    /// A volume.
    pub fn volume(&mut self) -> Option<Volume> {
        match self.quantity(Dimension::Volume)? {
            Quantity::Volume(found) => Some(found),
            _ => None,
        }
    }

    /// A heating value.
    pub fn heating_value(&mut self) -> Option<HeatingValue> {
        match self.quantity(Dimension::HeatingValue)? {
            Quantity::HeatingValue(found) => Some(found),
            _ => None,
        }
    }

    /// What a device of this kind is set to.
    pub fn setting(&mut self, kind: DeviceKind) -> Option<Setting> {
        match kind {
            DeviceKind::MixingValve => self.temperature().map(Setting::Temperature),
            DeviceKind::BalancingValve | DeviceKind::Pump => self.flow().map(Setting::Flow),
            _ => self.pressure().map(Setting::Pressure),
        }
    }
}

//! Typed quantities in SI units, so that no bare number of unknown unit crosses a module border.

macro_rules! unit {
    ($($(#[$doc:meta])* $name:ident, $symbol:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub f64);

        impl $name {
            /// The unit's symbol.
            pub const SYMBOL: &'static str = $symbol;
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::ops::Div<f64> for $name {
            type Output = Self;
            fn div(self, factor: f64) -> Self {
                Self(self.0 / factor)
            }
        }

        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
    )*};
}

unit! {
    /// Length in metres.
    Metre, "m";
    /// Area in square metres.
    SquareMetre, "m²";
    /// Resistance in ohms.
    Ohm, "Ω";
    /// Resistance per length in ohms per metre.
    OhmPerMetre, "Ω/m";
    /// Resistivity in ohm metres.
    OhmMetre, "Ω·m";
    /// Inductance in henries.
    Henry, "H";
    /// Inductance per length in henries per metre.
    HenryPerMetre, "H/m";
    /// Capacitance in farads.
    Farad, "F";
    /// Capacitance per length in farads per metre.
    FaradPerMetre, "F/m";
    /// Frequency in hertz.
    Hertz, "Hz";
    /// Temperature in degrees Celsius.
    Celsius, "°C";
    /// Voltage in volts.
    Volt, "V";
    /// Current in amperes.
    Ampere, "A";
    /// Power in watts.
    Watt, "W";
    /// A level or a loss in decibels.
    Decibel, "dB";
    /// Time in seconds.
    Second, "s";
    /// Speed in metres per second.
    MetrePerSecond, "m/s";
    /// Density in kilograms per cubic metre.
    KilogramPerCubicMetre, "kg/m³";
    /// Current density in amperes per square metre.
    AmperePerSquareMetre, "A/m²";
    /// Temperature coefficient of resistance per kelvin.
    PerKelvin, "1/K";
    /// A temperature difference in kelvins.
    Kelvin, "K";
    /// Mass per length in kilograms per metre.
    KilogramPerMetre, "kg/m";
}

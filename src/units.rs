//! Typed quantities in SI units, so that no bare number of unknown unit crosses a module border.

/// Prefixes of the SI with their factors, the largest first.
pub const PREFIXES: [(f64, &str); 8] = [
    (1e9, "G"),
    (1e6, "M"),
    (1e3, "k"),
    (1.0, ""),
    (1e-3, "m"),
    (1e-6, "µ"),
    (1e-9, "n"),
    (1e-12, "p"),
];

macro_rules! unit {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub f64);

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
    Metre;
    /// Area in square metres.
    SquareMetre;
    /// Resistance in ohms.
    Ohm;
    /// Resistance per length in ohms per metre.
    OhmPerMetre;
    /// Resistivity in ohm metres.
    OhmMetre;
    /// Inductance in henries.
    Henry;
    /// Inductance per length in henries per metre.
    HenryPerMetre;
    /// Capacitance in farads.
    Farad;
    /// Capacitance per length in farads per metre.
    FaradPerMetre;
    /// Frequency in hertz.
    Hertz;
    /// Temperature in degrees Celsius.
    Celsius;
    /// Voltage in volts.
    Volt;
    /// Current in amperes.
    Ampere;
    /// Power in watts.
    Watt;
    /// A level or a loss in decibels.
    Decibel;
    /// Time in seconds.
    Second;
    /// Speed in metres per second.
    MetrePerSecond;
    /// Density in kilograms per cubic metre.
    KilogramPerCubicMetre;
    /// Current density in amperes per square metre.
    AmperePerSquareMetre;
    /// Temperature coefficient of resistance per kelvin.
    PerKelvin;
    /// A temperature difference in kelvins.
    Kelvin;
    /// Mass per length in kilograms per metre.
    KilogramPerMetre;
}

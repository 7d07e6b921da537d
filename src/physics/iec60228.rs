//! Greatest resistance that a conductor of a nominal area may have: the tables of IEC 60228.

use crate::units::{OhmPerMetre, SquareMetre};

/// Class of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Solid.
    Solid,
    /// Stranded, for fixed wiring.
    Stranded,
    /// Flexible.
    Flexible,
    /// More flexible, with finer strands and the maxima of class 5.
    FinelyStranded,
}

impl Class {
    /// From the number in the standard: 1, 2, 5 or 6.
    #[must_use]
    pub fn from_number(number: u8) -> Option<Self> {
        match number {
            1 => Some(Self::Solid),
            2 => Some(Self::Stranded),
            5 => Some(Self::Flexible),
            6 => Some(Self::FinelyStranded),
            _ => None,
        }
    }

    /// The number in the standard.
    #[must_use]
    pub fn number(self) -> u8 {
        match self {
            Self::Solid => 1,
            Self::Stranded => 2,
            Self::Flexible => 5,
            Self::FinelyStranded => 6,
        }
    }
}

/// One nominal area with its maxima at 20 °C in Ω/km.
struct Row {
    area_mm2: f64,
    class1: (f64, Option<f64>),
    class2: (f64, f64),
    class5: (f64, f64),
}

const fn row(
    area_mm2: f64,
    class1: (f64, Option<f64>),
    class2: (f64, f64),
    class5: (f64, f64),
) -> Row {
    Row {
        area_mm2,
        class1,
        class2,
        class5,
    }
}

/// IEC 60228:2004, tables 1, 2 and 3 (plain, tinned); class 6 has the maxima of class 5. Classes 1 and 2 and class 5 from 1 mm² were
/// compared with printed copies of the tables; class 5 at 0.5 and 0.75 mm² and class 6 are from memory. The edition of 2023 was not compared.
const TABLE: [Row; 12] = [
    row(0.5, (36.0, Some(36.7)), (36.0, 36.7), (39.0, 40.1)),
    row(0.75, (24.5, Some(24.8)), (24.5, 24.8), (26.0, 26.7)),
    row(1.0, (18.1, Some(18.2)), (18.1, 18.2), (19.5, 20.0)),
    row(1.5, (12.1, Some(12.2)), (12.1, 12.2), (13.3, 13.7)),
    row(2.5, (7.41, Some(7.56)), (7.41, 7.56), (7.98, 8.21)),
    row(4.0, (4.61, Some(4.70)), (4.61, 4.70), (4.95, 5.09)),
    row(6.0, (3.08, Some(3.11)), (3.08, 3.11), (3.30, 3.39)),
    row(10.0, (1.83, Some(1.84)), (1.83, 1.84), (1.91, 1.95)),
    row(16.0, (1.15, Some(1.16)), (1.15, 1.16), (1.21, 1.24)),
    row(25.0, (0.727, None), (0.727, 0.734), (0.780, 0.795)),
    row(35.0, (0.524, None), (0.524, 0.529), (0.554, 0.565)),
    row(50.0, (0.387, None), (0.387, 0.391), (0.386, 0.393)),
];

/// The nominal areas of the table.
pub fn areas() -> impl Iterator<Item = SquareMetre> {
    TABLE.iter().map(|row| SquareMetre(row.area_mm2 * 1.0e-6))
}

/// Greatest resistance of one conductor at 20 °C for a nominal area, within a thousandth; `None` when the area is not in the table, or
/// the table has no value (tinned, class 1, from 25 mm²).
///
/// ```
/// use claimgauge::physics::iec60228::{Class, maximum};
/// use claimgauge::units::SquareMetre;
/// let flexible = maximum(SquareMetre(2.5e-6), Class::Flexible, false).expect("a nominal area");
/// assert!((flexible.0 - 7.98e-3).abs() < 1e-9);
/// ```
#[must_use]
pub fn maximum(area: SquareMetre, class: Class, tinned: bool) -> Option<OhmPerMetre> {
    let row = TABLE
        .iter()
        .find(|row| (area.0 / (row.area_mm2 * 1.0e-6) - 1.0).abs() < 1.0e-3)?;
    let per_km = match (class, tinned) {
        (Class::Solid, false) => row.class1.0,
        (Class::Solid, true) => row.class1.1?,
        (Class::Stranded, false) => row.class2.0,
        (Class::Stranded, true) => row.class2.1,
        (Class::Flexible | Class::FinelyStranded, false) => row.class5.0,
        (Class::Flexible | Class::FinelyStranded, true) => row.class5.1,
    };
    Some(OhmPerMetre(per_km * 1.0e-3))
}

//! Metals and insulations, from `rules/metals.yaml` and `rules/insulations.yaml`, where each figure has its source.

use super::{Range, conductor};
use crate::rulebook::{self, Row};
use crate::units::{Celsius, KilogramPerCubicMetre, OhmMetre, OhmPerMetre, PerKelvin, SquareMetre};
use std::sync::LazyLock;

/// A metal of conductors, contacts or platings.
#[derive(Debug, Clone, PartialEq)]
pub struct Metal {
    /// Key, for example `copper-clad-aluminium`.
    pub key: String,
    /// Name in reports.
    pub name: String,
    /// Other names, in lower case.
    pub aliases: Vec<String>,
    /// The usual resistivity at 20 °C.
    pub rho20: OhmMetre,
    /// Lowest resistivity at 20 °C over purity, temper and handbooks.
    pub rho20_low: OhmMetre,
    /// Highest resistivity at 20 °C over purity, temper and handbooks.
    pub rho20_high: OhmMetre,
    /// Resistivity at 20 °C of the best figure by which a sheet is judged: a stated resistance well below it contradicts the metal.
    ///
    /// For silver it lies above the usual figure, since wire does not reach the handbook's element.
    pub best: OhmMetre,
    /// Resistivity at 20 °C of the worst figure by which a sheet is judged.
    pub worst: OhmMetre,
    /// Temperature coefficient of resistance at 20 °C.
    pub alpha20: PerKelvin,
    /// Density.
    pub density: KilogramPerCubicMetre,
    /// Relative permeability.
    pub mu_r: f64,
    /// Whether conductors of cables are made of it; otherwise it is for plugs and platings.
    pub conductor: bool,
    /// Where the figures come from.
    pub source: String,
}

impl Metal {
    /// Usual conductivity in % IACS.
    #[must_use]
    pub fn iacs(&self) -> f64 {
        conductor::iacs_percent(self.rho20)
    }

    /// Usual resistivity at a temperature.
    #[must_use]
    pub fn resistivity_at(&self, temperature: Celsius) -> OhmMetre {
        conductor::resistivity_at(self.rho20, self.alpha20, temperature)
    }

    fn is_called(&self, name: &str) -> bool {
        self.key == name || self.name == name || self.aliases.iter().any(|alias| alias == name)
    }
}

/// An insulation.
#[derive(Debug, Clone, PartialEq)]
pub struct Insulation {
    /// Key, for example `pvc`.
    pub key: String,
    /// Name in reports.
    pub name: String,
    /// Other names, in lower case.
    pub aliases: Vec<String>,
    /// Usual relative permittivity.
    pub permittivity: f64,
    /// Its range.
    pub permittivities: Range<f64>,
    /// Highest conductor temperature of any ordinary grade.
    pub limit: Celsius,
    /// Where the figures come from.
    pub source: String,
}

static METALS: LazyLock<Vec<Metal>> = LazyLock::new(|| {
    rulebook::table("metals")
        .iter()
        .map(metal_of)
        .collect::<Result<_, _>>()
        .expect("the embedded table of metals holds no fault, which a test rules out")
});

static INSULATIONS: LazyLock<Vec<Insulation>> = LazyLock::new(|| {
    rulebook::table("insulations")
        .iter()
        .map(insulation_of)
        .collect::<Result<_, _>>()
        .expect("the embedded table of insulations holds no fault, which a test rules out")
});

/// All metals, in the order of the file.
///
/// # Panics
/// When the embedded file has a fault, which a test rules out.
#[must_use]
pub fn metals() -> &'static [Metal] {
    &METALS
}

/// The metal of this key, name or alias, in any case.
///
/// ```
/// use claimgauge::physics::metal;
/// let copper = metal("Cu").expect("a metal of the table");
/// assert!((copper.iacs() - 100.0).abs() < 0.01);
/// ```
#[must_use]
pub fn metal(name: &str) -> Option<&'static Metal> {
    let name = name.trim().to_lowercase();
    metals().iter().find(|metal| metal.is_called(&name))
}

/// All insulations, in the order of the file.
///
/// # Panics
/// When the embedded file has a fault, which a test rules out.
#[must_use]
pub fn insulations() -> &'static [Insulation] {
    &INSULATIONS
}

/// The insulation of this key, name or alias, in any case.
#[must_use]
pub fn insulation(name: &str) -> Option<&'static Insulation> {
    let name = name.trim().to_lowercase();
    insulations().iter().find(|insulation| {
        insulation.key == name
            || insulation.name.to_lowercase() == name
            || insulation.aliases.contains(&name)
    })
}

/// Metals that a conductor of this area and resistance at 20 °C could be of, the nearest first; contacts and platings left out.
///
/// A metal fits when the resistivity lies within its range widened by `tolerance` on either side (0.05 for 5 %).
#[must_use]
pub fn metals_fitting(
    one_conductor: OhmPerMetre,
    area: SquareMetre,
    tolerance: f64,
) -> Vec<&'static Metal> {
    let rho = one_conductor.0 * area.0;
    let mut fitting: Vec<&Metal> = metals()
        .iter()
        .filter(|metal| metal.conductor)
        .filter(|metal| {
            rho >= metal.rho20_low.0 * (1.0 - tolerance)
                && rho <= metal.rho20_high.0 * (1.0 + tolerance)
        })
        .collect();
    let distance = |metal: &Metal| (rho / metal.rho20.0).ln().abs();
    fitting.sort_by(|a, b| distance(a).total_cmp(&distance(b)));
    fitting
}

fn words(row: &Row, name: &str) -> Result<String, String> {
    row.text(name)
        .map(str::to_owned)
        .ok_or_else(|| format!("a row lacks “{name}”"))
}

fn aliases(row: &Row) -> Vec<String> {
    let aliases = row.list("aliases").iter();
    aliases.map(|alias| alias.to_string()).collect()
}

fn figure(row: &Row, name: &str) -> Result<f64, String> {
    row.number(name)
        .filter(|value| *value > 0.0)
        .ok_or_else(|| format!("a row lacks a figure “{name}” above zero"))
}

fn metal_of(row: &Row) -> Result<Metal, String> {
    let use_of = words(row, "use")?;
    Ok(Metal {
        key: words(row, "key")?,
        name: words(row, "name")?,
        aliases: aliases(row),
        rho20: OhmMetre(figure(row, "rho")?),
        rho20_low: OhmMetre(figure(row, "rho_low")?),
        rho20_high: OhmMetre(figure(row, "rho_high")?),
        best: conductor::resistivity_of_iacs(figure(row, "best_iacs")?),
        worst: conductor::resistivity_of_iacs(figure(row, "worst_iacs")?),
        alpha20: PerKelvin(figure(row, "alpha")?),
        density: KilogramPerCubicMetre(figure(row, "density")?),
        mu_r: row.number("mu_r").unwrap_or(1.0),
        conductor: match use_of.as_str() {
            "conductor" => true,
            "contact" => false,
            other => return Err(format!("the use “{other}” is unknown")),
        },
        source: words(row, "source")?,
    })
}

fn insulation_of(row: &Row) -> Result<Insulation, String> {
    Ok(Insulation {
        key: words(row, "key")?,
        name: words(row, "name")?,
        aliases: aliases(row),
        permittivity: figure(row, "er")?,
        permittivities: Range {
            low: figure(row, "er_low")?,
            high: figure(row, "er_high")?,
        },
        limit: Celsius(figure(row, "max_celsius")?),
        source: words(row, "source")?,
    })
}

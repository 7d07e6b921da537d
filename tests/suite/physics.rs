//! The physics against published tables, handbooks and reference libraries (`tests/data/physics/README.md` says which).

use claimgauge::physics::{self, chance, conductor, skin};
use claimgauge::units::OhmPerMetre;
use std::path::Path;

/// A table of `tests/data/physics` as rows of named cells.
pub fn table(name: &str) -> Vec<Record> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/physics")
        .join(name);
    let text = std::fs::read_to_string(&path).expect("a table of reference figures");
    let mut lines = text.lines();
    let head: Vec<String> = lines
        .next()
        .expect("a header")
        .split(',')
        .map(str::to_owned)
        .collect();
    let rows: Vec<Record> = lines
        .map(|line| Record {
            head: head.clone(),
            cells: line
                .split(',')
                .map(|cell| cell.trim_matches('"').to_owned())
                .collect(),
        })
        .collect();
    assert!(rows.len() > 3, "{name} is nearly empty");
    rows
}

/// A row.
pub struct Record {
    head: Vec<String>,
    cells: Vec<String>,
}

impl Record {
    /// The words of a column.
    pub fn text(&self, column: &str) -> &str {
        let index = self
            .head
            .iter()
            .position(|name| name == column)
            .expect("a column of the table");
        &self.cells[index]
    }

    /// The figure of a column, if it has one.
    pub fn maybe(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().expect("a figure"))
    }

    /// The figure of a column.
    pub fn number(&self, column: &str) -> f64 {
        self.maybe(column).expect("a figure")
    }
}

/// Fails when `got` is further from `wanted` than the relative tolerance.
#[track_caller]
pub fn near(got: f64, wanted: f64, tolerance: f64, what: &str) {
    let off = if wanted.abs() > 0.0 {
        (got / wanted - 1.0).abs()
    } else {
        got.abs()
    };
    assert!(
        off <= tolerance,
        "{what}: {got:e} is {off:.3e} away from {wanted:e}, allowed {tolerance:e}"
    );
}

#[test]
fn skin_effect_agrees_with_fifty_digit_arithmetic() {
    // mpmath: tests/scripts/skin_effect.py.
    for row in table("skin_effect.csv") {
        let x = row.number("x");
        let ratios = skin::ratios(x);
        near(
            ratios.resistance,
            row.number("r_ratio"),
            1e-9,
            &format!("R at x = {x}"),
        );
        near(
            ratios.inductance,
            row.number("li_ratio"),
            1e-9,
            &format!("L at x = {x}"),
        );
    }
}

#[test]
fn metals_are_read_and_in_order() {
    for metal in physics::metals() {
        assert!(
            metal.rho20_low <= metal.rho20 && metal.rho20 <= metal.rho20_high,
            "{}",
            metal.key
        );
        assert!(metal.best <= metal.worst, "{}", metal.key);
        assert!(!metal.source.is_empty(), "{}", metal.key);
    }
    let copper = physics::metal("OFC").expect("copper has aliases");
    assert_eq!(copper.key, "copper");
    near(copper.iacs(), 100.0, 1e-9, "IEC 60028");
    near(
        conductor::iacs_percent(copper.best),
        102.0,
        1e-12,
        "best copper",
    );
    for insulation in physics::insulations() {
        assert!(
            insulation.permittivities.holds(insulation.permittivity),
            "{}",
            insulation.key
        );
    }
    assert!(physics::insulation("Polyethylene").is_some());
}

#[test]
fn keys_and_aliases_of_metals_are_unique() {
    let mut seen = std::collections::BTreeSet::new();
    for metal in physics::metals() {
        assert!(seen.insert(metal.key.clone()), "{} twice", metal.key);
        for alias in &metal.aliases {
            assert_eq!(alias, &alias.to_lowercase());
            assert!(seen.insert(alias.clone()), "{alias} twice");
        }
    }
}

#[test]
fn tails_agree_with_scipy() {
    for row in table("binomial.csv") {
        let (k, n) = (whole(&row, "correct"), whole(&row, "trials"));
        let tail = chance::tail(k, n, row.number("chance")).expect("a chance between 0 and 1");
        near(tail, row.number("tail"), 1e-9, &format!("{k} of {n}"));
    }
}

fn whole(row: &Record, column: &str) -> u32 {
    row.text(column).parse().expect("a whole number")
}

#[test]
fn a_resistance_names_the_gauge_it_fits() {
    // 10 AWG is said to have "about 3 mΩ per foot of loop" (common practice, no source): 2.0 is right, and 3.2 is 12 AWG.
    let per_foot = |awg: f64| {
        2.0 * conductor::resistance_per_metre(physics::IACS, physics::size::awg_area(awg), 1.0).0
            * physics::FOOT
    };
    near(per_foot(10.0), 1.998e-3, 1e-3, "10 AWG, Ω per foot of loop");
    near(per_foot(12.0), 3.177e-3, 1e-3, "12 AWG, Ω per foot of loop");
    let fits = conductor::copper_gauge_of(OhmPerMetre(3.0e-3 / physics::FOOT / 2.0));
    assert!(
        (11.5..12.0).contains(&fits),
        "3 mΩ/ft of loop is {fits} AWG"
    );
}

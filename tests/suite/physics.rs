//! The physics against published tables, handbooks and reference libraries (`tests/data/physics/README.md` says which).

use claimgauge::physics::iec60228::{self, Class};
use claimgauge::physics::loss::{self, Run};
use claimgauge::physics::size::{self, awg_area, awg_diameter, equivalent_awg};
use claimgauge::physics::{
    self, Build, FOOT, IACS, Pair, Pole, chance, choose, conductor, heat, lamp, line, pair, skin,
};
use claimgauge::units::{
    Ampere, Celsius, Decibel, Farad, FaradPerMetre, Henry, HenryPerMetre, Hertz,
    KilogramPerCubicMetre, Metre, Ohm, OhmMetre, OhmPerMetre, PerKelvin, SquareMetre, Volt, Watt,
};
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

/// Resistance of one conductor of a gauge in Ω per 1000 ft.
fn per_kft(rho: OhmMetre, awg: f64, lay: f64) -> f64 {
    conductor::resistance_per_metre(rho, awg_area(awg), lay).0 * 1000.0 * FOOT
}

fn gauge_number(text: &str) -> f64 {
    match text.split_once('/') {
        Some((noughts, _)) => 1.0 - noughts.parse::<f64>().expect("noughts"),
        None => text.parse().expect("a gauge"),
    }
}

// ---- size ----

#[test]
fn gauges_have_the_diameters_of_astm_b258() {
    let rows = table("awg.csv");
    assert_eq!(rows.len(), 34, "4/0 to 30");
    for row in rows {
        let n = row.number("n");
        let what = row.text("awg").to_owned();
        near(gauge_number(&what), n, 1e-12, &what);
        near(awg_diameter(n).0 * 1e3, row.number("d_mm"), 1e-5, &what);
        // The printed table rounds to 0.1 mil.
        assert!(
            (awg_diameter(n).0 - row.number("d_b258_mm") * 1e-3).abs() < 0.051 * 25.4e-6,
            "{what}"
        );
        near(awg_area(n).0 * 1e6, row.number("area_mm2"), 1e-5, &what);
        near(
            size::in_circular_mils(awg_area(n)),
            row.number("area_cmil"),
            1e-5,
            &what,
        );
        // NBS Handbook 100 by its definition of copper, from exact and from rounded diameters.
        near(
            per_kft(IACS, n, 1.0),
            row.number("r20_ohm_per_kft"),
            1e-5,
            &what,
        );
        near(
            per_kft(IACS, n, 1.0),
            row.number("r20_b258_ohm_per_kft"),
            // Half of 0.1 mil on the diameter, twice that on the area.
            0.102 * 25.4e-6 / awg_diameter(n).0,
            &what,
        );
        near(
            conductor::resistance_per_metre(IACS, awg_area(n), 1.0).0 * 1e3,
            row.number("r20_ohm_per_km"),
            1e-5,
            &what,
        );
    }
    // NBS Circular 31 printed four figures from exact diameters (from memory).
    for row in table("nbs31.csv") {
        near(
            per_kft(IACS, row.number("awg"), 1.0),
            row.number("r20_ohm_per_kft"),
            5e-4,
            row.text("awg"),
        );
    }
}

#[test]
fn the_definition_of_the_gauge() {
    // ASTM B258: No. 36 is 0.0050 in, 4/0 is 0.4600 in, 39 steps between.
    near(awg_diameter(36.0).0, 0.127e-3, 1e-12, "No. 36");
    near(awg_diameter(-3.0).0, 11.684e-3, 1e-12, "4/0");
    near(
        awg_diameter(9.0) / awg_diameter(10.0),
        1.122_932_196_532,
        1e-12,
        "one step",
    );
    near(
        awg_area(10.0) / awg_area(13.0),
        2.005_031_519_501,
        1e-12,
        "three steps",
    );
    near(
        awg_area(10.0) / awg_area(20.0),
        10.164_140_990_805,
        1e-12,
        "ten steps",
    );
}

#[test]
fn bundles_make_the_gauge_of_their_area() {
    // n − 19.5 · ln N / ln 92, closed form from ASTM B258.
    for (count, awg, makes) in [
        (2u32, 14.0, 11.010_835),
        (2, 12.0, 9.010_835),
        (4, 18.0, 12.021_671),
        (3, 16.0, 11.262_286),
    ] {
        near(
            equivalent_awg(awg_area(awg) * f64::from(count)),
            makes,
            1e-6,
            &format!("{count} × {awg} AWG"),
        );
    }
    // Closed form, strands × diameter.
    for (strands, strand_mm, area_mm2, exact, nearest) in [
        (65, 0.127, 0.823_400, 17.998_152, 18),
        (7, 0.614, 2.072_644, 14.017_160, 14),
        (19, 0.2, 0.596_903, 19.385_415, 19),
        (30, 0.25, 1.472_622, 15.491_074, 15),
        (50, 0.25, 2.454_369, 13.288_162, 13),
        (105, 0.25, 5.154_175, 10.088_593, 10),
        (84, 0.2, 2.638_938, 12.975_481, 13),
        (259, 0.1, 2.034_181, 14.097_939, 14),
    ] {
        let area = size::strands_area(strands, Metre(strand_mm * 1e-3));
        let what = format!("{strands} × {strand_mm} mm");
        near(area.0 * 1e6, area_mm2, 1e-6, &what);
        near(equivalent_awg(area), exact, 1e-6, &what);
        assert_eq!(size::nearest_gauge(area), nearest, "{what}");
    }
}

#[test]
fn circular_mils_and_standard_wire_gauge() {
    near(
        size::kcmil(211.6) / awg_area(-3.0),
        1.0,
        1e-12,
        "4/0 is 211.6 kcmil by definition",
    );
    near(
        size::kcmil(250.0).0 * 1e6,
        126.677,
        1e-5,
        "250 kcmil, from 1 cmil = π/4 · (25.4 µm)²",
    );
    // BS 3737 (from memory): 7/0 is 0.500 in, 1/0 0.324 in, 10 is 0.128 in, 16 is 0.064 in, 30 is 0.0124 in, 50 is 0.0010 in.
    for (n, inches) in [
        (-6, 0.5),
        (0, 0.324),
        (10, 0.128),
        (16, 0.064),
        (30, 0.0124),
        (40, 0.0048),
        (50, 0.001),
    ] {
        near(
            size::swg_diameter(n).expect("in the table").0,
            inches * 25.4e-3,
            1e-12,
            &format!("{n} SWG"),
        );
    }
    assert_eq!(size::swg_diameter(51), None);
    assert_eq!(size::swg_diameter(-7), None);
}

#[test]
fn the_trade_sells_even_sizes() {
    // Common practice, no source.
    for (exact, sold) in [
        (11.01, 10),
        (12.0, 12),
        (12.005, 12),
        (15.9, 14),
        (1.5, 0),
        (0.5, 0),
        (-0.5, -1),
        (2.5, 2),
    ] {
        assert_eq!(size::next_trade_gauge(exact), Some(sold), "{exact}");
    }
    assert_eq!(size::next_trade_gauge(-3.5), None);
    assert_eq!(size::gauge_name(-3), "4/0");
    assert_eq!(size::gauge_name(0), "1/0");
    assert_eq!(size::gauge_name(12), "12");
}

// ---- resistance ----

#[test]
fn nec_table_8_at_75_degrees() {
    let hot = Celsius(75.0);
    let copper = conductor::resistivity_at(IACS, PerKelvin(0.00393), hot);
    let aluminium = conductor::resistivity_at(
        conductor::resistivity_of_iacs(61.0),
        PerKelvin(0.00403),
        hot,
    );
    for row in table("nec_table8.csv") {
        let awg = gauge_number(row.text("awg"));
        let lay = if row.text("build") == "solid" {
            1.0
        } else {
            1.02
        };
        let what = format!("{} {}", row.text("awg"), row.text("build"));
        near(
            per_kft(copper, awg, lay),
            row.number("copper_ohm_per_kft"),
            5e-3,
            &what,
        );
        near(
            per_kft(aluminium, awg, lay),
            row.number("aluminium_ohm_per_kft"),
            4.5e-3,
            &what,
        );
    }
}

#[test]
fn nominal_areas_lie_under_the_maxima_of_iec_60228() {
    let mut compared = 0;
    for row in table("iec60228.csv") {
        let mm2 = row.number("area_mm2");
        let area = SquareMetre(mm2 * 1e-6);
        let plain = conductor::resistance_per_metre(IACS, area, 1.0);
        for (class, name) in [
            (Class::Solid, "class1"),
            (Class::Stranded, "class2"),
            (Class::Flexible, "class5"),
            (Class::FinelyStranded, "class6"),
        ] {
            for (tinned, coat, furthest) in [(false, "plain", 1.16), (true, "coated", 1.195)] {
                let printed = row.maybe(&format!("{name}_{coat}"));
                let known = iec60228::maximum(area, class, tinned);
                assert_eq!(
                    known.is_some(),
                    printed.is_some(),
                    "{mm2} mm² {name} {coat}"
                );
                let (Some(known), Some(printed)) = (known, printed) else {
                    continue;
                };
                near(
                    known.0 * 1e3,
                    printed,
                    1e-9,
                    &format!("{mm2} mm² {name} {coat}"),
                );
                // The makers' range: what the nominal area has by computation is less, but not by far.
                let ratio = known / plain;
                assert!(
                    (1.0..furthest).contains(&ratio),
                    "{mm2} mm² {name} {coat}: {ratio}"
                );
                compared += 1;
            }
        }
    }
    assert!(compared > 85);
    assert_eq!(iec60228::areas().count(), 12);
    assert_eq!(
        iec60228::maximum(SquareMetre(3.0e-6), Class::Flexible, false),
        None
    );
    assert_eq!(Class::from_number(5).map(Class::number), Some(5));
    assert_eq!(Class::from_number(3), None);
}

#[test]
fn loops_and_temperatures() {
    // IEC 60228:2004 table 3: 7.98 Ω/km for 2.5 mm² plain, 13.7 for 1.5 mm² tinned, class 5.
    let most = |mm2: f64, tinned, length| {
        let one = iec60228::maximum(SquareMetre(mm2 * 1e-6), Class::Flexible, tinned)
            .expect("in the table");
        conductor::loop_resistance(one, Metre(length)).0
    };
    near(most(2.5, false, 10.0), 0.1596, 1e-9, "10 m of 2.5 mm²");
    near(most(1.5, true, 5.0), 0.137, 1e-9, "5 m of 1.5 mm², tinned");
    // 100 ft of 12 AWG there and back; IACS and ASTM B258.
    let one = conductor::resistance_per_metre(IACS, awg_area(12.0), 1.0);
    near(
        conductor::loop_resistance(one, Metre(100.0 * FOOT)).0,
        0.317_651,
        1e-6,
        "12 AWG",
    );
    // IEC 60028: 0.00393 /K.
    let alpha = PerKelvin(0.00393);
    near(
        1.0 / conductor::temperature_factor(alpha, Celsius(75.0)),
        0.822_266_990,
        1e-8,
        "75 to 20 °C",
    );
    // IEC 60228 prints 0.820 for the same.
    near(
        1.0 / conductor::temperature_factor(alpha, Celsius(75.0)),
        0.820,
        3e-3,
        "IEC 60228 table",
    );
    // NEC Chapter 9 Table 8 note: 0.00323 at 75 °C.
    near(
        conductor::coefficient_at(alpha, Celsius(75.0)).0,
        0.003_231_509,
        1e-6,
        "coefficient at 75 °C",
    );
    // CIGRE Technical Brochure 880 (2022), case 0-1: 28.3 µΩ/m at 20 °C is 36.08533 µΩ/m at 90 °C.
    near(
        2.83e-5 * conductor::temperature_factor(alpha, Celsius(90.0)),
        3.608_533e-5,
        1e-7,
        "TB 880",
    );
}

#[test]
fn copper_by_mass_and_metals_by_mixture() {
    // NBS Handbook 100: 0.15328 Ω·g/m² at 8.89 g/cm³.
    near(0.15328 / 8.89, IACS.0 * 1e6, 1e-4, "Ω·mm²/m");
    // Open textbook conductor table: 19.77 lb and 7.818 lb per 1000 ft.
    for (awg, pounds) in [(12.0, 19.77), (16.0, 7.818)] {
        let mass = conductor::mass_per_metre(KilogramPerCubicMetre(8890.0), awg_area(awg), 1.0);
        near(
            mass.0 * 1000.0 * FOOT / 0.453_592_37,
            pounds,
            1e-3,
            &format!("{awg} AWG"),
        );
    }
    // ASTM B869-04 table 1, 21 % copper-clad steel: greatest resistances give 20.6 % IACS.
    for (inch, kft, iacs) in [(0.0403, 31.024, 20.5836), (0.0641, 12.249, 20.6069)] {
        let area = size::circle(Metre(inch * 25.4e-3));
        let rho = OhmMetre(kft / (1000.0 * FOOT) * area.0);
        near(conductor::iacs_percent(rho), iacs, 1e-4, "ASTM B869");
        let steel = physics::metal("copper-clad-steel").expect("in the table");
        assert!(rho <= steel.rho20_high);
    }
    // Rule of mixtures, 10 % copper on aluminium of 61 %.
    let clad = physics::metal("CCA").expect("in the table");
    near(clad.iacs(), 64.9, 1e-3, "copper-clad aluminium");
    near(clad.density.0, 3319.0, 1e-3, "density");
}

#[test]
fn metals_keep_the_figures_that_sheets_are_judged_by() {
    for (name, best) in [
        ("copper", 102.0),
        ("silver", 107.0),
        ("copper-clad-aluminium", 68.0),
    ] {
        let metal = physics::metal(name).expect("in the table");
        near(conductor::iacs_percent(metal.best), best, 1e-9, name);
    }
    let clad = physics::metal("cca").expect("in the table");
    near(
        conductor::iacs_percent(clad.worst),
        62.0,
        1e-9,
        "copper-clad aluminium at its worst",
    );
    // Nothing but silver conducts better than copper.
    let copper = physics::metal("copper").expect("in the table");
    for metal in physics::metals() {
        assert!(
            metal.rho20 >= copper.rho20 || metal.key == "silver",
            "{}",
            metal.key
        );
    }
}

#[test]
fn open_data_on_power_cables_fits_its_metals_but_for_one_row() {
    // pandapower 3.5.6 standard line types.
    let mut impossible = Vec::new();
    for row in table("line_types.csv") {
        let metal = physics::metal(row.text("metal")).expect("a metal of the table");
        let rho = row.number("r_ohm_per_km") * 1e-3 * row.number("area_mm2") * 1e-6;
        if rho < metal.best.0 || rho > metal.rho20_high.0 * 1.2 {
            impossible.push((row.text("type").to_owned(), rho));
        } else if rho < conductor::resistivity_of_iacs(61.5).0 && metal.key == "aluminium" {
            // Better than the conductor grade: the data set's own slip.
            impossible.push((row.text("type").to_owned(), rho));
        }
    }
    let names: Vec<&str> = impossible.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["NAYY 4x120 SE"]);
}

// ---- skin effect ----

#[test]
fn skin_effect_agrees_with_sixty_digit_arithmetic() {
    // mpmath: tests/scripts/skin_effect.py.
    let rows = table("skin_effect.csv");
    assert!(rows.len() > 110);
    for row in rows {
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
fn skin_effect_agrees_with_handbooks_and_not_with_a_poor_table() {
    let mut poor = 0.0f64;
    for row in table("published_skin_effect.csv") {
        let (x, published) = (row.number("x"), row.number("published"));
        let ratios = skin::ratios(x);
        let ours = if row.text("quantity") == "r_ratio" {
            ratios.resistance
        } else {
            ratios.inductance
        };
        let what = format!("{} at x = {x}", row.text("source"));
        match row.text("source") {
            // Five decimals; the last one may be off by rounding.
            "NBS Circular 74" => assert!((ours - published).abs() < 1.01e-5, "{what}: {ours}"),
            "Neher and McGrath 1957" => near(ours, published, 5e-5, &what),
            "Terman 1943" => near(ours, published, 5e-3, &what),
            "course note" => poor = poor.max(ours / published - 1.0),
            other => panic!("{other} is no known source"),
        }
    }
    assert!(
        poor > 0.02,
        "the course note's table is 2.5 % low at its worst, not {poor}"
    );
}

#[test]
fn skin_effect_of_gauges_at_20_khz() {
    // Bessel solution with mpmath; copper of 100 % IACS.
    for (awg, ratio) in [
        (10.0, 1.646_643_047),
        (12.0, 1.352_983_963),
        (14.0, 1.166_549_109),
        (16.0, 1.071_507_940),
        (18.0, 1.029_286_891),
        (24.0, 1.001_852_741),
    ] {
        near(
            skin::solid(awg_diameter(awg), IACS, Hertz(20e3)).resistance,
            ratio,
            1e-8,
            &format!("{awg} AWG"),
        );
    }
    near(
        skin::solid(awg_diameter(12.0), IACS, Hertz(20e3)).inductance,
        0.828_834_236,
        1e-8,
        "inside of 12 AWG",
    );
    near(skin::internal_inductance(1.0).0, 50e-9, 1e-12, "µ0/8π");
    // Closed form; handbooks give 8.5 mm at 60 Hz.
    for (frequency, depth_mm) in [
        (60.0, 8.531_600_474),
        (1e3, 2.089_806_785),
        (20e3, 0.467_295_003),
        (100e3, 0.208_980_678),
    ] {
        near(
            skin::depth(IACS, Hertz(frequency), 1.0).0 * 1e3,
            depth_mm,
            1e-8,
            &format!("depth at {frequency} Hz"),
        );
    }
    // Radius over depth is the argument over √2.
    let radius = awg_diameter(12.0) / 2.0;
    let depths = radius / skin::depth(IACS, Hertz(20e3), 1.0);
    near(
        skin::argument_of_depths(depths),
        skin::argument(awg_diameter(12.0), IACS, Hertz(20e3), 1.0),
        1e-12,
        "argument",
    );
}

#[test]
fn thick_wires_at_radio_frequency_do_not_overflow() {
    for (diameter, frequency) in [(0.1, 10e6), (11.684e-3, 10e6), (1.0, 1e9), (1e-6, 1e-3)] {
        let ratios = skin::solid(Metre(diameter), IACS, Hertz(frequency));
        assert!(ratios.resistance.is_finite() && ratios.resistance >= 1.0);
        assert!(ratios.inductance > 0.0 && ratios.inductance <= 1.0);
    }
    near(skin::ratios(0.0).resistance, 1.0, 1e-15, "0 Hz");
    // Where one form of the solution hands over to the next.
    for border in [0.1, 300.0] {
        let (below, above) = (
            skin::ratios(border * (1.0 - 1e-12)),
            skin::ratios(border * (1.0 + 1e-12)),
        );
        near(below.resistance, above.resistance, 1e-11, "no step in R");
        near(below.inductance, above.inductance, 1e-11, "no step in L");
    }
}

#[test]
fn strands_lie_between_insulated_ones_and_the_solid_wire() {
    let area = size::strands_area(65, Metre(0.25e-3));
    let bounds = skin::bounds(area, Some(Metre(0.25e-3)), IACS, Hertz(20e3));
    assert!(bounds.low > 1.0 && bounds.low < 1.001 && bounds.high > 1.3);
    near(
        skin::bounds(area, None, IACS, Hertz(20e3)).low,
        1.0,
        1e-15,
        "no strand known",
    );
}

#[test]
fn iec_60287_factors() {
    // CIGRE Technical Brochure 880 (2022), case 0-1: 36.08533 µΩ/m, 30.3 mm conductors 75.5 mm apart, 50 Hz.
    let hot =
        OhmPerMetre(2.83e-5 * conductor::temperature_factor(PerKelvin(0.00393), Celsius(90.0)));
    let three = skin::proximity(
        hot,
        Metre(30.3e-3),
        Metre(75.5e-3),
        Hertz(50.0),
        skin::Arrangement::Three,
    );
    near(three.x, 1.866_120_102_9, 1e-9, "x");
    near(three.factor, 0.035_100_064_8, 1e-8, "y_p");
    assert!(three.in_range);
    // The brochure's y_s is a polynomial, the exact solution 0.03 % away.
    near(
        skin::ratios(three.x).resistance - 1.0,
        0.060_124_126_8,
        3e-4,
        "y_s",
    );
    near(
        skin::ratios(three.x).resistance - 1.0,
        0.060_139_318_1,
        1e-8,
        "y_s by mpmath",
    );
    near(
        hot.0 * (1.0 + 0.060_124_126_8 + three.factor),
        3.952_152_638e-5,
        1e-8,
        "R",
    );
    // Two cores, the same F term (two-core form from memory).
    let r = conductor::resistance_per_metre(IACS, awg_area(12.0), 1.0);
    let two = |frequency| {
        skin::proximity(
            r,
            awg_diameter(12.0),
            Metre(4e-3),
            Hertz(frequency),
            skin::Arrangement::Two,
        )
    };
    near(two(1e3).factor, 0.000_924_277_881, 1e-5, "12 AWG at 1 kHz");
    assert!(two(1e3).in_range && !two(20e3).in_range);
    assert!(two(20e3).statement().contains("outside"));
}

// ---- line ----

#[test]
fn two_wires_agree_with_a_boundary_solution() {
    // numpy and scikit-rf: tests/scripts/two_wire_line.py. No acosh in there.
    for row in table("two_wire_line.csv") {
        let (d, spacing, er) = (
            Metre(row.number("d_m")),
            Metre(row.number("spacing_m")),
            row.number("er"),
        );
        let constants = line::two_wire(d, spacing, er).expect("wires apart");
        let (l, c) = (constants.external_inductance, constants.capacitance);
        let what = format!("{} mm at {} mm", d.0 * 1e3, spacing.0 * 1e3);
        near(l.0, row.number("l_external_h_per_m"), 1e-7, &what);
        near(c.0, row.number("c_f_per_m"), 1e-7, &what);
        near(
            line::lossless_impedance(l, c).0,
            row.number("z0_ohm"),
            1e-7,
            &what,
        );
        near(
            line::velocity_factor(l, c),
            row.number("velocity_factor"),
            1e-7,
            &what,
        );
        near(
            line::delay(Metre(1.0), line::velocity_factor(l, c)).0,
            row.number("delay_s_per_m"),
            1e-7,
            &what,
        );
        near(
            line::velocity_factor_in(er),
            row.number("velocity_factor"),
            1e-7,
            &what,
        );
    }
    assert_eq!(line::two_wire(Metre(2e-3), Metre(2e-3), 1.0), None);
    assert_eq!(line::coaxial(Metre(2e-3), Metre(1e-3), 1.0), None);
}

#[test]
fn coaxial_and_twisted() {
    // CIGRE Technical Brochure 880, case 0-1: 211.0766 pF/m by εr/(18 ln), 0.14 % below the exact constant.
    let coax = line::coaxial(Metre(33.3e-3), Metre(64.3e-3), 2.5).expect("one inside the other");
    near(coax.capacitance.0 * 1e12, 211.0766, 1.5e-3, "TB 880");
    near(coax.capacitance.0 * 1e12, 211.3690, 1e-6, "exact ε0");
    near(
        line::velocity_factor(coax.external_inductance, coax.capacitance),
        line::velocity_factor_in(2.5),
        1e-9,
        "speed in the insulation",
    );
    // No twist is two parallel wires in a quarter of the insulation's excess (Lefferson 1971, from memory).
    let straight = line::twisted(Metre(1e-3), Metre(2e-3), 3.0, 0.0).expect("wires apart");
    near(straight.effective_permittivity, 1.5, 1e-12, "untwisted");
    near(straight.lay, 1.0, 1e-12, "untwisted");
    let twisted = line::twisted(Metre(1e-3), Metre(2e-3), 3.0, 50.0).expect("wires apart");
    near(
        twisted.lay,
        (1.0 + (std::f64::consts::PI * 2e-3 * 50.0f64).powi(2)).sqrt(),
        1e-12,
        "helix",
    );
    assert!(twisted.constants.external_inductance > straight.constants.external_inductance);
    assert!(twisted.effective_permittivity > 1.5 && twisted.effective_permittivity <= 3.0);
}

#[test]
fn delay_of_a_run() {
    // Closed form: 10 m in a dielectric of 2.3.
    let delay = line::delay(Metre(10.0), line::velocity_factor_in(2.3)).0;
    near(delay, 50.5875e-9, 1e-7, "delay");
    near(
        delay * 20e3 * 360.0,
        0.364_229_998,
        1e-7,
        "phase at 20 kHz, degrees",
    );
    // 10 µs between the ears (Klumpp and Eady 1956) would need two kilometres.
    near(10e-6 * 299_792_458.0 * 0.66, 1978.63, 1e-6, "length");
    near(
        line::delay(Metre(1978.63), 0.66).0,
        10e-6,
        1e-6,
        "its delay",
    );
}

#[test]
fn characteristic_impedance_is_complex_at_audio_frequencies() {
    let (r, l, c) = (
        OhmPerMetre(0.0104),
        HenryPerMetre(0.62e-6),
        FaradPerMetre(50e-12),
    );
    let lossless = line::lossless_impedance(l, c).0;
    let at = |f| line::impedance_at(r, l, c, Hertz(f));
    assert!(
        at(20.0).norm() > 10.0 * lossless,
        "at 20 Hz √(L/C) is an order of magnitude off"
    );
    near(
        at(20.0).norm(),
        (0.0104 / (std::f64::consts::TAU * 20.0 * 50e-12)).sqrt(),
        1e-3,
        "√(R/ωC)",
    );
    near(at(20.0).arg().to_degrees(), -45.0, 1e-2, "phase");
    near(at(10e6).norm(), lossless, 1e-4, "at 10 MHz it is");
}

// ---- loss ----

#[test]
fn loss_agrees_with_the_exact_line() {
    // scikit-rf: tests/scripts/line_response.py. It goes by way of scattering parameters, which keep about 1e-8 dB.
    let rows = table("line_response.csv");
    assert!(rows.len() >= 240);
    for row in rows {
        let run = Run::of_line(
            OhmPerMetre(row.number("r_loop_ohm_per_m")),
            HenryPerMetre(row.number("l_h_per_m")),
            FaradPerMetre(row.number("c_f_per_m")),
            Metre(row.number("length_m")),
        );
        let (source, load, f) = (
            Ohm(row.number("source_ohm")),
            Ohm(row.number("load_ohm")),
            Hertz(row.number("freq_hz")),
        );
        let gain = loss::gain(run, source.0.into(), load.0.into(), f);
        let what = format!(
            "{} {} m {} Ω {} Hz",
            row.text("line"),
            row.text("length_m"),
            load.0,
            f.0
        );
        assert!(
            (20.0 * gain.norm().log10() - row.number("gain_db")).abs() < 2e-8,
            "{what}"
        );
        assert!(
            (gain.arg().to_degrees() - row.number("phase_deg")).abs() < 1e-6,
            "{what}"
        );
        let loss = loss::from_source(run, source, load, f);
        assert!((loss.0 + row.number("gain_db")).abs() < 2e-8, "{what}");
    }
}

#[test]
fn long_lines_take_the_closed_form() {
    // θ² beyond the series: a quarter wave of 1 µH/m and 11.126 pF/m turns an open end into a large gain.
    let run = Run {
        resistance: Ohm(0.0),
        inductance: Henry(1e-4),
        capacitance: Farad(1e-8),
    };
    let quarter = Hertz(1.0 / (4.0 * (1e-4f64 * 1e-8).sqrt()));
    let gain = loss::gain(run, 0.0.into(), 1000.0.into(), quarter);
    // |V| = Z_L / Z_0 for a quarter wave without loss (any text on lines); Z_0 = 100 Ω.
    near(gain.norm(), 10.0, 1e-9, "quarter wave");
}

#[test]
fn divider_closed_forms() {
    for (r, load, db) in [
        (0.05, 4.0, 0.107_900_638),
        (0.1, 8.0, 0.107_900_638),
        (0.1, 4.0, 0.214_477_308),
        (0.317_651, 8.0, 0.338_214_137),
        (0.5, 8.0, 0.526_578_774),
    ] {
        near(
            loss::resistive(Ohm(r), Ohm(load)).0,
            db,
            1e-8,
            &format!("{r} Ω into {load} Ω"),
        );
        near(
            loss::insertion(Run::of_resistance(Ohm(r)), Ohm(0.0), Ohm(load), Hertz(1e3)).0,
            db,
            1e-8,
            "the same by the divider",
        );
        near(
            loss::resistance_for(Decibel(db), Ohm(load)).0,
            r,
            1e-7,
            "and back",
        );
    }
    let with_coil = Run {
        resistance: Ohm(0.1),
        inductance: Henry(5e-6),
        capacitance: Farad(0.0),
    };
    near(
        loss::from_source(with_coil, Ohm(0.0), Ohm(8.0), Hertz(20e3)).0,
        0.133_954_413,
        1e-8,
        "5 µH",
    );
    near(
        loss::ripple(Ohm(0.2), Ohm(3.2), Ohm(20.0)).0,
        0.440_151_299,
        1e-8,
        "ripple",
    );
    near(
        loss::resistance_for(Decibel(0.1), Ohm(8.0)).0,
        0.092_635_634,
        1e-7,
        "0.1 dB",
    );
    near(
        loss::resistance_for(Decibel(0.5), Ohm(4.0)).0,
        0.237_014_901,
        1e-8,
        "0.5 dB",
    );
    // Rated load over source impedance (IEC 60268-3, from memory).
    near(
        loss::damping_factor(Ohm(0.1), Ohm(0.0), Ohm(8.0)),
        80.0,
        1e-12,
        "cable alone",
    );
    near(
        loss::damping_factor(Ohm(0.1), loss::source_of_damping(200.0, Ohm(8.0)), Ohm(8.0)),
        57.142_857_143,
        1e-9,
        "with an amplifier of 200",
    );
    // Ohm's law: 8 V into 8 Ω behind 0.1 Ω.
    near(
        loss::lost_power(Watt(8.0), Ohm(0.1), Ohm(8.0)).0,
        (8.0f64 / 8.1).powi(2) * 0.1,
        1e-12,
        "power in the cable",
    );
    near(
        loss::lost_share(Ohm(0.1), Ohm(8.0)),
        0.1 / 8.1,
        1e-12,
        "share",
    );
    near(
        loss::voltage(Watt(100.0), Ohm(8.0)).0,
        800f64.sqrt(),
        1e-12,
        "volts",
    );
    // Insertion loss with a source compares like with like.
    let whole = loss::from_source(with_coil, Ohm(0.05), Ohm(8.0), Hertz(20e3));
    let cable = loss::insertion(with_coil, Ohm(0.05), Ohm(8.0), Hertz(20e3));
    near(
        (whole - cable).0,
        loss::resistive(Ohm(0.05), Ohm(8.0)).0,
        1e-9,
        "the source's own share",
    );
}

#[test]
fn what_resistance_alone_says_of_the_two_guides() {
    // Loss under 0.2 dB as the strict guide, damping factor 50 as the comfortable one, 20 to 30 as the floor:
    // common practice, no source. As resistances they are not the same.
    let load = Ohm(8.0);
    let strict = loss::resistance_for(Decibel(0.2), load);
    near(
        loss::damping_factor(strict, Ohm(0.0), load),
        42.93,
        1e-3,
        "0.2 dB",
    );
    near(
        loss::resistive(load / 50.0, load).0,
        0.172,
        1e-3,
        "damping factor 50",
    );
    near(
        loss::resistive(load / 30.0, load).0,
        0.285,
        2e-3,
        "damping factor 30",
    );
    near(
        loss::resistive(load / 20.0, load).0,
        0.424,
        1e-3,
        "damping factor 20",
    );
    // 4 Ω asks for half the resistance of 8 Ω (common practice, no source; exact in fact).
    near(
        loss::resistance_for(Decibel(0.2), Ohm(4.0)) / strict,
        0.5,
        1e-12,
        "4 Ω against 8 Ω",
    );
}

// ---- facts of the trade: common practice, no source ----

#[test]
fn three_steps_halve_or_double() {
    for n in 0..30 {
        let n = f64::from(n);
        near(
            per_kft(IACS, n + 3.0, 1.0) / per_kft(IACS, n, 1.0),
            2.0,
            3e-3,
            &format!("{n} AWG"),
        );
    }
    let two = equivalent_awg(awg_area(14.0) * 2.0);
    near(two, 11.0, 2e-3, "two 14 AWG make 11 AWG");
    assert!(
        size::steps_between(awg_area(14.0) * 2.0, awg_area(10.0)) < 1.02,
        "near a 10 AWG"
    );
}

#[test]
fn twenty_per_cent_in_solid_wire_and_three_to_four_in_strands() {
    // “A solid conductor's resistance rises by about 20 % at 20 kHz”: between 10 and 36 % from 12 to 15 AWG, and only there.
    let rise = |awg: i32| {
        100.0 * (skin::solid(awg_diameter(f64::from(awg)), IACS, Hertz(20e3)).resistance - 1.0)
    };
    let about_twenty: Vec<i32> = (6..=24)
        .filter(|awg| (10.0..36.0).contains(&rise(*awg)))
        .collect();
    assert_eq!(about_twenty, [12, 13, 14, 15]);
    // “A stranded one's by 3 to 4 %”: the bounds of bare strands hold all of that from 17 AWG up; in 18 AWG no build reaches 3 %.
    let bounds = |awg: i32| skin::bounds(awg_area(f64::from(awg)), None, IACS, Hertz(20e3));
    let holds: Vec<i32> = (6..=24)
        .filter(|awg| bounds(*awg).holds(1.03) && bounds(*awg).holds(1.04))
        .collect();
    assert_eq!(holds, (6..=17).collect::<Vec<_>>());
    assert!(!bounds(18).holds(1.03));
}

#[test]
fn a_resistance_names_the_gauge_it_fits() {
    // “10 AWG has about 3 mΩ per foot of loop”: 2.0 is right, and 3.2 is 12 AWG.
    let per_foot = |awg: f64| 2.0 * per_kft(IACS, awg, 1.0) / 1000.0;
    near(per_foot(10.0), 1.998e-3, 1e-3, "10 AWG, Ω per foot of loop");
    near(per_foot(12.0), 3.177e-3, 1e-3, "12 AWG, Ω per foot of loop");
    let one = OhmPerMetre(3.0e-3 / FOOT / 2.0);
    let fits = conductor::copper_gauge_of(one);
    assert!(
        (11.5..12.0).contains(&fits),
        "3 mΩ/ft of loop is {fits} AWG"
    );
    // At 10 AWG it would be copper-clad aluminium at 67 %.
    let metals: Vec<&str> = physics::metal::metals_fitting(one, awg_area(10.0), 0.02)
        .into_iter()
        .map(|metal| metal.key.as_str())
        .collect();
    assert_eq!(metals, ["copper-clad-aluminium"]);
    let copper = conductor::resistance_per_metre(IACS, awg_area(10.0), 1.0);
    assert_eq!(
        physics::metal::metals_fitting(copper, awg_area(10.0), 0.02)[0].key,
        "copper"
    );
}

// ---- choosing ----

fn four_ohms(length: f64) -> choose::Demand {
    choose::Demand {
        length: Metre(length),
        load: Ohm(4.0),
        budget: Decibel(0.2),
        frequency: Hertz(20e3),
    }
}

#[test]
fn fifteen_metres_into_four_ohms_have_no_gauge() {
    let demand = four_ohms(15.0);
    let line_of = |awg: f64| {
        let pair =
            Pair::side_by_side(Pole::of(awg_area(awg)), IACS, None, 1.0).expect("wires apart");
        let end = pair.solid(demand.frequency);
        choose::PerMetre {
            resistance: end.resistance,
            inductance: end.inductance,
        }
    };
    assert_eq!(choose::thinnest(&demand, line_of), None);
    let inductance = line_of(12.0).inductance;
    let alone = loss::inductive(Henry(inductance.0 * 15.0), demand.load, demand.frequency);
    assert!(alone > demand.budget, "{alone:?}");
    assert!(choose::resistance_left(&demand, inductance).is_none());
    // Short enough it has one, and its loss is the budget.
    let short = four_ohms(5.0);
    let gauge = choose::thinnest(&short, line_of).expect("5 m can be done");
    let line = line_of(gauge.exact);
    let run = Run::of_line(
        line.resistance,
        line.inductance,
        FaradPerMetre(0.0),
        short.length,
    );
    near(
        loss::from_source(run, Ohm(0.0), short.load, short.frequency).0,
        0.2,
        1e-6,
        "at the border",
    );
    assert!(f64::from(gauge.trade.expect("sold")) <= gauge.exact);
    // What is left for one part once the other has had its share.
    let left = choose::resistance_left(&short, line.inductance).expect("some");
    near(left.0, run.resistance.0, 1e-6, "resistance left");
    let coil = choose::inductance_left(&short, run.resistance).expect("some");
    near(coil.0, line.inductance.0, 1e-6, "inductance left");
    near(
        choose::highest_frequency(&short, line).expect("some").0,
        20e3,
        1e-6,
        "highest frequency",
    );
}

#[test]
fn largest_lengths() {
    // Resistance alone: R_L · (10^(B/20) − 1) / r, the divider solved for the length.
    let line = choose::PerMetre {
        resistance: OhmPerMetre(0.0104),
        inductance: HenryPerMetre(0.0),
    };
    let length = choose::largest_length(line, Ohm(8.0), Decibel(0.2), Hertz(20e3));
    near(
        length.0,
        loss::resistance_for(Decibel(0.2), Ohm(8.0)).0 / 0.0104,
        1e-12,
        "resistance alone",
    );
    let coil = choose::PerMetre {
        resistance: OhmPerMetre(0.0),
        inductance: HenryPerMetre(0.6e-6),
    };
    let length = choose::largest_length(coil, Ohm(8.0), Decibel(0.2), Hertz(20e3));
    let alone = choose::largest_length_of_inductance(
        HenryPerMetre(0.6e-6),
        Ohm(8.0),
        Decibel(0.2),
        Hertz(20e3),
    );
    near(length.0, alone.0, 1e-12, "inductance alone");
    near(
        choose::largest_length_for_damping(OhmPerMetre(0.0104), Ohm(8.0), 50.0).0,
        8.0 / 50.0 / 0.0104,
        1e-12,
        "damping",
    );
}

#[test]
fn loss_over_what_is_unstated() {
    let r = Ohm(0.159);
    let loss = pair::loss_over(
        physics::Range { low: r, high: r },
        line::LOOP_INDUCTANCE,
        Metre(15.24),
        Ohm(8.0),
        Hertz(20e3),
    );
    let at = |l: f64| {
        let run = Run {
            resistance: r,
            inductance: Henry(l * 15.24),
            capacitance: Farad(0.0),
        };
        loss::from_source(run, Ohm(0.0), Ohm(8.0), Hertz(20e3)).0
    };
    near(loss.low.0, at(0.2e-6), 1e-12, "0.2 µH/m");
    near(loss.high.0, at(1.0e-6), 1e-12, "1.0 µH/m");
}

#[test]
fn a_pair_keeps_its_ends_apart() {
    let pole = |build| Pole {
        build,
        ..Pole::of(awg_area(12.0))
    };
    let pair =
        |build| Pair::side_by_side(pole(build), IACS, Some(Metre(4e-3)), 2.3).expect("wires apart");
    let f = Hertz(20e3);
    let [low, high] = pair(Build::Unknown).ends(f);
    near(low.skin_ratio, 1.0, 1e-12, "finest strands");
    near(high.skin_ratio, 1.352_983_963, 1e-8, "solid");
    // External part by a boundary solution, which took the diameter to six figures; internal part twice 50 nH/m times the
    // exact ratio.
    near(
        high.inductance.0 * 1e9,
        514.755_334 + 100.0 * 0.828_834_236,
        3e-6,
        "nH/m of loop",
    );
    let [a, b] = pair(Build::Solid).ends(f);
    assert_eq!(a, b);
    let strands = Build::Strands {
        strand: Some(Metre(0.25e-3)),
    };
    assert!(pair(strands).ends(f)[0].skin_ratio > 1.0);
    let loss = pair(Build::Unknown).insertion_loss(Metre(15.24), Ohm(0.0), Ohm(8.0), f);
    assert!(loss.low < loss.high);
    // Two pairs in parallel: half the resistance and inductance, twice the capacitance.
    let double = Pair {
        pole: Pole {
            parallel: 2,
            ..pole(Build::Solid)
        },
        ..pair(Build::Solid)
    };
    near(
        double.resistance_dc() / pair(Build::Solid).resistance_dc(),
        0.5,
        1e-12,
        "resistance",
    );
    near(
        double.solid(f).inductance / pair(Build::Solid).solid(f).inductance,
        0.5,
        1e-12,
        "inductance",
    );
    near(
        double.capacitance() / pair(Build::Solid).capacitance(),
        2.0,
        1e-12,
        "capacitance",
    );
}

// ---- lamp, heat ----

#[test]
fn lamps_follow_their_power_law() {
    // Handbooks of lighting, from memory: 1 % of voltage is about 3.4 % of light; 10 % less voltage leaves about 70 %.
    near(lamp::brightness(0.99).usual, 0.966, 1e-3, "1 % less");
    near(lamp::brightness(0.9).usual, 0.70, 2e-3, "10 % less");
    let spread = lamp::brightness(0.9);
    assert!(spread.range.holds(spread.usual) && spread.range.low < spread.range.high);
    near(
        lamp::brightness(lamp::voltage_ratio(1.4).usual).usual,
        1.4,
        1e-12,
        "there and back",
    );
    // Ohm's law for a lamp of 12 V, 21 W.
    near(
        lamp::hot_resistance(Volt(12.0), Watt(21.0)).0,
        6.857_142_857,
        1e-9,
        "hot",
    );
    let cold = lamp::cold_resistance(lamp::hot_resistance(Volt(12.0), Watt(21.0)));
    assert!(cold.low < cold.high && cold.high.0 < 0.7);
    // Kirchhoff: what the lamp and the wire take makes up the supply.
    let series = Ohm(0.5);
    let at = lamp::voltage_behind(Volt(12.0), series, Volt(12.0), Watt(21.0));
    let current = at.0 / lamp::resistance_at(Volt(12.0), Watt(21.0), at).0;
    near(at.0 + current * series.0, 12.0, 1e-9, "the loop");
    near(
        lamp::voltage_behind(Volt(12.0), Ohm(0.0), Volt(12.0), Watt(21.0)).0,
        12.0,
        1e-9,
        "no wire",
    );
}

#[test]
fn heat_is_bounded() {
    // Closed form: 5 A in 14 AWG; 8.49e28 electrons a cubic metre (from memory) drift at 0.17664 mm/s.
    let density = heat::current_density(Ampere(5.0), awg_area(14.0));
    near(
        density.0 / (8.49e28 * 1.602_176_634e-19),
        0.17664e-3,
        1e-4,
        "drift",
    );
    near(density.0 * 1e-6, 2.4028, 1e-4, "A/mm²");
    let r = conductor::resistance_per_metre(IACS, awg_area(14.0), 1.0);
    let rise =
        heat::rise(Ampere(5.0), r, awg_diameter(14.0), PerKelvin(0.00393)).expect("a balance");
    // Balance of heat: I² R (1 + α ΔT) = h π d ΔT.
    let made = 25.0 * r.0 * (1.0 + 0.00393 * rise.0);
    let given = heat::STILL_AIR * std::f64::consts::PI * awg_diameter(14.0).0 * rise.0;
    near(made, given, 1e-9, "balance");
    assert!(heat::rise(Ampere(500.0), r, awg_diameter(14.0), PerKelvin(0.00393)).is_none());
    assert!(heat::CAUTION.contains("local"));
}

// ---- chance ----

#[test]
fn tails_agree_with_scipy() {
    // scipy: tests/scripts/binomial.py.
    for row in table("binomial.csv") {
        let (k, n) = (whole(&row, "correct"), whole(&row, "trials"));
        let tail = chance::tail(k, n, row.number("chance")).expect("a chance between 0 and 1");
        near(tail, row.number("tail"), 1e-9, &format!("{k} of {n}"));
    }
    near(
        chance::tail(3, 2, 0.5).expect("a tail"),
        0.0,
        1e-15,
        "more than there were",
    );
    assert_eq!(chance::tail(1, 2, 0.0), None);
    assert_eq!(chance::tail(1, 2, f64::NAN), None);
    // Ten guessing listeners, 9 of 10 or more: closed form.
    let single = chance::tail(9, 10, 0.5).expect("a tail");
    near(
        chance::best_of(10, single),
        0.102_375_108_573,
        1e-9,
        "best of ten",
    );
}

#[test]
fn least_scores_agree_with_scipy_and_the_printed_table() {
    for row in table("least_score.csv") {
        let n = whole(&row, "trials");
        for (column, level) in [("least_05", 0.05), ("least_01", 0.01)] {
            let wanted = row.maybe(column).map(|_| whole(&row, column));
            assert_eq!(
                chance::least_score(n, 0.5, level),
                wanted,
                "{n} trials at {level}"
            );
        }
    }
    // An encyclopaedia's 95 % table for 10 to 25 trials.
    let printed = [9, 9, 10, 10, 11, 12, 12, 13, 13, 14, 15, 15, 16, 16, 17, 18];
    for (n, least) in (10..=25).zip(printed) {
        assert_eq!(chance::least_score(n, 0.5, 0.05), Some(least), "{n} trials");
    }
}

fn whole(row: &Record, column: &str) -> u32 {
    row.text(column).parse().expect("a whole number")
}

// ---- the tables of metals and insulations ----

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
    for insulation in physics::insulations() {
        assert!(
            insulation.permittivities.holds(insulation.permittivity),
            "{}",
            insulation.key
        );
        assert!(!insulation.source.is_empty(), "{}", insulation.key);
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

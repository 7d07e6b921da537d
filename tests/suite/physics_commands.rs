//! `recompute` and `size` from the outside.

use crate::physics::near;
use serde_json::Value;
use std::process::{Command, Output};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_claimgauge"))
        .args(arguments)
        .output()
        .expect("the program runs")
}

#[track_caller]
fn text(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{arguments:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert!(output.stderr.is_empty());
    String::from_utf8(output.stdout).expect("UTF-8")
}

#[track_caller]
fn json(arguments: &[&str]) -> Value {
    let mut all = arguments.to_vec();
    all.extend(["--format", "json"]);
    serde_json::from_str(&text(&all)).expect("JSON")
}

#[track_caller]
fn figure(value: &Value, path: &str) -> f64 {
    value
        .pointer(path)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("no figure at {path}"))
}

/// Nonsense gets one clear line on standard error and status 2.
#[track_caller]
fn refused(arguments: &[&str], says: &str) {
    let output = run(arguments);
    let error = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {error}");
    assert!(output.stdout.is_empty(), "{arguments:?}");
    assert_eq!(
        error.trim_end().lines().count(),
        1,
        "{arguments:?}: {error}"
    );
    assert!(error.contains(says), "{arguments:?}: {error}");
}

#[test]
fn recompute_gives_si_values() {
    let got = json(&[
        "recompute",
        "--gauge",
        "12AWG",
        "--length",
        "50ft",
        "--load",
        "8ohm",
        "--spacing",
        "4mm",
        "--insulation",
        "PE",
    ]);
    // ASTM B258 and IACS; the exact skin effect; the two-wire line by
    // a boundary solution that took the diameter to six figures: as in the tests of the physics.
    near(figure(&got, "/area_m2"), 3.308_77e-6, 1e-5, "area");
    near(
        figure(&got, "/r_loop_dc_ohm"),
        0.317_651 / 2.0,
        1e-5,
        "loop",
    );
    near(
        figure(&got, "/r_loop_ac_ohm/low"),
        0.158_825_5,
        1e-5,
        "fine strands",
    );
    near(
        figure(&got, "/r_loop_ac_ohm/solid"),
        0.158_825_5 * 1.352_983_963,
        1e-5,
        "solid",
    );
    near(
        figure(&got, "/r_loop_ac_ohm/high"),
        figure(&got, "/r_loop_ac_ohm/solid"),
        1e-12,
        "high",
    );
    near(figure(&got, "/skin_ratio"), 1.352_983_963, 1e-8, "skin");
    near(
        figure(&got, "/l_loop_h"),
        15.24 * (514.755_334e-9 + 82.883_423_6e-9),
        3e-6,
        "inductance",
    );
    near(
        figure(&got, "/c_total_f"),
        15.24 * 49.714_786e-12,
        3e-6,
        "capacitance",
    );
    near(figure(&got, "/z0_ohm"), 101.755_441, 3e-6, "impedance");
    near(
        figure(&got, "/velocity_factor"),
        0.659_380_473,
        1e-7,
        "velocity",
    );
    near(
        figure(&got, "/damping_factor"),
        8.0 / 0.158_825_5,
        1e-5,
        "damping",
    );
    near(figure(&got, "/equivalent_awg"), 12.0, 1e-9, "gauge");
    // The divider by hand, the capacitance spread along the cable: 1 + Z/8 + Z·Y/2 + Z²·Y/48, the next term being of Y².
    let omega = std::f64::consts::TAU * 20e3;
    let r = figure(&got, "/r_loop_ac_ohm/solid");
    let x = omega * figure(&got, "/l_loop_h");
    let y = omega * figure(&got, "/c_total_f");
    let re = 1.0 + r / 8.0 - x * y / 2.0 - r * x * y / 24.0;
    let im = x / 8.0 + r * y / 2.0 + (r * r - x * x) * y / 48.0;
    near(
        figure(&got, "/loss_db"),
        20.0 * re.hypot(im).log10(),
        1e-7,
        "loss",
    );
    let keys: Vec<&String> = got.as_object().expect("an object").keys().collect();
    assert_eq!(
        keys,
        [
            "area_m2",
            "r_loop_dc_ohm",
            "r_loop_ac_ohm",
            "skin_ratio",
            "l_loop_h",
            "c_total_f",
            "z0_ohm",
            "velocity_factor",
            "loss_db",
            "damping_factor",
            "equivalent_awg",
            "assumed",
            "detail",
        ]
    );
}

#[test]
fn every_default_is_told() {
    let assumed = |arguments: &[&str]| {
        json(arguments)["assumed"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|line| line.as_str().expect("words").to_owned())
            .collect::<Vec<_>>()
    };
    let all = assumed(&["recompute", "--gauge", "12AWG"]);
    for word in [
        "length",
        "load",
        "metal",
        "conductors",
        "temperature",
        "lay",
        "frequency",
        "source",
        "build",
        "spacing",
        "insulation",
        "permittivity",
    ] {
        assert!(
            all.iter().any(|line| line.contains(word)),
            "{word} in {all:?}"
        );
    }
    let few = assumed(&[
        "recompute",
        "--gauge",
        "12AWG",
        "--length",
        "5m",
        "--load",
        "8ohm",
        "--metal",
        "copper",
        "--conductors",
        "2",
        "--temperature",
        "20C",
        "--lay",
        "2%",
        "--frequency",
        "1kHz",
        "--source",
        "0.05ohm",
        "--build",
        "solid",
        "--spacing",
        "4mm",
        "--insulation",
        "PE",
    ]);
    assert_eq!(few.len(), 1, "{few:?}");
    let steel = assumed(&[
        "recompute",
        "--gauge",
        "12AWG",
        "--metal",
        "copper-clad steel",
    ]);
    assert!(steel.iter().any(|line| line.contains("permeability")));
    let size = assumed(&["size", "--length", "5m"]);
    for word in [
        "load",
        "budget",
        "frequency",
        "metal",
        "temperature",
        "spaced",
        "skin effect",
        "source",
        "lay",
    ] {
        assert!(
            size.iter().any(|line| line.contains(word)),
            "{word} in {size:?}"
        );
    }
}

#[test]
fn any_notation_of_a_size_will_do() {
    let area = |option: &str, value: &str| figure(&json(&["recompute", option, value]), "/area_m2");
    near(area("--area", "2,5mm2"), 2.5e-6, 1e-12, "comma");
    near(area("--area", "2.5 mm²"), 2.5e-6, 1e-12, "point");
    near(
        area("--strands", "65x0.25mm"),
        65.0 * std::f64::consts::FRAC_PI_4 * 0.25e-3 * 0.25e-3,
        1e-9,
        "strands",
    );
    near(
        area("--diameter", "2.05253mm"),
        3.308_77e-6,
        1e-5,
        "diameter",
    );
    near(area("--gauge", "4/0"), 107.219e-6, 1e-5, "4/0");
    // Four conductors are two for each pole.
    let four = json(&["recompute", "--gauge", "14AWG", "--conductors", "4"]);
    near(
        figure(&four, "/equivalent_awg"),
        11.010_835,
        1e-6,
        "two 14 AWG",
    );
    let same = json(&["recompute", "--gauge", "4 x 14 AWG"]);
    near(
        figure(&same, "/area_m2"),
        figure(&four, "/area_m2"),
        1e-12,
        "written with the size",
    );
    let feet = figure(
        &json(&["recompute", "--gauge", "12AWG", "--length", "50 ft"]),
        "/r_loop_dc_ohm",
    );
    let metres = figure(
        &json(&["recompute", "--gauge", "12AWG", "--length", "15.24m"]),
        "/r_loop_dc_ohm",
    );
    near(feet, metres, 1e-9, "feet and metres");
}

#[test]
fn metal_temperature_and_source_count() {
    let r = |more: &[&str]| {
        let mut all = vec![
            "recompute",
            "--gauge",
            "12AWG",
            "--length",
            "10m",
            "--load",
            "8ohm",
        ];
        all.extend(more);
        json(&all)
    };
    let plain = figure(&r(&[]), "/r_loop_dc_ohm");
    // 0.00393 /K (IEC 60028); 61 % IACS (NEC Chapter 9 Table 8).
    near(
        figure(&r(&["--temperature", "75C"]), "/r_loop_dc_ohm") / plain,
        1.0 / 0.822_266_990,
        1e-8,
        "75 °C",
    );
    near(
        figure(&r(&["--temperature", "-20C"]), "/r_loop_dc_ohm") / plain,
        1.0 - 0.00393 * 40.0,
        1e-8,
        "−20 °C",
    );
    near(
        figure(&r(&["--metal", "aluminium"]), "/r_loop_dc_ohm") / plain,
        1.0 / 0.61,
        1e-4,
        "aluminium",
    );
    near(
        figure(&r(&["--lay", "2%"]), "/r_loop_dc_ohm") / plain,
        1.02,
        1e-9,
        "lay",
    );
    let with = r(&["--source", "0.05ohm"]);
    near(
        figure(&with, "/damping_factor"),
        8.0 / (plain + 0.05),
        1e-9,
        "with the source",
    );
    near(
        figure(&with, "/detail/damping_factor_cable_alone"),
        8.0 / plain,
        1e-9,
        "without",
    );
    let hot = r(&["--power", "200W"]);
    near(figure(&hot, "/detail/heat/current_a"), 5.0, 1e-9, "current");
    assert!(
        hot["detail"]["heat"]["caution"]
            .as_str()
            .expect("words")
            .contains("local wiring code")
    );
}

#[test]
fn the_table_for_people_shows_both_parts() {
    let shown = text(&[
        "recompute",
        "--gauge",
        "12AWG",
        "--length",
        "50ft",
        "--load",
        "8ohm",
    ]);
    for part in [
        "0.1588 Ω",
        "by resistance alone",
        "by inductance alone",
        "0.1588 to 0.2149 Ω",
        "Assumed",
        "50.4",
    ] {
        assert!(shown.contains(part), "{part} in\n{shown}");
    }
    // IEC 60228:2004 table 3: 7.98 Ω/km.
    let nominal = text(&["recompute", "--area", "2.5mm2", "--length", "10m"]);
    assert!(nominal.contains("0.1596 Ω"), "{nominal}");
    let still = text(&["recompute", "--gauge", "12AWG", "--frequency", "0Hz"]);
    assert!(!still.contains("NaN") && !still.contains('∞'), "{still}");
}

#[test]
fn a_drawing_is_well_formed_and_described() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.svg");
    let file = path.to_str().expect("a path");
    text(&[
        "recompute",
        "--strands",
        "65x0.25mm",
        "--length",
        "50ft",
        "--plot",
        file,
    ]);
    let drawing = std::fs::read_to_string(&path).expect("a drawing");
    for part in [
        "<title ",
        "<desc ",
        "budget 0.2 dB",
        "loss, dB",
        "loop resistance",
        "frequency, Hz",
        "100 k",
    ] {
        assert!(drawing.contains(part), "{part}");
    }
    assert_eq!(drawing.matches("<polyline").count(), 4);
    assert!(!drawing.contains("NaN") && !drawing.contains("inf"));
    refused(
        &[
            "recompute",
            "--gauge",
            "12AWG",
            "--plot",
            "/no/such/folder/a.svg",
        ],
        "--plot",
    );
}

#[test]
fn nonsense_is_refused_in_one_line() {
    let wire = ["recompute", "--gauge", "12AWG"];
    let with = |more: &[&'static str]| [&wire[..], more].concat();
    refused(&["recompute", "--gauge", "99AWG"], "--gauge");
    refused(&["recompute", "--gauge", "99"], "--gauge");
    refused(&with(&["--length", "-5m"]), "negative");
    refused(&with(&["--length", "−5 m"]), "negative");
    refused(&with(&["--length", "0m"]), "above zero");
    refused(&with(&["--length", "5kg"]), "--length");
    refused(&with(&["--length", "5ohm"]), "--length");
    refused(&with(&["--load", "0ohm"]), "above zero");
    refused(&with(&["--load", "-8ohm"]), "negative");
    refused(
        &with(&["--temperature", "300C", "--insulation", "PVC"]),
        "PVC",
    );
    refused(&with(&["--temperature", "300C"]), "insulation");
    refused(&with(&["--temperature", "-300C"]), "−60 °C");
    refused(&with(&["--insulation", "cheese"]), "--insulation");
    refused(&with(&["--metal", "cheese"]), "--metal");
    refused(&with(&["--conductors", "3"]), "even");
    refused(&with(&["--conductors", "0"]), "even");
    refused(&with(&["--spacing", "1mm"]), "overlap");
    refused(&with(&["--frequency", "50MHz"]), "10 MHz");
    refused(&with(&["--area", "2.5mm2"]), "cannot be used with");
    refused(&["recompute"], "--gauge");
    refused(&["size"], "--length");
    refused(&["size", "--length", "5m", "--budget", "0dB"], "above zero");
    refused(
        &["size", "--length", "5m", "--inductance", "-1uH/m"],
        "negative",
    );
}

#[test]
fn size_answers_with_its_working() {
    let got = json(&["size", "--length", "10ft", "--load", "8ohm"]);
    assert_eq!(got["fits"], Value::Bool(true));
    assert_eq!(got["gauge"], Value::from("18"));
    assert!(figure(&got, "/with_gauge/loss_db") <= 0.2);
    // 0.2 dB into 8 Ω: 8 · (10^0.01 − 1).
    near(
        figure(&got, "/r_loop_max_ohm"),
        8.0 * (10f64.powf(0.01) - 1.0),
        1e-9,
        "allowed",
    );
    let shown = text(&["size", "--length", "10ft", "--load", "8ohm"]);
    assert!(shown.starts_with("18 AWG"), "{shown}");
    for part in [
        "Working",
        "by resistance",
        "by inductance alone",
        "damping factor",
        "Assumed",
    ] {
        assert!(shown.contains(part), "{part} in\n{shown}");
    }
}

#[test]
fn size_says_when_no_gauge_will_do() {
    let question = [
        "size",
        "--length",
        "15m",
        "--load",
        "4ohm",
        "--budget",
        "0.2dB",
        "--frequency",
        "20kHz",
    ];
    let got = json(&question);
    assert_eq!(got["fits"], Value::Bool(false));
    assert_eq!(got["gauge"], Value::Null);
    assert!(figure(&got, "/inductive_loss_db") > 0.2);
    let kinds: Vec<&str> = got["remedies"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|remedy| remedy["kind"].as_str().expect("a kind"))
        .collect();
    assert_eq!(kinds, ["shorter", "closer", "pairs", "lower-frequency"]);
    let shown = text(&question);
    assert!(shown.starts_with("No gauge keeps 15 m"), "{shown}");
    // Each remedy that can be asked again does hold.
    let remedies = got["remedies"].as_array().expect("a list");
    let length = format!("{}m", figure(&remedies[0], "/length_m") * 0.999);
    let again = json(&["size", "--length", &length, "--load", "4ohm"]);
    assert_eq!(again["fits"], Value::Bool(true));
    let frequency = format!(
        "{}Hz",
        (figure(&remedies[3], "/frequency_hz") * 0.999).floor()
    );
    let again = json(&[
        "size",
        "--length",
        "15m",
        "--load",
        "4ohm",
        "--frequency",
        &frequency,
    ]);
    assert_eq!(again["fits"], Value::Bool(true));
    let inductance = format!(
        "{:.4}uH/m",
        figure(&remedies[1], "/inductance_h_per_m") * 1e6 * 0.999
    );
    let again = json(&[
        "size",
        "--length",
        "15m",
        "--load",
        "4ohm",
        "--inductance",
        &inductance,
        "--build",
        "insulated",
    ]);
    assert_eq!(again["fits"], Value::Bool(true));
}

#[test]
fn the_chart_shrinks_with_the_gauge_and_grows_with_the_load() {
    let chart = json(&["size", "--chart"]);
    let runs = chart["longest_runs"].as_array().expect("a list");
    let of = |gauge: &str, load: f64| {
        let row = runs
            .iter()
            .find(|row| row["gauge"] == gauge && (figure(row, "/load_ohm") - load).abs() < 1e-9)
            .expect("a row");
        (
            figure(row, "/length_m"),
            figure(row, "/length_by_resistance_m"),
        )
    };
    assert!(of("12", 8.0).0 > of("16", 8.0).0);
    // Twice the load, twice the length: the divider knows only the ratio.
    near(
        of("12", 8.0).0 / of("12", 4.0).0,
        2.0,
        1e-9,
        "8 Ω against 4 Ω",
    );
    assert!(of("12", 8.0).1 > of("12", 8.0).0);
    let shown = text(&["size", "--chart"]);
    for part in ["ft /", " m", "12 (3.31)", "none", "resistance alone"] {
        assert!(shown.contains(part), "{part}");
    }
}

#[test]
fn the_help_names_the_defaults_of_the_rule_files() {
    let book = claimgauge::rulebook::Rulebook::builtin();
    let usual = |name: &str| book.usual(name).expect("a default");
    let rule = book.rule("loss-over-budget").expect("a rule of that id");
    let frequency = format!("[default: {}kHz]", usual("audio_top") / 1.0e3);
    let load = format!("[default: {}ohm]", usual("load"));
    let budget = format!("[default: {}dB]", rule.threshold("budget_db"));
    let length = format!("[default: {}m]", usual("asked_length"));
    for (command, defaults) in [
        ("recompute", vec![&frequency, &load, &budget, &length]),
        ("size", vec![&frequency, &load, &budget]),
    ] {
        let help = text(&[command, "--help"]);
        let help: Vec<&str> = help.split_whitespace().collect();
        let help = help.join(" ");
        for default in defaults {
            assert!(help.contains(default), "{command}: {default}");
        }
    }
}

//! Words that do not stand in one stretch of a file: each stretch leads to its bytes, and together they are what is quoted.

use assert_cmd::Command;

/// Two columns, of which the left one ends in the middle of a claim, and lines of both end in the middle of a quantity. Invented.
const PAGE: &str = "\
COPPER AND COLD, PART TWO

A reel was taken from the shelf and cut    soaked for a week in liquid nitrogen,
in two. Both halves are the same solid     and sounds clearer for it. We have not
copper, 12 AWG, and each of them is 3.5    weighed the wire, which has 2.5 mm
m long. We find that our cable has been    of rubber all round its conductor.
";

/// The bytes of a span and of the stretches in which it goes on.
fn stretches<'t>(text: &'t str, span: &serde_json::Value) -> Vec<&'t str> {
    let bytes = |stretch: &serde_json::Value| {
        let at = |name: &str| {
            usize::try_from(stretch[name].as_u64().expect("an offset")).expect("small")
        };
        text.get(at("byte_start")..at("byte_end"))
            .expect("on character borders")
    };
    let further = span["goes_on"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    std::iter::once(span).chain(further).map(bytes).collect()
}

fn as_quoted(stretches: &[&str]) -> String {
    let words = stretches
        .iter()
        .flat_map(|stretch| stretch.split_whitespace());
    words.collect::<Vec<_>>().join(" ")
}

#[test]
fn words_of_two_columns_lead_to_their_bytes() {
    let output = Command::cargo_bin("claimgauge")
        .expect("the program")
        .args(["audit", "--format", "json", "--fail-on", "never", "-"])
        .write_stdin(PAGE)
        .output()
        .expect("a run");
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let document = &report["documents"][0];
    let list = |name: &str| document[name].as_array().expect("a list").clone();
    let mut spans = list("quantities");
    spans.extend(list("claims").iter().map(|claim| claim["span"].clone()));
    for finding in list("findings") {
        spans.extend(finding["spans"].as_array().expect("spans").iter().cloned());
    }
    let mut apart = Vec::new();
    for span in &spans {
        let found = stretches(PAGE, span);
        let quote = span["quote"].as_str().expect("a quote");
        let quoted: Vec<&str> = quote.split_whitespace().collect();
        assert_eq!(as_quoted(&found), quoted.join(" "));
        if found.len() > 1 {
            apart.push(as_quoted(&found));
        }
    }
    assert!(apart.iter().any(|words| words == "3.5 m"), "{apart:?}");
    assert!(
        apart
            .iter()
            .any(|words| words.contains("soaked for a week in liquid nitrogen")),
        "{apart:?}"
    );
}

/// Heads on the left of a drawn line and running text on the right: each text is read whole, under its head.
#[test]
fn text_beside_heads_is_read_under_them() {
    let page = "\
        THE METAL    |  Bare copper, drawn and annealed, of 12 AWG in the\n\
        \x20            |  Hessle. The Tolby has 16\n\
        (annealed)   |  AWG.\n\
        \x20            |\n\
        THE LENGTHS  |  Three metres a side, or as you\n\
        \x20            |  like.\n";
    let sheet = claimgauge::sheet::outline(page);
    let flow = sheet.flow.text();
    let told: Vec<&str> = (sheet.blocks.iter())
        .map(|block| block.span.of(flow))
        .collect();
    assert_eq!(
        told,
        [
            "THE METAL",
            "(annealed)",
            "Bare copper, drawn and annealed, of 12 AWG in the Hessle. The Tolby has 16 AWG.",
            "THE LENGTHS",
            "Three metres a side, or as you like.",
        ]
    );
    // A table of two columns has a name on each of its lines.
    let table = "Name    | What it is like in the hand\n--------|---------------------\nKestrel | a flat lead of copper\nPlover  | a round lead of copper\nDunlin  | a thin lead of silver\n";
    assert_eq!(claimgauge::sheet::outline(table).tables.len(), 1);
}

//! One report that holds what breaks renderers, in every format: an empty mark, marks over several lines, one at the end
//! of the file, wide characters, a tab, CRLF, a very long line, HTML, Markdown, escape sequences and direction controls
//! in a product name, two documents, working from every origin, settled findings, limits.

use claimgauge::facts::{Cable, Fact, Notation, Size, SizeOf};
use claimgauge::finding::{Finding, Level, Mark, Origin, Stance, Step, Verdict};
use claimgauge::input::Source;
use claimgauge::report::view::Settled;
use claimgauge::report::{Counts, Ending, Format, Look, Scene, View};
use claimgauge::rulebook::Rulebook;
use claimgauge::run::Audit;
use claimgauge::sheet::quantity::{Si, Symbol};
use claimgauge::sheet::{Bound, Kind, More, Quantity, Rare, Sentence};
use claimgauge::span::Span;
use claimgauge::units::{Metre, SquareMetre};
use std::num::NonZeroU32;

const FIRST: &str = "\u{feff}Product:\t<b onmouseover=x>\u{1b}[31mAüra\u{202e}</b> *12* | `AWG`\r\n\
    尺寸 14 AWG を 2.5 mm² と言う。\r\n\
    \r\n\
    First line of the claim,\r\n\
    second line of it\r\n\
    and third: \u{1b}]8;;http://x.example\u{7}link\u{1b}]8;;\u{7}.\r\n\
    \r\n\
    The end: 12 AWG";

fn long() -> String {
    format!(
        "{} 16 AWG {} 10 m {}\n\n1. not a list\n<script>alert(1)</script>\n",
        "word ".repeat(300),
        "word ".repeat(300),
        "word ".repeat(300)
    )
}

fn span(text: &str, words: &str) -> Span {
    let start = text.find(words).expect("the words");
    Span::new(start, start + words.len())
}

fn mark(span: Span, label: &str) -> Mark {
    Mark {
        span,
        label: label.to_owned(),
    }
}

fn finding(rule: &str, verdict: Verdict, level: Option<Level>, marks: Vec<Mark>) -> Finding {
    Finding {
        rule: rule.to_owned(),
        verdict,
        level,
        stance: Stance::Asserted,
        message: format!("message of {rule} with <i>, *stars* and \u{1b}[0m in it"),
        help: "ask | the <maker>".to_owned(),
        marks,
        working: Vec::new(),
        sources: vec!["a source <of> the *trade*".to_owned()],
    }
}

fn audit(text: &str, findings: Vec<Finding>, confirmed: Vec<Finding>) -> Audit {
    let mut audit = Audit::default();
    audit.sheet.flow.push(text, 0);
    audit
        .sheet
        .sentences
        .push(Sentence::new(Span::new(0, text.len()), 0));
    audit.findings = findings;
    audit.confirmed = confirmed;
    audit.keep(100);
    audit
}

/// The first document: decoded without the mark of byte order, so offsets on disk are three more.
pub fn first(source: &Source) -> Audit {
    let text = source.text();
    let gauge = span(text, "14 AWG");
    let mut sizes = finding(
        "sample-sizes",
        Verdict::Contradicted,
        Some(Level::Error),
        vec![
            mark(gauge, "14 AWG is 2.08 mm²"),
            mark(span(text, "2.5 mm²"), "stated here"),
        ],
    );
    sizes.working = vec![
        Step {
            symbol: "A".into(),
            expression: "π/4 · d²".to_owned(),
            value: 2.080_912_345_678e-6,
            unit: "m²",
            from: Origin::Quoted(gauge),
        },
        Step {
            symbol: "ρ".into(),
            expression: String::new(),
            value: 1.724_137e-8,
            unit: "Ω·m",
            from: Origin::RuleFile("metals: copper".to_owned()),
        },
        Step {
            symbol: "T".into(),
            expression: String::new(),
            value: 20.0,
            unit: "°C",
            from: Origin::Default("temperature".to_owned()),
        },
        Step {
            symbol: "x".into(),
            expression: "A / 0".to_owned(),
            value: f64::INFINITY,
            unit: "",
            from: Origin::Computed,
        },
    ];
    let several = Span::new(
        span(text, "First line").start(),
        span(text, "and third").end(),
    );
    let mut reported = finding(
        "sample-claim",
        Verdict::NoBasis,
        Some(Level::Note),
        vec![mark(several, "the claim")],
    );
    reported.stance = Stance::Reported;
    let end = text.len();
    let findings = vec![
        sizes,
        reported,
        finding(
            "sample-name",
            Verdict::Unstated,
            Some(Level::Warning),
            vec![mark(
                span(
                    text,
                    "<b onmouseover=x>\u{1b}[31mAüra\u{202e}</b> *12* | `AWG`",
                ),
                "the name",
            )],
        ),
        finding(
            "sample-empty",
            Verdict::Caution,
            Some(Level::Warning),
            vec![mark(
                Span::new(gauge.start(), gauge.start()),
                "nothing stands here",
            )],
        ),
        finding(
            "sample-end",
            Verdict::Unfit,
            Some(Level::Warning),
            vec![mark(Span::new(end, end), "the end of the file")],
        ),
        finding(
            "sample-whole",
            Verdict::Unstated,
            Some(Level::Note),
            Vec::new(),
        ),
    ];
    let confirmed = vec![finding(
        "sample-sizes",
        Verdict::Confirmed,
        None,
        vec![mark(span(text, "12 AWG"), "agrees")],
    )];
    let mut audit = audit(text, findings, confirmed);
    audit.sheet.quantities = vec![
        Quantity {
            kind: Kind::Gauge,
            number: 14.0.into(),
            symbol: Symbol::usual("AWG").unwrap_or_default(),
            si_unit: Si::SquareMetre,
            span: gauge,
            bound: Bound::Exact,
            range: None,
            more: More {
                conductors: Some(2),
                gauge: Some(14),
                ..More::default()
            }
            .kept(),
        }
        .with_si(Some(2.080_912_345_678e-6)),
        Quantity {
            kind: Kind::Gauge,
            number: None.into(),
            symbol: Symbol::usual("AWG").unwrap_or_default(),
            si_unit: Si::One,
            span: span(text, "12 AWG"),
            bound: Bound::AtMost,
            range: NonZeroU32::new(2),
            more: More {
                gauge: Some(-3),
                rare: Rare {
                    text: Some("4/0".into()),
                    ..Rare::default()
                }
                .kept(),
                ..More::default()
            }
            .kept(),
        }
        .with_si(None),
    ];
    audit.facts.unclaimed = vec![1];
    audit.facts.cables = vec![Cable {
        name: "<b>\u{1b}[31mAüra\u{202e}</b>".to_owned(),
        mentions: std::iter::once(span(text, "Aüra")).collect(),
        sizes: vec![Size {
            area: SquareMetre(2.08e-6),
            notation: Notation::Awg,
            awg: Some(14),
            of: SizeOf::Conductor,
            conductors: None,
            strands: None,
            loose: false,
            proposed: false,
            span: gauge,
            quantity: 0,
        }],
        lengths: vec![Fact::new(Metre(10.0), gauge)],
        ..Cable::default()
    }];
    audit.remarks = vec!["a limit <was> reached".to_owned()];
    audit
}

fn second(source: &Source) -> Audit {
    let text = source.text();
    let findings = vec![
        finding(
            "sample-sizes",
            Verdict::Unequal,
            Some(Level::Error),
            vec![
                mark(span(text, "16 AWG"), "far into a long line"),
                mark(span(text, "10 m"), "further still"),
            ],
        ),
        finding(
            "sample-sizes",
            Verdict::Unequal,
            Some(Level::Error),
            vec![mark(span(text, "<script>alert(1)</script>"), "hostile")],
        ),
        finding(
            "sample-settled",
            Verdict::Unequal,
            Some(Level::Error),
            vec![mark(span(text, "1. not a list"), "settled")],
        ),
    ];
    audit(text, findings, Vec::new())
}

/// Both documents in one format, put together as the command does it.
pub fn render(format: Format, look: Look) -> String {
    let rulebook = Rulebook::builtin();
    let scene = Scene {
        look,
        rulebook: &rulebook,
    };
    let one = Source::decode("folder with blank/näme.txt", FIRST.as_bytes()).expect("text");
    let other = Source::decode("/root-<b>.txt", long().as_bytes()).expect("text");
    let audits = [(&one, first(&one)), (&other, second(&other))];
    let mut ending = Ending {
        notices: vec!["an entry <fits> nothing".to_owned()],
        troubles: vec!["missing.txt: cannot be read".to_owned()],
        ..Ending::default()
    };
    let renderer = format.renderer();
    let mut counts = Counts::default();
    let mut documents = Vec::new();
    for (number, (source, audit)) in audits.iter().enumerate() {
        let mut view = View::new(source, audit, &rulebook);
        view.settle(|item| {
            (item.rule == "sample-settled").then(|| Settled {
                reason: "measured <fine>".to_owned(),
                who: "R. *Viewer*".to_owned(),
                date: "2026-03-04".to_owned(),
            })
        });
        counts.add(view.counts);
        documents.push(renderer.document(&view, &scene, number));
    }
    ending.counts = counts;
    let mut out = renderer.head(&scene, &ending);
    out.push_str(&documents.join(renderer.joint()));
    out.push_str(&renderer.tail(&scene, &ending));
    out
}

/// What a terminal would be steered by.
fn steers(letter: char) -> bool {
    !matches!(letter, '\n' | '\t') && claimgauge::report::escape::is_hidden(letter)
}

#[test]
fn every_format_is_as_agreed() {
    for &format in Format::ALL {
        let mut text = render(format, Look::default());
        assert!(
            !text.chars().any(steers),
            "{} lets {:?} through",
            format.word(),
            text.chars().find(|&letter| steers(letter))
        );
        if format == Format::Sarif {
            // The rules are those of the rulebook, which has tests of its own.
            let mut log: serde_json::Value = serde_json::from_str(&text).expect("JSON");
            log["runs"][0]["tool"]["driver"]["rules"] = "…".into();
            text = serde_json::to_string_pretty(&log).expect("JSON");
        }
        if format == Format::Html {
            let (start, rest) = text.split_once("<style>").expect("a style");
            let (_, rest) = rest.split_once("</style>").expect("its end");
            text = format!("{start}<style>…</style>{rest}")
                .replace("</section>", "</section>\n")
                .replace("</tr>", "</tr>\n")
                .replace("</div>", "</div>\n");
        }
        let text = text.replace(env!("CARGO_PKG_VERSION"), "VERSION");
        insta::assert_snapshot!(format!("nasty-{}", format.word()), text);
    }
}

#[test]
fn the_text_view_fits_every_terminal() {
    for (name, look) in [
        (
            "wide",
            Look {
                width: 200,
                ..Look::default()
            },
        ),
        (
            "ascii",
            Look {
                unicode: false,
                ..Look::default()
            },
        ),
        (
            "plain",
            Look {
                plain: true,
                ..Look::default()
            },
        ),
        (
            "full",
            Look {
                screen: None,
                ..Look::default()
            },
        ),
    ] {
        let text = render(Format::Text, look);
        assert!(!text.chars().any(steers), "{name}");
        assert_eq!(look.unicode, !text.is_ascii(), "{name}");
        if look.plain {
            assert!(
                !text.chars().any(|letter| "─│┌└╤┆▶═".contains(letter)),
                "drawn signs in the plain view"
            );
        }
        insta::assert_snapshot!(format!("nasty-text-{name}"), text);
    }
    let coloured = render(
        Format::Text,
        Look {
            colour: true,
            ..Look::default()
        },
    );
    let stripped = strip_colour(&coloured);
    assert_ne!(coloured, stripped, "no colour is used");
    assert_eq!(
        stripped,
        render(Format::Text, Look::default()),
        "colour changes more than colour"
    );
}

/// `text` without the sequences of ECMA-48 that select a rendition.
fn strip_colour(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        out.push_str(before);
        let end = after.find('m').expect("the end of a sequence");
        assert!(
            after[..end]
                .bytes()
                .all(|byte| byte.is_ascii_digit() || byte == b';'),
            "a sequence that is no colour: {:?}",
            &after[..end]
        );
        rest = &after[end + 1..];
    }
    out.push_str(rest);
    out
}

#[test]
fn json_keeps_to_its_schema() {
    let schema: serde_json::Value =
        serde_json::from_str(&claimgauge::report::json::report_schema()).expect("JSON");
    assert_eq!(
        schema["$schema"], "https://json-schema.org/draft/2020-12/schema",
        "the draft"
    );
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let report: serde_json::Value =
        serde_json::from_str(&render(Format::Json, Look::default())).expect("JSON");
    let faults: Vec<String> = validator
        .iter_errors(&report)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
    let mut broken = report.clone();
    broken["documents"][0]["findings"][0]["spans"][0]["line"] = "three".into();
    assert!(
        !validator.is_valid(&broken),
        "the schema lets everything pass"
    );

    let line_schema: serde_json::Value =
        serde_json::from_str(&claimgauge::report::json::line_schema()).expect("JSON");
    let validator = jsonschema::validator_for(&line_schema).expect("a schema");
    let lines = render(Format::Ndjson, Look::default());
    assert_eq!(lines.lines().count(), 2);
    for line in lines.lines() {
        let line: serde_json::Value = serde_json::from_str(line).expect("JSON");
        assert!(validator.is_valid(&line));
    }
}

#[test]
fn json_spans_lead_to_the_bytes_on_disk() {
    let report: serde_json::Value =
        serde_json::from_str(&render(Format::Json, Look::default())).expect("JSON");
    let mut seen = 0;
    for finding in report["documents"][0]["findings"]
        .as_array()
        .expect("findings")
    {
        for span in finding["spans"].as_array().expect("spans") {
            let at = |name: &str| {
                usize::try_from(span[name].as_u64().expect("an offset")).expect("an offset")
            };
            let bytes = &FIRST.as_bytes()[at("byte_start")..at("byte_end")];
            assert_eq!(bytes, span["quote"].as_str().expect("a quote").as_bytes());
            seen += 1;
        }
    }
    assert_eq!(seen, 6);
}

#[test]
fn sarif_is_valid() {
    // The schema of the standard (OASIS, SARIF 2.1.0), as the package serde-sarif 0.8.0 carries it.
    let mut schema: serde_json::Value =
        serde_json::from_str(include_str!("../data/sarif-2.1.0.schema.json")).expect("JSON");
    // A bracket too many in that pattern makes it no regular expression; nothing here writes a language.
    for place in ["run", "toolComponent"] {
        schema
            .pointer_mut(&format!("/definitions/{place}/properties/language"))
            .and_then(serde_json::Value::as_object_mut)
            .expect("the property")
            .remove("pattern")
            .expect("the pattern");
    }
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let log: serde_json::Value =
        serde_json::from_str(&render(Format::Sarif, Look::default())).expect("JSON");
    let faults: Vec<String> = validator
        .iter_errors(&log)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
    let run = &log["runs"][0];
    assert_eq!(run["columnKind"], "unicodeCodePoints");
    for rule in run["tool"]["driver"]["rules"].as_array().expect("rules") {
        assert!(
            rule["help"]["text"]
                .as_str()
                .is_some_and(|text| text.len() > 40)
        );
    }
    for result in run["results"].as_array().expect("results") {
        let uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
            .as_str()
            .expect("a URI");
        assert!(
            !uri.starts_with('/') && !uri.contains([' ', '<', ':']),
            "{uri}"
        );
    }
}

#[test]
fn fingerprints_survive_an_edit_elsewhere() {
    let rulebook = Rulebook::builtin();
    let prints = |text: &str| -> Vec<String> {
        let source = Source::decode("a.txt", text.as_bytes()).expect("text");
        let findings = ["12 AWG", "run in"]
            .iter()
            .flat_map(|words| text.match_indices(words))
            .map(|(at, words)| {
                let marks = vec![mark(Span::new(at, at + words.len()), "")];
                finding("sample-sizes", Verdict::Unequal, Some(Level::Error), marks)
            })
            .collect();
        let audit = audit(text, findings, Vec::new());
        View::new(&source, &audit, &rulebook)
            .findings
            .iter()
            .map(|item| item.fingerprint.clone())
            .collect()
    };
    let before = prints("12 AWG, needs to be run in, 12 AWG");
    let after = prints("A new first line.\n\n12 AWG, needs\nto be run in, and 12 AWG again");
    assert_eq!(before, after);
    assert_eq!(before.len(), 3);
    assert_ne!(
        before[0], before[2],
        "two places of one wording are told apart"
    );
}

#[test]
fn nothing_of_a_document_becomes_markup() {
    let page = render(Format::Html, Look::default());
    for hostile in [
        "<script",
        "<b>",
        "<b ",
        "<i>",
        "onmouseover=x>\u{1b}",
        "href=\"http",
    ] {
        assert!(!page.contains(hostile), "{hostile}");
    }
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    let note = render(Format::Markdown, Look::default());
    // Without what is escaped, nothing is left that opens markup.
    let mut bare = String::new();
    let mut letters = note.chars();
    while let Some(letter) = letters.next() {
        if letter == '\\' {
            letters.next();
        } else {
            bare.push(letter);
        }
    }
    assert!(!bare.contains(['<', '`', '[', '_']), "{bare}");
    assert!(!bare.contains("12* |") && bare.contains("**To do:**"));
}

//! `sarif`: the Static Analysis Results Interchange Format, version 2.1.0 (OASIS), with one run.

use crate::finding::Level;
use crate::input::Place;
use crate::report::json::compact;
use crate::report::number::Number;
use crate::report::view::{Item, Quote, View, one_line};
use crate::report::{Ending, Renderer, Scene};
use crate::rulebook::Rule;
use serde_json::{Value, json};

const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// Base of paths that were given relative to the working folder.
const HERE: &str = "WORKING_FOLDER";
/// Base of paths that were given from the root.
const ROOT: &str = "ROOT";

/// The format.
pub struct Sarif;

impl Renderer for Sarif {
    fn joint(&self) -> &'static str {
        ",\n"
    }

    fn head(&self, scene: &Scene<'_>, _: &Ending) -> String {
        let rules: Vec<Value> = scene.rulebook.rules().iter().map(rule).collect();
        let driver = json!({
            "name": env!("CARGO_PKG_NAME"),
            "version": env!("CARGO_PKG_VERSION"),
            "semanticVersion": env!("CARGO_PKG_VERSION"),
            "shortDescription": {"text": env!("CARGO_PKG_DESCRIPTION")},
            "rules": rules,
        });
        format!(
            "{{\"$schema\": {}, \"version\": \"2.1.0\", \"runs\": [{{\n\"tool\": {},\n\"columnKind\": \"unicodeCodePoints\",\n\
             \"originalUriBaseIds\": {},\n\"results\": [\n",
            compact(&SCHEMA),
            compact(&json!({"driver": driver})),
            compact(&json!({
                HERE: {"description": {"text": "The folder that the paths were given in."}},
                ROOT: {"uri": "file:///"},
            }))
        )
    }

    fn document(&self, view: &View<'_>, scene: &Scene<'_>, _: usize) -> String {
        view.findings
            .iter()
            .chain(&view.settled)
            .chain(&view.confirmed)
            .map(|item| compact(&result(item, view, scene)))
            .collect::<Vec<_>>()
            .join(",\n")
    }

    fn tail(&self, _: &Scene<'_>, ending: &Ending) -> String {
        let notifications = |level: &str, lines: &[String]| -> Vec<Value> {
            lines
                .iter()
                .map(|line| json!({"level": level, "message": {"text": line}}))
                .collect()
        };
        let mut told = notifications("error", &ending.troubles);
        told.extend(notifications("note", &ending.notices));
        let invocation = json!({
            "executionSuccessful": ending.troubles.is_empty(),
            "toolExecutionNotifications": told,
        });
        format!(
            "\n],\n\"invocations\": {}\n}}]}}\n",
            compact(&json!([invocation]))
        )
    }
}

fn level(level: Option<Level>) -> &'static str {
    level.map_or("none", Level::word)
}

fn rule(rule: &Rule) -> Value {
    let help = format!(
        "{}\n\nA fair statement nearby: {}\n\nWhat would change the verdict: {}",
        rule.physics, rule.fair, rule.evidence
    );
    json!({
        "id": rule.id,
        "name": rule.id.split('-').map(capital).collect::<String>(),
        "shortDescription": {"text": text_or(&rule.title, &rule.id)},
        "fullDescription": {"text": text_or(&rule.says, &rule.id)},
        "help": {"text": help},
        "defaultConfiguration": {"level": rule.level.word()},
        "properties": {"tags": [rule.chapter.word(), rule.verdict.word()]},
    })
}

fn text_or<'t>(text: &'t str, other: &'t str) -> &'t str {
    if text.is_empty() { other } else { text }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn result(item: &Item, view: &View<'_>, scene: &Scene<'_>) -> Value {
    let mut text = one_line(&item.message);
    if !item.help.is_empty() {
        text.push(' ');
        text.push_str(&one_line(&item.help));
    }
    let working: Vec<Value> = item
        .working
        .iter()
        .map(|work| {
            json!({
                "symbol": work.symbol,
                "expression": work.expression,
                "value": Number(work.value),
                "unit": work.unit,
                "from": work.from,
            })
        })
        .collect();
    let sources: Vec<&str> = item
        .sources
        .iter()
        .map(|source| source.text.as_str())
        .collect();
    let artifact = artifact(view.path());
    let mut result = json!({
        "ruleId": item.rule,
        "kind": if item.level.is_some() { "fail" } else { "pass" },
        "level": level(item.level),
        "message": {"text": text},
        "locations": [],
        "partialFingerprints": {"ruleAndQuotation/v1": item.fingerprint},
        "properties": {
            "verdict": item.verdict.word(),
            "stance": item.stance.word(),
            "working": working,
            "sources": sources,
        },
    });
    if let Some(index) = scene
        .rulebook
        .rules()
        .iter()
        .position(|rule| rule.id == item.rule)
    {
        result["ruleIndex"] = json!(index);
    }
    match item.quotes.split_first() {
        None => {
            result["locations"] = json!([{"physicalLocation": {"artifactLocation": artifact}}]);
        }
        Some((first, rest)) => {
            result["locations"] = json!([location(first, &artifact, None)]);
            let related: Vec<Value> = rest
                .iter()
                .zip(1..)
                .map(|(quote, id)| location(quote, &artifact, Some(id)))
                .collect();
            if !related.is_empty() {
                result["relatedLocations"] = json!(related);
            }
        }
    }
    if let Some(settled) = &item.settled {
        result["suppressions"] = json!([{
            "kind": "external",
            "status": "accepted",
            "justification": format!("{} ({}, {})", settled.reason, settled.who, settled.date),
        }]);
    }
    result
}

fn location(quote: &Quote, artifact: &Value, id: Option<i64>) -> Value {
    let mut own = region(&quote.place);
    own["snippet"] = json!({"text": quote.text});
    let mut location = json!({
        "physicalLocation": {
            "artifactLocation": artifact,
            "region": own,
        },
    });
    if !quote.label.is_empty() {
        location["message"] = json!({"text": quote.label});
    }
    if !quote.further.is_empty() {
        let further: Vec<Value> = (quote.further.iter())
            .map(|(place, _)| region(place))
            .collect();
        location["annotations"] = json!(further);
    }
    if let Some(id) = id {
        location["id"] = json!(id);
    }
    location
}

fn region(place: &Place) -> Value {
    json!({
        "startLine": place.line,
        "startColumn": place.column,
        "endLine": place.end_line,
        "endColumn": place.end_column,
        "byteOffset": place.byte_start,
        "byteLength": place.byte_end - place.byte_start,
    })
}

/// A path as a relative URI reference (RFC 3986) on one of the two bases.
fn artifact(path: &str) -> Value {
    let (base, path) = match path.strip_prefix('/') {
        Some(rest) => (ROOT, rest),
        None => (HERE, path.strip_prefix("./").unwrap_or(path)),
    };
    let mut uri = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => {
                uri.push(char::from(byte));
            }
            b'\\' if cfg!(windows) => uri.push('/'),
            _ => uri.push_str(&format!("%{byte:02X}")),
        }
    }
    json!({"uri": uri, "uriBaseId": base})
}

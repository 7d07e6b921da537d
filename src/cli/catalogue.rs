//! `claimgauge audit --lines`: a stream of documents, one JSON object a line, with a result line for each.

use super::audit::{Bench, Done};
use super::held::Held;
use super::output::Output;
use crate::input::Source;
use crate::report::json::{Failure, SCHEMA, compact};
use crate::report::{Counts, Ending};
use rayon::prelude::*;
use serde::Deserialize;
use serde_json::Value;
use std::io::{self, BufRead, Read};

/// Longest line, in bytes.
pub const MAX_LINE: usize = 16 << 20;
/// Lines and bytes that are worked on together.
const BATCH_LINES: usize = 128;
const BATCH_BYTES: usize = 8 << 20;

/// A line of input; other members are left alone.
#[derive(Deserialize)]
struct Given {
    #[serde(default)]
    id: Value,
    text: String,
}

/// A line as it was read.
enum Line {
    Text(Vec<u8>),
    TooLong,
}

/// Reads to the end of `input`, batch by batch, and writes one line for each that is not blank.
///
/// # Errors
/// When reading or writing fails.
pub fn run(
    bench: &Bench<'_>,
    pool: Option<&rayon::ThreadPool>,
    mut input: impl BufRead,
    output: &mut Output,
    ending: &mut Ending,
) -> io::Result<()> {
    let mut number = 0;
    loop {
        let mut batch = Vec::new();
        let mut bytes = 0;
        let mut more = true;
        while batch.len() < BATCH_LINES && bytes < BATCH_BYTES {
            let Some(line) = read_line(&mut input)? else {
                more = false;
                break;
            };
            number += 1;
            if let Line::Text(text) = &line {
                if text.trim_ascii().is_empty() {
                    continue;
                }
                bytes += text.len();
            }
            batch.push((number, line));
        }
        let work = |(number, line): &(usize, Line)| one(bench, *number, line);
        let results: Vec<(Held, Counts, Option<String>)> = match pool {
            Some(pool) => pool.install(|| batch.par_iter().map(work).collect()),
            None => batch.iter().map(work).collect(),
        };
        for (text, counts, trouble) in results {
            ending.counts.add(counts);
            output.take(text)?;
            if let Some(trouble) = trouble {
                super::complain(&trouble);
                // One is enough for the exit status; a bad stream must not fill the memory.
                if ending.troubles.is_empty() {
                    ending.troubles.push(trouble);
                }
            }
        }
        output.flush()?;
        if !more {
            return Ok(());
        }
    }
}

fn read_line(input: &mut impl BufRead) -> io::Result<Option<Line>> {
    let mut line = Vec::new();
    let limit = u64::try_from(MAX_LINE + 1).unwrap_or(u64::MAX);
    let read = input.by_ref().take(limit).read_until(b'\n', &mut line)?;
    if read == 0 {
        return Ok(None);
    }
    if line.last() == Some(&b'\n') || line.len() <= MAX_LINE {
        return Ok(Some(Line::Text(line)));
    }
    // The rest of the line is passed over without being kept.
    loop {
        let buffer = input.fill_buf()?;
        if buffer.is_empty() {
            return Ok(Some(Line::TooLong));
        }
        match memchr::memchr(b'\n', buffer) {
            Some(end) => {
                input.consume(end + 1);
                return Ok(Some(Line::TooLong));
            }
            None => {
                let length = buffer.len();
                input.consume(length);
            }
        }
    }
}

fn one(bench: &Bench<'_>, number: usize, line: &Line) -> (Held, Counts, Option<String>) {
    let fail = |id: &Value, error: String| {
        let mut text = compact(&Failure {
            schema: SCHEMA,
            id: (!id.is_null()).then_some(id),
            line: number,
            error: &error,
        });
        text.push('\n');
        let trouble = format!("input line {number}: {error}");
        (Held::from(text), Counts::default(), Some(trouble))
    };
    let Line::Text(bytes) = line else {
        let limit = MAX_LINE >> 20;
        return fail(
            &Value::Null,
            format!("the line is longer than the limit of {limit} MiB"),
        );
    };
    let given: Given = match serde_json::from_slice(bytes) {
        Ok(given) => given,
        Err(error) => {
            return fail(&Value::Null, format!("no object with a “text”: {error}"));
        }
    };
    if !matches!(given.id, Value::Null | Value::String(_) | Value::Number(_)) {
        return fail(
            &Value::Null,
            "the “id” is neither a string nor a number".to_owned(),
        );
    }
    let name = match &given.id {
        Value::String(id) => id.clone(),
        Value::Null => format!("input line {number}"),
        other => other.to_string(),
    };
    let source = match Source::decode(name, given.text.as_bytes()) {
        Ok(source) => source,
        Err(refusal) => return fail(&given.id, refusal.to_string()),
    };
    let id = (!given.id.is_null()).then(|| given.id.clone());
    match bench.audit(&source, id, number) {
        Ok(Done { text, counts, .. }) => (text, counts, None),
        Err(trouble) => fail(&given.id, trouble),
    }
}

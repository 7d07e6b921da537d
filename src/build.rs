//! Turns the rule files into a form that is quick to load: the YAML is read and the word lists are compiled here, once,
//! by the very code that reads a house's own rule files at run time. It names no files to cargo, which therefore runs it
//! whenever a file of the package has changed.

#![expect(
    dead_code,
    unused_imports,
    unused_macros,
    reason = "a build script uses a part of each module only"
)]

#[path = "rulebook/files.rs"]
mod files;
#[path = "lexicon/mod.rs"]
mod lexicon;
mod pack;
#[path = "rulebook/raw.rs"]
mod raw;
#[path = "rulebook/pack.rs"]
mod raw_pack;
#[path = "rulebook/ready.rs"]
mod ready;
#[path = "span.rs"]
mod span;

use pack::{Pack, Writer};
use std::collections::BTreeSet;
use std::path::Path;

fn main() {
    let mut builder = lexicon::Builder::default();
    let mut layout = lexicon::Builder::default();
    let mut read = Vec::new();
    let mut tables = Vec::new();
    let mut lists = BTreeSet::new();
    for &(name, text) in files::BUILTIN {
        let mut file = raw::read(text).unwrap_or_else(|refused| {
            let told: Vec<String> = refused
                .troubles
                .iter()
                .map(|trouble| {
                    format!(
                        "rules/{name}:{}:{}: {}",
                        trouble.line, trouble.column, trouble.message
                    )
                })
                .collect();
            panic!("{}", told.join("\n"))
        });
        for (concept, entries) in std::mem::take(&mut file.concepts).0 {
            // A house's file adds to a list; here a second place for its words would be overlooked.
            assert!(
                lists.insert(concept.clone()),
                "rules/{name}: the word list “{concept}” is in another file, too"
            );
            if let Err(bad) = builder.concept(&concept) {
                panic!("rules/{name}: word list “{concept}”: {bad}");
            }
            for entry in entries {
                if let Err(bad) = builder.add(&concept, &entry) {
                    panic!("rules/{name}: word list “{concept}”, “{entry}”: {bad}");
                }
            }
        }
        for (list, entries) in std::mem::take(&mut file.lists).0 {
            for entry in entries {
                let into = if name == files::LAYOUT {
                    &mut layout
                } else {
                    &mut builder
                };
                if let Err(bad) = into.list(&list, &entry) {
                    panic!("rules/{name}: list “{list}”, “{entry}”: {bad}");
                }
            }
        }
        tables.append(&mut file.tables.0);
        read.push((name.to_owned(), file));
    }
    let folder = std::env::var_os("OUT_DIR").expect("cargo names a folder for what is made");
    let write = |name: &str, value: &dyn Fn(&mut Writer)| {
        let mut out = Writer::default();
        value(&mut out);
        for (kind, bytes) in [("bin", &*out.bytes), ("txt", out.words.as_bytes())] {
            let path = Path::new(&folder).join(name).with_extension(kind);
            std::fs::write(path, bytes).expect("the folder can be written");
        }
    };
    write("tables", &|out| tables.pack(out));
    let lexicon = builder.build();
    let mut concepts = Vec::new();
    for (name, file) in &mut read {
        for rule in &mut file.rules {
            ready::tidy_words(rule);
            for alternative in &rule.alternatives {
                concepts.push(ready::Concepts::of(alternative, rule, &lexicon, |list| {
                    panic!("rules/{name}: {}: there is no word list “{list}”", rule.id)
                }));
            }
            forget_names(rule);
        }
    }
    write("rules", &|out| {
        read.pack(out);
        concepts.pack(out);
    });
    write("words", &|out| lexicon.pack(out));
    let layout = layout.build();
    write("layout", &|out| layout.pack(out));
}

/// Takes from a rule the names that [`ready::Concepts`] stands for.
fn forget_names(rule: &mut raw::Rule) {
    for names in [
        &mut rule.unless,
        &mut rule.unless_near,
        &mut rule.unless_document,
        &mut rule.absent,
    ] {
        names.clear();
    }
    for alternative in &mut rule.alternatives {
        for names in [
            &mut alternative.all,
            &mut alternative.unless,
            &mut alternative.unless_near,
            &mut alternative.unless_clause,
            &mut alternative.unless_document,
        ] {
            names.clear();
        }
    }
}

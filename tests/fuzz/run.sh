#!/usr/bin/env bash
# Builds a fuzz target with the stable compiler and runs it: tests/fuzz/run.sh TARGET [SECONDS] [OPTION…]
set -euo pipefail
cd "$(dirname "$0")"
target=${1:?report, quantity, rules or ledger}
seconds=${2:-60}
shift $(($# < 2 ? $# : 2))

# What cargo-fuzz would pass, less the address sanitizer: the stable compiler does not have it, and code without `unsafe`
# can do without.
export RUSTFLAGS="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table --cfg fuzzing"
triple=$(rustc -vV | sed -n 's/^host: //p')
cargo build --release --target "$triple" --bin "$target"

# Seeds: samples, labelled texts, spellings of quantities, single rules. What is found stays in corpus/, which is not kept.
mkdir -p "corpus/$target" "artifacts/$target" "seeds/$target"
seeds=seeds/$target
case $target in
report)
    cp ../../samples/*.txt "$seeds"
    find ../data/labelled ../data/facts -name '*.txt' -exec cp {} "$seeds" \;
    ;;
quantity)
    cp ../../samples/*sheet.txt "$seeds"
    sed -n 's/^.*"text": "\(\([^"\\]\|\\.\)*\)".*$/\1/p' ../data/notations.json ../data/lookalikes.json |
        awk -v to="$seeds/spelling-" '{ file = to NR; printf "%s", $0 > file; close(file) }'
    ;;
rules)
    cp ../../samples/house-rules.yaml "$seeds"
    cat ../../rules/claims.yaml ../../rules/line.yaml |
        awk -v to="$seeds/rule-" '/^  - id:/ { if (file) close(file); file = to (++count); print "rules:" > file }
            /^[^ #]/ { if (file) close(file); file = "" } file { print > file }'
    ;;
ledger)
    printf 'settled:\n  - rule: run-in\n    document: advertisement.txt\n    quotation: "free of directional grain"\n    reason: agreed\n    who: R. V.\n    date: 2026-03-04\n' > "$seeds/entry"
    cp ../../samples/house-rules.yaml "$seeds"
    ;;
esac
exec "${CARGO_TARGET_DIR:-target}/$triple/release/$target" "corpus/$target" "$seeds" \
    -artifact_prefix="artifacts/$target/" -max_total_time="$seconds" -max_len=4096 -timeout=10 -rss_limit_mb=1024 "$@"

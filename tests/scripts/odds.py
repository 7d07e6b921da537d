#!/usr/bin/env python3
"""Fits the weights of `rules/odds.tsv` to the labelled documents and passages of `tests/data/`.

usage: odds.py sentences   fits what features of a sentence weigh (first regression)
       odds.py passages    fits what values of a passage weigh (second regression), with the sentences' weights as they stand
       odds.py all         fits the sentences' weights once more, to all documents, and keeps those of a passage

The three are run in this order; each runs the program, so that the weights of the step before must be built in:

    cargo build --release --example odds && python3 tests/scripts/odds.py sentences
    cargo build --release --example odds && python3 tests/scripts/odds.py passages
    cargo build --release --example odds && python3 tests/scripts/odds.py all

The second regression sees documents alone to which neither the word lists nor the first regression was fitted (`LATER`): on others
the words look surer than they are. It needs scikit-learn, scipy and PyYAML. `claims_hold.yaml` is left out throughout: it measures.
"""
import collections, concurrent.futures, json, os, pathlib, re, subprocess, sys, tempfile
import numpy as np, yaml
from scipy.sparse import csr_matrix, vstack
from sklearn.linear_model import LogisticRegression

ROOT = pathlib.Path(__file__).resolve().parents[2]
DATA = ROOT / "tests" / "data"
FILE = ROOT / "rules" / "odds.tsv"
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
PROGRAM = next((p for p in (TARGET / kind / "examples" / "odds" for kind in ("release", "debug")) if p.exists()), None)
RULES = """arrival-time bias-battery cable-lifting clad-as-copper conductivity-above-metal deep-freezing demagnetising in-wall-unrated
levels-unmatched mains-on-speaker-cable metal-tone percent-without-quantity plating-conductivity purity-audible quantum-treatment
rival-unspecified run-in sighted-test solid-beats-stranded strand-jumping vibration-control wire-direction wire-distortion
wire-rectification""".split()
# Names of documents that neither word lists nor the first regression were fitted to, by how they begin.
LATER = tuple("bi1 bj2 bk3 bl4 bm5 cn6 co7 cp8 cq9".split())
# Names of documents that nothing is fitted to: they measure.
KEPT = tuple("dr1 ds2 dt3".split())
PASSAGES = "claims_dev claims_passages claims_told claims_turned".split()
LATER_PASSAGES = ["claims_later"]
# Fewer than so many sentences have a feature that is left out.
SELDOM = 5
# Sentences of the documents that have nothing of a rule, and stand for all that have nothing.
IDLE, BUSY = 8000, 12000
# A weight below this changes no verdict.
SMALL = 0.02
# What words and cues find stands from the first log-odds on, and what they do not find from the second; in documents of a few sentences
# words and cues know nearly as much. Set so that of what is called wrong on documents of strangers nearly all is.
LEAST = {"keep": 0.2, "add": 1.5, "keep, short": -4.0, "add, short": 2.5}

HEAD = """# What each feature adds to the log-odds that a sentence makes a claim, and what each value adds to the log-odds that a document stands
# behind a passage. Fitted by tests/scripts/odds.py (logistic regression, liblinear, L1) to tests/data/; no line is written by hand.
# A feature is PLACE:LIST, a word list of the words-*.yaml files said there, or TRAIT=NUMBER; src/claims/odds/features.rs says what they are.
"""


def run(kind, paths):
    """What the program says of the files, by path."""
    paths = [str(path) for path in paths]
    parts = [paths[at : at + 150] for at in range(0, len(paths), 150)]
    call = lambda part: subprocess.run([PROGRAM, kind, *part], capture_output=True, check=True).stdout
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        return {one["path"]: one for out in pool.map(call, parts) for one in map(json.loads, out.splitlines())}


def documents():
    """The labelled documents that weights may be fitted to, each with its labels and what the program says."""
    paths = sorted(path for folder in ("built_with", "held_out", "written_last") for path in (DATA / "labelled" / folder).glob("*.txt") if not path.name.startswith(KEPT))
    said = run("documents", paths)
    for path in paths:
        labels = json.loads(path.with_suffix("").with_suffix(".labels.json").read_text())
        loud = lambda finding: finding.get("level", "warning") != "note"
        want = [finding for finding in labels["findings"] if loud(finding)]
        soft = labels.get("optional", []) + [finding for finding in labels["findings"] if not loud(finding)]
        yield dict(said[str(path)], name=path.stem, want=want, soft=soft)


def passages(names, kind):
    """The passages of the files of those names, each with its rule and whether it makes the claim."""
    with tempfile.TemporaryDirectory() as folder:
        cases = {}
        for name in names:
            for number, case in enumerate(yaml.safe_load((DATA / f"{name}.yaml").read_text())):
                path = pathlib.Path(folder) / f"{name}-{number:05}.txt"
                path.write_text(case["text"])
                cases[str(path)] = case
        said = run(kind, sorted(cases))
        return [
            dict(said[path], rule=case["rule"], made=case["stance"] in ("asserted", "endorsed"), name=pathlib.Path(path).stem)
            for path, case in sorted(cases.items())
        ]


def label(document, rule, lines):
    """1 where the lines make a claim of the rule, 0 where they do not, None where a fair reader may go either way."""
    if any(one["rule"] == rule and lines & set(one["lines"]) for one in document["want"]):
        return 1
    if any(one["rule"] == rule and (not one.get("lines") or lines & set(one["lines"])) for one in document["soft"]):
        return None
    return 0


def written():
    """The lines of the file of weights as it stands: of sentences, of passages."""
    lines = [line for line in FILE.read_text().splitlines() if line and not line.startswith("#")]
    return [line for line in lines if not line.startswith("passage ")], [line for line in lines if line.startswith("passage ")]


def write(sentences, passages):
    FILE.write_text(HEAD + "\n".join(sentences + passages) + "\n")


def fit_sentences(use_all):
    documents_ = [one for one in documents() if use_all or not one["name"].startswith(LATER)]
    passages_ = passages(PASSAGES + (LATER_PASSAGES if use_all else []), "passages")
    passages_ = [one for one in passages_ if one["sentences"]]
    count = collections.Counter(name for one in documents_ + passages_ for sentence in one["sentences"] for name in sentence)
    names = sorted(name for name, times in count.items() if times >= SELDOM)
    column = {name: at for at, name in enumerate(names)}

    def matrix(sentences):
        pairs = [(row, column[name]) for row, own in enumerate(sentences) for name in own if name in column]
        rows, columns = zip(*pairs)
        return csr_matrix((np.ones(len(pairs)), (rows, columns)), shape=(len(sentences), len(names)))

    places = [(one, at) for one in documents_ for at in range(len(one["sentences"]))]
    said = matrix([one["sentences"][at] for one, at in places])
    told = matrix([one["sentences"][0] for one in passages_])
    lines = [set(range(one["lines"][at][0], one["lines"][at][1] + 1)) for one, at in places]
    own_lists = json.loads(subprocess.run([PROGRAM, "lists"], capture_output=True, check=True).stdout)
    random = np.random.default_rng(1)
    weights, usual = collections.defaultdict(dict), {}
    for rule in RULES:
        labels = [label(one, rule, lines[place]) for place, (one, _) in enumerate(places)]
        mine = np.asarray(said[:, [column[f"own:{name}"] for name in own_lists[rule] if f"own:{name}" in column]].sum(axis=1)).ravel() > 0
        made = np.array([at for at, own in enumerate(labels) if own == 1])
        busy = np.array([at for at, own in enumerate(labels) if own == 0 and mine[at]])
        idle_all = np.array([at for at, own in enumerate(labels) if own == 0 and not mine[at]])
        idle = random.choice(idle_all, min(len(idle_all), IDLE), replace=False)
        busy = random.choice(busy, min(len(busy), BUSY), replace=False)
        beside = [at for at, one in enumerate(passages_) if one["rule"] == rule]
        rows = vstack([said[made], said[busy], said[idle], told[beside]]).tocsr()
        y = np.r_[np.ones(len(made)), np.zeros(len(busy) + len(idle)), [passages_[at]["made"] for at in beside]]
        scale = min(len(idle_all) / max(1, len(idle)), 3)
        sample = np.r_[np.full(len(made), 2.0), np.ones(len(busy)), np.full(len(idle), scale), np.full(len(beside), 2.0)]
        model = LogisticRegression(C=0.5, solver="liblinear", l1_ratio=1, max_iter=300, intercept_scaling=5, random_state=1)
        model.fit(rows, y, sample_weight=sample)
        usual[rule] = model.intercept_[0]
        for name, weight in zip(names, model.coef_[0]):
            if abs(weight) >= SMALL:
                weights[name][rule] = weight
        print(rule, len(made), len(busy), len(beside), int((abs(model.coef_[0]) >= SMALL).sum()), flush=True)
    text = ["usual" + "".join(f"\t{rule}={usual[rule]:.3f}" for rule in RULES)]
    text += [name + "".join(f"\t{rule}={weight:.3f}" for rule, weight in sorted(own.items())) for name, own in sorted(weights.items())]
    write(text, written()[1])


def weighed():
    """The passages of the later documents: values, whether the claim is made, where."""
    rows = []
    for one in documents():
        if not one["name"].startswith(LATER):
            continue
        for passage in one["passages"]:
            own = [one["lines"][at] for at in passage["sentences"]]
            lines = {line for first, last in own for line in range(first, last + 1)}
            made = label(one, passage["rule"], lines)
            hits = [at for at, want in enumerate(one["want"]) if want["rule"] == passage["rule"] and lines & set(want["lines"])]
            if made is not None:
                rows.append((passage["values"], made, one["name"][:3], one["name"], passage["rule"], hits, not one["want"]))
    wanted = sum(want["rule"] in RULES for one in documents() if one["name"].startswith(LATER) for want in one["want"])
    for one in passages(LATER_PASSAGES, "documents"):
        for passage in one["passages"]:
            if passage["rule"] == one["rule"]:
                rows.append((passage["values"], int(one["made"]), one["name"][-1:], one["name"], passage["rule"], [0] if one["made"] else [], not one["made"]))
    return rows, wanted


def fit_passages():
    rows, wanted = weighed()
    names = sorted(rows[0][0])
    x = np.array([[row[0][name] for name in names] for row in rows])
    y = np.array([row[1] for row in rows])
    groups = np.array([row[2] for row in rows])
    sample = np.array([0.5 if row[3].startswith("claims") else 1.0 for row in rows])
    mean, spread = x.mean(axis=0), x.std(axis=0) + 1e-9
    spread[x.std(axis=0) < 1e-9] = np.inf

    def fit(pick):
        return LogisticRegression(C=0.3, max_iter=3000).fit(((x - mean) / spread)[pick], y[pick], sample_weight=sample[pick])

    # Each set by the weights that the others give.
    odds = np.zeros(len(y))
    for group in sorted(set(groups)):
        odds[groups == group] = fit(groups != group).decision_function(((x - mean) / spread)[groups == group])
    of_documents = np.array([not row[3].startswith("claims") for row in rows])
    loud, short = (x[:, names.index(name)] > 0 for name in ("made in full", "short"))
    for least in [None, 0.0, 0.5, 1.0, 1.25, 1.5, 2.0]:
        at_least = "the chosen log-odds" if least is None else least
        if least is None:
            keep, add = (np.where(short, LEAST[f"{what}, short"], LEAST[what]) for what in ("keep", "add"))
            stands = (loud & (odds > keep)) | (odds > add)
        else:
            stands = odds > least
        for what, mask, all_ in (("documents", of_documents, wanted), ("passages", ~of_documents, None)):
            hits = {(rows[at][3], rows[at][4], hit) for at in np.where(stands & mask)[0] for hit in rows[at][5]}
            wrong = int((stands & mask & (y == 0)).sum())
            honest = len({rows[at][3] for at in np.where(stands & mask & (y == 0))[0] if rows[at][6]})
            all_ = all_ or sum(row[1] for row in rows if row[3].startswith("claims"))
            print(f"{what} from {at_least}: precision {len(hits) / max(1, len(hits) + wrong):.3f} recall {len(hits) / max(1, all_):.3f} ({len(hits)}/{wrong}) honest accused {honest}")
    model = fit(np.ones(len(y), bool))
    weights = model.coef_[0] / spread
    usual = model.intercept_[0] - float((weights * mean).sum())
    text = [f"passage usual\t{usual:.4f}"] + [f"passage {name}\t{least}" for name, least in LEAST.items()]
    text += [f"passage {name}\t{weight:.4f}" for name, weight in zip(names, weights)]
    write(written()[0], text)


if __name__ == "__main__":
    step = sys.argv[1] if len(sys.argv) > 1 else ""
    if PROGRAM is None or step not in ("sentences", "passages", "all"):
        sys.exit(__doc__)
    fit_passages() if step == "passages" else fit_sentences(step == "all")

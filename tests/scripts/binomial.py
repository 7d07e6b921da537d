"""Binomial tails with scipy: writes ../data/physics/binomial.csv. Needs scipy."""

from pathlib import Path

from scipy.stats import binom

CASES = [
    (12, 16, 0.5), (9, 10, 0.5), (7, 10, 0.5), (8, 10, 0.5), (14, 20, 0.5), (15, 20, 0.5), (8, 8, 0.5), (18, 25, 0.5),
    (58, 100, 0.5), (59, 100, 0.5), (60, 100, 0.5), (9, 16, 1 / 3), (8, 16, 1 / 3), (12, 16, 0.7), (3, 10, 0.25), (1, 5, 0.2),
    (0, 5, 0.5), (5, 5, 0.5), (530, 1000, 0.5), (5100, 10000, 0.5), (50500, 100000, 0.5), (700, 1000, 0.5),
]
lines = ["correct,trials,chance,tail"]
lines += [f"{k},{n},{p!r},{binom.sf(k - 1, n, p):.15e}" for k, n, p in CASES]
data = Path(__file__).resolve().parent.parent / "data" / "physics"
(data / "binomial.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def least(n, level):
    return next((k for k in range(n + 1) if binom.sf(k - 1, n, 0.5) <= level), "")


lines = ["trials,least_05,least_01"]
lines += [f"{n},{least(n, 0.05)},{least(n, 0.01)}" for n in list(range(1, 36)) + [40, 50, 60, 80, 100]]
(data / "least_score.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")

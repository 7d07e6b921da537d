"""Skin effect of a solid round wire, to fifteen digits, with mpmath: writes ../data/physics/skin_effect.csv.

Z / R_dc = (ka/2) J0(ka) / J1(ka), ka = x exp(-j pi/4); r_ratio is the real part, li_ratio is 8/x^2 times the imaginary one.
Needs mpmath (any 1.x).
"""

from pathlib import Path

from mpmath import besselj, exp, mp, mpf, nstr, pi, sqrt

mp.dps = 60


def ratios(x):
    if x == 0:
        return mpf(1), mpf(1)
    ka = x * exp(-1j * pi / 4)
    z = ka / 2 * besselj(0, ka) / besselj(1, ka)
    return z.real, 8 * z.imag / x**2


grid = [mpf(i) / 10 for i in range(51)]
grid += [mpf(i) / 2 for i in range(11, 21)]
grid += [mpf(i) for i in range(11, 31)]
grid += [sqrt(mpf(2)) * i for i in range(1, 21)]
# Where thin wires at mains frequency and thick ones at radio frequency lie.
grid += [mpf(v) for v in ("0.001", "0.01", "0.05", "0.0999", "0.1001", "50", "100", "200", "299.9", "300.1", "1000", "10000", "1000000")]

lines = ["x,r_ratio,li_ratio"]
for x in sorted(grid):
    r, li = ratios(x)
    lines.append(f"{nstr(x, 17)},{nstr(r, 17)},{nstr(li, 17)}")
target = Path(__file__).resolve().parent.parent / "data" / "physics" / "skin_effect.csv"
target.write_text("\n".join(lines) + "\n", encoding="utf-8")

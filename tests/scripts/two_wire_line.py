"""Capacitance of two round wires by line charges inside them (no acosh), and impedance with scikit-rf:
writes ../data/physics/two_wire_line.csv.

The potential on the surface of wire 1 must be constant: line charges on a circle inside each wire, equal and opposite in the
two, are fitted by least squares. L = mu0 eps0 eps_r / C. Needs numpy and scikit-rf.
"""

from pathlib import Path

import numpy as np
import skrf
from skrf.media import DistributedCircuit

MU0, EPS0 = 4e-7 * np.pi, 8.8541878128e-12


def capacitance(d, spacing, er, charges=120, points=480, inside=0.5):
    a = d / 2
    t = 2 * np.pi * np.arange(charges) / charges
    s = 2 * np.pi * np.arange(points) / points
    # Charges sit about the point where the image charge would be, well inside the wire.
    centre = np.sqrt((spacing / 2) ** 2 - a**2)
    room = a - abs(spacing / 2 - centre)
    source = centre + inside * room * np.exp(1j * t)
    surface = spacing / 2 + a * np.exp(1j * s)
    own = -np.log(abs(surface[:, None] - source[None, :]))
    image = np.log(abs(surface[:, None] + np.conj(source)[None, :]))
    matrix = (own + image) / (2 * np.pi * EPS0 * er)
    q, *_ = np.linalg.lstsq(matrix, np.ones(points), rcond=None)
    # Wire 1 at 1 V, wire 2 at -1 V.
    return q.sum() / 2.0


CASES = [
    (1.02369e-3, 2.0e-3, 2.3),
    (1.02369e-3, 3.0e-3, 1.0),
    (1.29085e-3, 2.6e-3, 2.3),
    (1.62773e-3, 3.2e-3, 4.0),
    (2.05253e-3, 4.0e-3, 2.3),
    (2.05253e-3, 6.0e-3, 1.0),
    (2.58819e-3, 5.2e-3, 2.1),
    (2.0e-3, 6.0e-3, 1.0),
    (1.0e-3, 10.0e-3, 1.0),
    (0.5e-3, 100.0e-3, 1.0),
]
lines = ["d_m,spacing_m,er,l_external_h_per_m,c_f_per_m,z0_ohm,velocity_factor,delay_s_per_m"]
for d, spacing, er in CASES:
    c = capacitance(d, spacing, er)
    l = MU0 * EPS0 * er / c
    frequency = skrf.Frequency.from_f([1e6], unit="hz")
    medium = DistributedCircuit(frequency=frequency, R=0.0, L=l, C=c, G=0.0)
    z0 = medium.z0_characteristic[0].real
    beta = abs(medium.gamma[0].imag)
    speed = 2 * np.pi * 1e6 / beta
    lines.append(f"{d:.8g},{spacing:.8g},{er},{l:.12e},{c:.12e},{z0:.9f},{speed / 299792458.0:.12f},{1 / speed:.12e}")
target = Path(__file__).resolve().parent.parent / "data" / "physics" / "two_wire_line.csv"
target.write_text("\n".join(lines) + "\n", encoding="utf-8")

"""Gain of uniform lines into resistive loads with scikit-rf: writes ../data/physics/line_response.csv.

The line is a DistributedCircuit of evenly spread R, L and C (no leakage); its ABCD parameters give the voltage at the load
for a source of a given resistance. Needs scikit-rf and numpy.
"""

from pathlib import Path

import numpy as np
import skrf
from skrf.media import DistributedCircuit

# Loop resistance (ohm/m), loop inductance (H/m), capacitance (F/m): a thin pair, a 12 AWG pair, a flat pair of low inductance,
# a pair of wires far apart.
LINES = {
    "thin pair": (0.0420, 0.60e-6, 60e-12),
    "12 AWG pair": (0.0104, 0.62e-6, 50e-12),
    "flat pair": (0.0066, 0.10e-6, 1000e-12),
    "open pair": (0.0330, 1.30e-6, 9e-12),
}
FREQUENCIES = [20.0, 1000.0, 5000.0, 20000.0, 100000.0]

lines = ["line,r_loop_ohm_per_m,l_h_per_m,c_f_per_m,length_m,source_ohm,load_ohm,freq_hz,gain_db,phase_deg"]
for name, (r, l, c) in LINES.items():
    frequency = skrf.Frequency.from_f(FREQUENCIES, unit="hz")
    medium = DistributedCircuit(frequency=frequency, R=r, L=l, C=c, G=0.0, z0_port=50.0)
    for length in (3.0, 15.0, 60.0):
        abcd = medium.line(length, "m").a
        for source in (0.0, 0.05):
            for load in (4.0, 8.0):
                a, b = abcd[:, 0, 0], abcd[:, 0, 1]
                cc, d = abcd[:, 1, 0], abcd[:, 1, 1]
                gain = 1.0 / (a + b / load + source * (cc + d / load))
                for f, g in zip(FREQUENCIES, gain):
                    lines.append(
                        f"{name},{r},{l:.3g},{c:.3g},{length},{source},{load},{f},"
                        f"{20 * np.log10(abs(g)):.12f},{np.degrees(np.angle(g)):.10f}"
                    )
target = Path(__file__).resolve().parent.parent / "data" / "physics" / "line_response.csv"
target.write_text("\n".join(lines) + "\n", encoding="utf-8")

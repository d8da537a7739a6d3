"""A lighting circuit worked by hand: six equal lamps on one trunk, against a full matrix of nodal equations.

The lamps: 0.866 A in total at about 12.1 V, 10.5 W together, measured on a bench (common practice, no source).
"""

import numpy as np
import pytest

from model.wiring.circuit import Circuit, PointLoad, Run, Source, tree
from model.wiring.conductors import conductor
from model.wiring.flow import running

FEED_M, BETWEEN_M, TAP_M = 5.0, 0.8, 0.3
FEED_V, AMBIENT_C, INSULATION_C, BEARS_A = 12.1, 30.0, 105.0, 20.0  # 18 AWG in 33 CFR 183.425, table 5
# 18 AWG by ASTM B258: 0.127 mm x 92^((36 - 18) / 39); IEC 60028 copper, 2 % for the lay of the strands; both ways.
OHM_PER_M = 2 * 0.017241 * 1.02 / (np.pi / 4 * (0.127 * 92 ** (18 / 39)) ** 2)


def trunk(law):
    """Feed, five pieces of trunk, and a short tap to each lamp."""
    wire = conductor("AWG", "18")
    runs = [Run("panel", "t1", FEED_M, wire)]
    runs += [Run(f"t{n}", f"t{n + 1}", BETWEEN_M, wire) for n in range(1, 6)]
    runs += [Run(f"t{n}", f"lamp {n}", TAP_M, wire) for n in range(1, 7)]
    lamps = tuple(PointLoad(f"lamp {n}", f"lamp {n}", 10.5 / 6, FEED_V, law=law) for n in range(1, 7))
    feed = Source("panel", "panel", 12, FEED_V, 11.5, 14.6)
    return Circuit("c", "lights", feed, tuple(runs), lamps)


def nodal(law):
    """Volts of t1..t6, lamp 1..6 by dense linear algebra: G(T) V = i(V), repeated until nothing moves any more."""
    ends = [(0, 1)] + [(n, n + 1) for n in range(1, 6)] + [(n, n + 6) for n in range(1, 7)]
    metres = np.array([FEED_M] + [BETWEEN_M] * 5 + [TAP_M] * 6)
    volts, amps = np.full(13, FEED_V), np.zeros(12)
    for _ in range(200):
        warm_c = AMBIENT_C + (INSULATION_C - AMBIENT_C) * (amps / BEARS_A) ** 2
        siemens = 1 / (OHM_PER_M * metres * (1 + 0.00393 * (warm_c - 20)))
        matrix = np.zeros((13, 13))
        for (a, b), g in zip(ends, siemens, strict=True):
            matrix[[a, b], [a, b]] += g
            matrix[[a, b], [b, a]] -= g
        drawn = np.zeros(13)
        each_w = 10.5 / 6
        drawn[7:] = {
            "power": each_w / volts[7:],
            "current": each_w / FEED_V,
            "resistance": volts[7:] * each_w / FEED_V**2,
        }[law]
        known = -drawn[1:] - matrix[1:, 0] * FEED_V
        volts = np.concatenate([[FEED_V], np.linalg.solve(matrix[1:, 1:], known)])
        amps = np.array([(volts[a] - volts[b]) * g for (a, b), g in zip(ends, siemens, strict=True)])
    return volts, amps


@pytest.mark.parametrize("law", ["power", "current", "resistance"])
def test_every_lamp_by_a_matrix_of_nodal_equations(law):
    circuit = trunk(law)
    shape = tree(circuit)
    found = running(circuit, shape)
    volts, amps = nodal(law)
    names = ["panel", *(f"t{n}" for n in range(1, 7)), *(f"lamp {n}" for n in range(1, 7))]
    mine = [found.volts[shape.place[name]] for name in names]
    assert np.abs(np.array(mine) - volts).max() < 1e-9
    assert np.abs(np.array(found.current_a) - amps).max() < 1e-9


def test_by_hand_with_equal_currents():
    """18 AWG at 30 °C: 0.04441 ohm for each metre of route. Six times 0.1446 A: feed 0.193 V, then 5 + 4 + 3 + 2 + 1 shares."""
    found = running(trunk("current"), tree(trunk("current")))
    lamp_a = 10.5 / 6 / FEED_V
    ohm_per_m = OHM_PER_M * (1 + 0.00393 * 10)
    assert 6 * lamp_a == pytest.approx(0.866, abs=0.002)
    assert ohm_per_m == pytest.approx(0.04441, abs=5e-6)
    last_v = FEED_V - ohm_per_m * lamp_a * (6 * FEED_M + 15 * BETWEEN_M + TAP_M)
    assert found.volts[-1] == pytest.approx(last_v, abs=2e-4)  # the wire's own warmth: 0.1 K in the feed
    assert (FEED_V - found.volts[-1]) / 12 < 0.03

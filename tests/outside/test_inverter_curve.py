"""The shipped part-load curve, made again from the inverter list it was taken from."""

from pathlib import Path

import numpy as np
import pvlib
import pytest

from model.demand.inverter import CURVE_SOURCE, part_load_curve

FRACTIONS = (0.05, 0.10, 0.20, 0.30, 0.50, 0.75, 1.00)
LIST = Path(pvlib.__file__).parent / "data" / "sam-library-cec-inverters-2019-03-05.csv"


@pytest.fixture(scope="module")
def models():
    """Efficiency at FRACTIONS of rated power of each distinct battery-voltage model, by pvlib's Sandia model."""
    table = pvlib.pvsystem.retrieve_sam(path=str(LIST)).T.astype({"Vdco": float, "Paco": float}, errors="ignore")
    table = table[(table.Vdco >= 24) & (table.Vdco <= 65) & (table.Paco >= 1500)]
    curves = set()
    for _, model in table.iterrows():
        dc_w = np.linspace(model.Pso, model.Pdco * 1.001, 20_001)
        # the Sandia model at nominal voltage without its clipping, so that rated power itself is reached
        slope = model.Paco / (model.Pdco - model.Pso) - model.C0 * (model.Pdco - model.Pso)
        ac_w = slope * (dc_w - model.Pso) + model.C0 * (dc_w - model.Pso) ** 2
        below = dc_w < model.Pdco * 0.999
        assert ac_w[below] == pytest.approx(pvlib.inverter.sandia(model.Vdco, dc_w[below], model), abs=model.Pnt + 1e-6)
        curves.add(tuple(round(f * model.Paco / np.interp(f * model.Paco, ac_w, dc_w), 3) for f in FRACTIONS))
    return np.array(sorted(curves))


def test_models_are_those_that_the_source_names(models):
    assert len(models) == 20 and "20 models" in CURVE_SOURCE


@pytest.mark.parametrize(("curve", "of"), [("typical", np.median), ("good", np.max), ("poor", np.min)])
def test_curve_is_the_median_and_the_ends_of_the_list(models, curve, of):
    fractions, shipped = zip(*part_load_curve(curve), strict=True)
    assert fractions == FRACTIONS
    # the table has three digits, and the median of an even number of models may lie half a digit between two
    assert shipped == pytest.approx(of(models, axis=0), abs=0.00051)

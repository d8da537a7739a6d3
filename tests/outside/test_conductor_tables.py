"""Resistances and ampacities against printed tables; each names where it stands and how it was seen."""

from itertools import pairwise

import pytest

from model.quantities.gauge import gauge_area_mm2
from model.wiring.ampacity import INSULATION_CLASSES_C, allowable_a, ambient_factor, base_ampacity_a, bundle_factor
from model.wiring.conductors import (
    AWG_SIZES,
    CMIL_MM2,
    FAMILIES,
    LAY_UP,
    RESISTIVITY_20C_OHM_MM2_PER_M,
    conductor,
    conductors,
    no_thinner,
    resistance_ohm_per_m,
)

KILOFOOT_M = 304.8

# NEC chapter 9, table 8: direct-current resistance at 75 °C, uncoated and coated strands, ohm per 1000 ft. Seen in a reprint.
NEC_UNCOATED = {
    "18": 7.95, "16": 4.99, "14": 3.14, "12": 1.98, "10": 1.24, "8": 0.778, "6": 0.491, "4": 0.308, "3": 0.245,
    "2": 0.194, "1": 0.154, "1/0": 0.122, "2/0": 0.0967, "3/0": 0.0766, "4/0": 0.0608,
}  # fmt: skip
NEC_COATED = {
    "18": 8.45, "16": 5.29, "14": 3.26, "12": 2.05, "10": 1.29, "8": 0.809, "6": 0.510, "4": 0.321, "3": 0.254,
    "2": 0.201, "1": 0.160, "1/0": 0.127, "2/0": 0.101, "3/0": 0.0797, "4/0": 0.0626,
}  # fmt: skip


@pytest.mark.parametrize("size", AWG_SIZES)
def test_stranded_copper_of_the_code_within_half_a_per_cent(size):
    ohm = resistance_ohm_per_m(conductor("AWG", size).resistance_20c_ohm_per_m, 75) * KILOFOOT_M
    assert ohm == pytest.approx(NEC_UNCOATED[size], rel=0.005)


@pytest.mark.parametrize("size", AWG_SIZES)
def test_tinned_copper_of_the_code(size):
    """One factor for all: the coating takes more of a thin strand, 18 and 16 AWG lie 2.3 and 1.8 % above."""
    ohm = resistance_ohm_per_m(conductor("AWG", size, tinned=True).resistance_20c_ohm_per_m, 75) * KILOFOOT_M
    assert ohm == pytest.approx(NEC_COATED[size], rel=0.023 if size in ("18", "16") else 0.014)


def test_temperature_in_the_form_of_the_aviation_circular():
    """FAA AC 43.13-1B, 11-66: L2 = 254.5 L1 / (234.5 + T2), which is R2 / R1 turned over; 60 °C: 0.864 L1."""
    for hot_c in (20, 40, 60, 75, 105):
        assert resistance_ohm_per_m(1, 20) / resistance_ohm_per_m(1, hot_c) == pytest.approx(
            254.5 / (234.5 + hot_c), rel=1e-3
        )
    assert 1 / resistance_ohm_per_m(1, 60) == pytest.approx(0.864, abs=5e-4)


def test_temperature_in_the_form_of_the_code():
    """NEC chapter 9, table 8, note 2, from memory: R2 = R1 (1 + 0.00323 (T2 - 75))."""
    for hot_c in (30, 60, 90):
        ratio = resistance_ohm_per_m(1, hot_c) / resistance_ohm_per_m(1, 75)
        assert ratio == pytest.approx(1 + 0.00323 * (hot_c - 75), rel=1e-4)


# IEC 60228, class 5, ohm/km at 20 °C, plain and tinned, second-hand from two public tables that agree.
CLASS_5 = {
    "0.5": (39.0, 40.1), "0.75": (26.0, 26.7), "1": (19.5, 20.0), "1.5": (13.3, 13.7), "2.5": (7.98, 8.21), "4": (4.95, 5.09),
    "6": (3.30, 3.39), "10": (1.91, 1.95), "16": (1.21, 1.24), "25": (0.780, 0.795), "35": (0.554, 0.565), "50": (0.386, 0.393),
    "70": (0.272, 0.277), "95": (0.206, 0.210), "120": (0.161, 0.164),
}  # fmt: skip


@pytest.mark.parametrize(("size", "ohm_per_km"), CLASS_5.items())
def test_flexible_metric_copper_of_the_standard(size, ohm_per_km):
    plain, tinned = (conductor("mm2", size, tin).resistance_20c_ohm_per_m * 1000 for tin in (False, True))
    assert (plain, tinned) == pytest.approx(ohm_per_km, rel=1e-12)
    assert 1.10 < plain * float(size) / (RESISTIVITY_20C_OHM_MM2_PER_M * 1000) < 1.16  # never its nominal area


def test_vehicle_wire_has_less_copper_than_its_number_says():
    """SAE J1128 against AWG, from a cable maker's catalogue: 3 to 11 % less."""
    for one in conductors("SAE"):
        share = one.nominal_area_mm2 / conductor("AWG", one.size).nominal_area_mm2
        assert 0.89 < share < 0.975
        assert one.resistance_20c_ohm_per_m * share == pytest.approx(
            conductor("AWG", one.size).resistance_20c_ohm_per_m, rel=1e-9
        )
    assert conductor("SAE", "12").nominal_area_mm2 == pytest.approx(5833 * CMIL_MM2)


@pytest.mark.parametrize("family", FAMILIES)
def test_thicker_means_less_resistance_and_more_current(family):
    for thin, thick in pairwise(conductors(family)):
        assert thin.resistance_20c_ohm_per_m > thick.resistance_20c_ohm_per_m
        for insulation_c in INSULATION_CLASSES_C:
            assert base_ampacity_a(thin, insulation_c) <= base_ampacity_a(thick, insulation_c)


def test_conducting_area_of_a_stranded_gauge_is_its_own():
    for one in conductors("AWG"):
        assert one.conducting_area_mm2 == pytest.approx(one.nominal_area_mm2, rel=1e-12)
    assert conductor("AWG", "22").nominal_area_mm2 == gauge_area_mm2(22)
    assert conductor("AWG", "10").resistance_20c_ohm_per_m == pytest.approx(3.2770e-3 * LAY_UP, rel=1e-4)


def test_metric_stand_in_for_a_gauge_has_at_least_its_copper():
    """Worked from the tables above at 20 °C: 16 AWG has 13.44 ohm/km, 1.5 mm2 13.3; 12 AWG 5.31, 4 mm2 4.95, 2.5 mm2 7.98."""
    assert no_thinner(conductor("AWG", "16"), "mm2").name == "1.5 mm2"
    assert no_thinner(conductor("AWG", "12"), "mm2").name == "4 mm2"
    assert no_thinner(conductor("mm2", "2.5"), "AWG").name == "12 AWG"
    assert no_thinner(conductor("AWG", "12"), "SAE").name == "SAE 10"
    assert no_thinner(conductor("AWG", "4/0"), "SAE") is None
    assert all(no_thinner(one, "AWG") == one for one in conductors("AWG", tinned=True))


# 33 CFR 183.425, table 5, 60 to 200 °C, typed here a second time from the page (federal.elaws.us).
CFR_105C = {
    "18": 20, "16": 25, "14": 35, "12": 45, "10": 60, "8": 80, "6": 120, "4": 160, "3": 180, "2": 210, "1": 245, "1/0": 285,
    "2/0": 330, "3/0": 385, "4/0": 445,
}  # fmt: skip
CFR_ROWS = {
    "18": (10, 10, 15, 20, 20, 25, 25),
    "10": (40, 40, 50, 55, 60, 70, 70),
    "4/0": (300, 360, 385, 385, 445, 475, 510),
}
# ABYC E-11 style table at 105 °C: engine space, and 3, 4-6, 7-24 in a bundle with and without it. Seen (cableyutai.com.tw).
BUNDLED_105C = {
    "18": (17, 14, 11.9, 12, 10.2, 10, 8.5), "16": (21.3, 17.5, 14.9, 15, 12.8, 12.5, 10.6),
    "14": (29.8, 24.5, 20.8, 21, 17.9, 17.5, 14.9), "12": (38.3, 31.5, 26.8, 27, 23, 22.5, 19.1),
    "10": (51, 42, 35.7, 36, 30.6, 30, 25.5), "8": (68, 56, 47.6, 48, 40.8, 40, 34), "6": (102, 84, 71.4, 72, 61.2, 60, 51),
    "4": (136, 112, 95.2, 96, 81.6, 80, 68), "2": (178.5, 147, 125, 126, 107.1, 105, 89.3),
    "1": (208.3, 171.5, 145.8, 147, 125, 122.5, 104.1), "1/0": (242.3, 199.5, 169.6, 171, 145.4, 142.5, 121.1),
    "2/0": (280.5, 231, 196.4, 198, 168.3, 165, 140.3), "3/0": (327.3, 269.5, 229.1, 231, 196.4, 192.5, 163.6),
    "4/0": (378.3, 311.5, 264.8, 267, 227, 222.5, 189.1),
}  # fmt: skip


@pytest.mark.parametrize(("size", "amps"), CFR_105C.items())
def test_ampacity_of_the_federal_table(size, amps):
    assert base_ampacity_a(conductor("AWG", size), 105) == amps
    assert base_ampacity_a(conductor("AWG", size, tinned=True), 105) == amps


@pytest.mark.parametrize(("size", "row"), CFR_ROWS.items())
def test_columns_of_the_federal_table(size, row):
    assert tuple(base_ampacity_a(conductor("AWG", size), column) for column in INSULATION_CLASSES_C) == row


@pytest.mark.parametrize(("size", "cells"), BUNDLED_105C.items())
def test_printed_bundles_and_engine_space(size, cells):
    """The print takes 0.85 for the engine space, the formula gives 0.856: 0.75 % more; the print rounds to 0.1 A."""
    one, bare = conductor("AWG", size), CFR_105C[size]
    places = [(50, 2), (30, 3), (50, 3), (30, 6), (50, 6), (30, 24), (50, 24)]
    for (ambient_c, bundled), printed in zip(places, cells, strict=True):
        engine = 0.85 if ambient_c == 50 else 1.0
        assert bare * engine * bundle_factor(bundled) == pytest.approx(printed, abs=0.1)
        assert allowable_a(one, 105, ambient_c, bundled) == pytest.approx(printed, abs=0.0075 * printed + 0.1)


def test_bundle_factors_of_the_federal_table():
    """33 CFR 183.425, table 5, note 2: 3: 0.70, 4-6: 0.60, 7-24: 0.50, 25 and more: 0.40."""
    assert [bundle_factor(count) for count in (1, 2, 3, 4, 6, 7, 24, 25, 99)] == [
        1,
        1,
        0.7,
        0.6,
        0.6,
        0.5,
        0.5,
        0.4,
        0.4,
    ]


def test_engine_space_factors_of_the_federal_table():
    """33 CFR 183.425, table 5, note 1 (105 °C seen, the others from memory). 200 °C prints 1.00, which no heat balance gives."""
    printed = {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 105: 0.85, 125: 0.89}
    for insulation_c, factor in printed.items():
        assert ambient_factor(insulation_c, 50) == pytest.approx(factor, abs=0.0065)
    assert ambient_factor(200, 50) < 1.0


# NEC 310.15(B)(1), 30 °C basis, at the upper end of each band (up.codes): 60, 75 and 90 °C insulation.
NEC_AMBIENT = {
    10: (1.29, 1.20, 1.15), 15: (1.22, 1.15, 1.12), 20: (1.15, 1.11, 1.08), 25: (1.08, 1.05, 1.04), 30: (1.0, 1.0, 1.0),
    35: (0.91, 0.94, 0.96), 40: (0.82, 0.88, 0.91), 45: (0.71, 0.82, 0.87), 50: (0.58, 0.75, 0.82), 55: (0.41, 0.67, 0.76),
    60: (None, 0.58, 0.71), 65: (None, 0.47, 0.65), 70: (None, 0.33, 0.58), 75: (None, None, 0.50), 80: (None, None, 0.41),
    85: (None, None, 0.29),
}  # fmt: skip


@pytest.mark.parametrize(("ambient_c", "factors"), NEC_AMBIENT.items())
def test_ambient_factors_of_the_code(ambient_c, factors):
    for insulation_c, factor in zip((60, 75, 90), factors, strict=True):
        if factor is not None:
            assert ambient_factor(insulation_c, ambient_c) == pytest.approx(factor, abs=0.0055)


# ISO 10133:2012, annex A, column 105 °C: from memory, to be checked against the standard.
ISO_105C = {"0.75": 16, "1": 20, "1.5": 25, "2.5": 35, "4": 45, "6": 60, "10": 90, "16": 130, "25": 170, "35": 210, "50": 270,
            "70": 330, "95": 390, "120": 450}  # fmt: skip


@pytest.mark.parametrize(("size", "amps"), ISO_105C.items())
def test_metric_sizes_lie_near_the_boat_standard_and_hardly_above(size, amps):
    """Interpolated over the conducting area, the federal table gives 94 to 105 % of the boat standard's rounded figures."""
    assert 0.94 <= base_ampacity_a(conductor("mm2", size), 105) / amps <= 1.05


def test_insulation_between_two_columns_takes_the_lower_one():
    one = conductor("AWG", "12")
    assert base_ampacity_a(one, 85) == base_ampacity_a(one, 80) == 35
    assert base_ampacity_a(one, 59) == 0
    assert allowable_a(one, 105, 10, 2) == 45  # a cool place gives nothing extra
    assert allowable_a(one, 105, 105, 2) == allowable_a(one, 105, 140, 2) == 0
    assert base_ampacity_a(conductor("AWG", "22"), 105) < 20

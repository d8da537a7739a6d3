"""American wire gauge against printed tables. Both are from memory, to be checked against the standards."""

import pytest

from model.quantities import gauge_area_mm2, read

# ASTM B258, table of diameters in mils, rounded there to the digits given here.
DIAMETER_MIL = {
    "4/0": "460.0", "3/0": "409.6", "2/0": "364.8", "1/0": "324.9", "1": "289.3", "2": "257.6", "4": "204.3", "6": "162.0",
    "8": "128.5", "10": "101.9", "12": "80.8", "14": "64.1", "16": "50.8", "18": "40.3", "20": "32.0", "30": "10.0", "36": "5.0",
}  # fmt: skip
# Areas in circular mils of NEC chapter 9, table 8, which rounds to four figures.
CIRCULAR_MIL = {
    "4/0": 211600, "3/0": 167800, "2/0": 133100, "1/0": 105600, "1": 83690, "2": 66360, "3": 52620, "4": 41740,
    "6": 26240, "8": 16510, "10": 10380, "12": 6530, "14": 4110, "16": 2580, "18": 1620,
}  # fmt: skip
# ASTM B258, areas in mm2 as commonly quoted from it.
AREA_MM2 = {
    "4/0": "107.2", "2/0": "67.43", "6": "13.30", "10": "5.261", "12": "3.309", "14": "2.081", "16": "1.309", "18": "0.823",
}  # fmt: skip
MM2_OF_CIRCULAR_MIL = 5.067074790974977e-4  # pi / 4 x (0.0254 mm)^2, the definition


def printed_like(printed, value):
    """`value` rounded to as many places as were printed."""
    return f"{value:.{len(printed.split('.')[1])}f}"


@pytest.mark.parametrize(("size", "mils"), DIAMETER_MIL.items())
def test_diameters_of_the_standard_to_the_last_printed_digit(size, mils):
    diameter_mil = (read(f"{size} AWG", "section") / MM2_OF_CIRCULAR_MIL) ** 0.5
    assert printed_like(mils, diameter_mil) == mils


@pytest.mark.parametrize(("size", "circular_mils"), CIRCULAR_MIL.items())
def test_areas_of_the_code(size, circular_mils):
    # The code squares the standard's rounded diameters (18 AWG: 40.3 mil +- 0.05, which is 0.25 %) and rounds once more.
    assert read(f"{size} AWG", "section") == pytest.approx(circular_mils * MM2_OF_CIRCULAR_MIL, rel=0.003)


@pytest.mark.parametrize(("size", "area_mm2"), AREA_MM2.items())
def test_areas_of_the_standard_to_the_last_printed_digit(size, area_mm2):
    assert printed_like(area_mm2, read(f"{size} AWG", "section")) == area_mm2


def test_fixed_points_and_step_of_the_gauge():
    """ASTM B258 fixes 36 AWG at 0.005 inch and 4/0 at 0.46 inch, with 39 equal ratios between."""
    assert gauge_area_mm2(36) == pytest.approx(25 * MM2_OF_CIRCULAR_MIL, rel=1e-12)
    assert gauge_area_mm2(-3) == pytest.approx(211600 * MM2_OF_CIRCULAR_MIL, rel=1e-12)
    assert gauge_area_mm2(10) / gauge_area_mm2(11) == pytest.approx(92 ** (2 / 39), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("12awg", "12 AWG"), ("AWG 12", "12 AWG"), ("AWG12", "12 AWG"), ("#12 AWG", "12 AWG"), ("12 ga", "12 AWG"),
        ("12 gauge", "12 AWG"), ("0 AWG", "1/0 AWG"), ("00 AWG", "2/0 AWG"), ("000 AWG", "3/0 AWG"), ("0000 AWG", "4/0 AWG"),
    ],
)  # fmt: skip
def test_spellings_of_one_gauge(text, same):
    assert read(text, "section") == read(same, "section")

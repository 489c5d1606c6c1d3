"""Conductor spacing against the tables of both editions."""

import pytest

from boardgen.handbook import clearance

EDITION_B = """
15   0.05 0.1  0.1  0.05 0.13 0.13 0.13
30   0.05 0.1  0.1  0.05 0.13 0.25 0.13
50   0.1  0.6  0.6  0.13 0.13 0.4  0.13
100  0.1  0.6  1.5  0.13 0.13 0.5  0.13
150  0.2  0.6  3.2  0.4  0.4  0.8  0.4
170  0.2  1.25 3.2  0.4  0.4  0.8  0.4
250  0.2  1.25 6.4  0.4  0.4  0.8  0.4
300  0.2  1.25 12.5 0.4  0.4  0.8  0.8
500  0.25 2.5  12.5 0.8  0.8  1.5  0.8
"""

EDITION_C = """
15   0.05 0.10 0.10 0.075 0.075 0.13 0.13 0.13
30   0.05 0.10 0.10 0.075 0.075 0.13 0.25 0.25
50   0.10 0.64 0.64 0.30  0.13  0.13 0.40 0.80
100  0.10 0.64 1.50 0.30  0.13  0.13 0.50 1.00
"""


@pytest.mark.parametrize(
    ("edition", "columns", "table"),
    [
        ("B", ("B1", "B2", "B3", "B4", "A5", "A6", "A7"), EDITION_B),
        ("C", ("B1", "B2", "B3", "B4", "B5", "A6", "A7", "A8"), EDITION_C),
    ],
)
def test_whole_table(edition, columns, table):
    """IPC-2221 Table 6-1, every column at the lower and the upper end of every row."""
    lower_v = 0.0
    for line in table.split("\n")[1:-1]:
        upper_v, *spacings_mm = (float(figure) for figure in line.split())
        for voltage_v in (lower_v, upper_v):
            got = [clearance.spacing_m(voltage_v, edition, name) for name in columns]
            assert got == pytest.approx([mm / 1000 for mm in spacings_mm], rel=1e-9)
        lower_v = upper_v + 0.01


@pytest.mark.parametrize(("edition", "highest_v"), [("B", 500), ("C", 100)])
def test_end_of_the_table(edition, highest_v):
    """IPC-2221 Table 6-1: the rows known end at 500 V in edition B, at 100 V in edition C."""
    assert clearance.spacing_m(highest_v, edition, "B2") > 0
    with pytest.raises(ValueError, match="above the table"):
        clearance.spacing_m(highest_v + 0.5, edition, "B2")


@pytest.mark.parametrize(("voltage_v", "spacing_mm"), [(12, 0.1), (30, 0.1), (31, 0.6), (90, 0.6)])
def test_uncoated_outer_layer(voltage_v, spacing_mm):
    """IPC-2221B Table 6-1, column B2."""
    assert clearance.spacing_m(voltage_v, "B", "B2") == pytest.approx(spacing_mm / 1000, rel=1e-9)

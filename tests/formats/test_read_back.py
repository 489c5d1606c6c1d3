"""The readers of layers and drills refuse by name what they do not know, and read what stands there."""

import pytest

from boardgen.formats.read_gerber import LayerError, read_gerber
from boardgen.formats.xnc import DrillError, Hole, read_drill

HEAD = "%FSLAX46Y46*%\n%MOMM*%\nG01*\nG75*\n%ADD10C,0.6*%\n%ADD11R,1.5X2*%\n"
DRILLS = "M48\nMETRIC\nT1C0.800\n%\nG05\nT1\nX1.000000Y2.500000\nM30\n"


def test_flashes_draws_and_areas_are_read_with_their_attributes() -> None:
    """Numbers with six decimals of a millimetre are nanometres; a coordinate that is left out stays as it was."""
    layer = read_gerber(
        HEAD + "%TO.N,bus\\u002C a*%\n%TO.P,K1,3*%\nD11*\nX1000000Y2000000D03*\n%TD*%\n"
        "D10*\nX0Y0D02*\nX5000000D01*\nM02*\n"
    )
    (flash,) = layer.flashes
    assert (flash.at, flash.round, flash.width_nm, flash.height_nm) == (
        (1_000_000, 2_000_000),
        False,
        1_500_000,
        2_000_000,
    )
    assert dict(flash.attributes) == {"N": "bus, a", "P": "K1,3"}
    (draw,) = layer.draws
    assert (draw.start, draw.end, draw.width_nm, draw.attributes) == ((0, 0), (5_000_000, 0), 600_000, ())


def test_what_is_cleared_belongs_to_the_area_before() -> None:
    ring = "G36*\nX0Y0D02*\nX9Y0D01*\nX9Y9D01*\nX0Y0D01*\nG37*\n"
    (area,) = read_gerber(f"{HEAD}{ring}%LPC*%\n{ring}M02*\n").areas
    assert area.outline == area.clear[0] == ((0, 0), (9, 0), (9, 9))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("D10*\nX0Y0D03*\n", "ends before M02"),
        ("M02*\nD10*\n", "after the end"),
        ("G02*\nM02*\n", "G02 is not known"),
        ("%AMBOX*1,1,2,0,0*%\nM02*\n", "is not known"),
        ("%MOIN*%\nM02*\n", "MOIN"),
        ("X0Y0D03*\nM02*\n", "without a dark aperture"),
        ("D11*\nX0Y0D02*\nX1Y0D01*\nM02*\n", "drawn with a rectangle"),
        ("G36*\nX0Y0D02*\nX1Y0D01*\nG37*\nM02*\n", "fewer than three corners"),
        ("%LPC*%\nG36*\nX0Y0D02*\nX1Y0D01*\nX1Y1D01*\nX0Y0D01*\nG37*\nM02*\n", "not an area"),
    ],
)
def test_a_layer_that_cannot_be_read_whole_is_refused(text: str, said: str) -> None:
    with pytest.raises(LayerError, match=said):
        read_gerber(HEAD + text)


def test_holes_are_read_in_nanometres() -> None:
    assert read_drill(DRILLS).holes == (Hole((1_000_000, 2_500_000), 800_000, ""),)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("M48\n", "", "does not begin with M48"),
        ("M30\n", "", "ends before M30"),
        ("T1\n", "", "a hole before its tool"),
        ("METRIC", "INCH", "INCH is not known"),
        ("G05", "G00", "G00 is not known"),
    ],
)
def test_drills_that_cannot_be_read_whole_are_refused(old: str, new: str, said: str) -> None:
    with pytest.raises(DrillError, match=said):
        read_drill(DRILLS.replace(old, new, 1))

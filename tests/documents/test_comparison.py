"""Two designs in words and figures: what the second gains, gives up and costs, and what follows."""

from functools import cache

import pytest

from boardgen.appraisal import appraise
from boardgen.design import make_design
from boardgen.documents.comparison import answer, figure_rows
from boardgen.documents.verdicts import figure
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

TEXT = """[band]
lowest = "1.8 MHz"
highest = "10.15 MHz"
[[antenna]]
label = "a"
[[antenna]]
label = "b"
[switching]
relays_in_series = {relays}
idle = "open"
[targets]
isolation = "{isolation} dB"
"""


@cache
def design(relays, isolation=55, laid_out=False):
    """Two ways with one relay or two in series each."""
    asked = Request(read_text(TEXT.format(relays=relays, isolation=isolation)), CATALOGUE)
    return make_design(asked, predicted=True, laid_out=laid_out)


@pytest.mark.parametrize(
    ("isolation", "first", "second", "follows"),
    [
        (55, 1, 2, "no target needs it: it buys reserve alone"),
        (66, 1, 2, "worth it for isolation, which the first leaves short or open"),
        (66, 2, 1, "not worth it: isolation would no longer be met as before"),
        (150, 1, 2, "both fall short of isolation: it buys reserve alone"),
        (55, 1, 1, "no target needs it: it buys nothing that a target asks for"),
    ],
)
def test_whether_a_second_relay_is_worth_it(isolation, first, second, follows):
    gains, gives_up, costs, said = answer(
        *(appraise(design(relays, isolation, laid_out=True)) for relays in (first, second))
    )
    assert said == follows
    better, worse = (gains, gives_up) if second > first else (gives_up, gains)
    assert ("isolation" in better) == (first != second)
    assert "isolation" not in worse
    one, other = (appraise(design(relays, isolation, laid_out=True)) for relays in (first, second))
    relays = other.relays - one.relays
    assert relays == 2 * (second - first)
    assert (f"{other.parts - one.parts:+d} parts" in costs) == (first != second)


def test_isolation_that_a_layout_decides_is_no_gain_before_it():
    """From 69 dB to 163 by parts alone: what couples the strips of a laid board leaves 60 to 80 of it."""
    assert "isolation" not in answer(appraise(design(1)), appraise(design(2)))[0]
    assert "isolation" in answer(*(appraise(design(relays, laid_out=True)) for relays in (1, 2)))[0]


def test_hours_of_winding_by_hand():
    """Three cores of two windings, of so many turns at 20 s and 180 s for the ends of each."""
    made = design(1)
    turns = [c.chosen for c in made.choices.values if c.role in ("turns", "port turns")]
    assert len(turns) == 6
    assert appraise(made).winding_h == pytest.approx((20 * sum(turns) + 6 * 180) / 3600)


def test_hours_of_soldering_by_hand():
    """Each fitted part takes 30 s, each of its joints 12 s."""
    made = design(1)
    fitted = {c.ref for c in made.netlist.components if c.fitted}
    joints = [node for net in made.netlist.nets for node in net.nodes if node.ref in fitted]
    assert appraise(made).soldering_h == pytest.approx((30 * len(fitted) + 12 * len(joints)) / 3600)


def test_the_figures_are_those_that_a_build_tells():
    rows = {name: (one, other) for name, one, other in figure_rows(design(1, 30), design(2, 30))}
    for verdict in design(1, 30).prediction.verdicts:
        assert rows[verdict.judged.target.replace("_", " ")][0].startswith(figure(verdict))
    assert rows["size"] == ("not laid out", "not laid out")
    assert rows["parts"][0] == f"{appraise(design(1, 30)).parts}, 2 relays of them"
    assert rows["copper"][0].startswith("assumed")
    assert "without a price" in rows["the order"][0]

"""The strips of a board: each port with its settings worked out."""

import pytest

from boardgen.spec.load import read_text
from boardgen.spec.strip import strips
from boardgen.spec.values import Feed
from tests.spec import bad


def test_antennas_in_order_and_the_output_last():
    north, east, output = strips(read_text(bad.TWO))
    assert [(s.label, s.name, s.number, s.is_output) for s in (north, east, output)] == [
        ("north", "north", 1, False),
        ("east", "east", 2, False),
        ("output", "output", 0, True),
    ]
    assert (output.idle, output.fitted) == (None, True)


def test_names_are_plain_and_the_label_is_kept():
    text = bad.HEAD + '[[antenna]]\nlabel = "Öst"\n[[antenna]]\nlabel = "北"\n'
    assert [(s.label, s.name) for s in strips(read_text(text))[:2]] == [("Öst", "Ost"), ("北", "antenna 2")]


@pytest.mark.parametrize(
    ("choice", "antenna", "output"),
    [("all", True, True), ("antennas", True, False), ("output", False, True), ("none", False, False)],
)
@pytest.mark.parametrize("own", [None, True, False])
def test_a_ports_own_braid_breaker_wins(choice, antenna, output, own):
    line = "" if own is None else f"braid_breaker = {str(own).lower()}\n"
    text = f'{bad.GOOD}{line}[output]\n{line}[switching]\nbraid_breakers = "{choice}"\n'
    first, last = strips(read_text(text))
    assert first.braid_breaker is (antenna if own is None else own)
    assert last.braid_breaker is (output if own is None else own)


@pytest.mark.parametrize("default", [True, False])
@pytest.mark.parametrize("own", [None, True, False])
def test_an_antennas_own_surge_wins(default, own):
    line = "" if own is None else f"surge = {str(own).lower()}\n"
    first, last = strips(read_text(f"{bad.GOOD}{line}[protection]\nsurge = {str(default).lower()}\n"))
    assert first.surge is (default if own is None else own)
    assert last.surge is default


@pytest.mark.parametrize("default", ["terminated", "open"])
@pytest.mark.parametrize("own", [None, "terminated", "open"])
def test_an_antennas_own_idle_wins(default, own):
    line = "" if own is None else f'idle = "{own}"\n'
    first, _ = strips(read_text(f'{bad.GOOD}{line}[switching]\nidle = "{default}"\n'))
    assert first.idle == (own or default)


def test_impedance_feed_connector_and_fitting():
    text = (
        bad.TWO.replace("[[antenna]]", 'impedance = "50 ohm"\n[[antenna]]', 1)
        + 'impedance = "75 ohm"\nfeed = "13.8 V 100 mA"\nconnector = "F"\nfitted = false\n'
        + '[output]\nimpedance = "93 ohm"\n'
    )
    north, east, output = strips(read_text(text))
    assert (north.impedance, north.feed, north.connector, north.fitted) == (50.0, None, "pigtail", True)
    assert (east.impedance, east.feed, east.connector, east.fitted) == (75.0, Feed(13.8, 0.1), "F", False)
    assert (output.impedance, output.feed) == (93.0, None)

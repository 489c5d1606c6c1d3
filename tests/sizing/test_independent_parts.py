"""Capacitors, resistors, guards and copper against arithmetic of our own, over boards that differ in everything."""

import pytest

from boardgen.model.choice import Subject
from tests.sizing import own_arithmetic as own
from tests.sizing.sized_boards import sized, text, wide_variety

BOARDS = wide_variety()


@pytest.fixture(params=range(len(BOARDS)), scope="module")
def board(request):
    return sized(BOARDS[request.param])


def near(number):
    return pytest.approx(number, rel=1e-3)


def band(request):
    return request.spec.band.lowest, request.spec.band.highest


def test_capacitors(board):
    """The reactance of the smallest capacitor that the tolerance allows, and the voltage across it."""
    request, choices = board
    at_port = {s.label: s for s in request.strips}
    supply = request.spec.control.supply.high
    for value in choices.values:
        if value.role not in ("blocking capacitor", "rail capacitor", "bypass capacitor"):
            continue
        strip = at_port.get(value.subject.strip)
        ohm = {"rail capacitor": 1, "bypass capacitor": 10}.get(value.role) or strip.impedance / 20
        part = choices.parts[value.part]
        count = round(value.chosen / own.value(part, "capacitance"))
        assert count in (1, 2)
        assert value.required == near(own.farad_for(band(request)[0], ohm))
        assert value.achieved == near(count * own.lowest(part, "capacitance"))
        surge = value.role == "blocking capacitor" and strip.surge
        volts = choices.choice("capacitor voltage", value.subject)
        assert volts.required == near(max(250, 1.5 * supply) if surge else 1.5 * supply)
        assert volts.achieved == own.value(part, "rated voltage")


def test_resistors(board):
    request, choices = board
    for strip in (s for s in request.strips if s.idle == "terminated"):
        subject = Subject(strip.label, "selector", "termination")
        value = choices.choice("termination", subject)
        pieces = 2 if strip.braid_breaker and request.spec.switching.termination == "split" else 1
        assert value.achieved == near(pieces * own.value(choices.parts[value.part], "resistance"))
        assert value.required == (request.spec.band.impedance if strip.braid_breaker else strip.impedance)
        assert abs(value.achieved / value.required - 1) < 0.013
    bleeder = choices.choice("bleeder", Subject("", "board", "bleeder"))
    most = max(s.impedance for s in request.strips)
    assert bleeder.required == near(
        max(1000 * max(most, request.spec.band.impedance), 10 * request.spec.targets.common_mode.value)
    )
    assert bleeder.achieved == near(0.99 * own.value(choices.parts[bleeder.part], "resistance"))
    if request.spec.control.indicators:
        lamp = choices.fixed("lamp", Subject("", "selector", "indicator"))
        value = choices.choice("indicator", Subject("", "selector", "indicator resistor"))
        assert value.required == near((request.spec.control.supply.high - own.value(lamp, "forward voltage")) / 2e-3)


def test_guards(board):
    """Tubes, suppressors and capacitors are held against the highest supply."""
    request, choices = board
    supply = request.spec.control.supply.high
    fed = {s.label for s in request.strips if s.feed}
    for value in choices.values:
        part = choices.parts.get(value.part)
        if value.role in ("surge tube", "earth tube"):
            volts = supply if value.role == "earth tube" or value.subject.strip in fed else 1
            assert value.required == near(1.2 * volts)
            assert value.achieved == near(own.lowest(part, "spark-over voltage"))
        if value.role == "line suppressor":
            assert (value.required, value.achieved) == (supply, own.value(part, "stand-off voltage"))
        if value.role == "series diode":
            assert (value.required, value.achieved) == (near(1.5 * supply), own.value(part, "reverse voltage"))


def test_copper(board):
    request, choices = board
    most = max((c.required for c in choices.values if c.role == "surge tube"), default=0)
    for value in (c for c in choices.values if c.subject.stage == "copper"):
        if value.role == "clearance" and value.subject.slot == "control":
            assert value.required == (0.1e-3 if request.spec.control.supply.high <= 30 else 0.6e-3)
        if value.role == "clearance" and value.subject.slot == "surge":
            sparks = [own.highest(p, "spark-over voltage") for p in choices.parts.values() if p.kind == "gas tube"]
            assert most < max(sparks) <= 150
            assert value.required == near(2 * 0.6e-3)
        if value.role == "track width":
            assert value.achieved >= value.required
            ampere = float(value.basis.split(" mA")[0]) / 1e3 if value.subject.slot != "surge" else 5e3
            width = own.surge_track_m(ampere) if value.subject.slot == "surge" else max(own.track_m(ampere), 0.15e-3)
            assert value.required == pytest.approx(width, rel=5e-3)  # the current is told to three figures


def test_tracks_of_strong_feeds():
    """6 A of feeds: 10 K at 35 um takes millimetres."""
    ports = {n: {"feed": "12 V 2 A"} for n in (0, 1, 2)}
    _, choices = sized(text(antennas=3, ports=ports, control={"length": "1 m"}))
    value = choices.choice("track width", Subject("", "copper", "feed"))
    assert value.required == pytest.approx(own.track_m(6.0), rel=0.01)
    assert value.required > 3e-3

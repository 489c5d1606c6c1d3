"""Parts that [parts] pins, and parts kept from an earlier build."""

import pytest

from boardgen.circuit.build import build
from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.documents.json.document import json_bytes
from boardgen.documents.json.values import values_document
from boardgen.inputs.kept import kept_parts
from boardgen.model.choice import Subject
from boardgen.model.problem import InputError
from boardgen.spec.keys import PINNED_ROLES
from tests.sizing.sized_boards import ARRANGEMENTS, catalogue, sized, text, unsaid

FED = {0: {"feed": "12 V 60 mA"}, 1: {"feed": "12 V 60 mA"}}
BOARD = {"ports": FED, "output": {"feed": "12 V 60 mA"}, "control": {"indicators": True, "length": "40 m"}}
RELAY = Subject("", "selector", "relay")
KINDS = {
    "relay": "relay",
    "core": "core",
    "output_core": "core",
    "wire": "winding wire",
    "choke": "choke",
    "supply_choke": "choke",
    "bifilar_choke": "bifilar choke",
    "blocking_capacitor": "capacitor",
    "rail_capacitor": "capacitor",
    "surge_tube": "gas tube",
    "line_suppressor": "suppressor",
    "earth_tube": "gas tube",
    "flyback_diode": "diode",
    "series_diode": "diode",
    "terminal": "terminal",
    "fuse": "fuse",
    "indicator": "indicator",
    "connector": "connector",
}
PLACES = {
    "relay": ("relay voltage", RELAY),
    "core": ("turns", Subject("antenna 1", "braid breaker", "transformer")),
    "output_core": ("turns", Subject("output", "braid breaker", "transformer")),
    "wire": ("winding wire", Subject("antenna 1", "braid breaker", "transformer")),
    "choke": ("choke", Subject("antenna 1", "feed", "centre choke")),
    "supply_choke": ("choke", Subject("antenna 1", "feed", "braid choke")),
    "bifilar_choke": ("choke", Subject("antenna 1", "feed", "bifilar choke")),
    "blocking_capacitor": ("blocking capacitor", Subject("antenna 1", "feed", "blocking")),
    "rail_capacitor": ("rail capacitor", Subject("antenna 1", "feed", "rail")),
    "surge_tube": ("surge tube", Subject("antenna 1", "surge", "tube")),
    "line_suppressor": ("line suppressor", Subject("", "control entry", "suppressor")),
    "earth_tube": ("earth tube", Subject("", "earth", "tube")),
    "flyback_diode": ("flyback diode", Subject("", "selector", "flyback diode")),
    "series_diode": ("series diode", Subject("", "selector", "series diode")),
    "fuse": ("feed fuse", Subject("antenna 1", "control entry", "feed fuse")),
}
FIXTURES = {
    "terminal": ("terminal", Subject("", "control entry", "terminal")),
    "indicator": ("lamp", Subject("", "selector", "indicator")),
    "connector": ("port", Subject("antenna 1", "port", "coax")),
}


def arrangement(pin):
    return "common-mode choked" if pin == "bifilar_choke" else "local rail"


def pinned(pin, key):
    return sized(text(**BOARD, switching={"feed_arrangement": arrangement(pin)}, parts={pin: key}))


def test_every_pin_is_tried():
    assert set(KINDS) == set(PINNED_ROLES) == PLACES.keys() | FIXTURES.keys()


@pytest.mark.parametrize(
    "pin", [pytest.param(pin, marks=pytest.mark.slow) if kind == "core" else pin for pin, kind in KINDS.items()]
)
def test_pins_are_honoured(pin):
    """Every part of the kind: taken, or refused by name; what it cannot meet falls short; the circuit closes."""
    taken = 0
    for part in catalogue().of_kind(KINDS[pin]):
        try:
            request, choices = pinned(pin, part.key)
        except InputError as refused:
            text_of = str(refused)
            assert part.number in text_of or "figures needed" in text_of or "two electrodes" in text_of
            continue
        found = choices.fixed(*FIXTURES[pin]) if pin in FIXTURES else choices.part(*PLACES[pin])
        assert found.key == part.key
        assert unsaid(choices) == []
        # SKiDL joins one of each kind: it is told no more of the others than their pins
        netlist = freeze(request, compose(request, choices)) if taken else build(request, choices)[0]
        assert found in {component.part for component in netlist.components} or pin == "wire"
        taken += 1
    assert taken


@pytest.mark.parametrize("pin", KINDS)
def test_unknown_pins_are_refused(pin):
    """A key one letter off, also where this board has no use for the part."""
    right = catalogue().of_kind(KINDS[pin])[0].key
    with pytest.raises(InputError) as refused:
        sized(text(parts={pin: right + "x"}))
    [problem] = refused.value.problems
    assert problem.place.key == f"parts.{pin}"
    assert problem.found == f'"{right}x" is not in the catalogue'
    assert problem.hint == f'Did you mean "{right}"?'


@pytest.mark.parametrize("pin", KINDS)
def test_parts_of_another_kind_are_refused(pin):
    other = "core-73-202" if KINDS[pin] != "core" else "relay-tq2-12"
    with pytest.raises(InputError, match=f"is of the kind .*, not {KINDS[pin]}"):
        sized(text(parts={pin: other}))


def test_all_wrong_pins_are_told_at_once():
    with pytest.raises(InputError) as refused:
        sized(text(parts={"relay": "relay-tq212", "core": "core-73-203", "fuse": "diode-1n4148"}))
    assert {p.place.key for p in refused.value.problems} == {"parts.relay", "parts.core", "parts.fuse"}


@pytest.mark.parametrize(
    ("pin", "key", "rule"),
    [
        ("core", "core-61-2702", "V101"),
        ("choke", "choke-rh0912-22uh", "V110"),
        ("supply_choke", "choke-rh0912-22uh", "V110"),
        ("blocking_capacitor", "capacitor-c315-1nf", "V130"),
        ("rail_capacitor", "capacitor-c315-1nf", "V130"),
        ("line_suppressor", "suppressor-p6ke15ca", "V143"),
        ("relay", "relay-src-12", "V151"),
    ],
)
def test_a_pinned_part_that_cannot_meet_falls_short(pin, key, rule):
    _, choices = pinned(pin, key)
    assert any(p.id.startswith(rule) and p.severity == "shortfall" for p in choices.problems)
    assert choices.part(*PLACES[pin]).key == key


def test_two_unlike_chokes_in_series_are_told():
    parts = {"choke": "choke-rb1314-22uh", "supply_choke": "choke-rb1314-1500uh"}
    _, choices = sized(text("1.8 MHz", "30 MHz", **BOARD, switching={"feed_arrangement": "plain"}, parts=parts))
    assert any(p.id.startswith("V112") for p in choices.problems)


def as_kept(folder, request, choices):
    """What is kept of the values.json of an earlier build."""
    written = values_document(request.spec, choices, choices.problems)
    (folder / "values.json").write_bytes(json_bytes(written))
    return kept_parts(folder / "board.toml", "values.json")


@pytest.mark.parametrize("feed_arrangement", ARRANGEMENTS)
@pytest.mark.parametrize("surge", [True, False])
def test_a_board_kept_is_the_same_board(feed_arrangement, surge, tmp_path):
    specification = text(**BOARD, switching={"feed_arrangement": feed_arrangement}, protection={"surge": surge})
    request, first = sized(specification)
    _, again = sized(specification, as_kept(tmp_path, request, first))
    assert again.values == first.values


@pytest.mark.parametrize(
    ("pin", "key"),
    [
        ("relay", "relay-hfd2-12-m"),
        ("core", "core-73-6802"),
        ("output_core", "core-73-6802"),
        ("wire", "wire-awg30"),
        ("choke", "choke-rh0910-470uh"),
        ("supply_choke", "choke-rh0910-680uh"),
        ("blocking_capacitor", "capacitor-b32522-1uf"),
        ("rail_capacitor", "capacitor-c315-1uf"),
        ("surge_tube", "gas-tube-t83-a230x"),
        ("line_suppressor", "suppressor-p6ke33ca"),
        ("earth_tube", "gas-tube-cg90l"),
        ("flyback_diode", "diode-1n4007"),
        ("series_diode", "diode-1n4007"),
        ("fuse", "fuse-mf-r040"),
    ],
)
def test_kept_parts_stay_while_they_meet(pin, key):
    """Parts that would not be first choice."""
    specification = text(**BOARD)
    role, subject = PLACES[pin]
    _, free = sized(specification)
    request, kept = sized(specification, {pin: key})
    assert free.part(role, subject).key != key
    assert kept.part(role, subject).key == key
    assert kept.choice(role, subject).met
    assert request.spec.parts.pinned == {}


@pytest.mark.parametrize(
    ("pin", "key"),
    [
        ("relay", "relay-src-12"),
        ("core", "core-61-2702"),
        ("choke", "choke-rh0912-22uh"),
        ("blocking_capacitor", "capacitor-c315-100nf"),
        ("line_suppressor", "suppressor-p6ke15ca"),
        ("fuse", "no-longer-in-the-catalogue"),
    ],
)
def test_kept_parts_go_when_they_no_longer_meet(pin, key):
    _, choices = sized(text(**BOARD), {pin: key})
    assert choices.part(*PLACES[pin]).key != key
    assert choices.choice(*PLACES[pin]).met

"""Each rule finds the fault it is for, planted in a sound board."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from boardgen.circuit.compose import Placement, compose
from boardgen.circuit.freeze import freeze
from boardgen.circuit.rules import RULES, check
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.options import specification

OPTION = {"feed": "plain", "relays_in_series": 1, "indicators": True}
Plant = Callable[[Placement], Placement | None]


def found_after(plant: Plant, option: dict[str, object] | None = None) -> set[str]:
    request = Request(read_text(specification(option or OPTION)), CATALOGUE)
    placements = compose(request, size(request))
    assert [p for p in check(request, freeze(request, placements)) if p.severity == "shortfall"] == []
    changed = [after for before in placements if (after := plant(before)) is not None]
    assert changed != list(placements), "the plant changed nothing"
    return {p.id for p in check(request, freeze(request, changed))}


def rejoined(slot: str, **nets: str | None) -> Plant:
    """Joins pins of the parts in that slot elsewhere; None leaves the pin free."""

    def plant(placement: Placement) -> Placement:
        if placement.use.subject.place != slot:
            return placement
        changes = {role.replace("_", " "): net for role, net in nets.items()}
        pin_nets = {r: n for r, n in (dict(placement.use.pin_nets) | changes).items() if n is not None}
        return structs.replace(placement, use=structs.replace(placement.use, pin_nets=pin_nets))

    return plant


def in_first_strip(plant: Plant) -> Plant:
    """The same plant, but only in the first strip, so that it cannot undo itself in another."""
    return lambda placement: plant(placement) if placement.use.subject.strip == "way 1" else placement


def swapped(slot: str, one: str, other: str) -> Plant:
    def plant(placement: Placement) -> Placement:
        if placement.use.subject.place != slot:
            return placement
        pin_nets = dict(placement.use.pin_nets)
        pin_nets[one], pin_nets[other] = pin_nets[other], pin_nets[one]
        return structs.replace(placement, use=structs.replace(placement.use, pin_nets=pin_nets))

    return plant


def without(slot: str) -> Plant:
    return lambda placement: None if placement.use.subject.place == slot else placement


def other_part(slot: str, key: str) -> Plant:
    def plant(placement: Placement) -> Placement:
        if placement.use.subject.place != slot:
            return placement
        return structs.replace(placement, use=structs.replace(placement.use, part=CATALOGUE.part(key)))

    return plant


def forgotten(slot: str) -> Plant:
    """Gives the part a place that the symbol of its stage knows nothing of."""

    def plant(placement: Placement) -> Placement:
        use = placement.use
        at = structs.replace(use.subject, slot="forgotten")
        return (
            structs.replace(placement, use=structs.replace(use, subject=at)) if use.subject.place == slot else placement
        )

    return plant


def renamed(placement: Placement) -> Placement:
    return structs.replace(placement, ref="K1") if placement.ref == "K2" else placement


@pytest.mark.parametrize(
    ("rule", "plant", "option"),
    [
        ("C001 pins", rejoined("transformer", secondary_end=None), None),
        ("C001 pins", in_first_strip(rejoined("termination centre", **{"2": "lost"})), None),
        ("C002 names", renamed, None),
        ("C002 names", rejoined("bond", **{"2": 'a "quoted" net'}), None),
        ("C003 one driver a coil", rejoined("series diode", anode="select way 2"), None),
        ("C003 one driver a coil", without("series diode"), None),
        ("C003 one driver a coil", swapped("relay 1", "coil +", "coil -"), None),
        ("C004 polarity", swapped("flyback diode 1", "anode", "cathode"), None),
        ("C004 polarity", without("flyback diode 1"), None),
        ("C004 polarity", swapped("indicator", "anode", "cathode"), None),
        ("C005 surge parts", swapped("tube", "line A", "earth"), {"earth_to_0v": "open"}),
        ("C005 surge parts", rejoined("tube", line_B="way 1 centre"), {"earth_to_0v": "open"}),
        ("C006 ratings", other_part("blocking centre", "capacitor-c315-100nf"), None),
        ("C006 ratings", other_part("centre choke", "choke-78f-100uh"), None),
        ("C007 feed short", rejoined("transformer", primary_start="way 1 centre"), None),
        ("C008 floating", without("bond"), None),
        ("C008 floating", without("feed bleeder"), {"feed": "plain", "relays_in_series": 1}),
        ("C009 selected antenna", in_first_strip(swapped("transformer", "primary start", "primary end")), {}),
        ("C009 selected antenna", rejoined("relay 1", pole_A_normally_open=None), None),
        ("C010 idle antennas", swapped("relay 1", "pole A normally open", "pole A normally closed"), None),
        ("C012 drawn", forgotten("flyback diode 1"), None),
        ("C012 drawn", rejoined("transformer", secondary_end=None), None),
    ],
)
def test_a_planted_fault_is_found(rule: str, plant: Plant, option: dict[str, object] | None) -> None:
    assert rule in found_after(plant, option)


def test_a_feed_through_a_shorted_blocking_capacitor_is_found() -> None:
    def plant(placement: Placement) -> Placement:
        """A wire link in place of the capacitor."""
        if placement.use.subject.slot != "blocking centre":
            return placement
        link = CATALOGUE.of_kind("link")[0]
        return structs.replace(placement, use=structs.replace(placement.use, part=link))

    assert "C007 feed short" in found_after(plant)


@pytest.mark.parametrize(
    ("rule", "option"),
    [
        ("C020 braid joined to control cable", {"braid_breakers": "antennas"}),
        ("C021 not Ethernet", {"entry": "jack"}),
    ],
)
def test_what_is_allowed_but_should_be_known_is_said(rule: str, option: dict[str, object]) -> None:
    request = Request(read_text(specification(option)), CATALOGUE)
    found = check(request, freeze(request, compose(request, size(request))))
    assert {p.id: p.severity for p in found} == {rule: "warning"}


@pytest.mark.parametrize(("label", "said"), [("r1", True), ("R99", False)])
def test_an_antenna_that_is_called_as_a_part_is_told(label: str, said: bool) -> None:
    """The rule is "C022 label of two things"."""
    text = specification(OPTION).replace("way 1", label)
    request = Request(read_text(text), CATALOGUE)
    found = [p for p in check(request, freeze(request, compose(request, size(request)))) if p.id.startswith("C022")]
    assert [(p.severity, p.place.key) for p in found] == ([("warning", label)] if said else [])
    assert all("the resistor R1 " in p.found for p in found)


def test_every_rule_is_tested_here() -> None:
    source = Path(__file__).read_text(encoding="utf-8")
    assert [rule.id for rule in RULES if f'"{rule.id}"' not in source] == []

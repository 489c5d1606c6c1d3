"""Figures that are assumed stand here again: none changes unnoticed, and a law that shares one keeps its sum."""

from __future__ import annotations

import math

import numpy as np
import pytest

from boardgen.board import parasitics
from boardgen.kinds import KINDS, core, direct_current, relay, suppressor
from boardgen.model.transformer import PRIMARY, SECONDARY
from boardgen.rf import clamp_on, outside_filter, receive_path, response, strip_blocks, strong_signals, tolerance
from boardgen.rf_network.element import Element
from boardgen.sizing import assumed_copper, compensation, extras, feed_line, house_end, rules
from boardgen.sizing import relay as relay_sizing
from tests.rf.rf_boards import catalogue, design

ASSUMED = {
    ("bifilar choke", "interwinding capacitance"): (20e-12, 50e-12, 150e-12),
    ("bifilar choke", "leakage inductance"): (100e-9, 300e-9, 1e-6),
    ("bifilar choke", "quality"): (10.0, 30.0, 60.0),
    ("capacitor", "series inductance"): (4e-9, 6e-9, 10e-9),
    ("capacitor", "series resistance"): (10e-3, 50e-3, 200e-3),
    ("choke", "quality"): (15.0, 30.0, 60.0),
    ("diode", "capacitance"): (2e-12, 20e-12, 110e-12),
    ("gas tube", "capacitance"): (0.5e-12, 1e-12, 2e-12),
    ("indicator", "capacitance"): (10e-12, 30e-12, 100e-12),
    ("link", "inductance"): (2e-9, 4e-9, 6e-9),
    ("link", "resistance"): (0.5e-3, 1e-3, 2e-3),
    ("relay", "coil to contact capacitance"): (0.9e-12, 1e-12, 4e-12),
    ("relay", "coil to fixed contact capacitance"): (0.2e-12, 0.5e-12, 2e-12),
    ("relay", "contact inductance"): (5e-9, 8e-9, 12e-9),
    ("relay", "contact resistance"): (20e-3, 80e-3, 150e-3),
    ("relay", "pole to pole capacitance"): (0.2e-12, 1e-12, 2e-12),
    ("relay", "through capacitance"): (0.08e-12, 0.15e-12, 0.3e-12),
}
"""Least, typical and most, in SI units, by kind and figure; each kind says beside it why."""
COPPER = {
    "LONG_COPPER": (1e-12, 2.6e-12, 5e-12),
    "PORT_COPPER": (1e-12, 2e-12, 3.5e-12),
    "PORT_PAIR": (0.3e-12, 0.65e-12, 1.2e-12),
    "STRIP_COPPER": (0.4e-12, 1e-12, 1.8e-12),
    "STRIP_PAIR": (0.15e-12, 0.3e-12, 0.6e-12),
}
"""Farad of copper before it is laid out."""
SINGLE = [
    (direct_current, "JOINT_OHM", 1e-3),
    (clamp_on, "CAPACITANCE_F", (2e-12, 5e-12, 10e-12)),
    (clamp_on, "SCALE", (0.75, 1.0, 1.25)),
    (clamp_on, "MOST_TURNS", 8),
    (clamp_on, "HELPS", 1.1),
    (outside_filter, "LEAST_WANTED_DB", 20.0),
    (outside_filter, "PARTS_OFF", 0.05),
    (outside_filter, "QUALITY", 100.0),
    (strong_signals, "DIRECTIVITY_DB", 10.0),
    (strong_signals, "CONTACT_V", 250.0),
    (strong_signals, "SHARE_OF_SATURATION", 0.1),
    (strong_signals, "BELOW_INTERCEPT_DB", 10.0),
    (strong_signals, "BANDWIDTH_HZ", 500.0),
    (strong_signals, "HEAT_W", 0.1),
    (strong_signals, "THERMAL_DBM_PER_HZ", -174.0),
    (direct_current, "CHOKE_LEAST", 0.5),
    (suppressor, "SLOPE_OHM", 1.0),
    (suppressor, "LEAK_OHM", 10e6),
    (suppressor, "SAMPLE_LEAK_OHM", 1e9),
    (core, "LEAD_M", 0.04),
    (core, "SOLDERED_LEAD_M", 0.01),
    (core, "SIZES_SPREAD", 0.1),
    (core, "WIRE_SPREAD", 0.2),
    (core, "FEW_TURNS_OHM", 0.05),
    (parasitics, "TRACKS_APART_M", 1e-3),
    (parasitics, "LOOP_LOW", 0.8),
    (parasitics, "LOOP_HIGH", 1.25),
    (parasitics, "TRACKS_LOW", 0.75),
    (parasitics, "TRACKS_HIGH", 1.5),
    (response, "SPLITS", (0.5, 0.0, 1.0)),
    (response, "CREDIBLE_DB", {"isolation": 90.0, "idle common mode": 90.0, "mode conversion": 80.0}),
    (response, "SPLIT_MATTERS_DB", 0.5),
    (response, "LOSS_BOUND", 0.35),
    (response, "LOW_ANGLE_BOUND", 0.55),
    (response, "LOW_ANGLE", 0.25),
    (strip_blocks, "TYPICAL_OHM", 75.0),
    (tolerance, "LOW", 5.0),
    (tolerance, "MIDDLE", 50.0),
    (tolerance, "HIGH", 95.0),
    (receive_path, "MATTERS_DB", 0.5),
    (receive_path, "SAME_IMPEDANCE", 0.1),
    (receive_path, "AMPLIFIER_NOISE_DB", 4.0),
    (receive_path, "AMPLIFIER_GAIN_DB", 15.0),
    (extras, "PIGTAIL_M", {"back": 0.15, "lid": 0.25}),
    (house_end, "SHIELD_IMPEDANCE_OHM", 60.0),
    (house_end, "WAYS", 4),
    (extras, "PITCH_M", 20.32e-3),
    (extras, "MARGIN_M", 15.24e-3),
    (extras, "CORNERS", 4),
    (response, "ALMOST_NONE", 1e-6),
    (relay_sizing, "ASSUMED_HIGHEST_C", 70.0),
    (feed_line, "FLAT_A", 1e-9),
    (rules, "FEED_MOST_SHARE", 1.25),
    (compensation, "BOARD_END_V", 50.0),
    (compensation, "NEAR", (0.6, 1.6)),
    (compensation, "WEIGHT", 4),
    (compensation, "ENOUGH_DB", 26.0),
    (compensation, "WITHIN_DB", 0.25),
]
"""Assumed figures and design rules of this program: circular by nature, so that a change is a decision."""


def test_assumed_figures_of_every_kind() -> None:
    found = {(kind.name, name): (f.least, f.value, f.most) for kind in KINDS for name, f in kind.assumed.items()}
    assert found == ASSUMED


def test_assumed_copper() -> None:
    figures = {name: getattr(assumed_copper, name) for name in COPPER}
    assert {name: (f.least, f.value, f.most) for name, f in figures.items()} == COPPER


@pytest.mark.parametrize(("module", "name", "value"), SINGLE, ids=lambda value: value if type(value) is str else "")
def test_single_figures(module: object, name: str, value: object) -> None:
    assert getattr(module, name) == value


@pytest.mark.parametrize(("times", "matters"), [(1.058, False), (1.0605, True)])
def test_a_split_matters_that_moves_an_impedance_by_half_a_decibel(times: float, matters: bool) -> None:
    """Half a decibel is 1.0593 times (20 log10)."""
    ones = np.ones(3)
    assert response.Curve("common-mode impedance", "", "", ones, ones, times * ones).split_matters is matters


def test_a_contact_may_have_less_than_a_maker_allows() -> None:
    """Of makers' limits a new contact has a fraction: 20 mohm, or less where a sheet says less."""
    known = {part.key: part for part in catalogue().of_kind("relay") if "contact resistance" in part.figures}
    assert known
    for part in known.values():
        figure = part.figures["contact resistance"]
        assert relay.contact_ohm(part).low == min(figure.least, 20e-3)
    assert min(part.figures["contact resistance"].least for part in known.values()) > 20e-3


def elements(ref: str, law: str) -> list[Element]:
    return [e for e in design("common-mode choked").prediction.network.elements if (e.ref, e.law) == (ref, law)]


def value(element: Element, name: str) -> float:
    return next(p.value for p in element.parameters if p.name == name)


def test_two_pins_of_a_coil_share_its_capacitance_to_a_contact() -> None:
    netlist = design("common-mode choked").netlist
    first = netlist.of_kind("relay")[0]
    nets = netlist.pin_nets[first.ref]
    for contact, figure in (("common", "coil to contact"), ("normally open", "coil to fixed contact")):
        net = nets[f"pole A {contact}"]
        shares = [value(e, "capacitance") for e in elements(first.ref, "capacitance") if net in e.pairs[0]]
        # one share a pin of the coil; the moving contact has the other pole's beside them
        wanted = first.part.figures.get(f"{figure} capacitance") or next(
            kind.assumed[f"{figure} capacitance"] for kind in KINDS if kind.name == "relay"
        )
        assert wanted.value / 2 in shares


def test_starts_and_ends_share_the_capacitance_between_windings() -> None:
    made = design("common-mode choked")
    choke = made.netlist.of_kind("bifilar choke")[0]
    whole = choke.part.figures.get("interwinding capacitance")
    wanted = whole.value if whole else ASSUMED["bifilar choke", "interwinding capacitance"][1]
    assert [value(e, "capacitance") for e in elements(choke.ref, "capacitance")] == [wanted / 2] * 2
    transformer = made.netlist.of_kind("core")[0]
    (coupled,) = elements(transformer.ref, "transformer")
    turns = [value(coupled, f"{place} turns") for place in ("first", "second")]
    wound = made.choices.windings[transformer.subject]
    leakage = [value(coupled, f"{place} leakage") for place in ("first", "second")]
    assert leakage == pytest.approx([wound.leakage.value / 2 * (count / turns[1]) ** 2 for count in turns])
    pins = made.netlist.pin_nets[transformer.ref]
    for law, roles in (("starts", (PRIMARY[0], SECONDARY[0])), ("ends", (PRIMARY[1], SECONDARY[1]))):
        (between,) = elements(transformer.ref, law)
        assert value(between, "split") == 0.5
        assert set(between.pairs[0]) <= {pins[role] for role in roles} | {"0V"}


def test_a_winding_has_the_resistance_of_its_wire() -> None:
    """Annealed copper at 20 degC, 1.7241e-8 ohm m (IEC 60028), over the section of a round wire."""
    made = design("default")
    subject = made.netlist.of_kind("core")[0].subject
    bare_m = made.choices.part("winding wire", subject).figures["diameter"].value
    for slot in (core.PORT_WINDING, core.BOARD_WINDING):
        left_m = core.wire_length_m(made.choices, subject, slot) - 2 * (0.04 - 0.01)
        ohm = 1.7241e-8 * left_m / (math.pi * (bare_m / 2) ** 2)
        assert core.winding_ohm(made.choices, subject, slot) == pytest.approx(ohm, rel=1e-3)


def test_a_choke_may_resonate_a_quarter_off() -> None:
    made = design("plain feed")
    choke = made.netlist.of_kind("choke")[0]
    (element,) = [e for e in made.prediction.network.elements if (e.ref, e.law) == (choke.ref, "choke")]
    across = next(p for p in element.parameters if p.name == "parallel capacitance")
    assert (across.low, across.high) == pytest.approx((0.75 * across.value, 1.25 * across.value), abs=0)
    scale = core.PERMEABILITY_SCALE
    assert (scale.least, scale.value, scale.most) == (0.75, 1.0, 1.25)

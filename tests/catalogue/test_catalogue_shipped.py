"""The data that come with the program: complete, sourced, in the order of preference."""

import math
import re
import subprocess
import sys
from itertools import pairwise

import pytest

from boardgen.catalogue import load
from boardgen.catalogue.to_verify import checks_of
from boardgen.handbook import reactance, wire
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M
from boardgen.kinds import KIND
from boardgen.model.figure import STANDINGS

CATALOGUE = load()
PARTS = tuple(CATALOGUE.parts.values())


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.key)
def test_every_fact_has_standing_and_source(part):
    assert part.standing in STANDINGS
    assert all((part.source, part.maker, part.number, part.description))
    for name, figure in part.figures.items():
        assert figure.unit == KIND[part.kind].figures[name].unit
        assert figure.standing in STANDINGS
        assert figure.source
        assert math.isfinite(figure.value)
        assert figure.least <= figure.value <= figure.most


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.key)
def test_what_was_not_read_is_to_be_verified(part):
    unread = {"recalled", "assumed"} & {part.standing, *(f.standing for f in part.figures.values())}
    assert any(checks_of(part, CATALOGUE)) >= bool(unread and part.figures)


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.key)
def test_every_pin_has_a_pad_of_its_own(part):
    footprint = CATALOGUE.footprints.get(part.footprint)
    assert (footprint is None) == (part.footprint == "")
    assert len(set(part.pins.values())) == len(part.pins)
    if footprint and not footprint.gap:
        assert set(part.pins.values()) <= {pad.number for pad in footprint.pads}


def test_two_pin_parts_name_both_pins():
    for part in PARTS:
        if len(KIND[part.kind].pins) == 2:
            assert tuple(sorted(part.pins)) == tuple(sorted(KIND[part.kind].pins)), part.key


@pytest.mark.parametrize("kind", [kind for kind in KIND if kind != "hardware"])
def test_some_part_of_every_kind_can_be_sized(kind):
    needed = {name for name, known in KIND[kind].figures.items() if known.needed}
    assert any(needed <= part.figures.keys() for part in CATALOGUE.of_kind(kind))


def test_hardware_is_there():
    assert len(CATALOGUE.of_kind("hardware")) > 5


def test_complete_relays_come_from_three_makers():
    needed = {name for name, known in KIND["relay"].figures.items() if known.needed}
    complete = [
        part
        for part in CATALOGUE.of_kind("relay")
        if set(KIND["relay"].pins) == part.pins.keys() and needed <= part.figures.keys()
    ]
    assert len(complete) >= 4
    assert len({part.maker for part in complete}) >= 3


@pytest.mark.parametrize(
    ("kind", "first"),
    [
        ("relay", ["relay-tq2-12", "relay-hfd2-12-m", "relay-ea2-12", "relay-dtc4-12", "relay-im06", "relay-tx2-12"]),
        ("core", ["core-73-202", "core-73-2402", "core-73-102", "core-73-6802"]),
        ("choke", ["choke-rh0912-22uh", "choke-rh0912-33uh"]),
        ("winding wire", ["wire-awg26", "wire-awg28", "wire-awg30"]),
        ("suppressor", ["suppressor-p6ke18ca"]),
        # single parts and families stand in turns here: the file's order must survive that
        ("gas tube", ["gas-tube-t83-a90x", "gas-tube-2026-09", "gas-tube-t83-a230x", "gas-tube-2049-09"]),
        ("capacitor", ["capacitor-c315-3.3pf", "capacitor-c315-3.9pf", "capacitor-c315-4.7pf", "capacitor-c315-5.6pf"]),
    ],
)
def test_the_order_of_the_file_is_the_order_of_preference(kind, first):
    assert [part.key for part in CATALOGUE.of_kind(kind)][: len(first)] == first


def test_a_relay_without_gold_says_none():
    assert "gold" not in CATALOGUE.part("relay-src-12").attributes["contacts"]


def test_panasonic_tq2_figures():
    relay = CATALOGUE.part("relay-tq2-12")
    assert relay.figures["coil resistance"].least == pytest.approx(925.2)
    assert relay.figures["coil resistance"].most == pytest.approx(1130.8)
    assert relay.figures["must operate"].value == 9.0
    assert relay.figures["maximum coil voltage"].value == 18.0
    assert relay.figures["coil power"].value == pytest.approx(12**2 / 1028, rel=0.01)
    strays = {name for name, figure in relay.figures.items() if figure.standing != "read"}
    assert all("capacitance" in name for name in strays)
    assert all("as the relay of the same size" in relay.figures[n].source for n in strays if n == "through capacitance")


@pytest.mark.parametrize("relay", CATALOGUE.of_kind("relay"), ids=lambda part: part.key)
def test_coil_power_is_that_of_the_coil(relay):
    # the maker's power, resistance and voltage must agree: a slip in one of them shows here
    if {"coil power", "coil resistance"} <= relay.figures.keys():
        power = relay.figures["coil voltage"].value ** 2 / relay.figures["coil resistance"].value
        assert relay.figures["coil power"].value == pytest.approx(power, rel=0.04)


@pytest.mark.parametrize(
    ("key", "picofarads"),
    [("choke-rb1314-1000uh", 9.9), ("choke-rb1314-100uh", 8.7), ("choke-rh0912-1000uh", 7.0)],
)
def test_choke_capacitance_follows_from_its_self_resonance(key, picofarads):
    # 1 mH with 1.6 MHz is 9.9 pF, 100 uH with 5.4 MHz is 8.69 pF
    figures = CATALOGUE.part(key).figures
    found = reactance.resonant_capacitance(figures["inductance"].value, figures["self resonance"].value)
    assert found * 1e12 == pytest.approx(picofarads, rel=0.01)


def test_drum_chokes_have_a_drums_capacitance():
    # moulded axial chokes have 0.6 to 2.3 pF, drums 3 to 11: a slip of a decade falls outside
    for part in CATALOGUE.of_kind("choke"):
        if "self resonance" in part.figures and part.attributes.get("core") == "ferrite drum":
            inductance, resonance = part.figures["inductance"].value, part.figures["self resonance"].value
            assert 3 < reactance.resonant_capacitance(inductance, resonance) * 1e12 < 11, part.key


def test_a_series_of_chokes_runs_steadily():
    for series in ("rh0912", "rh0910", "rb1314"):
        parts = [p for p in CATALOGUE.of_kind("choke") if series in p.key]
        parts.sort(key=lambda p: p.figures["inductance"].value)
        assert len(parts) >= 11
        for small, large in pairwise(parts):
            assert large.figures["dc resistance"].value > small.figures["dc resistance"].value
            assert large.figures["self resonance"].value < small.figures["self resonance"].value
            assert large.figures["rated current"].value < small.figures["rated current"].value


@pytest.mark.parametrize(
    "part", [*CATALOGUE.of_kind("choke"), *CATALOGUE.of_kind("bifilar choke")], ids=lambda p: p.key
)
def test_value_and_inductance_agree(part):
    number, unit = part.value.split()
    assert part.figures["inductance"].value == pytest.approx(float(number) * {"uH": 1e-6, "mH": 1e-3}[unit])


@pytest.mark.parametrize("part", CATALOGUE.of_kind("capacitor"), ids=lambda p: p.key)
def test_number_code_and_capacitance_agree(part):
    small = re.search(r"3A(\d)R(\d)D", part.number)
    digits = re.search(r"C(\d\d)(\d)[DJK]|C\d(\d\d)(\d)K|K(\d\d)(\d)|3A(\d\d)(\d)J", part.number)
    first, power = small.groups() if small else [group for group in digits.groups() if group]
    # nine stands for a tenth, R for the point
    picofarad = int(first) + int(power) / 10 if small else int(first) * 10.0 ** (-1 if power == "9" else int(power))
    assert part.figures["capacitance"].value == pytest.approx(picofarad * 1e-12, rel=1e-9, abs=0)
    number, unit = part.value.split()
    scale = {"pF": 1e-12, "nF": 1e-9, "uF": 1e-6}[unit]
    assert part.figures["capacitance"].value == pytest.approx(float(number) * scale)


def test_capacitors_for_lines_with_surge_protection():
    rated = [p for p in CATALOGUE.of_kind("capacitor") if p.figures["rated voltage"].value >= 250]
    values = {round(p.figures["capacitance"].value * 1e12) for p in rated}
    assert values >= {1000, 2200, 4700, 10000, 22000, 47000, 100000, 220000, 470000, 1000000}


@pytest.mark.parametrize("core", CATALOGUE.of_kind("core"), ids=lambda part: part.key)
def test_core_figures_hang_together(core):
    path, factor = core.figures["path constant"], core.figures["inductance factor"]
    initial = CATALOGUE.permeability[core.attributes["material"]].initial
    computed = MAGNETIC_CONSTANT_H_PER_M * initial * path.least
    # published factors lie near the geometry's minimum or above; highest for the smallest core
    assert computed * 0.94 < factor.value < computed * 1.6
    assert 1.24 < path.value / path.least < 1.32
    assert core.figures["hole spacing"].value > core.figures["hole diameter"].value
    if not core.number.startswith("size"):
        assert core.number == f"28{core.attributes['material']}{int(core.attributes['size']):06d}"


def test_the_path_constant_of_the_common_core():
    core = CATALOGUE.part("core-73-202")
    assert core.figures["path constant"].least == pytest.approx(0.002037)
    published = [8500e-9 / 2500, 2800e-9 / 800, 380e-9 / 125]
    mean = sum(published) / 3 / MAGNETIC_CONSTANT_H_PER_M
    assert core.figures["path constant"].value == pytest.approx(mean, rel=1e-3)
    assert core.figures["inductance factor"].value == pytest.approx(8500e-9)
    assert core.figures["inductance factor"].least == pytest.approx(6400e-9, rel=1e-3)


def test_wire_diameters_follow_the_gauge():
    for part in CATALOGUE.of_kind("winding wire"):
        bare = part.figures["diameter"].value
        assert bare == pytest.approx(wire.awg_diameter_m(int(part.attributes["gauge"])), rel=1e-3)
        assert 1.08 < part.figures["insulated diameter"].value / bare < 1.14
        assert part.unit == "m"


def test_suppressor_clamps_above_its_stand_off_voltage():
    for part in CATALOGUE.of_kind("suppressor"):
        nominal = float(part.number.removeprefix("P6KE").removesuffix("CA"))
        assert part.figures["stand-off voltage"].value == pytest.approx(0.855 * nominal, rel=0.01)
        assert part.figures["clamping voltage"].value == pytest.approx(1.38 * nominal, rel=0.03)


def test_resettable_fuses_trip_at_twice_their_hold_current():
    for part in CATALOGUE.of_kind("fuse"):
        assert part.figures["trip current"].value == pytest.approx(2 * part.figures["hold current"].value)
        assert part.figures["resistance"].most > part.figures["resistance"].value > part.figures["resistance"].least


def test_loading_is_light():
    code = "import sys, boardgen.catalogue as c; c.load(); print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert {"pydantic", "numpy", "pandas", "tomlkit"}.isdisjoint(loaded)


def test_loading_twice_gives_equal_catalogues():
    assert load() == CATALOGUE
    assert list(load().parts) == list(CATALOGUE.parts)

"""What must not go up or down when one wish changes, and that nothing smaller on offer would do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from boardgen.model.choice import Subject
from tests.sizing.own_arithmetic import borne_v, choke_ohm, least_over, lowest, spaced, value
from tests.sizing.sized_boards import catalogue, sized, text, wide_variety

FED = {0: {"feed": "12 V 60 mA"}}
TRANSFORMER = Subject("antenna 1", "braid breaker", "transformer")
RELAY = Subject("", "selector", "relay")
CABLE = Subject("", "control entry", "cable")
FREQUENCY = st.integers(100, 6900)


def told(choices, role):
    return [(str(c.subject), c) for c in choices.values if c.role == role]


@settings(max_examples=25, deadline=None)
@given(FREQUENCY, FREQUENCY, st.sampled_from(["core-73-202", "core-75-2402", "core-77-202", "core-73-6802"]))
def test_a_lower_band_needs_no_less(one, other, core):
    """Turns on the same core, chokes, capacitors."""
    low, high = (sized(text(f"{khz} kHz", "7 MHz", ports=FED, parts={"core": core}))[1] for khz in sorted((one, other)))
    turns = [choices.choice("turns", TRANSFORMER) for choices in (low, high)]
    # interpolation between points of the table lets the need differ by a little
    assert turns[0].required >= turns[1].required * 0.99
    assert turns[0].chosen >= turns[1].chosen - (turns[0].required < turns[1].required)
    for role in ("choke", "blocking capacitor", "rail capacitor", "bypass capacitor"):
        for (place, lower), (same, higher) in zip(told(low, role), told(high, role), strict=True):
            assert place == same
            assert lower.required >= higher.required


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 2000), st.integers(1, 2000), st.sampled_from(["own", "shared", "with selection"]))
def test_a_longer_cable_leaves_no_more(one, other, lines):
    short, long = (
        sized(text(ports=FED, switching={"feed_lines": lines}, control={"length": f"{metres} m"}))[1]
        for metres in sorted((one, other))
    )
    for role in ("relay voltage", "feed voltage"):
        for (_, near), (_, far) in zip(told(short, role), told(long, role), strict=True):
            assert far.achieved <= near.achieved + 1e-12
    operates_v = [catalogue().part(c.choice("relay", RELAY).part).figures["must operate"].most for c in (long, short)]
    assert operates_v[0] <= operates_v[1]


@settings(max_examples=20, deadline=None)
@given(st.integers(25, 150), st.integers(25, 150))
def test_a_higher_impedance_needs_no_fewer_turns(one, other):
    low, high = (
        sized(text(impedance=ohm, parts={"core": "core-73-202"}))[1].choice("turns", TRANSFORMER)
        for ohm in sorted((one, other))
    )
    assert low.required <= high.required
    assert low.chosen <= high.chosen


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        ({"returns": 4}, {"returns": 1}),
        ({"cable": "22 AWG"}, {"cable": "26 AWG"}),
        ({"hottest": "20 degC"}, {"hottest": "60 degC"}),
        ({"supply": "14..15 V"}, {"supply": "13..15 V"}),
        ({"indicators": False}, {"indicators": True}),
    ],
)
def test_what_helps_a_long_cable(better, worse):
    """More copper, less heat, more volts and fewer lamps never shorten the longest cable."""
    common = {"conductors": 16, "length": "200 m"}
    reach, less = (
        sized(text(ports=FED, control=common | control))[1].choice("longest cable", CABLE).achieved
        for control in (better, worse)
    )
    assert reach > less


def test_two_relays_and_more_feeds_shorten_the_cable():
    reach = [
        sized(text(antennas=4, ports=ports, switching={"relays_in_series": relays}))[1].choice("longest cable", CABLE)
        for ports, relays in (({}, 1), ({}, 2), (FED, 2), (dict.fromkeys(range(4), FED[0]), 2))
    ]
    metres = [choice.achieved for choice in reach]
    assert metres == sorted(metres, reverse=True)
    assert len(set(metres)) == 4


def drawn(part):
    """Whether the pattern of holes is known: such parts come first."""
    footprint = catalogue().footprints.get(part.footprint)
    return footprint is not None and not footprint.gap


BOARDS = wide_variety(24)


@pytest.mark.parametrize("number", range(len(BOARDS)))
def test_no_smaller_capacitor_would_do(number):
    _, choices = sized(BOARDS[number])
    for role in ("blocking capacitor", "rail capacitor", "bypass capacitor"):
        for _, choice in told(choices, role):
            if not choice.met:
                continue
            volts = choices.choice("capacitor voltage", choice.subject).required
            taken = choices.parts[choice.part]
            count = round(choice.chosen / value(taken, "capacitance"))
            smaller = [
                p
                for p in catalogue().of_kind("capacitor")
                if drawn(p)
                and value(p, "rated voltage") >= volts
                and (value(p, "capacitance") < value(taken, "capacitance") or count == 2)
            ]
            assert all(lowest(p, "capacitance") < choice.required for p in smaller)
            assert drawn(taken)


@pytest.mark.parametrize("number", range(len(BOARDS)))
def test_no_choke_before_it_would_do(number):
    """In the order of the catalogue, those with a pattern first; where one does for every place, at any of them."""
    request, choices = sized(BOARDS[number])
    band, target = request.spec.band, request.spec.targets.common_mode
    kinds = {c.part for _, c in told(choices, "choke") if c.subject.slot != "bifilar choke"}
    for_braid = {c.subject.slot for _, c in told(choices, "choke")} >= {"supply choke", "braid choke"}
    top = min(band.highest, target.to_hz or band.highest)
    for _, choice in told(choices, "choke"):
        if choice.subject.slot != "centre choke" or not choice.met:
            continue
        own = next(s for s in request.strips if s.label == choice.subject.strip)
        strips = [s for s in request.strips if s.feed] if len(kinds) == 1 else [own]
        for part in sorted(catalogue().of_kind("choke"), key=lambda p: not drawn(p)):
            if part.key == choice.part:
                break
            if not {"self resonance", "rated current", "dc resistance"} <= part.figures.keys():
                continue
            at_lowest = least_over(choke_ohm, part, [band.lowest])
            over = least_over(choke_ohm, part, spaced(band.lowest, band.highest, 121))
            braid = len(kinds) == 1 and for_braid and top >= band.lowest
            assert (
                any(at_lowest < 15 * s.impedance or over < 8 * s.impedance for s in strips)
                or any(value(part, "rated current") < s.feed.current for s in strips)
                or (braid and least_over(choke_ohm, part, spaced(band.lowest, top, 121)) / 2 < target.value)
            )


@pytest.mark.parametrize("current", [20, 60, 90, 150, 190, 250, 300, 350])
def test_no_smaller_fuse_would_do(current):
    """At 50 degC a fuse holds 71 % of its hold current: 1.08 % less a kelvin above 23."""
    _, choices = sized(text(ports={0: {"feed": f"5 V {current} mA"}}))
    fuse = next(c for c in choices.values if c.role == "feed fuse")
    holds = sorted(value(p, "hold current") for p in catalogue().of_kind("fuse"))
    assert fuse.chosen == next(h for h in holds if h * (1 - 0.0108 * 27) >= current / 1e3)


@pytest.mark.parametrize("supply", ["13.8 V", "15 V", "18 V", "19 V", "21 V"])
def test_the_first_relay_that_bears_the_supply(supply):
    """Preference is the order of the catalogue among relays whose figures and pins are known."""
    request, choices = sized(text(control={"supply": supply, "length": "10 m"}))
    relay = choices.part("relay", RELAY)
    before = []
    for part in catalogue().of_kind("relay"):
        if part.key == relay.key:
            break
        known = {"coil resistance", "must operate", "maximum coil voltage"} <= part.figures.keys()
        if known and "pole A common" in part.pins and "gold" in part.attributes.get("contacts", ""):
            before.append(part)
    control = request.spec.control
    assert all(borne_v(part, control.hottest) < control.supply.high for part in before)
    assert borne_v(relay, control.hottest) >= control.supply.high

"""Coil and feed voltages against a solution by nodes of the whole network, in every selection state."""

import pytest

from boardgen.model.choice import Subject
from tests.sizing.own_arithmetic import borne_v, lowest, value
from tests.sizing.own_network import PER_K, Board, ohm_per_m, warm
from tests.sizing.sized_boards import sized, text, wide_variety

BOARDS = wide_variety()
RELAY = Subject("", "selector", "relay")
CABLE = Subject("", "control entry", "cable")
CLOSE = 1e-3


@pytest.fixture(params=range(len(BOARDS)), scope="module")
def solved(request):
    asked, choices = sized(BOARDS[request.param])
    return asked, choices, Board(asked, choices)


def test_coil_voltage(solved):
    """Hottest coil and cable, lowest supply: the worst of all states, and what operates the relay there."""
    asked, choices, board = solved
    told = choices.choice("relay voltage", RELAY)
    worst = min(board.coil_v(state, asked.spec.control.length) for state in board.states())
    assert told.achieved == pytest.approx(worst, rel=CLOSE, abs=1e-3)
    assert told.required == pytest.approx(board.needed_v, rel=CLOSE)


def test_highest_coil_voltage(solved):
    """On no cable the coldest coil sees the supply less the diode; what is told is the supply, and never less."""
    asked, choices, board = solved
    told = choices.choice("relay", RELAY)
    most = max(board.coil_v(state, 1e-6, cold=True) for state in board.states())
    assert told.achieved == pytest.approx(most + board.drop_v, rel=CLOSE)
    assert told.required == pytest.approx(borne_v(board.relay, asked.spec.control.hottest), rel=CLOSE)


def test_feed_voltages(solved):
    """The worst state, with the coils drawing the most they can; with their true current it is no worse."""
    asked, choices, board = solved
    length = asked.spec.control.length
    for strip in (s for s in asked.strips if s.feed and s.fitted):
        told = choices.choice("feed voltage", Subject(strip.label, "feed", "port"))
        states = [state for state in board.states() if strip in board.fed(state)]
        assumed = min(board.feed_v(state, length)[strip.label] for state in states)
        true = min(board.feed_v(state, length, true_coil=True)[strip.label] for state in states)
        assert told.achieved == pytest.approx(assumed, rel=CLOSE, abs=1e-3)
        assert told.achieved <= true + 1e-6
        assert told.required == pytest.approx(0.9 * strip.feed.voltage)


def works(asked, board, length):
    wanted = {s.label: 0.9 * s.feed.voltage for s in asked.strips if s.feed}
    return all(
        board.coil_v(state, length) >= board.needed_v
        and all(volts >= wanted[label] for label, volts in board.feed_v(state, length).items())
        for state in board.states()
    )


def test_longest_cable(solved):
    """Found by halving on our own network."""
    asked, choices, board = solved
    told = choices.choice("longest cable", CABLE).achieved
    low, high = 1e-6, 1e6
    if not works(asked, board, low):
        assert told == 0
        return
    for _ in range(36):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if works(asked, board, middle) else (low, middle)
    assert told == pytest.approx(low, rel=CLOSE)


def test_loop_resistance(solved):
    asked, choices, _ = solved
    control = asked.spec.control
    told = choices.choice("control loop resistance", RELAY)
    one = warm(ohm_per_m(control.cable.text), control.hottest) * control.length
    back = one if control.drive == "low side" else one / control.returns
    assert told.achieved == pytest.approx(one + back, rel=CLOSE)


def test_fuses(solved):
    """Hold current at the hottest; the cable's fuse against what flows with one antenna selected and all feeds on."""
    asked, choices, board = solved
    control, fed = asked.spec.control, [s for s in asked.strips if s.feed]
    shared = asked.spec.switching.feed_lines == "shared"
    holds = 1 - 0.0108 * (control.hottest - 23)
    for told in (c for c in choices.values if c.role == "feed fuse"):
        current = sum(s.feed.current for s in fed if shared or s.label == told.subject.strip)
        assert told.required == pytest.approx(current)
        assert told.achieved == pytest.approx(holds * value(choices.parts[told.part], "hold current"))
    on = max(sum(s.feed.current for s in board.fed(state)) for state in board.states())
    coil = control.supply.high / warm(lowest(board.relay, "coil resistance"), control.coldest)
    steady = coil * board.coils + 0.002 * control.indicators + on
    assert choices.choice("cable fuse", CABLE).required == pytest.approx(1.5 * steady)


def test_flyback_diode(solved):
    """The coldest coil at the highest supply; unguarded, the warning tells of a line reversed through a cold cable."""
    asked, choices, board = solved
    control = asked.spec.control
    told = choices.choice("flyback diode", Subject("", "selector", "flyback diode"))
    ampere = control.supply.high / warm(lowest(board.relay, "coil resistance"), control.coldest)
    if not asked.spec.protection.reverse:
        one = warm(ohm_per_m(control.cable.text), control.coldest) * control.length
        loop = one + (one if board.low_side else one / control.returns)
        reversed_a = (control.supply.high - 0.7) / loop
        rated = told.achieved
        assert rated >= min(reversed_a, 1)
        [said] = [p.found for p in choices.problems if p.id.startswith("V161")]
        assert said.startswith(f"a reversed line drives {reversed_a:.2g} A")
    assert told.required == pytest.approx(ampere, rel=CLOSE)
    assert told.achieved == value(choices.parts[told.part], "rated current")


def test_conductors(solved):
    """Select lines, returns, the coil supply of low-side drive, and feed lines of their own or one shared."""
    asked, choices, board = solved
    fed = [s for s in asked.strips if s.feed]
    own = sum(not board.follows(s) for s in fed)
    feeds = min(1, len(fed)) if asked.spec.switching.feed_lines == "shared" else own
    control = asked.spec.control
    told = choices.choice("conductors", CABLE)
    assert told.required == len(board.states()) + control.returns + board.low_side + feeds
    assert told.achieved == control.conductors * control.cables


def test_four_feeds_drop_a_relay_out():
    """By hand: 180 m of one 24 AWG return, four feeds of 60 mA, 13.8 V, no diode, 20 degC cable of 93.8 ohm/km."""
    ports = {n: {"feed": "12 V 60 mA"} for n in range(4)}
    control = {"cable": "93.8 ohm/km", "length": "180 m", "supply": "13.8 V", "hottest": "20 degC"}
    _, choices = sized(
        text(antennas=4, ports=ports, protection={"reverse": False}, control=control, parts={"relay": "relay-tq2-12"})
    )
    told = choices.choice("relay voltage", RELAY)
    conductor = 0.0938 * 180
    hot_c = 20 + 150 * 13.8**2 / 1028
    coil = 1028 * 0.9 * (1 + PER_K * (hot_c - 20))
    assert told.achieved == pytest.approx((13.8 - 0.24 * conductor) / (1 + 2 * conductor / coil), rel=CLOSE)
    assert told.achieved < 9.6 < told.required

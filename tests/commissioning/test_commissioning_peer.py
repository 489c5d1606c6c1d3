"""Every reading of the commissioning sheet against a general circuit simulator (ngspice) on the netlist's own text."""

import os
import shutil

import pytest

from boardgen.commissioning.diagnosis import kinds_of_strip
from boardgen.commissioning.faults import board_faults, strip_faults
from boardgen.commissioning.points import board_probes, strip_probes
from boardgen.commissioning.readings import resistances
from boardgen.commissioning.strip_readings import StripReadings
from tests.commissioning.bench_boards import BOARDS, bench, design
from tests.commissioning.netlist_deck import JOINT, OPEN_OHM, Board, Deck

pytestmark = pytest.mark.peer


@pytest.fixture
def deck(tmp_path):
    program = shutil.which("ngspice")
    if program is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("ngspice IS ABSENT: this comparison was NOT made")
    return Deck(program, tmp_path)


def alike(ours, theirs, share=1e-3):
    """Equal to that share and a hundredth of a milliohm, or open for both."""
    if min(ours, theirs) > OPEN_OHM:
        return True
    return abs(ours - theirs) <= share * abs(theirs) + 1e-5


@pytest.mark.parametrize("name", BOARDS)
def test_resistances_in_every_selection_state(name, deck):
    here, board = bench(name), Board(design(name))
    strips = [s for s in here.request.antennas if s.fitted]
    probes = [p for s in strips for p in strip_probes(here, s)] + list(board_probes(here))
    states = here.netlist.selections
    circuits = [deck.ohms(board.elements(state.operated), [(p.a, p.b) for p in probes]) for state in states]
    compared = 0
    for state, theirs in zip(states, deck.measured(circuits), strict=True):
        ours = resistances(here, probes, state)
        wrong = [(r.name, r.where, r.middle, t) for r, t in zip(ours, theirs, strict=True) if not alike(r.middle, t)]
        assert wrong == [], state
        compared += len(ours)
    assert compared >= 20


@pytest.mark.parametrize("name", BOARDS)
def test_supply_current_coil_and_port_volts(name, deck):
    here, board = bench(name), Board(design(name))
    strips = [strip for strip in here.request.strips if strip.fitted]
    every = [powered for strip in strips for powered in StripReadings(here, strip).powered]
    circuits = []
    for powered in every:
        elements = board.elements(frozenset())
        pairs = [(board.pins[r]["coil +"], board.pins[r]["coil -"]) for r in powered.relays]
        if powered.port:
            ends = (f"@{powered.port} centre", f"@{powered.port} braid")
            pairs.append(ends)
            if powered.load_ohm < 1e9:
                elements["load"] = (*ends, powered.load_ohm)
        circuits.append(deck.volts(elements, board.diodes(), (powered.plus, powered.minus, powered.volt), pairs))
    for powered, theirs in zip(every, deck.supplied(circuits), strict=True):
        ours = [r.middle for r in powered.expected(here)]
        for mine, other in zip(ours, theirs, strict=True):
            # pieces of straight line stand for the diode's curve: 2 %, and 50 mV or a tenth of a microampere
            assert abs(mine - other) <= 0.02 * abs(other) + (0.05 if other > 1 else 1e-7), (powered, ours, theirs)


def planted(board, fault, operated):  # noqa: C901 - one branch a kind of fault
    """The netlist with the fault, by what its name says in words."""
    elements, diodes = board.elements(operated), board.diodes()
    (ref,) = fault.refs
    pins, words = board.pins[ref], fault.name
    kind = board.parts[ref].kind
    own = [name for name in elements if name == ref or name.startswith((f"{ref} ", f"@{ref} "))]
    if words.startswith("dry joint"):
        role = {"dry joint": "1"}.get(words) or words.rsplit(" ", 1)[-1]
        a, b, _ = elements[f"@{ref} {role} joint"]
        elements[f"@{ref} {role} joint"] = (a, b, 1000.0)
    elif kind in ("diode", "indicator"):
        anode, cathode, forward = diodes.pop(ref)
        if words == "short":
            elements[ref] = (anode, cathode, JOINT)
        elif words == "turned round":
            diodes[ref] = (cathode, anode, forward)
    elif words.startswith("winding ") and kind == "bifilar choke":
        del elements[f"{ref} {words.split()[1]}"]
    elif "winding open" in words:
        del elements[f"{ref} {words.split(' open')[0]}"]
    elif words.startswith("windings touch"):
        elements["touch"] = (pins["primary start"], pins["secondary start"], JOINT)
    elif words == "ends of both windings exchanged":
        one, other = elements[f"{ref} port winding"], elements[f"{ref} board winding"]
        elements[f"{ref} port winding"] = (one[0], other[1], one[2])
        elements[f"{ref} board winding"] = (other[0], one[1], other[2])
    elif words.startswith("missing"):
        for name in own:
            del elements[name]
    elif words.startswith("coil open"):
        del elements[f"{ref} coil"]
    elif words.startswith("contact of pole"):
        pole = words.split()[3]
        elements = {n: e for n, e in elements.items() if not n.startswith(f"{ref} {pole} normally")}
        if "stuck" in words:
            elements["stuck"] = (pins[f"pole {pole} common"], pins[f"pole {pole} normally open"], JOINT)
        elif ref not in operated and f"pole {pole} normally closed" in pins:
            ends = (pins[f"pole {pole} common"], pins[f"pole {pole} normally closed"])
            elements["rest"] = (*ends, board.figure(ref, "contact resistance", 0.08))
    elif words.startswith("open"):
        elements.pop(ref, None)
    elif words.startswith("short from"):
        line = words.removeprefix("short from ").removesuffix(" to earth")
        elements["short"] = (pins[line], pins["earth"], JOINT)
    elif words == "short":
        elements[ref] = (*pins.values(), JOINT)
    elif words.startswith("solder bridge"):
        numbers = board.parts[ref].pins
        one, other = (next(role for role in pins if numbers[role] == n) for n in words.split()[4::2])
        elements["bridge"] = (pins[one], pins[other], JOINT)
    elif words == "turned round by half a turn":
        # ten pins in two rows: pin n stands in the hole of the pin five further on
        hole = {role: str((int(n) + 4) % 10 + 1) for role, n in board.parts[ref].pins.items()}
        net = {board.parts[ref].pins[role]: joined for role, joined in pins.items()}
        for name in own:
            elements.pop(name)
        for pole in "AB":
            ends = [net.get(hole[f"pole {pole} {end}"]) for end in ("common", "normally closed")]
            if all(ends):
                elements[f"{ref} {pole}"] = (*ends, board.figure(ref, "contact resistance", 0.08))
        assert not {hole["coil +"], hole["coil -"]} & set(net)
    elif not fault.mistake:
        raise AssertionError(words)
    return elements, diodes


@pytest.mark.slow
@pytest.mark.parametrize("name", ["shared rail", "cascaded", "low side", "no breakers"])
def test_symptoms_of_every_fault(name, deck):
    """Readings said to change do so by as much, and no other reading leaves its range."""
    here, board = bench(name), Board(design(name))
    tests = [StripReadings(here, strips[0]) for strips in kinds_of_strip(here)]
    of_board = ((tests[0], fault) for fault in board_faults(here))
    faults = [*((test, fault) for test in tests for fault in strip_faults(here, test.strip)), *of_board]
    found = [
        {(c.expected.where, c.expected.selection, c.expected.name): c.found for c in test.under(fault)}
        for test, fault in faults
    ]
    operated, compared = _held_at_supplies(board, deck, faults, found)
    assert len(faults) >= 25
    assert compared >= 2 * len(faults)
    every = [(n, state) for n, (test, _) in enumerate(faults) for state in test.states]
    circuits = []
    for n, state in every:
        test, fault = faults[n]
        elements, _ = planted(board, fault, state.operated & operated[n])
        circuits.append(deck.ohms(elements, [(p.a, p.b) for p in test.states[state]]))
    for (n, state), theirs in zip(every, deck.measured(circuits), strict=True):
        test, fault = faults[n]
        for reading, ohm in zip(test.ohms[state], theirs, strict=True):
            if reading.by_meter:
                continue
            said = found[n].get((reading.where, state, reading.name))
            if said is None:
                assert not reading.differs(ohm), (fault, reading, ohm)
            else:
                assert alike(said, ohm, 0.01), (fault, reading, ohm, said)


def _held_at_supplies(board, deck, faults, found):
    """Which relays pull in under each fault, and how many amperes and volts were compared."""
    every = [
        (n, powered, readings)
        for n, (test, _) in enumerate(faults)
        for powered, readings in zip(test.powered, test.volts, strict=True)
        if powered.relays
    ]
    circuits = []
    for n, powered, _ in every:
        elements, diodes = planted(board, faults[n][1], frozenset())
        pairs = [(board.pins[r]["coil +"], board.pins[r]["coil -"]) for r in powered.relays]
        circuits.append(deck.volts(elements, diodes, (powered.plus, powered.minus, powered.volt), pairs))
    # where no supply works the strip's relays, they are taken as operated
    operated = [frozenset(test.bench.netlist.select(test.strip.label).operated) for test, _ in faults]
    compared = 0
    for (n, powered, readings), answers in zip(every, deck.supplied(circuits), strict=True):
        compared += _held_against(faults[n][1], readings, answers, found[n])
        pulled = zip(powered.relays, answers[1:], strict=True)
        operated[n] = frozenset(r for r, volts in pulled if volts >= board.figure(r, "must operate"))
    return operated, compared


def _held_against(fault, readings, theirs, found):
    """Amperes and volts said to change do so by as much, and no other leaves its range; how many were compared."""
    for reading, other in zip(readings, theirs, strict=False):
        said = found.get((reading.where, reading.selection, reading.name))
        if said is None:
            assert not reading.differs(other), (fault, reading, other)
        else:
            near = {"A": 2e-4, "V": 0.1}[reading.unit]
            assert abs(said - other) <= 0.02 * abs(other) + near, (fault, reading, other, said)
    return min(len(readings), len(theirs))

"""Simulated measurements of a small board: sound ones are not accused, and a planted fault is named.

The boards are drawn and solved by the program itself, in an instrument of 50 ohm that is off by 0.05 dB and a degree:
what is held here is the way from waves to a verdict, not the prediction, which other tests hold against simulators.
"""

from functools import cache

import numpy as np
import pytest
from msgspec.structs import replace

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.radio import fault_draws
from boardgen.documents.measured import Measured, measured_csv, verdict
from boardgen.measuring.explain import excuses
from boardgen.measuring.overlay import overlay
from boardgen.measuring.suspects import every_fault, suspects
from boardgen.measuring.sweep import Sweep, referred, shortened
from boardgen.model.problem import InputError
from boardgen.rf.unknowns import drawn, unknowns
from tests.rf.rf_boards import design

NAME = "output only"
HERTZ = np.geomspace(1.8e6, 10.15e6, 15)


@cache
def board():
    made = design(NAME)
    return Bench(made.request, made.choices, made.netlist), made.prediction.network


def sweeps(seed, fault=None, ports=(("way 1", "output", "way 1"), ("way 2", "output", "way 1"))):
    """What an instrument shows of a board that is drawn, with that fault."""
    bench, network = board()
    random = np.random.default_rng(seed)
    base = drawn(unknowns(network), random.random((1, len(unknowns(network)))))
    found = []
    for one, other, selected in ports:
        operated = network.operated(selected)
        s = np.empty((HERTZ.size, 2, 2), dtype=complex)
        for n, hertz in enumerate(HERTZ.tolist()):
            own = {k: v[1:] for k, v in fault_draws(bench, network, [fault], hertz).items()} if fault else {}
            solution = network.solve(operated, network.state(operated, np.array([hertz]), {**base, **own}, 1))
            ends = [(port, "differential") for port in (one, other)]
            s[n] = [[solution.s(to, source)[0, 0] for source in ends] for to in ends]
        s = s * (1 + random.normal(size=s.shape) * 0.006 + 1j * random.normal(size=s.shape) * 0.0175)
        ohm = tuple(network.port_ohm[port] for port in (one, other))
        found.append(referred(Sweep("a.s2p", (one, other), selected, HERTZ, s, ohm), (50.0, 50.0)))
    return found


def judged(of):
    bench, network = board()
    curves = overlay(network, of, 1.8e6, 10.15e6)
    return curves, suspects(bench, network, curves)


@pytest.mark.slow
def test_sound_boards_are_not_accused():
    found = [judged(sweeps(seed))[1] for seed in range(12)]
    assert [one.is_sound for one in found] == [True] * 12
    assert max(one.distance for one in found) < 0.6 * 0.8


@pytest.mark.slow
@pytest.mark.parametrize(
    ("kind", "words"), [("core", "one turn too few"), ("relay", "does not make"), ("core", "reversed")]
)
def test_a_planted_fault_is_the_first_suspect(kind, words):
    bench, _ = board()
    refs = [c.ref for c in bench.netlist.components if c.part.kind == kind]
    planted = next(f for f in every_fault(bench) if set(f.refs) & set(refs) and words in f.name)
    _, found = judged(sweeps(40, planted))
    assert planted in found.suspects[0].faults
    assert found.suspects[0].explains
    assert not found.is_sound


@pytest.mark.slow
def test_a_fault_that_makes_tolerances_tell_more_is_the_first_suspect():
    """By the covariance of sound boards more than a hundred other faults lie nearer."""
    bench, _ = board()
    planted = next(f for f in every_fault(bench) if f.refs == ("K1",) and "bridge between pins 3 and 4" in f.name)
    ports = (("way 1", "output", "way 1"), ("way 2", "output", "way 1"), ("way 2", "output", "way 2"))
    assert planted in judged(sweeps(40, planted, ports))[1].suspects[0].faults


@pytest.mark.slow
def test_what_no_fault_explains_is_said():
    """Half of every wave is lost in the cable of the instrument."""
    curves, found = judged([replace(one, s=one.s * 0.5) for one in sweeps(1)])
    spec = design(NAME).request.spec
    said = " ".join(verdict(Measured(spec, curves, found)))
    assert "no single fault explains it" in said


@pytest.mark.slow
def test_a_line_that_was_left_in_is_found_and_taken_off():
    sound = [shortened(one, -0.6) for one in sweeps(2)]
    curves, found = judged(sound)
    assert not found.is_sound
    (line,) = [excuse for excuse in excuses(board()[1], curves) if "--line" in excuse.option]
    assert 45 <= float(line.words.split()[0]) <= 75
    assert judged([shortened(one, 0.6) for one in sound])[1].is_sound


@pytest.mark.slow
def test_an_instrument_of_another_impedance_is_found():
    wrong = [replace(one, reference_ohm=(75.0, 75.0)) for one in sweeps(3)]
    curves, found = judged(wrong)
    assert not found.is_sound
    assert any(excuse.option == '--reference "50 ohm"' for excuse in excuses(board()[1], curves))


def test_the_table_has_every_point_and_a_band_about_what_is_predicted():
    curves = overlay(board()[1], sweeps(4), 1.8e6, 10.15e6)
    lines = measured_csv(curves).decode().splitlines()
    assert len(lines) == 1 + sum(curve.frequency_hz.size for curve in curves)
    for curve in curves:
        assert np.all(curve.low_db <= curve.high_db)
        assert np.mean((curve.low_db <= curve.stated_db) & (curve.stated_db <= curve.high_db)) > 0.8


def test_sweeps_that_cover_nothing_of_the_band_are_refused():
    with pytest.raises(InputError, match="of the band"):
        overlay(board()[1], [replace(one, frequency_hz=one.frequency_hz * 100) for one in sweeps(4)], 1.8e6, 10.15e6)

"""The sweeps that tell nearly everything: what faults they miss, and what they should look like."""

from functools import cache

import numpy as np
import pytest

from boardgen.commissioning.bench import Bench
from boardgen.documents.measured import Measured, verdict
from boardgen.measuring.overlay import FLOOR, RELATIVE, Yardstick, overlay
from boardgen.measuring.plan import expected, plan, possible, unswept
from boardgen.measuring.suspects import SOUND, Found, every_fault, planted
from boardgen.measuring.sweep import connected, shortened
from boardgen.rf.network import network
from boardgen.rf.quantities import OUTPUT
from tests.measuring.test_measured import HERTZ, board, sweeps
from tests.rf.rf_boards import design

PLAIN = 3.0
"""A fault shows where a wave moves by so many times what the instrument may be off."""


@cache
def shown():
    """By what a sweep is, the faults that it shows at one of three frequencies."""
    bench, solved = board()
    faults, points = every_fault(bench), HERTZ[[0, HERTZ.size // 2, -1]]
    found = {}
    for selected, to, source in possible(solved):
        operated = solved.operated(selected)
        sound = solved.solve(operated, solved.state(operated, points)).s((to, "differential"), (source, "differential"))
        moved = np.abs(planted(bench, solved, faults, selected, to, source, points) - sound[0])
        off = PLAIN * (FLOOR + RELATIVE * np.abs(sound[0]))
        found[selected, frozenset((to, source))] = {n for n, over in enumerate((moved > off).any(axis=1)) if over}
    return found


@pytest.mark.slow
def test_no_fault_that_any_sweep_shows_is_missed_by_those_of_the_plan():
    _, solved = board()
    told = [shown().get((sweep.selected, frozenset(entry)), set()) for sweep in plan(solved) for entry in sweep.entries]
    anything = set().union(*shown().values())
    assert len(anything) > 20
    assert len(anything - set().union(*told)) <= 0.02 * len(anything)


def test_a_four_way_has_eight_and_their_titles_are_read_as_the_very_sweeps():
    """Through while selected, then idle beside the next one; what is through at rest is swept with nothing."""
    solved = design("default").prediction.network
    for resting in (None, solved.antennas[0]):
        found = plan(solved, resting)
        assert len(found) == 2 * len(solved.antennas)
        for sweep in found:
            ports, selected = connected(sweep.title, solved, "a.s2p")
            assert (ports, selected) == ((sweep.antenna, OUTPUT), sweep.selected)
        assert {sweep.antenna for sweep in found if sweep.idle} == set(solved.antennas)
        assert all(sweep.selected != sweep.antenna for sweep in found if sweep.idle)


def test_what_is_expected_is_the_band_that_a_sweep_is_held_against():
    _, solved = board()
    curves = overlay(solved, sweeps(4), 1.8e6, 10.15e6)
    found = {(e.sweep.title, e.to, e.source): e for e in expected(solved, plan(solved), curves[0].frequency_hz)}
    for curve in curves:
        one = found.get((curve.sweep.title, curve.to, curve.source))
        if one is not None:
            # the band of a sweep has what the instrument may be off beside
            assert one.low_db == pytest.approx(curve.low_db)
            assert one.high_db == pytest.approx(curve.high_db)
            assert one.stated_db == pytest.approx(curve.stated_db)
    assert unswept(solved, curves) == tuple(s for s in plan(solved) if s.title not in {c.sweep.title for c in curves})
    said = " ".join(verdict(Measured(design("default").spec, curves, Found(0.1), unswept=unswept(solved, curves))))
    assert "not swept yet: way 2 to output with way 2" in said


def test_a_board_with_a_fault_is_as_passive_as_a_sound_one():
    """Windings that touch are a short of a milliohm: of a smaller one the digits of all else are lost."""
    made = design("default")
    bench, bare = Bench(made.request, made.choices, made.netlist), network(made.request, made.choices, made.netlist)
    faults = every_fault(bench)
    for to, source in ((OUTPUT, "way 1"), ("way 1", "way 1"), (OUTPUT, OUTPUT)):
        assert np.abs(planted(bench, bare, faults, "way 1", to, source, HERTZ[::3])).max() <= 1 + 1e-6


def test_an_instrument_is_off_by_a_share_of_what_it_sees_at_its_own_impedance():
    """Of an idle antenna, which reflects by itself: by way of its impedance, which has no reference."""
    seen = next(c for c in overlay(board()[1], sweeps(4), 1.8e6, 10.15e6) if c.to == c.source == "way 2")
    assert (seen.sweep.selected, seen.sweep.reference_ohm) == ("way 1", (50.0, 50.0))
    impedance = 75 * (1 + seen.stated) / (1 - seen.stated)
    assert seen.instrument == pytest.approx(FLOOR + RELATIVE * np.abs((impedance - 50) / (impedance + 50)), rel=0.01)
    assert np.abs(seen.instrument - FLOOR - RELATIVE * np.abs(seen.stated)).max() > 1e-5


def test_a_pigtail_that_nobody_took_off_makes_no_board_suspect():
    _, solved = board()
    bare, behind = (
        overlay(solved, [shortened(one, -metres) for one in sweeps(5)], 1.8e6, 10.15e6) for metres in (0.0, 0.045)
    )
    away = [
        float(
            Yardstick(curves, [c.built for c in curves], [c.stated for c in curves]).distances(
                [c.stated for c in curves]
            )
        )
        for curves in (bare, behind)
    ]
    assert away[1] < SOUND
    assert away[1] < away[0] + 0.1


def test_an_open_coil_leaves_the_antenna_as_if_nothing_were_selected():
    bench, solved = board()
    (coil,) = (f for f in every_fault(bench) if f.refs == ("K1",) and f.at_rest)
    for selected, at_rest in (("way 1", None), ("way 2", "way 2")):
        operated = solved.operated(at_rest)
        sound = solved.solve(operated, solved.state(operated, HERTZ))
        for to, source in ((OUTPUT, "way 1"), ("way 1", "way 1")):
            waves = planted(bench, solved, [coil], selected, to, source, HERTZ)[0]
            assert waves == pytest.approx(sound.s((to, "differential"), (source, "differential"))[0], abs=1e-9)

"""What a layout adds to a prediction: against the dense solver, by hand, and in words."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from boardgen.documents.response import COPPER_ASSUMED, COPPER_LAID, edge_rows, notes, target_notes
from boardgen.handbook.coplanar import pair_crowding, strip_resistance_ratio
from boardgen.model.parasitics import Parasitics
from boardgen.model.selection import AT_REST
from boardgen.rf.network import COUPLINGS, network
from boardgen.rf.prediction import Prediction
from boardgen.rf.unknowns import unknowns
from boardgen.rf_network.element import COPPER
from tests.rf.dense import dense_s
from tests.rf.made_copper import farads, loop, with_layout
from tests.rf.rf_boards import BOARDS, band, design, states


@pytest.mark.parametrize("name", BOARDS)
def test_couplings_are_dense(name):
    """The series against the full matrix, in which each coupling is one capacitor: within 0.02 dB down to -120 dB."""
    solved, frequencies = with_layout(name), band(name, 11)
    blocks = solved.blocks(frequencies)
    for selection in states(name):
        ours = solved.solve(selection.operated, blocks).matrix()[0]
        oracle = dense_s(solved, selection.operated, frequencies)
        there = np.abs(oracle) > 1e-6
        assert np.abs(ours[there] / oracle[there] - 1).max() < 2e-3
        assert np.abs(ours - oracle)[~there].max(initial=0) < 1e-8


def test_one_strip_drawn_is_the_whole_board_drawn():
    """A value a tenth up in each strip in turn: what is worked out near it alone equals everything worked out anew."""
    solved, frequencies = with_layout("default"), band("default", 5)
    first = solved.operated(solved.antennas[0])
    nominal = solved.state(first, frequencies)
    for owner in solved.owners:
        at = solved.strips[solved.own(owner, first)].elements[0]
        draws = {(at, p.name): np.array([p.value, 1.1 * p.value]) for p in solved.elements[at].parameters}
        alone = solved.with_draws(nominal, owner, first, frequencies, draws, 2)
        anew = solved.state(first, frequencies, draws, 2)
        one, all_of_it = (solved.solve(first, blocks) for blocks in (alone, anew))
        for source in one.terminals:
            ours, theirs = one.s(("output", "differential"), source), all_of_it.s(("output", "differential"), source)
            assert np.abs(ours / theirs - 1).max() < 1e-10, (owner, source)


def test_the_series_converges_with_weak_coupling():
    """A tenth of the coupling is off by far less than a tenth: terms left out are of high order."""
    errors = []
    for mutual in (0.2e-12, 0.02e-12):
        solved, frequencies = with_layout("default", mutual=mutual), band("default", 5)
        first = solved.operated(solved.antennas[0])
        ours = solved.solve(first, solved.blocks(frequencies)).matrix()[0]
        errors.append(np.abs(ours - dense_s(solved, first, frequencies)).max())
    assert errors[1] < 1e-3 * errors[0]


def test_reciprocal_and_passive():
    solved, frequencies = with_layout("default"), band("default", 21)
    solution = solved.solve(solved.operated(solved.antennas[0]), solved.blocks(frequencies))
    s = solution.matrix()[0]
    both = [[solution.s(to, source)[0] for source in solution.terminals] for to in solution.terminals]
    assert np.abs(np.array(both) - np.swapaxes(both, 0, 1)).max() < 1e-9
    assert np.linalg.svd(s, compute_uv=False).max() <= 1 + 1e-6


def test_nothing_added_is_nothing_changed():
    board, frequencies = design("default"), band("default", 5)
    bare = network(board.request, board.choices, board.netlist)
    same = network(board.request, board.choices, board.netlist, parasitics=Parasitics((), {}))
    one, two = (n.solve(AT_REST, n.blocks(frequencies)).matrix() for n in (bare, same))
    assert np.array_equal(one, two)


def test_coupling_by_hand():
    """A capacitor from an idle port's centre to the selected one's, all braids on 0V.

    Each of the two nodes sees 37.5 ohm: source and termination there, antenna and output here. S = 2 Z Z wC/R.
    """
    board = design("no breakers")
    idle, chosen = board.netlist.ports[1], board.netlist.ports[0]
    coupling = 0.3e-12
    grounds = tuple((n, "0V", farads(1e-6)) for p in board.netlist.ports for n in (p.braid,))
    without = network(board.request, board.choices, board.netlist, parasitics=Parasitics(grounds, {}))
    parasitics = Parasitics((*grounds, (idle.centre, chosen.centre, farads(coupling))), {})
    solved = network(board.request, board.choices, board.netlist, parasitics=parasitics)
    points = np.array([3e6])
    to, source = ("output", "differential"), (idle.strip, "differential")
    both = [n.solve(n.operated(chosen.strip), n.blocks(points)).s(to, source)[0, 0] for n in (without, solved)]
    by_hand = 2 * 37.5**2 / 75 * 2 * math.pi * points[0] * coupling
    assert abs(both[1] - both[0]) == pytest.approx(by_hand, rel=0.02)


def test_the_run_is_series_inductance_and_resistance():
    """0.8 uH and 0.4 ohm around the loop at 2 MHz: 1/S21 of a series impedance Z in a line is 1 + Z/2Z0 (textbook).

    The resistance of the copper is the handbook's at that frequency.
    """
    board = design("no breakers")
    loops = (None, loop(800e-9, 0.0), loop(800e-9, 0.4))
    networks = [
        network(board.request, board.choices, board.netlist, 1e6, parasitics=Parasitics((), runs))
        for runs in ({p.strip: one for p in board.netlist.ports[:-1] if one} for one in loops)
    ]
    points, first = np.array([2e6]), board.netlist.ports[0].strip
    through = [
        n.solve(n.operated(first), n.blocks(points)).s(("output", "differential"), (first, "differential"))[0, 0]
        for n in networks
    ]
    added, resistance = 1 / through[1] - 1 / through[0], 1 / through[2] - 1 / through[1]
    assert added.imag == pytest.approx(2 * math.pi * 2e6 * 800e-9 / 150, rel=5e-3)
    ratio = strip_resistance_ratio(35e-6, pair_crowding(0.8e-3, 0.4e-3), points)[0]
    assert ratio > 1.2
    assert resistance.real == pytest.approx(0.4 * ratio / 150, rel=0.01)


def test_words_say_which_it_is():
    """Assumed without a layout, and each assumption listed; the layout's own with one."""
    board = design("default")
    bare = Prediction(board.request, board.choices, board.netlist)
    laid = replace(bare, parasitics=Parasitics((), {}))
    assert notes(bare)[-1] == COPPER_ASSUMED
    assert notes(laid)[-1] == COPPER_LAID
    assert any(e.ref == COPPER and e.parameters[0].standing == "assumed" for e in bare.network.elements)
    assert not any(e.ref == COPPER and e.parameters[0].standing == "assumed" for e in laid.network.elements)
    for prediction, words in ((bare, "nothing is laid out"), (laid, "bodies of parts couple")):
        assert any(words in row[-1] for row in edge_rows(prediction))
        assert all(text for _, text in target_notes(prediction))


def test_copper_is_drawn_with_the_strays_only():
    """Part tolerances leave the copper alone."""
    solved = with_layout("default")
    copper = {n for n, e in enumerate(solved.elements) if e.ref == COPPER}
    assert copper == {n for one in unknowns(solved) if one.assumed for n, _ in one.places} & copper
    assert not copper & {n for one in unknowns(solved) if not one.assumed for n, _ in one.places}


def test_drawn_couplings_are_those_of_boards_that_have_them():
    """Two boards solved together, one with all couplings doubled: each as by itself."""
    solved, frequencies = with_layout("default"), band("default", 5)
    first = solved.operated(solved.antennas[0])
    both = solved.state(first, frequencies, {COUPLINGS: np.array([1.0, 2.0])}, 2)
    together = solved.solve(first, both).matrix()
    doubled = replace(solved, couplings=tuple(replace(c, farads=2 * c.farads) for c in solved.couplings))
    for board, alone in enumerate((solved, doubled)):
        matrix = alone.solve(first, alone.state(first, frequencies)).matrix()[0]
        assert np.abs(together[board] - matrix).max() < 1e-12
    assert np.abs(together[0] - together[1]).max() > 1e-9

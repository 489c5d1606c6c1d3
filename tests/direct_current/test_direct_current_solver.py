"""The solver against what must hold of any network."""

import math
import random
from itertools import product

import numpy as np
import pytest

from boardgen.direct_current.changes import solve_changes
from boardgen.direct_current.curves import diode, suppressor
from boardgen.direct_current.elements import OPEN, CurrentSource, Curve, Resistor, VoltageSource, switch
from boardgen.direct_current.network import Network, NetworkError
from boardgen.direct_current.solve import solve
from tests.direct_current.random_networks import junction, random_network

SEEDS = range(60)


@pytest.mark.parametrize("seed", SEEDS)
def test_currents_balance_and_lie_on_the_curves(seed):
    network = random_network(seed)
    solved = solve(network)
    assert solved.converged
    total = dict.fromkeys(network.nodes, 0.0)
    for e in network.elements:
        total[e.ends[0]] -= solved.current(e.name)
        total[e.ends[1]] += solved.current(e.name)
    assert max(abs(total[node]) for node in network.nodes) < 1e-9


@pytest.mark.parametrize("seed", range(40))
def test_the_state_of_every_diode_is_that_of_trying_them_all(seed):
    """Threshold diodes on and off in all ways, by plain linear algebra: one way alone agrees with itself."""
    pick = random.Random(seed)
    nodes = ["0V", "a", "b", "c", "d"]
    resistors = [
        Resistor(f"R{n}", one, other, pick.uniform(1, 1000))
        for n, (one, other) in enumerate((nodes[k], nodes[k - 1]) for k in range(1, 5))
    ]
    ends = [pick.sample(nodes, 2) for _ in range(5)]
    diodes = [diode(f"D{n}", *pair, 0.7, 2.0, 1e6) for n, pair in enumerate(ends)]
    currents = [CurrentSource(f"I{n}", *pick.sample(nodes, 2), pick.uniform(0, 0.2)) for n in range(3)]
    solved = solve(Network((*resistors, *diodes, *currents)))
    found = []
    for state in product((False, True), repeat=len(diodes)):
        matrix, known = np.zeros((5, 5)), np.zeros(5)
        branches = [(r.ends, 1 / r.ohm, 0.0) for r in resistors]
        branches += [
            (d.ends, 0.5, 0.7 / 1e6 - 0.7 * 0.5) if on else (d.ends, 1e-6, 0.0)
            for d, on in zip(diodes, state, strict=True)
        ]
        branches += [(c.ends, 0.0, c.ampere) for c in currents]
        for (one, other), siemens, ampere in branches:
            i, j = nodes.index(one), nodes.index(other)
            matrix[[i, j, i, j], [i, j, j, i]] += siemens * np.array([1, 1, -1, -1])
            known[[i, j]] += ampere * np.array([-1, 1])
        volts = np.append(0.0, np.linalg.solve(matrix[1:, 1:], known[1:]))
        across = [volts[nodes.index(a)] - volts[nodes.index(b)] for a, b in ends]
        if all((v > 0.7) == on for v, on in zip(across, state, strict=True)):
            found.append(volts)
    [only] = found
    assert [solved.potential(n) for n in nodes] == pytest.approx(list(only), abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_changes_are_what_a_fresh_solution_gives(seed):
    network, pick = random_network(seed), random.Random(seed)
    nodes = list(network.nodes)
    resistors = [e for e in network.elements if isinstance(e, Resistor)]
    curves = [e for e in network.elements if isinstance(e, Curve)]
    source = next(e for e in network.elements if isinstance(e, VoltageSource))
    one, other = pick.choice(resistors), pick.choice(resistors)
    curve = pick.choice(curves)
    changes = [
        (),
        (Resistor("wet", *pick.sample(nodes, 2), 1e4),),
        (Resistor(curve.name, *curve.ends, 0.1),),
        (Curve(curve.name, curve.b, curve.a, curve.points),),
        (Resistor(one.name, *one.ends, OPEN),),
        (Resistor(one.name, *other.ends, one.ohm), Resistor("also", *one.ends, 33.0)),
        (junction("more", *pick.sample(nodes, 2)), CurrentSource("draw", *pick.sample(nodes, 2), 0.01)),
        (VoltageSource(source.name, *source.ends, -source.volt),),
        (Resistor(one.name, *one.ends, 0.0),),
    ]
    apart = [n for n, change in enumerate(changes) if bad(network, change)]
    for n in reversed(apart):
        del changes[n]
    assert len(changes) >= 6
    for change, mended in zip(changes, solve_changes(solve(network), changes), strict=True):
        fresh = solve(network.changed(change))
        assert mended.network == fresh.network
        volts = [fresh.potential(n) for n in nodes]
        assert [mended.potential(n) for n in nodes] == pytest.approx(volts, abs=1e-5, rel=1e-5)
        assert mended.current(source.name) == pytest.approx(fresh.current(source.name), abs=1e-7, rel=1e-5)


@pytest.mark.parametrize("seed", range(20))
def test_a_change_of_a_changed_network(seed):
    """What a short cut gave is as good to start from as a fresh solution."""
    network, pick = random_network(seed), random.Random(seed)
    resistors = [e for e in network.elements if isinstance(e, Resistor)]
    curve = next(e for e in network.elements if isinstance(e, Curve))
    one, other = pick.sample(resistors, 2)
    first = (Resistor(one.name, *one.ends, 2 * one.ohm), Resistor(curve.name, *curve.ends, 0.1))
    second = (Resistor(other.name, *other.ends, other.ohm / 2), Resistor("more", *one.ends, 50.0))
    [changed] = solve_changes(solve(network), [first])
    [again] = solve_changes(changed, [second])
    fresh = solve(network.changed(first).changed(second))
    volts = [fresh.potential(n) for n in network.nodes]
    assert [again.potential(n) for n in network.nodes] == pytest.approx(volts, abs=1e-5, rel=1e-5)


def test_every_network_settles():
    solved = [solve(random_network(seed)) for seed in range(100, 400)]
    assert all(s.converged for s in solved)
    assert max(s.steps for s in solved) < 40


def bad(network, change):
    try:
        network.changed(change)
    except NetworkError:
        return True
    return False


def test_islands_are_found_and_have_no_common_voltage():
    network = Network(
        (
            VoltageSource("V", "+", "0V", 12),
            Resistor("R", "+", "0V", 100),
            VoltageSource("battery", "far +", "far -", 9),
            Resistor("far", "far +", "far -", 9),
            switch("contact", "+", "far +", closed=False),
        ),
        points=("nothing",),
    )
    assert set(network.floating) == {("far +", "far -"), ("nothing",)}
    solved = solve(network)
    assert solved.volts("far +", "far -") == pytest.approx(9)
    assert solved.current("far") == pytest.approx(1)
    assert solved.current("contact") == 0.0
    with pytest.raises(ValueError, match="no path joins far - and 0V"):
        solved.volts("far -", "0V")
    joined = solve(network.changed([switch("contact", "+", "far +", closed=True)]))
    assert joined.network.floating == (("nothing",),)
    assert joined.volts("far -", "0V") == pytest.approx(3)


def test_a_short_cut_sees_an_island_come_and_go():
    network = Network((VoltageSource("V", "+", "0V", 12), Resistor("in", "+", "a", 10), Resistor("R", "a", "b", 10)))
    opened, joined = solve_changes(
        solve(network), [(Resistor("in", "+", "a", OPEN),), (Resistor("more", "b", "0V", 4.0),)]
    )
    assert opened.network.floating == (("a", "b"),)
    assert joined.potential("b") == pytest.approx(2.0)


def test_a_short_cut_sees_a_source_go():
    network = Network((CurrentSource("I", "0V", "a", 0.1), Resistor("R", "a", "0V", 10.0)))
    sound, gone = solve_changes(solve(network), [(), (Resistor("I", "0V", "a", 10.0),)])
    assert (sound.potential("a"), gone.potential("a")) == pytest.approx((1.0, 0.0))


def test_a_short_cut_sees_islands_as_a_new_network_does():
    """Every resistor of random networks opened or moved: the same points hang together either way."""
    told = 0
    for seed in range(12):
        network, pick = random_network(seed), random.Random(seed)
        for e in [e for e in network.elements if isinstance(e, Resistor)]:
            for change in (
                (Resistor(e.name, *e.ends, OPEN),),
                (Resistor(e.name, *pick.sample(network.nodes, 2), 5.0),),
            ):
                if not bad(network, change):
                    changed = network.changed(change)
                    assert changed.islands == Network(changed.elements).islands
                    told += len(changed.islands) > len(network.islands)
    assert told > 10


def test_a_suppressor_holds_both_ways():
    for volt in (100.0, -100.0):
        parts = (VoltageSource("V", "+", "0V", volt), Resistor("R", "+", "a", 100), suppressor("S", "a", "0V", 18, 0.5))
        solved = solve(Network(parts))
        assert abs(solved.potential("a")) == pytest.approx(18 + 82 / 100.5 * 0.5, rel=1e-4)


@pytest.mark.parametrize(
    ("elements", "found"),
    [
        ((Resistor("R", "a", "b", -1.0),), "R must be zero ohms or more"),
        ((Resistor("R", "a", "b", math.nan),), "R must be zero ohms or more"),
        ((Resistor("R", "a", "b", 1.0), Resistor("R", "a", "c", 1.0)), "two elements have the name R"),
        ((VoltageSource("V", "a", "a", 1.0),), "V closes a ring"),
        ((VoltageSource("V", "a", "b", 1.0), VoltageSource("W", "b", "a", 1.0)), "W closes a ring"),
        ((VoltageSource("V", "a", "b", math.inf),), "V must be a finite number"),
        ((CurrentSource("I", "a", "b", 1.0),), "the current of I has no way back from b to a"),
        ((Curve("D", "a", "b", ((0.0, 0.0), (1.0, 0.0))),), "D needs two or more points"),
        ((Curve("D", "a", "b", ((0.0, 0.0),)),), "D needs two or more points"),
    ],
)
def test_what_means_nothing_is_refused(elements, found):
    with pytest.raises(NetworkError, match=found):
        Network(elements)


def test_all_faults_at_once():
    with pytest.raises(NetworkError) as raised:
        Network((Resistor("R", "a", "b", -1.0), VoltageSource("V", "a", "b", math.nan)))
    assert len(raised.value.faults) == 2


@pytest.mark.parametrize(("threshold", "slope", "leak"), [(0, 1, 10), (0.7, 0, 10), (0.7, 10, 10), (0.7, 1, math.inf)])
def test_no_diode(threshold, slope, leak):
    with pytest.raises(ValueError, match="D: a diode needs"):
        diode("D", "a", "b", threshold, slope, leak)

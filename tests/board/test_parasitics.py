"""What a layout hands on to the prediction."""

from functools import cache

import numpy as np
import pytest
from msgspec.structs import replace

from boardgen.board.copper_raster import CELL_NM, FREE, ZERO, raster
from boardgen.board.parasitics import parasitics
from boardgen.handbook.coplanar import pair_inductance_h_per_m
from boardgen.model.copper import Track
from boardgen.model.wiring import BUS
from boardgen.sizing.assumed_copper import bus_between, bus_to_0v, run_copper
from tests.board.boards import example, made

E0 = 8.8541878128e-12


def held(netlist):
    return frozenset({"0V", "earth"} | {n.name for n in netlist.nets if n.name.startswith(("select", "feed line"))})


@cache
def found(ways=3):
    laid, netlist, _ = made({"feed": "none"}, ways) if ways != 2 else example()
    return laid.board, netlist, parasitics(laid.board, netlist, held(netlist))


def pairs(result, standing="computed"):
    return {frozenset(pair): f.value for *pair, f in result.capacitances if f.standing == standing}


def area_nm2(board, nets, side):
    """The copper of some nets on one side, by another library's union of its shapes."""
    import shapely

    name = ("top", "bottom")[side]
    tracks = [t for t in board.tracks if t.net in nets and t.side == name]
    shapes = [shapely.LineString([t.start, t.end]).buffer(t.width_nm / 2) for t in tracks]
    shapes += [shapely.Point(v.at).buffer(v.pad_nm / 2) for v in board.vias if v.net in nets]
    for p in board.pads:
        if p.net in nets and name in p.sides:
            x, y, half, high = *p.at, p.width_nm / 2, p.height_nm / 2
            round_one = shapely.Point(x, y).buffer(half)
            shapes.append(round_one if p.is_round else shapely.box(x - half, y - high, x + half, y + high))
    shapes += [shapely.Polygon(r.outline, r.clear) for r in board.regions if r.net in nets and r.side == name]
    return shapely.union_all(shapes).area if shapes else 0.0


def test_raster_covers_what_the_board_has():
    """Area of each net's cells against the copper's own area; of 0V with the pour, and with all beyond the board."""
    board, netlist, _ = found()
    grid = raster(board, held(netlist))
    beyond = grid.labels[0].size * CELL_NM**2 - board.width_nm * board.height_nm
    for side in (0, 1):
        for name in [n for n in grid.names if n.startswith("bus")]:
            cells = int((grid.labels[side] == 1 + grid.names.index(name)).sum())
            assert cells * CELL_NM**2 == pytest.approx(area_nm2(board, {name}, side), rel=0.12, abs=2e12)
        zero = int((grid.labels[side] == ZERO).sum()) * CELL_NM**2
        assert zero == pytest.approx(area_nm2(board, held(netlist), side) + beyond, rel=0.03)
    assert (grid.labels == FREE).mean() > 0.3


def test_strips_are_alike():
    """Inner strips are equal under translation, so their values are the same to the last figure."""
    _, netlist, result = found(4)
    by_strip = []
    for strip in [p.strip for p in netlist.ports][1:3]:
        own = {"0V"} | {n.name for n in netlist.nets if n.name.startswith(f"{strip} ")}
        mine = {pair: f for pair, f in pairs(result).items() if pair <= own}
        by_strip.append({tuple(n.replace(strip, "x") for n in sorted(pair)): f for pair, f in mine.items()})
    assert by_strip[0] == by_strip[1]
    assert len(by_strip[0]) > 5


def test_every_conductor_has_some_capacitance_to_0v():
    """A few picofarads: 50 to 120 pF a metre (coplanar lines) on some centimetres of copper."""
    _, netlist, result = found()
    for port in netlist.ports:
        for net in (port.centre, port.braid):
            assert 0.5e-12 < pairs(result)[frozenset({net, "0V"})] < 6e-12
    assert not [n for *pair, _ in result.capacitances for n in pair if n in held(netlist) - {"0V"}]


def test_a_track_beside_another_couples():
    """40 mm of copper laid along a neighbour's track adds what two such strips have, tens of picofarads a metre."""
    board, netlist, result = found()
    first, second = (p.centre for p in netlist.ports[:2])
    before = pairs(result).get(frozenset({first, second}), 0.0)
    x, y = board.width_nm // 2, board.height_nm // 2
    bare = replace(
        board,
        tracks=tuple(Track("top", (x + dx, y - 20_000_000), (x + dx, y + 20_000_000), 600_000, net)
                     for dx, net in ((0, first), (1_270_000, second))),
        pads=tuple(pad for pad in board.pads if pad.ref in {p.ref for p in netlist.ports}),
        vias=(), regions=(),
    )  # fmt: skip
    after = pairs(parasitics(bare, netlist, held(netlist)))[frozenset({first, second})]
    assert before < 0.2e-12
    assert 0.04 * 15e-12 < after < 0.04 * 60e-12


def test_without_pour_less_goes_to_0v():
    poured, netlist, _ = example()
    bare, _, _ = example(pour=False)
    port = frozenset({netlist.ports[0].centre, "0V"})
    with_pour, without = (pairs(parasitics(b.board, netlist, held(netlist)))[port] for b in (poured, bare))
    assert without < with_pour


def test_tiles_are_wide_enough(monkeypatch):
    """Twice the reach changes no capacitance that matters by a twentieth."""
    import boardgen.board.copper_raster as module

    board, netlist, result = found()
    monkeypatch.setattr(module, "REACH", 2 * module.REACH)
    wider = pairs(parasitics(board, netlist, held(netlist)))
    for pair, value in pairs(result).items():
        if value > 20e-15:
            assert wider[pair] == pytest.approx(value, rel=0.05)


@pytest.mark.parametrize("ways", [3, 4])
def test_fields_are_solved_far_enough(monkeypatch, ways):
    """A hundred times as close, and without guesses from equal copper elsewhere, no capacitance moves by a twelfth."""
    from boardgen.board import field_solver
    from boardgen.board import parasitics as module

    board, netlist, result = found(ways)
    monkeypatch.setattr(field_solver, "ENOUGH", field_solver.ENOUGH / 100)
    monkeypatch.setattr(module, "outline", lambda cells, corner=module.outline: (object(), corner(cells)[1]))
    closer = pairs(module.parasitics(board, netlist, held(netlist)))
    for pair, value in pairs(result).items():
        if value > 20e-15:
            assert closer[pair] == pytest.approx(value, rel=1 / 12)


def test_bodies_are_plates():
    """The whole between two neighbouring cores is e0 A/d by hand."""
    board, netlist, result = found()
    one, two = sorted((s for s in board.parts if s.kind == "core"), key=lambda s: s.body)[:2]
    along = min(one.body[3], two.body[3]) - max(one.body[1], two.body[1])
    plates = E0 * along * one.height_nm / (two.body[0] - one.body[2]) * 1e-9
    ends = [set(netlist.pin_nets[s.ref].values()) for s in (one, two)]
    shares = [
        f.value
        for first, second, f in result.capacitances
        if f.standing == "assumed" and (first in ends[0]) != (first in ends[1]) and {first, second} <= ends[0] | ends[1]
    ]
    assert sum(shares) == pytest.approx(plates, rel=0.02)


def test_loops_grow_along_the_bus():
    """Each strip further from the output has a pitch more of the bus: the inductance of two rails of that length."""
    board, netlist, result = found(4)
    lengths = [result.loop_inductances[p.strip].value for p in netlist.ports if p.strip != "output"]
    steps = -np.diff(lengths)
    rails = sorted({t.start[1] for t in board.tracks if t.net.startswith("bus ") and t.width_nm == 1_500_000
                    and t.start[1] == t.end[1] and abs(t.start[0] - t.end[0]) > 30_000_000})  # fmt: skip
    gap_m = (rails[-1] - rails[0] - 1_500_000) * 1e-9
    assert steps == pytest.approx(board.layout.pitch_nm * 1e-9 * pair_inductance_h_per_m(1.5e-3, gap_m), rel=1e-6)


def test_copper_is_assumed_before_layout_as_it_is_laid():
    """Bus and loops of a four-way, within a fifth."""
    _, netlist, result = found(4)
    between = pairs(result)
    assert between[frozenset(BUS)] == pytest.approx(bus_between(4).value, rel=0.2, abs=0)
    assert sum(between[frozenset((net, "0V"))] for net in BUS) / 2 == pytest.approx(bus_to_0v(4).value, rel=0.2, abs=0)
    loops = [result.loop_inductances[p.strip].value for p in netlist.ports if p.strip != "output"]
    assert loops == pytest.approx([run_copper(beyond).value for beyond in (3, 2, 1, 0)], rel=0.2, abs=0)

"""What a layout hands on to the prediction."""

import itertools
import math
from functools import cache

import numpy as np
import pytest
import shapely
from msgspec.structs import replace
from scipy.sparse import coo_array, diags_array
from scipy.sparse.linalg import spsolve

from boardgen.board.copper_raster import CELL_NM, FREE, ZERO, raster
from boardgen.board.field_solver import charges
from boardgen.board.parasitics import parasitics
from boardgen.board.track_ways import Tracks
from boardgen.handbook.coplanar import pair_inductance_h_per_m
from boardgen.model.copper import Track
from boardgen.model.netlist import CONDUCTORS
from boardgen.model.wiring import BUS
from boardgen.sizing.assumed_copper import bus_between, bus_to_0v, copper_loop
from tests.board.boards import example, made, made_text
from tests.rf.rf_boards import FED, text

E0 = 8.8541878128e-12


def held(netlist):
    return frozenset({"0V", "earth"} | {n.name for n in netlist.nets if n.name.startswith(("select", "feed line"))})


@cache
def found(ways=3, attenuator=""):
    laid, netlist, _ = made({"feed": "none", "attenuator": attenuator}, ways) if ways != 2 else example()
    return laid.board, netlist, parasitics(laid.board, netlist, held(netlist))


def pairs(result, standing="computed"):
    return {frozenset(pair): f.value for *pair, f in result.capacitances if f.standing == standing}


def copper_of(board, nets, side):
    """The copper of some nets on one side, by another library's union of its shapes."""
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
    return shapely.union_all(shapes)


def test_raster_covers_what_the_board_has():
    """Area of each net's cells against the copper's own area; of 0V with the pour, and with all beyond the board."""
    board, netlist, _ = found()
    grid = raster(board, held(netlist))
    beyond = grid.labels[0].size * CELL_NM**2 - board.width_nm * board.height_nm
    for side in (0, 1):
        for name in [n for n in grid.names if n.startswith("bus")]:
            cells = int((grid.labels[side] == 1 + grid.names.index(name)).sum())
            assert cells * CELL_NM**2 == pytest.approx(copper_of(board, {name}, side).area, rel=0.12, abs=2e12)
        zero = int((grid.labels[side] == ZERO).sum()) * CELL_NM**2
        assert zero == pytest.approx(copper_of(board, held(netlist), side).area + beyond, rel=0.03)
    assert (grid.labels == FREE).mean() > 0.3


def test_strips_are_alike():
    """Inner strips are equal under translation, so their values are the same to the last figure."""
    _, netlist, result = found(8)
    by_strip = []
    # the ends of the outer ones give way to screws
    for strip in [p.strip for p in netlist.ports][3:5]:
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
    """Each strip further from the output has a pitch more of the bus: the inductance of two rails of that length.

    Strips are held against each other whose ports stand alike: a port that gave way to a screw has a longer way.
    """
    board, netlist, result = found(4)
    ports = [port for port in netlist.ports if port.strip != "output"]
    at = {part.ref: part.at[0] for part in board.parts}
    offsets = [at[port.ref] - left for port, left in zip(ports, board.layout.lefts_nm, strict=False)]
    middle = (max(offsets) + min(offsets)) // 2
    rails = sorted({t.start[1] for t in board.tracks if t.net.startswith("bus ") and t.width_nm == 1_500_000
                    and t.start[1] == t.end[1] and abs(t.start[0] - t.end[0]) > 30_000_000})  # fmt: skip
    gap_m = (rails[-1] - rails[0] - 1_500_000) * 1e-9
    a_pitch = board.layout.pitch_nm * 1e-9 * pair_inductance_h_per_m(1.5e-3, gap_m)
    alike: dict[int, list[tuple[int, float]]] = {}
    for number, (port, offset) in enumerate(zip(ports, offsets, strict=True)):
        alike.setdefault(abs(offset - middle), []).append((number, result.loops[port.strip].inductance.value))
    steps = [
        ((near - far) / (later - earlier))
        for strips in alike.values()
        for (earlier, far), (later, near) in itertools.pairwise(strips)
    ]
    assert len(steps) >= 2
    assert steps == pytest.approx([-a_pitch] * len(steps), rel=1e-6)


def air(board, netlist, net, other):
    """Inductance per metre of the tracks of two nets, from their capacitance in air: L C is 1/c^2 (textbook).

    0V has no charge, as no current goes along it.
    """
    copper = raster(board, held(netlist))
    numbers = [copper.names.index(name) + 1 for name in (net, other)]
    _, rows, columns = np.nonzero(np.isin(copper.labels, numbers))
    window = [slice(max(0, found.min() - 16), found.max() + 16) for found in (rows, columns)]
    labels = copper.labels[:, window[0], window[1]]
    drawn = [charges(labels, number, CELL_NM * 1e-9, permittivity=1.0)[0] for number in numbers]
    between = -drawn[0][numbers[1]]
    one, two = (own[number] - between for own, number in zip(drawn, numbers, strict=True))
    length_m = sum(math.dist(t.start, t.end) for t in board.tracks if t.net in (net, other)) * 1e-9 / 2
    return length_m / (299792458**2 * (between + one * two / (one + two)))


def test_loops_have_the_inductance_of_their_field():
    """The way of the nearest antenna of a four-way, pair of nets by pair of nets: within a tenth."""
    board, netlist, result = found(4)
    nearest = [p for p in netlist.ports if p.strip != "output"][-1]
    tracks = Tracks(board, netlist)
    whole = 0.0
    for hops in zip(*(tracks.steps(nearest.strip, conductor) for conductor in CONDUCTORS), strict=True):
        (net, one), (other, two) = hops
        length_m = sum(length_m for _, length_m, _ in (*one, *two)) / 2
        whole += length_m * air(board, netlist, net, other)
    assert result.loops[nearest.strip].inductance.value == pytest.approx(whole, rel=0.1)


def test_a_way_has_the_resistance_of_its_sheet():
    """Current through the output's centre, spread over squares of 0.1 mm, against the tracks on its way: within 0.1.

    The net has all its tracks on top.
    """
    board, netlist, _ = found(4)
    *_, (net, steps) = Tracks(board, netlist).steps(netlist.antennas[0], "centre")
    assert {t.side for t in board.tracks if t.net == net} == {"top"}
    copper, cell = copper_of(board, {net}, 0), 100_000
    left, low, right, high = copper.bounds
    x, y = np.meshgrid(np.arange(left + cell / 2, right, cell), np.arange(low + cell / 2, high, cell))
    inside = shapely.contains_xy(copper, x, y)
    number = np.cumsum(inside).reshape(inside.shape) - 1
    across = (number[:, :-1], number[:, 1:], inside[:, :-1] & inside[:, 1:])
    along = (number[:-1], number[1:], inside[:-1] & inside[1:])
    one, other = (np.concatenate([way[n][way[2]] for way in (across, along)]) for n in (0, 1))
    size, ones = int(inside.sum()), np.ones(one.size)
    joined = coo_array((ones, (one, other)), (size, size))
    laplacian = (diags_array(np.bincount(np.r_[one, other], minlength=size).astype(float)) - joined - joined.T).tocsc()
    places = [steps[0][0], steps[-1][0]]
    start, goal = (int(np.argmin((x[inside] - at_x) ** 2 + (y[inside] - at_y) ** 2)) for _, at_x, at_y in places)
    kept, amperes = np.arange(size) != goal, np.zeros(size)
    amperes[start] = 1.0
    squares = spsolve(laplacian[kept][:, kept], amperes[kept])[start - (start > goal)]
    on_track = [(length_m, width_m) for _, length_m, width_m in steps[1:] if length_m]
    by_tracks = sum(length_m / width_m for length_m, width_m in on_track)
    assert by_tracks == pytest.approx(squares, rel=0.1)


def test_bus_is_assumed_before_layout_as_it_is_laid():
    """That of a four-way, within a fifth."""
    _, _, result = found(4)
    between = pairs(result)
    assert between[frozenset(BUS)] == pytest.approx(bus_between(4).value, rel=0.2, abs=0)
    assert sum(between[frozenset((net, "0V"))] for net in BUS) / 2 == pytest.approx(bus_to_0v(4).value, rel=0.2, abs=0)


@pytest.mark.parametrize("attenuator", ["", "6 dB, 10 dB"])
def test_loops_are_assumed_before_layout_as_they_are_laid(attenuator):
    """Those of a four-way, within a fifth, and their resistance within a tenth."""
    _, netlist, result = found(4, attenuator)
    laid = [result.loops[p.strip] for p in netlist.ports if p.strip != "output"]
    assumed = [copper_loop(beyond, attenuator.count("dB")) for beyond in (3, 2, 1, 0)]
    henries = [loop.inductance.value for loop in assumed]
    assert [loop.inductance.value for loop in laid] == pytest.approx(henries, rel=0.2, abs=0)
    ohms = [loop.resistance.value for loop in assumed]
    assert [loop.resistance.value for loop in laid] == pytest.approx(ohms, rel=0.1, abs=0)
    assert [loop.width_m for loop in laid] == pytest.approx([loop.width_m for loop in assumed], rel=0.2)


def test_chokes_at_centre_conductors_are_coupled_by_their_distance():
    """Two fed strips side by side: 1.5 (a/d)^3 of one pair, the chokes at both centres, a pitch apart."""
    laid, netlist, _ = made_text(text([FED, FED]))
    board = laid.board
    (pair,) = parasitics(board, netlist, held(netlist)).chokes
    standing = {part.ref: part for part in board.parts}
    one, two = (standing[ref] for ref in pair.refs)
    for ref in pair.refs:
        nets = netlist.pin_nets[ref].values()
        assert any(netlist.called[net].conductor == "centre" for net in nets)
    first, second, *_ = board.layout.lefts_nm
    assert pair.apart_m == pytest.approx((second - first) * 1e-9, abs=1e-9)
    left, low, right, high = one.body
    assert (one.height_nm, two.height_nm) == (11_800_000, 11_800_000)
    volume = math.pi / 4 * (right - left) * (high - low) * one.height_nm * 1e-27
    assert pair.coupling == pytest.approx(1.5 * volume * 3 / (4 * math.pi) / pair.apart_m**3)
    henries = [netlist.component[ref].part.figures["inductance"].value for ref in pair.refs]
    assert pair.inductance_h == min(henries)

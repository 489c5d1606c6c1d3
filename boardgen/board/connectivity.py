"""A board's copper as bare geometry without names, which of its pieces are joined, and what that says of the netlist.

Algorithm: pieces that may touch are found in an R-tree of their boxes (STRtree of shapely), their distances are
computed exactly, and the connected components are found by hooking every piece to the lowest number next to it and
halving the paths, after Shiloach and Vishkin, "An O(log n) parallel connectivity algorithm", 1982 (recalled).
Cost: O(n log n) for n pieces with few neighbours each.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import chain

import numpy as np
import shapely
from msgspec import Struct
from numpy.typing import NDArray

from boardgen.model.copper import Board, PlacedPad
from boardgen.model.netlist import Netlist
from boardgen.model.problem import Place, Problem

TOP, BOTTOM = 1, 2
"""Bits of the sides on which a piece lies."""
TOUCH_NM = 0.1
"""Copper no farther apart than this touches: far less than a nanometre, and more than rounding makes of nothing."""
SLACK_NM = 200
"""Rounding of the outlines of the pour; a gap short by less is no fault."""
Near = tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]
"""Pairs of pieces: the number of either, and the gap between them in nanometres."""
Pin = tuple[str, str]
"""Designator and number of a pad."""
_SIDE = {"top": TOP, "bottom": BOTTOM}


class CopperGeometry(Struct, frozen=True, dict=True):
    """Parallel arrays, one entry a piece of copper.

    `cores` are shapely geometries in nanometres (a point, a line or an area), `radius_nm` how far the copper reaches
    about them, `sides` a sum of TOP and BOTTOM. `pad` is the number of a pad in `Board.pads`, or -1. `what` is
    "track", "land", "via" or "region", `index` its place among the board's tracks, pads, vias or regions.
    """

    cores: NDArray[np.object_]
    radius_nm: NDArray[np.float64]
    sides: NDArray[np.int64]
    pad: NDArray[np.int64]
    what: tuple[str, ...]
    index: NDArray[np.int64]

    @cached_property
    def boxes(self) -> NDArray[np.float64]:
        """Left, bottom, right and top of each piece in nanometres, radius included, (n, 4)."""
        grow = self.radius_nm[:, None] * np.array([-1, -1, 1, 1])
        return np.asarray(shapely.bounds(self.cores) + grow)

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(shapely.box(*self.boxes.T))

    def near(self, reach_nm: float, of: NDArray[np.int64] | None = None) -> Near:
        """Every two pieces on a common side whose edges are closer than the reach.

        Parameters
        ----------
        reach_nm : nanometres
        of : numbers of pieces; only pairs with at least one of them are looked for, all pairs without it

        Returns
        -------
        Two arrays of numbers and the gaps in nanometres, negative where two pieces overlap.

        """
        some = np.arange(len(self.cores)) if of is None else of
        left, low, right, top = self.boxes[some].T
        rims = shapely.box(left - reach_nm, low - reach_nm, right + reach_nm, top + reach_nm)
        found, other = self._tree.query(rims)
        one = some[found]
        chosen = np.zeros(len(self.cores), bool)
        chosen[some] = True
        # a pair of two that were asked for is met twice
        keep = ((one < other) | ~chosen[other]) & ((self.sides[one] & self.sides[other]) > 0)
        one, two = np.minimum(one, other)[keep], np.maximum(one, other)[keep]
        gap = shapely.distance(self.cores[one], self.cores[two]) - self.radius_nm[one] - self.radius_nm[two]
        close = gap < reach_nm
        return one[close], two[close], gap[close]

    def place(self, one: int, two: int | None = None) -> tuple[float, float]:
        """Where a piece is, or where two come closest, in nanometres."""
        if two is None:
            point = shapely.centroid(self.cores[one])
        else:
            point = shapely.get_point(shapely.shortest_line(self.cores[one], self.cores[two]), 0)
        return float(shapely.get_x(point)), float(shapely.get_y(point))


def copper_geometry(board: Board) -> CopperGeometry:
    """The copper of a board without its names."""
    tracks, vias, regions = board.tracks, board.vias, board.regions
    ends = np.fromiter(chain.from_iterable([(*t.start, *t.end) for t in tracks]), float).reshape(-1, 2, 2)
    holes = np.array([(*v.at, v.pad_nm) for v in vias], float).reshape(-1, 3)
    pads, reach = pad_cores(board.pads)
    rings = [ring for region in regions for ring in (region.outline, *region.clear)]
    closed = shapely.linearrings(
        np.fromiter(chain.from_iterable(chain.from_iterable(rings)), float).reshape(-1, 2),
        indices=np.repeat(np.arange(len(rings)), [len(ring) for ring in rings]),
    )
    owner = np.repeat(np.arange(len(regions)), [1 + len(region.clear) for region in regions])
    counts = [len(tracks), len(pads), len(vias), len(regions)]
    cores = (shapely.linestrings(ends), pads, shapely.points(holes[:, :2]), shapely.polygons(closed, indices=owner))
    sides = [_SIDE[t.side] for t in tracks]
    sides += [TOP | BOTTOM if pad.hole_nm else TOP for pad in board.pads]
    sides += [TOP | BOTTOM] * len(vias) + [_SIDE[region.side] for region in regions]
    numbers = np.full(sum(counts), -1, np.int64)
    numbers[counts[0] : counts[0] + counts[1]] = np.arange(counts[1])
    return CopperGeometry(
        np.concatenate(cores),
        np.concatenate([np.array([t.width_nm for t in tracks]) / 2, reach, holes[:, 2] / 2, np.zeros(counts[3])]),
        np.array(sides, np.int64),
        numbers,
        tuple(
            name for name, count in zip(("track", "land", "via", "region"), counts, strict=True) for _ in range(count)
        ),
        np.concatenate([np.arange(count) for count in counts]),
    )


def pad_cores(pads: Sequence[PlacedPad], more_nm: float = 0.0) -> tuple[NDArray[np.object_], NDArray[np.float64]]:
    """For each pad, wider by so much on every side, its core and the radius about it: a point, or a box and none."""
    table = np.array([(*pad.at, pad.width_nm, pad.height_nm) for pad in pads], float).reshape(-1, 4)
    x, y, wide, high = table.T
    round_ = np.array([pad.is_round for pad in pads], bool)
    wide, high = wide / 2 + more_nm, high / 2 + more_nm
    cores = np.where(round_, shapely.points(x, y), shapely.box(x - wide, y - high, x + wide, y + high))
    return cores, np.where(round_, wide, 0.0)


def meeting(boxes: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The numbers of every two boxes (n, 4) that meet, the lower first."""
    rims = shapely.box(*boxes.T)
    one, two = shapely.STRtree(rims).query(rims)
    return one[one < two], two[one < two]


def components(count: int, one: NDArray[np.int64], two: NDArray[np.int64]) -> NDArray[np.int64]:
    """The connected component of each of `count` pieces, joined by the pairs of `one` and `two` that touch.

    A component is numbered by its first piece.
    """
    component = np.arange(count)
    while True:
        joined = component.copy()
        # the lower number goes to the other piece's component and, through it, to all that belong there
        np.minimum.at(joined, component[one], component[two])
        np.minimum.at(joined, component[two], component[one])
        joined = joined[joined]
        if (joined == component).all():
            return component
        component = joined


def nets_of_pins(netlist: Netlist) -> dict[Pin, str]:
    """The net of every pin that the netlist joins."""
    return {(node.ref, node.pad): net.name for net in netlist.nets for node in net.nodes}


def compare(
    copper: CopperGeometry, pads: tuple[PlacedPad, ...], component: NDArray[np.int64], nets: Mapping[Pin, str]
) -> list[Problem]:
    """Pins that are missing, nets open or joined, copper without a pin. Labels on the copper play no part.

    Parameters
    ----------
    copper, pads : the pieces, and the pads that `copper.pad` counts
    component : (n,) the connected component of each piece
    nets : the net that each pin shall have

    """
    member: dict[int, list[int]] = {}
    for piece, root in enumerate(component.tolist()):
        member.setdefault(root, []).append(piece)
    pad_of = copper.pad.tolist()
    found: list[Problem] = []
    where: dict[str, dict[int, int]] = {}
    present: Counter[Pin] = Counter()
    for root, pieces in member.items():
        numbers = [pad_of[piece] for piece in pieces if pad_of[piece] >= 0]
        if not numbers:
            what = copper.what[pieces[0]]
            found.append(fault("B104 loose copper", copper.place(pieces[0]), f"a {what} is joined to no pin"))
            continue
        names: dict[str, int] = {}
        for number in numbers:
            pin = (pads[number].ref, pads[number].number)
            present[pin] += 1
            name = nets.get(pin, f"free pin {pin[0]}-{pin[1]}")
            names.setdefault(name, number)
            where.setdefault(name, {})[root] = number
        if len(names) > 1:
            listed = " and ".join(sorted(names))
            place = pads[next(iter(names.values()))].at
            found.append(
                fault("B102 nets joined", place, f"{listed} are one piece of copper", "they are different nets")
            )
    for name, roots in where.items():
        if len(roots) > 1:
            ends = [pads[number] for number in roots.values()]
            listed = ", ".join(f"{pad.ref}-{pad.number}" for pad in ends)
            found.append(fault("B101 net open", ends[1].at, f"{name} is in {len(roots)} pieces, at {listed}"))
    found += [
        fault("B103 pin missing", (0, 0), f"{ref}-{number} has no land", "every pin of the netlist needs one")
        for ref, number in nets
        if not present[ref, number]
    ]
    return found


def fault(name: str, at_nm: tuple[float, float], found: str, wanted: str = "") -> Problem:
    """A fault of a layout at a place counted from the lower left corner of the board."""
    place = Place(key=f"board at {at_nm[0] * 1e-6:.2f}, {at_nm[1] * 1e-6:.2f} mm")
    return Problem(name, "shortfall", place, found, wanted)

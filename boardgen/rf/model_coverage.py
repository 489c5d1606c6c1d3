"""What the models do not cover: parts without an element, and large cores beyond their dimensional resonance.

The permeability tables of high-permeability mixes no longer hold for large cores above some frequency.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from boardgen.kinds import kind_of
from boardgen.kinds.kind import NOT_SAID, Without
from boardgen.model.netlist import Netlist
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.request import Request
from boardgen.rf_network.element import GROUND, Element

MIXES = frozenset({"73", "75", "77"})
"""Manganese-zinc mixes, in whose high permittivity and permeability a wave grows short."""
THICKEST_M = 5e-3
"""A wall thicker than this resonates within the band: our judgement, from a sleeve with 6.4 mm."""
FROM_HZ = 2e6
"""Published measurements of large mix 77 parts leave the model above this frequency."""
TIMES_OFF = 3.0
"""They differ from it by two to three times there. Source: impedance sweeps of sleeves and rings by two authors."""


def wall_m(core: Part) -> float:
    """The thickest wall of a two-hole core: above a hole, beside it, or between both; 0 where a size is not known."""
    sizes = [core.figure(name) for name in ("width", "height", "hole spacing", "hole diameter")]
    if any(size is None for size in sizes):
        return 0.0
    width, height, spacing, hole = (size.value for size in sizes if size is not None)
    return max((height - hole) / 2, (width - spacing - hole) / 2, spacing - hole)


def large_cores(request: Request, netlist: Netlist) -> tuple[Part, ...]:
    """The fitted cores to which this applies; none where their permeability was measured by the user."""
    if "core" in request.measured:
        return ()
    cores = {c.part.key: c.part for c in netlist.of_kind("core") if c.fitted}
    return tuple(p for p in cores.values() if p.attributes["material"] in MIXES and wall_m(p) > THICKEST_M)


def large_core_warnings(request: Request, netlist: Netlist) -> Iterator[Problem]:
    """One for each such core, where the band reaches so high."""
    if request.spec.band.highest <= FROM_HZ:
        return
    for core in large_cores(request, netlist):
        found = (
            f"{core.number} has a wall of {wall_m(core) * 1e3:.1f} mm; parts of mix {core.attributes['material']} over "
            f"{THICKEST_M * 1e3:g} mm resonate within themselves, and above {FROM_HZ / 1e6:g} MHz measurements differ "
            f"from the permeability table by two to {TIMES_OFF:g} times"
        )
        hint = "Take a smaller core, or measure one and name the file under [measured]."
        yield Problem("R004 large core", "warning", Place(key="prediction"), found, "", hint)


def unmodelled(netlist: Netlist, elements: Sequence[Element], ac_grounds: Collection[str]) -> Iterator[Problem]:
    """A fault for every fitted part without an element, unless its kind says why it has none.

    Parts all of whose pins are on one net, or on nets that their source holds, have nothing to add.
    """
    known = {element.ref for element in elements}
    for component in netlist.components:
        law = kind_of(component.part).radio
        nodes = {GROUND if net in ac_grounds else net for net in netlist.pin_nets[component.ref].values()}
        silent = law is NOT_SAID if isinstance(law, Without) else component.ref not in known and len(nodes) > 1
        if component.fitted and silent:
            found = f"the prediction knows nothing of {component.ref}, a {component.part.kind}"
            wanted = f"wanted is a law for radio frequencies in boardgen/kinds, or why a {component.part.kind} has none"
            yield Problem("R006 modelled", "shortfall", Place(key=component.ref), found, wanted)

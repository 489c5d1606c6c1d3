"""What is allowed but should be known."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.model.netlist import Netlist
from boardgen.request import Request


def braid_on_control_cable(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """A bonded bus without a braid breaker at the output joins the main coax to the control cable."""
    if request.spec.switching.bus_braid == "bonded" and not request.output.braid_breaker:
        yield (
            "output",
            "the bus braid is bonded to 0V and the output has no braid breaker: the main coax's braid is joined to the "
            'control cable. Fit one there, or set switching.bus_braid = "floating"',
        )


def jack_is_not_ethernet(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """A network supply of 48 V on the same plug would cook a coil."""
    if request.spec.control.entry == "jack":
        yield (
            "control entry",
            "the jack is not Ethernet: mark it so, since a network's supply of 48 V would cook the coils",
        )


def label_is_a_designator(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """On the board and in the tables an antenna "L1" and a choke L1 are one name for two things."""
    kinds = {part.ref.casefold(): part.part.kind for part in netlist.components}
    for port in netlist.ports:
        if kind := kinds.get(port.strip.casefold()):
            yield (
                port.strip,
                f"the {kind} {port.strip.upper()} of this board has the same name: call the antenna otherwise",
            )

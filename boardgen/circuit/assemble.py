"""Builds the composed parts as a SKiDL circuit, runs its electrical rule check, and reads the result back."""

from __future__ import annotations

import logging
from typing import Any

from msgspec.structs import replace

from boardgen.circuit import quiet_skidl
from boardgen.circuit.compose import Placement
from boardgen.model.problem import Place, Problem


def assemble(title: str, placements: tuple[Placement, ...]) -> tuple[tuple[Placement, ...], tuple[Problem, ...]]:
    """The same placements as SKiDL joined them, and what its rule check found."""
    skidl = quiet_skidl.load()
    circuit = skidl.Circuit(name=title)
    pins_of: dict[str, list[Any]] = {}
    with quiet_skidl.recorded() as recorder:
        parts = [_part(skidl, circuit, placement) for placement in placements]
        for placement, part in zip(placements, parts, strict=True):
            for pin in part.pins:
                net = placement.use.pin_nets.get(pin.name)
                if net is None:
                    circuit.NC += pin
                else:
                    pins_of.setdefault(net, []).append(pin)
        for net, pins in pins_of.items():
            # all at once, since each connection walks over the whole net again
            skidl.Net(net, circuit=circuit).connect(*pins)
        circuit.merge_net_names()
        # one by one, since the check of a whole circuit looks up each net among all by its name
        for each in (*circuit.nets, *circuit.parts):
            each.ERC()
    problems = tuple(
        Problem("C100 electrical rule check", "shortfall", Place(key="circuit"), text)
        for level, text in recorder.records
        if level >= logging.WARNING
    )
    read = tuple(_read_back(p, part) for p, part in zip(placements, parts, strict=True))
    return read, (*problems, *_changed(placements, read))


def _part(skidl: Any, circuit: Any, placement: Placement) -> Any:
    # made anew each time: to copy an equal part takes a third longer
    part = placement.use.part
    pins = [skidl.Pin(num=pad, name=role, func=skidl.Pin.types.PASSIVE) for role, pad in part.pins.items()]
    return skidl.Part(
        tool=skidl.SKIDL,
        name=part.key,
        dest=skidl.NETLIST,
        circuit=circuit,
        pins=pins,
        ref_prefix="X",
        ref=placement.ref,
        value=placement.use.value,
        tag=placement.ref,
    )


def _read_back(placement: Placement, part: Any) -> Placement:
    """What SKiDL holds for this part, by its own names: a part or net it renamed or merged shows here."""
    use = placement.use
    pin_nets = dict.fromkeys(use.pin_nets, "")
    for pin in part.pins:
        for net in pin.nets:
            if pin.name in pin_nets:
                pin_nets[pin.name] = net.name
    return replace(placement, ref=part.ref, use=replace(use, pin_nets=pin_nets))


def _changed(asked: tuple[Placement, ...], read: tuple[Placement, ...]) -> list[Problem]:
    return [
        Problem("C101 circuit differs", "shortfall", Place(key=one.ref), f"SKiDL joined {one.ref} otherwise than asked")
        for one, other in zip(asked, read, strict=True)
        if (one.ref, one.use.pin_nets) != (other.ref, other.use.pin_nets)
    ]

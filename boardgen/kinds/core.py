"""Cores that are wound as transformers: the primary is the port's winding, the secondary the board's."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from boardgen.direct_current.elements import Element as DirectElement
from boardgen.direct_current.elements import Resistor
from boardgen.handbook import wire
from boardgen.kinds.direct_current import DirectPart, Ohms
from boardgen.kinds.fault import Fault, WholePart, opened
from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Paths, RolePair, assumed, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import PAIR_STEPS, Symbol, arcs, ring
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.figure import Figure
from boardgen.model.netlist import Component
from boardgen.model.part import Part
from boardgen.model.transformer import PRIMARY, SECONDARY, same_sense
from boardgen.rf_network.element import Element, exact, parameter

REVERSED: Final = "one winding reversed"
TURN_SHORT: Final = "port winding a turn short"
PORT_WINDING, BOARD_WINDING, TOUCH = "port winding", "board winding", "touch"
LEAD_M: Final = 0.04
"""Wire left at each end of a winding for its lead."""
SOLDERED_LEAD_M: Final = 0.01
"""What is left of a lead once it is soldered and cut: assumed; layouts take 5 to 8 mm to the pad and through it."""
SIZES_SPREAD: Final = 0.1
"""Share by which sizes within their tolerances move a path constant: 12 % on the large core, all as independent."""
SPLIT: Final = assumed(0.5, "1", 0.0, 1.0, "share of the interwinding capacitance between the starts; unknown")
WIRE_SPREAD: Final = 0.2
"""Share by which a winding's wire may be longer or thinner than computed: assumed."""
FEW_TURNS_OHM: Final = 0.05
"""A few turns of winding wire through a core whose windings are not known: assumed."""
PERMEABILITY_SCALE: Final = Figure(1.0, "1", "read", "maker's tolerance (recalled)", 0.75, 1.25)
"""Permeability over its table: the makers' 20 to 25 % (recalled)."""
AS_MEASURED: Final = Figure(1.0, "1", "measured", "own measurement")
"""Where the path constant is that of a core whose inductance was measured, which holds its permeability too."""


def _signal(component: Component) -> tuple[RolePair, ...]:
    """From start to start and end to end."""
    return tuple(zip(PRIMARY, SECONDARY, strict=True))


def _radio(part: RadioPart) -> Iterator[Element]:
    """Two coupled windings and the capacitance between them; half the leakage is with each winding."""
    choices, subject = part.choices, part.component.subject
    turns, port_turns = (choices.choice(role, subject).chosen for role in ("turns", "port turns"))
    wound = choices.windings[subject]
    bare_m = choices.part("winding wire", subject).figures["diameter"].value
    values = [
        parameter("path constant", _path_constant(part)),
        parameter("permeability scale", permeability_scale(part.component.part)),
        exact("wire radius", bare_m / 2, "m", "winding wire"),
    ]
    for place, count, slot in (("first", port_turns, PORT_WINDING), ("second", turns, BOARD_WINDING)):
        values += [
            exact(f"{place} turns", count, "1", "choice"),
            parameter(f"{place} leakage", wound.leakage, 0.5 * (count / turns) ** 2),
            exact(f"{place} resistance", winding_ohm(choices, subject, slot), "ohm", "copper at 20 degC"),
            exact(f"{place} proximity", _proximity(choices, subject, slot), "1", wound.leakage.source),
        ]
    material = part.curve or part.component.part.attributes["material"]
    board = SECONDARY if same_sense() else SECONDARY[::-1]
    yield part.coupled("transformer", (PRIMARY, board), tuple(values), material)
    whole = parameter("interwinding capacitance", wound.interwinding)
    split = parameter("split", SPLIT)
    for law, roles in zip(("starts", "ends"), _signal(part.component), strict=True):
        yield from part.between(law, roles, whole, split)


def permeability_scale(core: Part) -> Figure:
    """What the permeability of a core may be over that of its material's table."""
    return AS_MEASURED if core.figures["path constant"].standing == "measured" else PERMEABILITY_SCALE


def _path_constant(part: RadioPart) -> Figure:
    """What sizes alone may make of it: its guaranteed least holds the tolerance of permeability too."""
    known = part.figure("path constant")
    if known.standing == "measured":
        return known
    low, high = (known.value * (1 + sign * SIZES_SPREAD) for sign in (-1, 1))
    return Figure(known.value, "m", known.standing, known.source, low, high)


def _proximity(choices: Choices, subject: Subject, slot: str) -> float:
    """Loss of a winding's wire over that of a lone one, where its leads lie alone."""
    in_core_m = wire_length_m(choices, subject, slot) - 2 * LEAD_M
    return 1 + (choices.windings[subject].proximity - 1) * in_core_m / (in_core_m + 2 * SOLDERED_LEAD_M)


def wire_length_m(choices: Choices, subject: Subject, slot: str) -> float:
    """Wire of one winding of a core with its two leads, m."""
    return choices.choice("wire length", Subject(subject.strip, subject.stage, slot)).chosen


def winding_ohm(choices: Choices, subject: Subject, slot: str) -> float:
    """Resistance of one winding at 20 degC as it is soldered in, from the length and the gauge of its wire, ohm."""
    bare_m = choices.part("winding wire", subject).figures["diameter"].value
    left_m = wire_length_m(choices, subject, slot) - 2 * (LEAD_M - SOLDERED_LEAD_M)
    return wire.resistance_ohm_per_m(math.pi * bare_m**2 / 4) * left_m


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    for roles, slot in ((PRIMARY, PORT_WINDING), (SECONDARY, BOARD_WINDING)):
        ohm = FEW_TURNS_OHM if part.choices is None else winding_ohm(part.choices, part.component.subject, slot)
        share = WIRE_SPREAD if part.on_bench else 0.0
        yield from part.resistance(roles, Ohms(ohm * (1 - share), ohm, ohm * (1 + share), "computed"), slot)


def _faults(part: WholePart) -> Iterator[Fault]:
    """Enamel left on an end or scraped through, and ends that were exchanged."""
    port, board = part.elements
    for slot, winding in ((PORT_WINDING, port), (BOARD_WINDING, board)):
        yield part.fault(f"{slot} open: enamel left on an end", opened(winding))
    yield part.short(PRIMARY[0], SECONDARY[0], "windings touch: enamel scraped through", TOUCH)
    if not (isinstance(port, Resistor) and isinstance(board, Resistor)):
        raise TypeError("a winding is a resistance to direct current")
    (start, end), (board_start, board_end) = ((part.pin_nets[role] for role in roles) for roles in (PRIMARY, SECONDARY))
    yield part.fault(
        "ends of both windings exchanged",
        Resistor(port.name, start, board_end, port.ohm),
        Resistor(board.name, board_start, end, board.ohm),
    )
    reversed_port = Resistor(port.name, end, start, port.ohm)
    refs = (part.component.ref,)
    yield Fault("one winding reversed: its start and end exchanged", refs, (reversed_port,), mistake=REVERSED)
    yield Fault("port winding with one turn too few", refs, (), mistake=TURN_SHORT)


CORE = Kind(
    name="core",
    figures={
        "path constant": needed("m"),
        "length": needed("m"),
        "hole spacing": needed("m"),
        "hole diameter": needed("m"),
        "width": KnownFigure("m"),
        "height": KnownFigure("m"),
        "inductance factor": KnownFigure("H"),
    },
    letter="T",
    pins=(*PRIMARY, *SECONDARY),
    signal_pins=(*PRIMARY, *SECONDARY),
    symbols={
        # primary start and end, secondary start and end
        "transformer": Symbol(
            ((0, 0), (0, PAIR_STEPS), (3, 0), (3, PAIR_STEPS)),
            f"M0 0L0 4M0 8L0 {PAIR_STEPS}M3 0L3 4M3 8L3 {PAIR_STEPS}",
            arcs(0, 4, 4, 0.5, "right") + arcs(3, 4, 4, 0.5, "left") + "M1.3 4L1.3 8M1.7 4L1.7 8",
            ring(-0.5, 4, 0.2) + ring(3.5, 4, 0.2),
            box=(-0.7, 3.8, 3.7, 8),
        )
    },
    paths=Paths(signal=_signal, low_resistance=(PRIMARY, SECONDARY)),
    ruined_by="stock",
    is_wound=True,
    clear_beneath=True,
    radio=_radio,
    direct_current=_direct_current,
    faults=_faults,
    assembly=Assembly(
        "Wound cores",
        assumed_height_nm=8_000_000,
        late_since="it hangs on its own thin wire while the board is turned over",
        note="Hold each core with a drop of neutral-cure silicone before its leads are soldered; a core that swings "
        "breaks its own wire.",
        starts=((PRIMARY[0], "port winding's start"), (SECONDARY[0], "board winding's start")),
    ),
    appearance=Appearance(
        colour="#4A4F52",
        dark=True,
        dots=(PRIMARY[0], SECONDARY[0]),
        letters=(("P", PRIMARY), ("S", SECONDARY)),
    ),
)

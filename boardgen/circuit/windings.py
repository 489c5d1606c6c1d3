"""How each kind of transformer on a board is wound: its core, wire and turns, and what to measure."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.catalogue import Permeability
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M
from boardgen.kinds.core import permeability_scale
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.figure import Figure, weakest
from boardgen.model.netlist import Component, Netlist
from boardgen.model.part import Part
from boardgen.model.roles import RoleName
from boardgen.model.transformer import LEADS, PRIMARY, SECONDARY, STYLE_WORDS, Lead, same_sense


def start_marks(leads: Mapping[str, Lead] = LEADS) -> str:
    """Which ends are starts, and where they enter the core."""
    port, board = leads[PRIMARY[0]], leads[SECONDARY[0]]
    way = "both windings run the same way round" if same_sense(leads) else "the windings run opposite ways round"
    return (
        f"P1 starts the port winding and enters hole {port.hole} from the {port.face}'s face; S1 starts the board "
        f"winding and enters hole {board.hole} from the {board.face}'s face: {way}"
    )


class WindingRow(Struct, frozen=True):
    """How one kind of transformer or choke is wound.

    Lengths are of the wire of one winding with its leads. `start_marks` says which ends are starts and where they go;
    `inductance_h` is the least of the primary at low frequency, to measure before it is built in.
    """

    refs: tuple[str, ...]
    core: str
    wire: str
    primary_turns: int
    secondary_turns: int
    primary_length_m: float
    secondary_length_m: float
    start_marks: str
    inductance_h: float
    strips: tuple[str, ...]


def winding_rows(
    netlist: Netlist, choices: Choices, permeability: Mapping[str, Permeability]
) -> tuple[WindingRow, ...]:
    """One row for each kind of transformer, with the strips it serves."""
    grouped: dict[tuple[object, ...], list[Component]] = {}
    for component in netlist.of_kind("core"):
        if component.fitted:
            grouped.setdefault(_alike(choices, component.subject), []).append(component)
    return tuple(_row(choices, found, permeability) for found in grouped.values())


def _alike(choices: Choices, at: Subject) -> tuple[object, ...]:
    roles: tuple[RoleName, ...] = ("port turns", "turns", "winding wire")
    return tuple((choices.choice(role, at).part, choices.choice(role, at).chosen) for role in roles)


def inductance_factor(core: Part, permeability: Mapping[str, Permeability]) -> Figure:
    """Henries of one turn at low frequency, with the material's spread, or the maker's where that is wider."""
    known = core.figure("inductance factor")
    if known is None:
        path = core.figures["path constant"]
        value = MAGNETIC_CONSTANT_H_PER_M * permeability[core.attributes["material"]].initial * path.value
        known = Figure(value, "H", weakest("computed", path.standing), path.source)
    return with_spread(core, known)


def with_spread(core: Part, henry: Figure) -> Figure:
    """An inductance with the spread of the core's material, or its own where that is wider."""
    scale = permeability_scale(core)
    low, high = (henry.value * share for share in (scale.least, scale.most))
    standing = henry.standing if scale.standing == "measured" else weakest(henry.standing, "recalled")
    return Figure(henry.value, "H", standing, henry.source, min(low, henry.least), max(high, henry.most))


def _row(choices: Choices, found: list[Component], permeability: Mapping[str, Permeability]) -> WindingRow:
    at = found[0].subject
    wire = choices.part("winding wire", at)

    def length(slot: str) -> float:
        return choices.choice("wire length", Subject(at.strip, at.stage, slot)).chosen

    return WindingRow(
        refs=tuple(c.ref for c in found),
        core=f"{found[0].part.maker} {found[0].part.number}",
        wire=f"{wire.number}, {STYLE_WORDS[choices.windings[at].style]}",
        primary_turns=round(choices.choice("port turns", at).chosen),
        secondary_turns=round(choices.choice("turns", at).chosen),
        primary_length_m=length("port winding"),
        secondary_length_m=length("board winding"),
        start_marks=start_marks(),
        inductance_h=inductance_factor(found[0].part, permeability).least
        * choices.choice("port turns", at).chosen ** 2,
        strips=tuple(c.subject.strip for c in found),
    )

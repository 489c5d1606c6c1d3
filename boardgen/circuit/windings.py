"""How each kind of transformer on a board is wound: its core, wire and turns, and what to measure."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component, Netlist
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
    `inductance_h` is that of the primary, to measure before it is built in.
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


def winding_rows(netlist: Netlist, choices: Choices) -> tuple[WindingRow, ...]:
    """One row for each kind of transformer, with the strips it serves."""
    grouped: dict[tuple[object, ...], list[Component]] = {}
    for component in netlist.of_kind("core"):
        if component.fitted:
            grouped.setdefault(_alike(choices, component.subject), []).append(component)
    return tuple(_row(choices, found) for found in grouped.values())


def _alike(choices: Choices, at: Subject) -> tuple[object, ...]:
    roles: tuple[RoleName, ...] = ("port turns", "turns", "winding wire")
    return tuple((choices.choice(role, at).part, choices.choice(role, at).chosen) for role in roles)


def _row(choices: Choices, found: list[Component]) -> WindingRow:
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
        inductance_h=choices.choice("winding inductance", at).chosen
        * (choices.choice("port turns", at).chosen / choices.choice("turns", at).chosen) ** 2,
        strips=tuple(c.subject.strip for c in found),
    )

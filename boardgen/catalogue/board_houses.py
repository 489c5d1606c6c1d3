"""Limits of board houses, from the [[board_house]] tables of limits/board_houses.toml."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from msgspec import Struct
from msgspec.structs import asdict

from boardgen.model.board_house import BoardHouse
from boardgen.model.figure import Standing
from boardgen.model.problem import Place
from boardgen.tables.column import column
from boardgen.tables.fault import Faults
from boardgen.tables.text_file import read_text_file
from boardgen.tables.toml_table import ABSENT, UNREADABLE, TomlTable, read_blocks

_SORT = "board_house"
_TEXTS = ("name", "standing", "source")


class BoardHouseTable(Struct, frozen=True):
    """[[board_house]]: every limit is needed."""

    name: Annotated[str, column("what the house or its class of boards is called")]
    track: Annotated[float, column("least width of a track", "mm", above=0)]
    clearance: Annotated[float, column("least clearance between tracks, pads and pour", "mm", above=0)]
    ring: Annotated[float, column("least ring of copper about a plated hole", "mm", above=0)]
    hole_least: Annotated[float, column("least finished hole", "mm", above=0)]
    hole_most: Annotated[float, column("largest finished hole", "mm", above=0)]
    hole_to_hole: Annotated[float, column("least distance from edge to edge of two holes", "mm", above=0)]
    hole_to_edge: Annotated[float, column("least distance from a hole to the edge of the board", "mm", above=0)]
    copper_to_edge: Annotated[float, column("least distance from copper to the edge of the board", "mm", above=0)]
    mask_margin: Annotated[float, column("how far the solder mask keeps off a pad", "mm", above=0)]
    mask_web: Annotated[float, column("narrowest web of solder mask", "mm", above=0)]
    legend_width: Annotated[float, column("least width of a stroke of the silkscreen", "mm", above=0)]
    legend_height: Annotated[float, column("least height of a letter of the silkscreen", "mm", above=0)]
    legend_to_pad: Annotated[float, column("least distance from the silkscreen to a pad", "mm", above=0)]
    longest: Annotated[float, column("longest side of a board", "mm", above=0)]
    standing: Annotated[Standing, column("how sure the limits are")]
    source: Annotated[str, column("where they are from")]


def read_board_houses(folder: Path, faults: Faults) -> tuple[BoardHouse, ...]:
    """The houses of a folder of parts, the first the one that is used; none where it has no such file.

    Faults are added; a house with a fault is left out.
    """
    path = folder / "limits" / "board_houses.toml"
    if not path.exists():
        return ()
    file = path.as_posix()
    try:
        text = read_text_file(path)
    except (OSError, UnicodeDecodeError) as error:
        faults.add(UNREADABLE, Place(file), f"the file cannot be read: {error}", "wanted is TOML")
        return ()
    before = len(faults)
    blocks = read_blocks(text, file, (_SORT,), faults)
    if not blocks and len(faults) == before:
        faults.add(ABSENT, Place(file), "there is no list of houses", f"write [[{_SORT}]]")
    found = []
    for block in blocks:
        before = len(faults)
        table = TomlTable(block, BoardHouseTable, faults).values
        if len(faults) == before:
            found.append(_in_nanometres(table))
    return tuple(found)


def _in_nanometres(table: BoardHouseTable) -> BoardHouse:
    limits = {name: value for name, value in asdict(table).items() if name not in _TEXTS}
    lengths = {f"{name}_nm": round(value * 1e6) for name, value in limits.items()}
    return BoardHouse(name=table.name, standing=table.standing, source=table.source, **lengths)

"""Schematic and board pictures."""

from __future__ import annotations

from boardgen.documents.book.source import Source
from boardgen.documents.page.blocks import Block, Picture, Section, Words
from boardgen.documents.pictures.board_picture import BUILT
from boardgen.documents.pictures.sheets import sheets_of

SHOWS = (
    "The circuit of the board: from each kind of antenna port on the left through surge protection, feed, transformer "
    "and relay to the bus and the output; supply above, 0V below. netlist.net lists every connection."
)


def board(source: Source) -> Section:
    """Top with its parts, and bottom."""
    made = source.design.layout
    blocks: list[Block] = []
    if made is None:
        words = "The board could not be laid out; the summary says why."
        return Section("board", "Board pictures", "Mend what keeps the board from being laid out.", (Words(words),))
    size = source.board_size(made.board)
    if top := source.drawings.get(BUILT):
        shows = f"The top of the board with every part in its place and its designator, {size.words}."
        blocks.append(Picture(top, shows, size))
    if bottom := source.drawings.get("board-bottom.svg"):
        shows = "Copper and pads of the bottom, seen with the board turned over from left to right."
        blocks.append(Picture(bottom, shows, ""))
    do = "Hold the bare board beside these pictures before you fit a part: same holes, same letters, nothing broken."
    return Section("board", "Board pictures", do, tuple(blocks))


def schematic(source: Source) -> Section | None:
    """The schematic, where the build has drawn one."""
    drawing = source.drawings.get("schematic.svg")
    if drawing is None:
        return None
    sheets = sheets_of(drawing)
    blocks: list[Block] = []
    for number, sheet in enumerate(sheets, 1):
        which = "Schematic" if len(sheets) == 1 else f"Schematic, sheet {number} of {len(sheets)}"
        blocks.append(Picture(sheet.svg, f"{which}. {SHOWS}", f"{which}, drawn from the netlist", sheet=True))
    do = "Follow the signal from left to right; every designator is the one on the board."
    return Section("schematic", "Schematic", do, tuple(blocks), landscape=True)

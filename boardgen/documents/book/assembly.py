"""The assembly sequence: a step for each height, with its picture, polarity and boxes."""

from __future__ import annotations

from boardgen.documents.book.source import Source, listed
from boardgen.documents.book.step_picture import outlines, step_picture
from boardgen.documents.book.steps import Step, mark, steps, way_round
from boardgen.documents.canvas import Canvas
from boardgen.documents.page.blocks import Block, Caution, Column, Group, Picture, Section, Table, Ticks, Words
from boardgen.model.copper import Board
from boardgen.model.netlist import Component

CAUTIONS = (
    "Solder in a draught or under extraction, with eye protection; leads fly when they are cut.",
    "Wash your hands after leaded solder, and before you eat.",
    "Take the battery or supply off before you solder on the board.",
)
EVERY_STEP = (
    "Fit, look at the polarity once more, solder one lead, straighten the part, solder the others, cut the leads.",
    "Look at each joint through a glass: shiny, wetted all round, no bridge to its neighbour.",
    "Tick the part only when it is soldered, not when it is only fitted.",
)


def section(source: Source) -> Section:
    """Steps in order; without a layout only the list."""
    made = source.design.layout
    if made is None:
        words = "There is no layout, so no order of assembly."
        return Section("assembly", "Assembly sequence", "Mend the layout first.", (Words(words),))
    lines = outlines(made.board)
    found = steps(made.board, source.design.netlist)
    blocks: list[Block] = [Caution("caution", CAUTIONS), Ticks(EVERY_STEP)]
    blocks += [_step(source, made.board, lines, number, step) for number, step in enumerate(found, 1)]
    blocks.append(_ports(source))
    do = "Work down the steps, low parts before tall ones, and tick every part when it is soldered."
    return Section("assembly", "Assembly sequence", do, tuple(blocks))


def _step(source: Source, board: Board, lines: Canvas, number: int, step: Step) -> Group:
    refs = [part.ref for part in step.parts]
    height = f"{'assumed' if step.assumed else 'up to'} {source.say.length(step.height_nm * 1e-9, 1)} high"
    shows = f"The board from the component side; filled in are {listed(refs)}."
    marks = [at for part in step.parts if (at := mark(board, part))]
    caption = "The dot is the pad named in the last column" if marks else ""
    picture = Picture(step_picture(board, lines, set(refs), shows, marks), shows, caption, wide=True, low=True)
    tests = {part.part.key: part.part.attributes.get("meter test", "") for part in step.parts}
    blocks: list[Block] = [picture]
    if note := step.kind.assembly.note:
        blocks.append(Words(note))
    blocks += [Words(f"Meter test: {test}.") for test in dict.fromkeys(tests.values()) if test]
    columns = (
        Column("", "tick"),
        Column("Part", "code", narrow=True),
        Column("Value", narrow=True),
        Column("Kind"),
        Column("Which way round"),
    )
    rows = [(f"{p.ref} soldered", p.ref, p.value, p.part.name, way_round(board, p)) for p in step.parts]
    blocks.append(Table(f"{step.kind.assembly.title}: {len(rows)} to solder", columns, _together(rows)))
    return Group(f"Step {number}: {step.kind.assembly.title.lower()}, {height}", tuple(blocks))


def _together(rows: list[tuple[str, str, str, str, str]]) -> list[tuple[str, ...]]:
    return sorted(rows, key=lambda row: (row[2], row[3]))


def _ports(source: Source) -> Group:
    """Pigtails and connectors come last, when the board goes into its box."""
    parts: tuple[Component, ...] = source.parts("connector")
    rows = [(f"{p.ref} wired", p.ref, p.value, p.part.name) for p in parts]
    columns = (Column("", "tick"), Column("Port", "code"), Column("For"), Column("Kind"))
    words = (
        "Centre to the pad marked so, braid to the other; leave the braid of each port apart from every other braid."
    )
    return Group("Last: the ports, when the board is in its box", (Words(words), Table("Ports", columns, rows)))

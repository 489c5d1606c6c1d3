"""The assembly sequence: a step for each height, with its picture, polarity and boxes."""

from __future__ import annotations

from boardgen.documents.book.source import Source
from boardgen.documents.book.standing_picture import standing_picture
from boardgen.documents.book.step_picture import print_width_mm, step_pictures
from boardgen.documents.book.steps import Stand, Step, alike, steps
from boardgen.documents.identity import named, of_refs
from boardgen.documents.page.blocks import (
    Block,
    Boxes,
    Caution,
    Cell,
    Column,
    Group,
    Picture,
    Section,
    Table,
    Ticks,
    Words,
    spoken,
)
from boardgen.documents.text import Text, Value, joined
from boardgen.model.copper import Board

CAUTIONS = (
    "Solder in a draught or under extraction, with eye protection; leads fly when they are cut.",
    "Wash your hands after leaded solder, and before you eat.",
    "Take the battery or supply off before you solder on the board.",
)
EVERY_STEP = (
    "Fit, look at the polarity once more, solder one lead, straighten the part, solder the others, cut the leads. Tick "
    "a part when it is soldered, not when it is only fitted.",
    "Look at each joint through a glass: shiny, wetted all round, no bridge to its neighbour.",
)
DOTTED = "A black dot is the hole that says which way round"
BENT = "a line leads from a part on end to the hole of its bent lead"


def section(source: Source) -> Section:
    """Steps in order; without a layout only the list."""
    made = source.design.layout
    if made is None:
        words = "There is no layout, so no order of assembly."
        return Section("assembly", "Assembly sequence", "Mend the layout first.", (Words(words),))
    found = steps(made.board, source.design.netlist, source.design.request.catalogue.footprints)
    blocks: list[Block] = [Caution("caution", CAUTIONS), Words(" ".join(EVERY_STEP))]
    if any(step.on_end for step in found):
        blocks.append(_standing(found))
    tallest_nm = 0
    for number, step in enumerate(found, 1):
        blocks.append(_step(source, made.board, number, step, is_late=step.height_nm < tallest_nm))
        tallest_nm = max(tallest_nm, step.height_nm)
    blocks.append(_ports(source))
    do = "Work down the steps, low parts before tall ones, and tick every part when it is soldered."
    return Section("assembly", "Assembly sequence", do, tuple(blocks))


def _standing(found: tuple[Step, ...]) -> Picture:
    band = any(step.on_end and step.kind.assembly.mark for step in found)
    shows = "From the side: a part that lies flat, and one on end over one hole, its upper lead bent down to the other."
    return Picture(standing_picture(band=band), shows, "How parts lie, and how they stand on end", 100.0)


def _step(source: Source, board: Board, number: int, step: Step, *, is_late: bool) -> Group:
    assembly = step.kind.assembly
    rows: list[tuple[Cell, ...]] = []
    for row, stands in alike(step).items():
        rows.append((_values(stands), row.part, row.way_round, Boxes(tuple(stand.ref for stand in stands), "soldered")))
    shows = f"The board from the component side; filled in are {', '.join(spoken(row[3]) for row in rows)}."
    marks = [words for words, given in ((DOTTED, assembly.mark), (BENT, step.on_end)) if given]
    pictures = step_pictures(board, step.stands, shows)
    blocks: list[Block] = [
        Picture(svg, shows, "; ".join(marks) if n == len(pictures) else "", print_width_mm(board))
        for n, svg in enumerate(pictures, 1)
    ]
    why = f"It comes after taller parts: {assembly.late_since}." if is_late and assembly.late_since else ""
    tests = dict.fromkeys(stand.component.part.attributes.get("meter test", "") for stand in step.stands)
    said = [*filter(None, (assembly.note, why)), *(f"Meter test: {test}." for test in tests if test)]
    if said:
        blocks.append(Words(" ".join(said)))
    columns = (
        Column("Value"), Column("Part", "code"), Column("Which way round"),
        Column("Soldered, from left to right"),
    )  # fmt: skip
    blocks.append(Table("", columns, rows))
    height = Value(named("step", step.title, "height"), source.say.length(step.height_nm * 1e-9, 1))
    words = f"Step {number}: {step.title.lower()}, {len(step.stands)} in all, "
    return Group((words, "assumed " if step.assumed else "up to ", height, " high"), tuple(blocks))


def _values(stands: tuple[Stand, ...]) -> Text:
    """Each value once, behind the names of the parts that have it."""
    refs: dict[str, list[str]] = {}
    for stand in stands:
        refs.setdefault(stand.component.value, []).append(stand.ref)
    return joined(", ", (Value(of_refs(of, "value"), value) for value, of in refs.items()))


def _ports(source: Source) -> Group:
    """Pigtails and connectors come last, when the board goes into its box."""
    words = "Centre to the pad marked C, braid to the pad marked B; leave each braid apart from every other braid."
    wired = Ticks(tuple(f"{part.ref}: {part.value}" for part in source.parts("connector")), across=True)
    return Group("Last: the ports, when the board is in its box", (Words(words), wired))
